"""What early breaks say of a later age: strength grows with the logarithm of age, by stabiliser, within a band."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from loamwright import tables
from loamwright.errors import InputError, Note, check_positive
from loamwright.formula import Formula, Term

STRENGTH_LATER = Formula(
    "strength_later",
    "f_t",
    "MPa",
    "f_0 * (t / t_0)**b",
    {
        "f_0": Term("geometric_mean_strength", "MPa"),
        "t": Term("age_days", "d"),
        "t_0": Term("geometric_mean_age", "d"),
        "b": Term("growth_slope", "1"),
    },
    "practice-cure",
)
BAND = 1.6448536269514722
"""Normal quantile of a band that holds 90 %. [-]"""


@dataclass(frozen=True, slots=True)
class Break:
    """The mean of the blocks of one batch broken at one age. [d], [MPa]"""

    age_days: float
    strength: float


@dataclass(frozen=True, slots=True)
class Forecast:
    """Strength at a later age.

    Attributes
    ----------
    strength : float
        Middle. [MPa]
    low, high : float
        Band that holds 90 %. [MPa]
    slope, slope_spread : float
        Growth used: what is known beforehand and what the breaks themselves show, weighed. [-]
    mean_strength, mean_age : float
        Where the line hangs: geometric means of the breaks. [MPa], [d]
    notes : tuple of Note
        "forecast_beyond_ages" outside the ages of the row.
    """

    strength: float
    low: float
    high: float
    slope: float
    slope_spread: float
    mean_strength: float
    mean_age: float
    notes: tuple[Note, ...] = ()


def forecast(breaks: Sequence[Break], *, age_days: float, stabiliser: str, batch_spread: float) -> Forecast:
    """Strength at a later age from early breaks.

    ln strength is a line in ln age. Its slope has a prior by stabiliser (data/ageing.toml) which breaks at several ages narrow;
    its height is that of the breaks, uncertain by the scatter between batches. The batch forecast is a new one, so its own
    scatter is in the band.

    Parameters
    ----------
    breaks : sequence of Break
        Mean of each batch at each age.
    age_days : float
        Age asked for. [d]
    stabiliser : str
        "cement", "lime" or "lime-and-cement".
    batch_spread : float
        Standard deviation of ln strength between batches. [-]

    Returns
    -------
    Forecast

    Raises
    ------
    InputError
        "no_breaks", "not_positive", "unknown_stabiliser".

    References
    ----------
    [practice-cure]

    Examples
    --------
    >>> found = forecast([Break(7, 1.6), Break(7, 1.7)], age_days=28, stabiliser="cement", batch_spread=0.08)
    >>> round(found.strength, 2), found.low < 2.2 < found.high
    (2.53, True)
    """
    if not breaks:
        raise InputError("no_breaks")
    check_positive(age_days=age_days, batch_spread=batch_spread)
    for each in breaks:
        check_positive(break_age=each.age_days, strength=each.strength)
    row = _growth(stabiliser)
    ages, strengths = [log(each.age_days) for each in breaks], [log(each.strength) for each in breaks]
    mean_age, mean_strength = sum(ages) / len(ages), sum(strengths) / len(strengths)
    slope, slope_variance = _slope(ages, strengths, row, batch_spread)
    away = log(age_days) - mean_age
    spread = sqrt(batch_spread**2 * (1.0 + 1.0 / len(breaks)) + slope_variance * away**2)
    middle = mean_strength + slope * away
    return Forecast(
        strength=exp(middle),
        low=exp(middle - BAND * spread),
        high=exp(middle + BAND * spread),
        slope=slope,
        slope_spread=sqrt(slope_variance),
        mean_strength=exp(mean_strength),
        mean_age=exp(mean_age),
        notes=_notes([*(each.age_days for each in breaks), age_days], row),
    )


def _slope(ages: Sequence[float], strengths: Sequence[float], row: tables.Row, batch_spread: float) -> tuple[float, float]:
    """Slope and its variance: the prior and the least-squares slope of the breaks, each weighed by its inverse variance."""
    mean = sum(ages) / len(ages)
    lever = sum((age - mean) ** 2 for age in ages)
    prior = 1.0 / row["spread"] ** 2
    own = lever / batch_spread**2
    seen = 0.0 if lever == 0 else sum((age - mean) * value for age, value in zip(ages, strengths, strict=True)) / lever
    return (prior * row["slope"] + own * seen) / (prior + own), 1.0 / (prior + own)


def _notes(ages: Sequence[float], row: tables.Row) -> tuple[Note, ...]:
    if row["from_age"] <= min(ages) and max(ages) <= row["to_age"]:
        return ()
    return (Note("forecast_beyond_ages", {"from_age": row["from_age"], "to_age": row["to_age"]}),)


def _growth(stabiliser: str) -> tables.Row:
    rows = [row for row in tables.load("ageing", required=("kind", "stabiliser", "note")) if row["kind"] == "growth"]
    for row in rows:
        if row["stabiliser"] == stabiliser:
            return row
    raise InputError("unknown_stabiliser", stabiliser=stabiliser, known=", ".join(row["stabiliser"] for row in rows))
