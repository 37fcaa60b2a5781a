"""Swelling by hand and by printed figures; crumbs and dried balls in water."""

import pytest

from loamwright.engine.soil.slaking import crumb_grade, slake_class
from loamwright.engine.soil.swelling import (
    blue_class,
    blue_of_whole,
    expansion_index,
    expansion_index_at_half,
    free_swell,
    free_swell_index,
    jar_swell,
    methylene_blue_value,
    swell_potential,
)
from loamwright.errors import InputError


def test_free_swell_index():
    """IS 2720-40: 18 ml in water, 12 ml in kerosene: 50 %. Kaolin may settle closer in water: below zero is kept."""
    assert free_swell_index(18e-6, volume_in_kerosene=12e-6) == pytest.approx(0.5)
    assert free_swell_index(9e-6, volume_in_kerosene=12e-6) == pytest.approx(-0.25)


def test_free_swell_of_powder():
    """Holtz and Gibbs: 10 ml that settle to 22 ml swell by 120 %."""
    assert free_swell(22e-6, poured_volume=10e-6) == pytest.approx(1.2)


@pytest.mark.parametrize(("height", "told"), [(69.0, True), (51.0, True), (72.0, False), (48.0, False)])
def test_a_jar_that_moves_like_loose_soil_is_told(height, told):
    """Practice: loose soil moves by up to 15 % by itself; 60 mm may stand at 51 to 69 without any swelling."""
    assert bool(jar_swell(height, fill_height=60.0).notes) == told


def test_expansion_index_and_its_correction():
    """ASTM D4829: thousandths of the height. The job's check value: 60 at 45 % is 56.4; at 50 % nothing changes."""
    assert expansion_index(1.524, specimen_height=25.4) == pytest.approx(60.0)
    assert expansion_index_at_half(60.0, saturation=0.45) == pytest.approx(56.4, abs=0.05)
    assert expansion_index_at_half(60.0, saturation=0.50) == pytest.approx(60.0)
    assert expansion_index_at_half(60.0, saturation=0.55) > 60.0


def test_methylene_blue():
    """10 g/l: 90 ml hold 0.9 g; in 60 g of soil 1.5 g to 100 g. Of a soil of which 40 % was tested: 0.6."""
    value = methylene_blue_value(90e-6, dry_mass=0.060)
    assert value == pytest.approx(0.015)
    assert blue_of_whole(value, share_tested=0.4) == pytest.approx(0.006)


@pytest.mark.parametrize(
    ("grams_to_100_g", "name"),
    [
        (0.0, "insensitive"),
        (0.2, "sandy_silty"),
        (1.5, "silty"),
        (2.5, "silty_clayey"),
        (6.0, "clayey"),
        (8.0, "very_clayey"),
    ],
)
def test_classes_of_blue(grams_to_100_g, name):
    """NF P11-300, from memory: 0.2, 1.5, 2.5, 6, 8."""
    assert blue_class(grams_to_100_g / 100) == name


@pytest.mark.parametrize(("index", "swell"), [(15, 1.60), (20, 3.23), (25, 5.56), (35, 12.65)])
def test_swell_by_plasticity(index, swell):
    """Seed and others: 2.16e-3 I_p^2.44, both in per cent; check values of the job."""
    assert 100 * swell_potential(index / 100) == pytest.approx(swell, abs=0.005)


def test_the_worst_look_at_a_crumb_counts():
    assert crumb_grade([1, 3, 2]) == 3


@pytest.mark.parametrize(
    ("minutes", "left", "grade"),
    [
        (4 / 60, None, 1),
        (20 / 60, None, 2),
        (4.0, None, 3),
        (6.0, 0.20, 4),
        (None, 0.05, 3),
        (None, 0.10, 4),
        (None, 0.25, 5),
        (None, 0.75, 6),
        (None, 1.0, 6),
        (None, None, None),
    ],
)
def test_classes_of_slaking(minutes, left, grade):
    """Herrick and others 2001, from memory: 5 s, 30 s, 5 min; under 10, 10 to 25, 25 to 75, over 75 % left after five dips."""
    assert slake_class(minutes, left_after_dips=left) == grade


@pytest.mark.parametrize(
    ("compute", "code"),
    [
        (lambda: free_swell_index(18e-6, volume_in_kerosene=0.0), "not_positive"),
        (lambda: free_swell(0.0, poured_volume=1e-5), "not_positive"),
        (lambda: jar_swell(60.0, fill_height=0.0), "not_positive"),
        (lambda: expansion_index(1.0, specimen_height=-1.0), "not_positive"),
        (lambda: expansion_index_at_half(60.0, saturation=0.70), "out_of_range"),
        (lambda: expansion_index_at_half(-1.0, saturation=0.5), "negative"),
        (lambda: methylene_blue_value(-1e-6, dry_mass=0.06), "negative"),
        (lambda: methylene_blue_value(1e-6, dry_mass=0.0), "not_positive"),
        (lambda: blue_of_whole(0.01, share_tested=40.0), "out_of_range"),
        (lambda: blue_of_whole(0.01, share_tested=0.0), "not_positive"),
        (lambda: blue_class(-0.1), "negative"),
        (lambda: swell_potential(-0.1), "negative"),
        (lambda: crumb_grade([]), "too_few_values"),
        (lambda: crumb_grade([5]), "out_of_range"),
        (lambda: slake_class(0.0), "not_positive"),
        (lambda: slake_class(None, left_after_dips=1.1), "out_of_range"),
    ],
)
def test_what_cannot_be_is_refused(compute, code):
    with pytest.raises(InputError) as fault:
        compute()
    assert fault.value.code == code
