"""The chance that a lot passes "mean at least a and each at least b", for a mix whose true mean is supposed."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from loamwright import tables
from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError, check_between, check_not_negative, check_positive

REACH = 8.0
"""Standard deviations of a block, or of a lot mean, that the integrals cover to either side."""

CELLS = 1024
"""Cells of the strength axis; halving the cells moves the chance by less than `INTEGRATION_ERROR`."""

LOT_STEP = 0.1
"""Widest step between lots, in standard deviations of the lots; narrower where a lot's verdict is sharper than that."""

DECIDED = 1e-8
"""A lot whose chance is this near to 0 or 1 by simple bounds is not integrated."""

AT_ONCE = 32
"""Lots convolved together, to bound the memory."""

INTEGRATION_ERROR = 0.0005
"""Most that the integrals are wrong by, for spreads of 1 % and more and up to 50 blocks; a test checks it."""


@dataclass(frozen=True, slots=True)
class SpreadAssumption:
    """How strength is supposed to scatter, by name: every chance is shown with it.

    Attributes
    ----------
    key : str
        "independent_blocks" or "lot_to_lot".
    between_lots : float
        Coefficient of variation of the lots' own means; 0 where blocks are taken as independent. [-]
    within_lot : float
        Coefficient of variation of blocks about the mean of their lot. [-]
    """

    key: str
    between_lots: float
    within_lot: float


def independent_blocks(coefficient_of_variation: float | None = None) -> SpreadAssumption:
    """Blocks scatter one by one, as if each came from its own lot; 10 % unless given.

    >>> independent_blocks()
    SpreadAssumption(key='independent_blocks', between_lots=0.0, within_lot=0.1)
    """
    share = tables.figure("evidence", "independent_blocks") if coefficient_of_variation is None else coefficient_of_variation
    check_between(0.005, 0.5, coefficient_of_variation=share)
    return SpreadAssumption("independent_blocks", 0.0, share)


def lot_to_lot(between_lots: float | None = None, *, within_lot: float | None = None) -> SpreadAssumption:
    """Lots differ, and the blocks of one lot share that; 8 % between and 6 % within unless given.

    >>> lot_to_lot()
    SpreadAssumption(key='lot_to_lot', between_lots=0.08, within_lot=0.06)
    """
    between = tables.figure("evidence", "between_lots") if between_lots is None else between_lots
    within = tables.figure("evidence", "within_lot") if within_lot is None else within_lot
    check_between(0.005, 0.5, between_lots=between, within_lot=within)
    return SpreadAssumption("lot_to_lot", between, within)


@dataclass(frozen=True, slots=True)
class PassChance:
    """A chance of passing and what it stands on.

    Attributes
    ----------
    chance : float
        Chance that one lot passes. [-]
    true_mean : float
        The supposed true mean of all lots. [MPa]
    assumption : SpreadAssumption
        How strength is supposed to scatter.
    error : float
        Most that the integration may be wrong by. [-]
    """

    chance: float
    true_mean: float
    assumption: SpreadAssumption
    error: float


@dataclass(frozen=True, slots=True)
class _Test:
    """What a lot is put to: limits, number of blocks, and their coefficient of variation."""

    mean_least: float
    each_least: float | None
    blocks: int
    cv: float


def _cell_masses(means: Floats, test: _Test) -> tuple[Floats, Floats, Floats]:
    """For every lot mean: the chance of each cell of strength at or above the floor, the cells' start, and their width."""
    from scipy.special import ndtr

    cv = test.cv
    lowest = means * (1 - REACH * cv)
    start = lowest if test.each_least is None else np.maximum(test.each_least, lowest)
    width = np.maximum(means * (1 + REACH * cv) - start, means * cv) / CELLS
    edges = start[:, None] + width[:, None] * np.arange(CELLS + 1)
    return np.diff(ndtr((edges / means[:, None] - 1) / cv), axis=1), start, width


def _convolved(means: Floats, test: _Test) -> Floats:
    """Chance of passing for lots of these true means, blocks independent and normal: an n-fold convolution."""
    blocks = test.blocks
    masses, start, width = _cell_masses(means, test)
    cells = blocks * (CELLS - 1) + 1
    size = 1 << (cells - 1).bit_length()
    sums = np.fft.irfft(np.fft.rfft(masses, size, axis=1) ** blocks, size, axis=1)[:, :cells]
    above = np.cumsum(sums[:, ::-1], axis=1)[:, ::-1]
    # Each lattice point stands for a cell of its own width, so the cut through a cell takes a share of it.
    cut = blocks * (test.mean_least - (start + width / 2)) / width + 0.5
    place = np.clip(np.floor(cut).astype(int), 0, cells - 1)
    lots = np.arange(means.size)
    passing = above[lots, place] - np.clip(cut - place, 0.0, 1.0) * sums[lots, place]
    return np.asarray(np.clip(passing, 0.0, 1.0))


def _bounds(means: Floats, test: _Test) -> tuple[Floats, Floats]:
    """Least and most that a lot's chance can be: the mean clause alone, less what the floor can take at most."""
    from scipy.special import ndtr

    most = ndtr((1 - test.mean_least / means) / test.cv * math.sqrt(test.blocks))
    floor = 0.0 if test.each_least is None else test.blocks * ndtr((test.each_least / means - 1) / test.cv)
    return np.maximum(most - floor, 0.0), most


