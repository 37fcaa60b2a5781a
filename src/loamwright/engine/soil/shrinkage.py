"""Shrinkage of wet soil as it dries: bar, long box with its classic tables, shrinkage limit."""

from collections.abc import Sequence
from dataclasses import dataclass

from loamwright import tables
from loamwright.engine.bench.phases import WATER_DENSITY
from loamwright.errors import InputError, check_not_negative, check_positive
from loamwright.formula import Formula, Term

INDEX_PER_SHRINKAGE = 2.13
"""Plasticity index over linear shrinkage of a bar, a rough rule. [-] [bs-1377-2]"""

_DISH = {"m_wet": Term("wet_mass", "kg"), "m_dry": Term("dry_mass", "kg")}
_VOLUMES = {"V_wet": Term("wet_volume", "m3"), "V_dry": Term("dry_volume", "m3")}

LINEAR_SHRINKAGE = Formula(
    "linear_shrinkage",
    "L_S",
    "1",
    "1 - l_dry / l_0",
    {"l_dry": Term("dry_length", "mm"), "l_0": Term("wet_length", "mm")},
    "bs-1377-2",
    "6.5",
)
CURVED_BAR = Formula(
    "dry_length",
    "l_dry",
    "mm",
    "(l_top + l_bottom) / 2",
    {"l_top": Term("top_length", "mm"), "l_bottom": Term("bottom_length", "mm")},
    "bs-1377-2",
    "6.5",
)
PIECES = Formula("dry_length", "l_dry", "mm", "sum(l)", {"l": Term("piece_lengths", "mm")}, "bs-1377-2", "6.5")
BOX_SHRINKAGE = Formula(
    "linear_shrinkage",
    "L_S",
    "1",
    "(g + sum(c)) / l_0",
    {"g": Term("end_gap", "mm"), "c": Term("crack_widths", "mm"), "l_0": Term("wet_length", "mm")},
    "practice-shrinkage-box",
)
INDEX_FROM_SHRINKAGE = Formula(
    "plasticity_index",
    "I_p",
    "1",
    f"{INDEX_PER_SHRINKAGE} * L_S",
    {"L_S": Term("linear_shrinkage", "1")},
    "bs-1377-2",
    "background",
)
SHRINKAGE_LIMIT = Formula(
    "shrinkage_limit",
    "w_S",
    "1",
    f"(m_wet - m_dry) / m_dry - (V_wet - V_dry) * {WATER_DENSITY:.0f} / m_dry",
    {**_DISH, **_VOLUMES},
    "astm-d4943",
)
SHRINKAGE_RATIO = Formula(
    "shrinkage_ratio",
    "R",
    "1",
    f"m_dry / (V_dry * {WATER_DENSITY:.0f})",
    {"m_dry": _DISH["m_dry"], "V_dry": _VOLUMES["V_dry"]},
    "astm-d4943",
)
VOLUMETRIC_SHRINKAGE = Formula("volumetric_shrinkage", "V_S", "1", "(V_wet - V_dry) / V_dry", _VOLUMES, "astm-d4943")


def linear_shrinkage(dry_length: float, *, wet_length: float) -> float:
    """Shrinkage of a bar along its length, in a mould of any length.

    BS 1377-2:1990, 6.5: 140 mm; Tex-107-E: 5 in.

    Parameters
    ----------
    dry_length : float
        Of the dried bar; of a curved or broken one see `curved_bar_length` and `pieces_length`. [mm]
    wet_length : float
        Of the mould it filled. [mm]

    Returns
    -------
    float
        Length lost over length of the mould. [-]

    Raises
    ------
    InputError
        "not_positive"; "bar_longer_than_mould" for a dry bar longer than its mould.

    References
    ----------
    [bs-1377-2]

    Examples
    --------
    >>> round(linear_shrinkage(128.8, wet_length=140.0), 4)
    0.08
    """
    check_positive(dry_length=dry_length, wet_length=wet_length)
    if dry_length > wet_length:
        raise InputError("bar_longer_than_mould", dry_length=dry_length, wet_length=wet_length)
    return 1.0 - dry_length / wet_length


