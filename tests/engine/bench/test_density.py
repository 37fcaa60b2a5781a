"""Struck pails by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import density


def test_three_struck_pails() -> None:
    # Hand: fills 29.10, 29.40, 29.25 kg moist, mean 29.25; dry at 3 %: 28.2524, 28.5437, 28.3981, mean 28.3981;
    # deviations -0.14563, +0.14563, 0: sd = sqrt(2 x 0.14563^2 / 2) = 0.14563. In 20 l: 1419.9 and 7.28 kg/m3.
    pails = density.struck_pails([29.80, 30.10, 29.95], tare_mass=0.70, water_content=0.03, pail_volume=0.020)
    assert pails.count == 3
    assert pails.moist_mass == pytest.approx(29.25, abs=1e-9)
    assert pails.dry_mass == pytest.approx(28.3981, abs=0.00005)
    assert pails.dry_mass_sd == pytest.approx(0.14563, abs=0.000005)
    assert pails.loose_dry_density == pytest.approx(1419.9, abs=0.05)
    assert pails.loose_dry_density_sd == pytest.approx(7.28, abs=0.005)
    assert pails.notes == ()


# Hand: 20 l at 1.42 and 1.12 kg/l hold 28.4 and 22.4 kg.
@pytest.mark.parametrize(("dry_kg", "kg_per_litre"), [(28.4, 1.42), (22.4, 1.12)])
def test_twenty_litre_pail(dry_kg: float, kg_per_litre: float) -> None:
    found = density.loose_dry_density(dry_kg, tare_mass=0.0, pail_volume=0.020, water_content=0.0)
    assert found / 1000 == pytest.approx(kg_per_litre, rel=1e-12)


def test_cement_bag_in_a_box() -> None:
    # Zimbabwe technical advice note 2, pages 9 to 11: 50 kg in 30 x 30 x 30 cm is 1852 kg/m3, arithmetic only (too dense).
    found = density.loose_dry_density(50.0, tare_mass=0.0, pail_volume=0.30**3, water_content=0.0)
    assert found == pytest.approx(1852, rel=0.001)


def test_one_pail_has_no_spread() -> None:
    pails = density.struck_pails([29.8], tare_mass=0.7, water_content=0.0, pail_volume=0.02)
    assert (pails.dry_mass_sd, pails.loose_dry_density_sd) == (None, None)
    assert [(note.code, note.values["count"]) for note in pails.notes] == [("fewer_than_three_weighings", 1)]


def test_without_a_volume_there_is_no_density() -> None:
    pails = density.struck_pails([29.8, 30.1, 29.9], tare_mass=0.7, water_content=0.0)
    assert (pails.loose_dry_density, pails.loose_dry_density_sd) == (None, None)
    assert pails.dry_mass == pytest.approx((29.1 + 29.4 + 29.2) / 3, rel=1e-12)


@given(fills=st.lists(st.floats(5.0, 60.0), min_size=1, max_size=6), content=st.floats(0.0, 0.3))
def test_order_of_pails_is_irrelevant(fills: list[float], content: float) -> None:
    one = density.struck_pails(fills, tare_mass=0.5, water_content=content, pail_volume=0.03)
    other = density.struck_pails(fills[::-1], tare_mass=0.5, water_content=content, pail_volume=0.03)
    assert one.loose_dry_density == pytest.approx(other.loose_dry_density, rel=1e-12)
    assert one.loose_dry_density == pytest.approx(one.dry_mass / 0.03, rel=1e-9)
