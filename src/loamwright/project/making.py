"""Make: the chosen mix in whole pails and half bags, what each batch really reaches, and what the yard still lacks for it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from loamwright import __version__
from loamwright.engine.bench import dose as dosing
from loamwright.engine.bench import hold as holding
from loamwright.engine.bench import moisture, weigh_out
from loamwright.engine.blend.parts import blend_dry_mass_formula, reduced_parts
from loamwright.engine.yard import bags as bagging
from loamwright.engine.yard import batch as batching
from loamwright.engine.yard.batch import WHOLE_MISS, Recipe, Yard
from loamwright.engine.yard.recipe import RecipeSearch, Split, recipe_search, split_batch
from loamwright.errors import InputError, check_between
from loamwright.formula import Formula, Term
from loamwright.project import blends, choosing, dig, ladder
from loamwright.project.block_of_work import block_of_work
from loamwright.project.finding import Finding, Given, given
from loamwright.project.plan_offers import target_water
from loamwright.project.state import Fact, State

DRY_SOIL = Formula(
    "dry_soil_mass", "S", "kg", "sets * S_1", {"sets": Term("sets", "1"), "S_1": Term("blend_dry_mass", "kg")}, "derivation-yard"
)
STABILISER = Formula(
    "stabiliser_mass", "C", "kg", "bags * B", {"bags": Term("bags", "1"), "B": Term("bag_mass", "kg")}, "derivation-yard"
)
PAIL_FROM_DENSITY = Formula(
    "pail_dry_mass",
    "m",
    "kg",
    "rho * V",
    {"rho": Term("loose_dry_density", "kg/m3"), "V": Term("pail_volume", "m3")},
    "practice-struck-pail",
)


def water_in_soil_formula(count: int) -> Formula:
    """Water that so many sources bring: pails times dry mass of one times moisture, summed.

    >>> water_in_soil_formula(1).expression
    'v_1 * m_1 * w_1'
    """
    numbers = range(1, count + 1)
    names = (("v", "pails", "1"), ("m", "pail_dry_mass", "kg"), ("w", "water_content", "1"))
    terms = {f"{symbol}_{i}": Term(name, unit) for i in numbers for symbol, name, unit in names}
    expression = " + ".join(f"v_{i} * m_{i} * w_{i}" for i in numbers)
    return Formula("water_in_soil", "W_in", "kg", expression, terms, "derivation-phases")


# --- what the yard has -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Lack:
    """Something a recipe cannot be reckoned without: a code for its sentence, and the entity to add it to, if there is one."""

    code: Literal[
        "choice", "mixer", "press", "press_rate", "press_size", "pail", "pail_volume", "pails_weighed", "bag", "stabiliser"
    ]
    about: str = ""


@dataclass(frozen=True, slots=True)
class Picked:
    """Mixer, press and pail by tap; an empty text means the usual one. `hot` halves the time a cement mix may wait."""

    mixer: str = ""
    press: str = ""
    container: str = ""
    hot: bool = False


@dataclass(frozen=True, slots=True)
class Setup:
    """Everything a recipe stands on.

    Attributes
    ----------
    choice, mix, blend, stabiliser, mixer, press, container : Fact
    parts : mapping of source to int
        One set of pails, in its smallest whole numbers.
    dose : Finding
        Wanted, of the total dry mix. [-]
    target : Finding or Given
        Moisture wanted, of the dry mix. [-]
    pails : mapping of source to Finding
        Dry mass of one struck pail. [kg]
    stock : mapping of source to Finding
        Moisture of the stock, by its newest pan test. [-]
    block_mass : Finding
        Dry mass of one block of the work: the brief's, else of this press's mould. [kg]
    yard : Yard
    """

    choice: Fact
    mix: Fact
    blend: Fact
    stabiliser: Fact
    mixer: Fact
    press: Fact
    container: Fact
    parts: Mapping[str, int]
    dose: Finding
    target: Finding | Given
    pails: Mapping[str, Finding]
    stock: Mapping[str, Finding]
    block_mass: Finding
    yard: Yard

    @property
    def target_water(self) -> float:
        """Moisture wanted, of the dry mix. [-]"""
        assert isinstance(self.target.value, float)
        return self.target.value

    @property
    def water_content(self) -> dict[str, float]:
        """Moisture of the stock by source. [-]"""
        return {source: each.value for source, each in self.stock.items()}


def _named(state: State, kind: str, wanted: str) -> Fact | None:
    return state.fact(wanted, kind) if wanted else state.latest(kind)


def _sources(state: State, mix: Fact) -> list[str]:
    return sorted(blends.parts_of(state.fact(mix["blend"], "blend")))


def _container(state: State, mix: Fact, picked: Picked) -> Fact | None:
    """The pail of the recipe: the one tapped, else the one its soils were weighed in last."""
    if picked.container:
        return state.fact(picked.container, "container")
    weighed = [fact for source in _sources(state, mix) for fact in state.where("pail_weighing", "source", source)]
    if weighed:
        newest = max(weighed, key=lambda fact: (fact.at, fact.id))
        return state.fact(newest["container"], "container")
    return state.latest("container")


def lacks(state: State, picked: Picked | None = None, *, choice: Fact | None = None) -> tuple[Lack, ...]:
    """What is missing before a recipe can be reckoned, in the order to get it; for the newest choice unless one is given."""
    picked = picked or Picked()
    choice = choice or choosing.current_choice(state)
    if choice is None:
        return (Lack("choice"),)
    mix = state.fact(choice["mix"], "mix")
    found: list[Lack] = []
    if not mix.get("stabiliser"):
        return (Lack("stabiliser", mix.id),)
    stabiliser = state.fact(mix["stabiliser"], "stabiliser")
    if "bag_mass" not in stabiliser.values:
        found.append(Lack("bag", stabiliser.id))
    found += [
        Lack("pails_weighed", source) for source in _sources(state, mix) if not isinstance(dig.pail_mass(state, source), Finding)
    ]
    container = _container(state, mix, picked)
    if container is None:
        found.append(Lack("pail"))
    elif "volume" not in container.values and not state.where("calibration", "container", container.id):
        found.append(Lack("pail_volume", container.id))
    return (*found, *_machines_lacking(state, picked))


def _machines_lacking(state: State, picked: Picked) -> list[Lack]:
    found = [] if _named(state, "mixer", picked.mixer) else [Lack("mixer")]
    press = _named(state, "press", picked.press)
    if press is None:
        return [*found, Lack("press")]
    if "rate" not in press.values:
        found.append(Lack("press_rate", press.id))
    if "block_height" not in press.values:
        found.append(Lack("press_size", press.id))
    return found


def setup(state: State, picked: Picked | None = None, *, choice: Fact | None = None) -> Setup:
    """What a recipe stands on; `InputError` ("recipe_lacks") where something is missing, and what the readings raise."""
    picked = picked or Picked()
    missing = lacks(state, picked, choice=choice)
    if missing:
        raise InputError("recipe_lacks", lacks=", ".join(each.code for each in missing))
    chosen = choice or choosing.current_choice(state)
    assert chosen is not None
    mix = state.fact(chosen["mix"], "mix")
    blend = state.fact(mix["blend"], "blend")
    stabiliser = state.fact(mix["stabiliser"], "stabiliser")
    mixer, press = _named(state, "mixer", picked.mixer), _named(state, "press", picked.press)
    container = _container(state, mix, picked)
    assert mixer is not None and press is not None and container is not None
    pails = {source: _pail(state, source, container) for source in _sources(state, mix)}
    block_mass = block_of_work(state, mix.id, press=press).mass
    yard = Yard(
        pail_dry_mass={source: each.value for source, each in pails.items()},
        pail_volume=state.container_volume(container.id, _now(state)),
        bag_mass=stabiliser.needed("bag_mass"),
        mixer_volume=state.volume(mixer["usable_volume"], mixer.at),
        press_rate=press.needed("rate"),
        hold_limit_minutes=hold_minutes(stabiliser, hot=picked.hot),
        dry_block_mass=block_mass.value,
        stabiliser_loose_density=stabiliser.number("loose_density"),
    )
    return Setup(
        chosen,
        mix,
        blend,
        stabiliser,
        mixer,
        press,
        container,
        reduced_parts(blends.parts_of(blend)),
        blends.wanted_dose(mix),
        target_water(state, blend.id),
        pails,
        {source: dig.moisture_or_usual(state, source) for source in pails},
        block_mass,
        yard,
    )


def _now(state: State) -> str:
    """The newest instant of the project: a pail counts as it was measured last."""
    return max((entry.at for entry in state.versions.entries.values()), default="")


def hold_minutes(stabiliser: Fact, *, hot: bool = False) -> float:
    """How long a mix with this stabiliser may wait for the press. [min]"""
    if stabiliser["type"] == "lime":
        return ladder.plan_figure("lime-hold")[0]
    return holding.HOT_HOLD_LIMIT_MINUTES if hot else holding.HOLD_LIMIT_MINUTES


def _pail(state: State, source: str, container: Fact) -> Finding:
    """Dry mass of the recipe's pail of a source: as weighed in it, else its loose density times the pail's volume."""
    weighed = state.where("pail_weighing", "source", source)[-1]
    mass = dig.pail_mass(state, source)
    assert isinstance(mass, Finding)
    if state.versions.entity(weighed["container"]) == container.id:
        return mass
    density = dig.loose_density(state, source)
    if not isinstance(density, Finding):
        raise InputError("pail_of_other_volume", source=state.fact(source, "source")["name"])
    volume = state.container_volume(container.id, _now(state))
    return Finding(PAIL_FROM_DENSITY, density.value * volume, {"rho": density, "V": Given(volume, (container.head,))})


# --- recipes offered ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Offered:
    """One recipe with its figures.

    Attributes
    ----------
    recipe : Recipe
    dose : Finding
        Dose really reached, of the total dry mix. [-]
    water : Finding
        Water to add with today's stock. [kg]
    blocks, minutes : Finding
        Blocks of one batch, and the time to press them. [-], [min]
    split : Split or None
        Heaps to part the dry mix into before the stabiliser, where it cannot be pressed in time.
    """

    recipe: Recipe
    dose: Finding
    water: Finding
    blocks: Finding
    minutes: Finding
    split: Split | None


@dataclass(frozen=True, slots=True)
class Offers:
    """Recipes that fit, nearest dose first; one that must be split, where it comes nearer; what the search says."""

    setup: Setup
    search: RecipeSearch
    recipes: tuple[Offered, ...]
    to_split: Offered | None


def offers(state: State, picked: Picked | None = None, *, most: int = 4) -> Offers:
    """The recipes for the current choice, at most so many."""
    ready = setup(state, picked)
    found = recipe_search(
        ready.parts,
        yard=ready.yard,
        stabiliser_of_total=ready.dose.value,
        target_water_content=ready.target_water,
        water_content=ready.water_content,
    )
    slow = None if found.too_slow is None else offered(ready, found.too_slow)
    return Offers(ready, found, tuple(offered(ready, each) for each in found.recipes[:most]), slow)


def reckon(ready: Setup, *, sets: int, half_bags: int, stock: Mapping[str, Finding] | None = None) -> Offered:
    """One recipe worked out with what the yard has, with the stock as it is or as given."""
    stock = stock or ready.stock
    check_between(1, bagging.yard_value("sets-most"), sets_of_pails=sets)
    made = batching.recipe(
        ready.parts,
        sets=sets,
        bags=half_bags / 2,
        yard=ready.yard,
        stabiliser_of_total=ready.dose.value,
        target_water_content=ready.target_water,
        water_content={source: each.value for source, each in stock.items()},
    )
    return offered(ready, made, stock)


def offered(ready: Setup, made: Recipe, stock: Mapping[str, Finding] | None = None) -> Offered:
    """The figures of one recipe, with their workings."""
    sets, bags = Given(float(made.sets)), Given(made.bags)
    bag = given(ready.stabiliser, "bag_mass")
    one_set = _one_set(ready)
    soil = Finding(DRY_SOIL, made.dry_soil_mass, {"sets": sets, "S_1": one_set})
    stabiliser = Finding(STABILISER, made.stabiliser_mass, {"bags": bags, "B": bag})
    dose = Finding(batching.DOSE_REACHED, made.stabiliser_of_total, {"bags": bags, "B": bag, "sets": sets, "S_1": one_set})
    blocks = Finding(batching.BLOCKS_PER_BATCH, float(made.blocks), {"S": soil, "C": stabiliser, "m_b": ready.block_mass})
    minutes = Finding(batching.PRESS_MINUTES, made.press_minutes, {"n": blocks, "q": given(ready.press, "rate")})
    slow = made.blocks > ready.yard.blocks_in_time
    return Offered(
        made,
        dose,
        water_finding(ready, made, soil, stabiliser, stock or ready.stock),
        blocks,
        minutes,
        split_batch(made, yard=ready.yard) if slow else None,
    )


def misses_dose(ready: Setup, made: Offered) -> bool:
    """Whether a recipe is so far off the dose that its blocks are of another mix than the chosen one."""
    return abs(made.recipe.dose_error) > weigh_out.COUNTS_AS_THE_MIX * ready.dose.value * (1.0 + WHOLE_MISS)


def weighed_stabiliser(ready: Setup, *, sets: int) -> Finding:
    """Stabiliser to weigh for so many sets of pails, where bags do not reach the dose. [kg]"""
    one_set = _one_set(ready)
    soil = Finding(DRY_SOIL, sets * one_set.value, {"sets": Given(float(sets)), "S_1": one_set})
    value = dosing.stabiliser_mass(soil.value, stabiliser_of_total=ready.dose.value)
    return Finding(dosing.STABILISER_MASS, value, {"S": soil, "p": ready.dose})


def _one_set(ready: Setup) -> Finding:
    inputs: dict[str, Given | Finding] = {}
    for i, (source, parts) in enumerate(sorted(ready.parts.items()), 1):
        inputs |= {f"v_{i}": Given(float(parts), (ready.blend.head,)), f"m_{i}": ready.pails[source]}
    value = sum(parts * ready.pails[source].value for source, parts in ready.parts.items())
    return Finding(blend_dry_mass_formula(len(ready.parts)), value, inputs)


def water_finding(ready: Setup, made: Recipe, soil: Finding, stabiliser: Finding, stock: Mapping[str, Finding]) -> Finding:
    """Water to add to a batch with a stock of this moisture."""
    inputs: dict[str, Given | Finding] = {}
    for i, (source, count) in enumerate(sorted(made.pails.items()), 1):
        inputs |= {f"v_{i}": Given(float(count)), f"m_{i}": ready.pails[source], f"w_{i}": stock[source]}
    held = Finding(water_in_soil_formula(len(made.pails)), made.water_in_soil, inputs)
    terms: dict[str, Given | Finding] = {"omega": ready.target, "S": soil, "C": stabiliser, "W_in": held}
    return Finding(batching.BATCH_WATER, made.water_to_add, terms, made.notes)


def bags_finding(ready: Setup, made: Offered, blocks: int) -> tuple[Finding, bagging.BagCount]:
    """Bags for a number of blocks of this recipe: by division, and whole."""
    dose, bag = made.dose, given(ready.stabiliser, "bag_mass")
    count = bagging.bags_needed(
        blocks, dry_block_mass=ready.block_mass.value, stabiliser_of_total=dose.value, bag_mass=ready.yard.bag_mass
    )
    inputs: dict[str, Given | Finding] = {"n": Given(float(blocks)), "m_b": ready.block_mass, "p": dose, "B": bag}
    return Finding(bagging.BAGS_NEEDED, count.exact, inputs, count.notes), count


# --- a recipe that was kept --------------------------------------------------------------------------------------------


def picked_of(fact: Fact, *, hot: bool = False) -> Picked:
    """Mixer, press and pail a kept recipe names; `hot` is today, beside what the recipe was made for."""
    return Picked(fact.get("mixer", ""), fact.get("press", ""), fact.get("container", ""), hot or bool(fact.get("hot")))


def recipe_setup(state: State, fact: Fact, *, hot: bool = False) -> Setup:
    """What a kept recipe stands on today: its own choice, mixer, press and pail, with today's stock."""
    return setup(state, picked_of(fact, hot=hot), choice=state.fact(fact["choice"], "choice"))


