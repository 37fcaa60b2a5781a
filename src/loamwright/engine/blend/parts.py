"""Blends in whole parts by volume: what each named source gives to the dry mass, and what the blend holds."""

from collections.abc import Mapping, Sequence
from functools import reduce
from math import gcd

import numpy as np
from numpy.typing import NDArray

from loamwright.errors import InputError, check_not_negative, check_positive
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]


def _products(count: int, *symbols: str) -> str:
    return " + ".join(" * ".join(f"{symbol}_{i}" for symbol in symbols) for i in range(1, count + 1))


def _terms(count: int, *kinds: tuple[str, str, str]) -> dict[str, Term]:
    return {f"{symbol}_{i}": Term(name, unit) for i in range(1, count + 1) for symbol, name, unit in kinds}


_PARTS = ("v", "parts", "1")
_PAIL = ("m", "pail_dry_mass", "kg")


def blend_dry_mass_formula(count: int) -> Formula:
    """The dry mass of one round of pails, written out for this many sources (v_1, m_1, v_2, ...).

    >>> blend_dry_mass_formula(2).expression
    'v_1 * m_1 + v_2 * m_2'
    """
    return Formula("blend_dry_mass", "S", "kg", _products(count, "v", "m"), _terms(count, _PARTS, _PAIL), "derivation-blend")


def mass_share_formula(count: int) -> Formula:
    """The mass share of the first of this many sources; number the wanted source 1.

    >>> mass_share_formula(2).expression
    'v_1 * m_1 / (v_1 * m_1 + v_2 * m_2)'
    """
    expression = f"v_1 * m_1 / ({_products(count, 'v', 'm')})"
    return Formula("mass_share", "f", "1", expression, _terms(count, _PARTS, _PAIL), "derivation-blend")


def blend_property_formula(count: int) -> Formula:
    """A mass-based property of a blend of this many sources, with x_1, x_2, ... the property of each.

    >>> blend_property_formula(2).expression
    '(v_1 * m_1 * x_1 + v_2 * m_2 * x_2) / (v_1 * m_1 + v_2 * m_2)'
    """
    expression = f"({_products(count, 'v', 'm', 'x')}) / ({_products(count, 'v', 'm')})"
    terms = _terms(count, _PARTS, _PAIL, ("x", "source_property", "1"))
    return Formula("blend_property", "x", "1", expression, terms, "derivation-blend")


BLEND_DRY_MASS = blend_dry_mass_formula(2)
MASS_SHARE = mass_share_formula(2)
BLEND_PROPERTY = blend_property_formula(2)
SOURCE_DRY_MASS = Formula(
    "source_dry_mass",
    "S_i",
    "kg",
    "f * S",
    {"f": Term("mass_share", "1"), "S": Term("dry_soil_mass", "kg")},
    "derivation-blend",
)


def check_parts(parts: Mapping[str, int]) -> None:
    """Raise `InputError` unless there is at least one source and every number of parts is a whole number above zero.

    Codes: "no_parts", "not_whole" (2.5, 2.0 and True are all refused), "not_positive".
    """
    if not parts:
        raise InputError("no_parts")
    for source, count in parts.items():
        if isinstance(count, bool) or not isinstance(count, (int, np.integer)):
            raise InputError("not_whole", quantity="parts", source=source, value=count)
        if count <= 0:
            raise InputError("not_positive", quantity="parts", source=source, value=count)


