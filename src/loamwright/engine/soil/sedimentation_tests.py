"""Hydrometer and pipette: the share of a soil that is still in suspension."""

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.hydrometer import SCALE_TEMPERATURE, hydrometer_correction_factor
from loamwright.engine.soil.settling import water_density
from loamwright.errors import InputError, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]
_RHO_S = Term("grain_density", "kg/m3")
FINER_152H = Formula(
    "finer_in_suspension",
    "P",
    "1",
    "a * R_c * V / m_dry",
    {
        "a": Term("hydrometer_correction_factor", "1"),
        "R_c": Term("corrected_reading", "1"),
        "V": Term("suspension_volume", "m3"),
        "m_dry": Term("dry_mass", "kg"),
    },
    "astm-d422",
    "14.3",
)
FINER_151H = Formula(
    "finer_in_suspension",
    "P",
    "1",
    "rho_20 * R_c * rho_s / (rho_s - rho_w) * V / m_dry",
    {
        "rho_20": Term("reference_density", "kg/m3"),
        "R_c": Term("corrected_reading", "1"),
        "rho_s": _RHO_S,
        "rho_w": Term("water_density", "kg/m3"),
        "V": Term("suspension_volume", "m3"),
        "m_dry": Term("dry_mass", "kg"),
    },
    "astm-d422",
    "14.3",
)
FINER_BY_PIPETTE = Formula(
    "finer_in_suspension",
    "P",
    "1",
    "(m_r - m_a) / v * V / m_dry",
    {
        "m_r": Term("residue_mass", "kg"),
        "m_a": Term("agent_mass", "kg"),
        "v": Term("pipette_volume", "m3"),
        "V": Term("suspension_volume", "m3"),
        "m_dry": Term("dry_mass", "kg"),
    },
    "iso-11277",
)


def finer_by_152h(
    corrected_reading: Numbers, *, grain_density: Numbers, dry_mass: Numbers, suspension_volume: Numbers = 0.001
) -> Numbers:
    """Share still in suspension by a 152H.

    ASTM D422 (withdrawn), 14.3: P = R a / W.

    Parameters
    ----------
    corrected_reading : float or (n,) array
        Freed of dispersant, meniscus and temperature, g/l. [kg/m³]
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]
    dry_mass : float or (n,) array
        Dry soil in the cylinder. [kg]
    suspension_volume : float or (n,) array
        Usually one litre. [m³]

    Returns
    -------
    float or (n,) array
        Share of the soil in the cylinder that is finer than the grain still afloat. [-]

    Raises
    ------
    InputError
        "negative", "not_positive", "grain_does_not_sink"; "more_than_whole" above one.

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(finer_by_152h(46.15, grain_density=2750.0, dry_mass=0.050), 3)
    0.903
    """
    check_not_negative(corrected_reading=corrected_reading)
    check_positive(dry_mass=dry_mass, suspension_volume=suspension_volume)
    share = hydrometer_correction_factor(grain_density) * corrected_reading * suspension_volume / dry_mass
    return _share(share)


def suspension_density(hydrometer_reading: Numbers, *, meniscus: Numbers, calibration_density: Numbers) -> Numbers:
    """Density of a suspension from a reading of a 151H.

    Parameters
    ----------
    hydrometer_reading : float or (n,) array
        Reading at the top of the meniscus. [-]
    meniscus : float or (n,) array
        From the top of the meniscus down to the water surface, in units of the scale. [-]
    calibration_density : float or (n,) array
        Density of the water the scale is made for: 998.2 at 20 °C. [kg/m³]

    Returns
    -------
    float or (n,) array
        Density. [kg/m³]

    Raises
    ------
    InputError
        "not_positive" or "negative".

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(suspension_density(1.026, meniscus=0.0005, calibration_density=998.3), 1)
    1024.8
    """
    check_positive(hydrometer_reading=hydrometer_reading, calibration_density=calibration_density)
    check_not_negative(meniscus=meniscus)
    return (hydrometer_reading + meniscus) * calibration_density


def fluid_density(water_density: Numbers, *, agent_density: Numbers) -> Numbers:
    """Density of the water with its dispersant.

    Parameters
    ----------
    water_density : float or (n,) array
        Pure water at the temperature of the test. [kg/m³]
    agent_density : float or (n,) array
        What the dispersant adds. [kg/m³]

    Returns
    -------
    float or (n,) array
        Density without soil. [kg/m³]

    Raises
    ------
    InputError
        "not_positive" or "negative".

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> fluid_density(997.77, agent_density=2.0)
    999.77
    """
    check_positive(water_density=water_density)
    check_not_negative(agent_density=agent_density)
    return water_density + agent_density


