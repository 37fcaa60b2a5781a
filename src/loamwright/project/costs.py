"""What a mix costs: block mass, stabiliser, scarce soil, bags and trips, from prices as they were typed."""

from collections.abc import Mapping
from dataclasses import dataclass

from loamwright import units
from loamwright.engine.bench import moisture
from loamwright.engine.choice import ranking as ranks
from loamwright.engine.yard import bags as bagging
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project import blends, compare, dig, press
from loamwright.project.block_of_work import block_of_work
from loamwright.project.brief import brief
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given
from loamwright.project.state import Fact, State

HARD = "hard"
"""How a source is called that is scarce."""

SOURCE_COST = Formula(
    "source_cost",
    "c_i",
    "money/kg",
    "price / m_dry",
    {"price": Term("price", "money"), "m_dry": Term("dry_soil_mass", "kg")},
    "derivation-cost",
)
SOIL_COST = Formula(
    "soil_cost",
    "c_soil",
    "money/kg",
    "dot(f_each, c_each)",
    {"f_each": Term("mass_share", "1"), "c_each": Term("source_cost", "money/kg")},
    "derivation-cost",
)
STABILISER_COST = Formula(
    "stabiliser_cost",
    "c_s",
    "money/kg",
    "price / B",
    {"price": Term("price", "money"), "B": Term("bag_mass", "kg")},
    "derivation-cost",
)
STABILISER_PER_BLOCK = Formula(
    "stabiliser_per_block",
    "C_b",
    "kg",
    "m_b * p",
    {"m_b": Term("dry_block_mass", "kg"), "p": Term("stabiliser_of_total", "1")},
    "derivation-cost",
)
SOIL_PER_BLOCK = Formula(
    "scarce_soil_per_block",
    "S_b",
    "kg",
    "m_b * (1 - p) * f_i",
    {"m_b": Term("dry_block_mass", "kg"), "p": Term("stabiliser_of_total", "1"), "f_i": Term("mass_share", "1")},
    "derivation-cost",
)
SOIL_MASS = Formula(
    "dry_soil_mass",
    "m",
    "kg",
    "n * m_b * (1 - p) * f_i",
    {
        "n": Term("blocks", "1"),
        "m_b": Term("dry_block_mass", "kg"),
        "p": Term("stabiliser_of_total", "1"),
        "f_i": Term("mass_share", "1"),
    },
    "derivation-cost",
)


@dataclass(frozen=True, slots=True)
class Haul:
    """What one source has to be hauled for the whole work: dry mass, loads, and trips rounded up."""

    source: str
    mass: Finding
    loads: Finding
    trips: int


@dataclass(frozen=True, slots=True)
class MixCost:
    """What a mix takes, each a finding or why there is none.

    Attributes
    ----------
    key : str
        The mix.
    block_mass : Result
        Dry mass of one block. [kg]
    stabiliser : Result
        Stabiliser in one block. [kg]
    scarce : Result
        Dry mass of soils that are hard to get, in one block. [kg]
    cost : Result
        Money per good block.
    bags : BagCount or None
        Bags for the whole work; None where its blocks or the bag are not known.
    bag_price : float or None
        Money for one bag.
    hauls : tuple of Haul
        Sources that come in trips of a known mass.
    trips : int or None
        All trips; None where the number of blocks, or what a trip carries, is not known.
    spoiled_share : float
        Share of pressed blocks that were lost. [-]
    notes : tuple of Note
    """

    key: str
    block_mass: Result
    stabiliser: Result
    scarce: Result
    cost: Result
    bags: bagging.BagCount | None
    bag_price: float | None
    hauls: tuple[Haul, ...]
    trips: int | None
    spoiled_share: float
    notes: tuple[Note, ...]


MOST_MONEY = 1e12  # more of any currency is a slip


def price(fact: Fact, field: str) -> Given:
    """A price as typed; `InputError` ("price_missing", "price_not_read") where there is none: it is not a price of zero."""
    typed = fact.get(field, "")
    if not typed:
        raise InputError("price_missing", name=fact.get("name", ""), field=field)
    try:
        value = units.parse_number(typed)
    except InputError:
        raise InputError("price_not_read", name=fact.get("name", ""), typed=typed) from None
    if not 0 <= value <= MOST_MONEY:
        raise InputError("price_not_read", name=fact.get("name", ""), typed=typed)
    return Given(value, (fact.head,), typed)


