"""Values that stand out from their sisters: they are flagged and asked about, never dropped."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from loamwright.engine.evidence.spread import Floats, ordered
from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term

Side = Literal["both", "most", "least"]
SIDES: tuple[Side, ...] = ("both", "most", "least")

N_RELIABLE = 15
"""Below this many values the critical values of the generalised ESD test are only approximate (NIST handbook 1.3.5.17.3)."""

GRUBBS_STATISTIC = Formula(
    "grubbs_statistic",
    "G",
    "1",
    "max(x_suspect - mean(x), mean(x) - x_suspect) / stdev(x)",
    {"x": Term("strength", "MPa"), "x_suspect": Term("strength", "MPa")},
    "nist-handbook",
    "1.3.5.17.1",
)
GRUBBS_CRITICAL = Formula(
    "grubbs_critical",
    "G_crit",
    "1",
    "(n - 1) / sqrt(n) * sqrt(t**2 / (n - 2 + t**2))",
    {"n": Term("number_of_blocks", "1"), "t": Term("t_quantile", "1")},
    "nist-handbook",
    "1.3.5.17.1",
)


@dataclass(frozen=True, slots=True)
class OutlierTest:
    """What Grubbs' test says of the value farthest out.

    Attributes
    ----------
    value : float
        The value farthest from the mean on the side asked. [unit of the values]
    statistic : float
        Its distance from the mean in standard deviations. [-]
    critical : float
        What the statistic must exceed to be flagged. [-]
    flagged : bool
        Whether it stands out. A flag is a question to a person, not an order to drop the value.
    side : str
        "both", "most" or "least".
    """

    value: float
    statistic: float
    critical: float
    flagged: bool
    side: Side


@dataclass(frozen=True, slots=True)
class OutlierTests:
    """What the generalised ESD test says, step by step.

    Attributes
    ----------
    statistics : tuple of float
        R_1, R_2, ...: the farthest value's distance when those before it are set aside. [-]
    criticals : tuple of float
        λ_1, λ_2, ... [-]
    flagged : tuple of float
        The flagged values, farthest first: as many as the last step whose R exceeds its λ. [unit of the values]
    notes : tuple of Note
        "few_values_for_test" under 15 values.
    """

    statistics: tuple[float, ...]
    criticals: tuple[float, ...]
    flagged: tuple[float, ...]
    notes: tuple[Note, ...]


def grubbs_critical(n: int, *, alpha: float = 0.05, side: Side = "both") -> float:
    """Critical value of Grubbs' test (the largest normed residual).

    NIST/SEMATECH e-Handbook 1.3.5.17.1; CMH-17-1G table for the two-sided 5 % values.

    Parameters
    ----------
    n : int
        Number of blocks, at least 3. [-]
    alpha : float
        Chance of flagging one of n good values. [-]
    side : {"both", "most", "least"}
        Whether high and low values are suspected, or one end only.

    Returns
    -------
    float
        Critical value. [-]

    Raises
    ------
    InputError
        "too_few_values", "out_of_range", "unknown_side".

    Notes
    -----
    (n-1)/√n · √(t²/(n-2+t²)), t with n - 2 degrees of freedom at alpha/n (one side) or alpha/(2n) (both).

    References
    ----------
    [nist-handbook] [cmh-17]

    Examples
    --------
    >>> round(grubbs_critical(5), 3), round(grubbs_critical(8, side="most"), 3)
    (1.715, 2.032)
    """
    if side not in SIDES:
        raise InputError("unknown_side", side=side, known=", ".join(SIDES))
    if n < 3:
        raise InputError("too_few_values", have=n, need=3)
    check_between(0.0001, 0.5, alpha=alpha)
    return _critical(n, alpha / (2 * n if side == "both" else n))


def _critical(n: int, tail: float) -> float:
    from scipy.special import stdtrit

    t = -float(stdtrit(n - 2, tail))
    return (n - 1) / math.sqrt(n) * math.sqrt(t**2 / (n - 2 + t**2))


def _farthest(array: Floats, side: Side) -> tuple[int, float]:
    """Position and normed residual of the value farthest out; no value is far out where all are equal."""
    residuals = array - array.mean()
    distance = {"both": np.abs(residuals), "most": residuals, "least": -residuals}[side]
    position = int(distance.argmax())
    if array[0] == array[-1]:
        return position, 0.0
    return position, float(distance[position] / array.std(ddof=1))


def grubbs(values: Sequence[float], *, alpha: float = 0.05, side: Side = "both") -> OutlierTest:
    """Grubbs' test of the value farthest out.

    NIST/SEMATECH e-Handbook 1.3.5.17.1.

    Parameters
    ----------
    values : sequence of float
        At least three values of one kind. [any one unit]
    alpha : float
        Chance of flagging one of them when all are good. [-]
    side : {"both", "most", "least"}
        Which end is suspected.

    Returns
    -------
    OutlierTest
        See its fields.

    Raises
    ------
    InputError
        "too_few_values", "not_finite", "out_of_range", "unknown_side".

    Notes
    -----
    For values that are normal but for one. Strengths of one batch mostly are; of several batches pooled they are not.

    References
    ----------
    [nist-handbook]

    Examples
    --------
    >>> test = grubbs([2.1, 2.2, 2.0, 2.3, 0.9])
    >>> test.value, test.flagged
    (0.9, True)
    """
    array = ordered(values, n_least=3)
    critical = grubbs_critical(int(array.size), alpha=alpha, side=side)
    position, statistic = _farthest(array, side)
    return OutlierTest(float(array[position]), statistic, critical, statistic > critical, side)


def generalised_esd(values: Sequence[float], *, most_outliers: int, alpha: float = 0.05) -> OutlierTests:
    """Generalised extreme studentised deviate test for up to `most_outliers` outliers, both ends.

    Rosner, Technometrics 1983; NIST/SEMATECH e-Handbook 1.3.5.17.3.

    Parameters
    ----------
    values : sequence of float
        At least `most_outliers` + 2 values, and three. [any one unit]
    most_outliers : int
        The most outliers looked for, at least 1. [-]
    alpha : float
        Chance of flagging any when all are good. [-]

    Returns
    -------
    OutlierTests
        See its fields.

    Raises
    ------
    InputError
        "too_few_values", "not_finite", "out_of_range".

    Notes
    -----
    One outlier can hide another from Grubbs' test; here the count is the last step whose statistic exceeds its limit.

    References
    ----------
    [rosner-1983] [nist-handbook]

    Examples
    --------
    >>> generalised_esd([2.1, 2.2, 2.0, 2.3, 2.2, 2.1, 0.9, 5.0], most_outliers=2).flagged
    (5.0, 0.9)
    """
    check_between(1, math.inf, most_outliers=most_outliers)
    check_between(0.0001, 0.5, alpha=alpha)
    array = ordered(values, n_least=max(3, most_outliers + 2))
    n = int(array.size)
    taken: list[float] = []
    statistics: list[float] = []
    for _ in range(most_outliers):
        position, statistic = _farthest(array, "both")
        statistics.append(statistic)
        taken.append(float(array[position]))
        array = np.delete(array, position)
    criticals = [_critical(n - step, alpha / (2 * (n - step))) for step in range(most_outliers)]
    beyond = [step + 1 for step in range(most_outliers) if statistics[step] > criticals[step]]
    notes = (Note("few_values_for_test", {"n": n, "reliable_from": N_RELIABLE}),) if n < N_RELIABLE else ()
    return OutlierTests(tuple(statistics), tuple(criticals), tuple(taken[: max(beyond, default=0)]), notes)
