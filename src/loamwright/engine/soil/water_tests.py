"""Oven moisture of several tins, dry to constant mass, bulking of damp sand, tamped against loose, density of the grains.

The water content of one tin is `engine.bench.moisture.water_content`; loose density is in `engine.bench.density`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.bench.moisture import water_content
from loamwright.engine.soil.settling import water_density
from loamwright.errors import InputError, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]

REPORT_TEMPERATURE = 20.0
"""Temperature to which a specific gravity is reported. [°C] [astm-d854]"""

MEAN_WATER_CONTENT = Formula("water_content", "w", "1", "mean(w_i)", {"w_i": Term("water_contents", "1")}, "derivation-phases")
DRYING_RATE = Formula(
    "drying_rate",
    "x",
    "1/h",
    "(m_1 - m_2) / (m_2 - m_tare) / t",
    {
        "m_1": Term("mass_before", "kg"),
        "m_2": Term("mass_after", "kg"),
        "m_tare": Term("tare_mass", "kg"),
        "t": Term("hours", "h"),
    },
    "astm-d2216",
)
BULKING = Formula(
    "bulking",
    "b",
    "1",
    "(h_damp - h_wet) / h_wet",
    {"h_damp": Term("damp_height", "mm"), "h_wet": Term("flooded_height", "mm")},
    "practice-bulking",
)
SHORTFALL = Formula("volume_shortfall", "x", "1", "1 - 1 / (1 + b)", {"b": Term("bulking", "1")}, "practice-bulking")
TAMPED_TO_LOOSE = Formula(
    "tamped_to_loose",
    "k",
    "1",
    "rho_t / rho_l",
    {"rho_t": Term("tamped_dry_density", "kg/m3"), "rho_l": Term("loose_dry_density", "kg/m3")},
    "derivation-phases",
)
PYCNOMETER_FILLED = Formula(
    "filled_pycnometer",
    "m_pw",
    "kg",
    "(m_c - m_p) * rho_T / rho_c + m_p",
    {
        "m_c": Term("calibrated_mass", "kg"),
        "m_p": Term("empty_pycnometer", "kg"),
        "rho_T": Term("water_density", "kg/m3"),
        "rho_c": Term("reference_density", "kg/m3"),
    },
    "astm-d854",
)
SPECIFIC_GRAVITY = Formula(
    "specific_gravity",
    "G_s",
    "1",
    "m_s / (m_s + m_pw - m_pws) * rho_T / rho_20",
    {
        "m_s": Term("dry_mass", "kg"),
        "m_pw": Term("filled_pycnometer", "kg"),
        "m_pws": Term("pycnometer_with_soil", "kg"),
        "rho_T": Term("water_density", "kg/m3"),
        "rho_20": Term("reference_density", "kg/m3"),
    },
    "astm-d854",
)
GRAIN_DENSITY = Formula(
    "grain_density",
    "rho_s",
    "kg/m3",
    "G_s * rho_20",
    {"G_s": Term("specific_gravity", "1"), "rho_20": Term("reference_density", "kg/m3")},
    "astm-d854",
)


@dataclass(frozen=True, slots=True)
class Tins:
    """What several tins of one soil say.

    Attributes
    ----------
    water_contents : (n,) array
        Of each tin. [-]
    mean : float
        Mean of the tins. [-]
    apart : float or None
        Difference of wettest and driest over the mean; None for one tin, or where none held any water. [-]
    """

    water_contents: NDArray[np.float64]
    mean: float
    apart: float | None


def tins(wet_masses: Sequence[float], *, dry_masses: Sequence[float], tare_masses: Sequence[float]) -> Tins:
    """Water content of several tins of one soil, dried in an oven.

    ASTM D2216-19.

    Parameters
    ----------
    wet_masses : (n,) sequence
        Tins with moist soil. [kg]
    dry_masses : (n,) sequence
        The same dried to constant mass. [kg]
    tare_masses : (n,) sequence
        Empty tins. [kg]

    Returns
    -------
    Tins
        Each, their mean, how far they lie apart.

    Raises
    ------
    InputError
        "no_values", "lengths_of_tins"; otherwise as `water_content`.

    References
    ----------
    [astm-d2216], [derivation-phases]

    Examples
    --------
    >>> found = tins([0.1120, 0.1135], dry_masses=[0.1020, 0.1035], tare_masses=[0.0020, 0.0035])
    >>> round(found.mean, 3), round(found.apart, 3)
    (0.1, 0.0)
    """
    wet, dry, tare = (np.asarray(masses, dtype=np.float64) for masses in (wet_masses, dry_masses, tare_masses))
    if wet.size == 0:
        raise InputError("no_values", quantity="wet_masses")
    if not wet.size == dry.size == tare.size:
        raise InputError("lengths_of_tins", wet=int(wet.size), dry=int(dry.size), tare=int(tare.size))
    each = np.array([water_content(w, dry_mass=d, tare_mass=t) for w, d, t in zip(wet, dry, tare, strict=True)])
    mean = float(each.mean())
    apart = float((each.max() - each.min()) / mean) if each.size > 1 and mean > 0 else None
    return Tins(each, mean, apart)


def drying_rate(mass_before: Numbers, *, mass_after: Numbers, tare_mass: Numbers, hours: Numbers) -> Numbers:
    """What a tin still loses in the oven, of its dry soil and per hour.

    ASTM D2216-19: constant mass is reached where it is below 0.1 % in an hour.

    Parameters
    ----------
    mass_before, mass_after : float or (n,) array
        Tin with soil at two weighings, in this order. [kg]
    tare_mass : float or (n,) array
        Empty tin. [kg]
    hours : float or (n,) array
        Time in the oven between the two. [h]

    Returns
    -------
    float or (n,) array
        Loss of the dry mass in an hour; below zero where it became heavier. [1/h]

    Raises
    ------
    InputError
        "not_positive", "negative", "dry_not_above_tare".

    References
    ----------
    [astm-d2216]

    Examples
    --------
    >>> round(drying_rate(0.2503, mass_after=0.2500, tare_mass=0.0500, hours=1.0), 4)
    0.0015
    """
    check_positive(mass_before=mass_before, mass_after=mass_after, hours=hours)
    check_not_negative(tare_mass=tare_mass)
    if not holds(np.asarray(mass_after) > tare_mass):
        raise InputError("dry_not_above_tare", dry_mass=mass_after, tare_mass=tare_mass)
    return (mass_before - mass_after) / (mass_after - tare_mass) / hours


def bulking(damp_height: Numbers, *, flooded_height: Numbers) -> Numbers:
    """How much more room damp sand takes than the same sand dry or flooded.

    Parameters
    ----------
    damp_height : float or (n,) array
        Height of the damp sand, poured loose into a straight jar. [mm]
    flooded_height : float or (n,) array
        Height of the same sand under water, stirred and settled. [mm]

    Returns
    -------
    float or (n,) array
        Bulking of the flooded volume. [-]

    Raises
    ------
    InputError
        "not_positive"; "flooded_above_damp" where the sand did not sink.

    Notes
    -----
    b = (h_damp − h_flooded)/h_flooded; 20 to 40 % at 5 to 8 % water is usual.

    References
    ----------
    [practice-bulking]

    Examples
    --------
    >>> bulking(200.0, flooded_height=160.0)
    0.25
    """
    check_positive(damp_height=damp_height, flooded_height=flooded_height)
    if not holds(np.asarray(flooded_height) <= damp_height):
        raise InputError("flooded_above_damp", damp_height=damp_height, flooded_height=flooded_height)
    return (damp_height - flooded_height) / flooded_height


def volume_shortfall(bulking: Numbers) -> Numbers:
    """Share of the dry sand that is missing from a pail filled with the damp one.

    Parameters
    ----------
    bulking : float or (n,) array
        More room than dry. [-]

    Returns
    -------
    float or (n,) array
        Missing share. [-]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [practice-bulking]

    Examples
    --------
    >>> round(volume_shortfall(0.40), 3)
    0.286
    """
    check_not_negative(bulking=bulking)
    return 1.0 - 1.0 / (1.0 + bulking)


def tamped_to_loose(tamped_dry_density: Numbers, *, loose_dry_density: Numbers) -> Numbers:
    """How much denser a soil lies tamped than poured.

    Parameters
    ----------
    tamped_dry_density, loose_dry_density : float or (n,) array
        Dry mass over the same volume, tamped in layers and poured. [kg/m³]

    Returns
    -------
    float or (n,) array
        Ratio. [-]

    Raises
    ------
    InputError
        "not_positive"; "loose_above_tamped".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> tamped_to_loose(1650.0, loose_dry_density=1320.0)
    1.25
    """
    check_positive(tamped_dry_density=tamped_dry_density, loose_dry_density=loose_dry_density)
    if not holds(np.asarray(loose_dry_density) <= tamped_dry_density):
        raise InputError("loose_above_tamped", loose_dry_density=loose_dry_density, tamped_dry_density=tamped_dry_density)
    return tamped_dry_density / loose_dry_density


def filled_pycnometer(
    calibrated_mass: Numbers, *, empty_pycnometer: Numbers, calibrated_at: Numbers, temperature: Numbers
) -> Numbers:
    """Mass of a pycnometer full of water at the temperature of the test, from one weighing at another.

    ASTM D854-14.

    Parameters
    ----------
    calibrated_mass : float or (n,) array
        Pycnometer full of water. [kg]
    empty_pycnometer : float or (n,) array
        The same, clean and dry. [kg]
    calibrated_at : float or (n,) array
        Temperature of that water. [°C]
    temperature : float or (n,) array
        Temperature of the test. [°C]

    Returns
    -------
    float or (n,) array
        Mass full of water at the temperature of the test. [kg]

    Raises
    ------
    InputError
        "not_positive", "out_of_range"; "pycnometer_not_filled".

    Notes
    -----
    The volume is taken as unchanged: glass grows by 0.001 % for one degree.

    References
    ----------
    [astm-d854]

    Examples
    --------
    >>> round(filled_pycnometer(0.6485, empty_pycnometer=0.1500, calibrated_at=20.0, temperature=25.0), 5)
    0.64792
    """
    check_positive(calibrated_mass=calibrated_mass, empty_pycnometer=empty_pycnometer)
    if not holds(np.asarray(calibrated_mass) > empty_pycnometer):
        raise InputError("pycnometer_not_filled", filled=calibrated_mass, empty=empty_pycnometer)
    water = calibrated_mass - empty_pycnometer
    return water * water_density(temperature) / water_density(calibrated_at) + empty_pycnometer


def specific_gravity(
    dry_mass: Numbers, *, filled_pycnometer: Numbers, pycnometer_with_soil: Numbers, temperature: Numbers
) -> Numbers:
    """Specific gravity of the grains at 20 °C, by pycnometer.

    ASTM D854-14.

    Parameters
    ----------
    dry_mass : float or (n,) array
        Dry soil in the pycnometer. [kg]
    filled_pycnometer : float or (n,) array
        Pycnometer full of water at the temperature of the test. [kg]
    pycnometer_with_soil : float or (n,) array
        Pycnometer with the soil, filled up with water and freed of air. [kg]
    temperature : float or (n,) array
        Temperature of the test. [°C]

    Returns
    -------
    float or (n,) array
        Density of the grains over that of water at 20 °C. [-]

    Raises
    ------
    InputError
        "not_positive", "out_of_range"; "soil_displaces_nothing" where pycnometer and soil weigh as much as the two apart.

    Notes
    -----
    G at the temperature of the test is m_s / (m_s + m_pw − m_pws); times ρ_w(T)/ρ_w(20), the factor K of the standard.

    References
    ----------
    [astm-d854]

    Examples
    --------
    >>> found = specific_gravity(0.0500, filled_pycnometer=0.6479, pycnometer_with_soil=0.6790, temperature=25.0)
    >>> round(found, 3)
    2.642
    """
    check_positive(dry_mass=dry_mass, filled_pycnometer=filled_pycnometer, pycnometer_with_soil=pycnometer_with_soil)
    displaced = dry_mass + filled_pycnometer - pycnometer_with_soil
    if not holds(np.asarray(displaced) > 0):
        raise InputError("soil_displaces_nothing", with_soil=pycnometer_with_soil, filled=filled_pycnometer, soil=dry_mass)
    return dry_mass / displaced * water_density(temperature) / water_density(REPORT_TEMPERATURE)
