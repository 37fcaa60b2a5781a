"""Splitting, rates of loading, rigs against known loads, and slips behind strengths that are not to be believed."""

from math import pi

import pytest

from loamwright.engine.bench import bending, strength
from loamwright.engine.block import rigs, slips, splitting
from loamwright.errors import InputError


def test_splitting_by_hand_and_back() -> None:
    """2 P/(π L D): 20 kN on a cylinder of 100 x 200 mm is 40000/(π x 200 x 100) = 0.6366 MPa."""
    found = splitting.splitting_strength(20.0, split_length=200.0, split_depth=100.0)
    assert found == pytest.approx(0.63662, abs=1e-5)
    assert rigs.load_to_split(found, split_length=200.0, split_depth=100.0) == pytest.approx(20.0)


def test_a_pocket_penetrometer_shows_kilogram_force_on_its_quarter_inch_piston() -> None:
    """1 kgf is 9.80665 N on π/4 x 6.35² = 31.669 mm²: 0.30966 MPa."""
    found = splitting.penetration_resistance(0.00980665, piston_diameter=6.35)
    assert found == pytest.approx(9.80665 / (pi / 4 * 6.35**2))
    assert found == pytest.approx(0.30966, abs=1e-5)


def test_new_mexico_bending_rate_reaches_its_strength_in_six_seconds() -> None:
    """500 psi/min reaches 50 psi in 6 s (the job); a bucket that takes 2 min is 20 times slower."""
    quick = splitting.stress_rate(0.344738, loading_minutes=0.1)
    (by_stress, by_force) = splitting.rule_rates("bend", stress_rate=quick, force_rate=2.2241)
    assert by_stress.over_rule == pytest.approx(1.0, abs=1e-4) and by_stress.notes == () and by_force.notes == ()
    (slow, _) = splitting.rule_rates("bend", stress_rate=splitting.stress_rate(0.344738, loading_minutes=2.0), force_rate=1.0)
    assert slow.notes[0].code == "rate_slow" and slow.notes[0].values["times"] == pytest.approx(20.0, abs=0.01)


def test_rates_of_the_rules_in_their_own_units() -> None:
    """500 psi/min = 3.447 MPa/min; 140 kPa/s = 8.4 MPa/min; 50 kgf/s = 29.42 kN/min; 500 lbf/min = 2.224 kN/min."""
    crush = {each.key: each.wanted for each in splitting.rule_rates("crush", stress_rate=1.0, force_rate=1.0)}
    assert crush["nmac-crush"] == pytest.approx(500 * 0.006894757) and crush["d1633"] == pytest.approx(0.140 * 60)
    assert crush["nbr-8492"] == pytest.approx(50 * 0.00980665 * 60)
    bend = {each.key: each.wanted for each in splitting.rule_rates("bend", stress_rate=1.0, force_rate=1.0)}
    assert bend["ibc-bend"] == pytest.approx(500 * 0.004448222)


def test_a_jack_against_known_loads_by_hand() -> None:
    """(9·10 + 17·20 + 46·50)/(100 + 400 + 2500) = 2730/3000 = 0.91; factors 0.9, 0.85, 0.92."""
    found = rigs.jack_factor([9.0, 17.0, 46.0], read_forces=[10.0, 20.0, 50.0])
    assert found.jack_factor == pytest.approx(0.91) and found.notes == ()
    # single factors lie 0.01, 0.06 and 0.01 from it: √((0.0001 + 0.0036 + 0.0001)/2)/0.91
    assert found.scatter == pytest.approx((0.0038 / 2) ** 0.5 / 0.91)
    assert [note.code for note in rigs.jack_factor([9.0], read_forces=[10.0]).notes] == ["few_known_loads"]
    assert "factor_unsteady" in [note.code for note in rigs.jack_factor([9.0, 14.0, 48.0], read_forces=[10.0, 20.0, 50.0]).notes]


def test_a_lever_by_scale_and_by_arms_is_the_lever_of_the_bench() -> None:
    """Arms 1200 and 200 mm, bare lever 2.8 kg balanced at 600 mm: ratio 6, own 8.4 kg; 20.1 kg hung press with 129 kg."""
    found = rigs.lever_by_scale([0.0, 10.0, 20.1], scale_masses=[8.4, 68.4, 129.0])
    assert (found.lever_ratio, found.lever_own) == (pytest.approx(6.0), pytest.approx(8.4))
    ratio = rigs.lever_ratio(1200.0, block_arm=200.0)
    own = rigs.lever_own(2.8, lever_centre=600.0, block_arm=200.0)
    arms = {"load_arm": 1200.0, "block_arm": 200.0, "lever_mass": 2.8, "lever_centre": 600.0}
    assert rigs.mass_to_hang(1.512, lever_ratio=ratio, lever_own=own) == pytest.approx(bending.mass_to_hang(1.512, **arms))


def test_nineteen_kilograms_on_an_eight_to_one_lever() -> None:
    """The job: 295 x 140 x 90 on 250 mm at 0.5 MPa needs 1512 N, about 19 kg on 8:1 with its own effect; 3 MPa flat needs 124 kN."""
    force = bending.load_to_bend(0.5, span=250.0, block_width=140.0, thickness=90.0)
    assert rigs.mass_to_hang(force, lever_ratio=8.0, lever_own=0.0) == pytest.approx(19.27, abs=0.01)
    crush = strength.load_to_crush(3.0, block_length=295.0, block_width=140.0)
    gauge = rigs.gauge_for_force(crush, ram_area=10258.0, jack_factor=0.9)
    assert strength.jack_force(gauge, ram_area=10258.0, jack_factor=0.9) == pytest.approx(123.9)


