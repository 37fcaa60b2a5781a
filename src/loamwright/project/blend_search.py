"""Blend, searched: every ratio against the windows a person chose, the blend that spares a soil, and what upsets a kept blend."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from loamwright.engine.blend import composition, judging
from loamwright.engine.blend import envelopes as enveloping
from loamwright.engine.blend import optimum as best
from loamwright.engine.blend import search as searching
from loamwright.engine.blend import upset as upsetting
from loamwright.engine.blend import windows as windowing
from loamwright.engine.blend.composition import SourceCurve
from loamwright.engine.blend.criteria import TESTED_PART, Criterion, conditions, passing_name
from loamwright.engine.blend.envelopes import GradingEnvelope, PlasticityArea
from loamwright.engine.blend.search import Array
from loamwright.engine.blend.windows import Window
from loamwright.engine.soil.priors import setting
from loamwright.errors import InputError
from loamwright.project import blending, blends, costs, gradings, shake
from loamwright.project.finding import Band, Finding, Given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

OF_FINES = ("liquid_limit", "plasticity_index", "linear_shrinkage")
ERRORS_90 = 1.645
"""Standard errors to either side that hold 90 % of a normal spread."""
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
    bands : tuple of GradingEnvelope or PlasticityArea
        Wanted together with the windows.
    """

    sources: tuple[str, ...]
    windows: tuple[Window, ...]
    most_parts: int
    scarce: str | None
    bands: tuple[GradingEnvelope | PlasticityArea, ...] = ()

    @property
    def asked(self) -> tuple[Criterion, ...]:
        """Everything the blend must lie in."""
        return (*self.windows, *self.bands)


@dataclass(frozen=True, slots=True)
class Found:
    """What came of it: ratios ranked, and the shares that take least of the scarce source (None where none is to spare)."""

    wanted: Wanted
    search: searching.Search
    spared: best.Optimum | None


def ground(state: State, sources: Sequence[str]) -> searching.Ground:
    """All that the sources are believed to hold, side by side, in as many worlds.

    Besides what is believed: shares passing the sieves that published bands ask for, where they are known of every source. A
    sieve curve is taken as measured; a soil known from jars alone is known at the two sizes that part sand, silt and clay.
    """
    roots = tuple(sorted({state.versions.entity(source) for source in sources}))
    return state.memo(("search_ground", roots), lambda: _ground(state, roots))


def _ground(state: State, sources: tuple[str, ...]) -> searching.Ground:
    found = blending.ground(state, sources)
    held: dict[str, dict[str, float | Array]] = {name: dict(each) for name, each in found.held.items()}
    for name in OF_FINES:
        beliefs = [shake.graded(state, source) for source in sources]
        if all(each is not None and name in each for each in beliefs):
            held[name] = {source: each[name].values for source, each in zip(sources, beliefs, strict=True) if each is not None}
    held.update(_passing(state, found))
    return searching.Ground.of({source: np.asarray(mass, dtype=np.float64) for source, mass in found.masses.items()}, held)


def sieves() -> tuple[float, ...]:
    """Sizes at which bands are held against a blend: those of the bands, and the one the plasticity is tested below. [mm]"""
    asked = {size for band in enveloping.grading_envelopes() for size in band.sizes}
    return tuple(sorted(asked | {float(TESTED_PART.removeprefix("passing_"))}))


def curve(state: State, source: str) -> SourceCurve | None:
    """The grading of a source as it was measured; None where nobody sieved it, or the points do not make a curve."""
    try:
        measured = gradings.soil_curve(state, source)
        return None if measured is None else SourceCurve.of(measured.sizes, measured.passing)
    except InputError:
        return None


def _passing(state: State, found: blending.Ground) -> dict[str, dict[str, float | Array]]:
    """Shares passing each asked size, where every source knows it."""
    known = {source: _known_sizes(state, source, found) for source in found.masses}
    shared = [size for size in sieves() if all(size in each for each in known.values())]
    return {passing_name(size): {source: each[size] for source, each in known.items()} for size in shared}


def _known_sizes(state: State, source: str, found: blending.Ground) -> dict[float, float | Array]:
    measured = curve(state, source)
    if measured is not None:
        return {size: float(measured.at(size)[0]) for size in sieves() if measured.reaches(size)}
    return {setting("clay_limit"): found.held["clay"][source], setting("sand_limit"): found.held["fines"][source]}


def windows_to_choose(state: State, sources: Sequence[str]) -> tuple[Window, ...]:
    """Windows of properties that are known of every source: those of stabilisers first, then published ones."""
    try:
        known = ground(state, sources).held
    except InputError:
        return ()
    fitting = [each for each in windowing.all_windows() if each.property_name in known]
    return tuple(sorted(fitting, key=lambda each: each.stabiliser is None))


def bands_to_choose(state: State, sources: Sequence[str]) -> tuple[GradingEnvelope | PlasticityArea, ...]:
    """Grading bands, then plasticity areas, that a blend of some sources can be held against with what is known of them."""
    try:
        known = ground(state, sources).held
    except InputError:
        return ()
    bands: tuple[GradingEnvelope | PlasticityArea, ...] = (*enveloping.grading_envelopes(), *enveloping.plasticity_areas())
    return tuple(each for each in bands if _can_be_asked(each, known))


