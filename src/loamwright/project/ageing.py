"""Age and warmth of batches, and what blocks broken young say of a later age."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from loamwright import tables
from loamwright.engine.block import ageing, maturity
from loamwright.engine.block.maturity import Spell
from loamwright.errors import InputError
from loamwright.project.blocks import pressed_on, stabiliser_type
from loamwright.project.compare import MixResult
from loamwright.project.finding import Band, Finding, Given
from loamwright.project.state import State

TOO_YOUNG = "too_young"


def warmth(state: State, batch: str, today: date) -> tuple[tuple[str, Finding], ...]:
    """What the temperatures written down since pressing add up to: a label and a figure each; nothing without temperatures.

    Each look at the stack speaks for the days since the one before, with the middle of its coldest and hottest.
    """
    found = _spells(state, batch, today)
    if found is None:
        return ()
    spells, entries = found
    try:
        return _added_up(stabiliser_type(state, batch), spells, entries)
    except InputError:
        return ()


def _added_up(stabiliser: str, spells: Sequence[Spell], entries: tuple[str, ...]) -> tuple[tuple[str, Finding], ...]:
    days = Given(tuple(each.days for each in spells), entries)
    if stabiliser == "cement":
        row = tables.load("ageing", required=("kind", "stabiliser", "note"))["cement-maturity"]
        above = Given(maturity.warmth_above(spells, datum=row["datum_degc"]), entries)
        factors = Given(maturity.age_factors(spells), entries, source=row.source)
        return (
            ("maturity", Finding(maturity.MATURITY, maturity.maturity(spells), {"dT": above, "t": days})),
            ("equivalent_age", Finding(maturity.EQUIVALENT_AGE, maturity.equivalent_age(spells), {"f": factors, "t": days})),
        )
    if stabiliser == "lime":
        row = tables.load("ageing", required=("kind", "stabiliser", "note"))["lime-degree-days"]
        above = Given(maturity.warmth_above(spells, datum=row["base_degc"]), entries)
        return (("degree_days", Finding(maturity.DEGREE_DAYS, maturity.degree_days(spells), {"dT": above, "t": days})),)
    return ()


def _spells(state: State, batch: str, today: date) -> tuple[tuple[Spell, ...], tuple[str, ...]] | None:
    blocks = state.where("block", "batch", batch)
    steps = [
        step
        for step in state.where("cure_step", "batches", batch)
        if step.number("coldest") is not None and step.number("hottest") is not None and state.day(step) <= today
    ]
    if not blocks or not steps:
        return None
    since = pressed_on(state, blocks[0])
    spells: list[Spell] = []
    for step in sorted(steps, key=lambda fact: (state.day(fact), fact.at, fact.id)):
        days = (state.day(step) - since).days
        if days <= 0:
            continue
        try:
            spells.append(Spell(float(days), (step.needed("coldest") + step.needed("hottest")) / 2.0))
        except InputError:  # asked about where temperatures are asked about
            continue
        since = state.day(step)
    return (tuple(spells), tuple(sorted(step.head for step in steps))) if spells else None


def forecast(state: State, mix: MixResult, *, batch_spread: float | None) -> Finding | None:
    """Strength of a mix at the age it is judged, from blocks that are too young to judge it; None where there are none."""
    young = [each.block for each in mix.set_aside if each.reason == TOO_YOUNG and not each.block.dissolved]
    if mix.counted or not young:
        return None
    groups: dict[tuple[str, int], list[float]] = defaultdict(list)
    for block in young:
        groups[block.batch, block.age_days].append(block.finding.value)
    breaks = [ageing.Break(float(age), sum(values) / len(values)) for (_, age), values in sorted(groups.items())]
    spread = batch_spread or tables.figure("evidence", "batch_spread")
    try:
        found = ageing.forecast(
            breaks, age_days=float(mix.wanted_age), stabiliser=stabiliser_type(state, young[0].batch), batch_spread=spread
        )
    except InputError:
        return None
    entries = tuple(sorted({entry for block in young for entry in block.entries}))
    inputs: dict[str, Given | Finding] = {
        "f_0": Given(found.mean_strength, entries),
        "t": Given(float(mix.wanted_age)),
        "t_0": Given(found.mean_age, entries),
        "b": Given(found.slope, source="practice-cure"),
    }
    return Finding(ageing.STRENGTH_LATER, found.strength, inputs, found.notes, Band(found.low, found.high))