def _lot_chances(means: Floats, test: _Test) -> Floats:
    least, most = _bounds(means, test)
    chances = np.where(least > 1 - DECIDED, 1.0, 0.0)
    (open_lots,) = np.nonzero((most > DECIDED) & (least <= 1 - DECIDED))
    for begin in range(0, open_lots.size, AT_ONCE):
        some = open_lots[begin : begin + AT_ONCE]
        chances[some] = _convolved(means[some], test)
    return chances


def pass_chance(
    true_mean: float, *, mean_least: float, each_least: float | None = None, blocks: int, assumption: SpreadAssumption
) -> PassChance:
    """Chance that a lot passes: the mean of its blocks at least one figure and each block at least another.

    Numerical integration; no standard needed.

    Parameters
    ----------
    true_mean : float
        The mean that very many blocks of very many lots would have. [MPa]
    mean_least : float
        What the mean of the tested blocks must reach. [MPa]
    each_least : float, optional
        What each must reach; None where the rule has no such clause. [MPa]
    blocks : int
        Blocks tested, 1 to 50. [-]
    assumption : SpreadAssumption
        `independent_blocks()` or `lot_to_lot()`; it is returned with the chance.

    Returns
    -------
    PassChance
        See its fields.

    Raises
    ------
    InputError
        "not_positive", "negative", "out_of_range".

    Notes
    -----
    A lot's own mean is normal about the true mean; its blocks are normal about the lot's mean with a deviation that is
    a share of that mean. The sum of blocks that clear the floor is convolved on 1,024 cells; lots are summed at 161
    nodes or more.

    References
    ----------
    [derivation-pass-chance] [prior-strength-spread]

    Examples
    --------
    >>> rule = dict(mean_least=2.4, each_least=2.0, blocks=5)
    >>> [round(pass_chance(mean, **rule, assumption=independent_blocks()).chance, 2) for mean in (2.4, 2.6, 2.8)]
    [0.46, 0.92, 0.99]
    >>> [round(pass_chance(mean, **rule, assumption=lot_to_lot()).chance, 2) for mean in (2.4, 2.6, 2.8)]
    [0.5, 0.82, 0.96]
    """
    check_positive(true_mean=true_mean, mean_least=mean_least)
    if each_least is not None:
        check_not_negative(each_least=each_least)
    check_between(1, 50, blocks=blocks)
    test = _Test(mean_least, each_least, blocks, assumption.within_lot)
    nodes, weight = _lots(assumption, blocks)
    return PassChance(float(weight @ _lot_chances(true_mean * nodes, test)), true_mean, assumption, INTEGRATION_ERROR)


def _lots(assumption: SpreadAssumption, blocks: int) -> tuple[Floats, Floats]:
    """Lot means over the true mean, and their weights; a lot without any strength never passes and is left out."""
    between = assumption.between_lots
    if between == 0:
        return np.ones(1), np.ones(1)
    # The sum converges as fast as this step is small against the width of one lot's verdict.
    step = min(LOT_STEP, assumption.within_lot / (between * math.sqrt(blocks)))
    score = np.linspace(-REACH, REACH, 2 * math.ceil(REACH / step) + 1)
    weight = np.exp(-0.5 * score**2)
    weight /= weight.sum()
    alive = 1 + between * score > 0
    return 1 + between * score[alive], weight[alive]


def true_mean_needed(
    chance: float, *, mean_least: float, each_least: float | None = None, blocks: int, assumption: SpreadAssumption
) -> float:
    """The true mean a mix must have for its lots to pass with this chance.

    The inverse of `pass_chance`.

    Parameters
    ----------
    chance : float
        Wanted chance, 0.01 to 0.999. [-]
    mean_least, each_least : float
        As in `pass_chance`. [MPa]
    blocks : int
        Blocks tested, 1 to 50. [-]
    assumption : SpreadAssumption
        As in `pass_chance`.

    Returns
    -------
    float
        True mean, to 0.0001 of `mean_least`. [MPa]

    Raises
    ------
    InputError
        As `pass_chance`; "chance_not_reached" where the scatter is so wide that no mean is enough.

    References
    ----------
    [derivation-pass-chance]

    Examples
    --------
    >>> round(true_mean_needed(0.90, mean_least=2.4, each_least=2.0, blocks=5, assumption=independent_blocks()), 2)
    2.58
    """
    check_between(0.01, 0.999, chance=chance)

    def beyond(mean: float) -> float:
        found = pass_chance(mean, mean_least=mean_least, each_least=each_least, blocks=blocks, assumption=assumption)
        return found.chance - chance

    check_positive(mean_least=mean_least)
    high = _first_above(beyond, max(mean_least, each_least or 0.0))
    from scipy.optimize import brentq

    return float(brentq(beyond, 0.1 * mean_least, high, xtol=1e-4 * mean_least))


def _first_above(beyond: Callable[[float], float], start: float) -> float:
    for step in range(12):
        mean = start * 1.5**step
        if beyond(mean) >= 0:
            return mean
    raise InputError("chance_not_reached", most=math.floor(start * 1.5**11))
