"""Envelopes and areas against geometry done another way, and bad curves."""

import numpy as np
import pytest

from loamwright.engine.blend.envelopes import chance_in_area, chance_in_envelope, grading_envelopes, plasticity_areas
from loamwright.errors import InputError


def _crossings(x: float, y: float, corners) -> bool:
    """Inside by the even-odd rule: a ray to the right crosses the border an odd number of times (textbook geometry)."""
    count = 0
    for (x0, y0), (x1, y1) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            count += 1
    return count % 2 == 1


def test_areas_by_the_even_odd_rule() -> None:
    random = np.random.default_rng(5)
    liquid, index = random.uniform(0.15, 0.65, 4000), random.uniform(0.0, 0.45, 4000)
    for area in plasticity_areas():
        other = np.mean([_crossings(x, y, area.corners) for x, y in zip(liquid, index, strict=True)])
        assert chance_in_area(liquid, plasticity_index=index, area=area) == pytest.approx(other, abs=1e-9)
        corner = area.corners[0]
        assert chance_in_area([corner[0]], plasticity_index=[corner[1]], area=area) == 1.0


def test_a_curve_along_the_middle_lies_inside_and_one_along_the_edge_too() -> None:
    for band in grading_envelopes():
        for share in (0.0, 0.5, 1.0):
            curve = {s: [a + share * (b - a)] for s, a, b in zip(band.sizes, band.least, band.most, strict=True)}
            assert chance_in_envelope(curve, envelope=band) == 1.0
        assert chance_in_envelope({band.sizes[0]: [band.most[0] + 0.01]}, envelope=band) == 0.0
        assert chance_in_envelope({band.sizes[0]: [band.least[0] - 0.01]}, envelope=band) == 0.0


def test_between_two_sizes_the_band_runs_straight_on_a_log_axis() -> None:
    """Halfway between 0.6 and 2 mm in logarithms the band is halfway between its two rows."""
    band = grading_envelopes()[0]
    size = (0.6 * 2.0) ** 0.5
    least = (band.least[5] + band.least[6]) / 2
    assert chance_in_envelope({size: [least + 1e-6]}, envelope=band) == 1.0
    assert chance_in_envelope({size: [least - 1e-6]}, envelope=band) == 0.0


def test_limits_at_single_sieves_ask_nothing_between() -> None:
    """NBR 10833 (memory): all passes 4.75 mm, 10 to 50 % passes 0.075 mm; what passes 0.6 mm is not its business."""
    band = next(each for each in grading_envelopes() if each.key == "nbr-10833-sieves")
    assert chance_in_envelope({0.075: [0.30], 0.6: [0.31], 4.75: [1.0]}, envelope=band) == 1.0
    assert chance_in_envelope({0.075: [0.30], 4.75: [0.98]}, envelope=band) == 0.0
    with pytest.raises(InputError, match="no_draws"):
        chance_in_envelope({0.6: [0.5]}, envelope=band)


def test_power_curves_by_hand() -> None:
    """Grains to 5 mm: (0.002/5)^0.25 = 14.1 %, (0.075/5)^0.25 = 35.0 %; with 0.20 it is 20.9 and 43.2 % (hand calculation)."""
    band = next(each for each in grading_envelopes() if each.key == "earth-block-power-curves")
    assert band.at(0.002) == (pytest.approx(0.141, abs=0.0005), pytest.approx(0.209, abs=0.0005))
    assert band.at(5.0) == (1.0, 1.0)
    assert chance_in_envelope({0.06: [(0.06 / 5) ** 0.22]}, envelope=band) == 1.0


def test_areas_bulge_outwards() -> None:
    """Every corner turns the same way, as the sides are used one by one."""
    for area in plasticity_areas():
        ring = [*area.corners, *area.corners[:2]]
        turns = [
            (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
            for a, b, c in zip(ring, ring[1:], ring[2:], strict=False)
        ]
        assert all(turn > 0 for turn in turns) or all(turn < 0 for turn in turns)


def test_bands_rise_and_hold_room() -> None:
    for band in grading_envelopes():
        assert list(band.sizes) == sorted(band.sizes)
        room = [high - low for low, high in zip(band.least, band.most, strict=True)]
        assert all(each > 0 or high == 1.0 for each, high in zip(room, band.most, strict=True))
        assert list(band.least) == sorted(band.least)


def test_a_curve_outside_the_sizes_says_nothing() -> None:
    with pytest.raises(InputError, match="no_draws"):
        chance_in_envelope({75.0: [1.0]}, envelope=grading_envelopes()[0])
    with pytest.raises(InputError, match="no_draws"):
        chance_in_area([], plasticity_index=[], area=plasticity_areas()[0])
