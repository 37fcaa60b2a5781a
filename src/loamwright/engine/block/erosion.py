"""Erosion of a face by spray and by drip, wear by brush, loss in a dip, and the drop."""

from dataclasses import dataclass

from loamwright import tables
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

DROP_HEIGHT = 900.0
"""Height of the drop test. [mm] [nzs-4298]"""
SPRAY_MINUTES = 60.0
"""Time of the spray test unless the block is through before. [min] [nzs-4298]"""
SPRAY_PRESSURE = 0.050
"""Pressure of the spray whose index is tabled. [MPa] [nzs-4298]"""
MOST_EROSION = 100_000.0
"""An erosion rate above which a depth or time slipped: through a metre in half a minute. [mm/h]"""

_WEAR = {
    "S": Term("brushed_area", "mm2"),
    "m_0": Term("block_mass_before", "kg"),
    "m_1": Term("block_mass_after", "kg"),
}

EROSION_RATE = Formula(
    "erosion_rate",
    "D",
    "mm/h",
    "60 * d / t",
    {"d": Term("erosion_depth", "mm"), "t": Term("spray_minutes", "min")},
    "nzs-4298",
    "Appendix D",
)
ERODIBILITY_INDEX = Formula(
    "erodibility_index", "I", "1", "I_t", {"I_t": Term("erodibility_index", "1")}, "nzs-4298", "Appendix D, Table D1"
)
DRIP_INDEX = Formula("drip_index", "I", "1", "I_t", {"I_t": Term("drip_index", "1")}, "nzs-4298", "Appendix E")
ABRASION_COEFFICIENT = Formula(
    "abrasion_coefficient",
    "C_a",
    "cm2/g",
    "S / 100 / (1000 * (m_0 - m_1))",
    _WEAR,
    "xp-p13-901",
    "S / (m0 - m1), S in cm2, masses in g",
)
KEPT_SHARE = Formula(
    "kept_share",
    "k",
    "1",
    "m_p / m",
    {"m_p": Term("largest_piece", "kg"), "m": Term("block_mass", "kg")},
    "nzs-4298",
    "drop test",
)


@dataclass(frozen=True, slots=True)
class Index:
    """An index of erosion, read off a table.

    Attributes
    ----------
    index : int
        1 is best; the last one fails.
    fails : bool
        Whether the table calls it failed.
    notes : tuple of Note
        What was other than in the method.
    """

    index: int
    fails: bool
    notes: tuple[Note, ...] = ()


def erosion_rate(erosion_depth: float, *, spray_minutes: float) -> float:
    """Depth worn by a spray in an hour.

    NZS 4298:1998, Appendix D (from memory): 50 kPa, 470 mm from the face, 60 min or until through.

    Parameters
    ----------
    erosion_depth : float or (n,) array
        Deepest pit, with a flat rod of 10 mm. [mm]
    spray_minutes : float or (n,) array
        Time of spraying, shorter where it was through. [min]

    Returns
    -------
    float or (n,) array
        Rate. [mm/h]

    Raises
    ------
    InputError
        "negative", "not_positive"; "out_of_range" for a rate no wall of earth shows.

    References
    ----------
    [nzs-4298]

    Examples
    --------
    >>> erosion_rate(15.0, spray_minutes=30.0)
    30.0
    """
    check_not_negative(erosion_depth=erosion_depth)
    check_positive(spray_minutes=spray_minutes)
    rate = 60.0 * erosion_depth / spray_minutes
    check_between(0.0, MOST_EROSION, erosion_rate=rate)
    return rate


