"""The strip of dots: every block keeps a tap of its own, and all strips of a page share one scale."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.web.strips import EDGE, TAP, WIDTH, scale_of, strip


def laid(values, asked=None):
    points = [(value, f"block {place}", f"/{place}") for place, value in enumerate(values)]
    return strip({"Batch 1": points}, scale=scale_of(values), mean=sum(values) / len(values), asked=asked or {}, ends=("0", "9"))


@given(st.lists(st.floats(0.1, 9.0), min_size=1, max_size=12))
def test_no_tap_covers_another_and_all_lie_on_the_paper(values):
    found = laid(values)
    (band,) = found.bands
    assert len(band.dots) == len(values)
    for one, other in itertools.combinations(band.dots, 2):
        assert abs(one.x - other.x) >= TAP - 0.11 or abs(one.y - other.y) >= TAP  # places are rounded to a tenth
    for dot in band.dots:
        assert EDGE <= dot.x <= WIDTH - EDGE and 0 < dot.y < found.base


def test_equal_blocks_lie_one_below_the_other():
    (band,) = laid([2.0, 2.0, 2.0]).bands
    assert len({dot.x for dot in band.dots}) == 1 and len({dot.y for dot in band.dots}) == 3


def test_a_scale_is_straight_and_rises():
    scale = scale_of([1.0, 3.0])
    # by hand: a twentieth of 2.0 to either side, 292 units across for 2.2: 14 + 292 x 0.1 / 2.2 = 27.3
    assert scale.x(1.0) == pytest.approx(27.3) and scale.x(2.0) == pytest.approx(160.0) and scale.x(3.0) == pytest.approx(292.7)


def test_limits_are_named_on_lines_of_their_own():
    found = laid([2.0, 3.0], {"each": 2.0, "mean": 2.1})
    assert [mark.words for mark in found.asked] == ["each", "mean"]
    assert found.asked[1].words_y - found.asked[0].words_y >= 18 and found.height > found.asked[1].words_y


def test_two_batches_are_named_and_one_is_not():
    points = [(2.0, "block", "/1")]
    scale = scale_of([2.0])
    two = strip({"Batch 1": points, "Batch 2": points}, scale=scale, mean=2.0, asked={}, ends=("0", "9"))
    assert [band.name for band in two.bands] == ["Batch 1", "Batch 2"] and laid([2.0]).bands[0].name == ""
