"""Press: the mark of the next block, what each block weighs for its size, sisters that differ, what was spoiled."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from statistics import median

from loamwright.engine.bench import marks, pressing
from loamwright.errors import InputError
from loamwright.formula import Formula, Term
from loamwright.project import ladder, planning, weigh
from loamwright.project.asking import Due, Question
from loamwright.project.blocks import (
    blocks_of_mix,
    compression,
    dry_density,
    green_density,
    has_batch,
    minutes_held,
    mix_key,
    mix_water,
    soil_pressure,
    with_mark,
)
from loamwright.project.finding import Finding, Given, Result, Withheld, given, number
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

SPOILED_SHARE = Formula(
    "spoiled_share",
    "q",
    "1",
    "n_spoiled / (n_spoiled + n_good)",
    {"n_spoiled": Term("spoiled_blocks", "1"), "n_good": Term("good_blocks", "1")},
    "practice-sisters",
)
CORNERS_SHARE = Formula(
    "corners_lost_share",
    "q_c",
    "1",
    "n_corners / n_looked_at",
    {"n_corners": Term("blocks_with_corners_lost", "1"), "n_looked_at": Term("good_blocks", "1")},
    "practice-sisters",
)


@dataclass(frozen=True, slots=True)
class Apart:
    """A block that differs from its sisters.

    Attributes
    ----------
    block : Fact
    quantity : str
        "green_mass" or "dry_density".
    apart : float
        Its value over the batch's median, less 1. [-]
    ten_times : bool
        It is about ten times or a tenth of the median: a digit or decimal slipped.
    """

    block: Fact
    quantity: str
    apart: float
    ten_times: bool


# --- marks ---


def next_mark(state: State) -> str:
    """The mark for the next block: one more than any number used or planned, undone and left-out blocks included.

    Every block ever written takes a number, so a mark typed wrong does not bring its number back.
    """

    def compute() -> str:
        used = {counter for mark in ever_marked(state) if (counter := marks.check_mark(mark).counter)}
        pressed = sum(1 for members in state.versions.members.values() if _is_block(state, members[0]))
        counter = max(used | {pressed, planning.next_counter(state) - 1}) + 1
        if counter > marks.LAST_COUNTER:
            counter = next((free for free in range(1, marks.LAST_COUNTER) if free not in used), marks.LAST_COUNTER)
        return marks.make_mark(counter)

    return state.memo("next_mark", compute)


def ever_marked(state: State) -> frozenset[str]:
    """Marks of every version of every block."""

    def compute() -> frozenset[str]:
        found = (entry.body.get("mark") for entry in state.versions.entries.values() if entry.kind == "block")
        return frozenset(mark.strip() for mark in found if isinstance(mark, str))

    return state.memo("ever_marked", compute)


def mark_for(state: State, batch: Fact) -> tuple[str, str]:
    """Mark and fate of the next block of a batch: as its plan says, else the next free mark and no fate."""
    planned = zip(planning.plan_row_marks(state, batch), planning.plan_row_fates(state, batch), strict=False)
    free = ((mark, fate) for mark, fate in planned if mark not in ever_marked(state))
    return next(free, (next_mark(state), ""))


def marks_ahead(state: State, batch: Fact, how_many: int) -> tuple[tuple[str, str], ...]:
    """Marks and fates of the next blocks of a batch: those its plan still has, then free marks without a fate."""
    planned = zip(planning.plan_row_marks(state, batch), planning.plan_row_fates(state, batch), strict=False)
    found = [(mark, fate) for mark, fate in planned if mark not in ever_marked(state)][:how_many]
    free = marks.check_mark(next_mark(state)).counter or 1
    more = range(free, min(free + how_many - len(found), marks.LAST_COUNTER + 1))
    return (*found, *((marks.make_mark(counter), "") for counter in more))


def _is_block(state: State, entry_id: str) -> bool:
    return state.versions.entries[entry_id].kind == "block"


# --- what to fill ---


def fill_order(state: State, batch: Fact, press: Fact | None) -> Finding | None:
    """Mass to fill in for one dry density: that of the batch's first block, of the mix's last batch, of the water ladder.

    None where no density or no press is known yet.
    """
    if press is None:
        return None
    own = state.where("block", "batch", batch.id)
    others = reversed(blocks_of_mix(state, mix_key(state, batch.id)))
    try:
        density, height = _density_and_height(state, batch["mix"], press, (*own, *others))
        return _fill(press, density, mix_water(state, batch.id), height)
    except InputError:
        return None


def fill_density(state: State, mix: Fact, press: Fact, *, own: Iterable[Fact] = ()) -> tuple[float, float] | None:
    """Dry density and height the next block of a mix is filled for on a press; None where none is known. [kg/m³, mm]

    `own` are blocks of the batch itself, which are looked at first.
    """
    try:
        density, height = _density_and_height(state, mix.id, press, (*own, *reversed(blocks_of_mix(state, mix.id))))
    except InputError:
        return None
    return (density.value, number(height)) if isinstance(density, Finding) else None


def _density_and_height(state: State, mix: str, press: Fact, sisters: Iterable[Fact]) -> tuple[Result | None, Given]:
    """The dry density to fill for (of the first sister from this press that has one, else of the water ladder) and its height."""
    model = next((block for block in sisters if _from_press(state, block, press)), None)
    density = dry_density(state, model) if model is not None else _of_ladder(state, mix)
    return density, given(press, "block_height") if model is None or "block_height" in press.values else given(model, "height")


def _from_press(state: State, block: Fact, press: Fact) -> bool:
    """Whether a block came from this press and has a dry density."""
    named = block.get("press")
    return bool(named) and state.versions.entity(named) == press.id and isinstance(dry_density(state, block), Finding)


def _of_ladder(state: State, mix: str) -> Result | None:
    winner = ladder.ladder(state, state.fact(mix, "mix")["blend"]).winner
    return None if winner is None else winner.dry_density


def _fill(press: Fact, density: Result | None, water: Finding, height: Given) -> Finding | None:
    if not isinstance(density, Finding) or not isinstance(height.value, float):
        return None
    length, width = given(press, "mould_length"), given(press, "mould_width")
    size = pressing.block_volume(press.needed("mould_length"), block_width=press.needed("mould_width"), block_height=height.value)
    wanted = Finding(pressing.BLOCK_VOLUME, size, {"l": length, "b": width, "h": height})
    value = pressing.fill_mass(density.value, block_volume=size, water_content=water.value)
    return Finding(pressing.FILL_MASS, value, {"rho_d": density, "V": wanted, "w": water})


# --- sisters ---


def apart(state: State, batch: str) -> tuple[Apart, ...]:
    """Blocks of one batch more than 3 % from the median of the batch in mass, else in dry density; from three blocks on."""
    return state.memo(("apart", state.versions.entity(batch)), lambda: tuple(_apart(state, batch)))


def _apart(state: State, batch: str) -> Iterable[Apart]:
    by_press: dict[str, list[Fact]] = defaultdict(list)
    for block in state.where("block", "batch", batch):
        by_press[state.versions.entity(block.get("press", ""))].append(block)
    for sisters in by_press.values():
        asked: set[str] = set()
        masses = {block.id: mass for block in sisters if (mass := block.needed("green_mass")) > 0 and not _absurd(state, block)}
        densities = {block.id: found.value for block in sisters if isinstance(found := dry_density(state, block), Finding)}
        for quantity, values in (("green_mass", masses), ("dry_density", densities)):
            if len(values) < judged("sisters-least"):
                continue
            middle = median(values.values())
            for block in sisters:
                if block.id in values and block.id not in asked and abs(values[block.id] / middle - 1) > judged("sister-apart"):
                    asked.add(block.id)
                    yield Apart(block, quantity, values[block.id] / middle - 1, is_ten_times(values[block.id], middle))


def _absurd(state: State, block: Fact) -> bool:
    found = green_density(state, block)
    return isinstance(found, Withheld) and found.fault.code == "block_density_absurd"


def is_ten_times(value: float, usual: float) -> bool:
    """Whether a value is about ten times or a tenth of what is usual, as a slipped decimal makes it.

    >>> is_ten_times(2.01, 22.4), is_ten_times(18.0, 22.4), is_ten_times(224, 22.4)
    (True, False, True)
    """
    if not (value > 0 and usual > 0):
        return False
    ratio = max(value / usual, usual / value)
    return judged("ten-times-least") <= ratio <= judged("ten-times-most")


# --- what was lost ---


def spoiled_share(state: State, mix: str) -> Finding | None:
    """Spoiled blocks over all pressed of a mix (or of a `mix_key`), or None before anything was pressed."""
    good = blocks_of_mix(state, mix)
    lost = [fact for fact in state.all("spoiled") if has_batch(state, fact) and mix_key(state, fact["batch"]) == mix]
    if not good and not lost:
        return None
    inputs = {"n_spoiled": _counted(lost), "n_good": _counted(good)}
    return Finding(SPOILED_SHARE, len(lost) / (len(lost) + len(good)), inputs)


def corners_share(state: State, mix: str) -> Finding | None:
    """Blocks with a corner lost over those whose corners were looked at, or None where nobody looked."""
    looked_at = [block for block in blocks_of_mix(state, mix) if "corners_lost" in block.values]
    if not looked_at:
        return None
    lost = [block for block in looked_at if block["corners_lost"] > 0]
    return Finding(CORNERS_SHARE, len(lost) / len(looked_at), {"n_corners": _counted(lost), "n_looked_at": _counted(looked_at)})


def _counted(facts: Iterable[Fact]) -> Given:
    heads = tuple(fact.head for fact in facts)
    return Given(float(len(heads)), heads)


# --- what is asked and waited for ---


def questions(state: State) -> tuple[Question, ...]:
    """What does not fit among the blocks pressed."""
    found: list[Question] = []
    for block in state.all("block"):
        found.extend(_mark_questions(state, block))
        if not has_batch(state, block):
            found.append(Question("batch_not_here", "press", (block.id,), "impossible", {"mark": block["mark"]}))
            continue
        found.extend(_value_questions(state, block))
    for batch in state.all("batch"):
        found.extend(_sister_question(each) for each in apart(state, batch.id))
        found.extend(_late(state, batch))
    return tuple(found)


def _mark_questions(state: State, block: Fact) -> Iterable[Question]:
    mark = block["mark"].strip()
    check = marks.check_mark(mark)
    if check.fault is not None:
        code = "mark_wrong_digit" if check.fault == "wrong_digit" else "mark_not_usual"
        yield Question(code, "press", (block.id,), "unlikely", {"mark": mark})
    alike = with_mark(state, mark)
    if len(alike) > 1 and alike[0].id == block.id:
        about = tuple(sorted(each.id for each in alike))
        yield Question("mark_twice", "press", about, "contested", {"mark": mark, "n": len(alike)})


def _value_questions(state: State, block: Fact) -> Iterable[Question]:
    for result in (green_density(state, block), soil_pressure(state, block), compression(state, block)):
        if isinstance(result, Withheld) and result.fault.code not in ("needed", "not_found"):
            yield Question(result.fault.code, "press", (block.id,), "impossible", {"mark": block["mark"], **result.fault.values})
    if not block.get("press") or "gauge" not in block.values:
        return
    press = state.find(block["press"], "press")
    wanted = None if press is None or press.fault is not None else press.number("gauge_wanted")
    gauge = block.needed("gauge")
    apart = judged("gauge-apart")
    if wanted and judged("gauge-least") <= gauge <= judged("gauge-most") and not 1 / apart < gauge / wanted < apart:
        values = {"mark": block["mark"], "times": gauge / wanted}
        yield Question("gauge_far_from_wanted", "press", (block.id,), "unlikely", values)


def _sister_question(each: Apart) -> Question:
    side = "up" if each.apart > 0 else "down"
    code = "sister_ten_times" if each.ten_times else f"sister_{each.quantity}_{side}"
    values = {"mark": each.block["mark"], "what": each.quantity, "apart_pct": round(100 * abs(each.apart), 1)}
    return Question(code, "press", (each.block.id,), "unlikely", values)


def _late(state: State, batch: Fact) -> Iterable[Question]:
    """Blocks pressed after the hold limit, asked about together."""
    held = [(minutes_held(state, block), block) for block in state.where("block", "batch", batch.id)]
    limit = weigh.hold_limit(batch)
    late = [(minutes, block) for minutes, block in held if minutes is not None and minutes > limit]
    if late:
        about = tuple(sorted(block.id for _, block in late))
        values = {"n": len(late), "minutes": round(max(minutes for minutes, _ in late)), "limit": limit}
        yield Question("pressed_late", "press", about, "unlikely", values)


def due(state: State, today: date) -> tuple[Due, ...]:
    """Batches that are weighed and not all pressed yet."""
    return tuple(
        _due(state, batch)
        for batch in state.all("batch")
        if not weigh.next_weighing(state, batch) and not is_over(state, batch, today)
    )


def _due(state: State, batch: Fact) -> Due:
    n, wanted = len(state.where("block", "batch", batch.id)), len(planning.plan_row_marks(state, batch))
    if not n:
        return Due("press_blocks", "press", batch.id)
    return Due("press_rest" if wanted else "press_more", "press", batch.id, values={"n": n, "wanted": wanted})


def is_over(state: State, batch: Fact, today: date) -> bool:
    """Whether nothing more of a batch is to be pressed: somebody said so, or its plan is full.

    A batch of no plan does not say how many blocks it has: with one pressed, it is over a day later or once its cure began.
    """
    if state.where("all_pressed", "batch", batch.id):
        return True
    pressed = len(state.where("block", "batch", batch.id))
    wanted = len(planning.plan_row_marks(state, batch))
    if wanted:
        return pressed >= wanted
    return bool(pressed) and (state.day(batch) < today or bool(state.where("cure_step", "batches", batch.id)))
