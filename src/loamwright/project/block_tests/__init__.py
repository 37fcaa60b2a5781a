"""Tests of a block beside crushing and bending, one module a group; each holds `TESTS`."""

from datetime import date

from loamwright.project import block_slips
from loamwright.project.asking import Due, Question
from loamwright.project.state import State
from loamwright.project.worked import TestGroups

GROUPS = ("size", "strength", "water", "wear")
BLOCK_TESTS = TestGroups(__name__, GROUPS)


def questions(state: State) -> tuple[Question, ...]:
    """Readings that cannot be right or do not fit, over all blocks."""
    return (*BLOCK_TESTS.questions(state), *block_slips.questions(state))


def due(state: State, today: date) -> tuple[Due, ...]:
    """Nothing by itself."""
    return ()
