"""Dose: tables and figures worked by hand, conversions there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import dose
from loamwright.engine.bench.dose import Dose

CEMENT, LIME, SOIL = 1440.0, 500.0, 1250.0
shares = st.floats(0.001, 0.5)
densities = st.floats(300.0, 1800.0)
masses = st.floats(0.01, 5000.0)


# Hand table of the trade: r = p/(1 - p) and p = r/(1 + r), in per cent, two decimals as printed.
@pytest.mark.parametrize(
    ("per_cent", "of_soil", "of_total"),
    [(4, 4.17, 3.85), (5, 5.26, 4.76), (6, 6.38, 5.66), (8, 8.70, 7.41), (10, 11.11, 9.09), (9, 9.89, 8.26)],
)
def test_the_two_percentages(per_cent: float, of_soil: float, of_total: float) -> None:
    assert 100 * dose.per_dry_soil_from_of_total(per_cent / 100) == pytest.approx(of_soil, abs=0.005)
    assert 100 * dose.of_total_from_dry_soil(per_cent / 100) == pytest.approx(of_total, abs=0.005)


# Hand: cement 1.44 kg/l or lime 0.5 kg/l to n volumes of soil at 1.25 kg/l, one decimal as printed.
@pytest.mark.parametrize(
    ("n", "cement", "lime"), [(8, 12.6, 4.8), (10, 10.3, 3.8), (12, 8.8, 3.2), (16, 6.7, 2.4), (18, 6.0, 2.2)]
)
def test_one_to_n_by_volume(n: float, cement: float, lime: float) -> None:
    for density, expected in ((CEMENT, cement), (LIME, lime)):
        found = dose.of_total_from_volumes(n, stabiliser_loose_density=density, soil_loose_density=SOIL)
        assert 100 * found == pytest.approx(expected, abs=0.05)


def test_one_to_ten_of_a_heavier_blend() -> None:
    # Hand: 1.44 / (1.44 + 10 x 1.32) = 9.84 %; 1.44 / 13.2 = 10.91 % of soil.
    said = dose.in_every_convention(Dose(10, "by_volume_one_to_n"), stabiliser_loose_density=CEMENT, soil_loose_density=1320.0)
    assert 100 * said.of_total_dry_mix == pytest.approx(9.8, abs=0.05)
    assert 100 * said.of_dry_soil == pytest.approx(10.9, abs=0.05)
    assert said.one_to_n == pytest.approx(10.0, rel=1e-12)


# Hand: 2,808 lb of dry soil, bags of 94 lb; 558 kg with a 50 and a 42.5 kg bag; pails of 28.4 and 22.4 kg, 5 + 2 a set.
@pytest.mark.parametrize(
    ("stabiliser", "soil", "per_cent"),
    [
        pytest.param(2.0 * 94, 2808, 6.28, id="two bags of 94 lb"),
        pytest.param(2.5 * 94, 2808, 7.72, id="two and a half"),
        pytest.param(3.0 * 94, 2808, 9.13, id="three"),
        pytest.param(50.0, 558, 8.22, id="a 50 kg bag"),
        pytest.param(42.5, 558, 7.08, id="a 42.5 kg bag"),
        pytest.param(25.0, 2 * (5 * 28.4 + 2 * 22.4), 6.27, id="half bag, two sets"),
        pytest.param(25.0, 3 * (5 * 28.4 + 2 * 22.4), 4.27, id="half bag, three sets"),
    ],
)
def test_dose_of_whole_bags(stabiliser: float, soil: float, per_cent: float) -> None:
    assert 100 * dose.stabiliser_of_total(stabiliser, dry_soil_mass=soil) == pytest.approx(per_cent, abs=0.005)


def test_masses_of_a_dose() -> None:
    # Hand: 2,808 x 0.07 / 0.93 = 211.4 lb; 50 kg at 6 % serves 833 kg in all, 783 kg of it soil.
    assert dose.stabiliser_mass(2808, stabiliser_of_total=0.07) == pytest.approx(211.4, abs=0.05)
    soil = dose.dry_soil_mass(50 / 0.06, stabiliser_of_total=0.06)
    assert soil == pytest.approx(783.3, abs=0.05)
    assert dose.total_dry_mass(soil, stabiliser_of_total=0.06) == pytest.approx(833.3, abs=0.05)


def test_eight_per_cent_means_two_masses() -> None:
    # Hand: 8 % of 100 kg soil is 8.00 kg, 8 % of the total is 8.70 kg.
    of_soil = dose.stabiliser_mass(100, stabiliser_of_total=dose.of_total(Dose(0.08, "of_dry_soil")))
    assert of_soil == pytest.approx(8.0, rel=1e-12)
    assert dose.stabiliser_mass(100, stabiliser_of_total=0.08) == pytest.approx(8.70, abs=0.005)


def test_no_stabiliser_has_no_one_to_n() -> None:
    said = dose.in_every_convention(Dose(0.0, "of_total_dry_mix"), stabiliser_loose_density=CEMENT, soil_loose_density=SOIL)
    assert (said.of_total_dry_mix, said.of_dry_soil, said.one_to_n) == (0.0, 0.0, None)


def test_no_density_no_one_to_n() -> None:
    assert dose.in_every_convention(Dose(0.08, "of_dry_soil"), soil_loose_density=SOIL).one_to_n is None
    assert dose.achieved_dose(8.0, dry_soil_mass=100.0).one_to_n is None


def test_achieved_dose_may_lie_beyond_what_may_be_asked() -> None:
    # Hand: 80 kg of stabiliser on 20 kg of soil is 80 % of total, 400 % of soil, 1 to 0.288 by volume.
    said = dose.achieved_dose(80.0, dry_soil_mass=20.0, stabiliser_loose_density=1440.0, soil_loose_density=1250.0)
    assert said.of_total_dry_mix == pytest.approx(0.8, rel=1e-12)
    assert said.of_dry_soil == pytest.approx(4.0, rel=1e-12)
    assert said.one_to_n == pytest.approx(0.288, rel=1e-12)


@pytest.mark.parametrize(
    "allowed",
    [
        (0.0, "of_total_dry_mix"),
        (0.5, "of_total_dry_mix"),
        (1.0, "of_dry_soil"),
        (2, "by_volume_one_to_n"),
        (100, "by_volume_one_to_n"),
    ],
)
def test_ends_of_the_range_are_allowed(allowed: tuple[float, dose.Basis]) -> None:
    assert Dose(*allowed).value == allowed[0]


def test_one_number_on_two_bases_is_two_doses() -> None:
    assert Dose(0.08, "of_total_dry_mix") != Dose(0.08, "of_dry_soil")


@given(share=shares, stabiliser=densities, soil=densities)
def test_there_and_back(share: float, stabiliser: float, soil: float) -> None:
    assert dose.of_total_from_dry_soil(dose.per_dry_soil_from_of_total(share)) == pytest.approx(share, rel=1e-12)
    n = dose.volumes_from_of_total(share, stabiliser_loose_density=stabiliser, soil_loose_density=soil)
    if dose.LEAST_SOIL_VOLUMES <= n <= dose.MOST_SOIL_VOLUMES:
        back = dose.of_total_from_volumes(n, stabiliser_loose_density=stabiliser, soil_loose_density=soil)
        assert back == pytest.approx(share, rel=1e-12)


@given(soil=masses, share=shares)
def test_mass_is_conserved_through_a_dose(soil: float, share: float) -> None:
    stabiliser = dose.stabiliser_mass(soil, stabiliser_of_total=share)
    total = dose.total_dry_mass(soil, stabiliser_of_total=share)
    assert soil + stabiliser == pytest.approx(total, rel=1e-12)
    assert dose.dry_soil_mass(total, stabiliser_of_total=share) == pytest.approx(soil, rel=1e-12)
    assert dose.stabiliser_of_total(stabiliser, dry_soil_mass=soil) == pytest.approx(share, rel=1e-12)


@given(share=shares, stabiliser=densities, soil=densities)
def test_every_convention_says_the_same_dose(share: float, stabiliser: float, soil: float) -> None:
    said = dose.in_every_convention(Dose(share, "of_total_dry_mix"), stabiliser_loose_density=stabiliser, soil_loose_density=soil)
    assert said.one_to_n is not None
    # One volume of stabiliser and n of soil, weighed.
    assert stabiliser / (stabiliser + said.one_to_n * soil) == pytest.approx(share, rel=1e-9)
    assert dose.of_total(Dose(min(said.of_dry_soil, 1.0), "of_dry_soil")) == pytest.approx(share, rel=1e-9)
