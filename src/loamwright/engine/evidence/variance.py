"""Where scatter comes from: analysis of variance of groups, and of blocks within batches within mixes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError

GROUPS_LEAST = 2


@dataclass(frozen=True, slots=True)
class OneWay:
    """Analysis of variance of groups of results.

    Attributes
    ----------
    df_between, df_within : int
        Degrees of freedom between and within groups. [-]
    ss_between, ss_within : float
        Sums of squares, in the square of the results' unit.
    ms_between, ms_within : float
        Mean squares.
    f : float
        Ratio of the mean squares. [-]
    p : float
        Chance of a ratio as great where all groups are alike. [-]
    r2 : float
        Share of the total sum of squares that lies between groups. [-]
    residual_sd : float
        Standard deviation within groups, in the results' unit.
    """

    df_between: int
    df_within: int
    ss_between: float
    ss_within: float
    ms_between: float
    ms_within: float
    f: float
    p: float
    r2: float
    residual_sd: float


def one_way(groups: Sequence[Sequence[float]]) -> OneWay:
    """Analysis of variance of groups of results.

    Parameters
    ----------
    groups : sequence of sequences of float
        Results of each group, any one unit; two groups or more, and one group of two results or more.

    Returns
    -------
    OneWay
        See its fields.

    Raises
    ------
    InputError
        "too_few_groups", "too_few_values" where no group repeats a result.

    References
    ----------
    [nist-strd], SiRstv; [searle-1971]

    Examples
    --------
    >>> found = one_way([[2.0, 2.2], [3.0, 3.2]])
    >>> round(found.f, 6), found.df_within
    (50.0, 2)
    """
    arrays = _arrays(groups)
    total = np.concatenate(arrays)
    within, between = len(total) - len(arrays), len(arrays) - 1
    if within < 1:
        raise InputError("too_few_values", have=len(total), need=len(arrays) + 1)
    centre = float(total.mean())
    ss_between = float(sum(len(each) * (each.mean() - centre) ** 2 for each in arrays))
    ss_within = float(sum(((each - each.mean()) ** 2).sum() for each in arrays))
    return _one_way(between, within, ss_between, ss_within)


def _arrays(groups: Sequence[Sequence[float]]) -> list[Floats]:
    arrays = [np.asarray(each, dtype=float) for each in groups]
    if len(arrays) < GROUPS_LEAST or any(each.size == 0 for each in arrays):
        raise InputError("too_few_groups", have=len([each for each in arrays if each.size]), need=GROUPS_LEAST)
    if not all(np.isfinite(each).all() for each in arrays):
        raise InputError("not_finite", quantity="result")
    return arrays


def _one_way(between: int, within: int, ss_between: float, ss_within: float) -> OneWay:
    ms_between, ms_within = ss_between / between, ss_within / within
    f = float("inf") if ms_within == 0 else ms_between / ms_within
    total = ss_between + ss_within
    return OneWay(
        df_between=between,
        df_within=within,
        ss_between=ss_between,
        ss_within=ss_within,
        ms_between=ms_between,
        ms_within=ms_within,
        f=f,
        p=_beyond(f, between, within),
        r2=0.0 if total == 0 else ss_between / total,
        residual_sd=ms_within**0.5,
    )


def _beyond(f: float, above: float, below: float) -> float:
    """Chance of a ratio of variances as great or greater."""
    from scipy.special import fdtrc

    return float(fdtrc(above, below, f))


@dataclass(frozen=True, slots=True)
class Nested:
    """Analysis of variance of blocks within batches within mixes.

    Attributes
    ----------
    df_mixes, df_batches, df_blocks : int
        Degrees of freedom between mixes, between batches of a mix, between blocks of a batch. [-]
    ms_mixes, ms_batches, ms_blocks : float
        Mean squares.
    f : float
        Mixes against what batches of one mix differ by. [-]
    df_below : float
        Degrees of freedom of that comparison; whole where every batch has as many blocks. [-]
    p : float
        Chance of a ratio as great where all mixes are alike. [-]
    block_variance, batch_variance, mix_variance : float
        Components of variance; a batch or mix component that comes out below zero is given as 0, as usual.
    p_blind : float
        The same chance by the wrong test that takes every block as its own batch: shown so that nobody is misled by it. [-]
    """

    df_mixes: int
    df_batches: int
    df_blocks: int
    ms_mixes: float
    ms_batches: float
    ms_blocks: float
    f: float
    df_below: float
    p: float
    block_variance: float
    batch_variance: float
    mix_variance: float
    p_blind: float


def nested(mixes: Mapping[str, Sequence[Sequence[float]]]) -> Nested:
    """Analysis of variance of mixes made in batches of several blocks.

    The batch is what was mixed at random, so mixes are held against the scatter of batches, not of blocks. With unequal numbers
    the mean square below is put together from those of batches and blocks and its degrees of freedom are Satterthwaite's.

    Parameters
    ----------
    mixes : mapping of str to sequence of sequences of float
        Results of every batch of every mix, any one unit (logarithms of strength are usual).

    Returns
    -------
    Nested
        See its fields.

    Raises
    ------
    InputError
        "too_few_groups" for fewer than two mixes, "too_few_batches" where no mix has two batches, "too_few_values" where no
        batch has two blocks, "not_finite".

    References
    ----------
    [searle-1971], [satterthwaite-1946]

    Examples
    --------
    >>> found = nested({"a": [[2.0, 2.2], [2.6, 2.4]], "b": [[3.0, 3.2], [3.4, 3.6]]})
    >>> found.df_mixes, found.df_batches, found.df_blocks, round(found.f, 4)
    (1, 2, 4, 12.5)
    """
    batches = {key: _batches(each) for key, each in mixes.items()}
    if len(batches) < GROUPS_LEAST:
        raise InputError("too_few_groups", have=len(batches), need=GROUPS_LEAST)
    table = _NestedTable.of(list(batches.values()))
    if table.df_batches < 1:
        raise InputError("too_few_batches", have=1, need=2)
    if table.df_blocks < 1:
        raise InputError("too_few_values", have=table.blocks, need=table.blocks + 1)
    return table.analysed()


def _batches(batches: Sequence[Sequence[float]]) -> list[Floats]:
    arrays = [np.asarray(each, dtype=float) for each in batches if len(each)]
    if not arrays:
        raise InputError("no_batches")
    if not all(np.isfinite(each).all() for each in arrays):
        raise InputError("not_finite", quantity="result")
    return arrays


@dataclass(frozen=True, slots=True)
class _NestedTable:
    """Sums of squares, degrees of freedom, and the weights of the components in the expected mean squares."""

    blocks: int
    df_mixes: int
    df_batches: int
    df_blocks: int
    ss_mixes: float
    ss_batches: float
    ss_blocks: float
    batch_in_batches: float
    batch_in_mixes: float
    mix_in_mixes: float

    @staticmethod
    def of(mixes: Sequence[Sequence[Floats]]) -> "_NestedTable":
        everything = np.concatenate([batch for mix in mixes for batch in mix])
        count = len(everything)
        whole = [np.concatenate(mix) for mix in mixes]
        sizes = [np.array([len(batch) for batch in mix], dtype=float) for mix in mixes]
        df_mixes = len(mixes) - 1
        df_batches = sum(len(mix) - 1 for mix in mixes)
        own = sum(float((size**2).sum() / size.sum()) for size in sizes)
        every = sum(float((size**2).sum()) for size in sizes) / count
        return _NestedTable(
            blocks=count,
            df_mixes=df_mixes,
            df_batches=df_batches,
            df_blocks=count - sum(len(mix) for mix in mixes),
            ss_mixes=sum(len(each) * float(each.mean() - everything.mean()) ** 2 for each in whole),
            ss_batches=sum(
                len(batch) * float(batch.mean() - all_of.mean()) ** 2
                for mix, all_of in zip(mixes, whole, strict=True)
                for batch in mix
            ),
            ss_blocks=sum(float(((batch - batch.mean()) ** 2).sum()) for mix in mixes for batch in mix),
            batch_in_batches=(count - own) / df_batches if df_batches else 0.0,
            batch_in_mixes=(own - every) / df_mixes,
            mix_in_mixes=(count - sum(float(size.sum()) ** 2 for size in sizes) / count) / df_mixes,
        )

    def analysed(self) -> Nested:
        ms_mixes = self.ss_mixes / self.df_mixes
        ms_batches, ms_blocks = self.ss_batches / self.df_batches, self.ss_blocks / self.df_blocks
        part = self.batch_in_mixes / self.batch_in_batches
        below = part * ms_batches + (1.0 - part) * ms_blocks
        f = float("inf") if below <= 0 else ms_mixes / below
        df_below = self._df_below(part * ms_batches, (1.0 - part) * ms_blocks)
        batch = max(0.0, (ms_batches - ms_blocks) / self.batch_in_batches)
        blind_ms = (self.ss_batches + self.ss_blocks) / (self.df_batches + self.df_blocks)
        blind = float("inf") if blind_ms <= 0 else ms_mixes / blind_ms
        return Nested(
            df_mixes=self.df_mixes,
            df_batches=self.df_batches,
            df_blocks=self.df_blocks,
            ms_mixes=ms_mixes,
            ms_batches=ms_batches,
            ms_blocks=ms_blocks,
            f=f,
            df_below=df_below,
            p=_beyond(f, self.df_mixes, df_below),
            block_variance=ms_blocks,
            batch_variance=batch,
            mix_variance=max(0.0, (ms_mixes - ms_blocks - self.batch_in_mixes * batch) / self.mix_in_mixes),
            p_blind=_beyond(blind, self.df_mixes, self.df_batches + self.df_blocks),
        )

    def _df_below(self, of_batches: float, of_blocks: float) -> float:
        """Satterthwaite's degrees of freedom of a sum of mean squares; those of the batches where nothing else is in it."""
        own = of_batches**2 / self.df_batches + of_blocks**2 / self.df_blocks
        return float(self.df_batches) if own == 0 else (of_batches + of_blocks) ** 2 / own
