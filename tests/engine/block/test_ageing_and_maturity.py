"""Maturity by hand and by the standard's own formulas; forecasts against the textbook posterior of a line's slope."""

import math

import numpy as np
import pytest

from loamwright import tables
from loamwright.engine.block.ageing import Break, forecast
from loamwright.engine.block.maturity import Spell, age_factors, degree_days, equivalent_age, maturity
from loamwright.errors import InputError


def test_time_temperature_sum_by_hand() -> None:
    """Nurse and Saul, datum 0 °C: 3 d at 20 °C and 4 d at 10 °C are 100 °C d; frost adds nothing."""
    assert maturity([Spell(3, 20), Spell(4, 10), Spell(9, -4)]) == pytest.approx(100)


def test_equivalent_age_by_the_formula_of_arrhenius() -> None:
    """exp(-E/R (1/T - 1/Tr)) with E 40 kJ/mol, R 8.314 J/(mol K): at 30 °C 1.718, at 10 °C 0.558 (worked by hand)."""
    warm, cold = age_factors([Spell(1, 30), Spell(1, 10)])
    assert warm == pytest.approx(math.exp(-40000 / 8.314 * (1 / 303.15 - 1 / 293.15)), rel=1e-4)
    assert (warm, cold) == pytest.approx((1.718, 0.5604), rel=0.003)
    assert equivalent_age([Spell(10, 30)]) == pytest.approx(17.18, rel=0.003)


def test_lime_stops_below_its_base() -> None:
    assert degree_days([Spell(10, 15), Spell(20, 5), Spell(5, 0)]) == pytest.approx(100)


def test_without_own_slope_the_known_ratio_is_used() -> None:
    """Sandy cement mixes: 7 over 28 days 0.6 to 0.7 (from memory); the middle of the forecast keeps to it."""
    found = forecast([Break(7, 2.0)], age_days=28, stabiliser="cement", batch_spread=0.08)
    assert 0.6 < 2.0 / found.strength < 0.7
    lime = forecast([Break(28, 1.0)], age_days=90, stabiliser="lime", batch_spread=0.08)
    assert (lime.high / lime.low) > (found.high / found.low)


def test_slope_is_the_posterior_of_a_line_with_known_scatter() -> None:
    """Conjugate normal regression: precision 1/s0² + Sxx/s², written out with numpy as textbooks have it."""
    ages, strengths = np.array([3, 7, 14, 28.0]), np.array([1.1, 1.5, 1.9, 2.3])
    found = forecast(
        [Break(*each) for each in zip(ages, strengths, strict=True)], age_days=90, stabiliser="cement", batch_spread=0.1
    )
    row = tables.load("ageing", required=("kind", "stabiliser", "note"))["cement-growth"]
    x, y = np.log(ages), np.log(strengths)
    precision = np.array([[1e-12, 0.0], [0.0, row["spread"] ** -2]]) + np.array([[4, 0], [0, ((x - x.mean()) ** 2).sum()]]) / 0.01
    right = np.array([y.sum(), ((x - x.mean()) * y).sum()]) / 0.01 + np.array([0, row["slope"] / row["spread"] ** 2])
    height, slope = np.linalg.solve(precision, right)
    assert found.slope == pytest.approx(slope)
    assert math.log(found.strength) == pytest.approx(height + slope * (math.log(90) - x.mean()))
    away = np.array([1.0, math.log(90) - x.mean()])
    spread = math.sqrt(0.01 + away @ np.linalg.inv(precision) @ away)
    assert math.log(found.high / found.strength) == pytest.approx(1.6448536 * spread, rel=1e-6)


def test_ages_beyond_those_known_are_noted() -> None:
    early = forecast([Break(1, 0.4)], age_days=28, stabiliser="cement", batch_spread=0.1)
    assert [note.code for note in early.notes] == ["forecast_beyond_ages"]
    assert not forecast([Break(7, 1.0)], age_days=28, stabiliser="cement", batch_spread=0.1).notes


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: forecast([], age_days=28, stabiliser="cement", batch_spread=0.1), "no_breaks"),
        (lambda: forecast([Break(7, 0.0)], age_days=28, stabiliser="cement", batch_spread=0.1), "not_positive"),
        (lambda: forecast([Break(7, 1.0)], age_days=28, stabiliser="gypsum", batch_spread=0.1), "unknown_stabiliser"),
        (lambda: Spell(1, 200), "out_of_range"),
        (lambda: Spell(-1, 20), "negative"),
        (lambda: degree_days([Spell(1, 20)], stabiliser="cement"), "unknown_stabiliser"),
    ],
)
def test_what_cannot_be_said_is_said(do, code) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
