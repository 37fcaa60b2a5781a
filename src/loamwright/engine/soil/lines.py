"""A straight line through readings, read off at one place, and how far it may be out there."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loamwright.engine.evidence.regression import least_squares, powers
from loamwright.errors import InputError

SHARE = 0.90
"""Share of the central interval that `half_width` stands for. [-]"""


@dataclass(frozen=True, slots=True)
class LineAt:
    """A least-squares line at one place.

    Attributes
    ----------
    value : float
        Value of the line at the place, in the unit of the values.
    slope : float
        Change of value per unit of place.
    half_width : float or None
        Half the 90 % interval of the value, by Student's t on the residuals; None for two readings, which leave no residual.
    residual_sd : float or None
        Standard deviation of the readings about the line; None for two readings.
    """

    value: float
    slope: float
    half_width: float | None
    residual_sd: float | None


def line_at(values: Sequence[float], *, places: Sequence[float], at: float) -> LineAt:
    """The line of least squares of values on places, read off at one place.

    Parameters
    ----------
    values, places : (n,) sequence
        Two readings or more, at two places or more.
    at : float
        Where the line is read off, in the unit of the places.

    Returns
    -------
    LineAt
        See its fields.

    Raises
    ------
    InputError
        "lengths_differ", "too_few_values", "columns_alike" for readings all at one place.

    References
    ----------
    [derivation-least-squares]

    Examples
    --------
    >>> found = line_at([0.30, 0.20], places=[1.0, 2.0], at=1.5)
    >>> round(found.value, 6), round(found.slope, 6), found.half_width
    (0.25, -0.1, None)
    """
    check_pairs(values, places)
    fit = least_squares(powers([place - at for place in places], degree=1), values)
    return LineAt(
        float(fit.coefficients[0]),
        float(fit.coefficients[1]),
        half_width(float(fit.errors[0]), fit.df),
        float(fit.residual_sd) if fit.df else None,
    )


def check_pairs(values: Sequence[float], places: Sequence[float], *, least: int = 2) -> None:
    """Raise `InputError` ("lengths_differ", "too_few_values") unless there are enough values, one for each place."""
    if len(values) != len(places):
        raise InputError("lengths_differ")
    if len(values) < least:
        raise InputError("too_few_values", have=len(values), need=least)


def half_width(error: float, df: int) -> float | None:
    """Half of a 90 % interval from a standard error with its degrees of freedom; None where none are left."""
    if df < 1:
        return None
    from scipy.stats import t

    return float(error * t.ppf(0.5 + SHARE / 2, df))


def deviations(values: Sequence[float]) -> tuple[float, ...]:
    """Each value less the mean of all.

    >>> deviations([1.0, 3.0])
    (-1.0, 1.0)
    """
    middle = float(np.mean(values))
    return tuple(float(value) - middle for value in values)
