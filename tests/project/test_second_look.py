"""The second look against a statistics library, over entries of the trial scenario."""

import math

import numpy as np
import pytest
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

from loamwright.project import choosing
from loamwright.project.second_look import second_look

WEAK, STRONG = ([2.0, 2.2, 2.1], [2.5, 2.3, 2.4]), ([3.4, 3.6, 3.5], [3.9, 3.8, 4.0])


@pytest.fixture
def compared(trial):
    sandy, clay = trial.two_guessed("Bank sand", "Red clay")
    bag = trial.write("stabiliser", {"name": "bag", "type": "cement"})
    trial.brief("2.4", "2.0", age=7)
    mixes = [trial.mix({sandy: parts, clay: 2}, bag, "6") for parts in (5, 4)]
    for mix, batches in zip(mixes, (WEAK, STRONG), strict=True):
        for strengths in batches:
            trial.crushed(trial.batch(mix, "6"), strengths, "2026-06-01")
    return choosing.choosing(trial.state).comparison


def test_differences_are_those_of_welch_on_batch_means(compared):
    """statsmodels, on logarithms of the geometric means of batches."""
    assert all(len(each.batches) == 2 for each in compared.mixes)
    (found,) = second_look(compared).differences
    logs = {
        each.key: [np.mean(np.log([b.finding.value for b in blocks])) for blocks in each.batches.values()]
        for each in compared.mixes
    }
    means = CompareMeans(DescrStatsW(logs[found.first]), DescrStatsW(logs[found.second]))
    low, high = means.tconfint_diff(alpha=0.10, usevar="unequal")
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-6)
    assert found.p == pytest.approx(means.ttest_ind(usevar="unequal")[1], rel=1e-6)


def test_taking_blocks_for_batches_looks_too_good(compared):
    """Batches of one mix differ by 15 %: the wrong test, with blocks as if each were mixed alone, gives a far smaller p."""
    scatter = second_look(compared).scatter
    assert scatter.chance_blind < scatter.chance / 10
    within = [np.var(np.log(batch), ddof=1) for batch in (*WEAK, *STRONG)]
    assert scatter.blocks == pytest.approx(math.exp(math.sqrt(np.mean(within))) - 1, rel=1e-6)
    assert scatter.batches > scatter.blocks


def test_with_one_batch_each_nothing_is_said(trial):
    assert second_look(choosing.choosing(trial.state).comparison).differences == ()
