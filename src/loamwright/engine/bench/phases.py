"""Solids, water and air in soil or block: densities, void ratio, porosity, saturation."""

from dataclasses import dataclass

from loamwright.engine.bench.moisture import LARGEST_WATER_CONTENT
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

STANDARD_GRAVITY = 9.80665  # m/s², exact by definition [si-brochure]
WATER_DENSITY = 1000.0  # kg/m³; 998.2 at 20 °C, 0.2 % off, far inside any reading of this bench [derivation-phases]
# Organic soil 1.5, iron-rich laterite up to about 5; a density of 2650 kg/m³ typed here must not pass.
LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY = 1.5, 6.0

_W = Term("water_content", "1")
_GS = Term("specific_gravity", "1")
_E = Term("void_ratio", "1")
_RHO_D = Term("dry_density", "kg/m3")

DRY_DENSITY = Formula(
    "dry_density", "rho_d", "kg/m3", "rho / (1 + w)", {"rho": Term("bulk_density", "kg/m3"), "w": _W}, "derivation-phases"
)
DRY_UNIT_WEIGHT = Formula(
    "dry_unit_weight",
    "gamma_d",
    "kN/m3",
    "gamma / (1 + w)",
    {"gamma": Term("moist_unit_weight", "kN/m3"), "w": _W},
    "derivation-phases",
)
UNIT_WEIGHT = Formula(
    "unit_weight",
    "gamma",
    "kN/m3",
    f"rho * {STANDARD_GRAVITY} / 1000",
    {"rho": Term("density", "kg/m3")},
    "derivation-phases",
)
DENSITY_FROM_UNIT_WEIGHT = Formula(
    "density",
    "rho",
    "kg/m3",
    f"1000 * gamma / {STANDARD_GRAVITY}",
    {"gamma": Term("unit_weight", "kN/m3")},
    "derivation-phases",
)
VOID_RATIO = Formula(
    "void_ratio", "e", "1", f"{WATER_DENSITY:.0f} * G_s / rho_d - 1", {"G_s": _GS, "rho_d": _RHO_D}, "derivation-phases"
)
POROSITY = Formula("porosity", "n", "1", "e / (1 + e)", {"e": _E}, "derivation-phases")
SATURATION = Formula("saturation", "S_r", "1", "w * G_s / e", {"w": _W, "G_s": _GS, "e": _E}, "derivation-phases")


@dataclass(frozen=True, slots=True)
class PhaseVolumes:
    """What a volume is made of.

    Attributes
    ----------
    solids, water, air : float
        Volumes, in the unit of the total that was given. [m³]
    """

    solids: float
    water: float
    air: float


@dataclass(frozen=True, slots=True)
class Phases:
    """Phase state of moist soil or of a block.

    Attributes
    ----------
    dry_density : float
        Dry solids over volume. [kg/m³]
    void_ratio : float
        Voids over solids, by volume. [-]
    porosity : float
        Voids over the whole, by volume. [-]
    saturation : float
        Water over voids, by volume. [-]
    notes : tuple of Note
        "saturation_above_one": more water than voids, so a mass, a volume or the specific gravity is off.
    """

    dry_density: float
    void_ratio: float
    porosity: float
    saturation: float
    notes: tuple[Note, ...] = ()


def dry_density(bulk_density: float, *, water_content: float) -> float:
    """Dry density of soil or fresh block from its bulk density.

    Parameters
    ----------
    bulk_density : float or (n,) array
        Moist mass over volume. [kg/m³]
    water_content : float or (n,) array
        Water over dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Dry solids over the same volume. [kg/m³]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(dry_density(2020.0, water_content=0.11), 1)
    1819.8
    """
    check_positive(bulk_density=bulk_density)
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    return bulk_density / (1.0 + water_content)


def dry_unit_weight(moist_unit_weight: float, *, water_content: float) -> float:
    """Dry unit weight from moist unit weight, for reports that speak of weight, not mass.

    Parameters
    ----------
    moist_unit_weight : float or (n,) array
        Moist weight over volume. [kN/m³]
    water_content : float or (n,) array
        Water over dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Weight of dry solids over the same volume. [kN/m³]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(dry_unit_weight(17.8, water_content=0.14), 2)
    15.61
    """
    check_positive(moist_unit_weight=moist_unit_weight)
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    return moist_unit_weight / (1.0 + water_content)


def unit_weight(density: float) -> float:
    """Unit weight of a density, with standard gravity.

    Parameters
    ----------
    density : float or (n,) array
        Mass over volume. [kg/m³]

    Returns
    -------
    float or (n,) array
        Weight over volume. [kN/m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(unit_weight(1000.0), 3)
    9.807
    """
    check_positive(density=density)
    return density * STANDARD_GRAVITY / 1000.0


