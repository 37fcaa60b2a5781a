"""Pressing: gauge to pressure on the soil, or fill mass and height where there is no gauge."""

import math

from loamwright.engine.bench.moisture import LARGEST_WATER_CONTENT
from loamwright.errors import InputError, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

_SOURCE = "derivation-pressing"
_P = Term("gauge_pressure", "MPa")
_RAM = {"D": Term("bore", "mm"), "N": Term("cylinders", "1"), "d": Term("rod_diameter", "mm")}
_MOULD = {"l": Term("mould_length", "mm"), "b": Term("mould_width", "mm")}
_BLOCK = {"l": Term("block_length", "mm"), "b": Term("block_width", "mm"), "h": Term("block_height", "mm")}
_W = Term("water_content", "1")
_GREEN = {"m": Term("green_mass", "kg"), "V": Term("block_volume", "m3")}

CYLINDER_AREA = Formula("cylinder_area", "A_c", "mm2", "N * pi / 4 * (D ** 2 - d ** 2)", _RAM, _SOURCE)
PRESS_FORCE = Formula("force", "F", "kN", "p_g * N * pi / 4 * (D ** 2 - d ** 2) / 1000", {"p_g": _P, **_RAM}, _SOURCE)
SOIL_PRESSURE = Formula("soil_pressure", "p_s", "MPa", "1000 * F / (l * b)", {"F": Term("force", "kN"), **_MOULD}, _SOURCE)
SOIL_PRESSURE_FROM_GAUGE = Formula(
    "soil_pressure",
    "p_s",
    "MPa",
    "p_g * N * pi / 4 * (D ** 2 - d ** 2) / (l * b)",
    {"p_g": _P, **_RAM, **_MOULD},
    _SOURCE,
)
GAUGE_FOR_SOIL_PRESSURE = Formula(
    "gauge_pressure",
    "p_g",
    "MPa",
    "p_s * l * b / (N * pi / 4 * (D ** 2 - d ** 2))",
    {"p_s": Term("soil_pressure", "MPa"), **_RAM, **_MOULD},
    _SOURCE,
)
BLOCK_VOLUME = Formula("block_volume", "V", "m3", "l * b * h / 1000000000", _BLOCK, _SOURCE)
FILL_MASS = Formula(
    "fill_mass",
    "m_fill",
    "kg",
    "rho_d * V * (1 + w)",
    {"rho_d": Term("dry_density", "kg/m3"), "V": Term("block_volume", "m3"), "w": _W},
    _SOURCE,
)
GREEN_DENSITY = Formula("green_density", "rho", "kg/m3", "m / V", _GREEN, _SOURCE)
GREEN_DRY_DENSITY = Formula("dry_density", "rho_d", "kg/m3", "m / V / (1 + w)", {**_GREEN, "w": _W}, _SOURCE)
LOOSE_HEIGHT = Formula(
    "loose_height",
    "h_0",
    "mm",
    "1000000000 * m_fill / (rho_l * l * b)",
    {"m_fill": Term("fill_mass", "kg"), "rho_l": Term("loose_moist_density", "kg/m3"), **_MOULD},
    _SOURCE,
)
COMPRESSION_RATIO = Formula(
    "compression_ratio",
    "k",
    "1",
    "h_0 / h",
    {"h_0": Term("loose_height", "mm"), "h": Term("block_height", "mm")},
    _SOURCE,
)


def cylinder_area(bore: float, *, cylinders: int = 1, rod_diameter: float = 0.0) -> float:
    """Area the oil works on.

    Parameters
    ----------
    bore : float or (n,) array
        Inner diameter of one cylinder. [mm]
    cylinders : int
        Equal cylinders that push together. [-]
    rod_diameter : float or (n,) array
        Rod, only where the oil works on the rod side; 0 on the full side. [mm]

    Returns
    -------
    float or (n,) array
        Area of all cylinders. [mm²]

    Raises
    ------
    InputError
        "not_positive", "negative", "not_whole" for the count, "rod_not_below_bore".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(cylinder_area(50.8), 1)
    2026.8
    """
    check_positive(bore=bore, cylinders=cylinders)
    check_not_negative(rod_diameter=rod_diameter)
    if cylinders != int(cylinders):
        raise InputError("not_whole", quantity="cylinders", value=cylinders)
    if not holds(rod_diameter < bore):
        raise InputError("rod_not_below_bore", rod_diameter=rod_diameter, bore=bore)
    return cylinders * math.pi / 4.0 * (bore**2 - rod_diameter**2)


