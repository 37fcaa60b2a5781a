"""Hydrometer readings: depth, factors K and a, and what the dispersant, the meniscus and the temperature do to a reading.

Readings of a 152H are grams per litre (kg/m³) of grains of 2650 kg/m³; those of a 151H are density over that of water at
20 °C. All factors are computed from temperature and grain density; the tables of the standards stand in the tests.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.bench.phases import WATER_DENSITY
from loamwright.engine.soil.settling import hydrometer_effective_depth, settled_diameter, water_density
from loamwright.errors import InputError, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]
SCALE_GRAINS = 2650.0
"""Grain density for which the scale of a 152H is made. [kg/m³] [astm-d422]"""
SCALE_TEMPERATURE = 20.0
"""Temperature for which both scales are made. [°C] [astm-d422]"""
DENSITY_PER_UNIT_152H = (SCALE_GRAINS - WATER_DENSITY) / SCALE_GRAINS
"""Rise of the suspension's density for one unit of a 152H: 0.6226 kg/m³ for one g/l. [-] [astm-d422]"""
MOST_151H, LEAST_151H = 1.038, 0.995
"""Ends of the scale of a 151H. [-] [astm-d422]"""
_RHO_S = Term("grain_density", "kg/m3")
DIAMETER_FACTOR = Formula(
    "diameter_factor",
    "K",
    "mm",
    "1000 * sqrt(18 * mu * 0.01 / ((rho_s - rho_w) * g * 60))",
    {
        "mu": Term("water_viscosity", "Pa s"),
        "rho_s": _RHO_S,
        "rho_w": Term("water_density", "kg/m3"),
        "g": Term("gravity", "m/s2"),
    },
    "astm-d422",
    "15.2, table 3",
)
SETTLED_DIAMETER = Formula(
    "settled_diameter",
    "d",
    "mm",
    "K * sqrt(z / 10 / t)",
    {"K": Term("diameter_factor", "mm"), "z": Term("depth", "mm"), "t": Term("minutes", "min")},
    "astm-d422",
    "15.2",
)
DEPTH_152H = Formula(
    "hydrometer_effective_depth",
    "L",
    "mm",
    "163 - 1.641 * (R + c_m)",
    {"R": Term("hydrometer_reading", "1"), "c_m": Term("meniscus", "1")},
    "astm-d422",
    "table 2",
)
DEPTH_151H = Formula(
    "hydrometer_effective_depth",
    "L",
    "mm",
    "162.95 - 2645 * (R + c_m - 1)",
    {"R": Term("hydrometer_reading", "1"), "c_m": Term("meniscus", "1")},
    "astm-d422",
    "table 2",
)
CORRECTION_FACTOR = Formula(
    "hydrometer_correction_factor",
    "a",
    "1",
    "rho_s * 1650 / ((rho_s - 1000) * 2650)",
    {"rho_s": _RHO_S},
    "astm-d422",
    "table 1",
)
TEMPERATURE_CORRECTION = Formula(
    "temperature_correction",
    "F_T",
    "1",
    "(rho_ref - rho_T) / u",
    {
        "rho_ref": Term("reference_density", "kg/m3"),
        "rho_T": Term("water_density", "kg/m3"),
        "u": Term("density_per_unit", "kg/m3"),
    },
    "astm-d7928",
)
CORRECTED_READING = Formula(
    "corrected_reading",
    "R_c",
    "1",
    "R + F_T - F_z",
    {
        "R": Term("hydrometer_reading", "1"),
        "F_T": Term("temperature_correction", "1"),
        "F_z": Term("blank_reading", "1"),
    },
    "astm-d422",
    "clause 7",
)


def diameter_factor(temperature: Numbers, *, grain_density: Numbers) -> Numbers:
    """Factor K of the hydrometer test, computed from the water and the grains.

    ASTM D422 (withdrawn), 15.2: D = K √(L/T), D in mm, L in cm, T in min.

    Parameters
    ----------
    temperature : float or (n,) array
        Temperature of the suspension, 0 to 50. [°C]
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]

    Returns
    -------
    float or (n,) array
        Diameter of the grain that falls 1 cm in 1 min. [mm]

    Raises
    ------
    InputError
        "out_of_range" for the temperature, "grain_does_not_sink".

    Notes
    -----
    K² = 18 μ · 0.01 m / ((ρ_s − ρ_w) g · 60 s). The printed table lies up to 0.28 % above it.

    References
    ----------
    [astm-d422], [stokes-1851]

    Examples
    --------
    >>> round(float(diameter_factor(20.0, grain_density=2650.0)), 4)
    0.0136
    """
    return settled_diameter(10.0, minutes=1.0, temperature=temperature, grain_density=grain_density)


def hydrometer_correction_factor(grain_density: Numbers) -> Numbers:
    """Factor a for grains of another density than the scale of a 152H is made for.

    ASTM D422 (withdrawn), table 1; D7928 has the same in another form.

    Parameters
    ----------
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]

    Returns
    -------
    float or (n,) array
        a, one at 2650 kg/m³. [-]

    Raises
    ------
    InputError
        "grain_does_not_sink".

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(hydrometer_correction_factor(2750.0), 3)
    0.978
    """
    if not holds(np.asarray(grain_density) > WATER_DENSITY):
        raise InputError("grain_does_not_sink", quantity="grain_density", value=grain_density)
    return grain_density * DENSITY_PER_UNIT_152H / (grain_density - WATER_DENSITY)


