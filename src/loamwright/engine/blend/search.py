"""The search for a blend: every ratio in whole parts up to a total, judged by all wanted windows at once, world by world."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.blend.offers import whole_ratios
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError, check_between, check_positive

Array = NDArray[np.float64]

SCREEN_DRAWS = 500
"""Draws by which every ratio is screened."""
KEPT = 100
"""Ratios that are judged again on all draws."""
MOST_PARTS = 8
CARRIED_BY = {"plasticity_index": "fines", "liquid_limit": "fines"}
"""Properties of the fines alone: each source counts by the fines it brings, a first guess that a test of the blend overrules."""


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
        "unknown_property" where the ground does not hold it or its carrier.

    References
    ----------
    [derivation-blend], [fm-5-410]

    Examples
    --------
    >>> ground = Ground.of({"clay": 22.4, "sandy": 28.4}, {"clay": {"clay": 0.38, "sandy": 0.09}})
    >>> blended(np.array([[2.0, 5.0]]), ground, "clay").round(3).tolist()
    [[0.16]]
    """
    carrier = CARRIED_BY.get(name)
    missing = [each for each in (name, carrier) if each and each not in ground.held]
    if missing:
        raise InputError("unknown_property", property=missing[0])
    weights = ground.masses if carrier is None else ground.masses * ground.held[carrier]
    below = parts @ weights
    found: Array = (parts @ (weights * ground.held[name])) / np.where(below > 0, below, 1.0)
    return found


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
    inside : mapping of window key to float
        Chance of lying inside each window alone. [-]
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
    windows: Sequence[Window],
    most_parts: int = MOST_PARTS,
    every_source: bool = False,
    scarce_source: str | None = None,
) -> Search:
    """Every ratio in whole parts up to a total, the best first.

    All are screened by the first 500 worlds, the best hundred are then judged by all. A ratio whose chance lies within the
    error of the hundredth at the screen may be passed over; the best are told apart no finer than `error` says.

    Parameters
    ----------
    ground : Ground
        One to four sources.
    windows : sequence of Window
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
        "no_windows", "unknown_property", "source_missing", and as `whole_ratios`.

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
    ratios = whole_ratios(ground.sources, most_parts=most_parts, every_source=every_source)
    parts = np.array([[float(each.get(source, 0)) for source in ground.sources] for each in ratios])
    screen = ground.first(SCREEN_DRAWS)
    first = _inside_all(parts, screen, windows)
    chosen = np.argsort(-first, kind="stable")[:KEPT]
    ranked = [_ranked(parts[place], ratios[place], ground, windows, scarce_source) for place in chosen]
    return Search(_ordered(ranked, most_parts), len(ratios), screen.draws, ground.draws)


def _inside_all(parts: Array, ground: Ground, windows: Sequence[Window]) -> Array:
    inside = np.ones((len(parts), ground.draws), dtype=bool)
    for name in dict.fromkeys(window.property_name for window in windows):
        values = blended(parts, ground, name)
        for window in windows:
            if window.property_name == name:
                inside &= _within(values, window)
    return np.asarray(inside.mean(axis=1))


def _within(values: Array, window: Window) -> NDArray[np.bool_]:
    low = -np.inf if window.least is None else window.least
    high = np.inf if window.most is None else window.most
    return np.asarray((values >= low) & (values <= high))


def _ranked(row: Array, parts: Mapping[str, int], ground: Ground, windows: Sequence[Window], scarce_source: str | None) -> Ranked:
    values = {window.property_name: blended(row[None], ground, window.property_name)[0] for window in windows}
    each = {window.key: _within(values[window.property_name], window) for window in windows}
    chance = float(np.logical_and.reduce(list(each.values())).mean())
    return Ranked(
        parts,
        chance,
        float(np.sqrt(chance * (1.0 - chance) / ground.draws)),
        {key: float(inside.mean()) for key, inside in each.items()},
        {name: float(np.median(draws)) for name, draws in values.items()},
        _share(row, ground, scarce_source),
    )


def _share(row: Array, ground: Ground, source: str | None) -> float:
    if source is None:
        return 0.0
    masses = row[:, None] * ground.masses
    return float(np.median(masses[ground.sources.index(source)] / masses.sum(axis=0)))


def _ordered(ranked: Sequence[Ranked], most_parts: int) -> tuple[Ranked, ...]:
    """By chance; those within one error of the best above them by less of the scarce source, then by fewer parts."""
    rest = sorted(ranked, key=lambda each: (-each.chance, each.scarce_share, sum(each.parts.values())))
    found: list[Ranked] = []
    while rest:
        near = [each for each in rest if each.chance >= rest[0].chance - rest[0].error]
        best = min(near, key=lambda each: (each.scarce_share, sum(each.parts.values()), -each.chance))
        found.append(best)
        rest.remove(best)
    return tuple(found)