def press_force(gauge_pressure: float, *, bore: float, cylinders: int = 1, rod_diameter: float = 0.0) -> float:
    """Force of the press at a gauge reading, friction not taken off.

    Parameters
    ----------
    gauge_pressure : float or (n,) array
        Oil pressure. [MPa]
    bore, rod_diameter : float or (n,) array
        As in `cylinder_area`. [mm]
    cylinders : int
        Equal cylinders that push together. [-]

    Returns
    -------
    float or (n,) array
        Force. [kN]

    Raises
    ------
    InputError
        "negative"; otherwise as `cylinder_area`.

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(press_force(8.963, bore=50.8), 2)
    18.17
    """
    check_not_negative(gauge_pressure=gauge_pressure)
    return gauge_pressure * cylinder_area(bore, cylinders=cylinders, rod_diameter=rod_diameter) / 1000.0


def soil_pressure(force: float, *, mould_length: float, mould_width: float) -> float:
    """Pressure on the soil: force over the face of the mould.

    Parameters
    ----------
    force : float or (n,) array
        Force of the press. [kN]
    mould_length, mould_width : float or (n,) array
        Face that is pressed. [mm]

    Returns
    -------
    float or (n,) array
        Pressure on the soil. [MPa]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(soil_pressure(18.17, mould_length=101.6, mould_width=101.6), 2)
    1.76
    """
    check_not_negative(force=force)
    check_positive(mould_length=mould_length, mould_width=mould_width)
    return 1000.0 * force / (mould_length * mould_width)


def soil_pressure_from_gauge(
    gauge_pressure: float,
    *,
    bore: float,
    mould_length: float,
    mould_width: float,
    cylinders: int = 1,
    rod_diameter: float = 0.0,
) -> float:
    """Pressure on the soil at a gauge reading: the same gauge is not the same pressure on another press.

    Parameters
    ----------
    gauge_pressure : float or (n,) array
        Oil pressure. [MPa]
    bore, rod_diameter : float or (n,) array
        As in `cylinder_area`. [mm]
    mould_length, mould_width : float or (n,) array
        Face that is pressed. [mm]
    cylinders : int
        Equal cylinders that push together. [-]

    Returns
    -------
    float or (n,) array
        Pressure on the soil. [MPa]

    Raises
    ------
    InputError
        As `press_force` and `soil_pressure`.

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(soil_pressure_from_gauge(8.963, bore=50.8, mould_length=101.6, mould_width=101.6), 2)
    1.76
    """
    force = press_force(gauge_pressure, bore=bore, cylinders=cylinders, rod_diameter=rod_diameter)
    return soil_pressure(force, mould_length=mould_length, mould_width=mould_width)


def gauge_for_soil_pressure(
    soil_pressure: float,
    *,
    bore: float,
    mould_length: float,
    mould_width: float,
    cylinders: int = 1,
    rod_diameter: float = 0.0,
) -> float:
    """Gauge reading that gives a wanted pressure on the soil.

    Parameters
    ----------
    soil_pressure : float or (n,) array
        Wanted pressure on the soil. [MPa]
    bore, rod_diameter : float or (n,) array
        As in `cylinder_area`. [mm]
    mould_length, mould_width : float or (n,) array
        Face that is pressed. [mm]
    cylinders : int
        Equal cylinders that push together. [-]

    Returns
    -------
    float or (n,) array
        Oil pressure. [MPa]

    Raises
    ------
    InputError
        "negative", "not_positive"; otherwise as `cylinder_area`.

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(gauge_for_soil_pressure(1.74, bore=127.0, mould_length=355.6, mould_width=254.0), 1)
    12.4
    """
    check_not_negative(soil_pressure=soil_pressure)
    check_positive(mould_length=mould_length, mould_width=mould_width)
    area = cylinder_area(bore, cylinders=cylinders, rod_diameter=rod_diameter)
    return soil_pressure * mould_length * mould_width / area


