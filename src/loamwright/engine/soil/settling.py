"""How grains fall through still water: single grains, thick suspensions, and the time to fall a depth.

Sizes are in mm, depths in mm, velocities in mm/s, viscosity in Pa s. Every function takes floats or arrays.
"""

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loamwright import tables
from loamwright.engine.bench.phases import STANDARD_GRAVITY
from loamwright.errors import InputError, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]

GRAVITY = STANDARD_GRAVITY  # m/s² [si-brochure]

STOKES_VELOCITY = Formula(
    "stokes_velocity",
    "v",
    "mm/s",
    "(rho_s - rho_w) * g * d**2 / (18 * mu) / 1000",
    {
        "rho_s": Term("grain_density", "kg/m3"),
        "rho_w": Term("water_density", "kg/m3"),
        "g": Term("gravity", "m/s2"),
        "d": Term("diameter", "mm"),
        "mu": Term("water_viscosity", "Pa s"),
    },
    "stokes-1851",
)
HINDERED_FACTOR = Formula(
    "hindered_factor",
    "k",
    "1",
    "(1 - c / rho_s)**4.65",
    {"c": Term("solids_concentration", "kg/m3"), "rho_s": Term("grain_density", "kg/m3")},
    "richardson-zaki-1954",
)
SETTLING_MINUTES = Formula(
    "settling_minutes",
    "t",
    "min",
    "z / v / 60",
    {"z": Term("depth", "mm"), "v": Term("velocity", "mm/s")},
    "derivation-settling-time",
)


@cache
def _water(quantity: str) -> tuple[tuple[float, float], ...]:
    rows = tables.load("water", required=("coefficient", "exponent"))
    return tuple((row["coefficient"], row["exponent"]) for row in rows if row.key.startswith(quantity))


def water_viscosity(temperature: Numbers) -> Numbers:
    """Dynamic viscosity of water at one atmosphere.

    Parameters
    ----------
    temperature : float or (n,) array
        Water temperature, 0 to 50. [°C]

    Returns
    -------
    float or (n,) array
        Viscosity. [Pa s]

    Raises
    ------
    InputError
        If the temperature is outside 0 to 50 °C.

    Notes
    -----
    Four power terms of T/300 K; coefficients in data/water.toml.

    References
    ----------
    [iapws-sr6]

    Examples
    --------
    >>> round(water_viscosity(20.0) * 1000, 3)
    1.002
    """
    check_between(0.0, 50.0, temperature=temperature)
    ratio = (temperature + 273.15) / 300.0
    return 1e-6 * sum(coefficient * ratio**exponent for coefficient, exponent in _water("viscosity"))


def water_density(temperature: Numbers) -> Numbers:
    """Density of water at one atmosphere.

    Parameters
    ----------
    temperature : float or (n,) array
        Water temperature, 0 to 50. [°C]

    Returns
    -------
    float or (n,) array
        Density. [kg/m³]

    Raises
    ------
    InputError
        If the temperature is outside 0 to 50 °C.

    Notes
    -----
    A square polynomial made for 15 to 30 °C; within 0.04 % of handbook values from 0 to 40 °C.

    References
    ----------
    [astm-d7928]

    Examples
    --------
    >>> round(water_density(20.0), 1)
    998.2
    """
    check_between(0.0, 50.0, temperature=temperature)
    return sum(coefficient * temperature**exponent for coefficient, exponent in _water("density"))


def stokes_velocity(diameter: Numbers, *, temperature: Numbers, grain_density: Numbers) -> Numbers:
    """Velocity of one small round grain falling alone through still water.

    Parameters
    ----------
    diameter : float or (n,) array
        Grain diameter. [mm]
    temperature : float or (n,) array
        Water temperature. [°C]
    grain_density : float or (n,) array
        Density of the solid grain, usually 2650. [kg/m³]

    Returns
    -------
    float or (n,) array
        Falling velocity. [mm/s]

    Raises
    ------
    InputError
        If the diameter is not positive, the grain does not sink, or the temperature is outside 0 to 50 °C.

    Notes
    -----
    v = (ρ_s − ρ_w) g d² / (18 μ). Single grains below about 0.1 mm in thin suspensions, up to about 50 g/l.

    References
    ----------
    [stokes-1851]

    Examples
    --------
    >>> round(stokes_velocity(0.06, temperature=20.0, grain_density=2650.0), 2)
    3.23
    """
    excess = _excess_density(diameter, temperature, grain_density)
    return excess * GRAVITY * diameter**2 / (18.0 * water_viscosity(temperature)) / 1000.0


