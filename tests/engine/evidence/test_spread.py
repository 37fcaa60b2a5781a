"""Summary of block values."""

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.evidence.spread import COEFFICIENT_OF_VARIATION, STANDARD_DEVIATION, spread
from loamwright.errors import InputError
from loamwright.formula import evaluate

STRENGTHS = st.lists(st.floats(0.05, 30.0), min_size=2, max_size=12)


def test_three_specimens_of_an_open_data_set() -> None:
    # Figshare data set 28553693 (Teodoru and Owusu Yeboah 2025), 2.5 % cement, 1 day, rate 0.75; arithmetic by hand:
    # mean 1.694637/3; deviations squared sum to 11.66e-6, over 2, root.
    found = spread([0.563945, 0.567621, 0.563071])
    assert found.mean == pytest.approx(0.564879, rel=1e-4)
    assert found.standard_deviation == pytest.approx(0.0024145, rel=1e-4)
    assert found.coefficient_of_variation == pytest.approx(0.0042744, rel=1e-4)
    assert (found.n, found.least, found.most) == (3, 0.563071, 0.567621)


def test_one_value_has_no_spread() -> None:
    found = spread([2.5])
    assert (found.n, found.mean, found.standard_deviation, found.coefficient_of_variation) == (1, 2.5, None, None)


def test_blocks_that_fell_apart_have_no_share_of_scatter() -> None:
    found = spread([0.0, 0.0])
    assert found.standard_deviation == 0.0
    assert found.coefficient_of_variation is None


@pytest.mark.parametrize(
    ("values", "code"), [([], "too_few_values"), ([2.0, float("nan")], "not_finite"), ([2.0, -0.1], "negative")]
)
def test_refuses(values: list[float], code: str) -> None:
    with pytest.raises(InputError) as caught:
        spread(values)
    assert caught.value.code == code


@given(STRENGTHS)
def test_agrees_with_the_standard_library(values: list[float]) -> None:
    found = spread(values)
    assert found.standard_deviation == pytest.approx(statistics.stdev(values), rel=1e-9, abs=1e-12)
    assert found.mean == pytest.approx(statistics.fmean(values), rel=1e-12)


@given(STRENGTHS, st.randoms())
def test_order_is_irrelevant(values: list[float], rng: object) -> None:
    shuffled = list(values)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    assert spread(shuffled) == spread(values)


@given(STRENGTHS, st.floats(0.1, 10.0))
def test_strengths_scaled_scale_the_summary(values: list[float], factor: float) -> None:
    before, after = spread(values), spread([factor * value for value in values])
    assert after.mean == pytest.approx(factor * before.mean)
    assert after.least == pytest.approx(factor * before.least)
    assert after.coefficient_of_variation == pytest.approx(before.coefficient_of_variation, rel=1e-6, abs=1e-9)


def test_printed_lines_give_the_result() -> None:
    values = [2.9, 3.4, 3.1, 3.6, 2.7]
    found = spread(values)
    assert evaluate(STANDARD_DEVIATION.put_in({"f": values})) == pytest.approx(found.standard_deviation)
    assert evaluate(COEFFICIENT_OF_VARIATION.put_in({"f": values})) == pytest.approx(found.coefficient_of_variation)