# --- slips ---

RANGE = {"least_strength": 0.3, "most_strength": 12.0, "expected_strength": 2.5}


def test_the_owner_builders_force_multiplied_by_the_ram_again() -> None:
    """20,000 lbf times 3.14 in² is 62,800 lbf; over 52 in² it is 1208 psi, and 385 psi = 2.65 MPa read as a force (the job)."""
    in2 = 645.16
    wrong = 62_800 / 52 * 0.006894757
    reading = slips.Reading("load", "lbf", 52 * in2, 3.14 * in2, 0.9)
    found = slips.slips(wrong, reading=reading, **RANGE)
    (twice,) = [slip for slip in found if slip.name == "ram_area_twice"]
    assert twice.strength == pytest.approx(385 * 0.006894757, abs=0.005) and twice.area == pytest.approx(3.14)
    assert found[0] is twice


def test_pounds_and_kilograms_and_kilonewton() -> None:
    """By hand from the definitions: 1 kgf = 0.00980665 kN, 1 lbf = 0.0044482216 kN."""
    found = slips.slips(300.0, reading=slips.Reading("load", "kN"), **RANGE)
    assert {slip.other: slip.strength for slip in found} == {
        "kgf": pytest.approx(300 * 0.00980665),
        "lbf": pytest.approx(300 * 0.0044482216),
        "N": pytest.approx(0.3),
    }
    assert found[0].other == "kgf"


def test_psi_on_a_gauge_typed_as_megapascal() -> None:
    """1800 psi is 12.41 MPa; typed as bar it would be 180 MPa."""
    found = slips.slips(300.0, reading=slips.Reading("gauge", "MPa", ram_area=1e4), **RANGE)
    assert found[0].other == "psi" and found[0].strength == pytest.approx(300 * 0.006894757)
    assert {slip.name for slip in found} == {"other_unit"}


def test_a_gauge_taken_for_the_stress_in_the_block() -> None:
    """1800 psi x 15.9 in² / 36 in² = 795 psi done right (the job); as a stress it would be 1800 psi = 12.41 MPa; 795 is 5.48."""
    in2 = 645.16
    reading = slips.Reading("load", "lbf", 36 * in2, 15.9 * in2, 1.0)
    found = {slip.name: slip.strength for slip in slips.slips(1800 * 0.006894757, reading=reading, **RANGE)}
    assert found["gauge_as_stress"] == pytest.approx(795 * 0.006894757)


def test_a_gauge_number_typed_as_the_load() -> None:
    """1800 lbf over 36 in² is 50 psi = 0.345 MPa; 1800 psi on a ram of 15.9 in² is 795 psi = 5.48 MPa."""
    in2 = 645.16
    reading = slips.Reading("load", "lbf", 36 * in2, 15.9 * in2, 1.0)
    found = slips.slips(50 * 0.006894757, reading=reading, **RANGE)
    (gauge,) = [slip for slip in found if slip.name == "gauge_as_load"]
    assert gauge.other == "psi" and gauge.strength == pytest.approx(795 * 0.006894757)


def test_no_slip_is_offered_that_explains_nothing() -> None:
    """Every other unit of a gauge is larger than a kilopascal: none brings 25 MPa down."""
    assert slips.slips(25.0, reading=slips.Reading("gauge", "kPa"), **RANGE) == ()


def test_soaked_above_dry_needs_more_than_chance() -> None:
    """Means 3.1 and 2.0, variances 0.01: difference 1.1 over √(0.01/3 + 0.01/3) = 0.08165 is 13.5 standard errors."""
    found = slips.wet_against_dry([3.0, 3.2, 3.1], dry_strengths=[2.0, 2.1, 1.9])
    assert found.wet_to_dry == pytest.approx(1.55) and found.apart == pytest.approx(13.47, abs=0.01) and found.above
    assert not slips.wet_against_dry([2.0, 3.0, 2.6], dry_strengths=[2.0, 2.1, 3.0]).above
    assert not slips.wet_against_dry([1.5, 1.6, 1.4], dry_strengths=[3.0, 3.1, 2.9]).above


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("no_values", lambda: rigs.jack_factor([], read_forces=[])),
        ("lengths_of_loads", lambda: rigs.jack_factor([1.0], read_forces=[1.0, 2.0])),
        ("out_of_range", lambda: rigs.jack_factor([10.0], read_forces=[1.0])),
        ("lever_turns_back", lambda: rigs.lever_by_scale([0.0, 10.0], scale_masses=[20.0, 10.0])),
        ("columns_alike", lambda: rigs.lever_by_scale([5.0, 5.0], scale_masses=[20.0, 20.0])),
        ("negative", lambda: rigs.mass_to_hang(-1.0, lever_ratio=8.0, lever_own=0.0)),
        ("not_positive", lambda: splitting.stress_rate(1.0, loading_minutes=0.0)),
        ("no_values", lambda: splitting.mean_penetration([])),
        ("too_few", lambda: slips.wet_against_dry([1.0, 1.1], dry_strengths=[1.0, 1.1, 1.2])),
        ("not_positive", lambda: slips.slips(0.0, reading=slips.Reading("load", "kN"), **RANGE)),
        ("unknown_unit", lambda: slips.slips(1.0, reading=slips.Reading("load", "stone"), **RANGE)),
    ],
)
def test_bad_values_are_refused_by_name(code, call) -> None:
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == code
