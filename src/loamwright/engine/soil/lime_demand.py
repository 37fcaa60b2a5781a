"""Lime demand: the least lime that brings a slurry of soil to the pH of lime itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term

FULL = 12.4
"""pH of a slurry that holds all the lime it can, at 25 °C. [-] [astm-d6276]"""
NEARLY = 12.3
"""Two successive bottles that stop here also show it. [-] [astm-d6276]"""
PER_DEGREE = 0.03
"""What the pH of lime water falls by for each degree above 25. [1/°C] [astm-d6276]"""
DIGITS = 9
"""pH is compared to so many decimals, so that 12.25 at 30 °C is 12.4 and not a hair below."""

PH_AT_25 = Formula(
    "ph_at_25", "pH_25", "1", "pH + 0.03 * (t - 25)", {"pH": Term("ph", "1"), "t": Term("temperature", "degC")}, "astm-d6276"
)
LIME_DEMAND = Formula(
    "lime_demand",
    "x",
    "1",
    "min(x_i)",
    {"x_i": Term("limes_enough", "1")},
    "astm-d6276",
    "of the shares that reach the pH wanted",
)


def ph_at_25(ph: float, *, temperature: float) -> float:
    """pH of a lime slurry as it would be at 25 °C.

    Parameters
    ----------
    ph : float
        As read, with a meter set for the temperature. [-]
    temperature : float
        Temperature of the slurry. [°C]

    Returns
    -------
    float
        [-]

    Raises
    ------
    InputError
        "out_of_range" for a pH outside 0 to 14, or a temperature outside 0 to 50 °C.

    References
    ----------
    [astm-d6276]

    Examples
    --------
    >>> round(ph_at_25(12.55, temperature=20.0), 3)
    12.4
    """
    check_between(0.0, 14.0, ph=ph)
    check_between(0.0, 50.0, temperature=temperature)
    return ph + PER_DEGREE * (temperature - 25.0)


@dataclass(frozen=True, slots=True)
class LimeDemand:
    """What a series shows.

    Attributes
    ----------
    lime_of_soil : float
        Least lime over dry soil that is enough. [-]
    enough : tuple of float
        All shares of the series that are enough by the rule that held, rising. [-]
    notes : tuple of Note
        "lime_by_two_at_12_3", "lime_confirm", "lime_first_enough".
    """

    lime_of_soil: float
    enough: tuple[float, ...]
    notes: tuple[Note, ...] = ()


def lime_demand(limes: Sequence[float], *, phs: Sequence[float]) -> LimeDemand:
    """Least share of lime whose slurry reaches pH 12.4, or the lower of two successive ones that stop at 12.3.

    Parameters
    ----------
    limes : sequence of float
        Hydrated lime over dry soil of each bottle, in any order. [-]
    phs : sequence of float
        pH of each bottle at 25 °C. [-]

    Returns
    -------
    LimeDemand

    Raises
    ------
    InputError
        "lengths_of_bottles"; "too_few_values" for none; "out_of_range"; "lime_twice"; "lime_not_reached" where no rule holds.

    References
    ----------
    [astm-d6276]

    Examples
    --------
    >>> lime_demand([0.02, 0.04, 0.06, 0.08], phs=[11.6, 12.2, 12.4, 12.45]).lime_of_soil
    0.06
    """
    pairs = _bottles(limes, phs)
    full = tuple(lime for lime, ph in pairs if ph >= FULL)
    if full:
        return LimeDemand(full[0], full, tuple(_full_notes(pairs, full)))
    for (lime, ph), (_, following) in pairwise(pairs):
        if ph >= NEARLY and following >= NEARLY:
            enough = tuple(each for each, reading in pairs if each >= lime and reading >= NEARLY)
            return LimeDemand(lime, enough, (Note("lime_by_two_at_12_3", {"highest": max(ph for _, ph in pairs)}),))
    raise InputError("lime_not_reached", highest=max(ph for _, ph in pairs), richest=pairs[-1][0])


def _bottles(limes: Sequence[float], phs: Sequence[float]) -> list[tuple[float, float]]:
    """Share and pH of each bottle, the leanest first."""
    if len(limes) != len(phs):
        raise InputError("lengths_of_bottles", limes=len(limes), phs=len(phs))
    if not limes:
        raise InputError("too_few_values", have=0, need=1)
    for lime, ph in zip(limes, phs, strict=True):
        check_between(0.0, 0.5, lime_of_soil=lime)
        check_between(0.0, 14.5, ph=ph)
    if len(set(limes)) < len(limes):
        raise InputError("lime_twice", limes=tuple(sorted(each for each in set(limes) if list(limes).count(each) > 1)))
    return sorted((lime, round(ph, DIGITS)) for lime, ph in zip(limes, phs, strict=True))


def _full_notes(pairs: Sequence[tuple[float, float]], full: Sequence[float]) -> list[Note]:
    notes = []
    if len(full) == 1:
        notes.append(Note("lime_confirm", {"richest": pairs[-1][0]}))
    if full[0] == pairs[0][0]:
        notes.append(Note("lime_first_enough", {"leanest": pairs[0][0]}))
    return notes


def falls(limes: Sequence[float], *, phs: Sequence[float], tolerance: float) -> tuple[float, ...]:
    """Shares of lime whose bottle reads a lower pH than a leaner one by more than a tolerance: two may be swapped.

    Parameters
    ----------
    limes, phs : sequence of float
        As in `lime_demand`. [-]
    tolerance : float
        What two readings may differ by. [-]

    Returns
    -------
    tuple of float
        [-]

    Raises
    ------
    InputError
        As `lime_demand`, apart from "lime_not_reached".

    References
    ----------
    [judgement-salts]

    Examples
    --------
    >>> falls([0.02, 0.04, 0.06], phs=[11.8, 12.4, 12.0], tolerance=0.1)
    (0.06,)
    """
    found, highest = [], 0.0
    for lime, ph in _bottles(limes, phs):
        if ph < highest - tolerance:
            found.append(lime)
        highest = max(highest, ph)
    return tuple(found)
