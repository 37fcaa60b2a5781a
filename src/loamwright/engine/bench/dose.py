"""Stabiliser dose: a value with its basis, and the same dose said in every convention."""

from dataclasses import dataclass
from typing import Literal, get_args

from loamwright.errors import InputError, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

Basis = Literal["of_total_dry_mix", "of_dry_soil", "by_volume_one_to_n"]
BASES: tuple[Basis, ...] = get_args(Basis)

# Wide enough for any mix pressed on purpose (published advice spans 1:18 to 1:6, that is 6 to 16 % of total),
# narrow enough that a percentage typed as a fraction cannot pass.
LARGEST_OF_TOTAL = 0.5
LARGEST_PER_DRY_SOIL = 1.0
LEAST_SOIL_VOLUMES = 2.0
MOST_SOIL_VOLUMES = 100.0

_C = Term("stabiliser_mass", "kg")
_S = Term("dry_soil_mass", "kg")
_P = Term("stabiliser_of_total", "1")
_DENSITIES = {"rho_c": Term("stabiliser_loose_density", "kg/m3"), "rho_s": Term("soil_loose_density", "kg/m3")}

OF_TOTAL_FROM_DRY_SOIL = Formula(
    "stabiliser_of_total", "p", "1", "r / (1 + r)", {"r": Term("stabiliser_per_dry_soil", "1")}, "derivation-dose"
)
PER_DRY_SOIL_FROM_OF_TOTAL = Formula("stabiliser_per_dry_soil", "r", "1", "p / (1 - p)", {"p": _P}, "derivation-dose")
OF_TOTAL_FROM_VOLUMES = Formula(
    "stabiliser_of_total",
    "p",
    "1",
    "rho_c / (rho_c + n * rho_s)",
    {"n": Term("soil_volumes_per_stabiliser", "1"), **_DENSITIES},
    "derivation-dose",
)
VOLUMES_FROM_OF_TOTAL = Formula(
    "soil_volumes_per_stabiliser", "n", "1", "rho_c * (1 - p) / (rho_s * p)", {"p": _P, **_DENSITIES}, "derivation-dose"
)
STABILISER_MASS = Formula("stabiliser_mass", "C", "kg", "S * p / (1 - p)", {"S": _S, "p": _P}, "derivation-dose")
TOTAL_DRY_MASS = Formula("total_dry_mass", "T", "kg", "S / (1 - p)", {"S": _S, "p": _P}, "derivation-dose")
DRY_SOIL_MASS = Formula(
    "dry_soil_mass", "S", "kg", "T * (1 - p)", {"T": Term("total_dry_mass", "kg"), "p": _P}, "derivation-dose"
)
STABILISER_OF_TOTAL = Formula("stabiliser_of_total", "p", "1", "C / (S + C)", {"C": _C, "S": _S}, "derivation-dose")


@dataclass(frozen=True, slots=True)
class Dose:
    """A dose as somebody gave it: the number means nothing without its basis.

    Attributes
    ----------
    value : float
        Fraction of the total dry mix, fraction of the dry soil, or n of one volume of stabiliser to n of loose soil. [-]
    basis : Basis
        Which of the three.

    Raises
    ------
    InputError
        "unknown_basis", or "out_of_range" (a percentage given as a fraction lands here).

    Examples
    --------
    >>> Dose(0.06, "of_total_dry_mix").value
    0.06
    """

    value: float
    basis: Basis

    def __post_init__(self) -> None:
        match self.basis:
            case "of_total_dry_mix":
                check_between(0.0, LARGEST_OF_TOTAL, stabiliser_of_total=self.value)
            case "of_dry_soil":
                check_between(0.0, LARGEST_PER_DRY_SOIL, stabiliser_per_dry_soil=self.value)
            case "by_volume_one_to_n":
                check_between(LEAST_SOIL_VOLUMES, MOST_SOIL_VOLUMES, soil_volumes_per_stabiliser=self.value)
            case _:
                raise InputError("unknown_basis", basis=self.basis, known=", ".join(BASES))


@dataclass(frozen=True, slots=True)
class EveryConvention:
    """One dose in all three conventions.

    Attributes
    ----------
    of_total_dry_mix : float
        Stabiliser over soil and stabiliser, dry. [-]
    of_dry_soil : float
        Stabiliser over dry soil. [-]
    one_to_n : float or None
        Loose volumes of soil to one of stabiliser; None without both loose densities, or without stabiliser. [-]
    """

    of_total_dry_mix: float
    of_dry_soil: float
    one_to_n: float | None


def of_total_from_dry_soil(stabiliser_per_dry_soil: float) -> float:
    """Dose of the total dry mix from a dose of the dry soil.

    Parameters
    ----------
    stabiliser_per_dry_soil : float or (n,) array
        Stabiliser over dry soil, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Stabiliser over total dry mix. [-]

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(of_total_from_dry_soil(0.08), 4)
    0.0741
    """
    check_between(0.0, LARGEST_PER_DRY_SOIL, stabiliser_per_dry_soil=stabiliser_per_dry_soil)
    return stabiliser_per_dry_soil / (1.0 + stabiliser_per_dry_soil)


