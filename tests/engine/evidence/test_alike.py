"""Classical comparisons against a statistics library."""

import numpy as np
import pytest
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW, ttost_ind

from loamwright.engine.evidence.alike import differences, holm
from loamwright.errors import InputError

MIXES = {"a": [3.0, 3.1, 2.9, 3.2], "b": [2.0, 2.1, 2.4], "c": [3.05, 3.0, 3.1]}


def test_pairs_as_a_statistics_library_has_them() -> None:
    """statsmodels: Welch's t on logarithms, two one-sided tests at ±ln 1.10, Holm's correction."""
    found = differences(MIXES, margin=0.10)
    chances = []
    for each in found:
        one, other = (np.log(MIXES[key]) for key in (each.first, each.second))
        means = CompareMeans(DescrStatsW(one), DescrStatsW(other))
        _, p, df = means.ttest_ind(usevar="unequal")
        chances.append(p)
        assert each.p == pytest.approx(p, rel=1e-9)
        assert each.df == pytest.approx(df, rel=1e-9)
        low, high = means.tconfint_diff(alpha=0.10, usevar="unequal")
        assert (each.low, each.high) == pytest.approx((low, high), rel=1e-9)
        alike, *_ = ttost_ind(one, other, -np.log(1.1), np.log(1.1), usevar="unequal")
        assert each.p_alike == pytest.approx(alike, rel=1e-9)
    assert [each.p_many for each in found] == pytest.approx(multipletests(chances, method="holm")[1].tolist(), rel=1e-9)


def test_near_and_steady_mixes_are_alike_and_others_are_not() -> None:
    found = {(each.first, each.second): each for each in differences(MIXES, margin=0.10)}
    assert found["a", "c"].alike
    assert not found["a", "b"].alike
    # neither different nor alike: too few batches that scatter too much say nothing
    (wide,) = differences({"a": [3.0, 2.0], "b": [2.1, 3.1]}, margin=0.05)
    assert not wide.alike
    assert wide.p > 0.05


def test_holm_keeps_order_and_one() -> None:
    """Holm 1979: smallest times m, next times m − 1, never falling, at most 1; by hand."""
    assert holm([0.5, 0.01, 0.6]) == pytest.approx((1.0, 0.03, 1.0))
    assert holm([]) == ()


@pytest.mark.parametrize(
    ("mixes", "code"),
    [
        ({"a": [1.0, 2.0]}, "too_few_groups"),
        ({"a": [1.0], "b": [1.0, 2.0]}, "too_few_batches"),
        ({"a": [0.0, 1.0], "b": [1.0, 2.0]}, "not_positive"),
        ({"a": [1.0, 1.0], "b": [1.0, 1.0]}, "batches_do_not_differ"),
    ],
)
def test_what_cannot_be_compared_is_said(mixes, code) -> None:
    with pytest.raises(InputError) as caught:
        differences(mixes)
    assert caught.value.code == code
