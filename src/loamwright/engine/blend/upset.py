"""What becomes of a blend when the pails are not what they were: damp sand that bulks, a heaped pail, a pit that changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from loamwright.engine.blend.criteria import Condition, Criterion
from loamwright.engine.blend.grading import EDGE
from loamwright.engine.blend.judging import row_of, wanted_of
from loamwright.engine.blend.offers import Spread, spread
from loamwright.engine.blend.search import Array, Ground, blended, values_of_conditions, within
from loamwright.errors import InputError, check_between, check_positive


@dataclass(frozen=True, slots=True)
class Change:
    """What is different about one source.

    Attributes
    ----------
    source : str
    mass_factor : float
        Dry mass in one part over what it was: 1 / (1 + bulking) where the sand got damp, 1 + heap where it is heaped. [-]
    held_factors : mapping of property to float
        Each property over what it was, where the pit changed. Where its clay changed, the rest of the grading gives way in
        proportion: what is not clay keeps its own shares. [-]
    """

    source: str
    mass_factor: float = 1.0
    held_factors: Mapping[str, float] = field(default_factory=dict)


def bulked(source: str, *, bulking: float) -> Change:
    """Sand that got damp and lies looser.

    Parameters
    ----------
    source : str
    bulking : float
        Rise of the loose volume over the dry one, 0 to 1. [-]

    Returns
    -------
    Change

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [practice-bulking]

    Examples
    --------
    >>> bulked("sand", bulking=0.25).mass_factor
    0.8
    """
    check_between(0.0, 1.0, bulking=bulking)
    return Change(source, 1.0 / (1.0 + bulking))


def heaped(source: str, *, heap: float) -> Change:
    """Pails that are heaped instead of struck.

    Parameters
    ----------
    source : str
    heap : float
        What lies above the rim over what fits below it, 0 to 1. [-]

    Returns
    -------
    Change

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [practice-struck-pail]

    Examples
    --------
    >>> heaped("clay", heap=0.15).mass_factor
    1.15
    """
    check_between(0.0, 1.0, heap=heap)
    return Change(source, 1.0 + heap)


def damp_by_weight(source: str, *, water_content: float) -> Change:
    """Damp soil weighed out as if it were dry: part of what is weighed is water.

    Parameters
    ----------
    source : str
    water_content : float
        Water over dry mass, 0 to 1. [-]

    Returns
    -------
    Change

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> damp_by_weight("sand", water_content=0.25).mass_factor
    0.8
    """
    check_between(0.0, 1.0, water_content=water_content)
    return Change(source, 1.0 / (1.0 + water_content))


def reweighed(source: str, *, pail_dry_mass: float, earlier_pail_dry_mass: float) -> Change:
    """A source whose pail was weighed again and freed of its water: bulking, heap and pit in one number.

    Parameters
    ----------
    source : str
    pail_dry_mass : float
        Dry mass of one part now: struck mass over 1 + water content. [kg]
    earlier_pail_dry_mass : float
        Dry mass of one part as it was. [kg]

    Returns
    -------
    Change

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(reweighed("sand", pail_dry_mass=24.0, earlier_pail_dry_mass=30.0).mass_factor, 3)
    0.8
    """
    check_positive(pail_dry_mass=pail_dry_mass, earlier_pail_dry_mass=earlier_pail_dry_mass)
    return Change(source, pail_dry_mass / earlier_pail_dry_mass)


@dataclass(frozen=True, slots=True)
class Upset:
    """A blend before and after.

    Attributes
    ----------
    change : Change
        The first of the changes.
    shares_before, shares_after : mapping of source to float
        Middle of each mass share. [-]
    before, after : mapping of property to float
        Middle of each wanted property. [-]
    chance_before, chance_after : float
        Chance of lying in every window. [-]
    spreads_before, spreads_after : mapping of property to Spread
        The same properties with their 90 % range.
    changes : tuple of Change
        All of them, where several went wrong together.
    """

    change: Change
    shares_before: Mapping[str, float]
    shares_after: Mapping[str, float]
    before: Mapping[str, float]
    after: Mapping[str, float]
    chance_before: float
    chance_after: float
    spreads_before: Mapping[str, Spread] = field(default_factory=dict)
    spreads_after: Mapping[str, Spread] = field(default_factory=dict)
    changes: tuple[Change, ...] = ()


def upset(
    parts: Mapping[str, int], *, ground: Ground, windows: Sequence[Criterion], change: Change, also: Sequence[Change] = ()
) -> Upset:
    """The same parts with one source changed, or several changes together.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume. [-]
    ground : Ground
        As it was believed.
    windows : sequence of Window, GradingEnvelope or PlasticityArea
    change : Change
    also : sequence of Change
        What else went wrong at the same time.

    Returns
    -------
    Upset

    Raises
    ------
    InputError
        "source_missing", "no_windows", "not_positive", "not_known_of_every_source".

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> ground = Ground.of({"clay": 20.0, "sandy": 30.0}, {"clay": {"clay": 0.40, "sandy": 0.05}})
    >>> found = upset({"clay": 1, "sandy": 2}, ground=ground, windows=[stabiliser_window("cement")],
    ...               change=bulked("sandy", bulking=0.30))
    >>> round(found.before["clay"], 4), round(found.after["clay"], 4)
    (0.1375, 0.1558)
    """
    changes = (change, *also)
    for each in changes:
        if each.source not in parts:
            raise InputError("source_missing", quantity="parts", missing=each.source)
    row, wanted = row_of(parts, ground), wanted_of(windows, ground)
    other = ground
    for each in changes:
        other = changed(other, change=each)
    before, after = _spreads(row, ground, wanted), _spreads(row, other, wanted)
    return Upset(
        change,
        _shares(row[0], ground),
        _shares(row[0], other),
        {name: each.median for name, each in before.items()},
        {name: each.median for name, each in after.items()},
        _chance(row, ground, wanted),
        _chance(row, other, wanted),
        before,
        after,
        changes,
    )


def changed(ground: Ground, *, change: Change) -> Ground:
    """What the sources hold after a change.

    Parameters
    ----------
    ground : Ground
    change : Change

    Returns
    -------
    Ground

    Raises
    ------
    InputError
        "source_missing", "not_positive", "not_known_of_every_source".

    Notes
    -----
    Clay that goes from c to c' leaves (1 − c') / (1 − c) of every coarser grain: sand and silt shrink by that, and of a share
    passing P, its clay c included, there is c' + (P − c)·(1 − c') / (1 − c).

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> pit = Ground.of({"a": 20.0}, {"clay": {"a": 0.20}, "sand": {"a": 0.50}, "fines": {"a": 0.50}})
    >>> found = changed(pit, change=Change("a", 1.0, {"clay": 2.0}))
    >>> {name: round(float(values[0, 0]), 4) for name, values in found.held.items()}
    {'clay': 0.4, 'sand': 0.375, 'fines': 0.625}
    """
    if change.source not in ground.sources:
        raise InputError("source_missing", quantity="parts", missing=change.source)
    check_positive(mass_factor=change.mass_factor, **dict(change.held_factors))
    place = ground.sources.index(change.source)
    masses = ground.masses.copy()
    masses[place] *= change.mass_factor
    held = {name: values.copy() for name, values in ground.held.items()}
    for name in change.held_factors:
        if name not in held:
            raise InputError("not_known_of_every_source", property=name)
    for name, factor in sorted(change.held_factors.items(), key=lambda pair: pair[0] != "clay"):
        was, now = held[name][place].copy(), np.minimum(held[name][place] * factor, 1.0)
        held[name][place] = now
        if name == "clay":
            _give_way(held, place, was, now, set(change.held_factors))
    return Ground(ground.sources, masses, held)


COARSER = ("gravel", "sand", "silt")


def _give_way(held: dict[str, Array], place: int, was: Array, now: Array, given: set[str]) -> None:
    left = (1.0 - now) / np.maximum(1.0 - was, EDGE)
    for name in set(held) - given:
        values = held[name]
        if name in COARSER:
            values[place] *= left
        elif name == "fines" or name.startswith("passing_"):
            # below the clay size all that passes is clay
            rest = np.maximum(values[place] - was, 0.0)
            values[place] = np.where(values[place] >= was, now + rest * left, values[place] * now / np.maximum(was, EDGE))


def _spreads(row: Array, ground: Ground, wanted: Sequence[Condition]) -> dict[str, Spread]:
    names = dict.fromkeys(name for condition in wanted for name, _ in condition.terms)
    return {name: spread(blended(row, ground, name)[0]) for name in names}


def _chance(row: Array, ground: Ground, wanted: Sequence[Condition]) -> float:
    inside = np.ones(ground.draws, dtype=bool)
    for condition, values in values_of_conditions(row, ground, wanted):
        inside &= within(values[0], condition)
    return float(inside.mean())


def _shares(row: Array, ground: Ground) -> dict[str, float]:
    masses = row[:, None] * ground.masses
    shares = np.median(masses / masses.sum(axis=0), axis=1)
    return {source: float(share) for source, share in zip(ground.sources, shares, strict=True) if share > 0}
