"""What a plan can tell: the smallest difference shown with a named chance, and how many batches would be enough."""

import math

from loamwright import tables
from loamwright.engine.evidence.characteristic import normal_quantile
from loamwright.errors import InputError, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

BATCHES_LEAST = 2
"""The *apart* rule never speaks with fewer batches of either mix."""

LN_DIFFERENCE_SHOWN = Formula(
    "ln_difference_shown",
    "D",
    "1",
    "k * sqrt(2 * (tau**2 / B + sigma**2 / (B * n)))",
    {
        "k": Term("power_factor", "1"),
        "tau": Term("batch_spread", "1"),
        "sigma": Term("block_spread", "1"),
        "B": Term("number_of_batches", "1"),
        "n": Term("blocks_per_batch", "1"),
    },
    "rule-apart",
)
DIFFERENCE_SHOWN = Formula("difference_shown", "d", "1", "exp(D) - 1", {"D": Term("ln_difference_shown", "1")}, "rule-apart")
POWER_FACTOR = Formula(
    "power_factor",
    "k",
    "1",
    "z_apart + z_power",
    {"z_apart": Term("normal_quantile", "1"), "z_power": Term("normal_quantile", "1")},
    "rule-apart",
)


def power_factor(power: float | None = None) -> float:
    """Standard deviations a difference must measure to be told with this chance by the *apart* rule.

    Normal theory; no standard needed.

    Parameters
    ----------
    power : float, optional
        Chance that the rule says *apart*; 0.80 (common practice) unless given. [-]

    Returns
    -------
    float
        k = z(apart limit) + z(power). [-]

    Raises
    ------
    InputError
        "out_of_range" for a chance outside 0.05 to 0.999.

    References
    ----------
    [rule-apart]

    Examples
    --------
    >>> round(power_factor(), 3)
    2.486
    """
    chance = tables.figure("evidence", "power") if power is None else power
    check_between(0.05, 0.999, power=chance)
    return normal_quantile(tables.figure("evidence", "apart_probability")) + normal_quantile(chance)


def ln_difference_shown(
    batches: int, *, blocks_per_batch: int, batch_spread: float, block_spread: float, power: float | None = None
) -> float:
    """Difference of ln strength between two mixes that a plan tells with the named chance.

    Normal theory on batch means; the chance is that of the *apart* rule.

    Parameters
    ----------
    batches : int
        Batches of each of the two mixes, at least 2. [-]
    blocks_per_batch : int
        Blocks broken of each batch under one condition, at least 1. [-]
    batch_spread : float
        Spread of ln strength between batches of one mix. [-]
    block_spread : float
        Spread of ln strength between blocks of one batch. [-]
    power : float, optional
        The named chance, 0.80 unless given. [-]

    Returns
    -------
    float
        ln of the stronger over the weaker. [-]

    Raises
    ------
    InputError
        "too_few_batches" under 2, "not_positive", "negative", "out_of_range".

    Notes
    -----
    2.486 √(2 (τ²/B + σ²/(B n))) at 80 %. It takes the spreads as known; the rule has to learn them, so it needs a difference
    two or three points of per cent greater: studies/apart compares the two.

    References
    ----------
    [rule-apart]

    Examples
    --------
    >>> round(ln_difference_shown(2, blocks_per_batch=3, batch_spread=0.08, block_spread=0.10), 3)
    0.245
    """
    if batches < BATCHES_LEAST:
        raise InputError("too_few_batches", have=batches, need=BATCHES_LEAST)
    check_positive(blocks_per_batch=blocks_per_batch)
    check_not_negative(batch_spread=batch_spread, block_spread=block_spread)
    variance = batch_spread**2 / batches + block_spread**2 / (batches * blocks_per_batch)
    return power_factor(power) * math.sqrt(2 * variance)


def difference_shown(
    batches: int, *, blocks_per_batch: int, batch_spread: float, block_spread: float, power: float | None = None
) -> float:
    """How much stronger, as a share of the weaker, a mix must be for a plan to tell it with the named chance.

    As `ln_difference_shown`, turned into a share.

    Parameters
    ----------
    batches, blocks_per_batch : int
        As in `ln_difference_shown`. [-]
    batch_spread, block_spread, power : float
        As in `ln_difference_shown`. [-]

    Returns
    -------
    float
        0.28 for 28 % stronger. [-]

    Raises
    ------
    InputError
        As `ln_difference_shown`.

    References
    ----------
    [rule-apart]

    Examples
    --------
    >>> round(difference_shown(2, blocks_per_batch=3, batch_spread=0.08, block_spread=0.10), 2)
    0.28
    >>> round(difference_shown(3, blocks_per_batch=5, batch_spread=0.08, block_spread=0.10), 2)
    0.2
    """
    shown = ln_difference_shown(
        batches,
        blocks_per_batch=blocks_per_batch,
        batch_spread=batch_spread,
        block_spread=block_spread,
        power=power,
    )
    return math.exp(shown) - 1


def batches_to_tell(
    ln_difference: float,
    *,
    blocks_per_batch: int,
    batch_spread: float,
    block_spread: float,
    batches_now: int = 0,
    power: float | None = None,
) -> int | None:
    """Fewest batches of each mix that would tell the present difference; None for "not with six".

    The least count, up to six, whose `ln_difference_shown` is under the difference.

    Parameters
    ----------
    ln_difference : float
        Present estimate of ln of the one over the other; its sign does not matter. [-]
    blocks_per_batch : int
        Blocks that would be broken of each batch. [-]
    batch_spread, block_spread, power : float
        As in `ln_difference_shown`. [-]
    batches_now : int
        Batches of the mix that has fewer, already made: the answer is never below it. [-]

    Returns
    -------
    int or None
        Batches of each mix in all; subtract those made for "how many more". [-]

    Raises
    ------
    InputError
        As `ln_difference_shown`.

    Notes
    -----
    It stands on the present estimate, which may be wrong either way: a plan, not a promise.

    References
    ----------
    [rule-apart]

    Examples
    --------
    >>> batches_to_tell(0.20, blocks_per_batch=3, batch_spread=0.08, block_spread=0.10)
    4
    >>> batches_to_tell(0.05, blocks_per_batch=3, batch_spread=0.08, block_spread=0.10) is None
    True
    """
    check_not_negative(batches_now=batches_now)

    def shown(count: int) -> float:
        return ln_difference_shown(
            count, blocks_per_batch=blocks_per_batch, batch_spread=batch_spread, block_spread=block_spread, power=power
        )

    counts = range(max(BATCHES_LEAST, batches_now), int(tables.figure("evidence", "most_batches")) + 1)
    return next((count for count in counts if shown(count) < abs(ln_difference)), None)
