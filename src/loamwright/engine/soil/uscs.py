"""The unified classification of ASTM D2487: group symbol, dual symbols, group name, and what does not fit."""

from dataclasses import dataclass
from typing import Literal

from loamwright.engine.soil.grading_curve import curvature_coefficient, uniformity_coefficient
from loamwright.engine.soil.plasticity import A_LINE_FROM, MOST, U_LINE_FROM, a_line, u_line
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive

FinesKind = Literal["silty", "clayey", "silty clay"]
ORGANIC_RATIO = 0.75
"""Liquid limit dried in the oven over not dried: below it the fines are organic. [-]"""
FINE = {"CL": "lean clay", "CH": "fat clay", "ML": "silt", "MH": "elastic silt", "CL-ML": "silty clay"}
SUM_OFF = 0.005
ROUNDED = 0.005
"""Half a step of limits that are reported in whole per cents. [-]"""


@dataclass(frozen=True, slots=True)
class GravelSandFines:
    """Mass shares of what passes 75 mm: kept on 4.75 mm, between, and passing 0.075 mm. [-]"""

    gravel: float
    sand: float
    fines: float


def gravel_sand_fines(
    *,
    gravel: float | None = None,
    sand: float | None = None,
    fines: float | None = None,
    passing_4_75: float | None = None,
    passing_0_075: float | None = None,
    retained_4_75: float | None = None,
    retained_0_075: float | None = None,
) -> GravelSandFines:
    """Gravel, sand and fines from whatever a report gives.

    Parameters
    ----------
    gravel, sand, fines : float, optional
        Shares as reported; one may be left out. [-]
    passing_4_75, passing_0_075, retained_4_75, retained_0_075 : float, optional
        Shares passing, or kept on that sieve and all above it. [-]

    Returns
    -------
    GravelSandFines

    Raises
    ------
    InputError
        "out_of_range"; "grading_not_enough" where two of the three cannot be told; "grading_does_not_add_up".

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> gravel_sand_fines(retained_4_75=0.25, passing_0_075=0.25)
    GravelSandFines(gravel=0.25, sand=0.5, fines=0.25)
    """
    given = {"gravel": gravel, "sand": sand, "fines": fines, "passing_4_75": passing_4_75, "passing_0_075": passing_0_075}
    given |= {"retained_4_75": retained_4_75, "retained_0_075": retained_0_075}
    check_between(0.0, 1.0, **{name: each for name, each in given.items() if each is not None})
    coarse = _first(gravel, retained_4_75, None if passing_4_75 is None else 1.0 - passing_4_75)
    below = _first(fines, passing_0_075, None if retained_0_075 is None else 1.0 - retained_0_075)
    known = [each for each in (coarse, sand, below) if each is not None]
    if len(known) < 2 and below != 1.0:
        raise InputError("grading_not_enough")
    if below == 1.0 and len(known) == 1:
        return GravelSandFines(0.0, 0.0, 1.0)
    coarse = 1.0 - (sand or 0.0) - (below or 0.0) if coarse is None else coarse
    below = 1.0 - coarse - (sand or 0.0) if below is None else below
    middle = 1.0 - coarse - below if sand is None else sand
    if abs(coarse + middle + below - 1.0) > SUM_OFF or min(coarse, middle, below) < -SUM_OFF:
        raise InputError("grading_does_not_add_up", total=coarse + middle + below)
    return GravelSandFines(*(max(0.0, round(each, 12)) for each in (coarse, middle, below)))


def _first(*given: float | None) -> float | None:
    return next((each for each in given if each is not None), None)


@dataclass(frozen=True, slots=True)
class Shape:
    """Shape of a grading curve: D60 over D10, and D30 squared over their product. [-]"""

    uniformity: float
    curvature: float


def shape_of_sizes(d10: float, *, d30: float, d60: float) -> Shape:
    """Uniformity and curvature of a curve.

    Parameters
    ----------
    d10, d30, d60 : float
        Sizes that 10, 30 and 60 % of the mass are finer than, rising. [mm]

    Returns
    -------
    Shape

    Raises
    ------
    InputError
        As the two coefficients.

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> shape = shape_of_sizes(0.1, d30=0.8, d60=1.9)
    >>> round(shape.uniformity, 2), round(shape.curvature, 2)
    (19.0, 3.37)
    """
    return Shape(float(uniformity_coefficient(d60, d10=d10)), float(curvature_coefficient(d30, d10=d10, d60=d60)))