def per_dry_soil_from_of_total(stabiliser_of_total: float) -> float:
    """Dose of the dry soil from a dose of the total dry mix.

    Parameters
    ----------
    stabiliser_of_total : float or (n,) array
        Stabiliser over total dry mix, 0 to 0.5. [-]

    Returns
    -------
    float or (n,) array
        Stabiliser over dry soil. [-]

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(per_dry_soil_from_of_total(0.08), 4)
    0.087
    """
    check_between(0.0, LARGEST_OF_TOTAL, stabiliser_of_total=stabiliser_of_total)
    return stabiliser_of_total / (1.0 - stabiliser_of_total)


def of_total_from_volumes(
    soil_volumes_per_stabiliser: float, *, stabiliser_loose_density: float, soil_loose_density: float
) -> float:
    """Dose of the total dry mix from one volume of stabiliser to n volumes of loose soil.

    Parameters
    ----------
    soil_volumes_per_stabiliser : float or (n,) array
        The n of 1:n, 2 to 100. [-]
    stabiliser_loose_density, soil_loose_density : float or (n,) array
        Dry mass over loose volume, as the pails are really filled. [kg/m³]

    Returns
    -------
    float or (n,) array
        Stabiliser over total dry mix. [-]

    Raises
    ------
    InputError
        "out_of_range" or "not_positive".

    Notes
    -----
    Damp sand bulks: its loose density is dry mass over the bulked volume.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(of_total_from_volumes(10.0, stabiliser_loose_density=1440.0, soil_loose_density=1250.0), 3)
    0.103
    """
    check_between(LEAST_SOIL_VOLUMES, MOST_SOIL_VOLUMES, soil_volumes_per_stabiliser=soil_volumes_per_stabiliser)
    check_positive(stabiliser_loose_density=stabiliser_loose_density, soil_loose_density=soil_loose_density)
    return stabiliser_loose_density / (stabiliser_loose_density + soil_volumes_per_stabiliser * soil_loose_density)


def volumes_from_of_total(stabiliser_of_total: float, *, stabiliser_loose_density: float, soil_loose_density: float) -> float:
    """Loose volumes of soil to one volume of stabiliser, from a dose of the total dry mix.

    Parameters
    ----------
    stabiliser_of_total : float or (n,) array
        Stabiliser over total dry mix, above 0 and up to 0.5. [-]
    stabiliser_loose_density, soil_loose_density : float or (n,) array
        Dry mass over loose volume. [kg/m³]

    Returns
    -------
    float or (n,) array
        The n of 1:n. [-]

    Raises
    ------
    InputError
        "not_positive" (no stabiliser has no 1:n) or "out_of_range".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(volumes_from_of_total(0.06, stabiliser_loose_density=1440.0, soil_loose_density=1250.0), 1)
    18.0
    """
    check_positive(
        stabiliser_of_total=stabiliser_of_total,
        stabiliser_loose_density=stabiliser_loose_density,
        soil_loose_density=soil_loose_density,
    )
    check_between(0.0, LARGEST_OF_TOTAL, stabiliser_of_total=stabiliser_of_total)
    return stabiliser_loose_density * (1.0 - stabiliser_of_total) / (soil_loose_density * stabiliser_of_total)


def stabiliser_mass(dry_soil_mass: float, *, stabiliser_of_total: float) -> float:
    """Stabiliser to weigh for a mass of dry soil.

    Parameters
    ----------
    dry_soil_mass : float or (n,) array
        Soil without its water. [kg]
    stabiliser_of_total : float or (n,) array
        Stabiliser over total dry mix, 0 to 0.5. [-]

    Returns
    -------
    float or (n,) array
        Mass of stabiliser. [kg]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(stabiliser_mass(9.615, stabiliser_of_total=0.06), 3)
    0.614
    """
    check_positive(dry_soil_mass=dry_soil_mass)
    check_between(0.0, LARGEST_OF_TOTAL, stabiliser_of_total=stabiliser_of_total)
    return dry_soil_mass * stabiliser_of_total / (1.0 - stabiliser_of_total)


def total_dry_mass(dry_soil_mass: float, *, stabiliser_of_total: float) -> float:
    """Dry soil and its stabiliser together.

    Parameters
    ----------
    dry_soil_mass : float or (n,) array
        Soil without its water. [kg]
    stabiliser_of_total : float or (n,) array
        Stabiliser over total dry mix, 0 to 0.5. [-]

    Returns
    -------
    float or (n,) array
        Total dry mix. [kg]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(total_dry_mass(9.615, stabiliser_of_total=0.06), 3)
    10.229
    """
    check_positive(dry_soil_mass=dry_soil_mass)
    check_between(0.0, LARGEST_OF_TOTAL, stabiliser_of_total=stabiliser_of_total)
    return dry_soil_mass / (1.0 - stabiliser_of_total)


