"""Chance of passing: against the stated example, closed forms, and seeded draws."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from loamwright.engine.evidence import pass_chance as module
from loamwright.engine.evidence.pass_chance import (
    INTEGRATION_ERROR,
    SpreadAssumption,
    independent_blocks,
    lot_to_lot,
    pass_chance,
    true_mean_needed,
)
from loamwright.errors import InputError

EXAMPLE = {"mean_least": 2.4, "each_least": 2.0, "blocks": 5}


@pytest.mark.parametrize(
    ("true_mean", "independent", "lots"), [(2.4, 46, 50), (2.6, 92, 82), (2.8, 99, 96)], ids=["2.4", "2.6", "2.8"]
)
def test_example_of_the_brief(true_mean: float, independent: int, lots: int) -> None:
    # The figures the product is asked to show for mean >= 2.4, each >= 2.0, n 5: rounded to whole per cent.
    assert round(100 * pass_chance(true_mean, assumption=independent_blocks(), **EXAMPLE).chance) == independent
    assert round(100 * pass_chance(true_mean, assumption=lot_to_lot(), **EXAMPLE).chance) == lots


def by_draws(
    true_mean: float, assumption: SpreadAssumption, *, mean_least: float, each_least: float | None, blocks: int
) -> float:
    rng = np.random.default_rng(20260101)
    lot = true_mean * (1 + assumption.between_lots * rng.standard_normal((400_000, 1)))
    strength = lot * (1 + assumption.within_lot * rng.standard_normal((400_000, blocks)))
    floor = -np.inf if each_least is None else each_least
    return float(((strength.mean(axis=1) >= mean_least) & (strength.min(axis=1) >= floor)).mean())


@pytest.mark.parametrize(
    "assumption",
    [independent_blocks(), independent_blocks(0.2), lot_to_lot(), lot_to_lot(0.15), lot_to_lot(0.1, within_lot=0.01)],
)
@pytest.mark.parametrize(("each_least", "blocks"), [(2.0, 5), (2.35, 3), (None, 8)])
def test_against_seeded_draws(assumption: SpreadAssumption, each_least: float | None, blocks: int) -> None:
    # 400,000 draws: four standard errors are at most 0.0032.
    rule = {"mean_least": 2.4, "each_least": each_least, "blocks": blocks}
    drawn = by_draws(2.6, assumption, **rule)  # type: ignore[arg-type]
    assert pass_chance(2.6, assumption=assumption, **rule).chance == pytest.approx(drawn, abs=0.0033)  # type: ignore[arg-type]


@pytest.mark.parametrize("blocks", [1, 5, 20, 50])
@pytest.mark.parametrize("cv", [0.01, 0.1, 0.3])
def test_closed_forms(blocks: int, cv: float) -> None:
    # No floor: P(mean >= a) = Φ(√n (μ - a) / (V μ)). A floor at the mean's limit: every block clears it, Φ(...)^n.
    mean_only = pass_chance(2.5, mean_least=2.45, blocks=blocks, assumption=independent_blocks(cv)).chance
    assert mean_only == pytest.approx(norm.cdf(blocks**0.5 * 0.05 / (cv * 2.5)), abs=INTEGRATION_ERROR)
    each = pass_chance(2.5, mean_least=2.45, each_least=2.45, blocks=blocks, assumption=independent_blocks(cv)).chance
    assert each == pytest.approx(norm.cdf(0.05 / (cv * 2.5)) ** blocks, abs=INTEGRATION_ERROR)


@pytest.mark.parametrize(
    "assumption", [independent_blocks(0.01), independent_blocks(0.3), lot_to_lot(), lot_to_lot(0.1, within_lot=0.01)]
)
@pytest.mark.parametrize("blocks", [2, 10, 50])
def test_stated_error(monkeypatch: pytest.MonkeyPatch, assumption: SpreadAssumption, blocks: int) -> None:
    rule = {"mean_least": 2.4, "each_least": 2.2, "blocks": blocks}
    coarse = pass_chance(2.6, assumption=assumption, **rule).chance  # type: ignore[arg-type]
    monkeypatch.setattr(module, "CELLS", 2 * module.CELLS)
    monkeypatch.setattr(module, "LOT_STEP", module.LOT_STEP / 4)
    fine = pass_chance(2.6, assumption=assumption, **rule).chance  # type: ignore[arg-type]
    assert coarse == pytest.approx(fine, abs=INTEGRATION_ERROR)


@pytest.mark.parametrize("assumption", [independent_blocks(), lot_to_lot()])
@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9, 0.99])
def test_there_and_back(assumption: SpreadAssumption, chance: float) -> None:
    needed = true_mean_needed(chance, assumption=assumption, **EXAMPLE)
    assert pass_chance(needed, assumption=assumption, **EXAMPLE).chance == pytest.approx(chance, abs=0.002)


def test_lots_that_differ_ask_for_a_stronger_mix() -> None:
    needed = [true_mean_needed(0.9, assumption=each, **EXAMPLE) for each in (independent_blocks(), lot_to_lot())]
    # The example brackets both: 92 % at 2.6 for independent blocks; 82 % at 2.6 and 96 % at 2.8 for lots.
    assert 2.4 < needed[0] < 2.6 < needed[1] < 2.8


def test_scatter_too_wide_for_any_mean() -> None:
    with pytest.raises(InputError) as caught:
        true_mean_needed(0.999, mean_least=2.4, each_least=2.0, blocks=50, assumption=independent_blocks(0.5))
    assert caught.value.code == "chance_not_reached"


@pytest.mark.parametrize(
    ("keywords", "code"),
    [
        ({"true_mean": 0.0}, "not_positive"),
        ({"mean_least": 0.0}, "not_positive"),
        ({"each_least": -1.0}, "negative"),
        ({"blocks": 51}, "out_of_range"),
    ],
)
def test_refuses(keywords: dict[str, float], code: str) -> None:
    arguments = {"true_mean": 2.5, **EXAMPLE, **keywords}
    with pytest.raises(InputError) as caught:
        pass_chance(arguments.pop("true_mean"), assumption=independent_blocks(), **arguments)  # type: ignore[arg-type]
    assert caught.value.code == code


@settings(max_examples=25, deadline=None)
@given(st.floats(1.0, 4.0), st.floats(1.01, 1.3), st.integers(1, 12), st.floats(0.1, 10.0))
def test_stronger_passes_more_and_units_do_not_matter(true_mean: float, more: float, blocks: int, factor: float) -> None:
    def chance(mean: float, scale: float) -> float:
        return pass_chance(
            scale * mean, mean_least=2.4 * scale, each_least=2.0 * scale, blocks=blocks, assumption=lot_to_lot()
        ).chance

    assert chance(true_mean * more, 1.0) >= chance(true_mean, 1.0) - 1e-9
    assert chance(true_mean, factor) == pytest.approx(chance(true_mean, 1.0), abs=1e-9)
