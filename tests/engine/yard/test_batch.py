"""One batch: dose, water, volume, blocks, against figures worked by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.yard.batch import (
    BATCH_WATER,
    BLOCKS_PER_BATCH,
    DOSE_REACHED,
    PRESS_MINUTES,
    WATER_IN_SOIL,
    Yard,
    batch_water,
    dose_reached,
    loose_volume,
    recipe,
    water_in_soil,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

LB, GALLON_OF_WATER = 0.45359237, 8.33  # kg; lb of water in a US gallon


def yard(**changes):
    given_values = {
        "pail_dry_mass": {"sandy": 28.0, "clay": 23.0},
        "pail_volume": 0.020,
        "bag_mass": 50.0,
        "mixer_volume": 0.6,
        "press_rate": 1.5,
        "hold_limit_minutes": 60.0,
        "dry_block_mass": 7.0,
    }
    return Yard(**{**given_values, **changes})


def batch(sets=3, bags=1.0, water=0.04, parts=None, **changes):
    return recipe(
        parts or {"sandy": 5, "clay": 2},
        sets=sets,
        bags=bags,
        yard=yard(**changes),
        stabiliser_of_total=0.08,
        target_water_content=0.10,
        water_content={"sandy": water, "clay": water},
    )


@pytest.mark.parametrize(("bag", "dose"), [(50.0, 0.0822), (42.5, 0.0708)])
def test_a_smaller_bag_lowers_the_dose(bag, dose):
    # 3 sets of 5 pails of 28 kg and 2 of 23 kg: 558 kg; 50/608 = 8.22 %, 42.5/600.5 = 7.08 %.
    found = batch(bag_mass=bag)
    assert found.dry_soil_mass == 558.0
    assert found.stabiliser_of_total == pytest.approx(dose, abs=0.00005)


@pytest.mark.parametrize(("sets", "dose"), [(2, 0.0627), (3, 0.0427)])
def test_half_bag_in_small_sets(sets, dose):
    # Half a 50 kg bag, pails of 28.4 and 22.4 kg: 186.8 kg a set; 25/398.6 = 6.27 %, 25/585.4 = 4.27 %.
    found = batch(sets=sets, bags=0.5, pail_dry_mass={"sandy": 28.4, "clay": 22.4})
    assert found.stabiliser_of_total == pytest.approx(dose, abs=0.00005)


@pytest.mark.parametrize(("bags", "dose"), [(2.0, 0.0628), (2.5, 0.0772), (3.0, 0.0913)])
def test_scoops_and_bags_in_pounds(bags, dose):
    # Quarter-yard scoops (6.75 ft3), 3 sandy at 92 and 2 clay at 70 lb/ft3: 1,863 + 945 = 2,808 lb; 94 lb bags.
    scoops = {"sandy": 6.75 * 92 * LB, "clay": 6.75 * 70 * LB}
    found = batch(sets=1, bags=bags, parts={"sandy": 3, "clay": 2}, pail_dry_mass=scoops, bag_mass=94 * LB)
    assert found.dry_soil_mass / LB == pytest.approx(2808)
    assert found.stabiliser_of_total == pytest.approx(dose, abs=0.00005)


def test_water_of_the_scoop_batch():
    # 10 % of 3,043 lb is 304 lb, less 84 lb in soil of 3 % moisture: 220 lb or 26.4 gallons.
    scoops = {"sandy": 6.75 * 92 * LB, "clay": 6.75 * 70 * LB}
    found = batch(sets=1, bags=2.5, parts={"sandy": 3, "clay": 2}, pail_dry_mass=scoops, bag_mass=94 * LB, water=0.03)
    assert found.water_in_soil / LB == pytest.approx(84, abs=0.5)
    assert found.water_to_add / LB == pytest.approx(220, abs=0.5)
    assert found.water_to_add / LB / GALLON_OF_WATER == pytest.approx(26.4, abs=0.05)
    # A rainy morning at 7 % holds 197 lb: adding the same 26.4 gallons would make 13.7 %, so only 108 lb may be added.
    wet = batch(sets=1, bags=2.5, parts={"sandy": 3, "clay": 2}, pail_dry_mass=scoops, bag_mass=94 * LB, water=0.07)
    assert wet.water_in_soil / LB == pytest.approx(197, abs=0.5)
    total = wet.dry_soil_mass + wet.stabiliser_mass
    assert (wet.water_in_soil + found.water_to_add) / total == pytest.approx(0.137, abs=0.0005)
    assert wet.water_to_add / LB == pytest.approx(304.3 - 196.6, abs=0.5)


def test_water_of_a_laboratory_batch():
    # 10.00 kg soil at 4 %: 9.615 dry, 0.614 cement, target 1.023, already 0.385, add 0.638 kg.
    found = batch_water(
        {"soil": 1},
        pail_dry_mass={"soil": 9.615},
        water_content={"soil": 0.04},
        stabiliser_mass=0.614,
        target_water_content=0.10,
    )
    assert found == pytest.approx(0.638, abs=0.0005)


def test_water_of_a_yard_batch():
    # 558 kg at 4 % hold 22.3 kg; with 37 kg added to a batch with a 42.5 kg bag the mix is at 9.9 % of 600.5 kg.
    found = batch(bag_mass=42.5)
    assert found.water_in_soil == pytest.approx(22.3, abs=0.05)
    assert (found.water_in_soil + 37) / (found.dry_soil_mass + found.stabiliser_mass) == pytest.approx(0.099, abs=0.0005)


def test_stock_too_wet_is_noted_and_not_hidden():
    found = batch(water=0.13)
    assert found.water_to_add < 0
    assert [note.code for note in found.notes] == ["soil_too_wet"]


def test_volume_blocks_and_minutes():
    # 21 pails of 20 l: 0.42 m3, and 50 kg of cement at 1,440 kg/m3: 0.0347; 608/7 = 86.9 blocks; 86/1.5 = 57.3 min.
    found = batch(stabiliser_loose_density=1440.0)
    assert found.loose_volume == pytest.approx(0.42 + 0.0347, abs=0.0001)
    assert found.blocks == 86
    assert found.press_minutes == pytest.approx(57.33, abs=0.01)
    assert loose_volume(21, stabiliser_mass=50.0, yard=yard()) == pytest.approx(0.42)


@given(
    st.dictionaries(st.sampled_from("abc"), st.integers(1, 8), min_size=1),
    st.integers(1, 5),
    st.integers(1, 8),
    st.fixed_dictionaries({name: st.floats(5.0, 60.0) for name in "abc"}),
    st.fixed_dictionaries({name: st.floats(0.0, 0.2) for name in "abc"}),
)
def test_mass_is_conserved(parts, sets, half_bags, pails, moisture):
    place = yard(pail_dry_mass=pails)
    arguments = {"yard": place, "stabiliser_of_total": 0.06, "target_water_content": 0.10, "water_content": moisture}
    found = recipe(parts, sets=sets, bags=half_bags / 2, **arguments)
    dry = math.fsum(found.pails[name] * pails[name] for name in parts)
    assert found.dry_soil_mass == pytest.approx(dry, rel=1e-12)
    assert found.stabiliser_mass == half_bags / 2 * place.bag_mass
    water = math.fsum(found.pails[name] * pails[name] * moisture[name] for name in parts) + found.water_to_add
    assert water == pytest.approx(0.10 * (dry + found.stabiliser_mass), rel=1e-9)
    assert found.blocks * place.dry_block_mass <= dry + found.stabiliser_mass + 1e-6
    assert dry + found.stabiliser_mass < (found.blocks + 1) * place.dry_block_mass
    backwards = recipe(dict(reversed(parts.items())), sets=sets, bags=half_bags / 2, **arguments)
    assert backwards == found


def test_formulas():
    found = batch()
    dose = evaluate(DOSE_REACHED.put_in({"bags": 1, "B": 50, "sets": 3, "S_1": 186}))
    assert dose == pytest.approx(dose_reached(1, bag_mass=50.0, dry_soil_mass=558.0)) == found.stabiliser_of_total
    held = evaluate(WATER_IN_SOIL.put_in({"v_1": 15, "m_1": 28, "w_1": 0.04, "v_2": 6, "m_2": 23, "w_2": 0.04}))
    pails = {"sandy": 15, "clay": 6}
    moisture = {"sandy": 0.04, "clay": 0.04}
    assert held == pytest.approx(water_in_soil(pails, pail_dry_mass={"sandy": 28.0, "clay": 23.0}, water_content=moisture))
    added = evaluate(BATCH_WATER.put_in({"omega": 0.10, "S": 558, "C": 50, "W_in": held}))
    assert added == pytest.approx(found.water_to_add)
    assert evaluate(BLOCKS_PER_BATCH.put_in({"S": 558, "C": 50, "m_b": 7})) == found.blocks
    assert evaluate(PRESS_MINUTES.put_in({"n": found.blocks, "q": 1.5})) == pytest.approx(found.press_minutes)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"sets": 0}, "not_positive"),
        ({"sets": 1.5}, "not_whole"),
        ({"bags": 0}, "not_half_bags"),
        ({"bags": 0.75}, "not_half_bags"),
        ({"bags": math.nan}, "not_half_bags"),
        ({"parts": {"gravel": 1}}, "source_missing"),
        ({"water": -0.01}, "negative"),
        ({"bag_mass": 0.0}, "not_positive"),
        ({"press_rate": -1.0}, "not_positive"),
        ({"stabiliser_loose_density": 0.0}, "not_positive"),
    ],
)
def test_refused(changes, code):
    with pytest.raises(InputError) as refusal:
        batch(**changes)
    assert refusal.value.code == code


def test_moisture_of_a_source_missing():
    with pytest.raises(InputError) as refusal:
        water_in_soil({"a": 1}, pail_dry_mass={"a": 20.0}, water_content={})
    assert refusal.value.code == "source_missing"