def free_velocity(diameter: Numbers, *, temperature: Numbers, grain_density: Numbers) -> Numbers:
    """Velocity of one natural grain falling alone, from clay to gravel.

    Ferguson and Church (2004), natural grains: C1 18, C2 1.0.

    Parameters
    ----------
    diameter : float or (n,) array
        Grain diameter. [mm]
    temperature : float or (n,) array
        Water temperature. [°C]
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]

    Returns
    -------
    float or (n,) array
        Falling velocity. [mm/s]

    Raises
    ------
    InputError
        If the diameter is not positive, the grain does not sink, or the temperature is outside 0 to 50 °C.

    Notes
    -----
    w = R g D² / (18 ν + √(0.75 R g D³)); equals Stokes for small grains.

    References
    ----------
    [ferguson-church-2004]

    Examples
    --------
    >>> round(free_velocity(0.5, temperature=20.0, grain_density=2650.0))
    71
    """
    excess = _excess_density(diameter, temperature, grain_density)
    metres = diameter / 1000.0
    water = water_density(temperature)
    weight = excess / water * GRAVITY  # R g
    drag = 18.0 * water_viscosity(temperature) / water + np.sqrt(0.75 * weight * metres**3)
    return weight * metres**2 / drag * 1000.0


def _excess_density(diameter: Numbers, temperature: Numbers, grain_density: Numbers) -> Numbers:
    check_positive(diameter=diameter)
    excess = grain_density - water_density(temperature)
    if not holds(excess > 0):
        raise InputError("grain_does_not_sink", quantity="grain_density", value=grain_density)
    return excess


def hindered_factor(solids_concentration: Numbers, *, grain_density: Numbers) -> Numbers:
    """How much slower grains fall in a thick suspension than alone.

    Richardson and Zaki (1954), exponent 4.65 for small grains.

    Parameters
    ----------
    solids_concentration : float or (n,) array
        Dry solids per volume of suspension (kg/m³ is g/l). [kg/m³]
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]

    Returns
    -------
    float or (n,) array
        Hindered over free velocity, 0 to 1. [-]

    Raises
    ------
    InputError
        If the concentration is negative or not below the density of solid grains.

    Notes
    -----
    k = (1 − c/ρ_s)^4.65. A jar one third full of soil holds about 400 g/l, where k is 0.47.

    References
    ----------
    [richardson-zaki-1954]

    Examples
    --------
    >>> round(hindered_factor(400.0, grain_density=2650.0), 3)
    0.467
    """
    check_not_negative(solids_concentration=solids_concentration)
    check_positive(grain_density=grain_density)
    if not holds(solids_concentration < grain_density):
        raise InputError("denser_than_grains", quantity="solids_concentration", value=solids_concentration)
    return (1.0 - solids_concentration / grain_density) ** 4.65


def settling_minutes(depth: Numbers, *, velocity: Numbers) -> Numbers:
    """Time a grain needs to fall through a depth at a steady velocity.

    Parameters
    ----------
    depth : float or (n,) array
        Height of fall. [mm]
    velocity : float or (n,) array
        Falling velocity. [mm/s]

    Returns
    -------
    float or (n,) array
        Time. [min]

    Raises
    ------
    InputError
        If depth or velocity is not positive.

    References
    ----------
    [derivation-settling-time]

    Examples
    --------
    >>> round(settling_minutes(100.0, velocity=3.2), 2)
    0.52
    """
    check_positive(depth=depth, velocity=velocity)
    return depth / velocity / 60.0


def settled_diameter(depth: Numbers, *, minutes: Numbers, temperature: Numbers, grain_density: Numbers) -> Numbers:
    """Largest grain still floating at a depth: all larger ones have fallen past it.

    The diameter rule of the hydrometer method; ASTM D7928-21, and D422 as K √(L/T) with L in cm.

    Parameters
    ----------
    depth : float or (n,) array
        Depth below the water surface. [mm]
    minutes : float or (n,) array
        Time since the suspension came to rest. [min]
    temperature : float or (n,) array
        Water temperature. [°C]
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]

    Returns
    -------
    float or (n,) array
        Grain diameter. [mm]

    Raises
    ------
    InputError
        If depth or minutes is not positive, or the temperature is outside 0 to 50 °C.

    Notes
    -----
    d = √(18 μ z / ((ρ_s − ρ_w) g t)): Stokes turned round, thin suspensions only.

    References
    ----------
    [astm-d7928]

    Examples
    --------
    >>> float(round(settled_diameter(114.0, minutes=2.0, temperature=20.0, grain_density=2650.0), 4))
    0.0325
    """
    check_positive(depth=depth, minutes=minutes)
    unit_velocity: Any = stokes_velocity(1.0, temperature=temperature, grain_density=grain_density)
    diameter: Numbers = np.sqrt(depth / (minutes * 60.0) / unit_velocity)
    return diameter


def hydrometer_effective_depth(reading: Numbers) -> Numbers:
    """Depth at which a 152H hydrometer measures, from its reading.

    ASTM D422 (withdrawn), table 2.

    Parameters
    ----------
    reading : float or (n,) array
        Reading of a 152H hydrometer, -5 to 60 g/l. [kg/m³]

    Returns
    -------
    float or (n,) array
        Effective depth. [mm]

    Raises
    ------
    InputError
        If the reading is off the scale of the instrument.

    Notes
    -----
    L = 163 − 1.641 R.

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(hydrometer_effective_depth(30.0), 1)
    113.8
    """
    check_between(-5.0, 60.0, reading=reading)
    return 163.0 - 1.641 * reading
