"""What becomes of a blend when the pails are not what they were: damp sand that bulks, a heaped pail, a pit that changed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from loamwright.engine.blend.search import Array, Ground, blended
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError, check_between, check_positive


@dataclass(frozen=True, slots=True)
class Change:
    """What is different about one source.

    Attributes
    ----------
    source : str
    mass_factor : float
        Dry mass in one pail over what it was: 1 / (1 + bulking) where the sand got damp, 1 + heap where it is heaped. [-]
    held_factors : mapping of property to float
        Each property over what it was, where the pit changed. [-]
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


@dataclass(frozen=True, slots=True)
class Upset:
    """A blend before and after.

    Attributes
    ----------
    change : Change
    shares_before, shares_after : mapping of source to float
        Middle of each mass share. [-]
    before, after : mapping of property to float
        Middle of each wanted property. [-]
    chance_before, chance_after : float
        Chance of lying in every window. [-]
    """

    change: Change
    shares_before: Mapping[str, float]
    shares_after: Mapping[str, float]
    before: Mapping[str, float]
    after: Mapping[str, float]
    chance_before: float
    chance_after: float


def upset(parts: Mapping[str, int], *, ground: Ground, windows: Sequence[Window], change: Change) -> Upset:
    """The same parts with one source changed.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume. [-]
    ground : Ground
        As it was believed.
    windows : sequence of Window
    change : Change

    Returns
    -------
    Upset

    Raises
    ------
    InputError
        "source_missing", "no_windows", "not_positive", "unknown_property".

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
    if change.source not in parts or change.source not in ground.sources:
        raise InputError("source_missing", quantity="parts", missing=change.source)
    if not windows:
        raise InputError("no_windows")
    check_positive(mass_factor=change.mass_factor, **dict(change.held_factors))
    row = np.array([float(parts.get(source, 0)) for source in ground.sources])
    other = _changed(ground, change)
    before, after = _middle(row, ground, windows), _middle(row, other, windows)
    return Upset(change, _shares(row, ground), _shares(row, other), before[0], after[0], before[1], after[1])


def _changed(ground: Ground, change: Change) -> Ground:
    place = ground.sources.index(change.source)
    masses = ground.masses.copy()
    masses[place] *= change.mass_factor
    held = dict(ground.held)
    for name, factor in change.held_factors.items():
        if name not in held:
            raise InputError("unknown_property", property=name)
        values = held[name].copy()
        values[place] = np.minimum(values[place] * factor, 1.0)
        held[name] = values
    return Ground(ground.sources, masses, held)


def _middle(row: Array, ground: Ground, windows: Sequence[Window]) -> tuple[dict[str, float], float]:
    inside = np.ones(ground.draws, dtype=bool)
    medians = {}
    for window in windows:
        values = blended(row[None], ground, window.property_name)[0]
        medians[window.property_name] = float(np.median(values))
        inside &= (values >= (window.least or -np.inf)) & (values <= (np.inf if window.most is None else window.most))
    return medians, float(inside.mean())


def _shares(row: Array, ground: Ground) -> dict[str, float]:
    masses = row[:, None] * ground.masses
    shares = np.median(masses / masses.sum(axis=0), axis=1)
    return {source: float(share) for source, share in zip(ground.sources, shares, strict=True) if share > 0}
