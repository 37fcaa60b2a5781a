"""What a phone takes along to the bench: mixes ready to open a batch of, batches in hand, marks nobody else will use."""

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from loamwright.engine.bench import marks
from loamwright.errors import InputError
from loamwright.project import blends, carried_offers, plan_offers, planning, press, weigh
from loamwright.project.blocks import press_for
from loamwright.project.desk import Desk, Hand
from loamwright.project.finding import Finding, number
from loamwright.project.state import Fact, State

MARKS_SET_ASIDE = 40  # a long day at one press; beside them, as many as the largest plan taken along needs
MARKS_LEFT_LEAST = 20  # below this (and a plan's) the device gets another range with its next bench sheet
DAYS_IN_HAND = 1

_leasing = threading.Lock()


@dataclass(frozen=True, slots=True)
class MixAlong:
    """A mix as a batch of it would be opened now.

    Attributes
    ----------
    fact : Fact
    dose : Finding
        Wanted dose of the total dry mix.
    soil_water : Finding
        Water content of the blended soil as tested by now.
    target_water : float
        Moisture a batch should have: that of the water ladder, else the usual one to start with.
    piles : mapping of str to float
        Damp mass to take from each source for 1 kg of damp soil, by source id.
    fills : mapping of str to (float, float)
        Dry density [kg/m³] and height [mm] a block is filled for, by press id.
    densities : mapping of str to (float or None)
        Loose densities, for a dose said by volume. [kg/m³]
    """

    fact: Fact
    dose: Finding
    soil_water: Finding
    target_water: float
    piles: Mapping[str, float]
    fills: Mapping[str, tuple[float, float]]
    densities: Mapping[str, float | None]

    @property
    def entries(self) -> tuple[str, ...]:
        """Ids of the readings the targets of a new batch stand on, its own entry not among them."""
        return tuple(sorted({*self.dose.entries(), *self.soil_water.entries()}))


def mix_along(state: State, mix: Fact) -> MixAlong:
    """Everything about a mix that a batch opened without a network needs; `InputError` where it cannot be opened."""
    blend = state.fact(mix["blend"], "blend")
    fills = {each.id: found for each in state.all("press") if (found := press.fill_density(state, mix, each)) is not None}
    return MixAlong(
        fact=mix,
        dose=blends.wanted_dose(mix),
        soil_water=blends.soil_moisture(state, blend),
        target_water=number(plan_offers.target_water(state, blend.id)),
        piles=MappingProxyType(_piles(state, blend)),
        fills=MappingProxyType(fills),
        densities=MappingProxyType(blends.loose_densities(state, mix)),
    )


def _piles(state: State, blend: Fact) -> dict[str, float]:
    try:
        return {source: found.value for source, found in plan_offers.damp_by_source(state, blend, 1.0).items()}
    except InputError:
        return {}


def in_hand(state: State, today: date) -> tuple[Fact, ...]:
    """Batches somebody may still weigh or press: not weighed, not over, or opened lately."""
    return tuple(fact for fact in state.all("batch") if _is_in_hand(state, fact, today))


def _is_in_hand(state: State, fact: Fact, today: date) -> bool:
    if weigh.next_weighing(state, fact) or not press.is_over(state, fact, today):
        return True
    return today - state.day(fact) <= timedelta(days=DAYS_IN_HAND)


@dataclass(frozen=True, slots=True)
class Undoing:
    """What takes back an entry nobody has corrected: its envelope's kind, schema and project, and what it replaces."""

    kind: str
    schema: int
    project: str
    replaces: tuple[str, ...]


def undoing(state: State, entity: str) -> Undoing | None:
    """How to withdraw an entry; None where it was corrected or two versions of it are live: its own page says what was before."""
    versions = state.versions.history(state.versions.entity(entity))
    if len(versions) != 1:
        return None
    only = versions[0]
    return Undoing(only.kind, only.schema, only.project, (only.id,))


def fill_of_batch(state: State, batch: Fact) -> Mapping[str, tuple[float, float]]:
    """Dry density [kg/m³] and height [mm] the next block of a batch is filled for, by press id."""
    mix = state.fact(batch["mix"], "mix")
    own = state.where("block", "batch", batch.id)
    found = {each.id: press.fill_density(state, mix, each, own=own) for each in state.all("press")}
    return {key: fill for key, fill in found.items() if fill is not None}


def press_last_used(state: State) -> str:
    """Id of the press the newest block came from, else of the newest press; an empty text where there is none."""
    named = (state.find(block["press"], "press") for block in reversed(state.all("block")) if block.get("press"))
    found = next((machine for machine in named if machine is not None and machine.fault is None), state.latest("press"))
    return "" if found is None else found.id


def press_of_batch(state: State, batch: Fact) -> str:
    """Id of the press a batch is pressed on, or an empty text."""
    found = press_for(state, batch)
    return "" if found is None else found.id


def planned_marks(state: State, batch: Fact) -> Sequence[tuple[str, str]]:
    """Marks and fates a batch's plan still has."""
    rows = len(planning.plan_row_fates(state, batch))
    ahead = press.marks_ahead(state, batch, rows)
    return [(mark, fate) for mark, fate in ahead if fate]


# --- marks set aside for one device ---


def free_marks(state: State, device: str) -> tuple[str, ...]:
    """Marks set aside for a device that no block carries and no plan gives out yet, in order."""
    planned = {mark for plan in state.all("plan") for row in planning.plan_view(state, plan.id).rows for mark in row.marks}
    used = press.ever_marked(state) | planned
    mine = [lease for lease in state.all("mark_lease") if lease["device"] == device]
    ranges = (range(max(1, lease["first"]), min(lease["last"], marks.LAST_COUNTER) + 1) for lease in mine)
    found = (marks.make_mark(counter) for each in ranges for counter in each)
    return tuple(mark for mark in found if mark not in used)


def set_marks_aside(desk: Desk, project: str, hand: Hand) -> None:
    """Give a device a range of marks of its own, where it has few left: for a day at the press and the largest plan it may keep.

    A range is an entry of the project, so the next one given out, to whichever device, begins after it. Two devices can only
    meet where one range was given out by two copies of a notebook; then two blocks carry one mark and a person is asked.
    """
    with _leasing:
        state = desk.state(project)
        planned = carried_offers.marks_for_a_plan(state)
        if not hand.device or len(free_marks(state, hand.device)) >= MARKS_LEFT_LEAST + planned:
            return
        first = max(planning.next_counter(state), _number(press.next_mark(state)))
        last = min(first + MARKS_SET_ASIDE + planned - 1, marks.LAST_COUNTER)
        if first <= last:
            body = {"device": hand.device, "first": first, "last": last}
            desk.keep([desk.entry("mark_lease", body, hand, project=project)])


def _number(mark: str) -> int:
    return marks.check_mark(mark).counter or 1