def block_volume(block_length: float, *, block_width: float, block_height: float) -> float:
    """Gross volume of a plain block.

    Parameters
    ----------
    block_length, block_width, block_height : float or (n,) array
        Outer sizes. [mm]

    Returns
    -------
    float or (n,) array
        Volume; hollows and frogs are not taken off. [m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(block_volume(295.0, block_width=140.0, block_height=90.0), 6)
    0.003717
    """
    check_positive(block_length=block_length, block_width=block_width, block_height=block_height)
    return block_length * block_width * block_height / 1e9


def fill_mass(dry_density: float, *, block_volume: float, water_content: float) -> float:
    """Moist mix to weigh into the mould for a wanted dry density at a wanted height: pressing without a gauge.

    Parameters
    ----------
    dry_density : float or (n,) array
        Wanted dry mix over volume of the block. [kg/m³]
    block_volume : float or (n,) array
        Volume at the wanted height. [m³]
    water_content : float or (n,) array
        Water over total dry mix, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Fill. [kg]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(fill_mass(1850.0, block_volume=0.003717, water_content=0.10), 2)
    7.56
    """
    check_positive(dry_density=dry_density, block_volume=block_volume)
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    return dry_density * block_volume * (1.0 + water_content)


def green_density(green_mass: float, *, block_volume: float) -> float:
    """Density of a fresh block with its water.

    Parameters
    ----------
    green_mass : float or (n,) array
        Block as it leaves the press. [kg]
    block_volume : float or (n,) array
        Its volume. [m³]

    Returns
    -------
    float or (n,) array
        Green density. [kg/m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(green_density(7.56, block_volume=0.003717))
    2034
    """
    check_positive(green_mass=green_mass, block_volume=block_volume)
    return green_mass / block_volume


def green_dry_density(green_mass: float, *, block_volume: float, water_content: float) -> float:
    """Dry density of a fresh block from its mass and the moisture of the mix.

    Parameters
    ----------
    green_mass : float or (n,) array
        Block as it leaves the press. [kg]
    block_volume : float or (n,) array
        Its volume. [m³]
    water_content : float or (n,) array
        Water over total dry mix, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Dry density. [kg/m³]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(green_dry_density(7.564, block_volume=0.003717, water_content=0.10))
    1850
    """
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    return green_density(green_mass, block_volume=block_volume) / (1.0 + water_content)


def loose_height(fill_mass: float, *, loose_moist_density: float, mould_length: float, mould_width: float) -> float:
    """Height the loose fill takes in the mould: whether the mould is deep enough.

    Parameters
    ----------
    fill_mass : float or (n,) array
        Moist mix. [kg]
    loose_moist_density : float or (n,) array
        Moist mix over its loose volume. [kg/m³]
    mould_length, mould_width : float or (n,) array
        Face that is pressed. [mm]

    Returns
    -------
    float or (n,) array
        Height before pressing. [mm]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> round(loose_height(7.56, loose_moist_density=1230.0, mould_length=295.0, mould_width=140.0))
    149
    """
    check_positive(
        fill_mass=fill_mass, loose_moist_density=loose_moist_density, mould_length=mould_length, mould_width=mould_width
    )
    return 1e9 * fill_mass / (loose_moist_density * mould_length * mould_width)


def compression_ratio(loose_height: float, *, block_height: float) -> float:
    """Height before pressing over height after.

    Parameters
    ----------
    loose_height : float or (n,) array
        Height of the loose fill. [mm]
    block_height : float or (n,) array
        Height of the pressed block. [mm]

    Returns
    -------
    float or (n,) array
        Ratio, about 1.65 on manual presses. [-]

    Raises
    ------
    InputError
        "not_positive", or "loose_below_pressed": pressing makes nothing taller.

    References
    ----------
    [derivation-pressing]

    Examples
    --------
    >>> compression_ratio(148.5, block_height=90.0)
    1.65
    """
    check_positive(loose_height=loose_height, block_height=block_height)
    if not holds(loose_height >= block_height):
        raise InputError("loose_below_pressed", loose_height=loose_height, block_height=block_height)
    return loose_height / block_height
