"""Salts, sulfur and organic matter of a soil: from an extract to the dry soil, what an extract can show, limits that disagree.

Every share is of dry soil. An extract is named by the water shaken with one part of dry soil: 1 for 1:1, 10 for 10:1.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loamwright.errors import InputError, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]
Bound = Literal["most", "least"]

WATER = 1000.0
"""Density of the water of an extract, near enough between 5 and 30 °C. [kg/m³]"""
SULFATE_OF_GYPSUM = 96.06 / 172.17
"""SO4 in CaSO4·2H2O by molar masses. [-] [atomic-masses]"""
SULFATE_OF_TRIOXIDE = 96.06 / 80.06
"""SO4 over SO3 by molar masses. [-] [atomic-masses]"""
SULFATE_OF_SULFUR = 96.06 / 32.06
"""SO4 over S by molar masses. [-] [atomic-masses]"""
DIGITS = 12
"""Values are held against limits to so many decimals, so that 0.3 % typed as per cent lies on a limit of 0.003."""

SALT_OF_SOIL = Formula(
    "salt_of_soil",
    "s",
    "1",
    "c * r / 1000",
    {"c": Term("extract_concentration", "kg/m3"), "r": Term("water_per_soil", "1")},
    "derivation-salts",
)
GYPSUM_CEILING = Formula(
    "gypsum_ceiling",
    "s_g",
    "1",
    "c_g * 96.06 / 172.17 * r / 1000",
    {"c_g": Term("gypsum_solubility", "kg/m3"), "r": Term("water_per_soil", "1")},
    "derivation-salts",
)
SULFATE_FROM_TRIOXIDE = Formula(
    "sulfate_of_soil", "s", "1", "x * 96.06 / 80.06", {"x": Term("trioxide_of_soil", "1")}, "atomic-masses"
)
TOTAL_POTENTIAL_SULFATE = Formula(
    "total_potential_sulfate", "s_p", "1", "x * 96.06 / 32.06", {"x": Term("sulfur_of_soil", "1")}, "bre-sd1"
)
OXIDISABLE_SULFATE = Formula(
    "oxidisable_sulfate",
    "s_o",
    "1",
    "s_p - s_a",
    {"s_p": Term("total_potential_sulfate", "1"), "s_a": Term("acid_sulfate", "1")},
    "bre-sd1",
)
LOSS_ON_IGNITION = Formula(
    "loss_on_ignition",
    "L",
    "1",
    "(m_1 - m_2) / (m_1 - m_tare)",
    {"m_1": Term("dried_mass", "kg"), "m_2": Term("ignited_mass", "kg"), "m_tare": Term("tare_mass", "kg")},
    "astm-d2974",
)


def salt_of_soil(extract_concentration: Numbers, *, water_per_soil: Numbers) -> Numbers:
    """Salt in dry soil from what an extract holds.

    Parameters
    ----------
    extract_concentration : float or array
        Salt in the water of the extract; 1 mg/l is 0.001 kg/m³. [kg/m³]
    water_per_soil : float or array
        Mass of water over mass of dry soil: 1, 2, 5, 10. [-]

    Returns
    -------
    float or array
        Mass of salt over mass of dry soil; 0.001 is 1,000 mg/kg. [-]

    Raises
    ------
    InputError
        "negative", "not_positive"; "more_salt_than_soil" where it comes to more than the soil itself.

    References
    ----------
    [derivation-salts]

    Examples
    --------
    >>> round(salt_of_soil(0.48, water_per_soil=10.0), 6)
    0.0048
    """
    check_not_negative(extract_concentration=extract_concentration)
    check_positive(water_per_soil=water_per_soil)
    found = extract_concentration * water_per_soil / WATER
    if not holds(found < 1.0):
        raise InputError("more_salt_than_soil", extract_concentration=extract_concentration, water_per_soil=water_per_soil)
    return found


def gypsum_ceiling(water_per_soil: Numbers, *, gypsum_solubility: Numbers) -> Numbers:
    """Most sulfate an extract can show of a soil whose sulfate is gypsum: the water holds no more of it.

    Parameters
    ----------
    water_per_soil : float or array
        Mass of water over mass of dry soil. [-]
    gypsum_solubility : float or array
        Gypsum (with its water) that dissolves. [kg/m³]

    Returns
    -------
    float or array
        Sulfate, SO4, of dry soil. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-salts]

    Examples
    --------
    >>> round(gypsum_ceiling(1.0, gypsum_solubility=2.0), 6), round(gypsum_ceiling(10.0, gypsum_solubility=2.0), 5)
    (0.001116, 0.01116)
    """
    check_positive(water_per_soil=water_per_soil, gypsum_solubility=gypsum_solubility)
    return gypsum_solubility * SULFATE_OF_GYPSUM * water_per_soil / WATER


def sulfate_from_trioxide(trioxide_of_soil: Numbers) -> Numbers:
    """Sulfate as SO4 of a figure reported as SO3.

    Parameters
    ----------
    trioxide_of_soil : float or array
        SO3 of dry soil. [-]

    Returns
    -------
    float or array
        SO4 of dry soil. [-]

    Raises
    ------
    InputError
        "out_of_range" outside 0 to 0.8: more would be no soil.

    References
    ----------
    [atomic-masses]

    Examples
    --------
    >>> round(sulfate_from_trioxide(0.010), 5)
    0.012
    """
    check_between(0.0, 0.8, trioxide_of_soil=trioxide_of_soil)
    return trioxide_of_soil * SULFATE_OF_TRIOXIDE


def total_potential_sulfate(sulfur_of_soil: Numbers) -> Numbers:
    """Sulfate there would be if all sulfur of a soil turned to it in air and water.

    Parameters
    ----------
    sulfur_of_soil : float or array
        Total sulfur, S, of dry soil. [-]

    Returns
    -------
    float or array
        Sulfate, SO4, of dry soil. [-]

    Raises
    ------
    InputError
        "out_of_range" outside 0 to 0.3.

    References
    ----------
    [bre-sd1]

    Examples
    --------
    >>> round(total_potential_sulfate(0.002), 5)
    0.00599
    """
    check_between(0.0, 0.3, sulfur_of_soil=sulfur_of_soil)
    return sulfur_of_soil * SULFATE_OF_SULFUR


def oxidisable_sulfate(total_potential_sulfate: Numbers, *, acid_sulfate: Numbers) -> Numbers:
    """Sulfate that sulfides may still turn into.

    Parameters
    ----------
    total_potential_sulfate : float or array
        From total sulfur, as SO4 of dry soil. [-]
    acid_sulfate : float or array
        Acid-soluble sulfate, as SO4 of dry soil. [-]

    Returns
    -------
    float or array
        [-]

    Raises
    ------
    InputError
        "negative"; "sulfate_above_sulfur" where there is more sulfate than all sulfur can make, beyond a tenth for two tests.

    References
    ----------
    [bre-sd1]

    Examples
    --------
    >>> round(oxidisable_sulfate(0.006, acid_sulfate=0.002), 4)
    0.004
    """
    check_not_negative(total_potential_sulfate=total_potential_sulfate, acid_sulfate=acid_sulfate)
    if not holds(acid_sulfate <= 1.1 * total_potential_sulfate):
        raise InputError("sulfate_above_sulfur", acid=acid_sulfate, potential=total_potential_sulfate)
    return total_potential_sulfate - acid_sulfate


def loss_on_ignition(dried_mass: Numbers, *, ignited_mass: Numbers, tare_mass: Numbers) -> Numbers:
    """What dried soil loses in the furnace: organic matter, with water of clay and gypsum beside it.

    Parameters
    ----------
    dried_mass : float or array
        Dish with soil dried in the oven. [kg]
    ignited_mass : float or array
        The same after the furnace. [kg]
    tare_mass : float or array
        Empty dish. [kg]

    Returns
    -------
    float or array
        Loss over dry soil. [-]

    Raises
    ------
    InputError
        "negative"; "nothing_in_dish"; "ignited_heavier".

    References
    ----------
    [astm-d2974]

    Examples
    --------
    >>> round(loss_on_ignition(0.070, ignited_mass=0.0685, tare_mass=0.020), 4)
    0.03
    """
    check_not_negative(dried_mass=dried_mass, ignited_mass=ignited_mass, tare_mass=tare_mass)
    if not holds(tare_mass < ignited_mass):
        raise InputError("nothing_in_dish", ignited=ignited_mass, tare=tare_mass)
    if not holds(ignited_mass <= dried_mass):
        raise InputError("ignited_heavier", ignited=ignited_mass, dried=dried_mass)
    return (dried_mass - ignited_mass) / (dried_mass - tare_mass)


@dataclass(frozen=True, slots=True)
class Gate:
    """A limit some source sets.

    Attributes
    ----------
    key : str
        Its row in data/salt_limits.toml.
    bound : {"most", "least"}
        Whether a value may be at most or must be at least this.
    value : float
        In the unit of the property.
    """

    key: str
    bound: Bound
    value: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """Gates a value does not pass, the strictest first, and gates it passes, the most lenient last."""

    failed: tuple[Gate, ...]
    passed: tuple[Gate, ...]


def held_against(value: float, *, gates: Iterable[Gate]) -> Verdict:
    """A value held against limits that may disagree; the strictest decides, so one failed gate is enough.

    Parameters
    ----------
    value : float
        In the unit of the gates. [any]
    gates : iterable of Gate
        All of one property.

    Returns
    -------
    Verdict

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [derivation-salts]

    Examples
    --------
    >>> found = held_against(0.002, gates=[Gate("road", "most", 0.003), Gate("manual", "most", 0.001)])
    >>> [gate.key for gate in found.failed], [gate.key for gate in found.passed]
    (['manual'], ['road'])
    """
    check_not_negative(value=value)
    ordered = sorted(gates, key=lambda gate: gate.value if gate.bound == "most" else -gate.value)
    passes = {gate.key: _passes(round(value, DIGITS), gate) for gate in ordered}
    return Verdict(tuple(gate for gate in ordered if not passes[gate.key]), tuple(gate for gate in ordered if passes[gate.key]))


def _passes(value: float, gate: Gate) -> bool:
    return value <= gate.value if gate.bound == "most" else value >= gate.value
