"""Water in soil and mix: pan test, moist and dry masses, water to add."""

from collections.abc import Sequence
from dataclasses import dataclass

from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive, holds
from loamwright.formula import Formula, Term

# Soil at the bench holds 0 to 30 % water; the bound is there so that 4 typed for 4 % cannot pass as 400 %.
LARGEST_WATER_CONTENT = 1.0
# A mix is pressed at 8 to 15 %; at half its dry mass it would be slurry.
LARGEST_TARGET_WATER_CONTENT = 0.5
# Masses read from a scale carry binary rounding: a difference of exactly one step must still count as one step.
STEP_SLACK = 1e-6

_M_DRY = Term("dry_mass", "kg")
_W = Term("water_content", "1")
_T = Term("total_dry_mass", "kg")
_S = Term("dry_soil_mass", "kg")
_W_SOIL = Term("soil_water_content", "1")

WATER_CONTENT = Formula(
    "water_content",
    "w",
    "1",
    "(m_wet - m_dry) / (m_dry - m_tare)",
    {"m_wet": Term("wet_mass", "kg"), "m_dry": _M_DRY, "m_tare": Term("tare_mass", "kg")},
    "derivation-phases",
)
DRY_MASS = Formula("dry_mass", "m_dry", "kg", "m / (1 + w)", {"m": Term("moist_mass", "kg"), "w": _W}, "derivation-phases")
MOIST_MASS = Formula("moist_mass", "m", "kg", "m_dry * (1 + w)", {"m_dry": _M_DRY, "w": _W}, "derivation-phases")
WATER_TO_ADD = Formula(
    "water_mass",
    "A",
    "kg",
    "omega * T - w * S",
    {"omega": Term("target_water_content", "1"), "T": _T, "w": _W_SOIL, "S": _S},
    "derivation-water",
)
MIX_WATER_CONTENT = Formula(
    "mix_water_content",
    "omega",
    "1",
    "(A + w * S) / T",
    {"A": Term("water_mass", "kg"), "w": _W_SOIL, "S": _S, "T": _T},
    "derivation-water",
)
WATER_VOLUME_TO_START = Formula(
    "water_volume",
    "V_w",
    "m3",
    "x * V",
    {"x": Term("water_per_mix_volume", "1"), "V": Term("dry_mix_volume", "m3")},
    "practice-water-by-volume",
)


@dataclass(frozen=True, slots=True)
class WaterOrder:
    """Water to add to a batch, and why.

    Attributes
    ----------
    water_mass : float
        Water to add; negative when the soil already holds more than wanted. [kg]
    wanted : float
        Water the whole mix should hold. [kg]
    held : float
        Water the soil brings. [kg]
    notes : tuple of Note
        "soil_holds_more_than_wanted" with the surplus and the water content of the mix if nothing is added: stop.
    """

    water_mass: float
    wanted: float
    held: float
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class DryingCheck:
    """Whether a pan has dried to constant mass.

    Attributes
    ----------
    constant : bool
        True when the last two weighings agree within one step of the scale.
    change : float
        Last weighing less the one before. [kg]
    notes : tuple of Note
        "mass_rose" when the pan became heavier by more than a step: another pan, a wet hand, a scale that drifts.
    """

    constant: bool
    change: float
    notes: tuple[Note, ...] = ()


def water_content(wet_mass: float, *, dry_mass: float, tare_mass: float = 0.0) -> float:
    """Water content of a pan test, on dry mass.

    Parameters
    ----------
    wet_mass : float or (n,) array
        Moist soil with its pan. [kg]
    dry_mass : float or (n,) array
        The same dried to constant mass, with its pan. [kg]
    tare_mass : float or (n,) array
        The empty pan; 0 when the scale was set to zero with it. [kg]

    Returns
    -------
    float or (n,) array
        Mass of water over mass of dry solids. [-]

    Raises
    ------
    InputError
        "negative" for the tare, "dry_not_above_tare", "wet_below_dry".

    Notes
    -----
    Any unit of mass may be used as long as all three share it.

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(water_content(7.21, dry_mass=7.00), 3)
    0.03
    """
    check_not_negative(tare_mass=tare_mass)
    if not holds(dry_mass > tare_mass):
        raise InputError("dry_not_above_tare", dry_mass=dry_mass, tare_mass=tare_mass)
    if not holds(wet_mass >= dry_mass):
        raise InputError("wet_below_dry", wet_mass=wet_mass, dry_mass=dry_mass)
    return (wet_mass - dry_mass) / (dry_mass - tare_mass)


