"""The curve through compaction points: optimum water and greatest dry density, by a form that is named, with their spread."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from loamwright import tables
from loamwright.engine.evidence.regression import least_squares, powers
from loamwright.engine.soil.lines import check_pairs, half_width
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

Form = Literal["parabola", "cubic", "highest_point"]
DEGREES = {"parabola": 2, "cubic": 3}
POINTS_ASKED = 4
"""Points from which a parabola leaves a residual to judge it by. [-]"""

_COEFFICIENTS = {"b": Term("linear_coefficient", "kg/m3"), "c": Term("square_coefficient", "kg/m3")}
OPTIMUM = Formula("optimum_water_content", "w_o", "1", "-b / (2 * c)", _COEFFICIENTS, "derivation-compaction-curve")
MOST = Formula(
    "most_dry_density",
    "rho_m",
    "kg/m3",
    "a + b * w_o + c * w_o ** 2",
    {"a": Term("constant_coefficient", "kg/m3"), **_COEFFICIENTS, "w_o": Term("optimum_water_content", "1")},
    "derivation-compaction-curve",
)


@dataclass(frozen=True, slots=True)
class Peak:
    """Where a compaction curve turns.

    Attributes
    ----------
    form : str
        "parabola", "cubic" or "highest_point".
    optimum_water_content : float
        Water content of the greatest dry density. [-]
    most_dry_density : float
        That density. [kg/m³]
    water_half_width, density_half_width : float or None
        Half the 90 % interval of each by the residuals; None where the points leave none. [-, kg/m³]
    residual_sd : float or None
        Scatter of the points about the curve. [kg/m³]
    coefficients : tuple of float
        Of the polynomial in water content, from the constant up; empty for the highest point. [kg/m³]
    notes : tuple of Note
        "curve_few_points"; "curve_fits_badly" where a point lies far from the curve.
    """

    form: Form
    optimum_water_content: float
    most_dry_density: float
    water_half_width: float | None
    density_half_width: float | None
    residual_sd: float | None
    coefficients: tuple[float, ...]
    notes: tuple[Note, ...]


def compaction_peak(dry_densities: Sequence[float], *, water_contents: Sequence[float], form: Form = "parabola") -> Peak:
    """Optimum water and greatest dry density from the points of one effort.

    Parameters
    ----------
    dry_densities : (n,) sequence
        [kg/m³]
    water_contents : (n,) sequence
        [-]
    form : str
        "parabola": least squares through all points, three or more. "cubic": the same of third degree, four or more.
        "highest_point": the densest point as it stands.

    Returns
    -------
    Peak
        See its fields. The spread is that of the scatter about the curve carried to the place where it turns, by Student's t;
        it knows nothing of a form that does not fit.

    Raises
    ------
    InputError
        "lengths_differ", "too_few_values", "columns_alike", "negative", "not_positive"; "no_peak_within" where the curve does
        not turn between the driest and the wettest point.

    References
    ----------
    [derivation-compaction-curve]

    Examples
    --------
    >>> found = compaction_peak([1900.0, 2000.0, 1900.0], water_contents=[0.08, 0.10, 0.12])
    >>> round(found.optimum_water_content, 4), round(found.most_dry_density, 1), found.density_half_width
    (0.1, 2000.0, None)
    """
    degree = DEGREES.get(form, 0)
    check_pairs(dry_densities, water_contents, least=degree + 1)
    for water, density in zip(water_contents, dry_densities, strict=True):
        check_not_negative(water_content=water)
        check_positive(dry_density=density)
    if form == "highest_point":
        return _highest(dry_densities, water_contents)
    return _turning(dry_densities, water_contents, form, degree)


def _highest(densities: Sequence[float], waters: Sequence[float]) -> Peak:
    most, water = max(zip(densities, waters, strict=True))
    return Peak("highest_point", water, most, None, None, None, (), ())


def _turning(densities: Sequence[float], waters: Sequence[float], form: Form, degree: int) -> Peak:
    about_zero = least_squares(powers(waters, degree=degree), densities)
    coefficients = tuple(float(each) for each in about_zero.coefficients)
    optimum = _turns_at(coefficients, min(waters), max(waters))
    # the same curve written about its top, where the errors of its height and of its slope can be read off
    top = least_squares(powers([water - optimum for water in waters], degree=degree), densities)
    bend = 2.0 * abs(float(top.coefficients[2]))
    return Peak(
        form,
        optimum,
        float(top.coefficients[0]),
        half_width(float(top.errors[1]) / bend, top.df),
        half_width(float(top.errors[0]), top.df),
        float(top.residual_sd) if top.df else None,
        coefficients,
        _notes(densities, waters, coefficients),
    )


def _turns_at(coefficients: tuple[float, ...], driest: float, wettest: float) -> float:
    """Where a polynomial of second or third degree has its top between two water contents."""
    tops = _tops(coefficients)
    inside = [water for water in tops if driest <= water <= wettest]
    if not inside:
        raise InputError("no_peak_within", driest=float(driest), wettest=float(wettest))
    return inside[0]


def _tops(coefficients: tuple[float, ...]) -> tuple[float, ...]:
    """Where the slope is nothing and the curve bends down."""
    _, linear, square, *rest = coefficients
    cubed = rest[0] if rest else 0.0
    if cubed == 0.0:
        return (-linear / (2.0 * square),) if square < 0.0 else ()
    under = square**2 - 3.0 * linear * cubed
    if under <= 0.0:
        return ()
    return ((-square - sqrt(under)) / (3.0 * cubed),)  # of the two, the one with a falling slope


def curve_density(coefficients: Sequence[float], *, water_content: float) -> float:
    """Dry density of a fitted curve at one water content.

    Parameters
    ----------
    coefficients : (k,) sequence
        From the constant up. [kg/m³]
    water_content : float
        [-]

    Returns
    -------
    float
        [kg/m³]

    References
    ----------
    [derivation-compaction-curve]

    Examples
    --------
    >>> round(curve_density([1000.0, 20000.0, -100000.0], water_content=0.1), 6)
    2000.0
    """
    return float(sum(each * water_content**power for power, each in enumerate(coefficients)))


def _notes(densities: Sequence[float], waters: Sequence[float], coefficients: tuple[float, ...]) -> tuple[Note, ...]:
    found = []
    if len(densities) < POINTS_ASKED:
        found.append(Note("curve_few_points", {"have": len(densities), "asked": POINTS_ASKED}))
    off = [density - curve_density(coefficients, water_content=water) for density, water in zip(densities, waters, strict=True)]
    worst = max(range(len(off)), key=lambda place: abs(off[place]))
    if abs(off[worst]) > _allowed() * densities[worst]:
        found.append(Note("curve_fits_badly", {"water": float(waters[worst]), "off": abs(off[worst])}))
    return tuple(found)


def _allowed() -> float:
    return tables.figure("compaction", "curve-miss", required=("unit", "note"))
