"""Phases against textbook problems and hand calculations."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import density, phases

LB, FT3 = 0.45359237, 0.3048**3  # exact: NIST Handbook 44


def test_textbook_problem() -> None:
    # Das and Sobhan, Principles of Geotechnical Engineering, 9th ed., problem 3.2: 17.8 kN/m3, 14 %, Gs 2.69;
    # answers 15.61 kN/m3, e 0.69, S 54.5 to 54.6 % (recalled, recomputed). Tolerance 0.5 %.
    assert phases.dry_unit_weight(17.8, water_content=0.14) == pytest.approx(15.61, rel=0.005)
    state = phases.phases(phases.density_from_unit_weight(17.8), water_content=0.14, specific_gravity=2.69)
    assert state.void_ratio == pytest.approx(0.69, rel=0.005)
    assert 100 * state.saturation == pytest.approx(54.6, rel=0.005)
    assert state.notes == ()


def test_block_of_moist_soil_in_pounds() -> None:
    # Hand: 12.72 lb, 0.1050 ft3, 9.5 %, Gs 2.70: 110.6 lb/ft3 dry, Vs 0.0689, Vw 0.0177, Va 0.0184 ft3, e 0.523, S 49.1 %.
    moist = density.bulk_density(12.72 * LB, volume=0.105 * FT3)
    state = phases.phases(moist, water_content=0.095, specific_gravity=2.70)
    assert state.dry_density / (LB / FT3) == pytest.approx(110.6, rel=0.005)
    assert state.void_ratio == pytest.approx(0.523, rel=0.005)
    assert 100 * state.saturation == pytest.approx(49.1, rel=0.005)
    parts = phases.phase_volumes(0.105, void_ratio=state.void_ratio, saturation=state.saturation)
    assert parts.solids == pytest.approx(0.0689, rel=0.005)
    assert parts.water == pytest.approx(0.0177, rel=0.005)
    assert parts.air == pytest.approx(0.0184, rel=0.005)


def test_heavier_soil() -> None:
    # Hand: 18.7 kN/m3, 10.3 %, Gs 2.71: 16.95 kN/m3, e 0.568, n 0.362, S 49.1 %.
    assert phases.dry_unit_weight(18.7, water_content=0.103) == pytest.approx(16.95, rel=0.005)
    state = phases.phases(phases.density_from_unit_weight(18.7), water_content=0.103, specific_gravity=2.71)
    assert state.void_ratio == pytest.approx(0.568, rel=0.005)
    assert state.porosity == pytest.approx(0.362, rel=0.005)
    assert 100 * state.saturation == pytest.approx(49.1, rel=0.005)


def test_more_water_than_voids_is_noted() -> None:
    # Hand: 2200/1.2 = 1833.3; e = 2650/1833.3 - 1 = 0.44545; S = 0.2 x 2.65 / 0.44545 = 1.1898.
    state = phases.phases(2200.0, water_content=0.20, specific_gravity=2.65)
    assert state.saturation == pytest.approx(1.1898, abs=0.00005)
    assert [note.code for note in state.notes] == ["saturation_above_one"]
    assert state.notes[0].values["saturation"] == state.saturation


def test_unit_weight_of_water() -> None:
    # 1000 kg/m3 under standard gravity, 9.80665 m/s2 (SI brochure).
    assert phases.unit_weight(1000.0) == pytest.approx(9.80665, rel=1e-12)


@given(solids=st.floats(0.5, 5.0), water=st.floats(0.0, 0.5), voids=st.floats(0.5, 2.0), gravity=st.floats(2.0, 3.5))
def test_against_a_cube_filled_by_hand(solids: float, water: float, voids: float, gravity: float) -> None:
    # Fill a volume with solids, water and air, then ask for it back.
    volume = solids / (1000 * gravity) + voids * 1e-3
    state = phases.phases((solids + water) / volume, water_content=water / solids, specific_gravity=gravity)
    assert state.dry_density == pytest.approx(solids / volume, rel=1e-9)
    assert state.void_ratio == pytest.approx(voids * gravity / solids, rel=1e-9)
    assert state.porosity == pytest.approx(voids * 1e-3 / volume, rel=1e-9)
    assert state.saturation == pytest.approx(water / voids, rel=1e-9, abs=1e-12)


@given(volume=st.floats(0.001, 10.0), ratio=st.floats(0.0, 3.0), filled=st.floats(0.0, 1.0))
def test_volumes_add_up(volume: float, ratio: float, filled: float) -> None:
    parts = phases.phase_volumes(volume, void_ratio=ratio, saturation=filled)
    assert parts.solids + parts.water + parts.air == pytest.approx(volume, rel=1e-12)
    assert (parts.water + parts.air) / volume == pytest.approx(phases.porosity(ratio), rel=1e-9, abs=1e-12)


@given(value=st.floats(100.0, 4000.0))
def test_unit_weight_there_and_back(value: float) -> None:
    assert phases.density_from_unit_weight(phases.unit_weight(value)) == pytest.approx(value, rel=1e-12)
