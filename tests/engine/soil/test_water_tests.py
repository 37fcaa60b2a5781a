"""Oven moisture, drying, bulking, tamped density and grain density by hand and against published figures; and what is none."""

import numpy as np
import pytest

from loamwright import tables
from loamwright.engine.soil import water_tests
from loamwright.errors import InputError
from loamwright.formula import evaluate


def test_three_tins_by_hand():
    """10/100, 11/100 and 12/100 of dry soil: mean 11 %, 2 % of 11 % apart."""
    found = water_tests.tins([0.112, 0.114, 0.116], dry_masses=[0.102, 0.103, 0.104], tare_masses=[0.002, 0.003, 0.004])
    assert found.water_contents == pytest.approx([0.10, 0.11, 0.12])
    assert found.mean == pytest.approx(0.11)
    assert found.apart == pytest.approx(0.02 / 0.11)


def test_one_tin_or_dry_tins_have_no_spread():
    assert water_tests.tins([0.11], dry_masses=[0.10], tare_masses=[0.0]).apart is None
    assert water_tests.tins([0.10, 0.10], dry_masses=[0.10, 0.10], tare_masses=[0.0, 0.0]).apart is None


def test_drying_by_hand():
    """0.3 g of 200 g of dry soil in 2 h is 0.075 % in an hour, below the 0.1 % of ASTM D2216 (memory)."""
    found = water_tests.drying_rate(0.2503, mass_after=0.2500, tare_mass=0.0500, hours=2.0)
    assert found == pytest.approx(0.00075)
    assert found < tables.figure("soil_water", "constant-rate-most") == 0.001


def test_bulking_of_the_teaching_pages():
    # Seen on a teaching page: 200 mm damp to 160 mm flooded is 25 %; at 40 % bulking a pail holds up to 29 % less sand (derived).
    assert water_tests.bulking(200.0, flooded_height=160.0) == pytest.approx(0.25)
    assert water_tests.volume_shortfall(0.40) == pytest.approx(0.29, abs=0.005)
    assert water_tests.volume_shortfall(np.array([0.0, 0.25])) == pytest.approx([0.0, 0.2])


@pytest.mark.parametrize(
    ("celsius", "printed"), [(15.0, 1.00090), (18.0, 1.00039), (20.0, 1.00000), (22.0, 0.99957), (25.0, 0.99884), (30.0, 0.99744)]
)
def test_the_temperature_coefficient_of_d854(celsius, printed):
    # ASTM D854 table 2, temperature coefficient K = ρ_w(T)/ρ_w(20) (memory), five decimals. Grains of which a litre takes the
    # place of a litre of water have G = 1 at the test, so K is what is left.
    found = water_tests.specific_gravity(1.0, filled_pycnometer=2.0, pycnometer_with_soil=2.0, temperature=celsius)
    assert found == pytest.approx(printed, abs=0.000015)


def test_a_pycnometer_by_hand():
    """At 20 °C: 50.00 g of soil in a bottle of 648.50 g full, 679.63 g with soil: 50/(50 + 648.50 - 679.63) = 50/18.87 = 2.6497."""
    found = water_tests.specific_gravity(0.0500, filled_pycnometer=0.6485, pycnometer_with_soil=0.67963, temperature=20.0)
    assert found == pytest.approx(2.6497, abs=5e-5)


def test_a_bottle_weighed_at_another_temperature_by_hand():
    """498.5 g of water at 20 °C are 498.5 · 0.99884 = 497.92 g at 25 °C (K of ASTM D854, memory): 647.92 g with the bottle of 150 g."""
    found = water_tests.filled_pycnometer(0.6485, empty_pycnometer=0.1500, calibrated_at=20.0, temperature=25.0)
    assert found == pytest.approx(0.64792, abs=1e-5)


def test_tamped_over_loose_by_hand():
    assert water_tests.tamped_to_loose(np.array([1650.0]), loose_dry_density=np.array([1320.0])) == pytest.approx([1.25])


