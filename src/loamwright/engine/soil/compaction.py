"""Dry density against water under one effort: the effort itself, air voids, the oversize that was left out."""

from collections.abc import Sequence

from loamwright import tables
from loamwright.engine.bench.phases import (
    LEAST_SPECIFIC_GRAVITY,
    MOST_SPECIFIC_GRAVITY,
    STANDARD_GRAVITY,
    WATER_DENSITY,
    void_ratio,
)
from loamwright.engine.bench.phases import saturation as degree_of_saturation
from loamwright.errors import InputError, check_between, check_not_negative, check_positive, check_share
from loamwright.formula import Formula, Term

_W = Term("water_content", "1")
_G = Term("specific_gravity", "1")

EFFORT = Formula(
    "compaction_effort",
    "E",
    "kJ/m3",
    f"m_r * {STANDARD_GRAVITY} * h / 1000 * n_b * n_l / V / 1000",
    {
        "m_r": Term("rammer_mass", "kg"),
        "h": Term("rammer_drop", "mm"),
        "n_b": Term("blows_per_layer", "1"),
        "n_l": Term("layers", "1"),
        "V": Term("mould_volume", "m3"),
    },
    "astm-d698",
)
POINT_DENSITY = Formula(
    "dry_density",
    "rho_d",
    "kg/m3",
    "m / V / (1 + w)",
    {"m": Term("moist_mass", "kg"), "V": Term("mould_volume", "m3"), "w": _W},
    "astm-d698",
)
NO_AIR = Formula(
    "zero_air_density", "rho_z", "kg/m3", f"{WATER_DENSITY:.0f} * G_s / (1 + w * G_s)", {"G_s": _G, "w": _W}, "derivation-phases"
)
_COARSE = {"C": Term("coarse_share", "1")}
CORRECTED_DENSITY = Formula(
    "corrected_density",
    "rho_c",
    "kg/m3",
    f"1 / ((1 - C) / rho_f + C / (G_c * {WATER_DENSITY:.0f}))",
    {**_COARSE, "rho_f": Term("dry_density", "kg/m3"), "G_c": Term("coarse_gravity", "1")},
    "astm-d4718",
)
CORRECTED_WATER = Formula(
    "corrected_water",
    "w_c",
    "1",
    "(1 - C) * w_f + C * w_s",
    {**_COARSE, "w_f": _W, "w_s": Term("coarse_water", "1")},
    "astm-d4718",
)


def compaction_effort(
    rammer_mass: float, *, rammer_drop: float, blows_per_layer: float, layers: float, mould_volume: float
) -> float:
    """Work of a falling rammer over the volume it compacts.

    ASTM D698-12 and D1557-12 among others.

    Parameters
    ----------
    rammer_mass : float
        [kg]
    rammer_drop : float
        Height of fall. [mm]
    blows_per_layer, layers : float
        [-]
    mould_volume : float
        [m³]

    Returns
    -------
    float
        Work over volume. [kJ/m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [astm-d698]

    Examples
    --------
    >>> round(compaction_effort(2.4948, rammer_drop=304.8, blows_per_layer=25, layers=3, mould_volume=943.9e-6), 0)
    593.0
    """
    check_positive(
        rammer_mass=rammer_mass,
        rammer_drop=rammer_drop,
        blows_per_layer=blows_per_layer,
        layers=layers,
        mould_volume=mould_volume,
    )
    return rammer_mass * STANDARD_GRAVITY * rammer_drop / 1000 * blows_per_layer * layers / mould_volume / 1000


def efforts() -> tables.Table:
    """Published efforts: rammer, drop, layers, blows and mould, from data/efforts.toml.

    >>> efforts()["standard_4in"]["layers"]
    3.0
    """
    return tables.load("efforts", required=("called", "rammer_mass", "drop", "layers", "blows", "mould_volume"))


def zero_air_density(water_content: float, *, specific_gravity: float) -> float:
    """Dry density of soil whose voids hold water only: no reading can lie above it.

    Parameters
    ----------
    water_content : float
        Of dry mass. [-]
    specific_gravity : float
        Of the grains, 1.5 to 6. [-]

    Returns
    -------
    float
        Dry density without air. [kg/m³]

    Raises
    ------
    InputError
        "negative", "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(zero_air_density(0.10, specific_gravity=2.75), 1)
    2156.9
    """
    check_not_negative(water_content=water_content)
    check_between(LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY, specific_gravity=specific_gravity)
    return WATER_DENSITY * specific_gravity / (1.0 + water_content * specific_gravity)