def erodibility_index(erosion_rate: float, *, spray_pressure: float = SPRAY_PRESSURE) -> Index:
    """Erodibility index by spray.

    NZS 4298:1998, Appendix D, Table D1 (from memory): under 20, 50, 90, 120 mm/h for 1 to 4; 5 fails.

    Parameters
    ----------
    erosion_rate : float
        From `erosion_rate`. [mm/h]
    spray_pressure : float, optional
        Pressure at the nozzle; the table holds at 0.050. [MPa]

    Returns
    -------
    Index
        Index, whether it fails, and a note where another pressure was used.

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [nzs-4298]

    Examples
    --------
    >>> [erodibility_index(rate).index for rate in (10.0, 30.0, 70.0, 100.0, 125.0)]
    [1, 2, 3, 4, 5]
    """
    check_not_negative(erosion_rate=erosion_rate)
    check_positive(spray_pressure=spray_pressure)
    off = abs(spray_pressure - SPRAY_PRESSURE) > 0.1 * SPRAY_PRESSURE
    values = {"pressure": 1000.0 * spray_pressure, "wanted": 1000.0 * SPRAY_PRESSURE}
    return _index("spray", erosion_rate, (Note("spray_pressure_other", values),) if off else ())


def drip_index(pit_depth: float) -> Index:
    """Erodibility index by drip.

    NZS 4298:1998, Appendix E (from memory): 100 ml from 400 mm in 20 to 60 min on a face sloped 27°.

    Parameters
    ----------
    pit_depth : float
        Depth of the pit. [mm]

    Returns
    -------
    Index
        2 to 4, 5 failed; a drip gives no 1.

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [nzs-4298]

    Examples
    --------
    >>> [drip_index(depth).index for depth in (2.0, 5.0, 12.0, 15.0)]
    [2, 3, 4, 5]
    """
    check_not_negative(pit_depth=pit_depth)
    return _index("drip", pit_depth, ())


def indices(method: str) -> tables.Table:
    """The table of an index: "spray" in mm/h, "drip" in mm.

    >>> [row["index"] for row in indices("drip")]
    [2, 3, 4, 5]
    """
    return tables.load(f"{method}_indices", required=("index", "below", "fails"))


def _index(method: str, value: float, notes: tuple[Note, ...]) -> Index:
    row = next(row for row in indices(method) if value < row["below"])
    return Index(row["index"], row["fails"], notes)


def abrasion_coefficient(brushed_area: float, *, block_mass_before: float, block_mass_after: float) -> float:
    """Abrasion coefficient: area brushed for each gram that came off; the higher the better.

    XP P13-901:2001 (from memory): brush loaded to 3 kg, 60 strokes to and fro in 1 min.

    Parameters
    ----------
    brushed_area : float or (n,) array
        Area under the brush. [mm²]
    block_mass_before, block_mass_after : float or (n,) array
        Block before, and after it was brushed and cleaned. [kg]

    Returns
    -------
    float or (n,) array
        S/(m₀ − m₁). [cm²/g]

    Raises
    ------
    InputError
        "not_positive"; "nothing_brushed_off" where it lost nothing, "heavier_after_wear" where it gained.

    References
    ----------
    [xp-p13-901]

    Examples
    --------
    >>> round(abrasion_coefficient(7250.0, block_mass_before=7.0000, block_mass_after=6.9855), 6)
    5.0
    """
    check_positive(brushed_area=brushed_area, block_mass_before=block_mass_before, block_mass_after=block_mass_after)
    if not holds(block_mass_after <= block_mass_before):
        raise InputError("heavier_after_wear", mass_before=block_mass_before, mass_after=block_mass_after)
    if not holds(block_mass_after < block_mass_before):
        raise InputError("nothing_brushed_off")
    return brushed_area / 100.0 / (1000.0 * (block_mass_before - block_mass_after))


def kept_share(largest_piece: float, *, block_mass: float) -> float:
    """Share of a dropped block that is left in its largest piece.

    NZS 4298:1998, drop test (from memory).

    Parameters
    ----------
    largest_piece : float or (n,) array
        Largest piece after the drop. [kg]
    block_mass : float or (n,) array
        Block before it. [kg]

    Returns
    -------
    float or (n,) array
        Share; one half is a break in equal pieces. [-]

    Raises
    ------
    InputError
        "not_positive"; "heavier_after_wear" where the piece is heavier than the block.

    References
    ----------
    [nzs-4298]

    Examples
    --------
    >>> kept_share(6.3, block_mass=7.0)
    0.9
    """
    check_positive(largest_piece=largest_piece, block_mass=block_mass)
    if not holds(largest_piece <= block_mass):
        raise InputError("heavier_after_wear", mass_before=block_mass, mass_after=largest_piece)
    return largest_piece / block_mass
