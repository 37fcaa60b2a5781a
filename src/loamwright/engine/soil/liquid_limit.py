"""Liquid limit of the fines: flow curve of the cup, one point, two points, and the falling cone."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

from loamwright import tables
from loamwright.engine.soil.lines import check_pairs, line_at
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

BLOWS_AT_LIMIT = 25.0
"""Blows of the cup that close the groove at the liquid limit. [-] [astm-d4318]"""
ONE_POINT_EXPONENT = 0.121
"""Slope of the flow line in the one-point method, both scales logarithmic. [-] [astm-d4318]"""

FLOW_INDEX = Formula(
    "flow_index",
    "F",
    "1",
    "-dot(u, v) / dot(u, u)",
    {"u": Term("log_blow_deviations", "1"), "v": Term("water_content_deviations", "1")},
    "astm-d4318",
    "method A; u and v are log10 of blows and water content, each less its mean",
)
LIQUID_LIMIT = Formula(
    "liquid_limit",
    "w_L",
    "1",
    "w_m + F * (x_m - log10(25))",
    {"w_m": Term("mean_water_content", "1"), "F": Term("flow_index", "1"), "x_m": Term("mean_log_blows", "1")},
    "astm-d4318",
    "method A; x is log10 of blows",
)
ONE_POINT = Formula(
    "liquid_limit",
    "w_L",
    "1",
    f"w * (N / 25) ** {ONE_POINT_EXPONENT}",
    {"w": Term("water_content", "1"), "N": Term("blows", "1")},
    "astm-d4318",
    "method B",
)
CONE_SLOPE = Formula(
    "cone_slope",
    "b",
    "1/mm",
    "dot(u, v) / dot(u, u)",
    {"u": Term("penetration_deviations", "mm"), "v": Term("water_content_deviations", "1")},
    "bs-1377-2",
    "4.3; u and v are penetration and water content, each less its mean",
)
CONE_LIMIT = Formula(
    "liquid_limit",
    "w_L",
    "1",
    "w_m + b * (d_L - d_m)",
    {
        "w_m": Term("mean_water_content", "1"),
        "b": Term("cone_slope", "1/mm"),
        "d_L": Term("penetration_at_limit", "mm"),
        "d_m": Term("mean_penetration", "mm"),
    },
    "bs-1377-2",
    "4.3",
)


@dataclass(frozen=True, slots=True)
class FlowLimit:
    """A liquid limit read off a line.

    Attributes
    ----------
    liquid_limit : float
        Water content at the limit. [-]
    slope : float
        Flow index of the cup (fall of water content per tenfold blows) [-], or rise per millimetre of the cone. [1/mm]
    half_width : float or None
        Half the 90 % interval of the liquid limit by the scatter about the line; None for two points. [-]
    rising : tuple of float
        Blows (or penetrations, mm) of the points that lie against the fall of the line by more than scatter explains.
    notes : tuple of Note
        Fewer points than the method asks for, points outside its range, a limit outside the points.
    """

    liquid_limit: float
    slope: float
    half_width: float | None
    rising: tuple[float, ...]
    notes: tuple[Note, ...]


def liquid_limit_flow_curve(water_contents: Sequence[float], *, blows: Sequence[float]) -> FlowLimit:
    """Liquid limit of the cup by the flow curve: a least-squares line of water content on log10 of blows, read at 25.

    ASTM D4318-17e1, method A.

    Parameters
    ----------
    water_contents : (n,) sequence
        Of the paste at each trial, two or more; the method asks for three. [-]
    blows : (n,) sequence
        That closed the groove. [-]

    Returns
    -------
    FlowLimit
        `slope` is the flow index.

    Raises
    ------
    InputError
        "lengths_differ", "too_few_values", "columns_alike", "negative", "not_positive"; "flow_curve_not_falling" where the
        line says that wetter paste needs as many blows or more.

    References
    ----------
    [astm-d4318]

    Examples
    --------
    >>> found = liquid_limit_flow_curve([0.42, 0.408, 0.391], blows=[15, 20, 28])
    >>> round(found.liquid_limit, 4), round(found.slope, 4)
    (0.3967, 0.1072)
    """
    check_pairs(water_contents, blows)
    _check_each(water_contents, blows=blows)
    line = line_at(water_contents, places=[log10(count) for count in blows], at=log10(BLOWS_AT_LIMIT))
    if line.slope >= 0.0:
        raise InputError("flow_curve_not_falling", blows=tuple(blows), water_contents_pct=_per_cent(water_contents))
    notes = [
        *_few(len(blows), "cup"),
        *_reach("blows", blows, BLOWS_AT_LIMIT, _figure("cup-blows-least"), _figure("cup-blows-most")),
    ]
    rising = tuple(
        count for water, count in zip(water_contents, blows, strict=True) if _rises(water, count, water_contents, blows)
    )
    return FlowLimit(line.value, -line.slope, line.half_width, rising, tuple(notes))


def liquid_limit_two_points(water_contents: Sequence[float], *, blows: Sequence[float]) -> float:
    """Liquid limit on the straight line between the two trials next to 25 blows, as drawn by hand.

    Parameters
    ----------
    water_contents, blows : (n,) sequence
        As for the flow curve; one trial at 25 blows or fewer and one at 25 or more. [-]

    Returns
    -------
    float
        Water content at 25 blows. [-]

    Raises
    ------
    InputError
        "lengths_differ", "too_few_values", "negative", "not_positive"; "blows_on_one_side" where no trial lies on the other.

    References
    ----------
    [astm-d4318]

    Examples
    --------
    >>> round(liquid_limit_two_points([0.42, 0.408, 0.391], blows=[15, 20, 28]), 4)
    0.3967
    """
    check_pairs(water_contents, blows)
    _check_each(water_contents, blows=blows)
    trials = sorted(zip(blows, water_contents, strict=True))
    fewer = [each for each in trials if each[0] <= BLOWS_AT_LIMIT]
    more = [each for each in trials if each[0] >= BLOWS_AT_LIMIT]
    if not fewer or not more:
        raise InputError("blows_on_one_side", blows=tuple(blows))
    near, far = fewer[-1], more[0]
    if near[0] == far[0]:
        return near[1]
    part = (log10(BLOWS_AT_LIMIT) - log10(near[0])) / (log10(far[0]) - log10(near[0]))
    return near[1] + part * (far[1] - near[1])


def flow_index_of_ends(water_contents: Sequence[float], *, blows: Sequence[float]) -> float:
    """Flow index between the trials of fewest and of most blows, as taken off a line drawn by hand.

    Parameters
    ----------
    water_contents, blows : (n,) sequence
        As for the flow curve. [-]

    Returns
    -------
    float
        Fall of water content per tenfold blows. [-]

    Raises
    ------
    InputError
        "lengths_differ", "too_few_values", "negative", "not_positive"; "columns_alike" for one number of blows.

    References
    ----------
    [astm-d4318]

    Examples
    --------
    >>> round(flow_index_of_ends([0.42, 0.408, 0.391], blows=[15, 20, 28]), 4)
    0.107
    """
    check_pairs(water_contents, blows)
    _check_each(water_contents, blows=blows)
    trials = sorted(zip(blows, water_contents, strict=True))
    (few, wet), (many, dry) = trials[0], trials[-1]
    if few == many:
        raise InputError("columns_alike")
    return (wet - dry) / log10(many / few)


@dataclass(frozen=True, slots=True)
class OnePoint:
    """A liquid limit from one trial: the limit [-], and a note where the blows lie outside the method's range."""

    liquid_limit: float
    notes: tuple[Note, ...]


