"""Warmth from cure steps by hand; forecasts of mixes whose blocks are all too young."""

from datetime import date

import pytest
from tests.trials import quantity

from loamwright.project import ageing, choosing
from loamwright.project.finding import Finding


def _batch(trial, stabiliser="cement"):
    sandy, clay = trial.two_guessed("Bank sand", "Red clay")
    bag = trial.write("stabiliser", {"name": "bag", "type": stabiliser, "bag_mass": quantity("50", "kg")})
    mix = trial.mix({sandy: 5, clay: 2}, bag, "6")
    return mix, trial.batch(mix, "6")


def _step(trial, batch, on, cold, hot):
    body = {"batches": [batch], "step": "checked", "on": on, "coldest": quantity(cold, "degC"), "hottest": quantity(hot, "degC")}
    return trial.write("cure_step", body)


def test_warmth_by_hand(trial):
    """Pressed on the 1st: 4 days at 15 °C and 3 at 25 °C are 135 °C d; frost after that adds none."""
    _, batch = _batch(trial)
    block = trial.write(
        "block", {"batch": batch, "mark": "1007", "green_mass": quantity("4.4", "kg"), "height": quantity("90", "mm")}
    )
    pressed = trial.state.moment(trial.state.fact(block, "block")).date()
    days = [date.fromordinal(pressed.toordinal() + n).isoformat() for n in (4, 7, 9)]
    for day, cold, hot in zip(days, ("10", "20", "-8"), ("20", "30", "-2"), strict=True):
        _step(trial, batch, day, cold, hot)
    later = date.fromordinal(pressed.toordinal() + 30)
    found = dict(ageing.warmth(trial.state, batch, later))
    assert found["maturity"].value == pytest.approx(4 * 15 + 3 * 25)
    assert found["equivalent_age"].value > 0
    assert len(found["maturity"].entries()) == 3
    assert dict(ageing.warmth(trial.state, batch, date.fromisoformat(days[0])))["maturity"].value == pytest.approx(60)


def test_without_temperatures_nothing_is_said(trial):
    _, batch = _batch(trial)
    assert ageing.warmth(trial.state, batch, date(2030, 1, 1)) == ()


def test_young_blocks_forecast_the_judging_age_and_old_ones_end_it(trial):
    """Seven-day blocks of cement: the middle lies between 1/0.75 and 1/0.6 of them (7 over 28 days, from memory)."""
    trial.brief("2.4", "2.0")
    _, batch = _batch(trial)
    trial.crushed(batch, [1.5, 1.6, 1.7], "2026-03-09")
    found = choosing.choosing(trial.state).comparison
    mix = next(each for each in found.mixes if not each.counted)
    told = ageing.forecast(trial.state, mix, batch_spread=found.batch_spread)
    if told is None:
        pytest.fail(f"no forecast: {[(each.reason, each.block.age_days) for each in mix.set_aside]}")
    assert isinstance(told, Finding)
    age = mix.set_aside[0].block.age_days
    assert told.band.low < told.value < told.band.high
    assert told.value == pytest.approx(1.6 * (mix.wanted_age / age) ** 0.31, rel=0.01)
