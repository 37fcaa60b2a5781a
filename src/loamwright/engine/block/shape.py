"""Shape factors: flat blocks look stronger between plates; a named table turns the result into unconfined strength."""

from bisect import bisect_right
from dataclasses import dataclass

from loamwright import tables
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

SHAPE_FACTOR = Formula(
    "shape_factor",
    "k",
    "1",
    "k_0 + (x - x_0) * (k_1 - k_0) / (x_1 - x_0)",
    {
        "x": Term("height_to_thickness", "1"),
        "x_0": Term("height_to_thickness", "1"),
        "x_1": Term("height_to_thickness", "1"),
        "k_0": Term("shape_factor", "1"),
        "k_1": Term("shape_factor", "1"),
    },
    "derivation-interpolation",
)
UNCONFINED_STRENGTH = Formula(
    "unconfined_strength",
    "f_u",
    "MPa",
    "k * f",
    {"k": Term("shape_factor", "1"), "f": Term("compressive_strength", "MPa")},
    "krefeld-1938",
)


@dataclass(frozen=True, slots=True)
class Point:
    """One printed point of a table: h/t and its factor. [-]"""

    height_to_thickness: float
    factor: float


@dataclass(frozen=True, slots=True)
class ShapeFactor:
    """A shape factor with the table it comes from: no factor is ever shown without its table.

    Attributes
    ----------
    factor : float
        Multiply the strength as crushed by this. [-]
    height_to_thickness : float
        Height over least width of the block. [-]
    table : str
        Key of the table.
    table_name : str
        The table's name as papers print it.
    below, above : Point
        The two points it lies between (the same point twice beyond the last one).
    source, standing : str
        Reference key, and how the table is known.
    notes : tuple of Note
        "below_shape_table" or "above_shape_table" outside the table.
    """

    factor: float
    height_to_thickness: float
    table: str
    table_name: str
    below: Point
    above: Point
    source: str
    standing: str
    notes: tuple[Note, ...]


def shape_tables() -> tuple[str, ...]:
    """Keys of the shape-factor tables there are.

    >>> shape_tables()
    ('krefeld', 'heathcote-jankulovski')
    """
    return tuple(row.key for row in _table())


def _table() -> tables.Table:
    return tables.load("shape_factors", required=("name", "height_to_thickness", "factor", "factor_at_zero"))


def _row(table: str) -> tables.Row:
    try:
        return _table()[table]
    except KeyError:
        raise InputError("unknown_shape_table", table=table, known=", ".join(shape_tables())) from None


def shape_factor(height_to_thickness: float, *, table: str) -> ShapeFactor:
    """Factor from strength as crushed to unconfined strength, by a named table.

    Krefeld (1938) or Heathcote and Jankulovski (1992); both from memory.

    Parameters
    ----------
    height_to_thickness : float
        Height over least width of the block as crushed. [-]
    table : str
        "krefeld" or "heathcote-jankulovski"; there is no default, because they differ by a factor of two for flat blocks.

    Returns
    -------
    ShapeFactor

    Raises
    ------
    InputError
        "not_positive", "unknown_shape_table".

    Notes
    -----
    Linear between printed points, 0.4 to 5.0. Below 0.4 the tables give no value: the line to zero at zero is used, the
    lowest of the readings in use, and noted. Above 5.0 the last factor holds, and is noted.

    References
    ----------
    [krefeld-1938], [heathcote-1992], [derivation-interpolation]

    Examples
    --------
    >>> round(shape_factor(0.64, table="krefeld").factor, 3), round(shape_factor(0.64, table="heathcote-jankulovski").factor, 3)
    (0.58, 0.37)
    """
    row = _row(table)
    check_positive(height_to_thickness=height_to_thickness)
    points = [Point(x, k) for x, k in zip(row["height_to_thickness"], row["factor"], strict=True)]
    below, above, notes = _neighbours(height_to_thickness, points, row)
    step = above.height_to_thickness - below.height_to_thickness
    factor = below.factor
    if step > 0:
        factor += (height_to_thickness - below.height_to_thickness) * (above.factor - below.factor) / step
    return ShapeFactor(factor, height_to_thickness, row.key, row["name"], below, above, row.source, row.standing, notes)


def _neighbours(x: float, points: list[Point], row: tables.Row) -> tuple[Point, Point, tuple[Note, ...]]:
    first, last = points[0].height_to_thickness, points[-1].height_to_thickness
    values = {"table": row.key, "height_to_thickness": x, "least": first, "most": last}
    if x < first:
        return Point(0.0, row["factor_at_zero"]), points[0], (Note("below_shape_table", values),)
    if x >= last:
        return points[-1], points[-1], (Note("above_shape_table", values),) if x > last else ()
    place = bisect_right([point.height_to_thickness for point in points], x)
    return points[place - 1], points[place], ()


def unconfined_strength(compressive_strength: float, *, factor: ShapeFactor) -> float:
    """Strength of a block as crushed, times its shape factor.

    Parameters
    ----------
    compressive_strength : float
        Crushing load over gross area. [MPa]
    factor : ShapeFactor
        From `shape_factor`; print its table beside the result.

    Returns
    -------
    float
        Unconfined strength by that table. [MPa]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [krefeld-1938]

    Examples
    --------
    >>> round(unconfined_strength(4.0, factor=shape_factor(0.4, table="krefeld")), 3)
    2.0
    """
    check_not_negative(compressive_strength=compressive_strength)
    return factor.factor * compressive_strength
