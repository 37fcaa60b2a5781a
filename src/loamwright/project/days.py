"""Days of open batches for a calendar: kept damp until, into water, broken; and the moment a soak is full."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from loamwright.engine.block.cure import damp_cure
from loamwright.project import cure
from loamwright.project.blocks import pressed_on, stabiliser_type
from loamwright.project.state import Fact, State

What = Literal["damp", "uncover", "soak", "soaked", "break"]


@dataclass(frozen=True, slots=True)
class Day:
    """One thing on one day.

    Attributes
    ----------
    what : str
        "damp" (a span of days), "uncover", "soak", "soaked" (a moment) or "break".
    batch : str
        Entity id of the batch.
    key : str
        What tells it from others of the batch; the same while the same blocks pressed on the same day are meant.
    on : date
    until : date or None
        First day it is over, of a span.
    at : datetime or None
        Local moment, where hours matter.
    blocks : tuple of Fact
    condition : str
        "soaked" or "dry", of what is broken.
    age_days : int or None
        Age it is broken at. [d]
    hours : float or None
        Time under water wanted. [h]
    """

    what: What
    batch: str
    key: str
    on: date
    until: date | None = None
    at: datetime | None = None
    blocks: tuple[Fact, ...] = ()
    condition: str = ""
    age_days: int | None = None
    hours: float | None = None


def days(state: State, today: date) -> tuple[Day, ...]:
    """Every day of every batch that has unbroken blocks, the earliest first."""
    found = [each for batch in state.all("batch") for each in _cure_days(state, batch, today)]
    found += [each for group in cure.to_break(state) for each in _test_days(state, group)]
    return tuple(sorted(found, key=lambda each: (each.on, each.batch, each.key)))


def _cure_days(state: State, batch: Fact, today: date) -> Iterator[Day]:
    """Damp from pressing, or from the day it was covered if that was later, for the least days its stabiliser asks."""
    waiting = [block for block in state.where("block", "batch", batch.id) if block.id not in cure.broken(state)]
    least = damp_cure(stabiliser_type(state, batch.id)).least
    view = cure.cure_view(state, batch.id, today)
    if not waiting or not least or (view.steps and not view.covered):
        return
    start = pressed_on(state, waiting[0])
    if view.covered:
        start = max(start, state.day(view.steps[0]))
    until = start + timedelta(days=least)
    yield Day("damp", batch.id, "damp", start, until)
    yield Day("uncover", batch.id, "uncover", until)


def _test_days(state: State, group: cure.ToBreak) -> Iterator[Day]:
    pressed = group.break_on - timedelta(days=group.age_days)
    key = f"{group.condition}-{group.age_days}-{pressed.isoformat()}"
    words = cure.SOAKED[group.condition]
    hours = cure.soak_wanted(state) if group.condition == "wet" else None
    if group.soak_on is not None and not group.in_water:
        yield Day("soak", group.batch, f"soak-{key}", group.soak_on, blocks=group.blocks, hours=hours)
    elif hours is not None:
        last = max(state.moment(cure.soaks(state)[block.id]) for block in group.blocks)
        full = last + timedelta(hours=hours)
        yield Day("soaked", group.batch, f"soaked-{key}", full.date(), at=full, blocks=group.blocks, hours=hours)
    yield Day("break", group.batch, f"break-{key}", group.break_on, blocks=group.blocks, condition=words, age_days=group.age_days)
