"""One mixer batch in whole pails and bags: its true dose, its water with today's stock moisture, its volume and its blocks."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor

from loamwright.engine.blend.parts import blend_dry_mass, check_parts
from loamwright.errors import InputError, Note, check_not_negative, check_positive, check_share
from loamwright.formula import Formula, Term

# Whole numbers reached by division are counted as whole within this, so that 52 bags of binary arithmetic are not 53.
WHOLE_MISS = 1e-9

DOSE_REACHED = Formula(
    "stabiliser_of_total",
    "p",
    "1",
    "bags * B / (sets * S_1 + bags * B)",
    {
        "bags": Term("bags", "1"),
        "B": Term("bag_mass", "kg"),
        "sets": Term("sets", "1"),
        "S_1": Term("blend_dry_mass", "kg"),
    },
    "derivation-dose",
)
BATCH_WATER = Formula(
    "water_mass",
    "W",
    "kg",
    "omega * (S + C) - W_in",
    {
        "omega": Term("target_water_content", "1"),
        "S": Term("dry_soil_mass", "kg"),
        "C": Term("stabiliser_mass", "kg"),
        "W_in": Term("water_in_soil", "kg"),
    },
    "derivation-phases",
)
WATER_IN_SOIL = Formula(
    "water_in_soil",
    "W_in",
    "kg",
    "v_1 * m_1 * w_1 + v_2 * m_2 * w_2",
    {
        f"{symbol}_{i}": Term(name, unit)
        for i in (1, 2)
        for symbol, name, unit in (("v", "pails", "1"), ("m", "pail_dry_mass", "kg"), ("w", "water_content", "1"))
    },
    "derivation-phases",
)
BLOCKS_PER_BATCH = Formula(
    "blocks",
    "n",
    "1",
    "floor((S + C) / m_b)",
    {"S": Term("dry_soil_mass", "kg"), "C": Term("stabiliser_mass", "kg"), "m_b": Term("dry_block_mass", "kg")},
    "derivation-yard",
)
PRESS_MINUTES = Formula(
    "press_minutes", "t", "min", "n / q", {"n": Term("blocks", "1"), "q": Term("press_rate", "1/min")}, "derivation-yard"
)


@dataclass(frozen=True, slots=True)
class Yard:
    """What a recipe must fit: the crew's pails and bags, the mixer and the press.

    Attributes
    ----------
    pail_dry_mass : mapping of source to float
        Dry mass of one struck pail. [kg]
    pail_volume : float
        Struck volume of one pail; for now one kind of pail serves all sources. [m³]
    bag_mass : float
        Stabiliser in one bag. [kg]
    mixer_volume : float
        Loose volume the mixer takes. [m³]
    press_rate : float
        Blocks a minute, as really pressed. [1/min]
    hold_limit_minutes : float
        From stabiliser in to last block. [min]
    dry_block_mass : float
        Dry mass of one block, stabiliser included. [kg]
    half_bags : bool
        Whether half bags are allowed.
    stabiliser_loose_density : float or None
        Loose density of the stabiliser; its volume is counted in the mixer only if given. [kg/m³]
    """

    pail_dry_mass: Mapping[str, float]
    pail_volume: float
    bag_mass: float
    mixer_volume: float
    press_rate: float
    hold_limit_minutes: float
    dry_block_mass: float
    half_bags: bool = True
    stabiliser_loose_density: float | None = None

    def __post_init__(self) -> None:
        """Refuse what is not above zero."""
        check_positive(
            pail_volume=self.pail_volume,
            bag_mass=self.bag_mass,
            mixer_volume=self.mixer_volume,
            press_rate=self.press_rate,
            hold_limit_minutes=self.hold_limit_minutes,
            dry_block_mass=self.dry_block_mass,
        )
        if self.stabiliser_loose_density is not None:
            check_positive(stabiliser_loose_density=self.stabiliser_loose_density)

    @property
    def blocks_in_time(self) -> int:
        """Blocks that can be pressed within the hold time. [-]"""
        return floor(self.press_rate * self.hold_limit_minutes + WHOLE_MISS)


@dataclass(frozen=True, slots=True)
class Recipe:
    """One batch.

    Attributes
    ----------
    sets : int
        Rounds of the blend's pails. [-]
    pails : mapping of source to int
        Whole pails of each source. [-]
    bags : float
        Whole or half bags (0.5, 1, 1.5, ...). [-]
    dry_soil_mass, stabiliser_mass : float
        Dry masses in the batch. [kg]
    stabiliser_of_total : float
        Dose really reached, of the total dry mix. [-]
    dose_error : float
        Dose reached less dose wanted. [-]
    water_in_soil, water_to_add : float
        Water the stock brings today, and water to add; a negative addition is noted. [kg]
    loose_volume : float
        Loose volume in the mixer. [m³]
    blocks : int
        Whole blocks from the batch. [-]
    press_minutes : float
        Time to press them. [min]
    notes : tuple of Note
        "soil_too_wet" where the stock already holds more water than wanted.
    """

    sets: int
    pails: Mapping[str, int]
    bags: float
    dry_soil_mass: float
    stabiliser_mass: float
    stabiliser_of_total: float
    dose_error: float
    water_in_soil: float
    water_to_add: float
    loose_volume: float
    blocks: int
    press_minutes: float
    notes: tuple[Note, ...]


def dose_reached(bags: float, *, bag_mass: float, dry_soil_mass: float) -> float:
    """Stabiliser of the total dry mix from a number of bags.

    Mass balance; no standard needed.

    Parameters
    ----------
    bags : float
        Bags in the batch. [-]
    bag_mass : float
        Stabiliser in one bag. [kg]
    dry_soil_mass : float
        Dry soil of the batch. [kg]

    Returns
    -------
    float
        Dose of the total dry mix. [-]

    Raises
    ------
    InputError
        "negative", "not_positive".

    Notes
    -----
    p = C / (S + C).

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(dose_reached(1, bag_mass=42.5, dry_soil_mass=558.0), 4)
    0.0708
    """
    check_not_negative(bags=bags)
    check_positive(bag_mass=bag_mass, dry_soil_mass=dry_soil_mass)
    return bags * bag_mass / (dry_soil_mass + bags * bag_mass)


def batch_water(
    pails: Mapping[str, int],
    *,
    pail_dry_mass: Mapping[str, float],
    water_content: Mapping[str, float],
    stabiliser_mass: float,
    target_water_content: float,
) -> float:
    """Water to add to a batch with what its stock holds today.

    Mass balance; no standard needed.

    Parameters
    ----------
    pails : mapping of source to int
        Pails of each source. [-]
    pail_dry_mass : mapping of source to float
        Dry mass of one pail. [kg]
    water_content : mapping of source to float
        Today's pan test of each source, on dry mass. [-]
    stabiliser_mass : float
        Stabiliser of the batch. [kg]
    target_water_content : float
        Wanted water over total dry mix. [-]

    Returns
    -------
    float
        Water to add; below zero if the stock holds too much already. [kg]

    Raises
    ------
    InputError
        As `blend_dry_mass`; "source_missing", "negative", "not_a_share".

    Notes
    -----
    W = ω·(S + C) − Σ v·m·w.

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(batch_water({"soil": 1}, pail_dry_mass={"soil": 9.615}, water_content={"soil": 0.04},
    ...                   stabiliser_mass=0.614, target_water_content=0.10), 3)
    0.638
    """
    dry_soil_mass = float(blend_dry_mass(pails, pail_dry_mass=pail_dry_mass))
    check_not_negative(stabiliser_mass=stabiliser_mass)
    check_share(target_water_content=target_water_content)
    held = water_in_soil(pails, pail_dry_mass=pail_dry_mass, water_content=water_content)
    return target_water_content * (dry_soil_mass + stabiliser_mass) - held


def water_in_soil(pails: Mapping[str, int], *, pail_dry_mass: Mapping[str, float], water_content: Mapping[str, float]) -> float:
    """Water that the stock brings into a batch.

    Parameters
    ----------
    pails : mapping of source to int
        Pails of each source. [-]
    pail_dry_mass, water_content : mapping of source to float
        Dry mass of one pail [kg] and today's moisture on dry mass. [-]

    Returns
    -------
    float
        Water. [kg]

    Raises
    ------
    InputError
        As `blend_dry_mass`; "source_missing", "negative".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(water_in_soil({"sandy": 15, "clay": 6}, pail_dry_mass={"sandy": 28.0, "clay": 23.0},
    ...                     water_content={"sandy": 0.04, "clay": 0.04}), 2)
    22.32
    """
    blend_dry_mass(pails, pail_dry_mass=pail_dry_mass)  # refuses faulty pails
    missing = sorted(set(pails) - set(water_content))
    if missing:
        raise InputError("source_missing", quantity="water_content", missing=", ".join(missing))
    check_not_negative(**{f"water_content of {source}": water_content[source] for source in sorted(pails)})
    return sum(pails[source] * pail_dry_mass[source] * water_content[source] for source in sorted(pails))


def recipe(
    parts: Mapping[str, int],
    *,
    sets: int,
    bags: float,
    yard: Yard,
    stabiliser_of_total: float,
    target_water_content: float,
    water_content: Mapping[str, float],
) -> Recipe:
    """One batch worked out, whether or not it fits the mixer or the clock.

    Parameters
    ----------
    parts : mapping of source to int
        Pails of each source in one set, as given. [-]
    sets : int
        Sets in the batch. [-]
    bags : float
        Whole or half bags. [-]
    yard : Yard
        Pails, bags, mixer and press.
    stabiliser_of_total : float
        Dose wanted, of the total dry mix. [-]
    target_water_content : float
        Water wanted over total dry mix. [-]
    water_content : mapping of source to float
        Today's moisture of each source, on dry mass. [-]

    Returns
    -------
    Recipe

    Raises
    ------
    InputError
        "not_whole", "not_positive", "not_half_bags", "source_missing", "negative", "not_a_share".

    References
    ----------
    [derivation-dose], [derivation-phases], [derivation-yard]

    Examples
    --------
    >>> yard = Yard({"sandy": 28.0, "clay": 23.0}, pail_volume=0.02, bag_mass=42.5, mixer_volume=0.6, press_rate=1.5,
    ...             hold_limit_minutes=60.0, dry_block_mass=7.0)
    >>> batch = recipe({"sandy": 5, "clay": 2}, sets=3, bags=1, yard=yard, stabiliser_of_total=0.0822,
    ...                target_water_content=0.10, water_content={"sandy": 0.04, "clay": 0.04})
    >>> batch.dry_soil_mass, round(batch.stabiliser_of_total, 4), batch.blocks
    (558.0, 0.0708, 85)
    """
    check_parts(parts)
    check_parts({"sets": sets})
    check_share(stabiliser_of_total=stabiliser_of_total)
    if not bags > 0 or bags * 2 != round(bags * 2):
        raise InputError("not_half_bags", quantity="bags", value=bags)
    pails = {source: count * sets for source, count in parts.items()}
    dry_soil_mass = float(blend_dry_mass(pails, pail_dry_mass=yard.pail_dry_mass))
    stabiliser_mass = bags * yard.bag_mass
    dose = dose_reached(bags, bag_mass=yard.bag_mass, dry_soil_mass=dry_soil_mass)
    held = water_in_soil(pails, pail_dry_mass=yard.pail_dry_mass, water_content=water_content)
    water = batch_water(
        pails,
        pail_dry_mass=yard.pail_dry_mass,
        water_content=water_content,
        stabiliser_mass=stabiliser_mass,
        target_water_content=target_water_content,
    )
    blocks = floor((dry_soil_mass + stabiliser_mass) / yard.dry_block_mass + WHOLE_MISS)
    wet = (Note("soil_too_wet", {"water_in_soil": held, "water_wanted": held + water}),) if water < 0 else ()
    return Recipe(
        sets=sets,
        pails=pails,
        bags=bags,
        dry_soil_mass=dry_soil_mass,
        stabiliser_mass=stabiliser_mass,
        stabiliser_of_total=dose,
        dose_error=dose - stabiliser_of_total,
        water_in_soil=held,
        water_to_add=water,
        loose_volume=loose_volume(sum(pails.values()), stabiliser_mass=stabiliser_mass, yard=yard),
        blocks=blocks,
        press_minutes=blocks / yard.press_rate,
        notes=wet,
    )


def loose_volume(pails: int, *, stabiliser_mass: float, yard: Yard) -> float:
    """Loose volume of a batch before mixing: its pails, and its stabiliser where the yard knows that density. [m³]

    >>> yard = Yard({"soil": 25.0}, 0.02, 50.0, 0.5, 2.0, 60.0, 7.0, stabiliser_loose_density=1440.0)
    >>> round(loose_volume(21, stabiliser_mass=50.0, yard=yard), 4)
    0.4547
    """
    density = yard.stabiliser_loose_density
    return pails * yard.pail_volume + (0.0 if density is None else stabiliser_mass / density)