def dry_soil_mass(total_dry_mass: float, *, stabiliser_of_total: float) -> float:
    """Dry soil in a wanted total of dry mix.

    Parameters
    ----------
    total_dry_mass : float or (n,) array
        Soil and stabiliser, dry. [kg]
    stabiliser_of_total : float or (n,) array
        Stabiliser over total dry mix, 0 to 0.5. [-]

    Returns
    -------
    float or (n,) array
        Soil without its water. [kg]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(dry_soil_mass(10.229, stabiliser_of_total=0.06), 3)
    9.615
    """
    check_positive(total_dry_mass=total_dry_mass)
    check_between(0.0, LARGEST_OF_TOTAL, stabiliser_of_total=stabiliser_of_total)
    return total_dry_mass * (1.0 - stabiliser_of_total)


def stabiliser_of_total(stabiliser_mass: float, *, dry_soil_mass: float) -> float:
    """Dose of the total dry mix that two masses make.

    Parameters
    ----------
    stabiliser_mass : float or (n,) array
        Stabiliser that went in. [kg]
    dry_soil_mass : float or (n,) array
        Soil without its water. [kg]

    Returns
    -------
    float or (n,) array
        Stabiliser over total dry mix; not limited, it is what was done. [-]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(stabiliser_of_total(50.0, dry_soil_mass=558.0), 4)
    0.0822
    """
    check_not_negative(stabiliser_mass=stabiliser_mass)
    check_positive(dry_soil_mass=dry_soil_mass)
    return stabiliser_mass / (dry_soil_mass + stabiliser_mass)


def of_total(dose: Dose, *, stabiliser_loose_density: float | None = None, soil_loose_density: float | None = None) -> float:
    """Any dose as a fraction of the total dry mix, the convention everything is weighed by.

    Parameters
    ----------
    dose : Dose
        Value and basis.
    stabiliser_loose_density, soil_loose_density : float, optional
        Dry mass over loose volume; a dose by volume cannot be read without them. [kg/m³]

    Returns
    -------
    float
        Stabiliser over total dry mix. [-]

    Raises
    ------
    InputError
        "densities_needed" for a dose by volume without both, "not_positive" for a density that is not above zero.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(of_total(Dose(0.09, "of_dry_soil")), 4)
    0.0826
    """
    if dose.basis == "of_total_dry_mix":
        return dose.value
    if dose.basis == "of_dry_soil":
        return of_total_from_dry_soil(dose.value)
    if stabiliser_loose_density is None or soil_loose_density is None:
        raise InputError(
            "densities_needed", stabiliser_loose_density=stabiliser_loose_density, soil_loose_density=soil_loose_density
        )
    return of_total_from_volumes(
        dose.value, stabiliser_loose_density=stabiliser_loose_density, soil_loose_density=soil_loose_density
    )


def in_every_convention(
    dose: Dose, *, stabiliser_loose_density: float | None = None, soil_loose_density: float | None = None
) -> EveryConvention:
    """The same dose of total, of dry soil and by volume.

    Parameters
    ----------
    dose : Dose
        Value and basis.
    stabiliser_loose_density, soil_loose_density : float, optional
        Dry mass over loose volume; needed for, or from, a dose by volume. [kg/m³]

    Returns
    -------
    EveryConvention
        One dose three times.

    Raises
    ------
    InputError
        "densities_needed" for a dose by volume without both, "not_positive" for a density that is not above zero.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> said = in_every_convention(Dose(0.06, "of_total_dry_mix"), stabiliser_loose_density=1440, soil_loose_density=1250)
    >>> round(said.of_dry_soil, 4), round(said.one_to_n, 1)
    (0.0638, 18.0)
    """
    share = of_total(dose, stabiliser_loose_density=stabiliser_loose_density, soil_loose_density=soil_loose_density)
    return _from_of_total(share, stabiliser_loose_density, soil_loose_density)


def achieved_dose(
    stabiliser_mass: float,
    *,
    dry_soil_mass: float,
    stabiliser_loose_density: float | None = None,
    soil_loose_density: float | None = None,
) -> EveryConvention:
    """The dose that was really weighed, in every convention.

    Parameters
    ----------
    stabiliser_mass : float
        Stabiliser that went in. [kg]
    dry_soil_mass : float
        Soil without its water. [kg]
    stabiliser_loose_density, soil_loose_density : float, optional
        Dry mass over loose volume; without both there is no 1:n. [kg/m³]

    Returns
    -------
    EveryConvention
        What was done; not limited to the range a dose may be asked in.

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(achieved_dose(25.0, dry_soil_mass=373.6).of_total_dry_mix, 4)
    0.0627
    """
    share = stabiliser_of_total(stabiliser_mass, dry_soil_mass=dry_soil_mass)
    return _from_of_total(share, stabiliser_loose_density, soil_loose_density)


def _from_of_total(share: float, stabiliser_loose_density: float | None, soil_loose_density: float | None) -> EveryConvention:
    per_dry_soil = share / (1.0 - share)
    if stabiliser_loose_density is None or soil_loose_density is None or share == 0.0:
        return EveryConvention(share, per_dry_soil, None)
    check_positive(stabiliser_loose_density=stabiliser_loose_density, soil_loose_density=soil_loose_density)
    return EveryConvention(share, per_dry_soil, stabiliser_loose_density / (soil_loose_density * per_dry_soil))