def curved_bar_length(top_length: float, *, bottom_length: float) -> float:
    """Length of a bar that curled as it dried: mean of its top and bottom.

    BS 1377-2:1990, 6.5.

    Parameters
    ----------
    top_length, bottom_length : float
        Along the upper and the lower face. [mm]

    Returns
    -------
    float
        Mean length. [mm]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [bs-1377-2]

    Examples
    --------
    >>> curved_bar_length(126.0, bottom_length=132.0)
    129.0
    """
    check_positive(top_length=top_length, bottom_length=bottom_length)
    return (top_length + bottom_length) / 2


def pieces_length(piece_lengths: Sequence[float]) -> float:
    """Length of a bar that broke as it dried: its pieces held together.

    BS 1377-2:1990, 6.5.

    Parameters
    ----------
    piece_lengths : (n,) sequence
        Of every piece. [mm]

    Returns
    -------
    float
        Sum. [mm]

    Raises
    ------
    InputError
        "too_few_values" for none, "not_positive".

    References
    ----------
    [bs-1377-2]

    Examples
    --------
    >>> pieces_length([60.0, 70.5])
    130.5
    """
    if not piece_lengths:
        raise InputError("too_few_values", have=0, need=1)
    for length in piece_lengths:
        check_positive(piece_lengths=length)
    return float(sum(piece_lengths))


def box_shrinkage(end_gap: float, *, crack_widths: Sequence[float] = (), wet_length: float) -> float:
    """Shrinkage in a long box: the soil pushed to one end, the gap at the other, and every crack counted with it.

    Parameters
    ----------
    end_gap : float
        Between soil and box, both ends together. [mm]
    crack_widths : (n,) sequence
        Of cracks across that pushing did not close. [mm]
    wet_length : float
        Inner length of the box. [mm]

    Returns
    -------
    float
        Gap and cracks over length of the box. [-]

    Raises
    ------
    InputError
        "negative", "not_positive"; "gap_longer_than_box".

    References
    ----------
    [practice-shrinkage-box]

    Examples
    --------
    >>> box_shrinkage(20.0, crack_widths=[2.5, 1.5], wet_length=600.0)
    0.04
    """
    check_not_negative(end_gap=end_gap)
    check_positive(wet_length=wet_length)
    for width in crack_widths:
        check_not_negative(crack_widths=width)
    whole = end_gap + sum(crack_widths)
    if whole >= wet_length:
        raise InputError("gap_longer_than_box", gap=float(whole), wet_length=wet_length)
    return whole / wet_length


@dataclass(frozen=True, slots=True)
class CementStep:
    """What one table of the long box says of a gap.

    Attributes
    ----------
    table : str
        Key of the table.
    gap_from, gap_to : float or None
        The band the gap lies in; None where the table has none for it. [mm]
    soil_parts : float or None
        Loose volumes of soil to one of cement; None where the table has no band. [-]
    per_loose_soil : float or None
        Cement over loose soil by volume. [-]
    below_most : bool
        Whether the gap lies within the table as a whole, though perhaps in a hole of it.
    source, standing : str
        Where the table comes from and how its figures are known.
    """

    table: str
    gap_from: float | None
    gap_to: float | None
    soil_parts: float | None
    per_loose_soil: float | None
    below_most: bool
    source: str
    standing: str


def cement_steps(gap: float) -> tuple[CementStep, ...]:
    """What each classic table of the 600 x 40 x 40 mm box says of a gap, cracks counted in it; none is preferred.

    Parameters
    ----------
    gap : float
        Gap and cracks together. [mm]

    Returns
    -------
    tuple of CementStep
        One a table of data/shrinkage_steps.toml, in its order.

    Raises
    ------
    InputError
        "negative".

    Notes
    -----
    A gap on the common edge of two bands belongs to the upper one. Where the table ends, or has a hole, it says nothing.

    References
    ----------
    [vita-shrinkage], [practice-shrinkage-box]

    Examples
    --------
    >>> [(step.table, step.soil_parts) for step in cement_steps(13.0)]
    [('hand_press_manuals', 18.0), ('east_african', 16.0)]
    >>> [step.soil_parts for step in cement_steps(24.5)]
    [16.0, None]
    """
    check_not_negative(gap=gap)
    return tuple(_step(row, gap) for row in tables.load("shrinkage_steps", required=("bands", "document")))


