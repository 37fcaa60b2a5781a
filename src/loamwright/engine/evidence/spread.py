"""What the results of a few blocks say at a glance: count, mean, least, spread."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from loamwright.errors import InputError, check_not_negative
from loamwright.formula import Formula, Term

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spread:
    """Summary of block values; every field but `n` and the last is in the unit of the values.

    Attributes
    ----------
    n : int
        How many values.
    mean : float
        Arithmetic mean. [MPa]
    least : float
        The lowest value. [MPa]
    most : float
        The highest value. [MPa]
    standard_deviation : float or None
        With n - 1; None for one value, which has no spread to show. [MPa]
    coefficient_of_variation : float or None
        Standard deviation over mean; None for one value or a mean of zero. [-]
    """

    n: int
    mean: float
    least: float
    most: float
    standard_deviation: float | None
    coefficient_of_variation: float | None


MEAN = Formula("mean_strength", "f_m", "MPa", "mean(f)", {"f": Term("strength", "MPa")}, "derivation-spread")
STANDARD_DEVIATION = Formula("standard_deviation", "s", "MPa", "stdev(f)", {"f": Term("strength", "MPa")}, "derivation-spread")
COEFFICIENT_OF_VARIATION = Formula(
    "coefficient_of_variation", "V", "1", "stdev(f) / mean(f)", {"f": Term("strength", "MPa")}, "derivation-spread"
)


def ordered(values: Sequence[float], *, n_least: int = 1) -> Floats:
    """The values sorted, so that no sum depends on the order they were typed in.

    Raises
    ------
    InputError
        "too_few_values" where there are fewer than `n_least`, "not_finite" for a value that is not a number,
        "negative" for a value below zero.
    """
    array = np.sort(np.asarray(values, dtype=np.float64).ravel())
    if array.size < n_least:
        raise InputError("too_few_values", have=int(array.size), need=n_least)
    if not np.isfinite(array).all():
        raise InputError("not_finite", quantity="values")
    return array


def spread(values: Sequence[float]) -> Spread:
    """Count, mean, least, most, standard deviation and coefficient of variation of block values.

    Sample standard deviation (n - 1); no standard needed.

    Parameters
    ----------
    values : sequence of float
        One value a block (two halves average to one block first). Zero is allowed: a block that fell apart in water. [MPa]

    Returns
    -------
    Spread
        See its fields.

    Raises
    ------
    InputError
        "too_few_values" for none at all, "not_finite", "negative".

    Notes
    -----
    Values of one batch share the errors of their mixing, so this spread is smaller than that between batches.

    References
    ----------
    [derivation-spread]

    Examples
    --------
    >>> summary = spread([2.9, 3.4, 3.1, 3.6, 2.7])
    >>> summary.n, round(summary.mean, 2), summary.least, round(summary.standard_deviation, 4)
    (5, 3.14, 2.7, 0.3647)
    """
    array = ordered(values)
    check_not_negative(values=array)
    n, mean = int(array.size), float(array.mean())
    deviation = float(array.std(ddof=1)) if n > 1 else None
    share = deviation / mean if deviation is not None and mean > 0 else None
    return Spread(n, mean, float(array[0]), float(array[-1]), deviation, share)
