"""Weighing out a batch: what to weigh, what was weighed, whether a miss matters, how to put an overdose right."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from loamwright.engine.bench import dose, moisture
from loamwright.errors import InputError, Note, check_between, check_positive
from loamwright.formula import Formula, Term

COUNTS_AS_THE_MIX = 0.05  # of the dose [judgement-dose-miss]

Miss = Literal["as_near_as_the_scale", "counts_as_the_mix", "its_own_mix"]

DRY_SOIL_TO_ADD = Formula(
    "dry_soil_to_add",
    "dS",
    "kg",
    "C * (1 - p) / p - S",
    {"C": Term("stabiliser_mass", "kg"), "p": Term("stabiliser_of_total", "1"), "S": Term("dry_soil_mass", "kg")},
    "derivation-dose",
)
TO_SCALE_STEP = Formula(
    "mass_as_ordered",
    "m",
    "kg",
    "floor(m_exact / step + 0.5) * step",
    {"m_exact": Term("mass", "kg"), "step": Term("scale_step", "kg")},
    "derivation-dose",
)


@dataclass(frozen=True, slots=True)
class Targets:
    """What to weigh for one batch, exact and as the scale can show it.

    Attributes
    ----------
    moist_soil_mass, moist_soil_order : float
        Soil with its water. [kg]
    dry_soil_mass : float
        The same without its water. [kg]
    stabiliser_mass, stabiliser_order : float
        Stabiliser. [kg]
    total_dry_mass : float
        Dry soil and stabiliser. [kg]
    water_mass : float
        Water to add; negative when the soil holds more than wanted. [kg]
    water_order : float or None
        Water to add as the scale can show it; None when there is nothing to add and the work must stop. [kg]
    notes : tuple of Note
        "soil_holds_more_than_wanted", "scale_too_coarse".
    """

    moist_soil_mass: float
    moist_soil_order: float
    dry_soil_mass: float
    stabiliser_mass: float
    stabiliser_order: float
    total_dry_mass: float
    water_mass: float
    water_order: float | None
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class DoseMiss:
    """How far a weighed dose is from the wanted one, and what that means.

    Attributes
    ----------
    kind : Miss
        "as_near_as_the_scale", "counts_as_the_mix" or "its_own_mix".
    excess_mass : float
        Stabiliser weighed less stabiliser wanted. [kg]
    achieved_of_total : float
        Dose that was weighed, of total dry mix. [-]
    relative : float or None
        (achieved - wanted) / wanted, both of total dry mix; None when no stabiliser was wanted. [-]
    notes : tuple of Note
        "scale_too_coarse" when one step of the scale is more than the miss that counts as the mix.
    """

    kind: Miss
    excess_mass: float
    achieved_of_total: float
    relative: float | None
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Remedy:
    """Soil that brings an overdosed dry batch back to its dose, before water.

    Attributes
    ----------
    dry_soil_mass : float
        Dry soil to add. [kg]
    moist_soil_mass : float
        The same as it is weighed, with its water. [kg]
    new_dry_soil_mass, new_total_dry_mass : float
        The batch after the remedy; water is ordered from these. [kg]
    """

    dry_soil_mass: float
    moist_soil_mass: float
    new_dry_soil_mass: float
    new_total_dry_mass: float


@dataclass(frozen=True, slots=True)
class SourcePart:
    """One source of a blend as it is measured out.

    Attributes
    ----------
    source : str
        Its name: a ratio without names means nothing.
    parts : float
        Struck pails of it in one set. [-]
    pail_dry_mass : float
        Dry mass of one struck pail; bulking is in it. [kg]
    water_content : float
        Its water over its dry mass, 0 to 1. [-]
    """

    source: str
    parts: float
    pail_dry_mass: float
    water_content: float


@dataclass(frozen=True, slots=True)
class SourceShare:
    """One source's share of a mass of blend.

    Attributes
    ----------
    source : str
        Its name.
    share : float
        Its part of the dry blend, by mass. [-]
    dry_mass, moist_mass : float
        Without and with its water. [kg]
    pails : float
        Struck pails of it. [-]
    """

    source: str
    share: float
    dry_mass: float
    moist_mass: float
    pails: float


def to_scale_step(mass: float, *, scale_step: float) -> float:
    """A mass as this scale can show it: the nearest whole number of steps, halves up.

    Parameters
    ----------
    mass : float
        Mass to order; may be negative. [kg]
    scale_step : float
        Smallest difference the scale shows. [kg]

    Returns
    -------
    float
        A plain number to weigh. [kg]

    Raises
    ------
    InputError
        "not_positive" for the step.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> to_scale_step(0.61374, scale_step=0.005)
    0.615
    """
    check_positive(scale_step=scale_step)
    steps = math.floor(mass / scale_step + 0.5)
    # Decimal, so that 57 steps of 0.01 are 0.57 and not 0.5700000000000001 on somebody's screen.
    return float(steps * Decimal(str(scale_step)))


def targets_from_moist_soil(
    moist_soil_mass: float,
    *,
    soil_water_content: float,
    stabiliser_of_total: float,
    target_water_content: float,
    soil_scale_step: float,
    scale_step: float,
) -> Targets:
    """Stabiliser and water for the moist soil that was weighed.

    Parameters
    ----------
    moist_soil_mass : float
        Soil with its water. [kg]
    soil_water_content : float
        Water of the soil over its dry mass, 0 to 1. [-]
    stabiliser_of_total : float
        Dose of the total dry mix, 0 to 0.5. [-]
    target_water_content : float
        Water wanted over total dry mix, 0 to 0.5. [-]
    soil_scale_step : float
        Step of the scale that weighs soil. [kg]
    scale_step : float
        Step of the scale that weighs stabiliser and water. [kg]

    Returns
    -------
    Targets
        Exact masses, orders, notes.

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-dose], [derivation-water]

    Examples
    --------
    >>> wanted = targets_from_moist_soil(10.0, soil_water_content=0.04, stabiliser_of_total=0.06,
    ...                                  target_water_content=0.10, soil_scale_step=0.05, scale_step=0.001)
    >>> wanted.stabiliser_order, wanted.water_order
    (0.614, 0.638)
    """
    dry_soil = moisture.dry_mass(moist_soil_mass, water_content=soil_water_content)
    stabiliser = dose.stabiliser_mass(dry_soil, stabiliser_of_total=stabiliser_of_total)
    total = dry_soil + stabiliser
    water = moisture.water_order(
        total,
        target_water_content=target_water_content,
        dry_soil_mass=dry_soil,
        soil_water_content=soil_water_content,
    )
    return Targets(
        moist_soil_mass=moist_soil_mass,
        moist_soil_order=to_scale_step(moist_soil_mass, scale_step=soil_scale_step),
        dry_soil_mass=dry_soil,
        stabiliser_mass=stabiliser,
        stabiliser_order=to_scale_step(stabiliser, scale_step=scale_step),
        total_dry_mass=total,
        water_mass=water.water_mass,
        water_order=None if water.notes else to_scale_step(water.water_mass, scale_step=scale_step),
        notes=water.notes + _coarse(stabiliser, scale_step),
    )


def targets_from_dry_soil(
    dry_soil_mass: float,
    *,
    soil_water_content: float,
    stabiliser_of_total: float,
    target_water_content: float,
    soil_scale_step: float,
    scale_step: float,
) -> Targets:
    """Moist soil, stabiliser and water for a wanted mass of dry soil.

    Parameters
    ----------
    dry_soil_mass : float
        Wanted soil without its water. [kg]
    soil_water_content : float
        Water of the soil over its dry mass, 0 to 1. [-]
    stabiliser_of_total : float
        Dose of the total dry mix, 0 to 0.5. [-]
    target_water_content : float
        Water wanted over total dry mix, 0 to 0.5. [-]
    soil_scale_step : float
        Step of the scale that weighs soil. [kg]
    scale_step : float
        Step of the scale that weighs stabiliser and water. [kg]

    Returns
    -------
    Targets
        Exact masses, orders, notes.

    Raises
    ------
    InputError
        "not_positive" or "out_of_range".

    References
    ----------
    [derivation-dose], [derivation-water]

    Examples
    --------
    >>> wanted = targets_from_dry_soil(9.615, soil_water_content=0.04, stabiliser_of_total=0.06,
    ...                                target_water_content=0.10, soil_scale_step=0.05, scale_step=0.001)
    >>> wanted.moist_soil_order
    10.0
    """
    return targets_from_moist_soil(
        moisture.moist_mass(dry_soil_mass, water_content=soil_water_content),
        soil_water_content=soil_water_content,
        stabiliser_of_total=stabiliser_of_total,
        target_water_content=target_water_content,
        soil_scale_step=soil_scale_step,
        scale_step=scale_step,
    )


def dose_miss(stabiliser_mass: float, *, dry_soil_mass: float, stabiliser_of_total: float, scale_step: float) -> DoseMiss:
    """Whether the stabiliser that was weighed still makes the wanted mix.

    Parameters
    ----------
    stabiliser_mass : float
        Stabiliser weighed. [kg]
    dry_soil_mass : float
        Soil without its water, as weighed. [kg]
    stabiliser_of_total : float
        Wanted dose of the total dry mix, 0 to 0.5. [-]
    scale_step : float
        Step of the scale that weighed the stabiliser. [kg]

    Returns
    -------
    DoseMiss
        Within one step "as_near_as_the_scale"; up to 5 % of the dose "counts_as_the_mix"; beyond "its_own_mix".

    Raises
    ------
    InputError
        "negative", "not_positive" or "out_of_range".

    References
    ----------
    [judgement-dose-miss]

    Examples
    --------
    >>> dose_miss(0.70, dry_soil_mass=9.615, stabiliser_of_total=0.06, scale_step=0.005).kind
    'its_own_mix'
    """
    check_positive(scale_step=scale_step)
    achieved = dose.stabiliser_of_total(stabiliser_mass, dry_soil_mass=dry_soil_mass)
    wanted_mass = dose.stabiliser_mass(dry_soil_mass, stabiliser_of_total=stabiliser_of_total)
    excess = stabiliser_mass - wanted_mass
    relative = (achieved - stabiliser_of_total) / stabiliser_of_total if stabiliser_of_total > 0 else None
    slack = 1.0 + moisture.STEP_SLACK
    kind: Miss = "its_own_mix"
    if abs(excess) <= scale_step * slack:
        kind = "as_near_as_the_scale"
    elif relative is not None and abs(relative) <= COUNTS_AS_THE_MIX * slack:
        kind = "counts_as_the_mix"
    return DoseMiss(kind, excess, achieved, relative, _coarse(wanted_mass, scale_step))


def dry_soil_to_add(stabiliser_mass: float, *, dry_soil_mass: float, stabiliser_of_total: float) -> float:
    """Dry soil that brings an overdosed batch back to its dose.

    Parameters
    ----------
    stabiliser_mass : float
        Stabiliser that went in. [kg]
    dry_soil_mass : float
        Soil without its water, so far. [kg]
    stabiliser_of_total : float
        Wanted dose of the total dry mix, above 0 and up to 0.5. [-]

    Returns
    -------
    float
        Dry soil to add; 0 within rounding when the dose is right. [kg]

    Raises
    ------
    InputError
        "not_positive", "out_of_range", or "not_overdosed" when soil would have to be taken out.

    Notes
    -----
    Only before water: afterwards the clock runs and the mix cannot be made even again.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> round(dry_soil_to_add(0.70, dry_soil_mass=9.615, stabiliser_of_total=0.06), 3)
    1.352
    """
    check_positive(stabiliser_mass=stabiliser_mass, dry_soil_mass=dry_soil_mass, stabiliser_of_total=stabiliser_of_total)
    check_between(0.0, dose.LARGEST_OF_TOTAL, stabiliser_of_total=stabiliser_of_total)
    to_add = stabiliser_mass * (1.0 - stabiliser_of_total) / stabiliser_of_total - dry_soil_mass
    if to_add < -moisture.STEP_SLACK * dry_soil_mass:
        achieved = dose.stabiliser_of_total(stabiliser_mass, dry_soil_mass=dry_soil_mass)
        raise InputError("not_overdosed", achieved_of_total=achieved, stabiliser_of_total=stabiliser_of_total)
    return to_add


def overdose_remedy(
    stabiliser_mass: float, *, dry_soil_mass: float, stabiliser_of_total: float, soil_water_content: float
) -> Remedy:
    """Soil to add to an overdosed batch before water, dry and as it is weighed.

    Parameters
    ----------
    stabiliser_mass : float
        Stabiliser that went in. [kg]
    dry_soil_mass : float
        Soil without its water, so far. [kg]
    stabiliser_of_total : float
        Wanted dose of the total dry mix, above 0 and up to 0.5. [-]
    soil_water_content : float
        Water of the blended soil over its dry mass, 0 to 1. [-]

    Returns
    -------
    Remedy
        Soil to add and the batch it makes; `split_by_parts` tells it source by source.

    Raises
    ------
    InputError
        As `dry_soil_to_add`.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> remedy = overdose_remedy(0.70, dry_soil_mass=9.615, stabiliser_of_total=0.06, soil_water_content=0.04)
    >>> round(remedy.moist_soil_mass, 3)
    1.406
    """
    check_between(0.0, moisture.LARGEST_WATER_CONTENT, soil_water_content=soil_water_content)
    to_add = dry_soil_to_add(stabiliser_mass, dry_soil_mass=dry_soil_mass, stabiliser_of_total=stabiliser_of_total)
    new_soil = dry_soil_mass + to_add
    return Remedy(to_add, to_add * (1.0 + soil_water_content), new_soil, new_soil + stabiliser_mass)


def split_by_parts(dry_mass: float, *, parts: Sequence[SourcePart]) -> tuple[SourceShare, ...]:
    """A mass of dry blend, source by source.

    Parameters
    ----------
    dry_mass : float
        Blend without its water. [kg]
    parts : sequence of SourcePart
        Sources with their pails a set, dry mass a pail and water.

    Returns
    -------
    tuple of SourceShare
        In the order given.

    Raises
    ------
    InputError
        "not_positive", "out_of_range", "too_few" without sources, "same_source_twice".

    Notes
    -----
    f_i = v_i m_i / Σ v m, with v in struck pails and m the dry mass of one.

    References
    ----------
    [derivation-dose]

    Examples
    --------
    >>> sandy, clay = SourcePart("sandy", 5, 28.4, 0.03), SourcePart("clay", 2, 22.4, 0.08)
    >>> [(each.source, round(each.dry_mass, 2)) for each in split_by_parts(1.35, parts=[sandy, clay])]
    [('sandy', 1.03), ('clay', 0.32)]
    """
    check_positive(dry_mass=dry_mass)
    if not parts:
        raise InputError("too_few", quantity="parts", count=0, least=1)
    names = [part.source for part in parts]
    if len(set(names)) != len(names):
        raise InputError("same_source_twice", sources=", ".join(names))
    for part in parts:
        check_positive(parts=part.parts, pail_dry_mass=part.pail_dry_mass)
        check_between(0.0, moisture.LARGEST_WATER_CONTENT, water_content=part.water_content)
    one_set = math.fsum(part.parts * part.pail_dry_mass for part in parts)
    return tuple(_share(part, dry_mass, one_set) for part in parts)


def _share(part: SourcePart, dry_mass: float, one_set: float) -> SourceShare:
    share = part.parts * part.pail_dry_mass / one_set
    mass = dry_mass * share
    return SourceShare(part.source, share, mass, mass * (1.0 + part.water_content), mass / part.pail_dry_mass)


def _coarse(stabiliser_mass: float, scale_step: float) -> tuple[Note, ...]:
    if 0 < stabiliser_mass * COUNTS_AS_THE_MIX < scale_step:
        return (Note("scale_too_coarse", {"scale_step": scale_step, "stabiliser_mass": stabiliser_mass}),)
    return ()
