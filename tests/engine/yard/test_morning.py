"""Morning check: scale against water, pails, moisture."""

import pytest

from loamwright.engine.yard.batch import Yard, recipe
from loamwright.engine.yard.morning import PAIL_ERROR, SCALE_ERROR, morning_check, pail_check, scale_check
from loamwright.errors import InputError
from loamwright.formula import evaluate

YARD = Yard(
    {"sandy": 28.0, "clay": 23.0},
    pail_volume=0.02,
    bag_mass=50.0,
    mixer_volume=0.6,
    press_rate=2.0,
    hold_limit_minutes=60.0,
    dry_block_mass=7.0,
)
BATCH = recipe(
    {"sandy": 5, "clay": 2},
    sets=3,
    bags=1,
    yard=YARD,
    stabiliser_of_total=0.08,
    target_water_content=0.10,
    water_content={"sandy": 0.04, "clay": 0.04},
)


def morning(water_reading=9.98, pails=None, moisture=0.04):
    return morning_check(
        BATCH,
        yard=YARD,
        water_reading=water_reading,
        water_volume=0.010,
        pail_readings={"sandy": 28.0 * (1 + moisture), "clay": 23.0 * (1 + moisture)} if pails is None else pails,
        water_content={"sandy": moisture, "clay": moisture},
        target_water_content=0.10,
    )


def test_ten_litres_of_water():
    # Ten litres of water at 20 degC weigh 9.982 kg (physical tables: 998.2 kg/m3).
    found = scale_check(9.982, water_volume=0.010)
    assert found.expected == pytest.approx(9.982, abs=0.0005)
    assert found.error == pytest.approx(0.0, abs=5e-5)
    # At 30 degC it is 995.7 kg/m3.
    assert scale_check(9.957, water_volume=0.010, water_temperature=30.0).error == pytest.approx(0.0, abs=1e-4)
    assert scale_check(9.5, water_volume=0.010).error == pytest.approx(-0.0483, abs=0.0001)


@pytest.mark.parametrize(("reading", "within"), [(9.90, True), (9.87, False), (10.07, True), (10.10, False)])
def test_scale_tolerance_of_one_percent(reading, within):
    # 1 % of 9.982 kg is 0.0998 kg: 9.882 to 10.082 pass.
    assert scale_check(reading, water_volume=0.010).within is within


@pytest.mark.parametrize(("reading", "within"), [(29.12, True), (28.3, True), (28.2, False), (30.1, False)])
def test_pail_tolerance_of_three_percent(reading, within):
    # 28 kg dry at 4 % is 29.12 kg; 3 % of it is 0.87 kg: 28.25 to 29.99 pass.
    assert pail_check(reading, pail_dry_mass=28.0, water_content=0.04).within is within


def test_all_well():
    found = morning()
    assert found.notes == ()
    # 10 % of 608 kg is 60.8; 558 kg at 4 % hold 22.32: add 38.48 kg.
    assert found.water_to_add == pytest.approx(38.48)


def test_after_rain_less_water_is_added():
    # At 7 % the stock holds 39.06 kg: 21.74 kg are left to add.
    assert morning(moisture=0.07).water_to_add == pytest.approx(21.74)
    assert [note.code for note in morning(moisture=0.12).notes] == ["soil_too_wet"]


def test_what_is_off_is_named():
    found = morning(water_reading=9.5, pails={"sandy": 29.12, "clay": 26.0})
    assert [note.code for note in found.notes] == ["scale_off", "pail_off"]
    assert found.notes[1].values["source"] == "clay"


def test_formulas():
    scale = scale_check(9.5, water_volume=0.010)
    assert evaluate(SCALE_ERROR.put_in({"R": 9.5, "V": 0.010, "rho_w": scale.expected / 0.010})) == pytest.approx(
        scale.error, abs=1e-5
    )
    pail = pail_check(28.2, pail_dry_mass=28.0, water_content=0.04)
    assert evaluate(PAIL_ERROR.put_in({"R": 28.2, "m": 28.0, "w": 0.04})) == pytest.approx(pail.error)


def test_refused():
    for call, code in [
        (lambda: scale_check(0.0, water_volume=0.01), "not_positive"),
        (lambda: scale_check(9.9, water_volume=0.01, tolerance=-0.1), "negative"),
        (lambda: pail_check(28.0, pail_dry_mass=28.0, water_content=-0.1), "negative"),
        (lambda: morning(pails={"sandy": 29.0}), "source_missing"),
    ]:
        with pytest.raises(InputError) as refusal:
            call()
        assert refusal.value.code == code