def recipe_body(state: State, body: dict[str, Any], entry_id: str, at: str) -> dict[str, Any]:
    """The body of a recipe with the figures a person is told in it."""
    picked = Picked(body.get("mixer", ""), body.get("press", ""), body.get("container", ""), bool(body.get("hot")))
    try:
        ready = setup(state, picked, choice=state.fact(body["choice"], "choice"))
        made = reckon(ready, sets=body["sets"], half_bags=body["half_bags"])
    except InputError:
        return body  # the recipe is kept all the same; its page says what is missing
    return {**body, "shown": {**told_figures(ready, made), "version": __version__}}


def told_figures(ready: Setup, made: Offered) -> dict[str, Any]:
    """The figures of a recipe as they are shown when it is kept."""
    return {
        "pails": dict(made.recipe.pails),
        "pail_dry_kg": {source: each.value for source, each in ready.pails.items()},
        "bag_kg": ready.yard.bag_mass,
        "dry_soil_kg": made.recipe.dry_soil_mass,
        "stabiliser_kg": made.recipe.stabiliser_mass,
        "wanted_of_total": ready.dose.value,
        "stabiliser_of_total": made.recipe.stabiliser_of_total,
        "target_water_content": ready.target_water,
        "water_kg": made.recipe.water_to_add,
        "blocks": made.recipe.blocks,
        "press_minutes": made.recipe.press_minutes,
        "heaps": 1 if made.split is None else made.split.heaps,
        "dry_block_kg": ready.block_mass.value,
        "green_block_kg": moisture.moist_mass(ready.block_mass.value, water_content=ready.target_water),
        "height_mm": ready.press.number("block_height"),
        "stood_on": sorted({*made.dose.entries(), *made.water.entries(), *made.minutes.entries()}),
    }
