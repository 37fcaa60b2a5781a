"""The blend that takes least of a scarce soil, or costs least, and still lies in every window with a wanted chance."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from loamwright.engine.blend.criteria import Condition, Criterion, carrier_of, conditions
from loamwright.engine.blend.search import Array, Ground, monte_carlo_error, values_of_conditions
from loamwright.errors import InputError, Note, check_between, check_not_negative

WORLDS = 200
"""Worlds the program is written for; the answer is then judged by all."""
ROUNDS = 6
"""How often the wanted number of worlds is raised where all draws show less than the few did."""
SECONDS = 5.0
"""Longest one program is worked on; what was found by then is judged, with a note."""
ROUNDING = 1e-7
"""A blend on the very edge of a window lies in it: the solver keeps its constraints to about this. [-]"""
HALVINGS = 30
"""Steps of the last search between a blend that reaches the chance and a cheaper one that does not."""


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
        Chance of lying in every window, by all draws; where there is no such blend, the best chance that was found. [-]
    forbids : tuple of str
        Keys of the windows without which, one at a time, there would be such a blend; all of them where no single one and no
        limit of a source is to blame.
    forbidding_limits : tuple of str
        Sources whose limit forbids it in the same way.
    error : float
        Monte Carlo standard error of the chance. [-]
    notes : tuple of Note
        "optimum_not_proven" where the time ran out before the solver was done.
    """

    volume_shares: Mapping[str, float]
    mass_shares: Mapping[str, float]
    objective: float | None
    chance: float
    forbids: tuple[str, ...]
    forbidding_limits: tuple[str, ...] = ()
    error: float = 0.0
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class _Task:
    """What is asked, and the worlds it is judged by."""

    ground: Ground
    wanted: tuple[Condition, ...]
    chance: float
    weights: Array
    most: Array


@dataclass(frozen=True, slots=True)
class _Reached:
    """Mass shares of a middling part, the chance they reach by all draws, and whether the solver was done."""

    shares: Array
    chance: float
    proven: bool


def optimum(
    ground: Ground,
    *,
    windows: Sequence[Criterion],
    chance: float,
    weights: Mapping[str, float],
    most: Mapping[str, float] | None = None,
) -> Optimum:
    """Least weighted sum of mass shares subject to lying in every window with a chance.

    A mixed-integer linear program over the first 200 worlds (solved by HiGHS): shares by mass of a middling part, and for each
    world whether it is met. Every constraint is linear in the shares, because a mean by mass inside a window is a sum inside
    it; a world that is not met is let off by the most it could miss. The answer is judged by all draws: where they show less
    than the wanted chance, more of the few worlds are asked for; where they show more, fewer are, and the cheapest blend
    between the two that still reaches the chance is kept.

    Parameters
    ----------
    ground : Ground
    windows : sequence of Window, GradingEnvelope or PlasticityArea
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
        "no_windows", "out_of_range", "negative", "not_known_of_every_source", "source_missing".

    Notes
    -----
    Exact for the few worlds. For all worlds the chance is kept, and the objective is as near the least as 200 worlds tell.

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
    _check(ground, windows, weights, most or {})
    check_between(0.05, 0.99, chance=chance)
    task = _task(ground, windows, chance, weights, most or {})
    best, reaches = _best(task)
    if best is not None and reaches:
        return _told(best, task)
    forbids, limits = _forbidding(ground, windows, chance, weights, most or {})
    reached = 0.0 if best is None else best.chance
    notes = () if best is None else _proven(best)
    return Optimum({}, {}, None, reached, forbids, limits, float(monte_carlo_error(reached, draws=ground.draws)), notes)


def _check(ground: Ground, windows: Sequence[Criterion], weights: Mapping[str, float], most: Mapping[str, float]) -> None:
    if not windows:
        raise InputError("no_windows")
    for source in (*weights, *most):
        if source not in ground.sources:
            raise InputError("source_missing", quantity="weights", missing=source)
    for weight in weights.values():
        check_not_negative(weights=weight)
    for share in most.values():
        check_between(0.0, 1.0, limit_of_source=share)


def _task(
    ground: Ground, windows: Sequence[Criterion], chance: float, weights: Mapping[str, float], most: Mapping[str, float]
) -> _Task:
    return _Task(
        ground,
        tuple(each for window in windows for each in conditions(window, known=ground.held)),
        chance,
        np.array([weights.get(source, 0.0) for source in ground.sources]),
        np.array([most.get(source, 1.0) for source in ground.sources]),
    )


# --- the blend ---


def _best(task: _Task) -> tuple[_Reached | None, bool]:
    """The cheapest blend that reaches the chance by all draws; else the one with the best chance that was found."""
    few = task.ground.first(WORLDS)
    rows = _rows(few, task.wanted)
    need = max(1, ceil(task.chance * few.draws - 1e-9))
    cheaper: _Reached | None = None
    for _ in range(ROUNDS):
        found = _solve(task, rows, few.draws, need)
        if found is None:
            break
        if found.chance >= task.chance:
            found, cheaper = _between(found, cheaper, task, rows, few.draws, need)
            return _cheapened(found, cheaper, task), True
        cheaper = found
        need = min(few.draws, need + max(1, ceil((task.chance - found.chance) * few.draws)))
    safest = _solve(task, rows, few.draws, None)
    if safest is None or safest.chance < task.chance:
        return max((each for each in (safest, cheaper) if each is not None), key=lambda each: each.chance, default=None), False
    return _cheapened(safest, cheaper, task), True


def _between(
    found: _Reached, cheaper: _Reached | None, task: _Task, rows: Array, worlds: int, need: int
) -> tuple[_Reached, _Reached | None]:
    """A blend that reaches the chance and a cheaper one that does not: fewer worlds are asked for until it falls short."""
    for _ in range(ROUNDS):
        if cheaper is not None or need == 1:
            break
        need = max(1, need - max(1, ceil((found.chance - task.chance) * worlds)))
        other = _solve(task, rows, worlds, need)
        if other is None:
            break
        found, cheaper = (other, None) if other.chance >= task.chance else (found, other)
    return found, cheaper


def _cheapened(found: _Reached, cheaper: _Reached | None, task: _Task) -> _Reached:
    """The point nearest the cheaper blend, on the line to it, that still reaches the chance by all draws."""
    if cheaper is None or float(task.weights @ cheaper.shares) >= float(task.weights @ found.shares):
        return found
    proven = found.proven and cheaper.proven
    best, low, high = _Reached(found.shares, found.chance, proven), 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        shares = found.shares + middle * (cheaper.shares - found.shares)
        reached = _chance(shares, task)
        if reached >= task.chance:
            best, low = _Reached(shares, reached, proven), middle
        else:
            high = middle
    return best


def _solve(task: _Task, rows: Array, worlds: int, need: int | None) -> _Reached | None:
    """Cheapest shares that meet so many worlds, or those that meet most where no number is given; None where there are none."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_matrix, diags_array, hstack, vstack

    sources = len(task.weights)
    # a world that is not met is let off by the most it could miss: the worst source alone
    slack = np.maximum(rows.max(axis=2), 0.0)
    relaxed = [hstack([csr_matrix(row), diags_array(most)]) for row, most in zip(rows, slack, strict=True)]
    limits = [LinearConstraint(np.concatenate([np.ones(sources), np.zeros(worlds)])[None], 1.0, 1.0)]
    if relaxed:
        limits.append(LinearConstraint(csr_matrix(vstack(relaxed)), -np.inf, slack.ravel()))
    met = np.concatenate([np.zeros(sources), np.ones(worlds)])
    cost = np.concatenate([task.weights, np.zeros(worlds)])
    if need is None:
        cost = -met
    else:
        limits.append(LinearConstraint(met[None], need, np.inf))
    found = milp(
        cost,
        constraints=limits,
        bounds=Bounds(np.zeros(sources + worlds), np.concatenate([task.most, np.ones(worlds)])),
        integrality=np.concatenate([np.zeros(sources), np.ones(worlds)]),
        options={"time_limit": SECONDS},
    )
    if found.x is None:
        return None
    shares = np.clip(np.asarray(found.x[:sources], dtype=np.float64), 0.0, 1.0)
    shares = shares / shares.sum()
    return _Reached(shares, _chance(shares, task), found.status == 0)


