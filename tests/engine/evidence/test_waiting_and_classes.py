"""What waiting blocks can show and when, and the best class of a scale."""

from datetime import date

import pytest

from loamwright.engine.evidence.acceptance import Criterion, Measured, evaluate
from loamwright.engine.evidence.classes import class_reached
from loamwright.engine.evidence.waiting import Waiting, can_be_shown_on

TODAY = date(2026, 3, 10)
PRESSED = date(2026, 3, 1)


def asked(condition: str = "wet", **more: object) -> Criterion:
    settings = {"soak_hours_least": 24.0, "age_days": 28.0, "n": 3, **more}
    return Criterion("k", "compressive_strength", "mean", ">=", 2.0, condition, **settings)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("criterion", "waiting", "day"),
    [
        # pressed on 1 March, 28 days old on 29 March (March has 31 days)
        (asked(), [Waiting(PRESSED, "wet")] * 3, date(2026, 3, 29)),
        (asked(), [Waiting(PRESSED)] * 3, date(2026, 3, 29)),
        (asked(), [Waiting(PRESSED, "dry")] * 3, None),
        (asked(), [Waiting(PRESSED, "wet")] * 2, None),
        # the third block is the one that is waited for
        (asked(), [Waiting(PRESSED, "wet"), Waiting(PRESSED, "wet"), Waiting(date(2026, 3, 5), "wet")], date(2026, 4, 2)),
        # old enough long ago: a day of soaking from today
        (asked(), [Waiting(date(2026, 1, 1), "wet")] * 3, date(2026, 3, 11)),
        (asked(soak_hours_least=48.0), [Waiting(date(2026, 1, 1), "wet")] * 3, date(2026, 3, 12)),
        (asked("dry", soak_hours_least=None), [Waiting(date(2026, 1, 1), "dry")] * 3, TODAY),
        (asked("air_dry", soak_hours_least=None), [Waiting(date(2026, 1, 1), "dry")] * 3, TODAY),
        (asked(age_days=None), [Waiting(PRESSED, "wet")] * 3, date(2026, 3, 11)),
    ],
)
def test_the_day_is_that_of_the_last_block_needed(criterion: Criterion, waiting: list[Waiting], day: date | None) -> None:
    assert can_be_shown_on(evaluate(criterion, []), waiting, today=TODAY) == day


def test_no_day_for_what_is_shown_or_is_not_about_blocks() -> None:
    blocks = [Measured("compressive_strength", 2.5, "wet", 24, 28)] * 3
    waiting = [Waiting(PRESSED, "wet")] * 3
    assert can_be_shown_on(evaluate(asked(), blocks), waiting, today=TODAY) is None
    soil = Criterion("clay", "clay_content", "limit", ">=", 0.1, "", subject="soil")
    assert can_be_shown_on(evaluate(soil, []), waiting, today=TODAY) is None


def test_no_class_is_reached_without_a_figure() -> None:
    first = Criterion("a", "erosion_rate", "maximum", "<", 20.0, "spray")
    found = class_reached([first], [])
    assert (found.key, found.outcomes[0].state) == (None, "not_shown_yet")
    assert class_reached([], [Measured("erosion_rate", 5.0, "spray")]).key is None
