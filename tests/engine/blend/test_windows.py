"""Lean, usable, fat, and the published windows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from loamwright import tables
from loamwright.engine.blend.windows import (
    CHANCE,
    Chances,
    Window,
    all_windows,
    first_answer,
    published_windows,
    stabiliser_window,
    window_chances,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

# Typed here independently of the data file: composition ranges as recalled or read second-hand, percent.
PUBLISHED = [
    ("ars680-clay", 8, 30),
    ("ars680-silt", 10, 25),
    ("ars680-sand", 25, 80),
    ("ars680-gravel", 0, 40),
    ("is1725-2013-clay", 5, 18),
    ("is1725-2013-silt", 10, 40),
    ("is1725-2013-sand", 50, 80),
    ("bru-b2-clay", 10, 35),
    ("nbr10833-fines", 10, 50),
]


@pytest.mark.parametrize(("key", "least", "most"), PUBLISHED)
def test_published_rows(key, least, most):
    row = tables.load("windows")[key]
    assert (row["least"] * 100, row["most"] * 100) == (pytest.approx(least), pytest.approx(most))


def test_a_least_value_only():
    # UNE 41410: clay at least 10 %, from memory; no most, so nothing lies above.
    window = next(window for window in published_windows("clay") if window.key == "une41410-clay")
    assert (window.least, window.most, window.centre) == (0.10, None, 0.10)
    assert window_chances(0.6, window=window) == Chances(0.0, 1.0, 0.0)


@pytest.mark.parametrize(("stabiliser", "least", "most"), [("cement", 0.10, 0.20), ("lime", 0.15, 0.30)])
def test_stabiliser_windows_are_judgement(stabiliser, least, most):
    window = stabiliser_window(stabiliser)
    assert (window.least, window.most, window.standing) == (least, most, "judgement")


def test_no_row_claims_the_document():
    assert all(window.standing != "document" for window in all_windows())
    assert all(window.stabiliser is None for window in published_windows())


@pytest.mark.parametrize(
    ("clay", "answer"), [(0.099, "lean"), (0.10, "usable"), (0.15, "usable"), (0.20, "usable"), (0.201, "fat")]
)
def test_both_ends_belong_to_the_window(clay, answer):
    assert window_chances(clay, window=stabiliser_window("cement")).answer == answer


def test_chances_of_a_normal_belief():
    # Normal(0.18, 0.04): P(below 0.10) = Phi(-2) = 0.0228, P(above 0.20) = 1 - Phi(0.5) = 0.3085 (statistical tables).
    draws = 0.18 + 0.04 * norm.ppf((np.arange(4000) + 0.5) / 4000)
    found = window_chances(draws, window=stabiliser_window("cement"))
    assert found.below == pytest.approx(0.0228, abs=1 / 4000)
    assert found.above == pytest.approx(0.3085, abs=1 / 4000)
    assert found.answer == "usable"


@pytest.mark.parametrize(
    ("chances", "answer"),
    [
        (Chances(0.5, 0.3, 0.2), "lean"),
        (Chances(0.2, 0.3, 0.5), "fat"),
        (Chances(0.3, 0.4, 0.3), "usable"),
        (Chances(0.45, 0.45, 0.1), "usable"),
        (Chances(0.4, 0.2, 0.4), "lean"),
    ],
)
def test_first_answer_is_the_largest_chance(chances, answer):
    assert first_answer(chances) == answer


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=50))
def test_chances_sum_to_one_in_any_order(values):
    window = stabiliser_window("lime")
    found = window_chances(np.array(values), window=window)
    assert found.below + found.inside + found.above == pytest.approx(1.0, abs=1e-12)
    assert window_chances(np.array(values[::-1]), window=window) == found


def test_formula():
    found = window_chances(np.array([0.05, 0.12, 0.18]), window=stabiliser_window("cement"))
    assert evaluate(CHANCE.put_in({"inside": 2, "draws": 3})) == pytest.approx(found.inside)


@pytest.mark.parametrize(("draws", "code"), [(np.array([]), "no_draws"), (12.0, "out_of_range"), (np.nan, "out_of_range")])
def test_draws_refused(draws, code):
    with pytest.raises(InputError) as refusal:
        window_chances(draws, window=stabiliser_window("cement"))
    assert refusal.value.code == code


def test_unknown_stabiliser_refused():
    with pytest.raises(InputError) as refusal:
        stabiliser_window("gypsum")
    assert refusal.value.code == "unknown_stabiliser"


def test_centre_of_a_window():
    assert Window("x", "clay", 0.1, 0.2, "s", "judgement").centre == pytest.approx(0.15)
