"""Recipe search: whole sets of pails and whole or half bags, within what the mixer holds and the press can press in time."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor, inf

from loamwright.engine.blend.parts import blend_dry_mass, reduced_parts
from loamwright.engine.yard.bags import yard_value
from loamwright.engine.yard.batch import WHOLE_MISS, Recipe, Yard, recipe
from loamwright.errors import InputError, Note, check_not_negative, check_positive, check_share


@dataclass(frozen=True, slots=True)
class Split:
    """A batch of dry-mixed soil parted into heaps before any stabiliser goes in, so that each is pressed in time.

    Attributes
    ----------
    heaps : int
        Equal heaps. [-]
    dry_soil_mass_per_heap, stabiliser_mass_per_heap, water_per_heap : float
        What each heap holds, gets, and gets in water. [kg]
    blocks_per_heap : int
        Whole blocks of one heap. [-]
    bags_per_heap : float or None
        Whole or half bags of one heap; None where the stabiliser of a heap must be weighed. [-]
    """

    heaps: int
    dry_soil_mass_per_heap: float
    stabiliser_mass_per_heap: float
    water_per_heap: float
    blocks_per_heap: int
    bags_per_heap: float | None


@dataclass(frozen=True, slots=True)
class RecipeSearch:
    """All recipes that fit, best first, and what stands in the way of the dose.

    Attributes
    ----------
    recipes : tuple of Recipe
        Least dose error first; of equal errors the larger batch first.
    reachable : bool
        Whether the first recipe's dose is within the tolerance.
    too_slow : Recipe or None
        The best batch that fits the mixer but cannot be pressed in time, if it comes nearer to the dose than any recipe.
    split : Split or None
        How to part that batch before the stabiliser goes in.
    notes : tuple of Note
        "dose_not_reachable" (wanted, nearest), "no_recipe_fits", "split_before_stabiliser".
    """

    recipes: tuple[Recipe, ...]
    reachable: bool
    too_slow: Recipe | None
    split: Split | None
    notes: tuple[Note, ...]


def _bag_counts(dry_soil_mass: float, dose: float, yard: Yard) -> tuple[float, ...]:
    """The two bag counts on either side of the dose: any other misses it by more."""
    step = 0.5 if yard.half_bags else 1.0
    needed = dry_soil_mass * dose / (1.0 - dose) / yard.bag_mass / step
    lower = floor(needed + WHOLE_MISS)
    return tuple(count * step for count in (lower, lower + 1) if count > 0)


def _candidates(
    parts: Mapping[str, int], yard: Yard, dose: float, target_water_content: float, water_content: Mapping[str, float]
) -> Iterator[Recipe]:
    set_mass = float(blend_dry_mass(parts, pail_dry_mass=yard.pail_dry_mass))
    fitting = floor(yard.mixer_volume / (sum(parts.values()) * yard.pail_volume) + WHOLE_MISS)
    for sets in range(1, min(fitting, int(yard_value("sets-most"))) + 1):
        for bags in _bag_counts(sets * set_mass, dose, yard):
            batch = recipe(
                parts,
                sets=sets,
                bags=bags,
                yard=yard,
                stabiliser_of_total=dose,
                target_water_content=target_water_content,
                water_content=water_content,
            )
            if batch.loose_volume <= yard.mixer_volume * (1.0 + WHOLE_MISS) and batch.blocks >= 1:
                yield batch


def _rank(batch: Recipe) -> tuple[float, int, float]:
    # Equal doses differ in the last binary digit; twelve digits of error are equal for a person.
    return round(abs(batch.dose_error), 12), -batch.sets, batch.bags


def recipe_search(
    parts: Mapping[str, int],
    *,
    yard: Yard,
    stabiliser_of_total: float,
    target_water_content: float,
    water_content: Mapping[str, float],
    dose_tolerance: float | None = None,
) -> RecipeSearch:
    """All batches of whole sets and whole or half bags that fit mixer and clock, nearest to the dose first.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of the blend; one set is the ratio in its smallest numbers. [-]
    yard : Yard
        Pails, bags, mixer and press.
    stabiliser_of_total : float
        Dose wanted, of the total dry mix; above zero. [-]
    target_water_content : float
        Water wanted over total dry mix. [-]
    water_content : mapping of source to float
        Today's moisture of each source, on dry mass. [-]
    dose_tolerance : float, optional
        Share of the dose by which a recipe may miss it and still count as reaching it; the data file's otherwise. [-]

    Returns
    -------
    RecipeSearch

    Raises
    ------
    InputError
        As `recipe`; "not_positive" for a dose of zero.

    Notes
    -----
    For each number of sets, up to `sets-most` of the yard's data, the bag counts on either side of the dose are tried.
    Kept: volume ≤ mixer, and
    blocks ≤ press rate × hold. Ranked by |dose error|, then the larger batch.

    References
    ----------
    [derivation-dose], [derivation-yard], [practice-hold]

    Examples
    --------
    >>> yard = Yard({"sandy": 28.4, "clay": 22.4}, pail_volume=0.02, bag_mass=50.0, mixer_volume=0.45, press_rate=2.0,
    ...             hold_limit_minutes=60.0, dry_block_mass=7.0)
    >>> found = recipe_search({"sandy": 5, "clay": 2}, yard=yard, stabiliser_of_total=0.06, target_water_content=0.10,
    ...                       water_content={"sandy": 0.03, "clay": 0.05})
    >>> found.recipes[0].sets, found.recipes[0].bags, round(found.recipes[0].stabiliser_of_total, 4), found.reachable
    (2, 0.5, 0.0627, False)
    """
    check_positive(stabiliser_of_total=stabiliser_of_total)
    check_share(stabiliser_of_total=stabiliser_of_total)
    tolerance = yard_value("dose-tolerance") if dose_tolerance is None else dose_tolerance
    check_not_negative(dose_tolerance=tolerance)
    one_set = reduced_parts(parts)
    batches = sorted(_candidates(one_set, yard, stabiliser_of_total, target_water_content, water_content), key=_rank)
    in_time = tuple(batch for batch in batches if batch.blocks <= yard.blocks_in_time)
    slow = next((batch for batch in batches if batch.blocks > yard.blocks_in_time), None)
    if slow is not None and in_time and _rank(in_time[0])[0] <= _rank(slow)[0]:
        slow = None
    miss = abs(in_time[0].dose_error) / stabiliser_of_total if in_time else inf
    reachable = miss <= tolerance * (1.0 + WHOLE_MISS)
    split = None if slow is None else split_batch(slow, yard=yard)
    return RecipeSearch(in_time, reachable, slow, split, _search_notes(in_time, reachable, split, stabiliser_of_total))


def _search_notes(recipes: tuple[Recipe, ...], reachable: bool, split: Split | None, wanted: float) -> tuple[Note, ...]:
    notes = []
    if not recipes:
        notes.append(Note("no_recipe_fits", {"wanted": wanted}))
    elif not reachable:
        notes.append(Note("dose_not_reachable", {"wanted": wanted, "nearest": recipes[0].stabiliser_of_total}))
    if split is not None:
        notes.append(Note("split_before_stabiliser", {"heaps": split.heaps}))
    return tuple(notes)


def split_batch(batch: Recipe, *, yard: Yard) -> Split:
    """Part a batch into the fewest equal heaps that can each be pressed in time.

    Parameters
    ----------
    batch : Recipe
        A batch of dry-mixed soil, before stabiliser.
    yard : Yard
        For press rate, hold time, block mass and bags.

    Returns
    -------
    Split
        One heap if the batch is in time as it is.

    Raises
    ------
    InputError
        "press_too_slow" if not one block can be pressed within the hold time.

    References
    ----------
    [derivation-yard], [practice-hold]

    Examples
    --------
    >>> yard = Yard({"sandy": 28.0, "clay": 23.0}, pail_volume=0.02, bag_mass=50.0, mixer_volume=0.6, press_rate=1.5,
    ...             hold_limit_minutes=30.0, dry_block_mass=7.0)
    >>> batch = recipe({"sandy": 5, "clay": 2}, sets=3, bags=1, yard=yard, stabiliser_of_total=0.08,
    ...                target_water_content=0.10, water_content={"sandy": 0.04, "clay": 0.04})
    >>> heaps = split_batch(batch, yard=yard)
    >>> heaps.heaps, heaps.stabiliser_mass_per_heap, heaps.bags_per_heap, heaps.blocks_per_heap
    (2, 25.0, 0.5, 43)
    """
    if yard.blocks_in_time < 1:
        raise InputError("press_too_slow", press_rate=yard.press_rate, hold_limit_minutes=yard.hold_limit_minutes)
    dry_mass = batch.dry_soil_mass + batch.stabiliser_mass
    heaps = max(1, floor(dry_mass / yard.dry_block_mass / (yard.blocks_in_time + 1)))  # fewer are never in time
    while floor(dry_mass / heaps / yard.dry_block_mass + WHOLE_MISS) > yard.blocks_in_time:
        heaps += 1
    step = 0.5 if yard.half_bags else 1.0
    bags = batch.bags / heaps
    return Split(
        heaps=heaps,
        dry_soil_mass_per_heap=batch.dry_soil_mass / heaps,
        stabiliser_mass_per_heap=batch.stabiliser_mass / heaps,
        water_per_heap=batch.water_to_add / heaps,
        blocks_per_heap=floor((batch.dry_soil_mass + batch.stabiliser_mass) / heaps / yard.dry_block_mass + WHOLE_MISS),
        bags_per_heap=bags if (bags / step).is_integer() else None,
    )