def source_cost(state: State, source: str) -> Finding:
    """Money per kilogram of dry soil of one source, at the pile."""
    fact = state.fact(source, "source")
    asked = price(fact, "price")
    if asked.value == 0:
        return Finding(SOURCE_COST, 0.0, {"price": asked, "m_dry": Given(1.0)})
    mass = _priced_mass(state, fact)
    assert isinstance(asked.value, float)
    return Finding(SOURCE_COST, asked.value / mass.value, {"price": asked, "m_dry": mass})


def _priced_mass(state: State, fact: Fact) -> Finding:
    """Dry mass that one price pays for: a tonne or a trip as it comes, or a loose cubic metre."""
    per = fact.get("price_per")
    if per == "m3":
        density = dig.loose_density(state, fact.id)
        if density is None:
            raise InputError("pail_needed_for_price", name=fact["name"])
        if isinstance(density, Withheld):
            raise density.fault
        cubic = Formula(
            "dry_soil_mass", "m", "kg", "V * rho", {"V": Term("loose_volume", "m3"), "rho": Term("loose_dry_density", "kg/m3")},
            "derivation-cost",
        )  # fmt: skip
        return Finding(cubic, density.value, {"V": Given(1.0), "rho": density})
    if per == "trip":
        return dry_trip(state, fact)
    if per == "t":
        return blends.dry_soil(Given(1000.0), dig.moisture_or_usual(state, fact.id))
    raise InputError("price_for_what", name=fact["name"])


def dry_trip(state: State, fact: Fact) -> Finding:
    """Dry mass that one trip brings, the soil being as damp as it lies."""
    if "trip_mass" not in fact.values:
        raise InputError("trip_mass_missing", name=fact["name"])
    water = dig.moisture_or_usual(state, fact.id)
    load = given(fact, "trip_mass")
    dry = moisture.dry_mass(fact.needed("trip_mass"), water_content=water.value)
    return Finding(moisture.DRY_MASS, dry, {"m": load, "w": water})


def mix_cost(state: State, key: str) -> MixCost:
    """What one mix takes and costs."""
    return state.memo(("mix_cost", key), lambda: _mix_cost(state, key))


def _mix_cost(state: State, key: str) -> MixCost:
    mix = compare.mix_of_key(state, key)
    blend = state.fact(mix["blend"], "blend")
    shares, notes = blends.mass_shares(state, blend)
    mass = attempt("dry_block_mass", (mix.id,), lambda: block_of_work(state, key).mass)
    dose = attempt("stabiliser_of_total", (mix.id,), lambda: blends.wanted_dose(mix))
    spoiled = press.spoiled_share(state, mix.id)
    lost = float(spoiled.value) if isinstance(spoiled, Finding) else 0.0
    hauls = _hauls(state, shares, mass, dose)
    return MixCost(
        key=key,
        block_mass=mass,
        stabiliser=attempt("stabiliser_per_block", (mix.id,), lambda: _stabiliser(mass, dose)),
        scarce=attempt("scarce_soil_per_block", (mix.id,), lambda: _scarce(state, shares, mass, dose)),
        cost=attempt("cost_per_block", (mix.id,), lambda: _cost(state, mix, shares, mass, dose, lost)),
        bags=_bags(state, mix, mass, dose),
        bag_price=_bag_price(state, mix),
        hauls=hauls or (),
        trips=None if hauls is None else sum(haul.trips for haul in hauls),
        spoiled_share=lost,
        notes=notes,
    )


def _both(mass: Result, dose: Result) -> tuple[Finding, Finding]:
    """Block mass and dose, or the reason why one of them cannot be given."""
    for each in (mass, dose):
        if isinstance(each, Withheld):
            raise each.fault
    assert isinstance(mass, Finding) and isinstance(dose, Finding)
    return mass, dose


def _stabiliser(mass: Result, dose: Result) -> Finding:
    block, share = _both(mass, dose)
    return Finding(STABILISER_PER_BLOCK, block.value * share.value, {"m_b": block, "p": share})


def _scarce(state: State, shares: Mapping[str, float], mass: Result, dose: Result) -> Finding:
    block, share = _both(mass, dose)
    hard = [source for source in sorted(shares) if state.fact(source, "source").get("ease") == HARD]
    part = sum(shares[source] for source in hard)
    named = Given(part, tuple(state.fact(source, "source").head for source in hard))
    return Finding(SOIL_PER_BLOCK, block.value * (1 - share.value) * part, {"m_b": block, "p": share, "f_i": named})


