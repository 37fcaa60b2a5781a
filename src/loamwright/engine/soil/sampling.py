"""Reserves of soil, samples made smaller by quartering, soil still to be brought for a plan."""

from collections.abc import Sequence

from loamwright.errors import InputError, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

RESERVE = Formula(
    "reserve_volume",
    "V",
    "m3",
    "l * b * t * k / 1000000000",
    {
        "l": Term("field_length", "mm"),
        "b": Term("field_width", "mm"),
        "t": Term("layer_thickness", "mm"),
        "k": Term("regular_share", "1"),
    },
    "practice-sampling",
)
BEFORE_QUARTERING = Formula(
    "mass_before_quartering",
    "m_0",
    "kg",
    "m * 2 ** n",
    {"m": Term("mass", "kg"), "n": Term("quarterings", "1")},
    "practice-sampling",
)
STILL_NEEDED = Formula(
    "soil_still_needed",
    "m_x",
    "kg",
    "max(0, m_n - sum(m_i))",
    {"m_n": Term("soil_needed", "kg"), "m_i": Term("sample_masses", "kg")},
    "practice-sampling",
)


def reserve_volume(field_length: float, *, field_width: float, layer_thickness: float, regular_share: float) -> float:
    """Soil in the ground of a field, as it lies.

    Parameters
    ----------
    field_length, field_width : float
        Sides of the field. [mm]
    layer_thickness : float
        Of the layer that is wanted, topsoil taken off. [mm]
    regular_share : float
        What is left of it for layers that thin out. [-]

    Returns
    -------
    float
        Volume before it is dug loose. [m³]

    Raises
    ------
    InputError
        "not_positive", "out_of_range".

    References
    ----------
    [practice-sampling]

    Examples
    --------
    >>> reserve_volume(20_000.0, field_width=10_000.0, layer_thickness=1_000.0, regular_share=0.7)
    140.0
    """
    check_positive(field_length=field_length, field_width=field_width, layer_thickness=layer_thickness)
    check_between(0.0, 1.0, regular_share=regular_share)
    return field_length * field_width * layer_thickness * regular_share / 1e9


def mass_before_quartering(mass: float, *, quarterings: int) -> float:
    """What a quartered sample stands for: each time, two of four quarters are kept.

    Parameters
    ----------
    mass : float
        What is left of it. [kg]
    quarterings : int
        How often it was coned, flattened and halved. [-]

    Returns
    -------
    float
        [kg]

    Raises
    ------
    InputError
        "not_positive"; "out_of_range" outside 0 to 12 times.

    References
    ----------
    [practice-sampling]

    Examples
    --------
    >>> mass_before_quartering(2.5, quarterings=3)
    20.0
    """
    check_positive(mass=mass)
    check_between(0, 12, quarterings=quarterings)
    return mass * 2.0**quarterings


def soil_still_needed(soil_needed: float, *, sample_masses: Sequence[float]) -> float:
    """Damp soil still to be brought, never below none.

    Parameters
    ----------
    soil_needed : float
        What the plan takes. [kg]
    sample_masses : sequence of float
        What was brought so far. [kg]

    Returns
    -------
    float
        [kg]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [practice-sampling]

    Examples
    --------
    >>> soil_still_needed(60.0, sample_masses=[25.0, 20.0])
    15.0
    """
    check_not_negative(soil_needed=soil_needed)
    for mass in sample_masses:
        check_not_negative(sample_mass=mass)
    return max(0.0, soil_needed - sum(sample_masses))


def layers_wrong(tops: Sequence[float], *, bottoms: Sequence[float]) -> int | None:
    """Place of the first layer of a log that does not lie below the one above it; None where all follow each other.

    Parameters
    ----------
    tops, bottoms : sequence of float
        Depth of each layer's upper and lower face, from the ground down. [mm]

    Returns
    -------
    int or None
        From 1.

    Raises
    ------
    InputError
        "layer_upside_down" where a layer ends above where it begins.

    References
    ----------
    [practice-sampling]

    Examples
    --------
    >>> layers_wrong([0.0, 300.0, 900.0], bottoms=[300.0, 900.0, 1500.0]), layers_wrong([0.0, 400.0], bottoms=[300.0, 900.0])
    (None, 2)
    """
    for place, (top, bottom) in enumerate(zip(tops, bottoms, strict=True), 1):
        if not 0.0 <= top < bottom:
            raise InputError("layer_upside_down", layer=place, top=top, bottom=bottom)
    for place, (bottom, top) in enumerate(zip(bottoms, tops[1:], strict=False), 2):
        if abs(top - bottom) > 0.5:
            return place
    return None