def _rows(ground: Ground, wanted: Sequence[Condition]) -> Array:
    """(ends, worlds, sources): how far each source alone misses each end, by the mass that carries the property."""
    found = []
    for condition in wanted:
        weight = _weight(ground, condition)
        value = sum((factor * ground.held[name] for name, factor in condition.terms), np.zeros(ground.masses.shape))
        if condition.least is not None:
            found.append((weight * (condition.least - value)).T)
        if condition.most is not None:
            found.append((weight * (value - condition.most)).T)
    return np.array(found) if found else np.zeros((0, ground.draws, len(ground.sources)))


def _weight(ground: Ground, condition: Condition) -> Array:
    """Mass of a part in each world over the middling one, or what it holds of what carries the property.

    Shares are of middling parts; the worlds differ from them.
    """
    relative: Array = ground.masses / np.median(ground.masses, axis=1, keepdims=True)
    carrier = carrier_of(condition.terms[0][0], known=ground.held)
    return relative if carrier is None else relative * ground.held[carrier]


def _parts(shares: Array, ground: Ground) -> Array:
    return np.asarray(shares / np.median(ground.masses, axis=1))


def _chance(shares: Array, task: _Task) -> float:
    inside = np.ones(task.ground.draws, dtype=bool)
    for condition, values in values_of_conditions(_parts(shares, task.ground)[None], task.ground, task.wanted):
        low = -np.inf if condition.least is None else condition.least - ROUNDING
        high = np.inf if condition.most is None else condition.most + ROUNDING
        inside &= (values[0] >= low) & (values[0] <= high)
    return float(inside.mean())


def _told(best: _Reached, task: _Task) -> Optimum:
    sources = task.ground.sources
    volume = _parts(best.shares, task.ground)
    volume = volume / volume.sum()
    return Optimum(
        dict(zip(sources, volume.tolist(), strict=True)),
        dict(zip(sources, best.shares.tolist(), strict=True)),
        float(task.weights @ best.shares),
        best.chance,
        (),
        (),
        float(monte_carlo_error(best.chance, draws=task.ground.draws)),
        _proven(best),
    )


def _proven(best: _Reached) -> tuple[Note, ...]:
    return () if best.proven else (Note("optimum_not_proven", {"seconds": SECONDS}),)


# --- what forbids it ---


def _forbidding(
    ground: Ground, windows: Sequence[Criterion], chance: float, weights: Mapping[str, float], most: Mapping[str, float]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Windows, and limits of sources, without which one at a time there would be such a blend; all windows where none."""

    def would_do(left: Sequence[Criterion], limits: Mapping[str, float]) -> bool:
        return _best(_task(ground, left, chance, weights, limits))[1]

    guilty = tuple(window.key for window in windows if would_do([each for each in windows if each is not window], most))
    limits = tuple(source for source in most if would_do(windows, {k: v for k, v in most.items() if k != source}))
    return (guilty, limits) if guilty or limits else (tuple(window.key for window in windows), ())
