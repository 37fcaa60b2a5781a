"""Sizes, densities, length changes and water of a cured block, each by hand from the formula of its source."""

import pytest

from loamwright.engine.block import absorption, size
from loamwright.errors import InputError


def test_a_side_is_the_mean_of_its_readings_with_its_spread() -> None:
    """(294 + 295 + 296.5) / 3 = 295.167; 296.5 - 294 = 2.5."""
    found = size.side([294.0, 295.0, 296.5])
    assert found.mean == pytest.approx(295.1667, abs=1e-4) and found.spread == 2.5 and found.notes == ()
    assert size.side([294.0]).spread is None
    assert [note.code for note in size.side([294.0, 295.0]).notes] == ["fewer_than_three_readings"]


def test_a_hollow_block_by_hand() -> None:
    """300 x 150 mm with two holes of 60 mm: 2 x 2827.43 = 5654.87 mm², 12.57 % of 45000; net 39345.13 mm²."""
    holes = 2 * 3.14159265 / 4 * 60**2
    assert size.net_area(300.0, block_width=150.0, void_area=holes) == pytest.approx(39345.13, abs=0.01)
    assert size.void_share(holes, gross_area=45000.0) == pytest.approx(0.12566, abs=1e-5)


def test_net_volume_and_dry_density() -> None:
    """295 x 140 x 90 mm is 0.003717 m³; a frog of 0.1 l leaves 0.003617 m³; 6.99 kg dry in it is 1932.5 kg/m³."""
    net = size.net_volume(0.003717, void_volume=0.0001)
    assert size.block_dry_density(6.99, net_volume=net) == pytest.approx(1932.54, abs=0.01)


def test_change_of_length_either_way() -> None:
    """0.3 mm of 200 mm is 0.15 %, the most IS 1725:2013 allows on saturation (memory)."""
    assert size.block_swell(200.0, length_after=200.3) == pytest.approx(0.0015)
    assert size.block_shrinkage(200.0, length_after=199.7) == pytest.approx(0.0015)
    assert size.block_shrinkage(200.0, length_after=200.3) == pytest.approx(-0.0015)


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("no_values", lambda: size.side([])),
        ("not_positive", lambda: size.side([0.0])),
        ("voids_fill_block", lambda: size.net_area(100.0, block_width=100.0, void_area=10000.0)),
        ("negative", lambda: size.net_volume(0.003, void_volume=-0.001)),
        ("voids_fill_block", lambda: size.void_share(2.0, gross_area=2.0)),
        ("not_positive", lambda: size.block_swell(0.0, length_after=1.0)),
        ("lighter_after_soak", lambda: absorption.water_absorption(6.9, dry_mass=7.0)),
        ("boiled_below_cold", lambda: absorption.saturation_coefficient(7.8, dry_mass=7.0, boiled_mass=7.7)),
        ("lighter_after_rise", lambda: absorption.initial_suction(7.0, block_mass_after=6.9, contact_area=1.0)),
        ("not_positive", lambda: absorption.initial_suction(7.0, block_mass_after=7.1, contact_area=0.0)),
        ("negative_time", lambda: absorption.root_of_time([7.0, 7.1], contact_times=[-1.0, 1.0], contact_area=1.0)),
        ("too_few_values", lambda: absorption.root_of_time([7.0], contact_times=[1.0], contact_area=1.0)),
        ("lengths_differ", lambda: absorption.root_of_time([7.0, 7.1], contact_times=[1.0], contact_area=1.0)),
    ],
)
def test_bad_values_are_refused_by_name(code, call) -> None:
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == code


def test_absorption_after_a_day() -> None:
    """100 (m_wet - m_dry)/m_dry (common practice): (8.05 - 7.00)/7.00 = 15 %, the limit of several rules."""
    assert absorption.water_absorption(8.05, dry_mass=7.00) == pytest.approx(0.15)
    assert absorption.saturation_coefficient(7.84, dry_mass=7.00, boiled_mass=8.05) == pytest.approx(0.80)


def test_the_capillary_coefficient_by_the_formula_of_the_french_rule() -> None:
    """Cb = 100 M/(S √t), M in g, S in cm², t in min: 400 g on 413 cm² in 10 min is 40000/(413 x 3.16228) = 30.627."""
    found = absorption.capillarity(7.0, block_mass_after=7.4, contact_area=41300.0)
    assert found.capillary_coefficient == pytest.approx(30.627, abs=1e-3)
    assert (found.class_key, found.notes) == ("weakly", ())


@pytest.mark.parametrize(("coefficient", "key"), [(19.9, "very_weakly"), (20.1, "weakly"), (39.9, "weakly"), (40.1, "strongly")])
def test_classes_of_capillarity(coefficient, key) -> None:
    """20 and 40 g/(100 cm² √min), XP P13-901:2001 (memory)."""
    gain = coefficient * 413.0 * 10**0.5 / 100 / 1000
    assert absorption.capillarity(7.0, block_mass_after=7.0 + gain, contact_area=41300.0).class_key == key


def test_another_time_of_contact_is_said() -> None:
    found = absorption.capillarity(7.0, block_mass_after=7.4, contact_area=41300.0, contact_minutes=9.0)
    assert found.capillary_coefficient == pytest.approx(100 * 400 / (413 * 3)) and found.notes[0].code == "capillary_time_other"


def test_initial_suction_and_slope_over_the_root_of_time() -> None:
    """82.6 g on 0.0413 m² in one minute is 2.0 kg/(m² min); gains 0, 1, 2, 3 kg/m² at 0, 1, 4, 9 min lie on a line of slope 1."""
    assert absorption.initial_suction(7.0, block_mass_after=7.0826, contact_area=41300.0) == pytest.approx(2.0)
    masses = [7.0, 7.0413, 7.0826, 7.1239]
    found = absorption.root_of_time(masses, contact_times=[0.0, 1.0, 4.0, 9.0], contact_area=41300.0)
    assert found.absorption_coefficient == pytest.approx(1.0) and found.residual == pytest.approx(0.0, abs=1e-9)
