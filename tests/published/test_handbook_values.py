"""Check values of handbooks that touch the engine, each with how it is known.

Tags: S seen in a stored text; formula: computed anew from the source's formula; the others say themselves what they are.
"""

import pytest

from loamwright import units
from loamwright.engine.bench.bending import bending_strength
from loamwright.engine.bench.dose import of_total_from_dry_soil
from loamwright.engine.block.shape import shape_factor
from loamwright.engine.evidence.characteristic import small_sample_value
from loamwright.engine.evidence.spread import spread
from loamwright.engine.soil.settling import (
    hydrometer_effective_depth,
    settled_diameter,
    settling_minutes,
    stokes_velocity,
    water_density,
    water_viscosity,
)
from loamwright.engine.yard.bags import blocks_per_bag

# ASTM D422 table 3 agrees with Stokes' law and standard water within 0.3 %; its K at 20 °C is 0.15 % above that of physics.
TABLE_K = 0.004


def test_k_of_the_hydrometer_table_and_of_physics() -> None:
    """Value 4, tag "table and physics": D = K sqrt(L / t), so K is the diameter at 1 cm and 1 min (ASTM D422, memory)."""
    k = settled_diameter(10.0, minutes=1.0, temperature=20.0, grain_density=2650.0)
    assert k == pytest.approx(0.01365, rel=TABLE_K)
    # 0.01363 is for a viscosity of 1.002 mPa s and water of 1000 kg/m³ (G - 1 = 1.65):
    # sqrt(18 · 1.002e-3 · 0.01 / (1650 · 9.80665 · 60)) = 1.363e-5 m. The engine takes water as it is at 20 °C.
    as_handbook = k * (1.002e-3 / water_viscosity(20.0)) ** 0.5 * ((2650.0 - water_density(20.0)) / 1650.0) ** 0.5
    assert as_handbook == pytest.approx(0.01363, abs=0.000005)


@pytest.mark.parametrize(("reading", "depth_cm"), [(0.0, 16.3), (30.0, 11.4), (50.0, 8.1)])
def test_effective_depth_of_a_152h(reading: float, depth_cm: float) -> None:
    """Value 5, tag "S formula": L = 16.3 - 0.1641 R; the table prints one decimal (ASTM D422 table 2)."""
    assert hydrometer_effective_depth(reading) / 10.0 == pytest.approx(depth_cm, abs=0.051)


def test_diameter_at_two_minutes() -> None:
    """Value 6, tag "4 and 5": 0.01365 sqrt(11.4 / 2) = 0.0326 mm; K carries its 0.15 %, the depth is rounded to 1 mm."""
    depth = hydrometer_effective_depth(30.0)
    assert settled_diameter(depth, minutes=2.0, temperature=20.0, grain_density=2650.0) == pytest.approx(0.0326, rel=TABLE_K)


def test_modulus_of_rupture_of_an_adobe() -> None:
    """Value 8, tag "S formula" (NMAC 14.7.4): 1.5 · 500 · 10 / (10 · 4²) = 46.875 psi, printed 46.9; it misses 50 psi."""
    inch = units.unit("in").to_engine
    strength = bending_strength(units.unit("lbf").to_engine(500.0), span=inch(10.0), block_width=inch(10.0), thickness=inch(4.0))
    assert units.unit("psi").from_engine(strength) == pytest.approx(46.875, rel=1e-6)
    assert strength < units.unit("psi").to_engine(50.0)


@pytest.mark.parametrize(("psi", "mpa"), [(300.0, 2.068), (250.0, 1.724), (50.0, 0.345), (35.0, 0.241)])
def test_pounds_per_square_inch(psi: float, mpa: float) -> None:
    """Value 9, tag "conversion": 1 psi = 4.4482216152605 N / 645.16 mm²."""
    assert units.unit("psi").to_engine(psi) == pytest.approx(mpa, abs=0.0005)


def test_special_grade_of_a_small_sample() -> None:
    """Value 13, tag "formula" (NZS 4298:1998 appendix B, from memory): (1 - 1.5 · 0.3162 / 2.0) · 1.6 = 1.2205."""
    results = (1.6, 1.8, 2.0, 2.2, 2.4)
    assert spread(results).standard_deviation == pytest.approx(0.316, abs=0.0005)
    assert small_sample_value(results) == pytest.approx(1.22, abs=0.005)


@pytest.mark.parametrize(("table", "factor"), [("krefeld", 0.58), ("heathcote-jankulovski", 0.37)])
def test_shape_factors_between_points(table: str, factor: float) -> None:
    """Value 14, tag "interpolation": height over thickness 0.64 in two tables."""
    assert shape_factor(0.64, table=table).factor == pytest.approx(factor, abs=0.005)


def test_blocks_of_a_bag() -> None:
    """Value 15, tag "geometry": 8 kg dry blocks at 5 % of dry soil hold 8 · 0.05 / 1.05 kg; 50 / 0.38095 = 131.25."""
    dose = of_total_from_dry_soil(0.05)
    assert blocks_per_bag(50.0, dry_block_mass=8.0, stabiliser_of_total=dose) == pytest.approx(131.25, rel=1e-9)


def test_clay_through_ten_centimetres() -> None:
    """Value 18, tag "Stokes": 0.002 mm, 100 mm, 20 °C: 7 h 44 min, to the minute (ISO 11277, from memory)."""
    velocity = stokes_velocity(0.002, temperature=20.0, grain_density=2650.0)
    assert settling_minutes(100.0, velocity=velocity) == pytest.approx(7 * 60 + 44, abs=0.5)