def test_least_masses_and_oven_of_d2216():
    """ASTM D2216-19: 20 g for 2 mm, 5 kg for 75 mm by method A (memory); 110 ± 5 °C, 60 °C for gypsum (seen)."""
    least = {row["largest_size"]: row["least_mass"] for row in tables.load("moisture_samples")}
    assert (least[2.0], least[75.0], len(least)) == (0.020, 5.0, 6)
    assert [tables.figure("soil_water", key) for key in ("oven-least", "oven-most", "gentle-most")] == [105.0, 115.0, 60.0]


def test_formulas_say_what_the_kernels_do():
    assert evaluate(water_tests.MEAN_WATER_CONTENT.put_in({"w_i": [0.10, 0.11, 0.12]})) == pytest.approx(0.11)
    line = water_tests.DRYING_RATE.put_in({"m_1": 0.2503, "m_2": 0.25, "m_tare": 0.05, "t": 2.0})
    assert evaluate(line) == pytest.approx(0.00075)
    assert evaluate(water_tests.BULKING.put_in({"h_damp": 200.0, "h_wet": 160.0})) == pytest.approx(0.25)
    assert evaluate(water_tests.SHORTFALL.put_in({"b": 0.25})) == pytest.approx(0.2)
    assert evaluate(water_tests.TAMPED_TO_LOOSE.put_in({"rho_t": 1650.0, "rho_l": 1320.0})) == pytest.approx(1.25)
    values = {"m_c": 0.6485, "m_p": 0.15, "rho_T": 997.05, "rho_c": 998.21}
    assert evaluate(water_tests.PYCNOMETER_FILLED.put_in(values)) == pytest.approx(0.64792, abs=1e-5)
    values = {"m_s": 0.05, "m_pw": 0.6485, "m_pws": 0.67963, "rho_T": 998.21, "rho_20": 998.21}
    assert evaluate(water_tests.SPECIFIC_GRAVITY.put_in(values)) == pytest.approx(2.6497, abs=5e-5)
    assert evaluate(water_tests.GRAIN_DENSITY.put_in({"G_s": 2.65, "rho_20": 998.21})) == pytest.approx(2645.26, abs=0.01)


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("no_values", lambda: water_tests.tins([], dry_masses=[], tare_masses=[])),
        ("lengths_of_tins", lambda: water_tests.tins([0.1], dry_masses=[0.1, 0.1], tare_masses=[0.0])),
        ("wet_below_dry", lambda: water_tests.tins([0.1], dry_masses=[0.2], tare_masses=[0.0])),
        ("dry_not_above_tare", lambda: water_tests.tins([0.3], dry_masses=[0.2], tare_masses=[0.2])),
        ("not_positive", lambda: water_tests.drying_rate(0.25, mass_after=0.25, tare_mass=0.05, hours=0.0)),
        ("dry_not_above_tare", lambda: water_tests.drying_rate(0.25, mass_after=0.05, tare_mass=0.05, hours=1.0)),
        ("flooded_above_damp", lambda: water_tests.bulking(160.0, flooded_height=200.0)),
        ("not_positive", lambda: water_tests.bulking(160.0, flooded_height=0.0)),
        ("negative", lambda: water_tests.volume_shortfall(-0.1)),
        ("loose_above_tamped", lambda: water_tests.tamped_to_loose(1300.0, loose_dry_density=1400.0)),
        (
            "pycnometer_not_filled",
            lambda: water_tests.filled_pycnometer(0.15, empty_pycnometer=0.6, calibrated_at=20.0, temperature=25.0),
        ),
        (
            "soil_displaces_nothing",
            lambda: water_tests.specific_gravity(0.05, filled_pycnometer=0.65, pycnometer_with_soil=0.71, temperature=20.0),
        ),
        (
            "out_of_range",
            lambda: water_tests.specific_gravity(0.05, filled_pycnometer=0.65, pycnometer_with_soil=0.68, temperature=90.0),
        ),
    ],
)
def test_what_cannot_be(code, call):
    with pytest.raises(InputError) as raised:
        call()
    assert raised.value.code == code