def effective_depth_of_bulb(stem_depth: Numbers, *, bulb_length: float, bulb_volume: float, cylinder_area: float) -> Numbers:
    """Depth at which a hydrometer measures, from its own sizes and the cylinder's.

    ASTM D422 (withdrawn), table 2: L = L1 + 0.5 (L2 − V_B/A).

    Parameters
    ----------
    stem_depth : float or (n,) array
        From the reading on the stem down to the top of the bulb, L1. [mm]
    bulb_length : float
        Length of the bulb, L2. [mm]
    bulb_volume : float
        Volume of the bulb, V_B. [mm³]
    cylinder_area : float
        Inner cross-section of the cylinder, A. [mm²]

    Returns
    -------
    float or (n,) array
        Effective depth. [mm]

    Raises
    ------
    InputError
        "not_positive".

    Notes
    -----
    Both usual hydrometers have L2 140 mm and V_B 67 000 mm³, in a cylinder of 2780 mm²; their scales then give the straight
    lines of `effective_depth_151h` and `effective_depth_152h`.

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(effective_depth_of_bulb(105.0, bulb_length=140.0, bulb_volume=67000.0, cylinder_area=2780.0), 1)
    162.9
    """
    check_positive(stem_depth=stem_depth, bulb_length=bulb_length, bulb_volume=bulb_volume, cylinder_area=cylinder_area)
    return stem_depth + 0.5 * (bulb_length - bulb_volume / cylinder_area)


def effective_depth_152h(hydrometer_reading: Numbers, *, meniscus: Numbers = 0.0) -> Numbers:
    """Depth at which a 152H hydrometer measures, from a reading at the top of the meniscus.

    ASTM D422 (withdrawn), table 2.

    Parameters
    ----------
    hydrometer_reading : float or (n,) array
        Reading, g/l. [-]
    meniscus : float or (n,) array
        From the water surface up to the top of the meniscus, in units of the scale. [-]

    Returns
    -------
    float or (n,) array
        Effective depth. [mm]

    Raises
    ------
    InputError
        "negative"; "out_of_range" off the scale.

    Notes
    -----
    L = 163 − 1.641 (R + c_m).

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(effective_depth_152h(29.0, meniscus=1.0), 1)
    113.8
    """
    check_not_negative(meniscus=meniscus)
    return hydrometer_effective_depth(hydrometer_reading + meniscus)


def effective_depth_151h(hydrometer_reading: Numbers, *, meniscus: Numbers = 0.0) -> Numbers:
    """Depth at which a 151H hydrometer measures, from a reading at the top of the meniscus.

    ASTM D422 (withdrawn), table 2.

    Parameters
    ----------
    hydrometer_reading : float or (n,) array
        Reading, 0.995 to 1.038. [-]
    meniscus : float or (n,) array
        From the water surface up to the top of the meniscus, in units of the scale. [-]

    Returns
    -------
    float or (n,) array
        Effective depth. [mm]

    Raises
    ------
    InputError
        "negative"; "out_of_range" off the scale.

    Notes
    -----
    L = 162.95 − 2645 (R + c_m − 1): 105 mm of stem at 1.000 and 23 mm at 1.031.

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(effective_depth_151h(1.020), 1)
    110.0
    """
    check_not_negative(meniscus=meniscus)
    check_between(LEAST_151H, MOST_151H, hydrometer_reading=hydrometer_reading + meniscus)
    return 162.95 - 2645.0 * (hydrometer_reading + meniscus - 1.0)


def temperature_correction(temperature: Numbers, *, reference_temperature: Numbers, density_per_unit: float) -> Numbers:
    """What to add to a reading because the water is warmer, or colder, than when the blank was read.

    ASTM D7928-21, the change of the water's own density.

    Parameters
    ----------
    temperature : float or (n,) array
        Temperature of the suspension. [°C]
    reference_temperature : float or (n,) array
        Temperature of the blank cylinder. [°C]
    density_per_unit : float
        Density that one unit of the scale stands for: 0.6226 for a 152H, 998.2 for a 151H. [kg/m³]

    Returns
    -------
    float or (n,) array
        Correction, above zero in warmer water. [-]

    Raises
    ------
    InputError
        "out_of_range" or "not_positive".

    Notes
    -----
    The glass of the hydrometer grows too, which takes off about a tenth; teaching tables give somewhat less for that and other
    reasons. A blank read beside the test needs no correction at all.

    References
    ----------
    [astm-d7928]

    Examples
    --------
    >>> round(temperature_correction(25.0, reference_temperature=20.0, density_per_unit=0.6226), 2)
    1.85
    """
    check_positive(density_per_unit=density_per_unit)
    difference: Any = water_density(reference_temperature) - water_density(temperature)
    corrected: Numbers = difference / density_per_unit
    return corrected


def corrected_reading(hydrometer_reading: Numbers, *, blank_reading: Numbers, temperature_correction: Numbers = 0.0) -> Numbers:
    """Reading freed of dispersant, meniscus and temperature.

    ASTM D422 (withdrawn), clause 7: one composite correction, read in water with the same dispersant.

    Parameters
    ----------
    hydrometer_reading : float or (n,) array
        As read at the top of the meniscus. [-]
    blank_reading : float or (n,) array
        Reading in water with dispersant, at the top of the meniscus too. [-]
    temperature_correction : float or (n,) array
        For a blank of another temperature. [-]

    Returns
    -------
    float or (n,) array
        R + F_T − F_z. [-]

    Raises
    ------
    InputError
        "below_blank" where the suspension reads lighter than the water without soil.

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(corrected_reading(51.0, blank_reading=7.0, temperature_correction=2.15), 2)
    46.15
    """
    corrected = hydrometer_reading + temperature_correction - blank_reading
    if not holds(np.asarray(corrected) >= 0):
        raise InputError("below_blank", reading=float(np.min(hydrometer_reading)), blank=float(np.max(blank_reading)))
    return corrected
