"""Water into a cured block: by soaking, by boiling, from a damp plate, up from below."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from loamwright import tables
from loamwright.engine.soil.lines import line_at
from loamwright.errors import InputError, Note, check_positive, holds
from loamwright.formula import Formula, Term

CAPILLARY_MINUTES = 10.0
"""Time of contact at which the capillary coefficient is read. [min] [xp-p13-901]"""
SUCTION_MINUTES = 1.0
"""Time of contact at which the initial rate of suction is read. [min] [en-772-11]"""

_BEFORE = Term("block_mass_before", "kg")
_AFTER = Term("block_mass_after", "kg")
_RISE = {"m_1": _AFTER, "m_0": _BEFORE, "A": Term("contact_area", "mm2"), "t": Term("contact_minutes", "min")}

WATER_ABSORPTION = Formula(
    "water_absorption",
    "W",
    "1",
    "(m_wet - m_dry) / m_dry",
    {"m_wet": Term("wet_mass", "kg"), "m_dry": Term("dry_mass", "kg")},
    "practice-absorption",
)
SATURATION_COEFFICIENT = Formula(
    "saturation_coefficient",
    "C",
    "1",
    "(m_wet - m_dry) / (m_boiled - m_dry)",
    {"m_wet": Term("wet_mass", "kg"), "m_dry": Term("dry_mass", "kg"), "m_boiled": Term("boiled_mass", "kg")},
    "astm-c67",
    "C/B ratio",
)
CAPILLARY_COEFFICIENT = Formula(
    "capillary_coefficient",
    "C_b",
    "g/(100 cm2 min^0.5)",
    "10000000 * (m_1 - m_0) / (A * sqrt(t))",
    _RISE,
    "xp-p13-901",
    "100 M / (S sqrt t), M in g, S in cm2, t in min",
)
INITIAL_SUCTION = Formula(
    "initial_suction", "q", "kg/(m2 min)", "1000000 * (m_1 - m_0) / (A * t)", _RISE, "en-772-11", "at 1 min"
)
ABSORPTION_COEFFICIENT = Formula(
    "absorption_coefficient",
    "A_w",
    "kg/(m2 min^0.5)",
    "1000000 * dot(x, m) / A / dot(x, x)",
    {
        "x": Term("root_minute_deviations", "min^0.5"),
        "m": Term("block_mass_deviations", "kg"),
        "A": Term("contact_area", "mm2"),
    },
    "iso-15148",
    "slope of the gain over the root of time",
)


@dataclass(frozen=True, slots=True)
class Capillarity:
    """Capillary coefficient with its class.

    Attributes
    ----------
    capillary_coefficient : float
        [g/(100 cm² min^0.5)]
    class_key : str
        "very_weakly", "weakly" or "strongly" capillary.
    notes : tuple of Note
        "capillary_time_other" where it was not read at 10 min.
    """

    capillary_coefficient: float
    class_key: str
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class RootOfTime:
    """Gain of mass over the root of time, by least squares.

    Attributes
    ----------
    absorption_coefficient : float
        Slope. [kg/(m² min^0.5)]
    residual : float or None
        Standard deviation of the gains about the line; None for two weighings. [kg/m²]
    root_minute_deviations : tuple of float
        Root of each time less their mean. [min^0.5]
    block_mass_deviations : tuple of float
        Each mass less their mean. [kg]
    """

    absorption_coefficient: float
    residual: float | None
    root_minute_deviations: tuple[float, ...]
    block_mass_deviations: tuple[float, ...]


def water_absorption(wet_mass: float, *, dry_mass: float) -> float:
    """Water a block has taken up, over its dry mass.

    Parameters
    ----------
    wet_mass : float or (n,) array
        Block out of the water (or off the damp plate), wiped. [kg]
    dry_mass : float or (n,) array
        The same dried to constant mass before. [kg]

    Returns
    -------
    float or (n,) array
        Gain over dry mass. [-]

    Raises
    ------
    InputError
        "not_positive"; "lighter_after_soak" where the wet block is the lighter.

    Notes
    -----
    A block that loses earth in the water reads too low: weigh what came off, or judge it by its wear.

    References
    ----------
    [practice-absorption]

    Examples
    --------
    >>> round(water_absorption(7.84, dry_mass=7.00), 4)
    0.12
    """
    check_positive(wet_mass=wet_mass, dry_mass=dry_mass)
    if not holds(wet_mass >= dry_mass):
        raise InputError("lighter_after_soak", wet_mass=wet_mass, dry_mass=dry_mass)
    return (wet_mass - dry_mass) / dry_mass


def saturation_coefficient(wet_mass: float, *, dry_mass: float, boiled_mass: float) -> float:
    """Water taken up cold over water taken up by boiling.

    ASTM C67, made for fired brick: 24 h cold over 5 h boiling.

    Parameters
    ----------
    wet_mass : float or (n,) array
        After the cold soak. [kg]
    dry_mass : float or (n,) array
        Dried to constant mass. [kg]
    boiled_mass : float or (n,) array
        After boiling, cooled in water. [kg]

    Returns
    -------
    float or (n,) array
        Ratio; the nearer to 1, the less room is left for ice. [-]

    Raises
    ------
    InputError
        As `water_absorption`; "boiled_below_cold" where boiling took no more water in.

    References
    ----------
    [astm-c67]

    Examples
    --------
    >>> round(saturation_coefficient(7.84, dry_mass=7.00, boiled_mass=8.05), 3)
    0.8
    """
    water_absorption(wet_mass, dry_mass=dry_mass)
    if not holds(boiled_mass >= wet_mass) or not holds(boiled_mass > dry_mass):
        raise InputError("boiled_below_cold", boiled_mass=boiled_mass, wet_mass=wet_mass)
    return (wet_mass - dry_mass) / (boiled_mass - dry_mass)


def _check_rise(before: float, after: float, area: float, minutes: float) -> None:
    check_positive(block_mass_before=before, block_mass_after=after, contact_area=area, contact_minutes=minutes)
    if not holds(after >= before):
        raise InputError("lighter_after_rise", mass_before=before, mass_after=after)


def capillary_coefficient(
    block_mass_before: float, *, block_mass_after: float, contact_area: float, contact_minutes: float = CAPILLARY_MINUTES
) -> float:
    """Capillary coefficient of a block stood 5 mm deep in water.

    XP P13-901:2001 (from memory); the African guides have the same.

    Parameters
    ----------
    block_mass_before, block_mass_after : float or (n,) array
        Dry, and wiped after the contact. [kg]
    contact_area : float or (n,) array
        Face in the water. [mm²]
    contact_minutes : float or (n,) array, optional
        Time of contact; the clause has 10. [min]

    Returns
    -------
    float or (n,) array
        100 M/(S √t), M in g, S in cm², t in min. [g/(100 cm² min^0.5)]

    Raises
    ------
    InputError
        "not_positive", "lighter_after_rise".

    References
    ----------
    [xp-p13-901]

    Examples
    --------
    >>> round(capillary_coefficient(7.000, block_mass_after=7.060, contact_area=41300.0), 3)
    4.594
    """
    _check_rise(block_mass_before, block_mass_after, contact_area, contact_minutes)
    value: float = 1e7 * (block_mass_after - block_mass_before) / (contact_area * contact_minutes**0.5)
    return value


def _classes() -> tables.Table:
    return tables.load("capillary_classes", required=("most", "says"))


def capillary_class(class_key: str) -> tables.Row:
    """The row of a class of capillarity: its words, its source, how it is known.

    >>> capillary_class("weakly")["says"]
    'weakly capillary'
    """
    return _classes()[class_key]


def capillarity(
    block_mass_before: float, *, block_mass_after: float, contact_area: float, contact_minutes: float = CAPILLARY_MINUTES
) -> Capillarity:
    """Capillary coefficient with the class it falls in.

    XP P13-901:2001: very weakly capillary up to 20, weakly up to 40 (from memory).

    Parameters
    ----------
    block_mass_before, block_mass_after : float
        Dry, and wiped after the contact. [kg]
    contact_area : float
        Face in the water. [mm²]
    contact_minutes : float, optional
        Time of contact. [min]

    Returns
    -------
    Capillarity
        Coefficient, class, notes.

    Raises
    ------
    InputError
        As `capillary_coefficient`.

    References
    ----------
    [xp-p13-901]

    Examples
    --------
    >>> capillarity(7.000, block_mass_after=7.400, contact_area=41300.0).class_key
    'weakly'
    """
    value = capillary_coefficient(
        block_mass_before, block_mass_after=block_mass_after, contact_area=contact_area, contact_minutes=contact_minutes
    )
    row = next(row for row in _classes() if value <= row["most"])
    other = contact_minutes != CAPILLARY_MINUTES
    notes = (Note("capillary_time_other", {"minutes": contact_minutes, "wanted": CAPILLARY_MINUTES}),) if other else ()
    return Capillarity(value, row.key, notes)


def initial_suction(
    block_mass_before: float, *, block_mass_after: float, contact_area: float, contact_minutes: float = SUCTION_MINUTES
) -> float:
    """Initial rate of suction: how fast a dry block draws water from fresh mortar.

    EN 772-11 (from memory): 5 mm deep, 1 min.

    Parameters
    ----------
    block_mass_before, block_mass_after : float or (n,) array
        Dry, and wiped after the contact. [kg]
    contact_area : float or (n,) array
        Face in the water. [mm²]
    contact_minutes : float or (n,) array, optional
        Time of contact. [min]

    Returns
    -------
    float or (n,) array
        Water over area and time. [kg/(m² min)]

    Raises
    ------
    InputError
        "not_positive", "lighter_after_rise".

    References
    ----------
    [en-772-11]

    Examples
    --------
    >>> round(initial_suction(7.000, block_mass_after=7.0413, contact_area=41300.0), 6)
    1.0
    """
    _check_rise(block_mass_before, block_mass_after, contact_area, contact_minutes)
    return 1e6 * (block_mass_after - block_mass_before) / (contact_area * contact_minutes)


def root_of_time(block_masses: Sequence[float], *, contact_times: Sequence[float], contact_area: float) -> RootOfTime:
    """Absorption coefficient from several weighings: slope of the gain over the root of time.

    After ISO 15148 (from memory), which counts in seconds: divide by √60 for kg/(m² s^0.5).

    Parameters
    ----------
    block_masses : (n,) sequence
        Block at each weighing, two or more. [kg]
    contact_times : (n,) sequence
        Time in contact at each, 0 for the dry block. [min]
    contact_area : float
        Face in the water. [mm²]

    Returns
    -------
    RootOfTime
        Slope, scatter, and what the slope is made of.

    Raises
    ------
    InputError
        "not_positive", "negative_time", and what the line raises ("lengths_differ", "too_few_values", "columns_alike").

    References
    ----------
    [iso-15148], [derivation-least-squares]

    Examples
    --------
    >>> found = root_of_time([7.0, 7.1, 7.2], contact_times=[0.0, 1.0, 4.0], contact_area=100000.0)
    >>> round(found.absorption_coefficient, 6), round(found.residual, 6)
    (1.0, 0.0)
    """
    check_positive(contact_area=contact_area)
    if min(contact_times, default=0.0) < 0:
        raise InputError("negative_time", value=min(contact_times))
    roots = [sqrt(minutes) for minutes in contact_times]
    gains = [1e6 * mass / contact_area for mass in block_masses]
    middle = sum(roots) / len(roots) if roots else 0.0
    line = line_at(gains, places=roots, at=middle)
    mean = sum(block_masses) / len(block_masses)
    return RootOfTime(
        line.slope,
        line.residual_sd,
        tuple(root - middle for root in roots),
        tuple(mass - mean for mass in block_masses),
    )
