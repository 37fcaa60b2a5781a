"""Liquid limit: textbook curves, the k table of the one-point method, the line against SciPy, and readings that cannot be."""

from math import log10

import pytest
from scipy.stats import linregress, t

from loamwright.engine.soil.liquid_limit import (
    fall_cone,
    flow_index_of_ends,
    liquid_limit_cone,
    liquid_limit_flow_curve,
    liquid_limit_one_point,
    liquid_limit_two_points,
)
from loamwright.errors import InputError

# Das and Sobhan, Principles of Geotechnical Engineering, 9th ed., problem 4.3: 39.7 by the published answer.
WATERS, BLOWS = [0.42, 0.408, 0.391], [15, 20, 28]
# Points of no named document that do not fall: (24, 52) lies above (20, 46).
RISING_WATERS, RISING_BLOWS = [0.32, 0.35, 0.40, 0.46, 0.52], [48, 38, 29, 20, 24]


def codes(notes):
    return [note.code for note in notes]


def test_a_textbook_curve_both_ways():
    assert liquid_limit_flow_curve(WATERS, blows=BLOWS).liquid_limit == pytest.approx(0.397, abs=0.0005)
    assert liquid_limit_two_points(WATERS, blows=BLOWS) == pytest.approx(0.397, abs=0.0005)


def test_line_and_its_interval_against_scipy():
    """Intercept and its standard error with log10 of blows counted from 25; 90 % two-sided by Student's t, n − 2 = 2."""
    waters, blows = [0.28153, 0.28438, 0.28365, 0.28766], [26, 21, 20, 19]
    oracle = linregress([log10(count / 25) for count in blows], waters)
    found = liquid_limit_flow_curve(waters, blows=blows)
    assert found.liquid_limit == pytest.approx(oracle.intercept, rel=1e-10)
    assert found.slope == pytest.approx(-oracle.slope, rel=1e-10)
    assert found.half_width == pytest.approx(oracle.intercept_stderr * t.ppf(0.95, 2), rel=1e-9)


def test_order_of_trials_does_not_matter():
    forth, back = liquid_limit_flow_curve(WATERS, blows=BLOWS), liquid_limit_flow_curve(WATERS[::-1], blows=BLOWS[::-1])
    assert forth.liquid_limit == pytest.approx(back.liquid_limit, rel=1e-12)


def test_two_trials_leave_no_interval_and_say_so():
    found = liquid_limit_flow_curve([0.40, 0.36], blows=[20, 30])
    assert found.half_width is None and codes(found.notes) == ["limit_few_points"]


def test_a_limit_beyond_the_trials_and_trials_out_of_range_are_told():
    """20, 19 and 12 blows: all below 25, and 12 below 15."""
    found = liquid_limit_flow_curve([0.40, 0.405, 0.43], blows=[20, 19, 12])
    assert codes(found.notes) == ["limit_points_outside", "limit_beyond_points"]
    assert found.notes[0].values["outside"] == (12.0,)


def test_a_point_against_the_fall_is_named_and_real_scatter_is_not():
    assert liquid_limit_flow_curve(RISING_WATERS, blows=RISING_BLOWS).rising == (24,)
    # open laboratory data: 21 blows at 28.438 %, 20 blows at 28.365 %: a rise of 0.07 % is scatter
    assert liquid_limit_flow_curve([0.28153, 0.28438, 0.28365, 0.28766], blows=[26, 21, 20, 19]).rising == ()


def test_a_hand_drawn_reading_of_points_that_do_not_fall():
    """By hand: (24, 52) to (29, 40): 52 − 12 · log10(25/24)/log10(29/24) = 49.41; ends (48, 32), (20, 46): 14/log10(2.4) = 36.8."""
    assert liquid_limit_two_points(RISING_WATERS, blows=RISING_BLOWS) == pytest.approx(0.4941, abs=5e-5)
    assert flow_index_of_ends(RISING_WATERS, blows=RISING_BLOWS) == pytest.approx(0.368, abs=5e-4)


def test_a_trial_at_25_blows_is_the_limit_itself():
    assert liquid_limit_two_points([0.40, 0.35, 0.30], blows=[20, 25, 30]) == pytest.approx(0.35)


