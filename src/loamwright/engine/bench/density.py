"""Loose density: what a struck pail of this soil holds, dry, the way this crew fills it."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from loamwright.engine.bench.moisture import LARGEST_WATER_CONTENT
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

USUAL_WEIGHINGS = 3
# Ash at the light end, iron ore fines at the heavy end: outside, a volume was typed in litres or a tare forgotten.
LEAST_LOOSE_DENSITY, MOST_LOOSE_DENSITY = 50.0, 3000.0

_TERMS = {"m": Term("filled_mass", "kg"), "m_tare": Term("tare_mass", "kg"), "w": Term("water_content", "1")}

BULK_DENSITY = Formula(
    "bulk_density",
    "rho",
    "kg/m3",
    "m / V",
    {"m": Term("moist_mass", "kg"), "V": Term("volume", "m3")},
    "derivation-phases",
)
PAIL_DRY_MASS = Formula("pail_dry_mass", "m_pail", "kg", "(m - m_tare) / (1 + w)", _TERMS, "practice-struck-pail")
LOOSE_DRY_DENSITY = Formula(
    "loose_dry_density",
    "rho_loose",
    "kg/m3",
    "(m - m_tare) / (1 + w) / V",
    {**_TERMS, "V": Term("pail_volume", "m3")},
    "practice-struck-pail",
)


@dataclass(frozen=True, slots=True)
class StruckPails:
    """What repeated weighings of a struck pail say.

    Attributes
    ----------
    count : int
        Number of weighings.
    moist_mass : float
        Mean soil in the pail with its water. [kg]
    dry_mass : float
        Mean soil in the pail without its water. [kg]
    dry_mass_sd : float or None
        Sample standard deviation of the dry mass; None for one weighing. [kg]
    loose_dry_density : float or None
        Mean dry mass over the pail's volume; None where the volume is not known. [kg/m³]
    loose_dry_density_sd : float or None
        Sample standard deviation of that density; None for one weighing or no volume. [kg/m³]
    notes : tuple of Note
        "fewer_than_three_weighings".
    """

    count: int
    moist_mass: float
    dry_mass: float
    dry_mass_sd: float | None
    loose_dry_density: float | None
    loose_dry_density_sd: float | None
    notes: tuple[Note, ...] = ()


def bulk_density(moist_mass: float, *, volume: float) -> float:
    """Mass over volume, water and all.

    Parameters
    ----------
    moist_mass : float or (n,) array
        Soil with its water. [kg]
    volume : float or (n,) array
        Volume it takes. [m³]

    Returns
    -------
    float or (n,) array
        Bulk density. [kg/m³]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(bulk_density(5.77, volume=0.002973))
    1941
    """
    check_positive(moist_mass=moist_mass, volume=volume)
    return moist_mass / volume


def pail_dry_mass(filled_mass: float, *, tare_mass: float, water_content: float) -> float:
    """Dry soil in one struck pail.

    Parameters
    ----------
    filled_mass : float or (n,) array
        Pail with its struck fill. [kg]
    tare_mass : float or (n,) array
        Empty pail. [kg]
    water_content : float or (n,) array
        Water of the soil over its dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Dry mass a pail. [kg]

    Raises
    ------
    InputError
        "negative", "out_of_range", or "filled_not_above_tare".

    References
    ----------
    [practice-struck-pail]

    Examples
    --------
    >>> round(pail_dry_mass(29.95, tare_mass=0.70, water_content=0.03), 2)
    28.4
    """
    check_not_negative(tare_mass=tare_mass)
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    if not holds(filled_mass > tare_mass):
        raise InputError("filled_not_above_tare", filled_mass=filled_mass, tare_mass=tare_mass)
    return (filled_mass - tare_mass) / (1.0 + water_content)


def loose_dry_density(filled_mass: float, *, tare_mass: float, pail_volume: float, water_content: float) -> float:
    """Dry mass of loose soil over the volume it fills; bulking by its own water is in it.

    Parameters
    ----------
    filled_mass : float or (n,) array
        Pail with its struck fill. [kg]
    tare_mass : float or (n,) array
        Empty pail. [kg]
    pail_volume : float or (n,) array
        Volume of the pail to its struck rim. [m³]
    water_content : float or (n,) array
        Water of the soil over its dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Loose dry density. [kg/m³]

    Raises
    ------
    InputError
        "not_positive", "negative", "filled_not_above_tare", or "out_of_range", also for a density no soil has
        (a volume in litres lands here).

    References
    ----------
    [practice-struck-pail]

    Examples
    --------
    >>> round(loose_dry_density(29.95, tare_mass=0.70, pail_volume=0.020, water_content=0.03))
    1420
    """
    check_positive(pail_volume=pail_volume)
    density = pail_dry_mass(filled_mass, tare_mass=tare_mass, water_content=water_content) / pail_volume
    check_between(LEAST_LOOSE_DENSITY, MOST_LOOSE_DENSITY, loose_dry_density=density)
    return density


def struck_pails(
    filled_masses: Sequence[float], *, tare_mass: float, water_content: float, pail_volume: float | None = None
) -> StruckPails:
    """Mean and spread of repeated struck pails of one soil; three are usual.

    Parameters
    ----------
    filled_masses : sequence of float
        Pail with its struck fill, filled anew each time. [kg]
    tare_mass : float
        Empty pail. [kg]
    water_content : float
        Water of the soil over its dry mass, 0 to 1. [-]
    pail_volume : float, optional
        Volume of the pail to its struck rim; without it there is no density, and none is needed to blend by pails. [m³]

    Returns
    -------
    StruckPails
        Means, spreads, notes.

    Raises
    ------
    InputError
        "too_few" without any weighing; otherwise as `loose_dry_density`.

    Notes
    -----
    The spread is that of single pails (n - 1), not of their mean.

    References
    ----------
    [practice-struck-pail]

    Examples
    --------
    >>> pails = struck_pails([29.8, 30.1, 29.95], tare_mass=0.70, water_content=0.03, pail_volume=0.020)
    >>> round(pails.dry_mass, 2), round(pails.loose_dry_density)
    (28.4, 1420)
    """
    if not filled_masses:
        raise InputError("too_few", quantity="filled_masses", count=0, least=1)
    dry = [pail_dry_mass(mass, tare_mass=tare_mass, water_content=water_content) for mass in filled_masses]
    mean, spread = fmean(dry), stdev(dry) if len(dry) > 1 else None
    density = density_sd = None
    if pail_volume is not None:
        density = loose_dry_density(
            fmean(filled_masses), tare_mass=tare_mass, pail_volume=pail_volume, water_content=water_content
        )
        density_sd = None if spread is None else spread / pail_volume
    few = len(dry) < USUAL_WEIGHINGS
    notes = (Note("fewer_than_three_weighings", {"count": len(dry)}),) if few else ()
    return StruckPails(len(dry), fmean(filled_masses) - tare_mass, mean, spread, density, density_sd, notes)
