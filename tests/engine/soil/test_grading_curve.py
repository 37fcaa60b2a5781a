"""Grading curves by hand: sizes and shares between points, coefficients, joining, packing curves; and what is no curve."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright import tables
from loamwright.engine.soil import grading_curve as curves
from loamwright.engine.soil import packing
from loamwright.errors import InputError
from loamwright.formula import evaluate

SIZES = [4.75, 2.0, 0.85, 0.425, 0.25, 0.15, 0.075]
PASSING = [0.9546, 0.8865, 0.8088, 0.6013, 0.2431, 0.1037, 0.0389]


def test_sizes_by_hand():
    """A textbook's sieving (Das and Sobhan, data seen): D10 between 0.075 mm (3.89 %) and 0.15 mm (10.37 %).

    0.075 · 2^((10 - 3.89)/(10.37 - 3.89)) = 0.075 · 2^0.9429 = 0.1442 mm.
    """
    assert curves.size_at_passing(0.10, sizes=SIZES, passing=PASSING) == pytest.approx(0.1442, abs=5e-5)
    found = curves.size_at_passing(np.array([0.30, 0.60]), sizes=SIZES, passing=PASSING)
    # 0.25 · 1.7^((30 - 24.31)/35.82) = 0.2720; 0.25 · 1.7^((60 - 24.31)/35.82) = 0.4242
    assert found == pytest.approx([0.2720, 0.4242], abs=5e-5)


def test_a_share_between_two_sizes_by_hand():
    """1 mm lies halfway between 0.5 and 2 mm in the logarithm: halfway between 40 and 100 %."""
    assert curves.passing_at_size(1.0, sizes=[2.0, 0.5], passing=[1.0, 0.4]) == pytest.approx(0.70)
    assert curves.passing_at_size(np.array([0.5, 2.0]), sizes=[2.0, 0.5], passing=[1.0, 0.4]) == pytest.approx([0.4, 1.0])


@given(st.floats(0.05, 0.95))
def test_there_and_back(share):
    sizes, passing = [4.0, 1.0, 0.25, 0.06], [1.0, 0.7, 0.3, 0.05]
    size = curves.size_at_passing(share, sizes=sizes, passing=passing)
    assert curves.passing_at_size(size, sizes=sizes, passing=passing) == pytest.approx(share, abs=1e-9)


def test_a_level_stretch_gives_its_finer_end():
    """Gap-graded: nothing between 0.2 and 1 mm, so 40 % is finer than 0.2 mm already."""
    assert curves.size_at_passing(0.4, sizes=[2.0, 1.0, 0.2, 0.1], passing=[1.0, 0.4, 0.4, 0.1]) == pytest.approx(0.2)


def test_the_very_ends_of_a_curve_can_be_read():
    assert curves.size_at_passing(0.1, sizes=[2.0, 0.5, 0.1], passing=[1.0, 0.1, 0.1]) == pytest.approx(0.1)
    assert curves.size_at_passing(1.0, sizes=[4.0, 2.0, 0.5], passing=[1.0, 1.0, 0.1]) == pytest.approx(2.0)


def test_coefficients_by_hand():
    """0.4242/0.1442 = 2.94; 0.272²/(0.1442 · 0.4242) = 1.21."""
    assert curves.uniformity_coefficient(0.4242, d10=0.1442) == pytest.approx(2.942, abs=5e-4)
    assert curves.curvature_coefficient(0.272, d10=0.1442, d60=0.4242) == pytest.approx(1.2095, abs=5e-4)
    both = curves.uniformity_coefficient(np.array([0.6, 0.8]), d10=np.array([0.1, 0.1]))
    assert both == pytest.approx([6.0, 8.0])


@pytest.mark.parametrize(("exponent", "clay", "fines"), [(0.5, 0.020, 0.122), (0.25, 0.141, 0.350), (0.20, 0.209, 0.432)])
def test_packing_curves_of_5_mm(exponent, clay, fines):
    # Derived from p = (d/D)^n with D 5 mm, printed to 0.1 %: shares below 0.002 and 0.075 mm.
    found = packing.power_curve(np.array([0.002, 0.075]), largest_size=5.0, exponent=exponent)
    assert found == pytest.approx([clay, fines], abs=0.0005)


def test_exponents_of_the_packing_curves():
    # Fuller 0.5, roads 0.45, 0.33, earth blocks 0.25 and 0.20 (handbooks, memory)
    assert [row["exponent"] for row in tables.load("packing_curves")] == [0.5, 0.45, 0.33, 0.25, 0.20]


def test_distance_from_a_packing_curve_by_hand():
    """D 4 mm, n 0.5: 0.5 at 1 mm and 0.25 at 0.25 mm. 0.6 and 0.2 lie 0.1 above and 0.05 below: 0.075 on average."""
    found = packing.distance_from_power_curve([1.0, 0.6, 0.2], sizes=[4.0, 1.0, 0.25], largest_size=4.0, exponent=0.5)
    assert found.mean == pytest.approx(0.075)
    assert found.differences == pytest.approx([0.1, -0.05])
    itself = packing.power_curve(np.array([4.0, 1.0, 0.25]), largest_size=4.0, exponent=0.5)
    assert packing.distance_from_power_curve(itself, sizes=[4.0, 1.0, 0.25], largest_size=4.0, exponent=0.5).mean == 0.0


def test_joining_takes_sieves_above_and_sedimentation_below():
    found = curves.joined_curve([1.0, 0.5], sizes=[2.0, 0.075], fine_passing=[0.55, 0.45, 0.2], fine_sizes=[0.09, 0.05, 0.002])
    assert found.sizes.tolist() == [2.0, 0.075, 0.05, 0.002]
    assert found.passing.tolist() == [1.0, 0.5, 0.45, 0.2]
    assert (found.fine_points, found.notes[0].code, found.notes[0].values["count"]) == (2, "fine_points_left_out", 1)


def test_formulas_say_what_the_kernels_do():
    values = {"d_f": 0.075, "d_c": 0.15, "P": 0.10, "P_f": 0.0389, "P_c": 0.1037}
    for formula in (curves.D10, curves.D30, curves.D60, curves.SIZE_AT_PASSING):
        assert evaluate(formula.put_in(values)) == pytest.approx(0.1442, abs=5e-5)
    values = {"d": 1.0, "d_f": 0.5, "d_c": 2.0, "P_f": 0.4, "P_c": 1.0}
    for formula in (curves.PASSING_AT_SIZE, curves.CLAY_FRACTION, curves.SILT_AND_CLAY_FRACTION, curves.FINES_FRACTION):
        assert evaluate(formula.put_in(values)) == pytest.approx(0.7)
    assert evaluate(curves.UNIFORMITY.put_in({"D_60": 0.6, "D_10": 0.1})) == pytest.approx(6.0)
    assert evaluate(curves.CURVATURE.put_in({"D_30": 0.3, "D_60": 0.6, "D_10": 0.1})) == pytest.approx(1.5)
    assert evaluate(packing.POWER_CURVE.put_in({"d": 1.25, "D": 5.0, "n": 0.5})) == pytest.approx(0.5)
    assert evaluate(packing.MEAN_DISTANCE.put_in({"e_i": [0.1, 0.05]})) == pytest.approx(0.075)


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("no_values", lambda: curves.checked_curve([], [])),
        ("lengths_of_sieves", lambda: curves.checked_curve([1.0], [0.5, 0.6])),
        ("not_positive", lambda: curves.checked_curve([0.0, 1.0], [0.5, 0.6])),
        ("out_of_range", lambda: curves.checked_curve([0.5, 1.0], [0.5, 1.6])),
        ("sieve_twice", lambda: curves.checked_curve([1.0, 1.0], [0.5, 0.6])),
        ("curve_wrong_way", lambda: curves.checked_curve([2.0, 1.0], [0.5, 0.6])),
        ("share_below_curve", lambda: curves.size_at_passing(0.1, sizes=[2.0, 1.0], passing=[1.0, 0.5])),
        ("share_above_curve", lambda: curves.size_at_passing(0.95, sizes=[2.0, 1.0], passing=[0.9, 0.5])),
        ("size_off_curve", lambda: curves.passing_at_size(0.002, sizes=[2.0, 1.0], passing=[1.0, 0.5])),
        ("curve_too_short", lambda: curves.passing_at_size(1.0, sizes=[1.0], passing=[0.5])),
        ("curve_too_short", lambda: curves.size_at_passing(0.5, sizes=[1.0], passing=[0.5])),
        ("sizes_swapped", lambda: curves.uniformity_coefficient(0.1, d10=0.6)),
        ("sizes_swapped", lambda: curves.curvature_coefficient(0.3, d10=0.6, d60=0.1)),
        ("out_of_range", lambda: packing.power_curve(6.0, largest_size=5.0, exponent=0.5)),
        ("not_positive", lambda: packing.power_curve(1.0, largest_size=5.0, exponent=0.0)),
        (
            "curves_do_not_meet",
            lambda: curves.joined_curve([1.0, 0.5], sizes=[2.0, 0.075], fine_passing=[0.9], fine_sizes=[0.05]),
        ),
        (
            "no_fine_points",
            lambda: curves.joined_curve([1.0, 0.5], sizes=[2.0, 0.075], fine_passing=[0.4], fine_sizes=[0.09]),
        ),
        (
            "curve_too_short",
            lambda: packing.distance_from_power_curve([1.0], sizes=[4.0], largest_size=4.0, exponent=0.5),
        ),
    ],
)
def test_what_is_no_curve(code, call):
    with pytest.raises(InputError) as raised:
        call()
    assert raised.value.code == code


def test_a_curve_the_wrong_way_says_which_two_sizes():
    with pytest.raises(InputError) as raised:
        curves.checked_curve([2.0, 1.0, 0.5], [1.0, 0.4, 0.6])
    assert raised.value.values == {"finer_size": 0.5, "passing_finer": 0.6, "coarser_size": 1.0, "passing_coarser": 0.4}