def water_filled(dry_density: float, *, water_content: float, specific_gravity: float) -> float:
    """Share of the voids that a point's water fills; above 1 the point is impossible.

    Parameters
    ----------
    dry_density : float
        [kg/m³]
    water_content : float
        Of dry mass. [-]
    specific_gravity : float
        Of the grains, 1.5 to 6. [-]

    Returns
    -------
    float
        Volume of water over volume of voids. [-]

    Raises
    ------
    InputError
        "not_positive", "negative", "out_of_range", "denser_than_solids".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(water_filled(2010.48, water_content=0.113748, specific_gravity=2.71), 3)
    0.886
    """
    found = void_ratio(dry_density, specific_gravity=specific_gravity)
    return degree_of_saturation(water_content, specific_gravity=specific_gravity, void_ratio=found)


def impossible_points(
    dry_densities: Sequence[float], *, water_contents: Sequence[float], specific_gravity: float
) -> tuple[int, ...]:
    """Places of the points that lie to the right of the zero-air-voids line.

    Parameters
    ----------
    dry_densities : (n,) sequence
        [kg/m³]
    water_contents : (n,) sequence
        [-]
    specific_gravity : float
        Of the grains, 1.5 to 6. [-]

    Returns
    -------
    tuple of int
        Counted from 0.

    Raises
    ------
    InputError
        "lengths_differ", "negative", "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> impossible_points([1900.0, 2100.0], water_contents=[0.10, 0.14], specific_gravity=2.7)
    (1,)
    """
    if len(dry_densities) != len(water_contents):
        raise InputError("lengths_differ")
    pairs = zip(dry_densities, water_contents, strict=True)
    return tuple(
        place
        for place, (density, water) in enumerate(pairs)
        if density > zero_air_density(water, specific_gravity=specific_gravity)
    )


def corrected_density(dry_density: float, *, coarse_share: float, coarse_gravity: float) -> float:
    """Dry density of the whole soil from that of its fine part, with the stones put back in.

    ASTM D4718: up to 40 % stones above 4.75 mm, or 30 % above 19 mm.

    Parameters
    ----------
    dry_density : float
        Of the fine part as compacted. [kg/m³]
    coarse_share : float
        Stones left out, over the whole by dry mass. [-]
    coarse_gravity : float
        Density of the stones over that of water, 1.5 to 6. [-]

    Returns
    -------
    float
        Of the whole. [kg/m³]

    Raises
    ------
    InputError
        "not_positive", "not_a_share", "out_of_range".

    References
    ----------
    [astm-d4718]

    Examples
    --------
    >>> round(corrected_density(1900.0, coarse_share=0.20, coarse_gravity=2.65), 1)
    2014.0
    """
    check_positive(dry_density=dry_density)
    check_share(coarse_share=coarse_share)
    check_between(LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY, coarse_gravity=coarse_gravity)
    return 1.0 / ((1.0 - coarse_share) / dry_density + coarse_share / (coarse_gravity * WATER_DENSITY))


def corrected_water(water_content: float, *, coarse_share: float, coarse_water: float) -> float:
    """Water content of the whole soil from those of its fine part and of its stones.

    ASTM D4718.

    Parameters
    ----------
    water_content : float
        Of the fine part. [-]
    coarse_share : float
        Stones left out, over the whole by dry mass. [-]
    coarse_water : float
        Water of the stones, surface dry, over their dry mass. [-]

    Returns
    -------
    float
        Of the whole. [-]

    Raises
    ------
    InputError
        "negative", "not_a_share".

    References
    ----------
    [astm-d4718]

    Examples
    --------
    >>> round(corrected_water(0.12, coarse_share=0.20, coarse_water=0.02), 4)
    0.1
    """
    check_not_negative(water_content=water_content, coarse_water=coarse_water)
    check_share(coarse_share=coarse_share)
    return (1.0 - coarse_share) * water_content + coarse_share * coarse_water