def finer_by_151h(
    corrected_reading: Numbers,
    *,
    temperature: Numbers,
    grain_density: Numbers,
    dry_mass: Numbers,
    suspension_volume: Numbers = 0.001,
) -> Numbers:
    """Share still in suspension by a 151H.

    ASTM D422 (withdrawn), 14.3, with the water of the scale in place of 1000 kg/m³.

    Parameters
    ----------
    corrected_reading : float or (n,) array
        Reading less that of the blank. [-]
    temperature : float or (n,) array
        Temperature of the suspension. [°C]
    grain_density : float or (n,) array
        Density of the solid grain. [kg/m³]
    dry_mass : float or (n,) array
        Dry soil in the cylinder. [kg]
    suspension_volume : float or (n,) array
        Usually one litre. [m³]

    Returns
    -------
    float or (n,) array
        Share of the soil in the cylinder that is finer than the grain still afloat. [-]

    Raises
    ------
    InputError
        "negative", "not_positive", "grain_does_not_sink", "out_of_range"; "more_than_whole" above one.

    Notes
    -----
    P = ρ_20 ΔR · ρ_s/(ρ_s − ρ_w) · V / m. The standard's 100 000/W takes water as 1000 kg/m³ and is 0.18 % higher.

    References
    ----------
    [astm-d422]

    Examples
    --------
    >>> round(finer_by_151h(0.0200, temperature=20.0, grain_density=2650.0, dry_mass=0.050), 3)
    0.641
    """
    check_not_negative(corrected_reading=corrected_reading)
    check_positive(dry_mass=dry_mass, suspension_volume=suspension_volume)
    water = water_density(temperature)
    if not holds(np.asarray(grain_density) > water):
        raise InputError("grain_does_not_sink", quantity="grain_density", value=grain_density)
    solids = water_density(SCALE_TEMPERATURE) * corrected_reading * grain_density / (grain_density - water)
    return _share(solids * suspension_volume / dry_mass)


def finer_by_pipette(
    residue_mass: Numbers, *, agent_mass: Numbers, pipette_volume: Numbers, dry_mass: Numbers, suspension_volume: Numbers
) -> Numbers:
    """Share still in suspension by a pipette sample dried and weighed.

    ISO 11277.

    Parameters
    ----------
    residue_mass : float or (n,) array
        Dry residue of one sample. [kg]
    agent_mass : float or (n,) array
        Dry dispersant in a sample of the same volume, from the blank. [kg]
    pipette_volume : float or (n,) array
        Volume of one sample. [m³]
    dry_mass : float or (n,) array
        Dry soil in the cylinder. [kg]
    suspension_volume : float or (n,) array
        Volume of the suspension. [m³]

    Returns
    -------
    float or (n,) array
        Share of the soil in the cylinder that is finer than the grain still afloat at the depth of the pipette. [-]

    Raises
    ------
    InputError
        "negative", "not_positive"; "residue_below_agent" where the sample weighs less than its dispersant alone;
        "more_than_whole" above one.

    Notes
    -----
    P = (m_r − m_a)/v · V/m. What earlier samples took out of the cylinder is not made up for: five of 20 ml take a tenth of a
    litre, but leave its concentration as it was.

    References
    ----------
    [iso-11277]

    Examples
    --------
    >>> round(finer_by_pipette(0.00025, agent_mass=0.00002, pipette_volume=2e-5, dry_mass=0.020, suspension_volume=5e-4), 4)
    0.2875
    """
    check_not_negative(residue_mass=residue_mass, agent_mass=agent_mass)
    check_positive(pipette_volume=pipette_volume, dry_mass=dry_mass, suspension_volume=suspension_volume)
    if not holds(np.asarray(residue_mass) >= agent_mass):
        raise InputError("residue_below_agent", residue_mass=float(np.min(residue_mass)), agent_mass=float(np.max(agent_mass)))
    return _share((residue_mass - agent_mass) / pipette_volume * suspension_volume / dry_mass)


def _share(share: Numbers) -> Numbers:
    if not holds(np.asarray(share) <= 1.0):
        raise InputError("more_than_whole", share=float(np.max(share)))
    return share
