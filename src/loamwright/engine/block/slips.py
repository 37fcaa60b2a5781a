"""Likely slips behind a strength that is not to be believed, each with the strength it would give when put right."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log, sqrt
from statistics import fmean, variance

from loamwright import units
from loamwright.errors import InputError, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

MM2_PER_IN2 = 645.16
MM2_PER_CM2 = 100.0
AREA_OF_UNIT: Mapping[str, tuple[str, float]] = {
    "lbf": ("in²", MM2_PER_IN2),
    "kgf": ("cm²", MM2_PER_CM2),
    "tf": ("cm²", MM2_PER_CM2),
    "kN": ("cm²", MM2_PER_CM2),
    "N": ("mm²", 1.0),
}
"""Unit in which somebody who counts in this force would count an area. [mm²]"""
PRESSURES_OF_UNIT: Mapping[str, tuple[str, ...]] = {
    "lbf": ("psi",),
    "kgf": ("kgf_cm2", "bar"),
    "tf": ("bar",),
    "kN": ("bar", "MPa"),
    "N": ("bar", "kPa"),
}
"""Gauges that stand beside this unit of force."""
ALIKE = 1.1
"""Two strengths put right that differ less than this are called as near as each other. [judgement-block-tests]"""
APART = 2.0
"""Standard errors by which a wet mean must lie above a dry one before it is asked about. [judgement-block-tests]"""
LEAST_RESULTS = 3
"""Results of each condition from which wet is held against dry. [judgement-block-tests]"""

WET_TO_DRY = Formula(
    "wet_to_dry",
    "R_w",
    "1",
    "f_w / f_d",
    {"f_w": Term("mean_wet_strength", "MPa"), "f_d": Term("mean_dry_strength", "MPa")},
    "practice-wet-dry",
)
CORRECTED_STRENGTH = Formula(
    "corrected_strength",
    "f_s",
    "MPa",
    "f * s",
    {"f": Term("strength", "MPa"), "s": Term("slip_factor", "1")},
    "derivation-slips",
)


@dataclass(frozen=True, slots=True)
class Reading:
    """What was typed for a test, and what is known of rig and block.

    Attributes
    ----------
    how : str
        "load" or "gauge"; nothing is known of slips of a bucket on a lever.
    unit : str
        Unit it was typed in.
    face_area : float
        Loaded face of the block; 0 where stress is not load over face. [mm²]
    ram_area : float
        Of the jack; 0 where it is not known. [mm²]
    jack_factor : float
        Force that arrives over gauge times ram area. [-]
    """

    how: str
    unit: str
    face_area: float = 0.0
    ram_area: float = 0.0
    jack_factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip that would explain a strength.

    Attributes
    ----------
    name : str
        "other_unit", "ram_area_twice", "face_twice", "gauge_as_stress" or "gauge_as_load".
    factor : float
        Multiply the strength by this to put it right. [-]
    strength : float
        Strength put right. [MPa]
    other : str
        Label of the unit the number would have been read in; empty where the unit stands.
    area : float
        Area it was multiplied by once too often, in `area_unit`; 0 where none was.
    area_unit : str
        "in²", "cm²" or "mm²".
    """

    name: str
    factor: float
    strength: float
    other: str = ""
    area: float = 0.0
    area_unit: str = ""


@dataclass(frozen=True, slots=True)
class WetAgainstDry:
    """Wet strength against dry strength of one mix and age.

    Attributes
    ----------
    wet_to_dry : float
        Mean wet over mean dry. [-]
    apart : float
        Wet mean less dry mean, in standard errors of that difference; infinite where neither scatters. [-]
    above : bool
        Wet is above dry by more than chance makes believable.
    """

    wet_to_dry: float
    apart: float
    above: bool


def slips(
    strength: float, *, reading: Reading, least_strength: float, most_strength: float, expected_strength: float
) -> tuple[Slip, ...]:
    """Every known slip that brings a strength into a believable range, the likeliest first.

    Parameters
    ----------
    strength : float
        As computed from the reading as typed. [MPa]
    reading : Reading
        What was typed.
    least_strength, most_strength : float
        Believable range. [MPa]
    expected_strength : float
        What the other blocks of the mix show, or blocks as a rule: the nearest to it (as a ratio) comes first, and of two as
        near a slip of unit. [MPa]

    Returns
    -------
    tuple of Slip
        Empty where no slip explains it.

    Raises
    ------
    InputError
        "not_positive", "out_of_range", "unknown_unit".

    Notes
    -----
    Strength goes with the reading, so a slip is one factor: of two units; of an area multiplied by once too often; of ram
    over face where the gauge was taken for the stress in the block.

    References
    ----------
    [derivation-slips]

    Examples
    --------
    200 MPa by a load typed in kN: read as kilogram-force it is 200 × 0.00980665 = 1.96 MPa.

    >>> read = Reading("load", "kN", 41300.0)
    >>> found = slips(200.0, reading=read, least_strength=0.3, most_strength=12.0, expected_strength=2.0)
    >>> [(slip.name, slip.other, round(slip.strength, 2)) for slip in found]
    [('other_unit', 'kgf', 1.96), ('other_unit', 'lbf', 0.89), ('face_twice', '', 0.48)]
    """
    check_positive(strength=strength, least_strength=least_strength, expected_strength=expected_strength)
    check_between(least_strength, float("inf"), most_strength=most_strength)
    found = [slip for slip in _candidates(strength, reading) if least_strength <= slip.strength <= most_strength]
    return _by_likelihood(found, expected_strength)