def fine_symbol(liquid_limit: float, *, plasticity_index: float) -> str:
    """Symbol of fines on the plasticity chart.

    Parameters
    ----------
    liquid_limit, plasticity_index : float
        Of what passes 0.425 mm. [-]

    Returns
    -------
    str
        "CL", "ML", "CL-ML", "CH" or "MH"; a point on the A-line is clay, a liquid limit of 50 % is high.

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> fine_symbol(0.45, plasticity_index=0.20), fine_symbol(0.25, plasticity_index=0.05)
    ('CL', 'CL-ML')
    """
    check_not_negative(liquid_limit=liquid_limit, plasticity_index=plasticity_index)
    index = round(plasticity_index, 11)
    above = index >= round(a_line(liquid_limit), 11)
    if round(liquid_limit, 11) >= 0.5:
        return "CH" if above else "MH"
    if index < A_LINE_FROM or not above:
        return "ML"
    return "CL-ML" if index <= 0.07 else "CL"


def symbols_near(liquid_limit: float, *, plasticity_index: float, within: float) -> tuple[str, ...]:
    """The symbol of fines, and those of limits a little off: near a line D2487 allows a borderline symbol such as CL/CH.

    Parameters
    ----------
    liquid_limit, plasticity_index : float
        Of what passes 0.425 mm. [-]
    within : float
        How far either may be off. [-]

    Returns
    -------
    tuple of str
        The symbol by `fine_symbol` first.

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> symbols_near(0.498, plasticity_index=0.30, within=0.005), symbols_near(0.45, plasticity_index=0.30, within=0.005)
    (('CL', 'CH'), ('CL',))
    """
    check_not_negative(within=within)
    own = fine_symbol(liquid_limit, plasticity_index=plasticity_index)
    moved = (
        fine_symbol(max(0.0, liquid_limit + x * within), plasticity_index=max(0.0, plasticity_index + y * within))
        for x in (-1, 0, 1)
        for y in (-1, 0, 1)
    )
    return tuple(dict.fromkeys((own, *moved)))


@dataclass(frozen=True, slots=True)
class Fines:
    """What is known of the fines.

    Attributes
    ----------
    liquid_limit : float or None
        None where it was not, or could not be, found. [-]
    plasticity_index : float or None
        None where not plastic or not found. [-]
    kind : {"silty", "clayey", "silty clay"} or None
        As told by hand where the limits are not known.
    organic : bool
    across : str
        Symbol across a near line of the chart, to see what group it would make; empty for the fines' own.
    """

    liquid_limit: float | None = None
    plasticity_index: float | None = None
    kind: FinesKind | None = None
    organic: bool = False
    across: str = ""

    def symbol(self) -> str:
        """CL, ML, CL-ML, CH or MH."""
        if self.across:
            return self.across
        if self.liquid_limit is not None and self.plasticity_index is not None:
            return fine_symbol(self.liquid_limit, plasticity_index=self.plasticity_index)
        if self.kind is None:  # no thread could be rolled
            return "ML" if self.liquid_limit is None or self.liquid_limit < 0.5 else "MH"
        return {"silty": "ML", "clayey": "CL", "silty clay": "CL-ML"}[self.kind]


def oven_ratio(liquid_limit_oven_dried: float, *, liquid_limit: float) -> float:
    """Liquid limit after drying in the oven over the one of soil never dried; below 0.75 the fines are organic.

    Parameters
    ----------
    liquid_limit_oven_dried, liquid_limit : float
        Both on dry mass. [-]

    Returns
    -------
    float
        The ratio. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> round(oven_ratio(0.21, liquid_limit=0.32), 3)
    0.656
    """
    check_positive(liquid_limit_oven_dried=liquid_limit_oven_dried, liquid_limit=liquid_limit)
    return liquid_limit_oven_dried / liquid_limit


@dataclass(frozen=True, slots=True)
class UscsGroup:
    """A group of D2487.

    Attributes
    ----------
    symbol, name : str
        Such as "SP-SM", "Poorly graded sand with silt".
    notes : tuple of Note
        "uscs_above_u_line", "uscs_d10_does_not_fit", "uscs_near_line".
    """

    symbol: str
    name: str
    notes: tuple[Note, ...] = ()


PEAT = UscsGroup("Pt", "Peat")
"""Mostly plant remains, dark, fibrous, with a smell: told by eye and nose, not by grading."""


