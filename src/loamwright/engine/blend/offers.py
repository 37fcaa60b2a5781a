"""Three blends to try, out of all ratios in whole parts, and which pail to change."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import gcd
from typing import Literal

import numpy as np

from loamwright.engine.blend.parts import Numbers, blend_property, check_parts, mass_shares
from loamwright.engine.blend.windows import Chances, Window, window_chances
from loamwright.errors import InputError, Note

MOST_SOURCES = 4
MOST_PARTS = 8
# Ends of the range told to people: 90 % of the draws lie between them.
RANGE = (0.05, 0.95)


@dataclass(frozen=True, slots=True)
class Spread:
    """Median of draws and the range that holds 90 % of them; all three equal for a single number. [-]"""

    median: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class BlendOffer:
    """One blend in whole parts.

    Attributes
    ----------
    parts : mapping of source to int
        Whole parts by volume, in smallest numbers. [-]
    clay : Spread
        Clay of the blend's dry soil. [-]
    fines : Spread or None
        Silt and clay of the blend's dry soil, where they were given. [-]
    chances : Chances
        Chance of lying below, inside and above the window.
    scarce_share : float or None
        Median mass share of the scarce source (0 if the blend has none of it). [-]
    """

    parts: Mapping[str, int]
    clay: Spread
    fines: Spread | None
    chances: Chances
    scarce_share: float | None


@dataclass(frozen=True, slots=True)
class BlendOffers:
    """Up to three blends to try.

    Attributes
    ----------
    best : BlendOffer
        The best chance of lying inside the window.
    leaner, fatter : BlendOffer or None
        The best of the blends whose median clay lies at least one step below, or above, the best one's.
    window : Window
        The window they were judged by.
    notes : tuple of Note
        "no_leaner_blend", "no_fatter_blend"; "best_blend_not_usable" if even the best is likelier outside.
    """

    best: BlendOffer
    leaner: BlendOffer | None
    fatter: BlendOffer | None
    window: Window
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class PailChange:
    """One pail more or less of one source.

    Attributes
    ----------
    action : "add" or "take"
    source : str
        Which pail.
    parts : mapping of source to int
        Parts after the change. [-]
    chances : Chances
        Chances after the change.
    gain : float
        Rise of the chance inside the window. [-]
    """

    action: Literal["add", "take"]
    source: str
    parts: Mapping[str, int]
    chances: Chances
    gain: float


def _compositions(total: int, count: int) -> Iterator[tuple[int, ...]]:
    """All ways to write a total as an ordered sum of this many whole numbers above zero."""
    for cuts in combinations(range(1, total), count - 1):
        edges = (0, *cuts, total)
        yield tuple(after - before for before, after in pairwise(edges))


def whole_ratios(
    sources: Sequence[str], *, most_parts: int = MOST_PARTS, every_source: bool = True
) -> tuple[Mapping[str, int], ...]:
    """All different ratios in whole parts up to a total.

    Parameters
    ----------
    sources : sequence of str
        One to four named sources.
    most_parts : int
        Largest total of parts. [-]
    every_source : bool
        Whether each source must be in the blend; otherwise blends of some of them (down to one alone) are listed too.

    Returns
    -------
    tuple of mapping of source to int
        Ratios in smallest numbers, fewest parts first, each once.

    Raises
    ------
    InputError
        "no_parts", "too_many_sources", "sources_repeat", or "out_of_range" if most_parts has no room for the sources.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> [tuple(ratio.values()) for ratio in whole_ratios(["sandy", "clay"], most_parts=4)]
    [(1, 1), (1, 2), (2, 1), (1, 3), (3, 1)]
    """
    _check_sources(sources, most_parts)
    sizes = (len(sources),) if every_source else range(1, len(sources) + 1)
    found = [
        dict(zip(chosen, ratio, strict=True))
        for size in sizes
        for chosen in combinations(sources, size)
        for total in range(size, most_parts + 1)
        for ratio in _compositions(total, size)
        if gcd(*ratio) == 1
    ]
    return tuple(sorted(found, key=lambda parts: sum(parts.values())))


def _check_sources(sources: Sequence[str], most_parts: int) -> None:
    if not sources:
        raise InputError("no_parts")
    if len(sources) > MOST_SOURCES:
        raise InputError("too_many_sources", count=len(sources), most=MOST_SOURCES)
    if len(set(sources)) < len(sources):
        raise InputError("sources_repeat", sources=", ".join(sources))
    if most_parts < len(sources):
        raise InputError("out_of_range", quantity="most_parts", value=most_parts, least=len(sources))


def spread(draws: Numbers) -> Spread:
    """Median and 90 % range of draws (linear between ordered values).

    >>> spread(np.linspace(0.0, 0.2, 41))
    Spread(median=0.1, low=0.01, high=0.19)
    """
    low, median, high = (float(value) for value in np.quantile(draws, (RANGE[0], 0.5, RANGE[1])))
    return Spread(median, low, high)


def blend_offer(
    parts: Mapping[str, int],
    *,
    pail_dry_mass: Mapping[str, Numbers],
    clay: Mapping[str, Numbers],
    window: Window,
    fines: Mapping[str, Numbers] | None = None,
    scarce_source: str | None = None,
) -> BlendOffer:
    """What one blend holds and how likely it is to be usable.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume. [-]
    pail_dry_mass, clay, fines : mapping of source to float or (n,) array
        Dry mass per pail [kg]; clay, and silt with clay, as shares of each source's dry mass. [-]
    window : Window
        Window for clay.
    scarce_source : str, optional
        The source to be spared.

    Returns
    -------
    BlendOffer

    Raises
    ------
    InputError
        As `blend_property` and `window_chances`.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> offer = blend_offer({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 28.4, "clay": 22.4},
    ...                     clay={"sandy": 0.09, "clay": 0.38}, window=stabiliser_window("cement"))
    >>> round(offer.clay.median, 3), offer.chances.answer
    (0.16, 'usable')
    """
    held = blend_property(parts, pail_dry_mass=pail_dry_mass, source_property=clay)
    fine = None if fines is None else blend_property(parts, pail_dry_mass=pail_dry_mass, source_property=fines)
    shares = mass_shares(parts, pail_dry_mass=pail_dry_mass)
    scarce = None if scarce_source is None else float(np.median(shares.get(scarce_source, 0.0)))
    return BlendOffer(
        dict(parts),
        spread(held),
        None if fine is None else spread(fine),
        window_chances(held, window=window),
        scarce,
    )


def _preference(offer: BlendOffer, window: Window) -> tuple[float, float, float, int, tuple[tuple[str, int], ...]]:
    """Sort key: chance inside, then nearness to the middle, then little scarce soil, then few parts, then names."""
    return (
        -offer.chances.inside,
        abs(offer.clay.median - window.centre),
        offer.scarce_share or 0.0,
        sum(offer.parts.values()),
        tuple(sorted(offer.parts.items())),
    )


def blend_offers(
    pail_dry_mass: Mapping[str, Numbers],
    *,
    clay: Mapping[str, Numbers],
    window: Window,
    fines: Mapping[str, Numbers] | None = None,
    scarce_source: str | None = None,
    most_parts: int = MOST_PARTS,
    every_source: bool = True,
) -> BlendOffers:
    """Three blends to try of all ratios in whole parts: the best chance inside the window, one leaner, one fatter.

    Parameters
    ----------
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one pail of each of one to four sources. [kg]
    clay, fines : mapping of source to float or (n,) array
        Clay, and silt with clay, as shares of each source's dry mass; draw i is the same world in every source. [-]
    window : Window
        Window for clay, such as `stabiliser_window("cement")`.
    scarce_source : str, optional
        The source to be spared: decides between blends equal in chance and place.
    most_parts : int
        Largest total of parts. [-]
    every_source : bool
        Whether each source must be in each blend.

    Returns
    -------
    BlendOffers
        The three are always different blends; leaner and fatter are None where no ratio lies a step away.

    Raises
    ------
    InputError
        As `whole_ratios` and `blend_offer`; "source_missing" for a scarce source that is not among the sources.

    Notes
    -----
    Equal chances are told apart by the distance of the median from the middle of the window, then by the share of the
    scarce source, then by fewer parts. The least step between offers is a judgement in the window's data row.

    References
    ----------
    [judgement-windows], [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> offers = blend_offers({"sandy": 28.4, "clay": 22.4}, clay={"sandy": 0.09, "clay": 0.38},
    ...                       window=stabiliser_window("cement"))
    >>> [dict(offer.parts) for offer in (offers.leaner, offers.best, offers.fatter)]
    [{'sandy': 5, 'clay': 1}, {'sandy': 3, 'clay': 1}, {'sandy': 2, 'clay': 1}]
    """
    if scarce_source is not None and scarce_source not in pail_dry_mass:
        raise InputError("source_missing", quantity="pail_dry_mass", missing=scarce_source)
    ranked = sorted(
        (
            blend_offer(
                parts,
                pail_dry_mass=pail_dry_mass,
                clay=clay,
                window=window,
                fines=fines,
                scarce_source=scarce_source,
            )
            for parts in whole_ratios(tuple(pail_dry_mass), most_parts=most_parts, every_source=every_source)
        ),
        key=lambda offer: _preference(offer, window),
    )
    return _three(ranked, window)


def _three(ranked: Sequence[BlendOffer], window: Window) -> BlendOffers:
    best, step = ranked[0], window.step or 0.0
    leaner = next((o for o in ranked[1:] if o.clay.median < best.clay.median and best.clay.median - o.clay.median >= step), None)
    fatter = next((o for o in ranked[1:] if o.clay.median > best.clay.median and o.clay.median - best.clay.median >= step), None)
    notes = []
    if best.chances.answer != "usable":
        notes.append(Note("best_blend_not_usable", {"answer": best.chances.answer, "inside": best.chances.inside}))
    if leaner is None:
        notes.append(Note("no_leaner_blend", {"step": step}))
    if fatter is None:
        notes.append(Note("no_fatter_blend", {"step": step}))
    return BlendOffers(best, leaner, fatter, window, tuple(notes))


def _outside(draws: Numbers, window: Window) -> float:
    """How far the median lies outside the window; zero inside."""
    median = float(np.median(draws))
    low = 0.0 if window.least is None else window.least - median
    high = 0.0 if window.most is None else median - window.most
    return max(0.0, low, high)


def pail_changes(parts: Mapping[str, int]) -> Iterator[tuple[Literal["add", "take"], str, dict[str, int]]]:
    """Every ratio that is one pail away: a pail added of each source, then one taken of each that has more than one.

    >>> [(action, source) for action, source, _ in pail_changes({"clay": 1, "sandy": 2})]
    [('add', 'clay'), ('add', 'sandy'), ('take', 'sandy')]
    """
    for source in sorted(parts):
        yield "add", source, {**parts, source: parts[source] + 1}
    for source in sorted(parts):
        if parts[source] > 1:
            yield "take", source, {**parts, source: parts[source] - 1}


def pail_change(
    parts: Mapping[str, int],
    *,
    pail_dry_mass: Mapping[str, Numbers],
    clay: Mapping[str, Numbers],
    window: Window,
) -> PailChange | None:
    """Which single pail, added or taken, brings a blend nearest to usable.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of the blend as it is. [-]
    pail_dry_mass, clay : mapping of source to float or (n,) array
        Dry mass per pail [kg] and clay share [-] of each source.
    window : Window
        Window for clay.

    Returns
    -------
    PailChange or None
        The change with the highest chance inside the window (far from the window: the one whose median comes nearest);
        None where no single pail makes it better. A source's last pail is never taken.

    Raises
    ------
    InputError
        As `blend_property`.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> change = pail_change({"sandy": 1, "clay": 1}, pail_dry_mass={"sandy": 28.4, "clay": 22.4},
    ...                      clay={"sandy": 0.09, "clay": 0.38}, window=stabiliser_window("cement"))
    >>> change.action, change.source
    ('add', 'sandy')
    """
    check_parts(parts)

    def score(blend: Mapping[str, int]) -> tuple[float, float, Chances]:
        held = blend_property(blend, pail_dry_mass=pail_dry_mass, source_property=clay)
        chances = window_chances(held, window=window)
        return chances.inside, -_outside(held, window), chances

    inside, nearness, _ = score(parts)
    best: PailChange | None = None
    reached = (inside, nearness)
    for action, source, changed in pail_changes(parts):
        *rank, chances = score(changed)
        if (rank[0], rank[1]) > reached:
            reached = (rank[0], rank[1])
            best = PailChange(action, source, changed, chances, chances.inside - inside)
    return best