def liquid_limit_one_point(water_content: float, *, blows: float) -> OnePoint:
    """Liquid limit of the cup from a single trial.

    ASTM D4318-17e1, method B.

    Parameters
    ----------
    water_content : float
        Of the paste. [-]
    blows : float
        That closed the groove; the method holds for 20 to 30. [-]

    Returns
    -------
    OnePoint
        With the note "one_point_blows" outside 20 to 30 blows.

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [astm-d4318]

    Examples
    --------
    >>> round(liquid_limit_one_point(0.30, blows=20).liquid_limit, 3)
    0.292
    """
    check_not_negative(water_content=water_content)
    check_positive(blows=blows)
    least, most = _figure("one-point-blows-least"), _figure("one-point-blows-most")
    notes = () if least <= blows <= most else (Note("one_point_blows", {"blows": blows, "least": least, "most": most}),)
    return OnePoint(water_content * (blows / BLOWS_AT_LIMIT) ** ONE_POINT_EXPONENT, notes)


def liquid_limit_cone(water_contents: Sequence[float], *, penetrations: Sequence[float], cone: str = "80g_30deg") -> FlowLimit:
    """Liquid limit by the falling cone: a least-squares line of water content on penetration, read at the cone's own depth.

    BS 1377-2:1990, 4.3 and ISO 17892-12.

    Parameters
    ----------
    water_contents : (n,) sequence
        Of the paste at each trial, two or more; the method asks for four. [-]
    penetrations : (n,) sequence
        Of the cone after 5 s. [mm]
    cone : str
        Key of a row of data/fall_cones.toml: "80g_30deg" (limit at 20 mm) or "60g_60deg" (at 10 mm).

    Returns
    -------
    FlowLimit
        `slope` is the rise of water content per millimetre.

    Raises
    ------
    InputError
        "lengths_differ", "too_few_values", "columns_alike", "negative", "not_positive", "unknown_cone"; "cone_line_not_rising"
        where the line says that the cone sinks less into wetter paste.

    References
    ----------
    [bs-1377-2], [iso-17892-12]

    Examples
    --------
    >>> found = liquid_limit_cone([0.40, 0.44, 0.48], penetrations=[16.0, 20.0, 24.0])
    >>> round(found.liquid_limit, 4), round(found.slope, 4)
    (0.44, 0.01)
    """
    check_pairs(water_contents, penetrations)
    _check_each(water_contents, penetrations=penetrations)
    row = fall_cone(cone)
    line = line_at(water_contents, places=penetrations, at=row["penetration"])
    if line.slope <= 0.0:
        raise InputError("cone_line_not_rising", penetrations=tuple(penetrations), water_contents_pct=_per_cent(water_contents))
    notes = [
        *_few(len(penetrations), "cone"),
        *_reach("penetration", penetrations, row["penetration"], row["least"], row["most"]),
    ]
    negated = [-each for each in penetrations]  # deeper is wetter, where more blows are drier
    rising = tuple(
        -each for water, each in zip(water_contents, negated, strict=True) if _rises(water, each, water_contents, negated)
    )
    return FlowLimit(line.value, line.slope, line.half_width, rising, tuple(notes))