def _by_likelihood(found: list[Slip], expected_strength: float) -> tuple[Slip, ...]:
    """The nearest to what is expected first; of those as near within `ALIKE` a slip of unit, the commonest, goes first."""
    far = {slip: abs(log(slip.strength / expected_strength)) for slip in found}
    nearest = min(far.values(), default=0.0)
    return tuple(sorted(found, key=lambda slip: (far[slip] > nearest + log(ALIKE), slip.name != "other_unit", far[slip])))


def _candidates(strength: float, reading: Reading) -> list[Slip]:
    found = _other_units(strength, reading)
    if reading.how == "load":
        found += [*_areas(strength, reading), *_gauges(strength, reading)]
    return found


def _other_units(strength: float, reading: Reading) -> list[Slip]:
    typed = units.unit(reading.unit)
    others = [each for each in units.units_of(typed.quantity) if each.key != typed.key]
    return [Slip("other_unit", each.factor / typed.factor, strength * each.factor / typed.factor, each.label) for each in others]


def _areas(strength: float, reading: Reading) -> list[Slip]:
    label, size = AREA_OF_UNIT[reading.unit]
    found = []
    for name, area in (("ram_area_twice", reading.ram_area), ("face_twice", reading.face_area)):
        if area > 0:
            counted = area / size
            found.append(Slip(name, 1.0 / counted, strength / counted, area=counted, area_unit=label))
    return found


def _gauges(strength: float, reading: Reading) -> list[Slip]:
    arriving = reading.ram_area * reading.jack_factor
    if arriving <= 0:
        return []
    found = []
    if reading.face_area > 0:
        share = arriving / reading.face_area
        found.append(Slip("gauge_as_stress", share, strength * share))
    for key in PRESSURES_OF_UNIT[reading.unit]:
        gauge = units.unit(key)
        # The number as typed, taken as a gauge pressure, times ram area in mm², is a force in N.
        factor = gauge.factor * arriving / (1000.0 * units.unit(reading.unit).factor)
        found.append(Slip("gauge_as_load", factor, strength * factor, gauge.label))
    return found


def wet_to_dry(mean_wet_strength: float, *, mean_dry_strength: float) -> float:
    """Wet strength over dry strength of one mix.

    Parameters
    ----------
    mean_wet_strength, mean_dry_strength : float or (n,) array
        Means of soaked and of dry blocks of one mix and age. [MPa]

    Returns
    -------
    float or (n,) array
        Ratio; 0.3 to 0.6 is usual. [-]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [practice-wet-dry]

    Examples
    --------
    >>> wet_to_dry(1.5, mean_dry_strength=3.0)
    0.5
    """
    check_not_negative(mean_wet_strength=mean_wet_strength)
    check_positive(mean_dry_strength=mean_dry_strength)
    return mean_wet_strength / mean_dry_strength


def wet_against_dry(wet_strengths: Sequence[float], *, dry_strengths: Sequence[float]) -> WetAgainstDry:
    """Whether soaked blocks come out stronger than dry ones by more than chance.

    Parameters
    ----------
    wet_strengths, dry_strengths : (n,) sequence
        Single results of one mix and age, three or more of each. [MPa]

    Returns
    -------
    WetAgainstDry
        Ratio, difference in standard errors, and whether to ask.

    Raises
    ------
    InputError
        "too_few", "negative", "not_positive".

    References
    ----------
    [practice-wet-dry], [welch-1947]

    Examples
    --------
    >>> found = wet_against_dry([3.0, 3.2, 3.1], dry_strengths=[2.0, 2.1, 1.9])
    >>> round(found.wet_to_dry, 2), round(found.apart, 1), found.above
    (1.55, 13.5, True)
    """
    for name, values in (("wet_strengths", wet_strengths), ("dry_strengths", dry_strengths)):
        if len(values) < LEAST_RESULTS:
            raise InputError("too_few", quantity=name, count=len(values), least=LEAST_RESULTS)
    wet, dry = fmean(wet_strengths), fmean(dry_strengths)
    ratio = wet_to_dry(wet, mean_dry_strength=dry)
    error = sqrt(variance(wet_strengths) / len(wet_strengths) + variance(dry_strengths) / len(dry_strengths))
    difference = wet - dry
    apart = difference / error if error > 0 else float("inf") if difference > 0 else float("-inf") if difference < 0 else 0.0
    return WetAgainstDry(ratio, apart, apart > APART)
