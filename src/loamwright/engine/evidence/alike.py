"""Classical comparisons of two mixes by their batches: the difference with its range, alike within a margin, and many at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import log, sqrt

import numpy as np

from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError, check_between, check_positive


@dataclass(frozen=True, slots=True)
class Difference:
    """Two mixes compared by the means of their batches, in logarithms of strength.

    Attributes
    ----------
    first, second : str
        The mixes.
    ln_ratio : float
        Mean of the first less mean of the second, of logarithms. [-]
    low, high : float
        Ends of its 90 % confidence interval. [-]
    df : float
        Welch's degrees of freedom. [-]
    p : float
        Chance of a difference as great, either way, between equal mixes. [-]
    p_many : float
        The same, allowing for all pairs looked at (Holm). [-]
    p_alike : float
        Chance of means as near as these if the mixes really differed by the margin. [-]
    alike : bool
        Whether they are shown to be the same within the margin: that chance is under 5 %.
    """

    first: str
    second: str
    ln_ratio: float
    low: float
    high: float
    df: float
    p: float
    p_many: float
    p_alike: float
    alike: bool


ALIKE_CHANCE = 0.05
"""Two one-sided tests at 5 % each: the usual level. [-]"""


def differences(batch_means: Mapping[str, Sequence[float]], *, margin: float = 0.10) -> tuple[Difference, ...]:
    """Every pair of mixes, by the logarithms of their batches' mean strengths.

    Welch's t on batch means (scatter may differ from mix to mix), Holm's correction for the number of pairs, and two one-sided
    tests of being the same within the margin.

    Parameters
    ----------
    batch_means : mapping of str to sequence of float
        Mean strength of each batch of each mix, two batches or more of each. [MPa]
    margin : float, optional
        How far two mixes may differ and still be called the same, as a share of strength, 0.01 to 1. [-]

    Returns
    -------
    tuple of Difference
        In the order of the mixes.

    Raises
    ------
    InputError
        "too_few_groups", "too_few_batches", "not_positive" for a strength that is not above zero, "out_of_range" for the margin.

    References
    ----------
    [welch-1947], [holm-1979], [schuirmann-1987]

    Examples
    --------
    >>> (found,) = differences({"a": [3.0, 3.1, 2.9], "b": [2.0, 2.1, 2.2]})
    >>> round(found.ln_ratio, 3), found.p < 0.01, found.alike
    (0.357, True, False)
    """
    check_between(0.01, 1.0, margin=margin)
    if len(batch_means) < 2:
        raise InputError("too_few_groups", have=len(batch_means), need=2)
    logs = {key: _logs(means) for key, means in batch_means.items()}
    pairs = [_pair(first, second, logs, log(1.0 + margin)) for first, second in combinations(logs, 2)]
    corrected = holm([each.p for each in pairs])
    return tuple(replace(each, p_many=many) for each, many in zip(pairs, corrected, strict=True))


def _logs(means: Sequence[float]) -> Floats:
    values = np.asarray(means, dtype=float)
    if len(values) < 2:
        raise InputError("too_few_batches", have=len(values), need=2)
    check_positive(batch_mean=values)
    logs: Floats = np.log(values)
    return logs


def _pair(first: str, second: str, logs: Mapping[str, Floats], ln_margin: float) -> Difference:
    from scipy.special import stdtr, stdtrit

    one, other = logs[first], logs[second]
    parts = [float(each.var(ddof=1)) / len(each) for each in (one, other)]
    error = sqrt(sum(parts))
    ratio = float(one.mean() - other.mean())
    if error == 0.0:  # batches that do not differ at all: nothing to measure a difference by
        raise InputError("batches_do_not_differ", first=first, second=second)
    df = sum(parts) ** 2 / sum(part**2 / (len(each) - 1) for part, each in zip(parts, (one, other), strict=True))
    half = float(stdtrit(df, 1.0 - ALIKE_CHANCE)) * error
    p_alike = max(float(stdtr(df, -(ratio + ln_margin) / error)), float(stdtr(df, (ratio - ln_margin) / error)))
    p = 2.0 * float(stdtr(df, -abs(ratio) / error))
    return Difference(first, second, ratio, ratio - half, ratio + half, df, p, p, p_alike, p_alike < ALIKE_CHANCE)


def holm(chances: Sequence[float]) -> tuple[float, ...]:
    """Chances corrected for looking at many at once: the smallest times their number, the next times one less, never falling.

    Parameters
    ----------
    chances : sequence of float
        Chances of several tests, 0 to 1. [-]

    Returns
    -------
    tuple of float
        Corrected chances in the same order, at most 1. [-]

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [holm-1979]

    Examples
    --------
    >>> [round(each, 6) for each in holm([0.01, 0.04, 0.03])]
    [0.03, 0.06, 0.06]
    """
    for each in chances:
        check_between(0.0, 1.0, chance=each)
    order = sorted(range(len(chances)), key=lambda place: chances[place])
    found = [0.0] * len(chances)
    most = 0.0
    for rank, place in enumerate(order):
        most = max(most, min(1.0, (len(chances) - rank) * chances[place]))
        found[place] = most
    return tuple(found)
