"""The search for a blend: every ratio in whole parts up to a total, judged by all wanted windows at once, world by world."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.engine.blend.criteria import Condition, Criterion, carrier_of, conditions
from loamwright.engine.blend.grading import EDGE
from loamwright.engine.blend.offers import whole_ratios
from loamwright.errors import InputError, check_between, check_positive

Array = NDArray[np.float64]

SCREEN_DRAWS = 500
"""Draws by which every ratio is screened."""
KEPT = 100
"""Ratios that are judged again on all draws."""
AT_ONCE = 32_000
"""Numbers that are worked on in one go."""
MOST_PARTS = 8


@dataclass(frozen=True, slots=True)
class Ground:
    """What the sources hold, draw i of each being one world.

    Attributes
    ----------
    sources : tuple of str
    masses : (sources, n) array
        Dry mass of one part of each. [kg, or any one unit]
    held : mapping of property to (sources, n) array
        Each property of each source. [-]
    """

    sources: tuple[str, ...]
    masses: Array
    held: Mapping[str, Array]

    @staticmethod
    def of(masses: Mapping[str, float | Array], held: Mapping[str, Mapping[str, float | Array]]) -> "Ground":
        """Stack the draws of named sources; a plain number stands for a certain one.

        Raises
        ------
        InputError
            "no_parts", "source_missing", "draws_differ", "not_positive".
        """
        if not masses:
            raise InputError("no_parts")
        sources = tuple(sorted(masses))
        draws = max(np.size(each) for each in (*masses.values(), *(each for of in held.values() for each in of.values())))
        stacked = _stacked(sources, masses, draws, "pail_dry_mass")
        check_positive(pail_dry_mass=stacked)
        return Ground(sources, stacked, {name: _stacked(sources, each, draws, name) for name, each in held.items()})

    @property
    def draws(self) -> int:
        """Number of worlds."""
        return int(self.masses.shape[1])

    def first(self, draws: int) -> "Ground":
        """The same in the first few worlds."""
        return Ground(self.sources, self.masses[:, :draws], {name: each[:, :draws] for name, each in self.held.items()})


def _stacked(sources: Sequence[str], values: Mapping[str, float | Array], draws: int, name: str) -> Array:
    missing = [source for source in sources if source not in values]
    if missing:
        raise InputError("source_missing", quantity=name, missing=", ".join(missing))
    sizes = {np.size(values[source]) for source in sources} - {1, draws}
    if sizes:
        raise InputError("draws_differ", quantity=name, shapes=sorted(sizes))
    return np.stack([np.broadcast_to(np.asarray(values[source], dtype=np.float64), (draws,)) for source in sources])


def blended(parts: Array, ground: Ground, name: str) -> Array:
    """A property of many blends at once, in every world.

    Parameters
    ----------
    parts : (m, sources) array
        Parts by volume of each source in each blend. [-]
    ground : Ground
    name : str
        Grading shares and shrinkage are means by dry mass (shrinkage only nearly so); properties of the fines alone are means
        by the fines each source brings.

    Returns
    -------
    (m, n) array

    Raises
    ------
    InputError
        "not_known_of_every_source" where the ground does not hold it or its carrier; "no_parts" for a blend of nothing.

    References
    ----------
    [derivation-blend], [fm-5-410]

    Examples
    --------
    >>> ground = Ground.of({"clay": 22.4, "sandy": 28.4}, {"clay": {"clay": 0.38, "sandy": 0.09}})
    >>> blended(np.array([[2.0, 5.0]]), ground, "clay").round(3).tolist()
    [[0.16]]
    """
    weights = _weights(ground, name)
    return _mean(parts, weights, ground.held[name], _carried(parts, weights))


def _weights(ground: Ground, name: str) -> Array:
    """What each source counts by, in every world."""
    carrier = carrier_of(name, known=ground.held)
    if name not in ground.held:
        raise InputError("not_known_of_every_source", property=name)
    return ground.masses if carrier is None else ground.masses * ground.held[carrier]


def _carried(parts: Array, weights: Array) -> Array:
    """Sum of what the parts count by; one where nothing could be plastic, which is no plasticity and not an error."""
    if not bool((parts.sum(axis=1) > 0).all()):
        raise InputError("no_parts")
    below = _product(parts, weights)
    below[below == 0.0] = 1.0
    return below


def _mean(parts: Array, weights: Array, values: Array, below: Array) -> Array:
    found = _product(parts, weights * values)
    found /= below
    return found


def _product(parts: Array, weights: Array) -> Array:
    """Parts times weights, a few blends at a time: small pieces stay near the processor, and no threads are started for them."""
    step = max(1, AT_ONCE // weights.shape[1])
    found = np.empty((len(parts), weights.shape[1]))
    for first in range(0, len(parts), step):
        np.matmul(parts[first : first + step], weights, out=found[first : first + step])
    return found


def values_of_conditions(parts: Array, ground: Ground, wanted: Sequence[Condition]) -> Iterator[tuple[Condition, Array]]:
    """Each condition with its value for many blends in every world; a property asked for twice is blended once."""
    cached: dict[str, Array] = {}
    below: dict[str | None, Array] = {}
    for condition in wanted:
        for name, _ in condition.terms:
            if name not in cached:
                weights, carrier = _weights(ground, name), carrier_of(name, known=ground.held)
                if carrier not in below:
                    below[carrier] = _carried(parts, weights)
                cached[name] = _mean(parts, weights, ground.held[name], below[carrier])
        yield condition, _summed(condition, cached)


def _summed(condition: Condition, values: Mapping[str, Array]) -> Array:
    (first, factor), *more = condition.terms
    total = values[first] if factor == 1.0 else factor * values[first]
    for name, each in more:
        total = total + each * values[name]
    return total


def within(values: Array, condition: Condition) -> NDArray[np.bool_]:
    """Whether a condition holds, its ends included; a blend on the very edge lies inside, whatever the last digit."""
    low = -np.inf if condition.least is None else condition.least - EDGE
    high = np.inf if condition.most is None else condition.most + EDGE
    return np.asarray((values >= low) & (values <= high))


@dataclass(frozen=True, slots=True)
class Ranked:
    """One ratio and how likely it is to lie where it should.

    Attributes
    ----------
    parts : mapping of source to int
        Whole parts by volume, in smallest numbers; sources with none are left out. [-]
    chance : float
        Chance of lying inside every window. [-]
    error : float
        Monte Carlo standard error of that chance. [-]
    inside : mapping of key to float
        Chance of lying inside each window, band or area alone. [-]
    medians : mapping of property to float
        Middle of each wanted property. [-]
    scarce_share : float
        Middle of the mass share of the source to be spared; 0 where there is none to spare. [-]
    """

    parts: Mapping[str, int]
    chance: float
    error: float
    inside: Mapping[str, float]
    medians: Mapping[str, float]
    scarce_share: float


@dataclass(frozen=True, slots=True)
class Search:
    """What a search found.

    Attributes
    ----------
    ranked : tuple of Ranked
        The best first.
    ratios : int
        How many were screened. [-]
    screen_draws, draws : int
        Worlds they were screened by, and those the best were judged by. [-]
    """

    ranked: tuple[Ranked, ...]
    ratios: int
    screen_draws: int
    draws: int


def search(
    ground: Ground,
    *,
    windows: Sequence[Criterion],
    most_parts: int = MOST_PARTS,
    every_source: bool = False,
    scarce_source: str | None = None,
) -> Search:
    """Every ratio in whole parts up to a total, the best first.

    All are screened by the first 500 worlds, the best hundred are then judged by all. A ratio whose chance lies within the
    error of the hundredth at the screen may be passed over; the best are told apart no finer than `error` says, and the best
    of many is a little flattered: its chance is the one of the same worlds it was chosen by.

    Parameters
    ----------
    ground : Ground
        One to four sources.
    windows : sequence of Window, GradingEnvelope or PlasticityArea
        All of them are wanted at once.
    most_parts : int
        Largest total of parts, up to 24. [-]
    every_source : bool
        Whether each source must be in the blend.
    scarce_source : str, optional
        The source to be spared: of blends whose chances differ by less than the error, less of it comes first.

    Returns
    -------
    Search

    Raises
    ------
    InputError
        "no_windows", "not_known_of_every_source", "source_missing", and as `whole_ratios`.

    References
    ----------
    [derivation-blend], [derivation-chance]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> ground = Ground.of({"clay": 22.4, "sandy": 28.4}, {"clay": {"clay": 0.38, "sandy": 0.09}})
    >>> found = search(ground, windows=[stabiliser_window("cement")], most_parts=4)
    >>> found.ratios, found.ranked[0].chance
    (7, 1.0)
    """
    if not windows:
        raise InputError("no_windows")
    check_between(1, 24, most_parts=most_parts)
    if scarce_source is not None and scarce_source not in ground.sources:
        raise InputError("source_missing", quantity="pail_dry_mass", missing=scarce_source)
    wanted = [each for window in windows for each in conditions(window, known=ground.held)]
    ratios = whole_ratios(ground.sources, most_parts=most_parts, every_source=every_source)
    parts = np.array([[float(each.get(source, 0)) for source in ground.sources] for each in ratios])
    screen = ground.first(SCREEN_DRAWS)
    first = _inside_all(parts, screen, wanted)
    chosen = np.argsort(-first, kind="stable")[:KEPT]
    ranked = _ranked(parts[chosen], [ratios[place] for place in chosen], ground, wanted, scarce_source)
    return Search(_ordered(ranked), len(ratios), screen.draws, ground.draws)


def _inside_all(parts: Array, ground: Ground, wanted: Sequence[Condition]) -> Array:
    """Chance of each blend in everything; a few blends at a time, so that the numbers stay near the processor."""
    found = np.empty(len(parts))
    step = max(1, AT_ONCE // ground.draws)
    for first in range(0, len(parts), step):
        some = parts[first : first + step]
        inside = np.ones((len(some), ground.draws), dtype=bool)
        for condition, values in values_of_conditions(some, ground, wanted):
            inside &= within(values, condition)
        found[first : first + step] = inside.mean(axis=1)
    return found


def _ranked(
    parts: Array, ratios: Sequence[Mapping[str, int]], ground: Ground, wanted: Sequence[Condition], scarce_source: str | None
) -> list[Ranked]:
    """All kept ratios at once, by all worlds."""
    each: dict[str, NDArray[np.bool_]] = {}
    medians: dict[str, Array] = {}
    for condition, values in values_of_conditions(parts, ground, wanted):
        inside = within(values, condition)
        each[condition.key] = each[condition.key] & inside if condition.key in each else inside
        if len(condition.terms) == 1 and condition.terms[0][0] not in medians:
            medians[condition.terms[0][0]] = np.median(values, axis=1)
    chances = np.logical_and.reduce(list(each.values())).mean(axis=1)
    errors = monte_carlo_error(chances, draws=ground.draws)
    alone = {key: inside.mean(axis=1) for key, inside in each.items()}
    scarce = _scarce_shares(parts, ground, scarce_source)
    return [
        Ranked(
            ratio,
            float(chances[place]),
            float(errors[place]),
            {key: float(values[place]) for key, values in alone.items()},
            {name: float(values[place]) for name, values in medians.items()},
            float(scarce[place]),
        )
        for place, ratio in enumerate(ratios)
    ]


def monte_carlo_error(chance: ArrayLike, *, draws: int) -> Array:
    """Standard error of a chance that was counted: √(p(1 − p)/n).

    Parameters
    ----------
    chance : float or array
        [-]
    draws : int
        Worlds it was counted in. [-]

    Returns
    -------
    array
        [-]

    Raises
    ------
    InputError
        "not_positive", "out_of_range".

    References
    ----------
    [derivation-chance]

    Examples
    --------
    >>> monte_carlo_error(0.8, draws=4000).round(5).tolist()
    0.00632
    """
    share = np.asarray(chance, dtype=np.float64)
    check_positive(draws=draws)
    check_between(0.0, 1.0, chance=share)
    found: Array = np.sqrt(share * (1.0 - share) / draws)
    return found


def _scarce_shares(parts: Array, ground: Ground, source: str | None) -> Array:
    """Middle of the mass share of the source to be spared, of every blend."""
    if source is None:
        return np.zeros(len(parts))
    place = ground.sources.index(source)
    mine = parts[:, [place]] * ground.masses[place]
    return np.asarray(np.median(mine / _carried(parts, ground.masses), axis=1))


def _ordered(ranked: Sequence[Ranked]) -> tuple[Ranked, ...]:
    """By chance; those within one error of the best above them by less of the scarce source, then by fewer parts."""
    rest = sorted(ranked, key=lambda each: (-each.chance, each.scarce_share, sum(each.parts.values())))
    found: list[Ranked] = []
    while rest:
        near = [each for each in rest if each.chance >= rest[0].chance - rest[0].error]
        best = min(near, key=lambda each: (each.scarce_share, sum(each.parts.values()), -each.chance))
        found.append(best)
        rest.remove(best)
    return tuple(found)
