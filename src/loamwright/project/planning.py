"""Weigh, the trial plan that was kept: its batches in order, the fate and mark of each block, and what does not fit it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from typing import Any

from loamwright import __version__
from loamwright.engine.bench import marks
from loamwright.engine.evidence.plans import BlockFate, PlanRow
from loamwright.errors import InputError
from loamwright.project import ladder
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Result
from loamwright.project.plan_offers import PLACES, Offer, batch_takes, offer
from loamwright.project.state import Fact, State


def plan_body(state: State, body: dict[str, Any], entry_id: str, at: str) -> dict[str, Any]:
    """The body of a plan with the batches and needs a person is told in it."""
    try:
        mixes = [state.fact(each, "mix") for each in body.get("mixes", ())]
        press = state.fact(body["press"], "press") if body.get("press") else ladder.press_of(state)
        made = offer(state, body["size"], mixes, press=press, seed=body["seed"])
        rows = _told_rows(state, made.rows)
    except InputError:
        return body  # the plan is kept all the same; its page says that it has no batches
    return {**body, "rows": rows, "needs": {**_told_needs(made), "version": __version__}}


def _told_rows(state: State, rows: Sequence[PlanRow]) -> list[dict[str, Any]]:
    counter = next_counter(state)
    if counter + sum(len(row.fates) for row in rows) > marks.LAST_COUNTER:
        counter = 1  # marks are labels: the numbers begin anew, and two equal ones are asked about
    told: list[dict[str, Any]] = []
    for row in rows:
        told.append(
            {
                "row": row.row,
                "day": row.day,
                "mix": "" if row.mix in PLACES else row.mix,
                "place": PLACES.index(row.mix) + 1 if row.mix in PLACES else 0,
                "fates": [{"fate": fate.fate, "age_days": fate.age} for fate in row.fates],
                "marks": [marks.make_mark(counter + i) for i in range(len(row.fates))],
            }
        )
        counter += len(row.fates)
    return told


def _told_needs(made: Offer) -> dict[str, Any]:
    def number(result: Result) -> float | None:
        return result.value if isinstance(result, Finding) else None

    findings = [each for each in (*made.soil.values(), *made.stabiliser.values(), made.water) if isinstance(each, Finding)]
    return {
        "blocks": made.blocks,
        "mould_fillings": made.blocks,
        "days": made.days,
        "soil_kg": {source: number(each) for source, each in made.soil.items()},
        "stabiliser_kg": {key: number(each) for key, each in made.stabiliser.items()},
        "water_kg": number(made.water),
        "press_minutes": number(made.minutes),
        "difference_shown": number(made.difference),
        "stood_on": sorted({entry for each in findings for entry in each.entries()}),
    }


def next_counter(state: State) -> int:
    """The first number no earlier plan, no block and no device of this project has taken for a mark."""
    texts = [mark for plan in state.all("plan") for row in _rows(plan) for mark in row["marks"]]
    texts += [fact["mark"] for fact in state.everything("block") if "mark" in fact.values]
    counters = [counter for text in texts if (counter := marks.check_mark(text).counter) is not None]
    counters += [lease["last"] for lease in state.all("mark_lease") if lease["last"] <= marks.LAST_COUNTER]
    return 1 + max(counters, default=0)


def _rows(plan: Fact) -> list[dict[str, Any]]:
    """The told rows of a plan; none where they cannot be read."""
    rows = plan.get("rows")
    if not isinstance(rows, list) or not all(isinstance(row, dict) and row.keys() >= _ROW_KEYS for row in rows):
        return []
    return rows


_ROW_KEYS = {"row", "day", "mix", "place", "fates", "marks"}


@dataclass(frozen=True, slots=True)
class RowView:
    """One batch of a kept plan as it stands.

    Attributes
    ----------
    row, day : int
        Place in the plan and day of the plan, both from 1.
    mixes : tuple of str
        The mix it is of; several while its place is open.
    place : int
        1 or 2 for an open place, else 0.
    fates : tuple of BlockFate
    marks : tuple of str
        Marks of its blocks, in the order they are pressed.
    batch : Fact or None
        The batch that was opened for it.
    pressed : int
        Blocks pressed so far.
    """

    row: int
    day: int
    mixes: tuple[str, ...]
    place: int
    fates: tuple[BlockFate, ...]
    marks: tuple[str, ...]
    batch: Fact | None
    pressed: int


@dataclass(frozen=True, slots=True)
class PlanView:
    """A kept plan: its batches in order, and the first that was not opened yet."""

    fact: Fact
    rows: tuple[RowView, ...]

    @property
    def next(self) -> RowView | None:
        """The batch to open next."""
        return next((row for row in self.rows if row.batch is None), None)


def plan_view(state: State, plan: str) -> PlanView:
    """A kept plan as it stands."""
    fact = state.fact(plan, "plan")
    return state.memo(("plan", fact.id), lambda: _plan_view(state, fact))


def batches_of(state: State, plan: Fact) -> dict[int, list[Fact]]:
    """Batches opened for each row of a plan."""
    found: dict[int, list[Fact]] = {}
    for batch in state.where("batch", "plan", plan.id):
        if "plan_row" in batch.values:
            found.setdefault(batch["plan_row"], []).append(batch)
    return found


def _plan_view(state: State, fact: Fact) -> PlanView:
    opened = batches_of(state, fact)
    taken = {row["place"]: opened[row["row"]][0]["mix"] for row in _rows(fact) if row["place"] and row["row"] in opened}
    views = []
    for row in _rows(fact):
        batch = opened.get(row["row"], [None])[0]
        views.append(
            RowView(
                row=row["row"],
                day=row["day"],
                mixes=_mixes_of(fact, row, taken),
                place=row["place"],
                fates=tuple(BlockFate(fate["fate"], fate["age_days"]) for fate in row["fates"]),
                marks=tuple(row["marks"]),
                batch=batch,
                pressed=0 if batch is None else len(state.where("block", "batch", batch.id)),
            )
        )
    return PlanView(fact, tuple(views))


def _mixes_of(plan: Fact, row: Mapping[str, Any], taken: Mapping[int, str]) -> tuple[str, ...]:
    """The mix of a row; of an open place those that the other place has not taken."""
    if row["mix"]:
        return (row["mix"],)
    if row["place"] in taken:
        return (taken[row["place"]],)
    return tuple(mix for mix in plan.get("mixes", ()) if mix not in taken.values())


def _row_of(state: State, batch: Fact) -> dict[str, Any] | None:
    plan = state.find(batch["plan"], "plan") if batch.get("plan") else None
    if plan is None or plan.fault is not None:
        return None
    return next((row for row in _rows(plan) if row["row"] == batch.get("plan_row")), None)


def plan_row_fates(state: State, batch: Fact) -> list[str]:
    """What becomes of each block of a batch, in the order they are pressed; empty where the batch is of no plan."""
    row = _row_of(state, batch)
    return [] if row is None else [fate["fate"] for fate in row["fates"]]


def plan_row_ages(state: State, batch: Fact) -> list[int | None]:
    """Age in days at which each block of a batch is tested, in pressing order; None for a spare."""
    row = _row_of(state, batch)
    return [] if row is None else [fate["age_days"] for fate in row["fates"]]


def plan_row_marks(state: State, batch: Fact) -> list[str]:
    """Mark of each block of a batch, in the order they are pressed; empty where the batch is of no plan."""
    row = _row_of(state, batch)
    return [] if row is None else list(row["marks"])


def soil_for_row(state: State, plan: Fact, row: RowView, mix: str) -> float | None:
    """Damp soil to weigh for a batch of this row, in kg; None where it cannot be reckoned."""
    try:
        press = ladder.press_of(state, plan)
        taken = batch_takes(state, state.fact(mix, "mix"), press=press, blocks=len(row.fates))
    except InputError:
        return None
    return sum(each.value for each in taken.soil.values())


# --- asking ------------------------------------------------------------------------------------------------------------


def questions(state: State) -> tuple[Question, ...]:
    """Plans without batches, rows made twice or of another mix, and two days of a plan made on one."""
    found: list[Question] = []
    for plan in state.all("plan"):
        rows = _rows(plan)
        if not rows:
            found.append(Question("plan_without_rows", "weigh", (plan.id,)))
            continue
        opened = batches_of(state, plan)
        found += [
            Question("plan_row_twice", "weigh", tuple(sorted(batch.id for batch in batches)), values={"row": row})
            for row, batches in opened.items()
            if len(batches) > 1
        ]
        found += _other_mix(state, rows, opened)
        found += _one_day(state, rows, opened)
    return tuple(found)


def _other_mix(state: State, rows: Iterable[Mapping[str, Any]], opened: Mapping[int, list[Fact]]) -> list[Question]:
    return [
        Question("plan_other_mix", "weigh", (batch.id,), values={"row": row["row"]})
        for row in rows
        for batch in opened.get(row["row"], ())
        if row["mix"] and state.versions.entity(batch["mix"]) != state.versions.entity(row["mix"])
    ]


def _one_day(state: State, rows: Iterable[Mapping[str, Any]], opened: Mapping[int, list[Fact]]) -> list[Question]:
    """Days of a plan carry weather and hands: two of them on one date are one day. Asked about the batches of the later."""
    made: dict[int, list[tuple[date, str]]] = {}
    for row in rows:
        for batch in opened.get(row["row"], ()):
            made.setdefault(row["day"], []).append((state.moment(batch).date(), batch.id))
    found: list[Question] = []
    for first, second in combinations(sorted(made), 2):
        dates = {day for day, _ in made[first]}
        about = tuple(sorted(batch for day, batch in made[second] if day in dates))
        if about:
            found.append(Question("plan_one_day", "weigh", about, values={"first": first, "second": second}))
    return found


def due(state: State, today: date) -> tuple[Due, ...]:
    """The next batch of the newest plan."""
    plan = state.latest("plan")
    following = None if plan is None else plan_view(state, plan.id).next
    if plan is None or following is None:
        return ()
    return (Due("plan_batch", "weigh", plan.id, values={"row": following.row, "day": following.day}),)