def density_from_unit_weight(unit_weight: float) -> float:
    """Density of a unit weight, with standard gravity.

    Parameters
    ----------
    unit_weight : float or (n,) array
        Weight over volume. [kN/m³]

    Returns
    -------
    float or (n,) array
        Mass over volume. [kg/m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(density_from_unit_weight(17.8))
    1815
    """
    check_positive(unit_weight=unit_weight)
    return 1000.0 * unit_weight / STANDARD_GRAVITY


def void_ratio(dry_density: float, *, specific_gravity: float) -> float:
    """Volume of voids over volume of solids.

    Parameters
    ----------
    dry_density : float or (n,) array
        Dry solids over volume. [kg/m³]
    specific_gravity : float or (n,) array
        Density of the grains over that of water, 1.5 to 6. [-]

    Returns
    -------
    float or (n,) array
        Void ratio. [-]

    Raises
    ------
    InputError
        "not_positive", "out_of_range", or "denser_than_solids" when no room is left for voids.

    Notes
    -----
    Water is taken as 1000 kg/m³.

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(void_ratio(1592.0, specific_gravity=2.69), 2)
    0.69
    """
    check_positive(dry_density=dry_density)
    check_between(LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY, specific_gravity=specific_gravity)
    if not holds(dry_density < WATER_DENSITY * specific_gravity):
        raise InputError("denser_than_solids", dry_density=dry_density, solids_density=WATER_DENSITY * specific_gravity)
    return WATER_DENSITY * specific_gravity / dry_density - 1.0


def porosity(void_ratio: float) -> float:
    """Volume of voids over the whole volume.

    Parameters
    ----------
    void_ratio : float or (n,) array
        Voids over solids, by volume. [-]

    Returns
    -------
    float or (n,) array
        Porosity. [-]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(porosity(0.568), 3)
    0.362
    """
    check_not_negative(void_ratio=void_ratio)
    return void_ratio / (1.0 + void_ratio)


def saturation(water_content: float, *, specific_gravity: float, void_ratio: float) -> float:
    """Share of the voids that water fills.

    Parameters
    ----------
    water_content : float or (n,) array
        Water over dry mass, 0 to 1. [-]
    specific_gravity : float or (n,) array
        Density of the grains over that of water, 1.5 to 6. [-]
    void_ratio : float or (n,) array
        Voids over solids, by volume. [-]

    Returns
    -------
    float or (n,) array
        Degree of saturation; above 1 when the readings contradict each other (`phases` notes it). [-]

    Raises
    ------
    InputError
        "out_of_range" or "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(saturation(0.14, specific_gravity=2.69, void_ratio=0.69), 3)
    0.546
    """
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    check_between(LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY, specific_gravity=specific_gravity)
    check_positive(void_ratio=void_ratio)
    return water_content * specific_gravity / void_ratio


def phases(bulk_density: float, *, water_content: float, specific_gravity: float) -> Phases:
    """Dry density, void ratio, porosity and saturation together.

    Parameters
    ----------
    bulk_density : float
        Moist mass over volume. [kg/m³]
    water_content : float
        Water over dry mass, 0 to 1. [-]
    specific_gravity : float
        Density of the grains over that of water, 1.5 to 6. [-]

    Returns
    -------
    Phases
        The four figures with notes.

    Raises
    ------
    InputError
        "not_positive", "out_of_range" or "denser_than_solids".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(phases(1906.9, water_content=0.103, specific_gravity=2.71).saturation, 2)
    0.49
    """
    density = dry_density(bulk_density, water_content=water_content)
    ratio = void_ratio(density, specific_gravity=specific_gravity)
    filled = saturation(water_content, specific_gravity=specific_gravity, void_ratio=ratio)
    notes = (Note("saturation_above_one", {"saturation": filled}),) if filled > 1.0 else ()
    return Phases(density, ratio, porosity(ratio), filled, notes)


def phase_volumes(volume: float, *, void_ratio: float, saturation: float) -> PhaseVolumes:
    """Solids, water and air of a volume.

    Parameters
    ----------
    volume : float or (n,) array
        Whole volume. [m³]
    void_ratio : float or (n,) array
        Voids over solids, by volume. [-]
    saturation : float or (n,) array
        Water over voids, by volume, 0 to 1. [-]

    Returns
    -------
    PhaseVolumes
        Three volumes that add up to the whole.

    Raises
    ------
    InputError
        "not_positive", "negative" or "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(phase_volumes(0.105, void_ratio=0.523, saturation=0.491).solids, 4)
    0.0689
    """
    check_positive(volume=volume)
    check_not_negative(void_ratio=void_ratio)
    check_between(0.0, 1.0, saturation=saturation)
    solids = volume / (1.0 + void_ratio)
    voids = solids * void_ratio
    return PhaseVolumes(solids, voids * saturation, voids * (1.0 - saturation))