def fall_cone(cone: str) -> tables.Row:
    """One cone of data/fall_cones.toml; `InputError` ("unknown_cone") for another.

    >>> fall_cone("80g_30deg")["penetration"]
    20.0
    """
    table = tables.load("fall_cones", required=("mass", "angle", "penetration", "least", "most"))
    try:
        return table[cone]
    except KeyError:
        raise InputError("unknown_cone", cone=cone, known=", ".join(row.key for row in table)) from None


def check_blows(blows: float) -> None:
    """Raise `InputError` ("not_positive") for a count of blows that is none."""
    check_positive(blows=blows)


def check_penetration(penetration: float) -> None:
    """Raise `InputError` ("not_positive") for a penetration that is none. [mm]"""
    check_positive(penetration=penetration)


def _figure(key: str) -> float:
    return tables.figure("soil_limits", key, required=("unit", "note"))


def _check_each(water_contents: Sequence[float], **others: Sequence[float]) -> None:
    for water in water_contents:
        check_not_negative(water_content=water)
    for name, values in others.items():
        for value in values:
            check_positive(**{name: value})


def _few(points: int, method: str) -> list[Note]:
    asked = int(_figure(f"{method}-points"))
    return [Note("limit_few_points", {"have": points, "asked": asked})] if points < asked else []


def _reach(what: str, places: Sequence[float], at: float, least: float, most: float) -> list[Note]:
    """Notes for points outside the range of the method, and for a limit read off beyond all points."""
    found = []
    outside = tuple(float(place) for place in places if not least <= place <= most)
    if outside:
        found.append(Note("limit_points_outside", {"what": what, "outside": outside, "least": least, "most": most}))
    if not min(places) <= at <= max(places):
        found.append(
            Note("limit_beyond_points", {"what": what, "at": at, "least": float(min(places)), "most": float(max(places))})
        )
    return found


def _rises(water: float, place: float, waters: Sequence[float], places: Sequence[float]) -> bool:
    """Whether a point is wetter than one with fewer blows by more than scatter explains."""
    allowed = _figure("flow-curve-rise")
    return any(other < place and water > lower + allowed for lower, other in zip(waters, places, strict=True))


def _per_cent(shares: Sequence[float]) -> tuple[float, ...]:
    return tuple(float(f"{100 * share:.4g}") for share in shares)
