"""What a rule lets through: its operating curve, and the risks of the one who makes blocks and the one who buys them."""

from collections.abc import Sequence
from dataclasses import dataclass

from loamwright.engine.evidence.pass_chance import SpreadAssumption, pass_chance
from loamwright.errors import InputError, check_positive


@dataclass(frozen=True, slots=True)
class Sampling:
    """What a lot is put to: least mean, least of each block (None for none), blocks tested. [MPa], [MPa], [-]"""

    mean_least: float
    each_least: float | None
    blocks: int


@dataclass(frozen=True, slots=True)
class Risks:
    """The two risks of a rule.

    Attributes
    ----------
    producer : float
        Chance that a lot of the good mix is refused. [-]
    buyer : float
        Chance that a lot of the bad mix is taken. [-]
    """

    producer: float
    buyer: float


def operating_curve(true_means: Sequence[float], *, sampling: Sampling, assumption: SpreadAssumption) -> tuple[float, ...]:
    """Chance that a lot is taken, for each true mean.

    Parameters
    ----------
    true_means : sequence of float
        True means supposed. [MPa]
    sampling : Sampling
        What a lot is put to.
    assumption : SpreadAssumption
        How strength is supposed to scatter.

    Returns
    -------
    tuple of float
        Chances in the same order. [-]

    Raises
    ------
    InputError
        As `pass_chance`.

    References
    ----------
    [derivation-pass-chance]

    Examples
    --------
    >>> from loamwright.engine.evidence.pass_chance import independent_blocks
    >>> rule = Sampling(mean_least=2.4, each_least=2.0, blocks=5)
    >>> [round(each, 2) for each in operating_curve([2.4, 2.8], sampling=rule, assumption=independent_blocks())]
    [0.46, 0.99]
    """
    return tuple(
        pass_chance(
            each,
            mean_least=sampling.mean_least,
            each_least=sampling.each_least,
            blocks=sampling.blocks,
            assumption=assumption,
        ).chance
        for each in true_means
    )


def risks(good_mean: float, *, bad_mean: float, sampling: Sampling, assumption: SpreadAssumption) -> Risks:
    """The risk of the one who makes good blocks, and of the one who buys bad ones.

    Parameters
    ----------
    good_mean, bad_mean : float
        True means of a mix that ought to be taken and of one that ought to be refused; the first above the second. [MPa]
    sampling : Sampling
        What a lot is put to.
    assumption : SpreadAssumption
        How strength is supposed to scatter.

    Returns
    -------
    Risks
        See its fields.

    Raises
    ------
    InputError
        "good_not_above_bad", and as `pass_chance`.

    References
    ----------
    [derivation-pass-chance]

    Examples
    --------
    >>> from loamwright.engine.evidence.pass_chance import independent_blocks
    >>> rule = Sampling(mean_least=2.4, each_least=None, blocks=5)
    >>> found = risks(2.8, bad_mean=2.0, sampling=rule, assumption=independent_blocks())
    >>> found.producer < 0.01, found.buyer < 0.01
    (True, True)
    """
    check_positive(good_mean=good_mean, bad_mean=bad_mean)
    if good_mean <= bad_mean:
        raise InputError("good_not_above_bad", good=good_mean, bad=bad_mean)
    good, bad = operating_curve([good_mean, bad_mean], sampling=sampling, assumption=assumption)
    return Risks(1.0 - good, bad)