def dry_mass(moist_mass: float, *, water_content: float) -> float:
    """Dry mass of moist soil; of air-dry soil too, which is never quite dry.

    Parameters
    ----------
    moist_mass : float or (n,) array
        Soil with its water. [kg]
    water_content : float or (n,) array
        Water over dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Oven-dry mass. [kg]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(dry_mass(10.0, water_content=0.04), 3)
    9.615
    """
    check_positive(moist_mass=moist_mass)
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    return moist_mass / (1.0 + water_content)


def moist_mass(dry_mass: float, *, water_content: float) -> float:
    """Moist soil to weigh for a wanted mass of dry soil.

    Parameters
    ----------
    dry_mass : float or (n,) array
        Soil without its water. [kg]
    water_content : float or (n,) array
        Water over dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Mass with its water. [kg]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(moist_mass(9.615, water_content=0.04), 2)
    10.0
    """
    check_positive(dry_mass=dry_mass)
    check_between(0.0, LARGEST_WATER_CONTENT, water_content=water_content)
    return dry_mass * (1.0 + water_content)


def water_to_add(total_dry_mass: float, *, target_water_content: float, dry_soil_mass: float, soil_water_content: float) -> float:
    """Water to add to a batch; negative when the soil already holds more than wanted.

    Parameters
    ----------
    total_dry_mass : float or (n,) array
        Dry soil and stabiliser. [kg]
    target_water_content : float or (n,) array
        Water wanted over total dry mix, 0 to 0.5. [-]
    dry_soil_mass : float or (n,) array
        Soil without its water. [kg]
    soil_water_content : float or (n,) array
        Water of the soil over its dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Water to add. [kg]

    Raises
    ------
    InputError
        "not_positive", "out_of_range", or "soil_above_total" when the soil outweighs the mix it is part of.

    Notes
    -----
    Stabiliser is taken as dry. A negative answer is no order: `water_order` carries the note that says so.

    References
    ----------
    [derivation-water]

    Examples
    --------
    >>> round(water_to_add(10.229, target_water_content=0.10, dry_soil_mass=9.615, soil_water_content=0.04), 3)
    0.638
    """
    _check_batch(total_dry_mass, dry_soil_mass, soil_water_content)
    check_between(0.0, LARGEST_TARGET_WATER_CONTENT, target_water_content=target_water_content)
    return target_water_content * total_dry_mass - soil_water_content * dry_soil_mass


def mix_water_content(water_mass: float, *, total_dry_mass: float, dry_soil_mass: float, soil_water_content: float) -> float:
    """Water content the mix really has after water was added.

    Parameters
    ----------
    water_mass : float or (n,) array
        Water added. [kg]
    total_dry_mass : float or (n,) array
        Dry soil and stabiliser. [kg]
    dry_soil_mass : float or (n,) array
        Soil without its water. [kg]
    soil_water_content : float or (n,) array
        Water of the soil over its dry mass, 0 to 1. [-]

    Returns
    -------
    float or (n,) array
        Water over total dry mix. [-]

    Raises
    ------
    InputError
        "negative", "not_positive", "out_of_range" or "soil_above_total".

    References
    ----------
    [derivation-water]

    Examples
    --------
    >>> round(mix_water_content(1.023, total_dry_mass=10.229, dry_soil_mass=9.615, soil_water_content=0.04), 3)
    0.138
    """
    check_not_negative(water_mass=water_mass)
    _check_batch(total_dry_mass, dry_soil_mass, soil_water_content)
    return (water_mass + soil_water_content * dry_soil_mass) / total_dry_mass