def _step(row: tables.Row, gap: float) -> CementStep:
    bands = row["bands"]
    inside = gap <= bands[-1]["to"]
    # the upper of two bands that share an edge
    for band in reversed(bands):
        if band["from"] <= gap <= band["to"]:
            parts = band["soil_parts"]
            return CementStep(row.key, band["from"], band["to"], parts, 1 / parts, inside, row.source, row.standing)
    return CementStep(row.key, None, None, None, None, inside, row.source, row.standing)


@dataclass(frozen=True, slots=True)
class ShrinkageLimit:
    """What a dried pat says.

    Attributes
    ----------
    shrinkage_limit : float
        Water content below which drying takes no more volume; water taken as 1000 kg/m³. [-]
    shrinkage_ratio : float
        Density of the dry pat over that of water. [-]
    volumetric_shrinkage : float
        Volume lost over dry volume. [-]
    """

    shrinkage_limit: float
    shrinkage_ratio: float
    volumetric_shrinkage: float


def shrinkage_limit(wet_mass: float, *, dry_mass: float, wet_volume: float, dry_volume: float) -> ShrinkageLimit:
    """Shrinkage limit, shrinkage ratio and volumetric shrinkage of a pat dried from a paste.

    ASTM D4943 (volume of the dry pat in wax); D427 with mercury is withdrawn.

    Parameters
    ----------
    wet_mass, dry_mass : float
        Of the pat, dish taken off. [kg]
    wet_volume, dry_volume : float
        Of the dish it filled, and of the pat when dry. [m³]

    Returns
    -------
    ShrinkageLimit
        See its fields.

    Raises
    ------
    InputError
        "not_positive"; "wet_below_dry"; "pat_grew" for a dry pat larger than its dish; "shrank_more_than_water" where more
        volume is gone than water was in it.

    References
    ----------
    [astm-d4943]

    Examples
    --------
    >>> found = shrinkage_limit(0.037, dry_mass=0.028, wet_volume=19.3e-6, dry_volume=16.0e-6)
    >>> round(found.shrinkage_limit, 4), found.shrinkage_ratio, round(found.volumetric_shrinkage, 3)
    (0.2036, 1.75, 0.206)
    """
    check_positive(wet_mass=wet_mass, dry_mass=dry_mass, wet_volume=wet_volume, dry_volume=dry_volume)
    if wet_mass < dry_mass:
        raise InputError("wet_below_dry", wet_mass=wet_mass, dry_mass=dry_mass)
    if dry_volume > wet_volume:
        raise InputError("pat_grew", wet_volume=wet_volume, dry_volume=dry_volume)
    limit = (wet_mass - dry_mass) / dry_mass - (wet_volume - dry_volume) * WATER_DENSITY / dry_mass
    if limit < 0.0:
        raise InputError("shrank_more_than_water", volume_lost=wet_volume - dry_volume, water=wet_mass - dry_mass)
    return ShrinkageLimit(limit, dry_mass / (dry_volume * WATER_DENSITY), (wet_volume - dry_volume) / dry_volume)


def plasticity_from_shrinkage(linear_shrinkage: float) -> float:
    """A first guess of the plasticity index from the shrinkage of a bar, for soils too lean to roll.

    Parameters
    ----------
    linear_shrinkage : float
        Of a bar moulded at its liquid limit. [-]

    Returns
    -------
    float
        2.13 times that. [-]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [bs-1377-2]

    Examples
    --------
    >>> round(plasticity_from_shrinkage(0.08), 4)
    0.1704
    """
    check_not_negative(linear_shrinkage=linear_shrinkage)
    return INDEX_PER_SHRINKAGE * linear_shrinkage
