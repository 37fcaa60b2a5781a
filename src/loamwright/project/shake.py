"""Shake: what is believed of each source, from jars, guesses, pails and pans together; what to read next; what does not fit."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import isinf
from typing import Any, TypeVar

from loamwright.engine.blend.windows import Window
from loamwright.engine.soil.belief import Belief, believe, centre_of
from loamwright.engine.soil.contradictions import Contradiction, contradictions
from loamwright.engine.soil.jar import JarReading
from loamwright.engine.soil.jar import questions as jar_questions
from loamwright.engine.soil.next_test import NextTest, next_test
from loamwright.engine.soil.observations import Guess, OversizeReading, PailWeighings, PanTest
from loamwright.errors import InputError, Note
from loamwright.project import dig, quantiles, soil_found
from loamwright.project.asking import Due, Question
from loamwright.project.cache import SHELF, belief_key
from loamwright.project.finding import Band, Finding
from loamwright.project.jars import JarTime, JarView, grain_down, jar_times, jar_view
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

T = TypeVar("T")
GRADING = ("sand", "silt", "clay", "fines")


@dataclass(frozen=True, slots=True)
class Observed:
    """All observations of one source as the engine takes them.

    Attributes
    ----------
    records : mapping of str to tuple
        "jars", "guesses", "pails", "pan_tests", "oversize": frozen records, each with the id of its entity as key.
    entries : mapping of str to tuple of str
        Entry ids behind each key.
    unusable : tuple of (Fact, InputError)
        Guesses and jars that cannot be used, with the reason.
    notes : tuple of Note
        What was assumed of the jars.
    """

    records: Mapping[str, tuple[Any, ...]]
    entries: Mapping[str, tuple[str, ...]]
    unusable: tuple[tuple[Fact, InputError], ...]
    notes: tuple[Note, ...]


def observed(state: State, source: str) -> Observed:
    """Everything that was observed of a source and can be used."""
    return state.memo(("observed", state.versions.entity(source)), lambda: _observed(state, source))


def _observed(state: State, source: str) -> Observed:
    views = [jar_view(state, fact.id) for fact in state.where("jar", "source", source)]
    jars = [view.reading for view in views if view.reading is not None]
    unusable = [(view.fact, view.fault) for view in views if view.reading is None and view.fault is not None]
    entries: dict[str, tuple[str, ...]] = {view.fact.id: view.entries() for view in views}
    guesses = _each(state.where("guess", "source", source), _guess, unusable)
    quiet: list[tuple[Fact, InputError]] = []  # Dig asks about its own readings
    pails = _same_pail(_each(state.where("pail_weighing", "source", source), lambda fact: _pail(state, fact), quiet))
    dried = _moisture_of(state, source, pails)
    pans = _each([] if dried is None else [dried], _pan, quiet)
    oversize = _each(state.where("oversize", "source", source), _oversize, quiet)
    for kind in ("guess", "pail_weighing", "oversize"):
        entries |= {fact.id: (fact.head,) for fact in state.where(kind, "source", source)}
    entries |= {fact.id: (fact.head,) for fact in state.where("pan_test", "about", source)}
    entries |= soil_found.entries_of_tests(state, source)
    records = {
        **tested(state, source),
        "jars": tuple(jars),
        "guesses": guesses,
        "pails": tuple(pail.record for pail in pails),
        "pan_tests": pans,
        "oversize": oversize,
    }
    notes = tuple(dict.fromkeys((note.code, tuple(sorted(note.values.items()))) for view in views for note in view.notes))
    return Observed(records, entries, tuple(unusable), tuple(Note(code, dict(values)) for code, values in notes))


def tested(state: State, source: str) -> dict[str, tuple[Any, ...]]:
    """What tests of a source say of it, by the names the belief takes them under."""
    return {
        "gradings": soil_found.found_gradings(state, source),
        "limits": soil_found.found_limits(state, source),
        "shrinkages": soil_found.found_shrinkage(state, source),
        "feels": soil_found.found_by_feel(state, source),
    }


def _each(facts: list[Fact], make: Callable[[Fact], T], unusable: list[tuple[Fact, InputError]]) -> tuple[T, ...]:
    """A record of each fact; one that cannot be used is set aside and spoils no other."""
    found: list[T] = []
    for fact in facts:
        try:
            found.append(make(fact))
        except InputError as fault:
            unusable.append((fact, fault))
    return tuple(found)


def _guess(fact: Fact) -> Guess:
    guess = Guess(fact.id, fact["soil_class"])
    centre_of(guess)
    return guess


@dataclass(frozen=True, slots=True)
class _Pail:
    """One weighing of struck pails, the pail it was made in, and the pan test of its day."""

    record: PailWeighings
    container: str
    at: str
    dried: str


def _pail(state: State, fact: Fact) -> _Pail:
    tare = fact.number("tare")
    if tare is None:
        tare = state.tare(fact["container"], state.at(fact)) or 0.0
    net = tuple(amount.engine - tare for amount in fact["gross"])
    record = PailWeighings(fact.id, net, pail_volume(state, fact))
    dried = dig.moisture_test(state, fact["source"], by=fact.at)
    return _Pail(record, state.versions.entity(fact["container"]), fact.at, "" if dried is None else dried.id)


def pail_volume(state: State, weighing: Fact) -> float | None:
    """Struck volume of the pail of a weighing, as it was measured by then; None where it never was. [m³]"""
    try:
        return state.container_volume(weighing["container"], state.at(weighing))
    except InputError:
        return None


def _same_pail(pails: tuple[_Pail, ...]) -> list[_Pail]:
    """Weighings in the pail of the newest one, freed of the same moisture: one believed mass belongs to one pail of one day."""
    if not pails:
        return []
    newest = pails[-1]
    told = (newest.container, newest.record.pail_volume, newest.dried)
    return [pail for pail in pails if (pail.container, pail.record.pail_volume, pail.dried) == told]


def _moisture_of(state: State, source: str, pails: Sequence[_Pail]) -> Fact | None:
    """The pan test the pails are freed of, as in Dig; a test of a wetter day says nothing of a pail weighed before it."""
    return dig.moisture_test(state, source, by=pails[-1].at) if pails else dig.moisture_test(state, source)


def _pan(fact: Fact) -> PanTest:
    pan = fact.number("pan") or 0.0
    step = fact.number("scale_step") or judged("pan-scale-step")
    return PanTest(fact.id, fact.needed("wet") - pan, fact.needed("dry") - pan, step)


def _oversize(fact: Fact) -> OversizeReading:
    return OversizeReading(fact.id, fact.needed("retained"), fact.needed("sample"))


def belief(state: State, source: str) -> Belief | None:
    """What is believed of a source; None where nothing usable was observed. The same entries in any order give the same draws."""
    root = state.versions.entity(source)
    return state.memo(("belief", root), lambda: _belief(state, root))


def _belief(state: State, source: str) -> Belief | None:
    found = observed(state, source)
    if not any(found.records.values()):
        return None
    key = belief_key(source, state.project, found.records)
    held = SHELF.belief(key, lambda: believe(source, project=state.project, **found.records))
    return held if held.properties else None


def graded(state: State, source: str) -> Belief | None:
    """The belief of a source whose sand, silt and clay are known at least by a guess, else None."""
    held = belief(state, source)
    return held if held is not None and "clay" in held else None


def entries_of(state: State, source: str, keys: tuple[str, ...]) -> tuple[str, ...]:
    """Ids of the entries behind some observations of a source, sorted."""
    known = observed(state, source).entries
    return tuple(sorted({entry for key in keys for entry in known.get(key, ())}))


def share(state: State, source: str, name: str) -> Finding | None:
    """The share of sand, silt, clay or fines of a source, with its 90 % range; None where nothing says so."""
    held = graded(state, source)
    if held is None:
        return None
    each = held[name]
    notes = (*each.notes, *observed(state, source).notes)
    entries = entries_of(state, source, each.provenance)
    return quantiles.middle_of(each.values, name=name, unit=each.unit, entries=entries, notes=notes)


@dataclass(frozen=True, slots=True)
class Edge:
    """The top of one layer of a soil drawn as a column of height 1: where it lies, and the range that holds 90 % of the draws."""

    kind: str
    low: float
    middle: float
    high: float


def edges(sand: quantiles.Array, clay: quantiles.Array) -> tuple[Edge, ...]:
    """Layers of a soil from the bottom up, by mass: sand, silt, clay."""
    lower = quantiles.middle_of(sand, name="sand")
    upper = quantiles.middle_of(1.0 - clay, name="sand_and_silt")
    return (_edge("sand", lower), _edge("silt", upper), Edge("clay", 1.0, 1.0, 1.0))


def _edge(kind: str, top: Finding) -> Edge:
    band = top.band or Band(top.value, top.value)
    return Edge(kind, band.low, top.value, band.high)


def rise(jar: JarReading) -> float | None:
    """How far the settled bed of the last reading stands above the dry mark, as a share of it; None without a height."""
    beds = jar.bed_heights
    return None if not beds else max(beds, key=lambda each: each.minutes).height / jar.fill_height - 1.0


# --- what does not fit ---


def questions(state: State) -> tuple[Question, ...]:
    """What does not fit among jars and guesses."""
    found: list[Question] = []
    for fact in (*state.all("jar"), *state.all("guess")):
        if state.find(fact["source"], "source") is None:
            found.append(Question("not_found", "shake", (fact.id,), "impossible", {"kind": "source", "id": fact["source"]}))
    for fact in state.all("jar"):
        found.extend(_of_jar(jar_view(state, fact.id)))
    for source in state.all("source"):
        for fact, fault in observed(state, source.id).unusable:
            if fact.kind == "guess":
                found.append(Question(fault.code, "shake", (fact.id,), "impossible", dict(fault.values)))
        found.extend(_of_belief(state, source))
        found.extend(_contradicting(state, source))
    return tuple(found)


SPOKEN_OF = ("jar_against_guess",)  # asked as guess_disagrees already


def contradicting(state: State, source: str) -> tuple[Contradiction, ...]:
    """Observations of a source that do not go together, with likely reasons and the cheapest test that would settle it."""
    root = state.versions.entity(source)

    def compute() -> tuple[Contradiction, ...]:
        held = observed(state, root).records
        named = ("jars", "guesses", "gradings", "limits", "shrinkages", "feels")
        if sum(len(held[name]) for name in named) < 2:
            return ()
        return contradictions(**{name: held[name] for name in named})

    return state.memo(("contradicting", root), compute)


def _contradicting(state: State, source: Fact) -> list[Question]:
    found = []
    for each in contradicting(state, source.id):
        if each.note.code in SPOKEN_OF:
            continue
        found.append(Question(each.note.code, "shake", tuple(sorted(each.keys)), "unlikely", dict(each.note.values)))
    return found


def tests_to_make(state: State, source: str, window: Window) -> tuple[NextTest, ...]:
    """Tests that may come next of a source, the most telling for its cost first: of lying in a window that is wanted of it."""
    held = graded(state, source)
    if held is None or window.property_name not in held:
        return ()
    least, most = window.least or 0.0, 1.0 if window.most is None else window.most
    try:
        return next_test(held, property=window.property_name, least=least, most=most, done=_made(state, source))
    except InputError:
        return ()


MADE_BY = {
    "jar": ("jar",),
    "guess": ("guess",),
    "thread": ("hand_thread",),
    "ribbon": ("hand_cigar",),
    "dry_strength": ("hand_dry_strength",),
    "shaking": ("hand_shaking",),
    "shine": ("look_and_touch",),
    "wash": ("wash_sieve", "sieve"),
    "hydrometer": ("hydrometer", "pipette"),
    "limits": ("limits", "cup_limit", "cone_limit"),
    "shrinkage": ("shrinkage_bar", "shrinkage_box"),
}
"""Kinds of entries by which each test of data/next_tests.toml is made."""


def _made(state: State, source: str) -> tuple[str, ...]:
    made = [test for test, kinds in MADE_BY.items() if any(state.where(kind, "source", source) for kind in kinds)]
    return (*made, *(["second_jar"] if len(state.where("jar", "source", source)) > 1 else []))


def _of_jar(view: JarView) -> list[Question]:
    found = [Question(fault.code, "shake", (each.fact.id,), "impossible", dict(fault.values)) for each, fault in view.unusable]
    if view.fault is not None and view.fault.code != "jar_without_readings":
        found.append(Question(view.fault.code, "shake", (view.fact.id,), "impossible", dict(view.fault.values)))
    if view.reading is None:
        return found
    for note in jar_questions(view.reading):
        if note.code == "swelling_questioned":
            values = {"rise_pct": 100 * float(str(note.values["rise"]))}
            found.append(Question(note.code, "shake", (view.fact.id,), "unlikely", values))
    return [*found, *_early(view), *_falling(view)]


def _early(view: JarView) -> list[Question]:
    """Layers named before they can be there: sand before it is down, the end of the clay before the silt is down."""
    sand, silt = grain_down(view.fact, "sand"), grain_down(view.fact, "silt")
    if sand is None or silt is None:
        return []
    limits = {"sand_top": judged("jar-early") * sand, "clay_top": judged("jar-early") * silt}
    early = [each for each in view.usable if each.minutes < limits.get(each.layer, 0.0)]
    best = {"sand_top": sand, "clay_top": silt}
    return [
        Question(
            "jar_read_early",
            "shake",
            (each.fact.id,),
            "unlikely",
            {"layer": each.layer, "minutes": each.minutes, "best_minutes": best[each.layer]},
        )
        for each in early
    ]


def _falling(view: JarView) -> list[Question]:
    """Tops of all that settled which fall by more than clay sinks."""
    tops = [each for each in view.usable if each.layer in ("bed", "clay_top")]
    for before, after in pairwise(tops):
        if after.height < judged("jar-falls") * before.height:
            about = tuple(sorted((before.fact.id, after.fact.id)))
            values = {"before": before.height, "after": after.height}
            return [Question("jar_height_falls", "shake", about, "unlikely", values)]
    return []


def _of_belief(state: State, source: Fact) -> list[Question]:
    held = graded(state, source.id)
    found: list[Question] = []
    for note in () if held is None else held["clay"].notes:
        if note.code == "guess_disagrees":
            values = {"source": source["name"]}
            found.append(Question(note.code, "shake", (str(note.values["guess"]),), "unlikely", values))
        if note.code == "jar_fits_badly":
            found.append(Question(note.code, "shake", (str(note.values["jar"]),), "unlikely", {"source": source["name"]}))
    return found


# --- what it waits for ---


def due(state: State, today: date) -> tuple[Due, ...]:
    """The next reading of each jar on its day; sources of which nobody said what they hold."""
    found: list[Due] = []
    for fact in state.all("jar"):
        view = jar_view(state, fact.id)
        wanted = _wanted(state, view, today)
        if wanted is not None and (today - wanted.at.date()).days <= judged("jar-lapses"):
            values = {"says": wanted.says, "at": f"{wanted.at:%H:%M}"}
            found.append(Due("read_jar", "shake", fact.id, on=wanted.at.date(), values=values))
    for source in state.all("source"):
        if not state.where("jar", "source", source.id) and not state.where("guess", "source", source.id):
            found.append(Due("shake_jar", "shake", source.id, values={"source": source["name"]}))
    return tuple(found)


def _wanted(state: State, view: JarView, today: date) -> JarTime | None:
    """The first reading not yet made that the day has not left behind; the last one stays wanted."""
    try:
        times = jar_times(state, view)
    except InputError:
        return None
    made = max((place for place, each in enumerate(times) if each.done), default=-1)
    return next((each for place, each in enumerate(times) if place > made and not _left_behind(view, each, today)), None)


def _left_behind(view: JarView, each: JarTime, today: date) -> bool:
    return not isinf(each.until) and (view.set_down + timedelta(minutes=each.until)).date() < today