# ASTM D4318, factors k of method B (from memory, three decimals as printed)
K = {20: 0.973, 21: 0.979, 22: 0.985, 23: 0.990, 24: 0.995, 25: 1.000, 26: 1.005, 27: 1.009, 28: 1.014, 29: 1.018, 30: 1.022}


@pytest.mark.parametrize(("blows", "factor"), K.items())
def test_one_point_by_the_printed_factors(blows, factor):
    """Half of the last digit printed is all that is allowed."""
    found = liquid_limit_one_point(1.0, blows=blows)
    assert found.liquid_limit == pytest.approx(factor, abs=0.0005) and found.notes == ()


@pytest.mark.parametrize("blows", [19, 31])
def test_one_point_outside_its_range_is_computed_and_told(blows):
    assert codes(liquid_limit_one_point(0.3, blows=blows).notes) == ["one_point_blows"]


def test_cone_by_hand():
    """Water rises by 1 % a millimetre: at 20 mm, between 0.43 at 19 and 0.45 at 21, it is 0.44; by the lighter cone 0.34 at 10."""
    waters, depths = [0.40, 0.43, 0.45, 0.48], [16.0, 19.0, 21.0, 24.0]
    found = liquid_limit_cone(waters, penetrations=depths)
    assert (found.liquid_limit, found.slope) == (pytest.approx(0.44), pytest.approx(0.01))
    assert found.notes == ()
    lighter = liquid_limit_cone(waters, penetrations=depths, cone="60g_60deg")
    assert lighter.liquid_limit == pytest.approx(0.34)
    assert codes(lighter.notes) == ["limit_points_outside", "limit_beyond_points"]


def test_a_cone_reading_against_the_rise_is_named():
    """20 mm into 0.40, though 16 mm went into 0.43: drier and yet deeper."""
    assert liquid_limit_cone([0.43, 0.40, 0.46, 0.48], penetrations=[16.0, 20.0, 22.0, 24.0]).rising == (16.0,)


def test_cones_as_the_standards_have_them():
    """BS 1377-2 and ISO 17892-12 (from memory): 80 g, 30°, 20 mm; 60 g, 60°, 10 mm."""
    heavy, light = fall_cone("80g_30deg"), fall_cone("60g_60deg")
    assert (heavy["mass"], heavy["angle"], heavy["penetration"]) == (0.08, 30.0, 20.0)
    assert (light["mass"], light["angle"], light["penetration"]) == (0.06, 60.0, 10.0)


@pytest.mark.parametrize(
    ("compute", "code"),
    [
        (lambda: liquid_limit_flow_curve([0.3], blows=[25]), "too_few_values"),
        (lambda: liquid_limit_flow_curve([0.3, 0.4], blows=[25]), "lengths_differ"),
        (lambda: liquid_limit_flow_curve([0.3, 0.4], blows=[25, 25]), "columns_alike"),
        (lambda: liquid_limit_flow_curve([0.3, 0.4], blows=[20, 30]), "flow_curve_not_falling"),
        (lambda: liquid_limit_flow_curve([0.3, 0.4], blows=[0, 30]), "not_positive"),
        (lambda: liquid_limit_flow_curve([-0.3, 0.4], blows=[20, 30]), "negative"),
        (lambda: liquid_limit_two_points([0.3, 0.2], blows=[26, 30]), "blows_on_one_side"),
        (lambda: flow_index_of_ends([0.3, 0.2], blows=[26, 26]), "columns_alike"),
        (lambda: liquid_limit_one_point(0.3, blows=-1), "not_positive"),
        (lambda: liquid_limit_one_point(float("nan"), blows=25), "negative"),
        (lambda: liquid_limit_cone([0.4, 0.3], penetrations=[15, 20]), "cone_line_not_rising"),
        (lambda: liquid_limit_cone([0.3, 0.4], penetrations=[15, 20], cone="100g"), "unknown_cone"),
    ],
)
def test_what_cannot_be_is_refused(compute, code):
    with pytest.raises(InputError) as fault:
        compute()
    assert fault.value.code == code
