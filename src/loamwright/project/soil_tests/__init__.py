"""Tests of a soil, one module a group; each holds `TESTS`."""

from datetime import date

from loamwright.project.asking import Due, Question
from loamwright.project.state import State
from loamwright.project.worked import TestGroups

GROUPS = ("sampling", "feel", "water", "grading", "limits", "swelling", "compaction", "salts")
SOIL_TESTS = TestGroups(__name__, GROUPS)


def questions(state: State) -> tuple[Question, ...]:
    """Readings that cannot be right or do not fit, over all soils."""
    return SOIL_TESTS.questions(state)


def due(state: State, today: date) -> tuple[Due, ...]:
    """Nothing by itself: which test is worth making stands on the page of each soil."""
    return ()