def reduced_parts(parts: Mapping[str, int]) -> dict[str, int]:
    """The same ratio in its smallest whole numbers, in the order given.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of each named source. [-]

    Returns
    -------
    dict of source to int
        Parts divided by their greatest common divisor.

    Raises
    ------
    InputError
        "no_parts", "not_whole" or "not_positive".

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> reduced_parts({"sandy": 10, "clay": 4})
    {'sandy': 5, 'clay': 2}
    """
    check_parts(parts)
    divisor = reduce(gcd, (int(count) for count in parts.values()))
    return {source: int(count) // divisor for source, count in parts.items()}


def values_of(parts: Mapping[str, int], values: Mapping[str, Numbers], *, quantity: str) -> list[Numbers]:
    """One value for each source of the blend, sorted by source name; "source_missing" and "draws_differ" are refused."""
    missing = sorted(set(parts) - set(values))
    if missing:
        raise InputError("source_missing", quantity=quantity, missing=", ".join(missing))
    chosen = [values[source] for source in sorted(parts)]
    lengths = {np.shape(value) for value in chosen} - {()}
    if len(lengths) > 1:
        raise InputError("draws_differ", quantity=quantity, shapes=sorted(lengths))
    return chosen


def _source_masses(parts: Mapping[str, int], pail_dry_mass: Mapping[str, Numbers]) -> dict[str, Numbers]:
    """Dry mass per source, in sorted order so that the order in which sources were named changes no last digit."""
    check_parts(parts)
    pails = values_of(parts, pail_dry_mass, quantity="pail_dry_mass")
    check_positive(**{f"pail_dry_mass of {source}": mass for source, mass in zip(sorted(parts), pails, strict=True)})
    return {source: int(parts[source]) * mass for source, mass in zip(sorted(parts), pails, strict=True)}


def total_of(values: Sequence[Numbers]) -> Numbers:
    """Sum of floats or arrays in the order given (callers sort by source first)."""
    total = values[0]
    for value in values[1:]:
        total = total + value
    return total


def blend_dry_mass(parts: Mapping[str, int], *, pail_dry_mass: Mapping[str, Numbers]) -> Numbers:
    """Dry mass of one set of pails.

    Mass balance; no standard needed.

    Parameters
    ----------
    parts : mapping of source to int
        Pails of each named source in the set (not reduced). [-]
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one struck pail of each source; its bulking is already in it. [kg]

    Returns
    -------
    float or (n,) array
        Dry soil of the set. [kg]

    Raises
    ------
    InputError
        "no_parts", "not_whole", "not_positive", "source_missing" or "draws_differ".

    Notes
    -----
    S = Σ v·m.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> blend_dry_mass({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 28.0, "clay": 23.0})
    186.0
    """
    return total_of(list(_source_masses(parts, pail_dry_mass).values()))


def mass_shares(parts: Mapping[str, int], *, pail_dry_mass: Mapping[str, Numbers]) -> dict[str, Numbers]:
    """Share of each source in the dry mass of a blend.

    Mass balance; no standard needed.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of each named source. [-]
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one pail of each source. [kg]

    Returns
    -------
    dict of source to float or (n,) array
        Mass shares in the order of `parts`; they sum to one. [-]

    Raises
    ------
    InputError
        "no_parts", "not_whole", "not_positive", "source_missing" or "draws_differ".

    Notes
    -----
    f_i = v_i·m_i / Σ v·m. Multiplying all parts by one number changes nothing, to the last digit.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> shares = mass_shares({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 28.4, "clay": 22.4})
    >>> {source: round(share, 3) for source, share in shares.items()}
    {'sandy': 0.76, 'clay': 0.24}
    """
    masses = _source_masses(reduced_parts(parts), pail_dry_mass)
    total = total_of(list(masses.values()))
    return {source: masses[source] / total for source in parts}


def blend_property(
    parts: Mapping[str, int], *, pail_dry_mass: Mapping[str, Numbers], source_property: Mapping[str, Numbers]
) -> Numbers:
    """A property of the blend that goes with dry mass: the mean of the sources weighted by mass share.

    Exact for shares of the dry mass (gravel, sand, silt, clay, fines, salts); `blend_properties` refuses what is not linear.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of each named source. [-]
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one pail of each source. [kg]
    source_property : mapping of source to float or (n,) array
        The property of each source; draw i of every source belongs to the same world. [-]

    Returns
    -------
    float or (n,) array
        The property of the blend. [-]

    Raises
    ------
    InputError
        As `mass_shares`; "negative" for a property below zero.

    Notes
    -----
    x = Σ f_i·x_i.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> pails = {"sandy": 28.4, "clay": 22.4}
    >>> round(blend_property({"sandy": 5, "clay": 2}, pail_dry_mass=pails, source_property={"sandy": 0.09, "clay": 0.38}), 3)
    0.16
    """
    shares = mass_shares(parts, pail_dry_mass=pail_dry_mass)
    values = values_of(parts, source_property, quantity="source_property")
    check_not_negative(**{f"source_property of {source}": value for source, value in zip(sorted(parts), values, strict=True)})
    return total_of([shares[source] * value for source, value in zip(sorted(parts), values, strict=True)])


def source_dry_mass(
    parts: Mapping[str, int], *, pail_dry_mass: Mapping[str, Numbers], source: str, dry_soil_mass: Numbers
) -> Numbers:
    """Dry mass of one source, such as the scarce one, in a given dry mass of blended soil.

    Mass balance; no standard needed.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of each named source. [-]
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one pail of each source. [kg]
    source : str
        The source asked for.
    dry_soil_mass : float or (n,) array
        Dry mass of the whole soil blend, without stabiliser. [kg]

    Returns
    -------
    float or (n,) array
        Dry mass of that source. [kg]

    Raises
    ------
    InputError
        As `mass_shares`; "source_missing" if the blend has no such source; "negative" for dry_soil_mass below zero.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> round(source_dry_mass({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 1.42, "clay": 1.12},
    ...                       source="clay", dry_soil_mass=40_738.0))
    9770
    """
    if source not in parts:
        raise InputError("source_missing", quantity="parts", missing=source)
    check_not_negative(dry_soil_mass=dry_soil_mass)
    return mass_shares(parts, pail_dry_mass=pail_dry_mass)[source] * dry_soil_mass
