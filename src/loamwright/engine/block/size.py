"""Sizes of a cured block: sides, gross and net area, volume, densities, shrinkage on drying and swell on wetting."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from loamwright.errors import InputError, Note, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

USUAL_READINGS = 3
"""Readings of one side that show whether it is even. [common practice]"""

_SOURCE = "derivation-block-size"
_FACE = {"l": Term("block_length", "mm"), "b": Term("block_width", "mm")}
_LENGTHS = {"l_0": Term("length_before", "mm"), "l_1": Term("length_after", "mm")}

SIDE_MEAN = Formula("side_mean", "x", "mm", "mean(x_i)", {"x_i": Term("side_readings", "mm")}, _SOURCE)
SIDE_SPREAD = Formula("side_spread", "R", "mm", "max(x_i) - min(x_i)", {"x_i": Term("side_readings", "mm")}, _SOURCE)
SIZE_OFF = Formula("size_off", "d", "mm", "x - x_w", {"x": Term("side_mean", "mm"), "x_w": Term("wanted_size", "mm")}, _SOURCE)
GROSS_AREA = Formula("gross_area", "A", "mm2", "l * b", _FACE, _SOURCE)
NET_AREA = Formula(
    "net_area", "A_n", "mm2", "l * b - A_v", {**_FACE, "A_v": Term("void_area", "mm2")}, _SOURCE, "holes right through"
)
VOID_SHARE = Formula(
    "void_share",
    "v",
    "1",
    "A_v / A",
    {"A_v": Term("void_area", "mm2"), "A": Term("gross_area", "mm2")},
    "xp-p13-901",
    "perforation of full blocks",
)
NET_VOLUME = Formula(
    "net_volume",
    "V_n",
    "m3",
    "V - V_v",
    {"V": Term("block_volume", "m3"), "V_v": Term("void_volume", "m3")},
    _SOURCE,
    "frogs and holes",
)
BLOCK_DRY_DENSITY = Formula(
    "dry_density",
    "rho_d",
    "kg/m3",
    "m_dry / V",
    {"m_dry": Term("dry_mass", "kg"), "V": Term("net_volume", "m3")},
    "derivation-phases",
)
BLOCK_SHRINKAGE = Formula("block_shrinkage", "s", "1", "(l_0 - l_1) / l_0", _LENGTHS, _SOURCE, "after drying")
BLOCK_SWELL = Formula("block_swell", "e", "1", "(l_1 - l_0) / l_0", _LENGTHS, "is-1725", "linear expansion on saturation")


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a block, measured at several places.

    Attributes
    ----------
    mean : float
        Mean of the readings. [mm]
    spread : float or None
        Greatest less least reading; None for a single one. [mm]
    notes : tuple of Note
        "fewer_than_three_readings".
    """

    mean: float
    spread: float | None
    notes: tuple[Note, ...] = ()


def side(side_readings: Sequence[float]) -> Side:
    """Mean of one side and how uneven it is.

    Parameters
    ----------
    side_readings : (n,) sequence
        The same side at several places. [mm]

    Returns
    -------
    Side
        Mean, spread, notes.

    Raises
    ------
    InputError
        "no_values", "not_positive".

    References
    ----------
    [derivation-block-size]

    Examples
    --------
    >>> found = side([294.0, 295.0, 296.5])
    >>> round(found.mean, 2), found.spread
    (295.17, 2.5)
    """
    if not side_readings:
        raise InputError("no_values", quantity="side_readings")
    for each in side_readings:
        check_positive(side_readings=each)
    few = len(side_readings) < USUAL_READINGS
    notes = (Note("fewer_than_three_readings", {"count": len(side_readings)}),) if few else ()
    spread = max(side_readings) - min(side_readings) if len(side_readings) > 1 else None
    return Side(fmean(side_readings), spread, notes)


def size_off(side_mean: float, *, wanted_size: float) -> float:
    """How far a side is from the size that was wanted.

    Parameters
    ----------
    side_mean : float or (n,) array
        Side as measured. [mm]
    wanted_size : float or (n,) array
        Nominal size. [mm]

    Returns
    -------
    float or (n,) array
        Above zero where it is too large. [mm]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-block-size]

    Examples
    --------
    >>> size_off(296.5, wanted_size=295.0)
    1.5
    """
    check_positive(side_mean=side_mean, wanted_size=wanted_size)
    return side_mean - wanted_size


def gross_area(block_length: float, *, block_width: float) -> float:
    """Area of a face by its outer sizes, holes and frogs counted as full.

    Parameters
    ----------
    block_length, block_width : float or (n,) array
        Outer sizes. [mm]

    Returns
    -------
    float or (n,) array
        Area. [mm²]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-block-size]

    Examples
    --------
    >>> gross_area(295.0, block_width=140.0)
    41300.0
    """
    check_positive(block_length=block_length, block_width=block_width)
    return block_length * block_width


