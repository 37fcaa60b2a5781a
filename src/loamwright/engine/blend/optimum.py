"""The blend that takes least of a scarce soil, or costs least, and still lies in every window with a wanted chance."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from loamwright.engine.blend.search import CARRIED_BY, Array, Ground, blended
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError, check_between

WORLDS = 200
"""Worlds the program is written for; the answer is then judged by all."""
ROUNDS = 6
"""How often the wanted number of worlds is raised where all draws show less than the few did."""
BIG = 2.0
"""A property is a share, so no window is missed by more than this. [-]"""
SECONDS = 10.0
"""Longest a program is worked on; what was found by then is judged, with a note."""


@dataclass(frozen=True, slots=True)
class Optimum:
    """The best blend in shares, or what forbids one.

    Attributes
    ----------
    volume_shares : mapping of source to float
        Shares of the loose volume, to be brought to whole parts; empty where there is no such blend. [-]
    mass_shares : mapping of source to float
        Shares of the dry mass in a middling world. [-]
    objective : float or None
        Mass share of the scarce source, or cost of one tonne; None where there is no such blend.
    chance : float
        Chance of lying in every window, by all draws. [-]
    forbids : tuple of str
        Keys of the windows without which, one at a time, there would be such a blend; all of them where only together.
    """

    volume_shares: Mapping[str, float]
    mass_shares: Mapping[str, float]
    objective: float | None
    chance: float
    forbids: tuple[str, ...]


def optimum(
    ground: Ground,
    *,
    windows: Sequence[Window],
    chance: float,
    weights: Mapping[str, float],
    most: Mapping[str, float] | None = None,
) -> Optimum:
    """Least weighted sum of mass shares subject to lying in every window with a chance.

    A mixed-integer linear program over the first 200 worlds (solved by HiGHS): shares by mass of a middling part, and for each
    world whether it is met. Every constraint is linear in the shares, because a mean by mass inside a window is a sum inside
    it. The answer is judged by all draws; where they show less than the wanted chance, more of the few worlds are asked for.

    Parameters
    ----------
    ground : Ground
    windows : sequence of Window
        All are wanted at once.
    chance : float
        Wanted chance, 0.05 to 0.99. [-]
    weights : mapping of source to float
        What a share of each source counts: 1 for the scarce one and 0 for the others, or the cost of a tonne of each.
    most : mapping of source to float, optional
        Most of a source, as a share of the mass. [-]

    Returns
    -------
    Optimum

    Raises
    ------
    InputError
        "no_windows", "out_of_range", "unknown_property", "source_missing".

    References
    ----------
    [luedtke-ahmed-2008], [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> ground = Ground.of({"clay": 20.0, "sandy": 20.0}, {"clay": {"clay": 0.40, "sandy": 0.05}})
    >>> found = optimum(ground, windows=[stabiliser_window("cement")], chance=0.8, weights={"clay": 1.0})
    >>> round(found.mass_shares["clay"], 4)
    0.1429
    """
    _check(ground, windows, weights, most)
    check_between(0.05, 0.99, chance=chance)
    few = ground.first(WORLDS)
    wanted = chance
    best: tuple[Array, float] | None = None
    for _ in range(ROUNDS):
        shares = _solve(few, windows, wanted, weights, most or {})
        if shares is None:
            break
        reached = _chance(shares, ground, windows)
        best = shares, reached
        if reached >= chance:
            return _told(shares, reached, ground, weights)
        wanted = min(0.999, wanted + (chance - reached) + 1.0 / few.draws)
    reached = 0.0 if best is None else best[1]
    return Optimum({}, {}, None, reached, _forbidding(few, windows, chance, weights, most or {}))


def _check(ground: Ground, windows: Sequence[Window], weights: Mapping[str, float], most: Mapping[str, float] | None) -> None:
    if not windows:
        raise InputError("no_windows")
    for source in (*weights, *(most or {})):
        if source not in ground.sources:
            raise InputError("source_missing", quantity="weights", missing=source)
    for window in windows:
        blended(np.ones((1, len(ground.sources))), ground, window.property_name)


def _solve(
    ground: Ground,
    windows: Sequence[Window],
    chance: float,
    weights: Mapping[str, float],
    most: Mapping[str, float],
) -> Array | None:
    """Mass shares of a middling part that serve best; None where there are none."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_matrix, hstack, identity, vstack

    sources, worlds = len(ground.sources), ground.draws
    rows = [row for window in windows for row in _rows(ground, window)]
    relaxed = [hstack([csr_matrix(row), BIG * identity(worlds)]) for row in rows]
    met = csr_matrix(np.concatenate([np.zeros(sources), np.ones(worlds)])[None])
    whole = csr_matrix(np.concatenate([np.ones(sources), np.zeros(worlds)])[None])
    constraints = [
        # sum of share times miss is at most BIG in a world that is not met, at most 0 in one that is
        LinearConstraint(vstack(relaxed), -np.inf, np.full(worlds * len(rows), BIG)),
        LinearConstraint(met, ceil(chance * worlds - 1e-9), np.inf),
        LinearConstraint(whole, 1.0, 1.0),
    ]
    cost = np.concatenate([[weights.get(source, 0.0) for source in ground.sources], np.zeros(worlds)])
    top = np.concatenate([[most.get(source, 1.0) for source in ground.sources], np.ones(worlds)])
    found = milp(
        cost,
        constraints=constraints,
        bounds=Bounds(np.zeros(sources + worlds), top),
        integrality=np.concatenate([np.zeros(sources), np.ones(worlds)]),
        options={"time_limit": SECONDS},
    )
    return None if found.x is None else np.clip(np.asarray(found.x[:sources], dtype=np.float64), 0.0, 1.0)


def _rows(ground: Ground, window: Window) -> list[Array]:
    """For each end of a window, (worlds, sources): how far each source alone misses it, by the mass that carries the property."""
    carrier = CARRIED_BY.get(window.property_name)
    weight = _relative(ground) * (1.0 if carrier is None else ground.held[carrier])
    value = ground.held[window.property_name]
    found = []
    if window.least is not None:
        found.append((weight * (window.least - value)).T)
    if window.most is not None:
        found.append((weight * (value - window.most)).T)
    return found


def _relative(ground: Ground) -> Array:
    """Mass of a part in each world over the middling one: shares are of middling parts, worlds differ from them."""
    return ground.masses / np.median(ground.masses, axis=1, keepdims=True)


def _parts(shares: Array, ground: Ground) -> Array:
    return shares / np.median(ground.masses, axis=1)


def _chance(shares: Array, ground: Ground, windows: Sequence[Window]) -> float:
    parts = _parts(shares, ground)[None]
    inside = np.ones(ground.draws, dtype=bool)
    for window in windows:
        values = blended(parts, ground, window.property_name)[0]
        low = -np.inf if window.least is None else window.least - ROUNDING
        high = np.inf if window.most is None else window.most + ROUNDING
        inside &= (values >= low) & (values <= high)
    return float(inside.mean())


ROUNDING = 1e-7
"""A blend on the very edge of a window lies in it: the solver keeps its constraints to about this. [-]"""


def _told(shares: Array, reached: float, ground: Ground, weights: Mapping[str, float]) -> Optimum:
    parts = _parts(shares, ground)
    volume = parts / parts.sum()
    return Optimum(
        dict(zip(ground.sources, volume.tolist(), strict=True)),
        dict(zip(ground.sources, shares.tolist(), strict=True)),
        float(sum(weights.get(source, 0.0) * share for source, share in zip(ground.sources, shares.tolist(), strict=True))),
        reached,
        (),
    )


def _forbidding(
    ground: Ground, windows: Sequence[Window], chance: float, weights: Mapping[str, float], most: Mapping[str, float]
) -> tuple[str, ...]:
    """Windows without which one blend would do; all where none alone is to blame."""
    every = tuple(window.key for window in windows)
    if len(windows) == 1:
        return every
    guilty = tuple(
        window.key
        for window in windows
        if _solve(ground, [each for each in windows if each is not window], chance, weights, most) is not None
    )
    return guilty or every
