"""Combined gradings of published examples."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.blend.grading import (
    COMBINED_PASSING,
    INDIVIDUAL_RETAINED,
    PASSING_CONTRIBUTION,
    combined_passing,
    contributed_passing,
    individual_retained,
    within_band,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate


def percent(*values):
    return [value / 100 for value in values]


def test_iowa_im531_method_a():
    # Iowa DOT IM 531, method A example, first four sieves (1 1/2, 1, 3/4, 1/2 in); 83.48 is printed as 83.4.
    passing = {
        "coarse": percent(100, 83, 65, 35),
        "intermediate": percent(100, 100, 100, 100),
        "fine": percent(100, 100, 100, 100),
    }
    found = combined_passing(passing, shares={"coarse": 0.472, "intermediate": 0.118, "fine": 0.41})
    assert found * 100 == pytest.approx([100, 92.0, 83.4, 69.3], abs=0.1)
    assert individual_retained(found) * 100 == pytest.approx([0.0, 8.0, 8.5, 14.2], abs=0.1)


def test_army_trial_blend_on_no_200():
    # US Army correspondence course EN5459 (public domain), trial 1.
    names = ["limestone dust", "fine river bar", "fine aggregate", "coarse aggregate"]
    passing = {name: [value / 100] for name, value in zip(names, (90, 10, 3, 0), strict=True)}
    shares = {name: value / 100 for name, value in zip(names, (3, 10, 50, 37), strict=True)}
    parts = contributed_passing(passing, shares=shares)
    assert [float(parts[name][0]) * 100 for name in names] == pytest.approx([2.7, 1.0, 1.5, 0.0], abs=0.01)
    blend = combined_passing(passing, shares=shares)
    assert blend[0] * 100 == pytest.approx(5.2, abs=0.01)
    assert within_band(blend, least=[0.04], most=[0.08]).tolist() == [True]


def test_three_aggregates_in_a_band():
    # Aggregate blending exercise of highway texts: the arithmetic of one blend (0.66, 0.28, 0.06) and its band.
    passing = {
        "A": percent(100, 63, 19, 8, 5, 3, 0),
        "B": percent(100, 100, 100, 93, 55, 36, 3),
        "C": percent(100, 100, 100, 100, 100, 97, 88),
    }
    found = combined_passing(passing, shares={"A": 0.66, "B": 0.28, "C": 0.06})
    assert found * 100 == pytest.approx([100.0, 75.58, 46.54, 37.32, 24.7, 17.88, 6.12], abs=0.01)
    least, most = percent(100, 75, 40, 32, 20, 12, 5), percent(100, 85, 55, 42, 30, 22, 11)
    assert within_band(found, least=least, most=most).all()


curves = st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3).map(lambda values: sorted(values, reverse=True))


@given(st.lists(curves, min_size=2, max_size=4), st.lists(st.integers(1, 9), min_size=4, max_size=4))
def test_combined_lies_between_and_order_is_irrelevant(passing, weights):
    names = [f"m{i}" for i in range(len(passing))]
    total = sum(weights[: len(names)])
    shares = {name: weight / total for name, weight in zip(names, weights, strict=False)}
    curve_of = dict(zip(names, passing, strict=True))
    found = combined_passing(curve_of, shares=shares)
    assert (found <= np.max(passing, axis=0) + 1e-12).all()
    assert (found >= np.min(passing, axis=0) - 1e-12).all()
    backwards = {name: shares[name] for name in reversed(names)}
    assert combined_passing(curve_of, shares=backwards).tolist() == found.tolist()


@given(curves)
def test_retained_and_pan_sum_to_one(passing):
    assert individual_retained(passing).sum() + passing[-1] == pytest.approx(1.0, abs=1e-12)


def test_formulas():
    assert evaluate(PASSING_CONTRIBUTION.put_in({"f": 0.03, "P": 0.9})) == pytest.approx(
        contributed_passing({"a": [0.9], "b": [0.1]}, shares={"a": 0.03, "b": 0.97})["a"][0]
    )
    assert evaluate(COMBINED_PASSING.put_in({"contributed": [0.027, 0.01, 0.015, 0.0]})) == pytest.approx(0.052)
    assert evaluate(INDIVIDUAL_RETAINED.put_in({"P_above": 0.92, "P": 0.8348})) == pytest.approx(
        individual_retained([0.92, 0.8348])[1]
    )


@pytest.mark.parametrize(
    ("passing", "shares", "code"),
    [
        ({"a": [1.0]}, {}, "no_parts"),
        ({"a": [1.0]}, {"a": 0.5, "b": 0.5}, "source_missing"),
        ({"a": [1.0], "b": [1.0]}, {"a": 0.5, "b": 0.4}, "shares_do_not_sum_to_one"),
        ({"a": [1.0], "b": [1.0]}, {"a": 1.5, "b": -0.5}, "negative"),
        ({"a": [100.0]}, {"a": 1.0}, "out_of_range"),
        ({"a": [0.5, 0.8]}, {"a": 1.0}, "passing_rises"),
        ({"a": []}, {"a": 1.0}, "no_values"),
        ({"a": [1.0], "b": [1.0, 0.5]}, {"a": 0.5, "b": 0.5}, "sieves_differ"),
    ],
)
def test_refused(passing, shares, code):
    with pytest.raises(InputError) as refusal:
        combined_passing(passing, shares=shares)
    assert refusal.value.code == code


def test_band_of_other_length_refused():
    with pytest.raises(InputError) as refusal:
        within_band([1.0, 0.5], least=[1.0], most=[1.0])
    assert refusal.value.code == "sieves_differ"


def test_shares_in_a_band_keep_as_far_from_its_edges_as_any() -> None:
    """Coarse, fine and filler to a bituminous band: every blend in steps of one per cent, by brute force."""
    from loamwright.engine.blend.grading import shares_within

    curves = {
        "coarse": np.array([1.00, 0.63, 0.19, 0.08, 0.05, 0.03, 0.00]),
        "fine": np.array([1.00, 1.00, 1.00, 0.93, 0.55, 0.36, 0.03]),
        "filler": np.array([1.00, 1.00, 1.00, 1.00, 1.00, 0.97, 0.88]),
    }
    least, most = np.array([1.0, 0.75, 0.40, 0.32, 0.20, 0.12, 0.05]), np.array([1.0, 0.85, 0.55, 0.42, 0.30, 0.22, 0.11])

    def room(a: float, b: float, c: float) -> float:
        blend = a * curves["coarse"] + b * curves["fine"] + c * curves["filler"]
        return float(min((blend - least)[1:].min(), (most - blend)[1:].min()))

    found = shares_within(curves, least=least, most=most)
    assert found is not None
    best = max(room(a / 100, b / 100, 1 - a / 100 - b / 100) for a in range(101) for b in range(101 - a))
    assert room(*found.values()) >= best - 1e-9
    assert shares_within({"coarse": curves["coarse"]}, least=least, most=most) is None
