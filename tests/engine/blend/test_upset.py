"""What upsets a blend, against a figure of the trade, mass balances by hand, and gradings that still add up."""

import numpy as np
import pytest

from loamwright.engine.blend.search import Ground
from loamwright.engine.blend.upset import Change, bulked, changed, damp_by_weight, heaped, reweighed, upset
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError

CLAY = Window("clay", "clay", 0.10, 0.20, "judgement-windows", "judgement")


def test_bulked_sand_as_a_worked_example_of_the_trade_has_it() -> None:
    """Five pails of sandy soil (1.50 kg/l, 8 % clay), two of clay soil (1.10 kg/l, 45 %): 16.4 %; bulked by 25 %: 17.9 %.

    Worked example of a bench book of the trade; by hand (5·1.5·0.08 + 2·1.1·0.45) / (7.5 + 2.2) and with 7.5 / 1.25.
    """
    ground = Ground.of({"sandy": 1.50, "clay": 1.10}, {"clay": {"sandy": 0.08, "clay": 0.45}})
    found = upset({"sandy": 5, "clay": 2}, ground=ground, windows=[CLAY], change=bulked("sandy", bulking=0.25))
    assert round(100 * found.before["clay"], 1) == 16.4
    assert round(100 * found.after["clay"], 1) == 17.9
    assert found.shares_before["sandy"] == pytest.approx(7.5 / 9.7)
    assert found.shares_after["sandy"] == pytest.approx(6.0 / 8.2)


def test_a_pail_weighed_again_is_the_same_as_bulking() -> None:
    """27 kg struck at 12.5 % water is 24 kg dry in a pail that held 30: bulked by a quarter."""
    again = reweighed("sand", pail_dry_mass=27.0 / 1.125, earlier_pail_dry_mass=30.0)
    assert again.mass_factor == pytest.approx(bulked("sand", bulking=0.25).mass_factor)


def test_damp_soil_by_weight_brings_water_instead_of_soil() -> None:
    """50 kg of damp sand at 5 % water hold 50 / 1.05 kg of dry sand."""
    assert 50 * damp_by_weight("sand", water_content=0.05).mass_factor == pytest.approx(50 / 1.05)


def test_two_things_wrong_together() -> None:
    """By hand: clay heaped by 15 %, sand bulked by 25 %: (23·0.4 + 48·0.05) / 71."""
    ground = Ground.of({"clay": 20.0, "sand": 30.0}, {"clay": {"clay": 0.40, "sand": 0.05}})
    change, also = heaped("clay", heap=0.15), [bulked("sand", bulking=0.25)]
    found = upset({"clay": 1, "sand": 2}, ground=ground, windows=[CLAY], change=change, also=also)
    assert found.after["clay"] == pytest.approx((23 * 0.4 + 48 * 0.05) / 71)
    assert found.changes == (change, *also)
    assert found.spreads_after["clay"].median == found.after["clay"]


def test_a_fatter_pit_still_adds_up_to_one() -> None:
    """Clay from 20 to 25 %: 75/80 of every other grain is left; what passes 0.06 mm goes from 50 to 25 + 30·75/80 = 53.125 %."""
    random = np.random.default_rng(2)
    clay = random.uniform(0.15, 0.25, 50)
    held = {
        "clay": {"pit": clay},
        "silt": {"pit": np.full(50, 0.30)},
        "sand": {"pit": 0.70 - clay},
        "fines": {"pit": clay + 0.30},
        "passing_0.001": {"pit": 0.5 * clay},
        "passing_0.06": {"pit": clay + 0.30},
        "passing_5": {"pit": np.ones(50)},
    }
    ground = Ground.of({"pit": 20.0}, held)
    fatter = changed(ground, change=Change("pit", 1.0, {"clay": 1.25})).held
    assert fatter["clay"][0] == pytest.approx(1.25 * clay)
    assert (fatter["clay"] + fatter["silt"] + fatter["sand"])[0] == pytest.approx(np.ones(50))
    assert fatter["fines"][0] == pytest.approx((fatter["clay"] + fatter["silt"])[0])
    assert fatter["passing_0.06"][0] == pytest.approx(fatter["fines"][0])
    assert fatter["passing_0.001"][0] == pytest.approx(0.625 * clay)
    assert fatter["passing_5"][0] == pytest.approx(np.ones(50))
    sure = Ground.of({"pit": 20.0}, {"clay": {"pit": 0.20}, "fines": {"pit": 0.50}})
    assert float(changed(sure, change=Change("pit", 1.0, {"clay": 1.25})).held["fines"][0, 0]) == pytest.approx(0.53125)
    assert ground.held["clay"][0] == pytest.approx(clay)  # what was believed before is left as it was


def test_an_unchanged_blend_stays_as_it_is() -> None:
    ground = Ground.of({"clay": 20.0, "sand": 30.0}, {"clay": {"clay": np.linspace(0.3, 0.5, 40), "sand": 0.05}})
    found = upset({"clay": 1, "sand": 2}, ground=ground, windows=[CLAY], change=Change("clay"))
    assert found.before == found.after
    assert found.chance_before == found.chance_after
    assert found.shares_before == found.shares_after


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (Change("z"), "source_missing"),
        (Change("clay", 0.0), "not_positive"),
        (Change("clay", 1.0, {"silt": 1.2}), "not_known_of_every_source"),
        (Change("clay", 1.0, {"clay": -1.0}), "not_positive"),
    ],
)
def test_what_cannot_be_changed_is_said(change, code) -> None:
    ground = Ground.of({"clay": 20.0, "sand": 30.0}, {"clay": {"clay": 0.40, "sand": 0.05}})
    with pytest.raises(InputError) as caught:
        upset({"clay": 1, "sand": 2}, ground=ground, windows=[CLAY], change=change)
    assert caught.value.code == code


@pytest.mark.parametrize(
    "make",
    [
        lambda: heaped("a", heap=-0.1),
        lambda: damp_by_weight("a", water_content=1.5),
        lambda: reweighed("a", pail_dry_mass=0.0, earlier_pail_dry_mass=30.0),
    ],
)
def test_impossible_changes_are_refused(make) -> None:
    with pytest.raises(InputError, match=r"out_of_range|not_positive"):
        make()
