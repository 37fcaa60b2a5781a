"""What tests of a soil tell its belief: gradings, limits, shrinkage and feel, as the engine takes them, each with its entry."""

from collections.abc import Iterable
from statistics import fmean, median

from loamwright.engine.soil.observations import FeelFound, GradingFound, LimitsFound, Method, ShrinkageFound
from loamwright.errors import InputError
from loamwright.project import gradings
from loamwright.project.finding import Finding
from loamwright.project.limit_findings import limits_of
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.state import Fact, State

SAND_FROM, CLAY_TO, BELIEVED_BELOW = 0.06, 0.002, 2.0
"""Limits of the believed shares: sand from 0.06 mm, clay to 0.002 mm, all of what is finer than 2 mm. [mm]"""
FINE_SIEVES = (0.063, 0.075, 0.08)
"""Sieves that cut off what is called fines, the nearest to the limit first. [mm]"""
DRY_STRENGTH = {
    "dry_none": "none",
    "dry_low": "low",
    "dry_medium": "medium",
    "dry_high": "high",
    "dry_very_high": "high",
}
SHAKING = {"shaking_fast": "rapid", "shaking_slow": "slow", "shaking_none": "none"}
SHINE = {"shine_dull": "dull", "shine_shiny": "shiny"}
THREAD, THIN_THREAD = 3.0, 2.5
"""A thread that holds at 3 mm is plastic; one that goes on well below it is very plastic. [mm]"""
SHORT_PIECE, LONG_PIECE = 50.0, 150.0
"""A roll pushed over an edge breaks under the first in sandy soil, over the second in clay. [mm] [practice-cigar]"""


def found_gradings(state: State, source: str) -> tuple[GradingFound, ...]:
    """The curve of a soil as shares of what is finer than 2 mm, and fines washed out by hand."""
    return tuple(each for each in (_of_curve(state, source), *_washed(state, source)) if each is not None)


def _of_curve(state: State, source: str) -> GradingFound | None:
    curve = gradings.soil_curve(state, source)
    if curve is None:
        return None
    fact, method = _newest(state, source)
    whole = _passing(curve, BELIEVED_BELOW)
    whole = 1.0 if whole is None and max(curve.sizes) <= BELIEVED_BELOW else whole
    if fact is None or whole is None or whole <= 0:
        return None
    clay, fines = _passing(curve, CLAY_TO), _passing(curve, SAND_FROM)
    try:
        if method in ("hydrometer", "pipette") and clay is not None and fines is not None:
            shares = (whole - fines) / whole, (fines - clay) / whole, clay / whole
            return GradingFound(fact.id, sand=shares[0], silt=shares[1], clay=shares[2], method=method)
        below = next((each for size in FINE_SIEVES if (each := _passing(curve, size)) is not None), None)
        return None if below is None else GradingFound(fact.id, fines=below / whole, method="sieve")
    except InputError:  # shares of different wholes are asked about where the tests are
        return None


def _passing(curve: gradings.Curve, size: float) -> float | None:
    if not gradings.reaches(curve, size):
        return None
    return gradings.passing_finding(curve, size).value


def _newest(state: State, source: str) -> tuple[Fact | None, Method]:
    """The newest sedimentation, else the newest sieving, and what it counts as."""
    kinds: tuple[Method, ...] = ("hydrometer", "pipette", "sieve")  # called as the methods are
    for kind in kinds:
        facts = state.where(kind, "source", source)
        if facts:
            return facts[-1], kind
    return None, "sieve"


def _washed(state: State, source: str) -> Iterable[GradingFound]:
    facts = state.where("wash_sieve", "source", source)
    for fact in facts[-1:]:
        fines = SOIL_TESTS.worked(state, fact).finding("fines_fraction")
        if fines is not None:
            try:
                yield GradingFound(fact.id, fines=fines.value, method="wash")
            except InputError:
                continue


def found_limits(state: State, source: str) -> tuple[LimitsFound, ...]:
    """The newest liquid and plastic limit."""
    held = limits_of(state, source)
    if held.liquid is None:
        return ()
    plastic = None if held.plastic is None else held.plastic.value
    try:
        return (LimitsFound(held.liquid_from, held.liquid.value, plastic),)
    except InputError:  # a plastic limit above the liquid one is asked about where it was typed
        return ()


def found_shrinkage(state: State, source: str) -> tuple[ShrinkageFound, ...]:
    """The newest bar and the newest box."""
    found = []
    for kind in ("shrinkage_bar", "shrinkage_box"):
        for fact in state.where(kind, "source", source)[-1:]:
            shrinkage = SOIL_TESTS.worked(state, fact).finding("linear_shrinkage")
            if isinstance(shrinkage, Finding) and 0 <= shrinkage.value <= 0.9:
                found.append(ShrinkageFound(fact.id, shrinkage.value))
    return tuple(found)


def found_by_feel(state: State, source: str) -> tuple[FeelFound, ...]:
    """The newest of each test by hand whose grade says something of the clay."""
    found = []
    for kind, test, grade in (
        ("hand_thread", "thread", _thread),
        ("hand_cigar", "ribbon", _broken_off),
        ("hand_dry_strength", "dry_strength", lambda fact: DRY_STRENGTH.get(fact.get("broke", ""))),
        ("hand_shaking", "shaking", lambda fact: SHAKING.get(fact.get("water", ""))),
        ("look_and_touch", "shine", lambda fact: SHINE.get(fact.get("shine", ""))),
    ):
        graded = [(fact, said) for fact in state.where(kind, "source", source) if (said := grade(fact)) is not None]
        found += [FeelFound(fact.id, test, said) for fact, said in graded[-1:]]
    return tuple(found)


def _thread(fact: Fact) -> str | None:
    if fact.get("toughness") == "tough_none":
        return "none"
    thinnest = fact.get("thinnest")
    if not thinnest:
        return None
    thin = median(each.engine for each in thinnest)
    if thin > THREAD:
        return "above_3mm"
    return "to_3mm" if thin > THIN_THREAD else "to_2mm"


def _broken_off(fact: Fact) -> str | None:
    lengths = fact.get("lengths")
    if not lengths:
        return None
    long = fmean(each.engine for each in lengths)
    return "short" if long < SHORT_PIECE else "middle" if long <= LONG_PIECE else "long"


TELLING = (
    *("hydrometer", "pipette", "sieve", "wash_sieve", "cup_limit", "cone_limit", "plastic_threads", "limits"),
    *("shrinkage_bar", "shrinkage_box", "hand_thread", "hand_cigar", "hand_dry_strength", "hand_shaking", "look_and_touch"),
)
"""Kinds of tests that say something to the belief."""


def entries_of_tests(state: State, source: str) -> dict[str, tuple[str, ...]]:
    """The entry behind every test that says something to the belief of a soil, by its id."""
    return {fact.id: (fact.head,) for kind in TELLING for fact in state.where(kind, "source", source)}