def net_area(block_length: float, *, block_width: float, void_area: float) -> float:
    """Area of earth in a cut through a block with holes.

    Parameters
    ----------
    block_length, block_width : float or (n,) array
        Outer sizes. [mm]
    void_area : float or (n,) array
        All holes that go right through. [mm²]

    Returns
    -------
    float or (n,) array
        Area. [mm²]

    Raises
    ------
    InputError
        "not_positive", "negative"; "voids_fill_block" where the holes are no smaller than the face.

    References
    ----------
    [derivation-block-size]

    Examples
    --------
    >>> net_area(300.0, block_width=150.0, void_area=9000.0)
    36000.0
    """
    gross = gross_area(block_length, block_width=block_width)
    check_not_negative(void_area=void_area)
    if not holds(void_area < gross):
        raise InputError("voids_fill_block", voids=void_area, whole=gross, unit="mm²")
    return gross - void_area


def void_share(void_area: float, *, gross_area: float) -> float:
    """Share of the face that is holes.

    XP P13-901:2022 calls a block full up to a quarter (second-hand).

    Parameters
    ----------
    void_area : float or (n,) array
        All holes that go right through. [mm²]
    gross_area : float or (n,) array
        Outer area of the face. [mm²]

    Returns
    -------
    float or (n,) array
        Share. [-]

    Raises
    ------
    InputError
        "not_positive", "negative", "voids_fill_block".

    References
    ----------
    [xp-p13-901]

    Examples
    --------
    >>> void_share(9000.0, gross_area=45000.0)
    0.2
    """
    check_positive(gross_area=gross_area)
    check_not_negative(void_area=void_area)
    if not holds(void_area < gross_area):
        raise InputError("voids_fill_block", voids=void_area, whole=gross_area, unit="mm²")
    return void_area / gross_area


def net_volume(block_volume: float, *, void_volume: float) -> float:
    """Volume of earth in a block with holes or a frog.

    Parameters
    ----------
    block_volume : float or (n,) array
        Gross volume by the outer sizes. [m³]
    void_volume : float or (n,) array
        Holes and frogs together, by sizes or by the sand that fills them. [m³]

    Returns
    -------
    float or (n,) array
        Volume. [m³]

    Raises
    ------
    InputError
        "not_positive", "negative", "voids_fill_block".

    References
    ----------
    [derivation-block-size]

    Examples
    --------
    >>> round(net_volume(0.003717, void_volume=0.00018), 6)
    0.003537
    """
    check_positive(block_volume=block_volume)
    check_not_negative(void_volume=void_volume)
    if not holds(void_volume < block_volume):
        raise InputError("voids_fill_block", voids=void_volume, whole=block_volume, unit="m³")
    return block_volume - void_volume


def block_dry_density(dry_mass: float, *, net_volume: float) -> float:
    """Dry density of a cured block that was dried to constant mass.

    Parameters
    ----------
    dry_mass : float or (n,) array
        Block dried to constant mass. [kg]
    net_volume : float or (n,) array
        Volume without frogs and holes. [m³]

    Returns
    -------
    float or (n,) array
        Dry density; water bound by the stabiliser stays in it. [kg/m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(block_dry_density(6.99, net_volume=0.003717))
    1881
    """
    check_positive(dry_mass=dry_mass, net_volume=net_volume)
    return dry_mass / net_volume


def block_shrinkage(length_before: float, *, length_after: float) -> float:
    """Shrinkage of a block on drying, along one line.

    Parameters
    ----------
    length_before : float or (n,) array
        Between two marks, before it dried. [mm]
    length_after : float or (n,) array
        Between the same marks, when dry. [mm]

    Returns
    -------
    float or (n,) array
        Length lost over length before; below zero where it grew. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-block-size]

    Examples
    --------
    >>> round(block_shrinkage(295.0, length_after=294.7), 6)
    0.001017
    """
    check_positive(length_before=length_before, length_after=length_after)
    return (length_before - length_after) / length_before


def block_swell(length_before: float, *, length_after: float) -> float:
    """Swell of a block on soaking, along one line.

    IS 1725:2013 asks for at most 0.15 % (from memory).

    Parameters
    ----------
    length_before : float or (n,) array
        Between two marks, dry. [mm]
    length_after : float or (n,) array
        Between the same marks, soaked. [mm]

    Returns
    -------
    float or (n,) array
        Length gained over length dry; below zero where it shrank. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [is-1725]

    Examples
    --------
    >>> round(block_swell(200.0, length_after=200.3), 6)
    0.0015
    """
    check_positive(length_before=length_before, length_after=length_after)
    return (length_after - length_before) / length_before
