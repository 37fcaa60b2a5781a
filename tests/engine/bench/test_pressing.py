"""Pressing: gauge figures and block masses worked by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import pressing

PSI, INCH, LB = 0.45359237 * 9.80665 / 645.16, 25.4, 0.45359237  # MPa, mm, kg: exact by definition (NIST Handbook 44)
lengths = st.floats(40.0, 400.0)


# Hand: 1300 psi x pi / 4 x 2^2 / (4 x 4) = 255 psi (1.76 MPa); 1800 psi x pi / 4 x 5^2 / (14 x 10) = 252 psi (1.74 MPa).
@pytest.mark.parametrize(
    ("gauge_psi", "bore_in", "length_in", "width_in", "psi", "mpa"),
    [(1300, 2, 4, 4, 255, 1.76), (1800, 5, 14, 10, 252, 1.74)],
)
def test_same_gauge_is_not_same_pressure(
    gauge_psi: float, bore_in: float, length_in: float, width_in: float, psi: float, mpa: float
) -> None:
    mould = {"mould_length": length_in * INCH, "mould_width": width_in * INCH}
    found = pressing.soil_pressure_from_gauge(gauge_psi * PSI, bore=bore_in * INCH, **mould)
    assert found / PSI == pytest.approx(psi, abs=0.5)
    assert found == pytest.approx(mpa, abs=0.005)


def test_two_cylinders_and_rod_side() -> None:
    # Hand: 2 x pi / 4 x (80^2 - 40^2) = 7539.82 mm2; 10 MPa on it is 75.398 kN.
    area = pressing.cylinder_area(80.0, cylinders=2, rod_diameter=40.0)
    assert area == pytest.approx(7539.82, abs=0.005)
    assert pressing.press_force(10.0, bore=80.0, cylinders=2, rod_diameter=40.0) == pytest.approx(75.398, abs=0.0005)


def test_block_mass() -> None:
    # Hand: 295 x 140 x 90 mm is 3.717 l; x 1.85 = 6.88 kg dry, 7.56 at 10 %; x 1.88 = 6.99 kg.
    volume = pressing.block_volume(295.0, block_width=140.0, block_height=90.0)
    assert 1000 * volume == pytest.approx(3.717, abs=0.0005)
    assert pressing.fill_mass(1850.0, block_volume=volume, water_content=0.0) == pytest.approx(6.88, abs=0.005)
    assert pressing.fill_mass(1850.0, block_volume=volume, water_content=0.10) == pytest.approx(7.56, abs=0.005)
    assert pressing.fill_mass(1880.0, block_volume=volume, water_content=0.0) == pytest.approx(6.99, abs=0.005)


def test_block_mass_in_pounds() -> None:
    # Hand: 14 x 10 x 4 in is 0.3241 ft3; x 118 lb/ft3 = 38.2 lb.
    volume = pressing.block_volume(14 * INCH, block_width=10 * INCH, block_height=4 * INCH)
    mass = pressing.fill_mass(118 * LB / 0.3048**3, block_volume=volume, water_content=0.0)
    assert mass / LB == pytest.approx(38.2, abs=0.05)


def test_loose_fill() -> None:
    # Hand: 7.56 kg at 1230 kg/m3 over 295 x 140 mm: 7.56 / 1230 / 0.0413 = 148.8 mm; over 90 mm pressed 1.65,
    # the ratio a Zimbabwe technical advice note gives for hand presses (pages 9 to 11).
    loose = pressing.loose_height(7.56, loose_moist_density=1230.0, mould_length=295.0, mould_width=140.0)
    assert loose == pytest.approx(148.8, abs=0.05)
    assert pressing.compression_ratio(loose, block_height=90.0) == pytest.approx(1.65, abs=0.005)


def test_green_block() -> None:
    # Hand: 7.56 / 0.003717 = 2033.9; / 1.1 = 1849.0 kg/m3.
    assert pressing.green_density(7.56, block_volume=0.003717) == pytest.approx(2033.9, abs=0.05)
    found = pressing.green_dry_density(7.56, block_volume=0.003717, water_content=0.10)
    assert found == pytest.approx(1849.0, abs=0.05)


@given(gauge=st.floats(0.1, 40.0), bore=st.floats(30.0, 200.0), length=lengths, width=lengths)
def test_gauge_there_and_back(gauge: float, bore: float, length: float, width: float) -> None:
    mould = {"mould_length": length, "mould_width": width}
    pressure = pressing.soil_pressure_from_gauge(gauge, bore=bore, cylinders=2, **mould)
    assert pressing.gauge_for_soil_pressure(pressure, bore=bore, cylinders=2, **mould) == pytest.approx(gauge, rel=1e-12)
    force = pressing.press_force(gauge, bore=bore, cylinders=2)
    assert pressing.soil_pressure(force, **mould) == pytest.approx(pressure, rel=1e-12)
    assert force == pytest.approx(gauge * 2 * math.pi * (bore / 2) ** 2 / 1000, rel=1e-12)


@given(density=st.floats(1200.0, 2300.0), length=lengths, width=lengths, height=lengths, water=st.floats(0.0, 0.3))
def test_fill_mass_there_and_back(density: float, length: float, width: float, height: float, water: float) -> None:
    volume = pressing.block_volume(length, block_width=width, block_height=height)
    mass = pressing.fill_mass(density, block_volume=volume, water_content=water)
    found = pressing.green_dry_density(mass, block_volume=volume, water_content=water)
    assert found == pytest.approx(density, rel=1e-12)