def _soil_cost(state: State, shares: Mapping[str, float]) -> Finding:
    costs = {source: source_cost(state, source) for source in sorted(shares)}
    value = ranks.soil_cost(shares, source_cost={source: each.value for source, each in costs.items()})
    entries = tuple(sorted({entry for each in costs.values() for entry in each.entries()}))
    notes = tuple(dict.fromkeys(note.code for each in costs.values() for note in each.all_notes()))
    parts = Given(tuple(shares[source] for source in costs))
    prices = Given(tuple(each.value for each in costs.values()), entries)
    first = {note.code: note for each in costs.values() for note in each.all_notes()}
    return Finding(SOIL_COST, value, {"f_each": parts, "c_each": prices}, tuple(first[code] for code in notes))


def _stabiliser_cost(state: State, mix: Fact) -> Finding | Given:
    if not mix.get("stabiliser"):
        return Given(0.0)
    stabiliser = state.fact(mix["stabiliser"], "stabiliser")
    paid, bag = price(stabiliser, "bag_price"), given(stabiliser, "bag_mass")
    assert isinstance(paid.value, float) and isinstance(bag.value, float)
    if bag.value <= 0:
        raise InputError("not_positive", quantity="bag_mass", value=bag.value)
    return Finding(STABILISER_COST, paid.value / bag.value, {"price": paid, "B": bag})


def _cost(state: State, mix: Fact, shares: Mapping[str, float], mass: Result, dose: Result, lost: float) -> Finding:
    block, share = _both(mass, dose)
    soil, stabiliser, other = _soil_cost(state, shares), _stabiliser_cost(state, mix), _other_cost(state)
    assert isinstance(stabiliser.value, float) and isinstance(other.value, float)
    value = ranks.cost_per_block(
        block.value,
        stabiliser_of_total=share.value,
        soil_cost=soil.value,
        stabiliser_cost=stabiliser.value,
        other_cost=other.value,
        spoiled_share=lost,
    )
    notes = () if other.entries else (Note("materials_only"),)
    inputs = {"m_b": block, "p": share, "c_soil": soil, "c_s": stabiliser, "c_other": other, "q": Given(lost)}
    return Finding(ranks.COST_PER_BLOCK, value, inputs, notes)


def _other_cost(state: State) -> Given:
    said = brief(state).fact
    return Given(0.0) if said is None or "other_cost" not in said.values else price(said, "other_cost")


def _blocks_wanted(state: State) -> Given | None:
    said = brief(state).fact
    return None if said is None or said.get("blocks", 0) < 1 else Given(float(said["blocks"]), (said.head,))


def _bags(state: State, mix: Fact, mass: Result, dose: Result) -> bagging.BagCount | None:
    wanted = _blocks_wanted(state)
    stabiliser = state.find(mix["stabiliser"], "stabiliser") if mix.get("stabiliser") else None
    bag = None if stabiliser is None else stabiliser.number("bag_mass")
    if wanted is None or not bag or bag < 0 or isinstance(mass, Withheld) or isinstance(dose, Withheld):
        return None
    assert isinstance(wanted.value, float)
    return bagging.bags_needed(int(wanted.value), dry_block_mass=mass.value, stabiliser_of_total=dose.value, bag_mass=bag)


def _bag_price(state: State, mix: Fact) -> float | None:
    if not mix.get("stabiliser"):
        return None
    try:
        value = price(state.fact(mix["stabiliser"], "stabiliser"), "bag_price").value
    except InputError:
        return None
    return value if isinstance(value, float) else None


def _hauls(state: State, shares: Mapping[str, float], mass: Result, dose: Result) -> tuple[Haul, ...] | None:
    """Hauls of the sources that come from away; None where one cannot be counted. A source without a way to haul lies on site."""
    wanted = _blocks_wanted(state)
    if wanted is None or isinstance(mass, Withheld) or isinstance(dose, Withheld):
        return None
    found: list[Haul] = []
    for source in sorted(shares):
        fact = state.fact(source, "source")
        if "trip_mass" not in fact.values and "distance" not in fact.values:
            continue
        try:
            found.append(_haul(state, fact, wanted, shares[source], mass, dose))
        except InputError:
            return None
    return tuple(found)


def _haul(state: State, fact: Fact, wanted: Given, part: float, mass: Finding, dose: Finding) -> Haul:
    load = dry_trip(state, fact)
    assert isinstance(wanted.value, float)
    soil = wanted.value * mass.value * (1 - dose.value) * part
    hauled = Finding(SOIL_MASS, soil, {"n": wanted, "m_b": mass, "p": dose, "f_i": Given(part)})
    found = ranks.trips(soil, load_mass=load.value)
    return Haul(fact.id, hauled, Finding(ranks.LOADS, found.loads, {"m": hauled, "m_load": load}), found.trips)
