"""A batch in words: orders at the scale's step, what was reached, what to do about a miss."""

from loamwright.engine.bench.hold import Hold
from loamwright.errors import InputError
from loamwright.project.plan_offers import damp_by_source
from loamwright.project.state import Fact, State
from loamwright.project.weigh import BatchView
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown, number, percent, span, to_step, typed
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

Order = dict[str, str]
_NAMES = {"soil": later("Damp soil"), "stabiliser": later("Stabiliser"), "water": later("Water")}


def mass_order(name: str, mass: float, step: float, shown: Shown) -> Order:
    """An order to weigh a mass, at the scale's step, in the person's unit."""
    unit = shown.unit("mass")
    return {"text": name, "number": to_step(unit.from_engine(mass), unit.from_engine(step)), "unit": unit.label, "then": ""}


def orders(view: BatchView, shown: Shown) -> list[Order]:
    """The three big numbers of a batch."""
    found = [mass_order(tr("Damp soil"), view.fact.needed("soil_wanted"), view.scale_step, shown)]
    if view.dose.value > 0:
        found.append(mass_order(tr("Stabiliser"), view.stabiliser_order, view.scale_step, shown))
    if view.water_order is None:
        too_wet = tr("The soil holds too much already: dry it first.")
        found.append({"text": tr("Water"), "number": tr("none"), "unit": "", "then": too_wet})
    else:
        found.append(mass_order(tr("Water"), view.water_order, view.scale_step, shown))
    return found


def from_piles(state: State, blend: Fact, moist_mass: float, step: float, shown: Shown) -> str:
    """How a mass of damp blended soil is made up: "Bank sand 8.500 kg and Red clay 2.200 kg, mixed together."; "" for one pile."""
    try:
        parts = damp_by_source(state, blend, moist_mass)
    except InputError:
        return ""
    if len(parts) < 2:
        return ""
    orders = [(name_of(state, source), mass_order("", part.value, step, shown)) for source, part in parts.items()]
    said = [f"{name} {order['number']}\u202f{order['unit']}" for name, order in orders]
    return tr("{first} and {last}, damp, mixed together.", first=", ".join(said[:-1]), last=said[-1])


def next_order(view: BatchView, waits: str, shown: Shown) -> Order | None:
    """The order to follow now, or None where all is weighed."""
    by_name = {order["text"]: order for order in orders(view, shown)}
    return by_name.get(tr(_NAMES.get(waits, "")))


def conventions(view: BatchView) -> str:
    """The dose reached, in every convention at once."""
    every = view.conventions
    if every is None:
        return ""
    total, soil = percent(every.of_total_dry_mix, 2), percent(every.of_dry_soil, 2)
    text = tr("{total} of the total dry mix = {soil} of the dry soil", total=total, soil=soil)
    return tr("{text} = 1 : {n} by loose volume", text=text, n=number(every.one_to_n, 1)) if every.one_to_n else text


def miss(view: BatchView) -> tuple[str, str]:
    """Whether the dose reached is the mix, and the shape of that state."""
    if view.miss is None:
        return "", ""
    code = view.miss.kind
    values = {"wanted_pct": 100 * view.dose.value, "achieved_pct": 100 * view.miss.achieved_of_total}
    return sentence(f"miss_{code}", values), "not_met" if code == "its_own_mix" else "met"


def remedy(view: BatchView, shown: Shown) -> Order | None:
    """Soil to add after an overdose, while no water is in."""
    if view.remedy is None:
        return None
    order = mass_order(tr("Add damp soil"), view.remedy.moist_soil_mass, view.scale_step, shown)
    return {**order, "then": tr("Before any water: mix it in dry, split as the blend is. Then weigh it as soil here.")}


def hold(state: Hold | None) -> str:
    """How long the stabiliser has been in and how long is left."""
    if state is None:
        return ""
    if state.minutes_left < 0:
        limit = span(state.limit_minutes)
        return tr(
            "{held} since the stabiliser went in: past the {limit} it may wait.", held=span(state.minutes_held), limit=limit
        )
    return tr("{held} since the stabiliser went in, {left} left.", held=span(state.minutes_held), left=span(state.minutes_left))


def weighing_line(fact: Fact, shown: Shown) -> str:
    """One weighing as it was made."""
    said = tr("{what} {mass}", what=tr(_NAMES[fact["what"]]), mass=typed(fact["mass"]))
    return tr("{weighed}, container {tare} off", weighed=said, tare=typed(fact["tare"])) if "tare" in fact.values else said
