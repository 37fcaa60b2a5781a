"""Today: what is due, what is asked, what waits in each verb; gathered from the stages."""

from collections import Counter
from collections.abc import Mapping
from datetime import date

from loamwright.notebook.kinds import Verb, kinds
from loamwright.project import (
    blending,
    block_tests,
    brief,
    choosing,
    cure,
    dig,
    doubts,
    ladder,
    limits,
    planning,
    press,
    proving,
    shake,
    signs,
    soil_tests,
    unusual,
    weigh,
)
from loamwright.project.asking import Due, Question
from loamwright.project.state import State

STAGES = (
    signs,
    unusual,
    brief,
    dig,
    shake,
    limits,
    soil_tests,
    blending,
    ladder,
    planning,
    weigh,
    press,
    cure,
    block_tests,
    doubts,
    choosing,
    proving,
)


def questions(state: State) -> tuple[Question, ...]:
    """Every open question, contested and not understood entries first; those answered are left out."""

    def gather() -> tuple[Question, ...]:
        found = [*_of_notebook(state), *(question for stage in STAGES for question in stage.questions(state))]
        return tuple(question for question in found if not state.answered(question.code, question.about))

    return state.memo("questions", gather)


def _of_notebook(state: State) -> list[Question]:
    found: list[Question] = []
    for fact in state.contested():
        found.append(Question("contested", _verb(fact.kind), (fact.id,), "contested", {"kind": fact.kind}))
    for fact in state.not_understood():
        assert fact.fault is not None
        found.append(Question(fact.fault.code, _verb(fact.kind), (fact.id,), "impossible", dict(fact.fault.values)))
    for aside in state.aside():
        found.append(Question(aside.why, _verb(aside.entry.kind), (aside.entry.id,), "impossible"))
    return found


def _verb(kind: str) -> Verb:
    return kinds()[kind].verb if kind in kinds() else "today"


def due(state: State, today: date) -> tuple[Due, ...]:
    """Everything to do, what has a day first and the earliest of those first."""

    def gather() -> tuple[Due, ...]:
        found = [each for stage in STAGES for each in stage.due(state, today)]
        return tuple(sorted(found, key=lambda each: (each.on is None, each.on or today)))

    return state.memo(("due", today), gather)


def due_now(state: State, today: date) -> tuple[Due, ...]:
    """What is due today or has no day."""
    return tuple(each for each in due(state, today) if each.on is None or each.on <= today)


def waiting(state: State, today: date) -> Mapping[str, tuple[int, int]]:
    """How many things are due now and how many questions are open, by verb."""
    due_counts = Counter(each.verb for each in due_now(state, today))
    open_counts = Counter(each.verb for each in questions(state))
    return {verb: (due_counts[verb], open_counts[verb]) for verb in {*due_counts, *open_counts}}
