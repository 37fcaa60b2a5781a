"""Settling against handbook tables, a published sampling-time table and hand calculations."""

import math

import numpy as np
import pytest

from loamwright.engine.soil import settling
from loamwright.errors import InputError
from loamwright.formula import evaluate

QUARTZ = 2650.0  # kg/m³


@pytest.mark.parametrize(("celsius", "printed"), [(15, 1.138), (20, 1.002), (25, 0.890), (30, 0.797)])
def test_viscosity_agrees_with_the_handbook_table(celsius, printed):
    # Handbook table of water viscosity, mPa s (from memory), three decimals printed.
    assert settling.water_viscosity(celsius) * 1000 == pytest.approx(printed, abs=0.0006)


@pytest.mark.parametrize(("celsius", "printed"), [(0, 999.84), (4, 999.97), (20, 998.21), (30, 995.65), (40, 992.22)])
def test_density_agrees_with_the_handbook_table(celsius, printed):
    # Handbook table of water density, kg/m³ (from memory); the polynomial was made for 15 to 30 °C, 0.06 % is enough here.
    assert settling.water_density(celsius) == pytest.approx(printed, rel=6e-4)


@pytest.mark.parametrize(
    ("diameter", "at_20", "at_30", "half_digit"),
    [
        (0.075, 20, 16, 0.5),
        (0.060, 31, 25, 0.5),
        (0.050, 45, 35, 0.5),
        (0.020, 4 * 60 + 38, 3 * 60 + 41, 0.6),
        (0.005, 74 * 60, 59 * 60, 31),
        (0.002, 7 * 3600 + 44 * 60, 6 * 3600 + 9 * 60, 31),
    ],
)
def test_time_to_fall_100_mm(diameter, at_20, at_30, half_digit):
    # Stokes times through 100 mm for grains of 2650 kg/m³, derived from the law with handbook water, in printed units.
    for celsius, seconds in ((20.0, at_20), (30.0, at_30)):
        velocity = settling.stokes_velocity(diameter, temperature=celsius, grain_density=QUARTZ)
        assert settling.settling_minutes(100.0, velocity=velocity) * 60 == pytest.approx(seconds, abs=half_digit)


def test_pipette_sampling_times():
    # Sampling-time table of ISO 11277 (memory), 20 °C, 100 mm: 7 h 44 min 16 s and 278 s; within 1 % for the water used there.
    velocity = settling.stokes_velocity(np.array([0.002, 0.020]), temperature=20.0, grain_density=QUARTZ)
    seconds = settling.settling_minutes(100.0, velocity=velocity) * 60
    assert seconds == pytest.approx([27856, 278], rel=0.01)


def test_stokes_by_hand():
    # (2650 − 998.2) × 9.80665 × (6e-5)² / (18 × 1.0016e-3) = 3.2346e-3 m/s
    assert settling.stokes_velocity(0.06, temperature=20.0, grain_density=QUARTZ) == pytest.approx(3.2346, rel=2e-4)


@pytest.mark.parametrize(
    ("celsius", "grain", "printed"),
    [
        (16, 2.45, 0.01529),
        (16, 2.65, 0.01435),
        (20, 2.65, 0.01365),
        (20, 2.80, 0.01307),
        (25, 2.70, 0.01267),
        (30, 2.85, 0.01149),
    ],
)
def test_hydrometer_constant_of_d422(celsius, grain, printed):
    # K of ASTM D422 table 3 (memory; 16 °C, 2.45 corrected for a known misprint): mm at L 1 cm, T 1 min. The whole table is
    # known to lie within 0.28 % of physics.
    water = 1000.0 * grain
    assert settling.settled_diameter(10.0, minutes=1.0, temperature=celsius, grain_density=water) == pytest.approx(
        printed, rel=0.0028
    )


