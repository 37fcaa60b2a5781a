"""A batch in words: orders at the scale's step, what was reached, what to do about a miss."""

from loamwright.engine.bench.hold import Hold
from loamwright.errors import InputError
from loamwright.project.plan_offers import damp_by_source
from loamwright.project.state import Fact, State
from loamwright.project.weigh import BatchView
from loamwright.words.numbers import Shown, number, percent, span, to_step
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

Order = dict[str, str]
_NAMES = {"soil": "Damp soil", "stabiliser": "Stabiliser", "water": "Water"}


def mass_order(name: str, mass: float, step: float, shown: Shown) -> Order:
    """An order to weigh a mass, at the scale's step, in the person's unit."""
    unit = shown.unit("mass")
    return {"text": name, "number": to_step(unit.from_engine(mass), unit.from_engine(step)), "unit": unit.label, "then": ""}


def orders(view: BatchView, shown: Shown) -> list[Order]:
    """The three big numbers of a batch."""
    found = [mass_order("Damp soil", view.fact.needed("soil_wanted"), view.scale_step, shown)]
    if view.dose.value > 0:
        found.append(mass_order("Stabiliser", view.stabiliser_order, view.scale_step, shown))
    if view.water_order is None:
        found.append({"text": "Water", "number": "none", "unit": "", "then": "The soil holds too much already: dry it first."})
    else:
        found.append(mass_order("Water", view.water_order, view.scale_step, shown))
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
    return f"{', '.join(said[:-1])} and {said[-1]}, damp, mixed together."


def next_order(view: BatchView, waits: str, shown: Shown) -> Order | None:
    """The order to follow now, or None where all is weighed."""
    by_name = {order["text"]: order for order in orders(view, shown)}
    return by_name.get(_NAMES.get(waits, ""))


def conventions(view: BatchView) -> str:
    """The dose reached, in every convention at once."""
    every = view.conventions
    if every is None:
        return ""
    text = f"{percent(every.of_total_dry_mix, 2)} of the total dry mix = {percent(every.of_dry_soil, 2)} of the dry soil"
    return f"{text} = 1 : {number(every.one_to_n, 1)} by loose volume" if every.one_to_n else text


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
    order = mass_order("Add damp soil", view.remedy.moist_soil_mass, view.scale_step, shown)
    return {**order, "then": "Before any water: mix it in dry, split as the blend is. Then weigh it as soil here."}


def hold(state: Hold | None) -> str:
    """How long the stabiliser has been in and how long is left."""
    if state is None:
        return ""
    if state.minutes_left < 0:
        return f"{span(state.minutes_held)} since the stabiliser went in: past the {span(state.limit_minutes)} it may wait."
    return f"{span(state.minutes_held)} since the stabiliser went in, {span(state.minutes_left)} left."


def weighing_line(fact: Fact, shown: Shown) -> str:
    """One weighing as it was made."""
    tare = f", container {fact['tare'].typed} {fact['tare'].unit} off" if "tare" in fact.values else ""
    return f"{_NAMES[fact['what']]} {fact['mass'].typed} {fact['mass'].unit}{tare}"