def uscs_group(grading: GravelSandFines, *, fines: Fines, shape: Shape | None = None, d10: float | None = None) -> UscsGroup:
    """Group symbol and name.

    Parameters
    ----------
    grading : GravelSandFines
        Shares of what passes 75 mm.
    fines : Fines
        What is known of the fines.
    shape : Shape, optional
        Of the grading curve; needed for a coarse soil with 12 % fines or less.
    d10 : float, optional
        Where it was read, so that it can be held against the fines. [mm]

    Returns
    -------
    UscsGroup

    Raises
    ------
    InputError
        "shape_needed" for a coarse soil of few fines without a curve; "limits_needed" where fines decide and nothing of
        them is known.

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> grading = gravel_sand_fines(retained_4_75=0.09, passing_0_075=0.11)
    >>> found = uscs_group(grading, fines=Fines(0.32, 0.05), shape=Shape(19.0, 3.37))
    >>> found.symbol, found.name
    ('SP-SM', 'Poorly graded sand with silt')
    """
    notes = _notes(grading, fines, d10)
    if grading.fines >= 0.5:
        symbol, name = _fine(grading, fines)
    else:
        symbol, name = _coarse(grading, fines, shape)
    return UscsGroup(symbol, name, notes)


def _notes(grading: GravelSandFines, fines: Fines, d10: float | None) -> tuple[Note, ...]:
    found = []
    liquid, index = fines.liquid_limit, fines.plasticity_index
    if liquid is not None and index is not None and U_LINE_FROM <= liquid <= MOST and index > u_line(liquid):
        found.append(Note("uscs_above_u_line", {"liquid_limit": liquid, "plasticity_index": index}))
    near = symbols_near(liquid, plasticity_index=index, within=ROUNDED) if liquid is not None and index is not None else ()
    if len(near) > 1:
        found.append(Note("uscs_near_line", {"symbols": "/".join(near)}))
    if d10 is not None and (d10 < 0.075) != (grading.fines > 0.10) and abs(grading.fines - 0.10) > SUM_OFF:
        found.append(Note("uscs_d10_does_not_fit", {"d10": d10, "fines": grading.fines}))
    return tuple(found)


def _fine(grading: GravelSandFines, fines: Fines) -> tuple[str, str]:
    mineral = _told(fines)
    symbol = mineral
    plain = FINE[mineral]
    if fines.organic:
        symbol = "OH" if mineral in ("CH", "MH") else "OL"
        plain = "organic clay" if mineral in ("CL", "CH", "CL-ML") else "organic silt"
    coarse = grading.gravel + grading.sand
    sandy = grading.sand >= grading.gravel
    if coarse < 0.15:
        return symbol, _title(plain)
    if coarse < 0.30:
        return symbol, _title(f"{plain} with {'sand' if sandy else 'gravel'}")
    other = grading.gravel if sandy else grading.sand
    more = f" with {'gravel' if sandy else 'sand'}" if other >= 0.15 else ""
    return symbol, _title(f"{'sandy' if sandy else 'gravelly'} {plain}{more}")


def _coarse(grading: GravelSandFines, fines: Fines, shape: Shape | None) -> tuple[str, str]:
    gravelly = grading.gravel > grading.sand
    letter, word = ("G", "gravel") if gravelly else ("S", "sand")
    other = grading.sand if gravelly else grading.gravel
    beside = ("sand" if gravelly else "gravel") if other >= 0.15 else ""
    if grading.fines > 0.12:
        symbol, adjective = _with_many_fines(letter, fines)
        return symbol, _joined(_title(f"{adjective} {word}"), [beside], fines.organic)
    if shape is None:
        raise InputError("shape_needed", fines=grading.fines)
    least = 4.0 if gravelly else 6.0
    well = shape.uniformity >= least and 1.0 <= shape.curvature <= 3.0
    first = f"{letter}{'W' if well else 'P'}"
    title = f"{'Well-graded' if well else 'Poorly graded'} {word}"
    if grading.fines < 0.05:
        return first, _joined(title, [beside], fines.organic)
    mineral = _told(fines)
    silty = mineral in ("ML", "MH")
    with_fines = "silt" if silty else "silty clay" if mineral == "CL-ML" else "clay"
    return f"{first}-{letter}{'M' if silty else 'C'}", _joined(title, [with_fines, beside], fines.organic)


def _told(fines: Fines) -> str:
    if fines.liquid_limit is None and fines.plasticity_index is None and fines.kind is None:
        raise InputError("limits_needed")
    return fines.symbol()


def _with_many_fines(letter: str, fines: Fines) -> tuple[str, str]:
    mineral = _told(fines)
    if mineral == "CL-ML":
        return f"{letter}C-{letter}M", "silty, clayey"
    return (f"{letter}M", "silty") if mineral in ("ML", "MH") else (f"{letter}C", "clayey")


def _joined(title: str, others: list[str], organic: bool) -> str:
    named = [each for each in (*others, "organic fines" if organic else "") if each]
    return f"{title} with {' and '.join(named)}" if named else title


def _title(words: str) -> str:
    return words[0].upper() + words[1:]