def test_hydrometer_depth_and_diameter():
    # ASTM D422 table 2: L 16.3, 11.4, 8.1 cm at R 0, 30, 50; D at 2 min, R 30, 20 °C: 0.01365 √(11.4/2) = 0.0326 mm, where
    # K of the table may be 0.28 % above physics and the last digit is rounded.
    depths = settling.hydrometer_effective_depth(np.array([0.0, 30.0, 50.0]))
    assert depths / 10 == pytest.approx([16.3, 11.4, 8.1], abs=0.05)
    found = settling.settled_diameter(float(depths[1]), minutes=2.0, temperature=20.0, grain_density=QUARTZ)
    assert found == pytest.approx(0.0326, abs=0.0028 * 0.0326 + 0.00005)


def test_hindering_in_a_third_full_jar():
    # 1 − 400/2650 = 0.84906; 0.84906^4.65 = exp(4.65 × −0.163628) = 0.467
    assert settling.hindered_factor(400.0, grain_density=QUARTZ) == pytest.approx(0.467, abs=0.0005)
    assert settling.hindered_factor(0.0, grain_density=QUARTZ) == 1.0


def test_free_velocity_between_its_limits():
    # Small grains: Stokes. Large ones: √(4 R g D / 3), turbulent drag with C2 = 1 [ferguson-church-2004]; R = 2650/998.2 − 1.
    small = settling.free_velocity(0.002, temperature=20.0, grain_density=QUARTZ)
    assert small == pytest.approx(settling.stokes_velocity(0.002, temperature=20.0, grain_density=QUARTZ), rel=1e-3)
    large = settling.free_velocity(1000.0, temperature=20.0, grain_density=QUARTZ)
    assert large == pytest.approx(1000 * math.sqrt(4 / 3 * (2650 / 998.2 - 1) * 9.80665), rel=1e-3)


def test_printed_formulas_give_the_kernels_results():
    viscosity, density = settling.water_viscosity(20.0), settling.water_density(20.0)
    cases = [
        (
            settling.STOKES_VELOCITY,
            {"rho_s": QUARTZ, "rho_w": density, "g": settling.GRAVITY, "d": 0.06, "mu": viscosity},
            settling.stokes_velocity(0.06, temperature=20.0, grain_density=QUARTZ),
        ),
        (settling.HINDERED_FACTOR, {"c": 400.0, "rho_s": QUARTZ}, settling.hindered_factor(400.0, grain_density=QUARTZ)),
        (settling.SETTLING_MINUTES, {"z": 100.0, "v": 3.2346}, settling.settling_minutes(100.0, velocity=3.2346)),
    ]
    for formula, values, computed in cases:
        assert evaluate(formula.put_in(values)) == pytest.approx(float(computed), rel=1e-5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: settling.stokes_velocity(0.0, temperature=20.0, grain_density=QUARTZ),
        lambda: settling.stokes_velocity(math.nan, temperature=20.0, grain_density=QUARTZ),
        lambda: settling.stokes_velocity(0.06, temperature=-1.0, grain_density=QUARTZ),
        lambda: settling.free_velocity(0.06, temperature=20.0, grain_density=900.0),
        lambda: settling.hindered_factor(2650.0, grain_density=QUARTZ),
        lambda: settling.hindered_factor(-1.0, grain_density=QUARTZ),
        lambda: settling.settling_minutes(100.0, velocity=np.array([1.0, 0.0])),
        lambda: settling.settled_diameter(100.0, minutes=0.0, temperature=20.0, grain_density=QUARTZ),
        lambda: settling.hydrometer_effective_depth(61.0),
        lambda: settling.water_density(51.0),
        lambda: settling.water_viscosity(math.inf),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(InputError):
        call()


def test_arrays_give_what_floats_give():
    sizes = np.array([0.002, 0.06, 1.0])
    for kernel in (settling.stokes_velocity, settling.free_velocity):
        together = kernel(sizes, temperature=20.0, grain_density=QUARTZ)
        assert together.tolist() == [kernel(float(size), temperature=20.0, grain_density=QUARTZ) for size in sizes]
