"""Cure: damp days so far, what the cold does, and which blocks go into water or are broken on what day."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from loamwright.engine.block import cure
from loamwright.errors import Note
from loamwright.formula import Formula, Term
from loamwright.project import brief, planning
from loamwright.project.asking import Due, Question
from loamwright.project.blocks import known_blocks, pressed_on, stabiliser_type
from loamwright.project.finding import Finding, Given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

DAMP = ("covered", "misted")
DAYS_TOLD = 7
SOAKED = {"wet": "soaked", "dry": "dry"}

DAMP_DAYS = Formula("damp_days", "t_damp", "d", "sum(t_each)", {"t_each": Term("damp_days", "d")}, "practice-cure")


@dataclass(frozen=True, slots=True)
class CureView:
    """How a batch has been cured.

    Attributes
    ----------
    steps : tuple of Fact
        What was done, oldest first.
    covered : bool
        Whether it lies damp now.
    damp_days : Finding
        Days under cover and damp so far. [d]
    wanted : DampCure
        Days asked for, by stabiliser.
    notes : tuple of Note
        "cold_cure", "frost"; "damp_too_short" where it was uncovered before its days were full.
    """

    steps: tuple[Fact, ...]
    covered: bool
    damp_days: Finding
    wanted: cure.DampCure
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class ToBreak:
    """Blocks of one batch pressed on one day and meant to be broken in one condition.

    Attributes
    ----------
    batch : str
        Entity id of the batch.
    blocks : tuple of Fact
        Not broken yet.
    condition : "wet" or "dry"
    age_days : int
        Age they are broken at. [d]
    soak_on : date or None
        Day they go into water; None for dry blocks.
    break_on : date
    in_water : bool
        Whether all of them are in water already.
    """

    batch: str
    blocks: tuple[Fact, ...]
    condition: str
    age_days: int
    soak_on: date | None
    break_on: date
    in_water: bool


# --- curing ---


def cure_view(state: State, batch: str, today: date) -> CureView:
    """The cure of a batch up to a day: covered or misted counts as damp until it is uncovered."""
    steps = tuple(sorted(state.where("cure_step", "batches", batch), key=lambda fact: (state.day(fact), fact.at, fact.id)))
    since: date | None = None
    spans: list[float] = []
    for step in steps:
        day = state.day(step)
        if step["step"] in DAMP and since is None:
            since = day
        elif step["step"] == "uncovered" and since is not None:
            spans.append(float((day - since).days))
            since = None
    covered = since is not None
    if since is not None:
        spans.append(float(max(0, (today - since).days)))
    counted = tuple(fact.head for fact in steps if fact["step"] in (*DAMP, "uncovered"))
    damp = Finding(DAMP_DAYS, sum(spans), {"t_each": Given(tuple(spans) or (0.0,), counted)})
    stabiliser = stabiliser_type(state, batch)
    wanted = cure.damp_cure(stabiliser)
    return CureView(steps, covered, damp, wanted, tuple(_cure_notes(steps, covered, damp.value, wanted, stabiliser)))


def _cure_notes(
    steps: tuple[Fact, ...], covered: bool, damp_days: float, wanted: cure.DampCure, stabiliser: str
) -> Iterable[Note]:
    coldest = [cold for step in steps if (cold := step.number("coldest")) is not None]
    if coldest:
        yield from cure.cold_notes(min(coldest), stabiliser=stabiliser)
    if any(step["step"] == "uncovered" for step in steps) and not covered and damp_days < wanted.least:
        yield Note("damp_too_short", {"days": damp_days, "least": wanted.least})


# --- ages ---


def wanted_age(state: State, block: Fact) -> int:
    """Age at which a block is broken: its plan's, else the brief's, else the judging age of its stabiliser. [d]

    A brief that asks for lime blocks at an age that cannot judge them waits for the judging age.
    """
    batch = state.fact(block["batch"], "batch")
    ages = dict(zip(planning.plan_row_marks(state, batch), planning.plan_row_ages(state, batch), strict=False))
    planned = ages.get(block["mark"].strip())
    if planned is not None:
        return planned
    stabiliser = stabiliser_type(state, batch.id)
    asked, judged_from = _age_asked(state), cure.judging_age(stabiliser)
    if asked is None or cure.judging(asked, stabiliser=stabiliser).stage == "too_early":
        return judged_from
    return asked


def _age_asked(state: State) -> int | None:
    of = brief.brief(state)
    typed = None if of.fact is None else of.fact.get("age_days")
    asked = typed if typed is not None and 0 < typed <= judged("brief-age-most") else brief.yardstick(of).age_days
    return None if asked is None else int(asked)


def judging(state: State, batch: str, age: int) -> cure.Judging:
    """Whether blocks of a batch may be judged at an age, only screened, or are too young."""
    return cure.judging(max(age, 0), stabiliser=stabiliser_type(state, batch))


def soak_wanted(state: State) -> float:
    """Hours under water before a wet test: the brief's, else its rule's longest, else 24. [h]"""

    def compute() -> float:
        of = brief.brief(state)
        minutes = None if of.fact is None else of.fact.number("soak_least")
        if minutes is not None and minutes > 0:
            return minutes / 60.0
        return brief.yardstick(of).soak_hours_least or judged("soak-hours")

    return state.memo("soak_wanted", compute)


def condition_wanted(state: State, block: Fact) -> str:
    """ "wet", "dry", or "" for a spare: as the block was meant, else as the brief says, else wet unless it has no stabiliser."""
    fate = block.get("fate")
    if fate is not None:
        return {"soaked": "wet", "dry": "dry"}.get(fate, "")
    of = brief.brief(state)
    if of.fact is not None and of.fact.get("condition"):
        return str(of.fact["condition"])
    if of.decided:
        return brief.yardstick(of).condition
    return "dry" if stabiliser_type(state, block["batch"]) == "none" else "wet"


# --- what is to be broken ---


def broken(state: State) -> frozenset[str]:
    """Blocks that were crushed, whatever became of the reading."""

    def compute() -> frozenset[str]:
        facts = [fact for fact in state.everything("crush") if "block" in fact.values]
        return frozenset(state.versions.entity(fact["block"]) for fact in facts)

    return state.memo("broken", compute)


def soaks(state: State) -> Mapping[str, Fact]:
    """The newest soak each block was put into, by block."""

    def compute() -> dict[str, Fact]:
        return {state.versions.entity(block): fact for fact in state.all("soak") for block in fact["blocks"]}

    return state.memo("soaks", compute)


def to_break(state: State) -> tuple[ToBreak, ...]:
    """Blocks not broken yet by batch, pressing day and condition, the first due first."""
    return state.memo("to_break", lambda: _to_break(state))


def _to_break(state: State) -> tuple[ToBreak, ...]:
    groups: dict[tuple[str, date, str, int], list[Fact]] = defaultdict(list)
    done = broken(state)
    for block in known_blocks(state):
        condition = condition_wanted(state, block)
        if block.id not in done and condition:
            key = (state.versions.entity(block["batch"]), pressed_on(state, block), condition, wanted_age(state, block))
            groups[key].append(block)
    found = [_group(state, key, tuple(blocks)) for key, blocks in groups.items()]
    return tuple(sorted(found, key=lambda each: (each.soak_on or each.break_on, each.break_on, each.batch)))


def _group(state: State, key: tuple[str, date, str, int], blocks: tuple[Fact, ...]) -> ToBreak:
    batch, pressed, condition, age = key
    break_on = pressed + timedelta(days=age)
    soak_on = break_on - timedelta(days=ceil(soak_wanted(state) / 24.0)) if condition == "wet" else None
    in_water = all(block.id in soaks(state) for block in blocks)
    return ToBreak(batch, blocks, condition, age, soak_on, break_on, in_water)


def questions(state: State) -> tuple[Question, ...]:
    """Cure steps whose coldest is above their hottest."""
    found: list[Question] = []
    for step in state.all("cure_step"):
        cold, hot = step.number("coldest"), step.number("hottest")
        if cold is not None and hot is not None and cold > hot:
            found.append(Question("cold_above_hot", "press", (step.id,), "unlikely", {"cold": cold, "hot": hot}))
    return tuple(found)


def due(state: State, today: date) -> tuple[Due, ...]:
    """Blocks to cover, to uncover, to put into water, to break."""
    found = [each for batch in state.all("batch") for each in _cure_due(state, batch, today)]
    for group in to_break(state):
        values: dict[str, object] = {"n": len(group.blocks), "marks": marks_of(group.blocks), "age": group.age_days}
        values["condition"] = SOAKED[group.condition]
        if group.soak_on is not None and not group.in_water:
            found.append(Due("soak_blocks", "break", group.batch, group.soak_on, {**values, "hours": soak_wanted(state)}))
        else:
            found.append(Due("break_blocks", "break", group.batch, group.break_on, values))
    return tuple(found)


def marks_of(blocks: tuple[Fact, ...]) -> str:
    """The marks of a few blocks, for a sentence."""
    first = ", ".join(block["mark"].strip() for block in blocks[:6])
    return f"{first} and {len(blocks) - 6} more" if len(blocks) > 6 else first


def _cure_due(state: State, batch: Fact, today: date) -> Iterable[Due]:
    waiting = [block for block in state.where("block", "batch", batch.id) if block.id not in broken(state)]
    if not waiting:
        return
    least = cure.damp_cure(stabiliser_type(state, batch.id)).least
    pressed = pressed_on(state, waiting[0])
    view = cure_view(state, batch.id, today)
    if least and not view.steps and (today - pressed).days < least:
        yield Due("cover_blocks", "press", batch.id, pressed, {"least": least})
    if view.covered:
        enough = max(pressed, state.day(view.steps[0])) + timedelta(days=least)
        # Longer does no harm, so it is told for a week and then let be.
        if (today - enough).days < DAYS_TOLD:
            yield Due("uncover_blocks", "press", batch.id, enough, {"least": least})
