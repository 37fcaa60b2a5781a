"""Power of a plan: the formula, and the figures it must give."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from loamwright.engine.evidence.power import (
    DIFFERENCE_SHOWN,
    LN_DIFFERENCE_SHOWN,
    POWER_FACTOR,
    batches_to_tell,
    difference_shown,
    ln_difference_shown,
    power_factor,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

USUAL = {"batch_spread": 0.08, "block_spread": 0.10}


def test_factor_from_normal_tables() -> None:
    # Printed normal tables: z(0.95) = 1.6449, z(0.80) = 0.8416.
    assert power_factor() == pytest.approx(1.6449 + 0.8416, abs=1e-4)


@pytest.mark.parametrize(("batches", "blocks", "by_hand"), [(2, 3, 0.2453), (3, 5, 0.1861)])
def test_by_hand(batches: int, blocks: int, by_hand: float) -> None:
    # 2.4865 √(2 (0.0064/2 + 0.01/6)) = 2.4865 × 0.09866 = 0.2453; 2.4865 √(2 (0.0064/3 + 0.01/15)) = 2.4865 × 0.07483 = 0.1861.
    assert ln_difference_shown(batches, blocks_per_batch=blocks, **USUAL) == pytest.approx(by_hand, abs=1e-4)


@pytest.mark.parametrize("difference", [0.15, 0.2453, 0.35])
def test_power_is_what_normal_theory_gives(difference: float) -> None:
    # With the spreads known, the rule says so when the estimate exceeds 1.645 of its own deviations.
    sd = math.sqrt(2 * (0.08**2 / 2 + 0.10**2 / 6))
    chance = float(norm.sf(1.6449 - difference / sd))
    assert ln_difference_shown(2, blocks_per_batch=3, power=chance, **USUAL) == pytest.approx(difference, abs=1e-4)


def test_batches_to_tell() -> None:
    for difference, count in [(0.30, 2), (0.20, 4), (0.15, 6), (0.14, None)]:
        # 2 batches show 0.2453, 3 0.2003, 4 0.1735, 5 0.1552, 6 0.1416: the first scaled by √(2/B).
        shown = [0.2453 * math.sqrt(2 / batches) for batches in range(2, 7)]
        by_hand = next((place + 2 for place, each in enumerate(shown) if each < difference), None)
        assert batches_to_tell(difference, blocks_per_batch=3, **USUAL) == by_hand == count
    assert batches_to_tell(-0.20, blocks_per_batch=3, **USUAL) == 4
    assert batches_to_tell(0.30, blocks_per_batch=3, batches_now=3, **USUAL) == 3


@pytest.mark.parametrize(
    ("keywords", "code"),
    [
        ({"batches": 1}, "too_few_batches"),
        ({"blocks_per_batch": 0}, "not_positive"),
        ({"batch_spread": -0.1}, "negative"),
        ({"power": 1.0}, "out_of_range"),
    ],
)
def test_refuses(keywords: dict[str, float], code: str) -> None:
    arguments = {"batches": 2, "blocks_per_batch": 3, **USUAL, **keywords}
    with pytest.raises(InputError) as caught:
        ln_difference_shown(arguments.pop("batches"), **arguments)  # type: ignore[arg-type]
    assert caught.value.code == code


@given(st.integers(2, 6), st.integers(1, 8), st.floats(0.02, 0.3), st.floats(0.02, 0.3))
def test_more_batches_tell_more_than_more_blocks(batches: int, blocks: int, tau: float, sigma: float) -> None:
    now = ln_difference_shown(batches, blocks_per_batch=blocks, batch_spread=tau, block_spread=sigma)
    doubled = ln_difference_shown(2 * batches, blocks_per_batch=blocks, batch_spread=tau, block_spread=sigma)
    broader = ln_difference_shown(batches, blocks_per_batch=2 * blocks, batch_spread=tau, block_spread=sigma)
    assert doubled == pytest.approx(now / math.sqrt(2))
    assert doubled < broader < now


def test_printed_lines_give_the_results() -> None:
    terms = {"k": power_factor(), "tau": 0.08, "sigma": 0.10, "B": 2, "n": 3}
    shown = ln_difference_shown(2, blocks_per_batch=3, **USUAL)
    assert evaluate(LN_DIFFERENCE_SHOWN.put_in(terms)) == pytest.approx(shown, rel=1e-5)
    share = difference_shown(2, blocks_per_batch=3, **USUAL)
    assert evaluate(DIFFERENCE_SHOWN.put_in({"D": shown})) == pytest.approx(share, rel=1e-5)
    assert evaluate(POWER_FACTOR.put_in({"z_apart": norm.ppf(0.95), "z_power": norm.ppf(0.80)})) == pytest.approx(
        power_factor(), rel=1e-5
    )