def _can_be_asked(criterion: Criterion, known: Collection[str]) -> bool:
    try:
        return bool(conditions(criterion, known=known))
    except InputError:
        return False


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
        "two_buckets", "too_many_sources", "no_belief", "no_windows", "not_known_of_every_source".
    """
    if len(wanted.sources) < 2:
        raise InputError("two_buckets", n=len(wanted.sources))
    return state.memo(("blend_search", wanted), lambda: _found(state, wanted))


def _found(state: State, wanted: Wanted) -> Found:
    held = ground(state, wanted.sources)
    scarce = wanted.scarce if wanted.scarce in held.sources else None
    ranked = searching.search(held, windows=wanted.asked, most_parts=wanted.most_parts, scarce_source=scarce)
    spared = None
    if scarce is not None:
        spared = best.optimum(held, windows=wanted.asked, chance=wanted_chance(), weights={scarce: 1.0})
    return Found(wanted, ranked, spared)


def cheapest(state: State, wanted: Wanted) -> best.Optimum:
    """The shares by mass that cost least and still lie in every window with the wanted chance; its objective is money a tonne.

    Raises
    ------
    InputError
        As `found`, and as `costs.source_cost` for a source whose price is not known.
    """
    if len(wanted.sources) < 2:
        raise InputError("two_buckets", n=len(wanted.sources))
    return state.memo(("blend_cheapest", wanted), lambda: _cheapest(state, wanted))


def _cheapest(state: State, wanted: Wanted) -> best.Optimum:
    held = ground(state, wanted.sources)
    tonne = {source: 1000.0 * costs.source_cost(state, source).value for source in held.sources}
    return best.optimum(held, windows=wanted.asked, chance=wanted_chance(), weights=tonne)


def chance_finding(each: searching.Ranked, *, draws: int) -> Finding:
    """The chance of a ratio as a count of worlds, with the range its own counting leaves."""
    inputs: dict[str, Given | Finding] = {"inside": Given(float(round(each.chance * draws))), "draws": Given(float(draws))}
    wide = ERRORS_90 * each.error
    return Finding(windowing.CHANCE, each.chance, inputs, (), Band(max(0.0, each.chance - wide), min(1.0, each.chance + wide)))


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


# --- one blend against several things at once ---


def joint(state: State, parts: Mapping[str, int], windows: Sequence[Criterion]) -> judging.Joint:
    """Lean, usable, fat or torn, against everything that was chosen.

    Raises
    ------
    InputError
        As `blending.ground`, and "no_windows", "not_known_of_every_source".
    """
    named = _named(state, parts)
    return judging.joint(named, ground=ground(state, tuple(named)), windows=windows)


def joint_change(state: State, parts: Mapping[str, int], windows: Sequence[Criterion]) -> judging.JointChange | None:
    """The one pail that would help most with everything that was chosen; None where none does."""
    named = _named(state, parts)
    return judging.joint_pail_change(named, ground=ground(state, tuple(named)), windows=windows)


def held(state: State, parts: Mapping[str, int]) -> dict[str, composition.Held]:
    """Every property that is known of all sources of a blend, with its spread and how it mixes."""
    named = _named(state, parts)
    return composition.blend_held(named, ground=ground(state, tuple(named)))


def blend_curve(state: State, parts: Mapping[str, int]) -> composition.BlendCurve | None:
    """The grading of a blend on every sieve that is known of all its sources; None where one of them was never sieved."""
    named = _named(state, parts)
    curves = {source: each for source in named if (each := curve(state, source)) is not None}
    if len(curves) < len(named):
        return None
    return composition.blend_curve(named, pail_dry_mass=blending.ground(state, tuple(named)).masses, curves=curves)


def _named(state: State, parts: Mapping[str, int]) -> dict[str, int]:
    return {state.versions.entity(source): count for source, count in parts.items()}


# --- what upsets a blend ---


@dataclass(frozen=True, slots=True)
class Upsetting:
    """One thing that may go wrong with a kept blend: its code, the source, and the blend before and after."""

    code: str
    source: str
    upset: upsetting.Upset


def upsets(state: State, blend: Fact, *, stabiliser: str = "", windows: Sequence[Criterion] = ()) -> tuple[Upsetting, ...]:
    """What becomes of a kept blend with damp sand, a heaped pail, a pit that changed.

    Chances are those of the named windows, or of the stabiliser's where none is named.

    Raises
    ------
    InputError
        As `blending.kept_view`.
    """
    parts = {state.versions.entity(source): count for source, count in blends.parts_of(blend).items()}
    if len(parts) < 2:
        return ()
    held = ground(state, tuple(parts))
    wanted = tuple(windows) or (windowing.stabiliser_window(stabiliser or blending.usual_stabiliser(state)),)
    fattest = max(parts, key=lambda source: float(np.median(held.held["clay"][held.sources.index(source)])))
    leanest = min(parts, key=lambda source: float(np.median(held.held["clay"][held.sources.index(source)])))
    changes = (
        ("upset_damp", upsetting.bulked(leanest, bulking=judged("upset-bulking"))),
        ("upset_heaped", upsetting.heaped(fattest, heap=judged("upset-heap"))),
        ("upset_pit", upsetting.Change(fattest, 1.0, {"clay": judged("upset-pit")})),
    )
    return tuple(
        Upsetting(code, change.source, upsetting.upset(parts, ground=held, windows=wanted, change=change))
        for code, change in changes
    )
