"""Until when what a rule still misses can be shown by blocks that wait: pressed and not tested yet."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from loamwright.engine.evidence.acceptance import Outcome

HOURS_PER_DAY = 24.0


@dataclass(frozen=True, slots=True)
class Waiting:
    """A block that exists and is not tested yet.

    Attributes
    ----------
    pressed_on : date
        The day its age counts from.
    condition : str
        The condition it is meant to be tested in; empty for a spare, which may be tested in any.
    """

    pressed_on: date
    condition: str = ""


def can_be_shown_on(outcome: Outcome, waiting: Sequence[Waiting], *, today: date) -> date | None:
    """First day on which enough waiting blocks can have been tested for what a criterion still misses.

    Parameters
    ----------
    outcome : Outcome
        Of the criterion, as of now.
    waiting : sequence of Waiting
        Blocks pressed and not tested yet; those meant for another condition are left alone.
    today : date
        No test can be made before it; a soak is taken to start on it at the earliest.

    Returns
    -------
    date or None
        None where nothing is missing, where the criterion is not about blocks, or where too few blocks wait.

    Notes
    -----
    The soak lies within the age: a block that must be 28 days old and 24 hours soaked goes into water on its 27th day.

    References
    ----------
    [rule-acceptance]

    Examples
    --------
    >>> from loamwright.engine.evidence.acceptance import Criterion, evaluate
    >>> rule = Criterion("mean", "compressive_strength", "mean", ">=", 2.0, "wet", soak_hours_least=24, age_days=28, n=2)
    >>> blocks = [Waiting(date(2026, 3, 1), "wet"), Waiting(date(2026, 3, 3))]
    >>> can_be_shown_on(evaluate(rule, []), blocks, today=date(2026, 3, 10)).isoformat()
    '2026-03-31'
    """
    criterion, short = outcome.criterion, outcome.need - len(outcome.used)
    if outcome.state != "not_shown_yet" or criterion.subject != "block" or short < 1:
        return None
    wanted = {"", criterion.condition, "dry" if criterion.condition == "air_dry" else criterion.condition}
    fit = [block for block in waiting if not criterion.condition or block.condition in wanted]
    soak_days = math.ceil((criterion.soak_hours_least or 0.0) / HOURS_PER_DAY) if criterion.condition == "wet" else 0
    first = today + timedelta(days=soak_days)
    days = sorted(max(first, block.pressed_on + timedelta(days=math.ceil(criterion.age_days or 0.0))) for block in fit)
    return days[short - 1] if len(days) >= short else None
