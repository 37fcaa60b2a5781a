"""Are two mixes apart? A comparison that knows that the blocks of one batch share its errors."""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from loamwright import tables
from loamwright.engine.evidence.spread import Floats, ordered
from loamwright.errors import InputError, Note, check_positive

APART, NOT_APART, ONE_BATCH_EACH = "apart", "not_apart", "one_batch_each"

NODES = 15
"""Grid points for each of the two spreads."""

REACH = 3.0
"""The grid goes this many prior standard deviations to either side, in ln."""

BATCHES_LEAST = 2
"""With fewer batches of either mix the difference cannot be told from a difference of two mixings."""

Batches = Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class MixMean:
    """What the blocks of one mix say of its mean.

    Attributes
    ----------
    mean : float
        Geometric mean strength, batches weighed by what they tell. [MPa]
    batches : int
        Number of batches. [-]
    blocks : int
        Number of blocks in all. [-]
    """

    mean: float
    batches: int
    blocks: int


@dataclass(frozen=True, slots=True)
class Pair:
    """Two mixes compared.

    Attributes
    ----------
    first, second : str
        Their keys, in sorted order.
    probability : float
        Chance that the mean of the first is above that of the second, batches included. [-]
    verdict : str
        "apart", "not_apart", or "one_batch_each" where either mix has fewer than two batches.
    greater : str
        Key of the mix that is more likely the stronger; said whatever the verdict.
    ln_difference : float
        ln of first over second, as estimated. [-]
    ln_difference_sd : float
        Its standard deviation. [-]
    """

    first: str
    second: str
    probability: float
    verdict: str
    greater: str
    ln_difference: float
    ln_difference_sd: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """Every pair of a project's mixes.

    Attributes
    ----------
    mixes : mapping of key to MixMean
        Each mix by itself.
    pairs : tuple of Pair
        Every pair once, by sorted keys.
    batch_spread : float
        Spread of ln strength between batches of one mix, pooled over the mixes: mean of ln, then exp. [-]
    block_spread : float
        Spread of ln strength between blocks of one batch, pooled likewise. [-]
    notes : tuple of Note
        "uncorrected_for_pairs" with their number, where there are two pairs or more.
    """

    mixes: Mapping[str, MixMean]
    pairs: tuple[Pair, ...]
    batch_spread: float
    block_spread: float
    notes: tuple[Note, ...]

    @property
    def pair_count(self) -> int:
        """How many pairs were compared."""
        return len(self.pairs)

    def pair(self, one: str, other: str) -> Pair:
        """The pair of these two mixes, whichever is named first."""
        keys = tuple(sorted((one, other)))
        for each in self.pairs:
            if (each.first, each.second) == keys:
                return each
        raise InputError("unknown_mix", first=one, second=other)


@dataclass(frozen=True, slots=True)
class _Grid:
    """Nodes of the two spreads, flattened, with the log of their prior weight."""

    batch: Floats
    block: Floats
    ln_prior: Floats


@dataclass(frozen=True, slots=True)
class _Fit:
    """One mix under every node: its mean, the precision of that mean, and the log likelihood of its blocks."""

    mean: Floats
    precision: Floats
    ln_likelihood: Floats


def _axis(key: str) -> tuple[Floats, Floats]:
    row = tables.load("evidence", required=("value",))[key]
    score = np.linspace(-REACH, REACH, NODES)
    return np.asarray(row["value"] * np.exp(row["ln_sd"] * score)), np.asarray(-0.5 * score**2)


def _grid() -> _Grid:
    batch, batch_prior = _axis("batch_spread")
    block, block_prior = _axis("block_spread")
    return _Grid(np.repeat(batch, NODES), np.tile(block, NODES), np.add.outer(batch_prior, block_prior).ravel())


def _logs(key: str, batches: Batches) -> list[Floats]:
    """ln of the blocks, batches in an order of their own, so that no sum depends on how they were typed."""
    if not batches:
        raise InputError("no_batches", mix=key)
    sorted_batches = [ordered(batch) for batch in batches]
    for batch in sorted_batches:
        check_positive(strength=batch)
    return [np.log(batch) for batch in sorted(sorted_batches, key=tuple)]


