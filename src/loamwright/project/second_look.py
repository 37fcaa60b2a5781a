"""A second look at the comparison, by classical tests: where scatter comes from, what differs, what is the same."""

from dataclasses import dataclass
from math import exp, log, sqrt

from loamwright.engine.evidence import alike, variance
from loamwright.errors import InputError
from loamwright.project.compare import Comparison, MixResult
from loamwright.project.judged import judged


@dataclass(frozen=True, slots=True)
class Scatter:
    """Where scatter comes from, as shares of strength: between blocks of a batch, between batches of a mix. [-]"""

    blocks: float
    batches: float
    chance: float
    chance_blind: float


@dataclass(frozen=True, slots=True)
class Second:
    """What classical tests say.

    Attributes
    ----------
    scatter : Scatter or None
        None where no mix has two batches, or no batch two blocks.
    differences : tuple of Difference
        Of the mixes with two batches or more.
    """

    scatter: Scatter | None
    differences: tuple[alike.Difference, ...]


def second_look(comparison: Comparison) -> Second:
    """What classical tests say of the counted blocks; blocks that fell apart in water have no logarithm and are left out."""
    logs = {each.key: _logs(each) for each in comparison.mixes if each.counted}
    logs = {key: batches for key, batches in logs.items() if batches}
    return Second(_scatter(logs), _differences(logs))


def _logs(mix: MixResult) -> list[list[float]]:
    batches = [[log(block.finding.value) for block in blocks if block.finding.value > 0] for blocks in mix.batches.values()]
    return [batch for batch in batches if batch]


def _scatter(logs: dict[str, list[list[float]]]) -> Scatter | None:
    try:
        found = variance.nested(logs)
    except InputError:
        return None
    return Scatter(exp(sqrt(found.block_variance)) - 1, exp(sqrt(found.batch_variance)) - 1, found.p, found.p_blind)


def _differences(logs: dict[str, list[list[float]]]) -> tuple[alike.Difference, ...]:
    means = {key: [exp(sum(batch) / len(batch)) for batch in batches] for key, batches in logs.items() if len(batches) > 1}
    if len(means) < 2:
        return ()
    try:
        return alike.differences(means, margin=judged("alike-margin"))
    except InputError:
        return ()
