"""Shape factors against the printed tables."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.block.shape import (
    SHAPE_FACTOR,
    UNCONFINED_STRENGTH,
    shape_factor,
    shape_tables,
    unconfined_strength,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate


@pytest.mark.parametrize(("ratio", "factor"), [(0.4, 0.5), (0.7, 0.6), (1.0, 0.7), (3.0, 0.85), (5.0, 1.0)])
def test_krefeld_points(ratio, factor):
    # Case block-01: Krefeld factors as used for earth units (NZS 4298, HB 195), from memory; tolerance 0.005.
    found = shape_factor(ratio, table="krefeld")
    assert found.factor == pytest.approx(factor, abs=0.005)
    assert found.notes == ()


@pytest.mark.parametrize(("ratio", "factor"), [(0.4, 0.25), (0.7, 0.40), (1.0, 0.58), (3.0, 0.90), (5.0, 1.00)])
def test_heathcote_jankulovski_points(ratio, factor):
    # Heathcote and Jankulovski 1992, from memory, typed here apart from the data file.
    assert shape_factor(ratio, table="heathcote-jankulovski").factor == pytest.approx(factor, abs=0.005)


@pytest.mark.parametrize(("table", "factor"), [("krefeld", 0.58), ("heathcote-jankulovski", 0.37)])
def test_linear_between_points(table, factor):
    # Handbook check value: h/t 0.64 gives 0.58 and 0.37. By hand: 0.50 + 0.24/0.30*0.10 and 0.25 + 0.24/0.30*0.15.
    found = shape_factor(0.64, table=table)
    assert found.factor == pytest.approx(factor, abs=0.0005)
    points = {
        "x": 0.64,
        "x_0": found.below.height_to_thickness,
        "x_1": found.above.height_to_thickness,
        "k_0": found.below.factor,
        "k_1": found.above.factor,
    }
    assert evaluate(SHAPE_FACTOR.put_in(points)) == pytest.approx(found.factor, abs=1e-9)


def test_table_is_always_named():
    for table in shape_tables():
        found = shape_factor(0.5, table=table)
        assert (found.table, found.standing) == (table, "memory")
        assert found.table_name
        assert found.source


def test_outside_the_table_is_noted():
    low = shape_factor(0.2, table="krefeld")
    # Line from 0 at 0 to 0.50 at 0.4: 0.25 at 0.2.
    assert (low.factor, low.notes[0].code) == (pytest.approx(0.25), "below_shape_table")
    high = shape_factor(6.0, table="krefeld")
    assert (high.factor, high.notes[0].code) == (1.0, "above_shape_table")


@given(st.floats(0.05, 8.0), st.floats(0.05, 8.0), st.sampled_from(["krefeld", "heathcote-jankulovski"]))
def test_taller_is_never_less(one, other, table):
    low, high = sorted((one, other))
    assert shape_factor(low, table=table).factor <= shape_factor(high, table=table).factor + 1e-12
    assert 0 < shape_factor(low, table=table).factor <= 1


def test_unconfined_strength():
    # A flat block of 3.0 MPa at h/t 0.64 by Krefeld: 0.58 * 3.0 = 1.74 MPa.
    factor = shape_factor(0.64, table="krefeld")
    assert unconfined_strength(3.0, factor=factor) == pytest.approx(1.74)
    assert evaluate(UNCONFINED_STRENGTH.put_in({"k": 0.58, "f": 3.0})) == pytest.approx(1.74)


@pytest.mark.parametrize(
    ("ratio", "table", "code"),
    [
        (0.0, "krefeld", "not_positive"),
        (-1.0, "krefeld", "not_positive"),
        (math.nan, "krefeld", "not_positive"),
        (1.0, "nobody", "unknown_shape_table"),
    ],
)
def test_refused(ratio, table, code):
    with pytest.raises(InputError) as refusal:
        shape_factor(ratio, table=table)
    assert refusal.value.code == code


def test_negative_strength_refused():
    with pytest.raises(InputError) as refusal:
        unconfined_strength(-1.0, factor=shape_factor(1.0, table="krefeld"))
    assert refusal.value.code == "negative"