def _fit(batches: list[Floats], grid: _Grid) -> _Fit:
    """Normal mix + batch + block model of ln strength; the mix mean has a flat prior and is integrated out."""
    counts = np.array([batch.size for batch in batches], dtype=np.float64)
    means = np.array([batch.mean() for batch in batches])
    within = sum(float(((batch - batch.mean()) ** 2).sum()) for batch in batches)
    variance = grid.batch[:, None] ** 2 + grid.block[:, None] ** 2 / counts
    precision = (1 / variance).sum(axis=1)
    mean = (means / variance).sum(axis=1) / precision
    misfit = ((means - mean[:, None]) ** 2 / variance).sum(axis=1)
    inside = -(counts - 1).sum() * np.log(grid.block) - within / (2 * grid.block**2)
    between = -0.5 * (np.log(variance).sum(axis=1) + np.log(precision) + misfit)
    return _Fit(mean, precision, inside + between)


def _weights(fits: Sequence[_Fit], grid: _Grid) -> Floats:
    ln_weight = grid.ln_prior + np.sum([fit.ln_likelihood for fit in fits], axis=0)
    weight = np.exp(ln_weight - ln_weight.max())
    return np.asarray(weight / weight.sum())


def _pair(first: str, second: str, fits: Mapping[str, _Fit], mixes: Mapping[str, MixMean], weight: Floats) -> Pair:
    from scipy.special import ndtr

    difference = fits[first].mean - fits[second].mean
    variance = 1 / fits[first].precision + 1 / fits[second].precision
    probability = float(weight @ ndtr(difference / np.sqrt(variance)))
    centre = float(weight @ difference)
    sd = float(np.sqrt(weight @ (variance + (difference - centre) ** 2)))
    few = min(mixes[first].batches, mixes[second].batches) < BATCHES_LEAST
    verdict = ONE_BATCH_EACH if few else verdict_of(probability)
    return Pair(first, second, probability, verdict, first if probability >= 0.5 else second, centre, sd)


def verdict_of(probability: float) -> str:
    """ "apart" where the chance is above the limit, or below one minus it.

    >>> verdict_of(0.96), verdict_of(0.5), verdict_of(0.04)
    ('apart', 'not_apart', 'apart')
    """
    limit = tables.figure("evidence", "apart_probability")
    return APART if max(probability, 1 - probability) > limit else NOT_APART


def compare(mixes: Mapping[str, Batches]) -> Comparison:
    """Every pair of mixes: how likely the one is stronger than the other, and whether they are *apart*.

    ln strength = mix + batch + block, the two spreads shared by all mixes given.

    Parameters
    ----------
    mixes : mapping of key to batches
        For every mix its batches, for every batch the strengths of its blocks, all of one shape, age and condition.
        Give all mixes of the project, not only two: they share what is known of the spreads. [MPa]

    Returns
    -------
    Comparison
        See its fields; no pairs where there is one mix.

    Raises
    ------
    InputError
        "no_mixes", "no_batches", "too_few_values" for an empty batch, "not_positive" for a strength of zero:
        a block that fell apart in water has no logarithm, and the caller must say so rather than leave it out.

    Notes
    -----
    Flat prior on each mix mean; ln-normal priors of the two spreads on a 15 × 15 grid reaching three prior standard
    deviations to either side; P(first > second) = Σ weight · Φ(difference / its deviation). Not corrected for many pairs.
    studies/apart simulates it: equal mixes are called apart in 7 to 10 of 100 cases where the spreads are as the prior
    expects, but in 19 to 22 where batches differ twice as much, which two or three batches cannot show.

    References
    ----------
    [rule-apart] [prior-strength-spread]

    Examples
    --------
    >>> found = compare({"A": [[2.4, 2.6, 2.5], [2.7, 2.5, 2.6]], "B": [[1.6, 1.7, 1.5], [1.7, 1.8, 1.6]]})
    >>> found.pair("A", "B").verdict, found.pair("A", "B").greater
    ('apart', 'A')
    """
    if not mixes:
        raise InputError("no_mixes")
    grid = _grid()
    logs = {key: _logs(key, mixes[key]) for key in sorted(mixes)}
    fits = {key: _fit(batches, grid) for key, batches in logs.items()}
    weight = _weights(list(fits.values()), grid)
    means = {
        key: MixMean(float(np.exp(weight @ fits[key].mean)), len(logs[key]), sum(batch.size for batch in logs[key]))
        for key in fits
    }
    pairs = tuple(_pair(one, other, fits, means, weight) for one, other in itertools.combinations(fits, 2))
    notes = (Note("uncorrected_for_pairs", {"pairs": len(pairs)}),) if len(pairs) > 1 else ()
    batch_spread, block_spread = (float(np.exp(weight @ np.log(axis))) for axis in (grid.batch, grid.block))
    return Comparison(means, pairs, batch_spread, block_spread, notes)
