"""Blend, searched: every ratio against the windows a person chose, the blend that spares a soil, and what upsets a kept blend."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loamwright.engine.blend import optimum as best
from loamwright.engine.blend import search as searching
from loamwright.engine.blend import upset as upsetting
from loamwright.engine.blend import windows as windowing
from loamwright.engine.blend.search import Array
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError
from loamwright.project import blending, blends, shake
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

OF_FINES = ("liquid_limit", "plasticity_index", "linear_shrinkage")
PARTS = (6, 8, 12)
"""Totals of parts a person can choose to search up to."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a search is asked.

    Attributes
    ----------
    sources : tuple of str
        One to four.
    windows : tuple of Window
        All at once.
    most_parts : int
    scarce : str or None
        The source to spare.
    """

    sources: tuple[str, ...]
    windows: tuple[Window, ...]
    most_parts: int
    scarce: str | None


@dataclass(frozen=True, slots=True)
class Found:
    """What came of it: ratios ranked, and the shares that take least of the scarce source (None where none is to spare)."""

    wanted: Wanted
    search: searching.Search
    spared: best.Optimum | None


def ground(state: State, sources: Sequence[str]) -> searching.Ground:
    """All that the sources are believed to hold, side by side, in as many worlds."""
    roots = tuple(sorted({state.versions.entity(source) for source in sources}))
    return state.memo(("search_ground", roots), lambda: _ground(state, roots))


def _ground(state: State, sources: tuple[str, ...]) -> searching.Ground:
    found = blending.ground(state, sources)
    held: dict[str, dict[str, float | Array]] = {name: dict(each) for name, each in found.held.items()}
    for name in OF_FINES:
        beliefs = [shake.graded(state, source) for source in sources]
        if all(each is not None and name in each for each in beliefs):
            held[name] = {source: each[name].values for source, each in zip(sources, beliefs, strict=True) if each is not None}
    return searching.Ground.of({source: np.asarray(mass, dtype=np.float64) for source, mass in found.masses.items()}, held)


def windows_to_choose(state: State, sources: Sequence[str]) -> tuple[Window, ...]:
    """Windows of properties that are known of every source: those of stabilisers first, then published ones."""
    try:
        known = ground(state, sources).held
    except InputError:
        return ()
    fitting = [each for each in windowing.all_windows() if each.property_name in known]
    return tuple(sorted(fitting, key=lambda each: each.stabiliser is None))


def usual(state: State) -> Wanted:
    """What is searched unless a person chose otherwise: all known sources, the window of the usual stabiliser."""
    sources = blending.ready(state)[: searching.MOST_PARTS // 2]
    window = windowing.stabiliser_window(blending.usual_stabiliser(state))
    return Wanted(sources, (window,), searching.MOST_PARTS, blending.scarce_of(state, sources))


def found(state: State, wanted: Wanted) -> Found:
    """The search, and the blend that takes least of the scarce source.

    Raises
    ------
    InputError
        "two_buckets", "too_many_sources", "no_belief", "no_windows", "unknown_property".
    """
    if len(wanted.sources) < 2:
        raise InputError("two_buckets", n=len(wanted.sources))
    return state.memo(("blend_search", wanted), lambda: _found(state, wanted))


def _found(state: State, wanted: Wanted) -> Found:
    held = ground(state, wanted.sources)
    scarce = wanted.scarce if wanted.scarce in held.sources else None
    ranked = searching.search(held, windows=wanted.windows, most_parts=wanted.most_parts, scarce_source=scarce)
    spared = None
    if scarce is not None:
        spared = best.optimum(held, windows=wanted.windows, chance=wanted_chance(), weights={scarce: 1.0})
    return Found(wanted, ranked, spared)


def wanted_chance() -> float:
    """Chance of lying in every window that is asked of the blend which spares a soil. [-]"""
    return judged("search-chance")


def frontier(ranked: Sequence[searching.Ranked]) -> tuple[searching.Ranked, ...]:
    """Ratios than which no other has both a better chance and less of the scarce source, the least of it first."""
    kept: list[searching.Ranked] = []
    for each in sorted(ranked, key=lambda one: (one.scarce_share, -one.chance)):
        if not kept or each.chance > kept[-1].chance:
            kept.append(each)
    return tuple(kept)


def nearest_parts(spared: best.Optimum, *, most_parts: int) -> dict[str, int]:
    """Whole parts nearest to the shares of an optimum by volume, up to a total."""
    shares = np.array(list(spared.volume_shares.values()))

    def miss(total: int) -> float:
        parts = np.round(shares * total)
        return float(np.abs(parts / max(parts.sum(), 1.0) - shares).max())

    total = min(range(2, most_parts + 1), key=lambda each: (round(miss(each), 6), each))
    parts = np.round(shares * total).astype(int)
    return {source: int(count) for source, count in zip(spared.volume_shares, parts, strict=True) if count > 0}


# --- what upsets a blend ---


@dataclass(frozen=True, slots=True)
class Upsetting:
    """One thing that may go wrong with a kept blend: its code, the source, and the blend before and after."""

    code: str
    source: str
    upset: upsetting.Upset


def upsets(state: State, blend: Fact, *, stabiliser: str = "") -> tuple[Upsetting, ...]:
    """What becomes of a kept blend with damp sand, a heaped pail, a pit that changed.

    Raises
    ------
    InputError
        As `blending.kept_view`.
    """
    parts = {state.versions.entity(source): count for source, count in blends.parts_of(blend).items()}
    if len(parts) < 2:
        return ()
    held = ground(state, tuple(parts))
    window = windowing.stabiliser_window(stabiliser or blending.usual_stabiliser(state))
    fattest = max(parts, key=lambda source: float(np.median(held.held["clay"][held.sources.index(source)])))
    leanest = min(parts, key=lambda source: float(np.median(held.held["clay"][held.sources.index(source)])))
    changes = (
        ("upset_damp", upsetting.bulked(leanest, bulking=judged("upset-bulking"))),
        ("upset_heaped", upsetting.heaped(fattest, heap=judged("upset-heap"))),
        ("upset_pit", upsetting.Change(fattest, 1.0, {"clay": judged("upset-pit")})),
    )
    return tuple(
        Upsetting(code, change.source, upsetting.upset(parts, ground=held, windows=(window,), change=change))
        for code, change in changes
    )
