"""Operating curves against the binomial, sample sizes against the handbook."""

import pytest
from scipy.stats import norm

from loamwright.engine.evidence.operating import Sampling, operating_curve, risks
from loamwright.engine.evidence.pass_chance import independent_blocks
from loamwright.engine.evidence.sample_size import results_needed
from loamwright.errors import InputError


def test_a_mean_alone_is_the_normal_tail() -> None:
    """Mean of n normal blocks with 10 % scatter: Φ((m − limit) √n / (0.1 m)); nothing of our own is in it."""
    rule = Sampling(mean_least=2.4, each_least=None, blocks=5)
    for true, found in zip((2.2, 2.5), operating_curve([2.2, 2.5], sampling=rule, assumption=independent_blocks()), strict=True):
        assert found == pytest.approx(norm.cdf((true - 2.4) * 5**0.5 / (0.1 * true)), abs=0.0006)


def test_the_two_risks_are_the_two_ends_of_the_curve() -> None:
    rule = Sampling(mean_least=2.4, each_least=2.0, blocks=5)
    good, bad = operating_curve([2.7, 2.3], sampling=rule, assumption=independent_blocks())
    found = risks(2.7, bad_mean=2.3, sampling=rule, assumption=independent_blocks())
    assert (found.producer, found.buyer) == pytest.approx((1 - good, bad))
    with pytest.raises(InputError, match="good_not_above_bad"):
        risks(2.0, bad_mean=2.3, sampling=rule, assumption=independent_blocks())


def test_the_handbooks_sample_size() -> None:
    """NIST/SEMATECH e-Handbook 7.2.2.2: one sigma, alpha 0.05, beta 0.10, one side: 8.567, 10.6, 11."""
    found = results_needed(1.0, alpha=0.05, power=0.90)
    assert found.by_normal == pytest.approx(8.567, abs=0.05)
    assert found.first_round == pytest.approx(10.6, abs=0.05)
    assert found.results == 11
    with pytest.raises(InputError, match="unknown_code"):
        results_needed(1.0, sides=3)