def water_order(
    total_dry_mass: float, *, target_water_content: float, dry_soil_mass: float, soil_water_content: float
) -> WaterOrder:
    """Water to add with its parts, and a note when there is nothing to add but a reason to stop.

    Parameters
    ----------
    total_dry_mass : float
        Dry soil and stabiliser. [kg]
    target_water_content : float
        Water wanted over total dry mix, 0 to 0.5. [-]
    dry_soil_mass : float
        Soil without its water. [kg]
    soil_water_content : float
        Water of the soil over its dry mass, 0 to 1. [-]

    Returns
    -------
    WaterOrder
        Water to add, wanted, held, notes.

    Raises
    ------
    InputError
        As `water_to_add`.

    References
    ----------
    [derivation-water]

    Examples
    --------
    >>> order = water_order(10.0, target_water_content=0.10, dry_soil_mass=9.4, soil_water_content=0.12)
    >>> round(order.water_mass, 3), order.notes[0].code
    (-0.128, 'soil_holds_more_than_wanted')
    """
    mass = water_to_add(
        total_dry_mass,
        target_water_content=target_water_content,
        dry_soil_mass=dry_soil_mass,
        soil_water_content=soil_water_content,
    )
    held = soil_water_content * dry_soil_mass
    notes: tuple[Note, ...] = ()
    if mass < 0:
        values = {"surplus": -mass, "mix_water_content": held / total_dry_mass, "target_water_content": target_water_content}
        notes = (Note("soil_holds_more_than_wanted", values),)
    return WaterOrder(mass, target_water_content * total_dry_mass, held, notes)


def water_volume_to_start(dry_mix_volume: float, *, water_per_mix_volume: float) -> float:
    """Water to begin with where nothing can be weighed: a share of the loose volume of the dry mix.

    Parameters
    ----------
    dry_mix_volume : float or (n,) array
        Loose dry mix, in any unit of volume. [m³]
    water_per_mix_volume : float or (n,) array
        Water over that volume, 0 to 0.5; manuals begin with one tenth. [-]

    Returns
    -------
    float or (n,) array
        Water, in the unit of the mix. [m³]

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    Notes
    -----
    Knows nothing of the water the soil already holds; `water_to_add` does.

    References
    ----------
    [practice-water-by-volume]

    Examples
    --------
    >>> water_volume_to_start(20.0, water_per_mix_volume=0.1)
    2.0
    """
    check_positive(dry_mix_volume=dry_mix_volume)
    check_between(0.0, LARGEST_TARGET_WATER_CONTENT, water_per_mix_volume=water_per_mix_volume)
    return dry_mix_volume * water_per_mix_volume


def constant_mass(weighings: Sequence[float], *, scale_step: float) -> DryingCheck:
    """Whether a pan test is finished: two weighings after each other that agree within one step of the scale.

    Parameters
    ----------
    weighings : sequence of float
        Masses in the order they were read, drying between them. [kg]
    scale_step : float
        Smallest difference the scale shows. [kg]

    Returns
    -------
    DryingCheck
        Constant or not, the last change, notes.

    Raises
    ------
    InputError
        "too_few" with fewer than two weighings, "not_positive".

    References
    ----------
    [practice-constant-mass]

    Examples
    --------
    >>> constant_mass([0.312, 0.301, 0.300], scale_step=0.001).constant
    True
    """
    if len(weighings) < 2:
        raise InputError("too_few", quantity="weighings", count=len(weighings), least=2)
    check_positive(scale_step=scale_step, **{f"weighings[{place}]": mass for place, mass in enumerate(weighings)})
    change = weighings[-1] - weighings[-2]
    allowed = scale_step * (1.0 + STEP_SLACK)
    notes = (Note("mass_rose", {"change": change, "scale_step": scale_step}),) if change > allowed else ()
    return DryingCheck(abs(change) <= allowed, change, notes)


def _check_batch(total_dry_mass: float, dry_soil_mass: float, soil_water_content: float) -> None:
    check_positive(total_dry_mass=total_dry_mass, dry_soil_mass=dry_soil_mass)
    check_between(0.0, LARGEST_WATER_CONTENT, soil_water_content=soil_water_content)
    # One part in a million is rounding of typed masses, not a lighter mix.
    if not holds(dry_soil_mass <= total_dry_mass * (1.0 + STEP_SLACK)):
        raise InputError("soil_above_total", dry_soil_mass=dry_soil_mass, total_dry_mass=total_dry_mass)
