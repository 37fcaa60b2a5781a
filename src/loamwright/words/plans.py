"""Water ladders and trial plans in words: steps, orders, three sizes side by side, batches with the fate of each block."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from loamwright.project.finding import Finding, Result
from loamwright.project.ladder import Ladder, Step, StepOrder
from loamwright.project.plan_offers import Offer
from loamwright.project.planning import RowView
from loamwright.project.state import State
from loamwright.words.batches import Order, mass_order
from loamwright.words.numbers import Shown, count, number, percent
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

SIZE_NAMES: Mapping[str, str] = {"small": "Small", "usual": "Usual", "official": "For the official"}
_SEEN: Mapping[str, Mapping[str, str]] = {
    "ejects": {"clean": "came out clean", "corners": "lost corners", "sticks": "stuck or sweated", "broke": "broke"},
    "look": {"rough": "rough and open", "even": "even", "shiny": "shiny, smeared"},
    "squeeze": {"crumbles": "crumbles in the hand", "holds": "holds, palm dry", "wet": "wet palm"},
    "poke": {"firm": "firm to the thumb", "dents": "dents under the thumb"},
}
FATES: Mapping[str, str] = {"soaked": "soaked", "dry": "dry", "spare": "spare"}


# --- ladder ---


def ladder_says(found: Ladder) -> str:
    """What comes next on a ladder."""
    water = "" if found.next_water is None else f"{100 * found.next_water:.3g}"
    return sentence(found.why, {"water_pct": water})


def ladder_waits(found: Ladder) -> str:
    """How far a ladder is, in a few words."""
    if not found.steps:
        return "not begun"
    pressed = count(len(found.steps), "block")
    return "done" if found.why == "ladder_done" else f"{pressed}, more to press"


def step_words(state: State, step: Step) -> str:
    """How one ladder block came out, looked and felt."""
    fact = step.fact
    said = [words[fact[field]] for field, words in _SEEN.items() if field in fact.values]
    inside = f"with {name_of(state, fact['stabiliser'])}" if fact.get("stabiliser") else "without stabiliser"
    return f"{', '.join(said)}; {inside}"


def step_orders(order: StepOrder, shown: Shown) -> list[Order]:
    """What to weigh for the next ladder block."""
    soil = mass_order("Damp soil, mixed as the blend is", order.soil_order, order.scale_step, shown)
    if order.water_order is None:
        return [soil, {"text": "Water", "number": "none", "unit": "", "then": "The soil holds too much already: dry it first."}]
    return [soil, mass_order("Water", order.water_order, order.scale_step, shown)]


# --- three plans side by side ---


def mass_words(result: Result, shown: Shown) -> str:
    """A mass to have at hand, to one decimal; its unit stands at the head of its row."""
    return number(shown.unit("mass").from_engine(result.value), 1) if isinstance(result, Finding) else "not known"


def difference_words(result: Result) -> str:
    """The smallest difference a plan shows, or that it shows none."""
    if isinstance(result, Finding):
        return percent(result.value, 0)
    return "screens only" if result.fault.code == "too_few_batches" else "one mix only"


def minutes_words(result: Result) -> str:
    """Minutes at the press, or what it needs."""
    return number(result.value, 0) if isinstance(result, Finding) else "rate not known"


def offer_table(state: State, offers: Sequence[Offer], shown: Shown) -> tuple[list[dict[str, object]], list[list[str]]]:
    """Columns and rows of the table of plans."""
    sizes = [{"label": SIZE_NAMES[each.size], "count": True} for each in offers]
    columns: list[dict[str, object]] = [{"label": "What it takes"}, *sizes]
    rows = [
        ["Days", *(str(each.days) for each in offers)],
        ["Batches", *(str(len(each.rows)) for each in offers)],
        ["Blocks", *(str(each.blocks) for each in offers)],
        ["Mould fillings", *(str(each.blocks) for each in offers)],
    ]
    mass = shown.unit("mass").label
    for source in offers[0].soil:
        rows.append([f"{name_of(state, source)}, damp, {mass}", *(mass_words(each.soil[source], shown) for each in offers)])
    for stabiliser in offers[0].stabiliser:
        rows.append(
            [f"{name_of(state, stabiliser)}, {mass}", *(mass_words(each.stabiliser[stabiliser], shown) for each in offers)]
        )
    rows += [
        [f"Water to add, {mass}", *(mass_words(each.water, shown) for each in offers)],
        ["Time at the press, min", *(minutes_words(each.minutes) for each in offers)],
        ["Difference it shows, 80 % sure", *(difference_words(each.difference) for each in offers)],
    ]
    return columns, rows


# --- a kept plan ---


def fates_words(row: RowView) -> str:
    """What a batch is for: "3 soaked 28 d, 2 dry 28 d, 1 spare"."""
    order = sorted(row.fates, key=lambda fate: (list(FATES).index(fate.fate) if fate.fate in FATES else 9, fate.age or 0))
    found = []
    for (fate, age), blocks in groupby(order, key=lambda fate: (fate.fate, fate.age)):
        found.append(f"{len(list(blocks))} {FATES.get(fate, fate)}{f' at {age} d' if age else ''}")
    return ", ".join(found)


def block_words(row: RowView) -> list[dict[str, str]]:
    """Mark and fate of every block of a batch, in pressing order."""
    return [
        {"what": f"{place}. {mark}", "when": f"{FATES.get(fate.fate, fate.fate)}{f', {fate.age} d' if fate.age else ''}"}
        for place, (mark, fate) in enumerate(zip(row.marks, row.fates, strict=True), 1)
    ]


def row_name(state: State, row: RowView) -> str:
    """A row of a plan: its mix, or which of its mixes it may become."""
    if len(row.mixes) == 1:
        return name_of(state, row.mixes[0])
    return "First of the two made again" if row.place == 1 else "Second of the two made again"


def row_state(row: RowView) -> str:
    """How far a row of a plan is."""
    if row.batch is None:
        return f"day {row.day}"
    return f"{row.pressed} of {len(row.fates)} pressed" if row.pressed else "opened"
