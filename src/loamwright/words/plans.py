"""Water ladders and trial plans in words: steps, orders, three sizes side by side, batches with the fate of each block."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from loamwright.project.finding import Finding, Result
from loamwright.project.ladder import Ladder, Step, StepOrder
from loamwright.project.plan_offers import Offer
from loamwright.project.planning import RowView
from loamwright.project.state import State
from loamwright.words.batches import Order, mass_order
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown, count, number, percent
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

SIZE_NAMES: Mapping[str, str] = {
    "small": later("Small"),
    "usual": later("Usual"),
    "official": later("For the official"),
}
_SEEN: Mapping[str, Mapping[str, str]] = {
    "ejects": {
        "clean": later("came out clean"),
        "corners": later("lost corners"),
        "sticks": later("stuck or sweated"),
        "broke": later("broke"),
    },
    "look": {"rough": later("rough and open"), "even": later("even"), "shiny": later("shiny, smeared")},
    "squeeze": {"crumbles": later("crumbles in the hand"), "holds": later("holds, palm dry"), "wet": later("wet palm")},
    "poke": {"firm": later("firm to the thumb"), "dents": later("dents under the thumb")},
}
FATES: Mapping[str, str] = {"soaked": later("soaked"), "dry": later("dry"), "spare": later("spare")}


# --- ladder ---


def ladder_says(found: Ladder) -> str:
    """What comes next on a ladder."""
    water = "" if found.next_water is None else f"{100 * found.next_water:.3g}"
    return sentence(found.why, {"water_pct": water})


def ladder_waits(found: Ladder) -> str:
    """How far a ladder is, in a few words."""
    if not found.steps:
        return tr("not begun")
    pressed = count(len(found.steps), "block")
    return tr("done") if found.why == "ladder_done" else tr("{pressed}, more to press", pressed=pressed)


def step_words(state: State, step: Step) -> str:
    """How one ladder block came out, looked and felt."""
    fact = step.fact
    said = [tr(words[fact[field]]) for field, words in _SEEN.items() if field in fact.values]
    if fact.get("stabiliser"):
        return tr("{seen}; with {stabiliser}", seen=", ".join(said), stabiliser=name_of(state, fact["stabiliser"]))
    return tr("{seen}; without stabiliser", seen=", ".join(said))


def step_orders(order: StepOrder, shown: Shown) -> list[Order]:
    """What to weigh for the next ladder block."""
    soil = mass_order(tr("Damp soil, mixed as the blend is"), order.soil_order, order.scale_step, shown)
    if order.water_order is None:
        too_wet = tr("The soil holds too much already: dry it first.")
        return [soil, {"text": tr("Water"), "number": tr("none"), "unit": "", "then": too_wet}]
    return [soil, mass_order(tr("Water"), order.water_order, order.scale_step, shown)]


# --- three plans side by side ---


def mass_words(result: Result, shown: Shown) -> str:
    """A mass to have at hand, to one decimal; its unit stands at the head of its row."""
    return number(shown.unit("mass").from_engine(result.value), 1) if isinstance(result, Finding) else tr("not known")


def difference_words(result: Result) -> str:
    """The smallest difference a plan shows, or that it shows none."""
    if isinstance(result, Finding):
        return percent(result.value, 0)
    return tr("screens only") if result.fault.code == "too_few_batches" else tr("one mix only")


def minutes_words(result: Result) -> str:
    """Minutes at the press, or what it needs."""
    return number(result.value, 0) if isinstance(result, Finding) else tr("rate not known")


def offer_table(state: State, offers: Sequence[Offer], shown: Shown) -> tuple[list[dict[str, object]], list[list[str]]]:
    """Columns and rows of the table of plans."""
    sizes = [{"label": tr(SIZE_NAMES[each.size]), "count": True} for each in offers]
    columns: list[dict[str, object]] = [{"label": tr("What it takes")}, *sizes]
    rows = [
        [tr("Days"), *(str(each.days) for each in offers)],
        [tr("Batches"), *(str(len(each.rows)) for each in offers)],
        [tr("Blocks"), *(str(each.blocks) for each in offers)],
        [tr("Mould fillings"), *(str(each.blocks) for each in offers)],
    ]
    mass = shown.unit("mass").label
    for source in offers[0].soil:
        rows.append(
            [
                tr("{source}, damp, {unit}", source=name_of(state, source), unit=mass),
                *(mass_words(each.soil[source], shown) for each in offers),
            ]
        )
    for stabiliser in offers[0].stabiliser:
        rows.append(
            [f"{name_of(state, stabiliser)}, {mass}", *(mass_words(each.stabiliser[stabiliser], shown) for each in offers)]
        )
    rows += [
        [tr("Water to add, {unit}", unit=mass), *(mass_words(each.water, shown) for each in offers)],
        [tr("Time at the press, min"), *(minutes_words(each.minutes) for each in offers)],
        [tr("Difference it shows, 80 % sure"), *(difference_words(each.difference) for each in offers)],
    ]
    return columns, rows


# --- a kept plan ---


def fates_words(row: RowView) -> str:
    """What a batch is for: "3 soaked 28 d, 2 dry 28 d, 1 spare"."""
    order = sorted(row.fates, key=lambda fate: (list(FATES).index(fate.fate) if fate.fate in FATES else 9, fate.age or 0))
    found = []
    for (fate, age), blocks in groupby(order, key=lambda fate: (fate.fate, fate.age)):
        how_many, what = len(list(blocks)), tr(FATES.get(fate, fate))
        found.append(
            tr("{n} {fate} at {age} d", n=how_many, fate=what, age=age) if age else tr("{n} {fate}", n=how_many, fate=what)
        )
    return ", ".join(found)


def block_words(row: RowView) -> list[dict[str, str]]:
    """Mark and fate of every block of a batch, in pressing order."""
    return [
        {"what": f"{place}. {mark}", "when": f"{tr(FATES.get(fate.fate, fate.fate))}{f', {fate.age} d' if fate.age else ''}"}
        for place, (mark, fate) in enumerate(zip(row.marks, row.fates, strict=True), 1)
    ]


def row_name(state: State, row: RowView) -> str:
    """A row of a plan: its mix, or which of its mixes it may become."""
    if len(row.mixes) == 1:
        return name_of(state, row.mixes[0])
    return tr("First of the two made again") if row.place == 1 else tr("Second of the two made again")


def row_state(row: RowView) -> str:
    """How far a row of a plan is."""
    if row.batch is None:
        return tr("day {n}", n=row.day)
    return tr("{n} of {all} pressed", n=row.pressed, all=len(row.fates)) if row.pressed else tr("opened")
