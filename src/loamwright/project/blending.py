"""Blend: three to try out of all whole ratios, and everything about one: shares, clay, fines, windows, the pail to change."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from loamwright.engine.blend import offers as offering
from loamwright.engine.blend import windows as windowing
from loamwright.engine.blend.offers import BlendOffer, PailChange
from loamwright.engine.blend.parts import Numbers, blend_property, mass_share_formula, mass_shares, reduced_parts
from loamwright.engine.blend.windows import Chances, Window
from loamwright.engine.soil.belief import Belief
from loamwright.errors import InputError, Note
from loamwright.project import blends, quantiles, shake
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Band, Finding, Given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

HELD = ("sand", "silt", "clay", "fines")
USUAL_STABILISER = "cement"
_EASE = {"hard": 2, "fair": 1, "easy": 0}


@dataclass(frozen=True, slots=True)
class Ground:
    """What some sources are believed to hold, draw i of each being one world.

    Attributes
    ----------
    masses : mapping of source to float or (n,) array
        Dry mass of one part of each: of one pail [kg], of one cubic metre [kg/m³], or 1 where nobody weighed them.
    mass_unit : str
        "kg", "kg/m3" or "1".
    held : mapping of property to mapping of source to (n,) array
        Sand, silt, clay, fines. [-]
    entries : mapping of source to tuple of str
        Entries behind each source.
    notes : tuple of Note
        What a reader must know.
    """

    masses: Mapping[str, Numbers]
    mass_unit: str
    held: Mapping[str, Mapping[str, quantiles.Array]]
    entries: Mapping[str, tuple[str, ...]]
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class WindowView:
    """A window with the chance that the blend lies inside, and on either side."""

    window: Window
    chance: Finding
    chances: Chances


@dataclass(frozen=True, slots=True)
class BlendView:
    """One blend as it is believed to be.

    Attributes
    ----------
    parts : mapping of source to int
        Whole parts by volume.
    window : WindowView
        The stabiliser's window for clay: lean, usable or fat.
    change : PailChange or None
        The one pail that would help most.
    held : mapping of property to Finding
        Sand, silt, clay, fines, each with its 90 % range. [-]
    published : tuple of WindowView
        Published windows, beside it.
    shares : mapping of source to Finding
        Mass share of each source in the dry soil. [-]
    scarce : str or None
        The source to be spared, if the blend has it.
    layers : tuple of Edge
        For the drawing.
    notes : tuple of Note
    """

    parts: Mapping[str, int]
    window: WindowView
    change: PailChange | None
    held: Mapping[str, Finding]
    published: tuple[WindowView, ...]
    shares: Mapping[str, Finding]
    scarce: str | None
    layers: tuple[shake.Edge, ...]
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class OffersView:
    """Three blends to try, the best first; leaner or fatter may be missing (then a note says so)."""

    best: BlendView
    leaner: BlendView | None
    fatter: BlendView | None
    notes: tuple[Note, ...]


def ready(state: State) -> tuple[str, ...]:
    """Sources whose sand, silt and clay are known at least by a guess, in the order they were named."""
    return tuple(fact.id for fact in state.all("source") if shake.graded(state, fact.id) is not None)


def unknown(state: State, sources: Sequence[str]) -> tuple[str, ...]:
    """Those of some sources that nobody has said anything about."""
    return tuple(source for source in sources if shake.graded(state, source) is None)


def usual_stabiliser(state: State) -> str:
    """The type most mixes hold, else that of the stabiliser named first; cement where none is named."""
    types = {fact.id: str(fact["type"]) for fact in state.all("stabiliser")}
    used = [types.get(state.versions.entity(mix["stabiliser"]), "") for mix in state.all("mix") if mix.get("stabiliser")]
    counted = [kind for kind, _ in Counter(kind for kind in used if kind).most_common(1)]
    return next(iter([*counted, *types.values()]), USUAL_STABILISER)


def scarce_of(state: State, sources: Sequence[str]) -> str | None:
    """The source to spare: the hardest to get, else the farthest, else the one there is least of; None where nothing tells."""
    facts = [state.fact(source, "source") for source in sources]
    for measure in (_hard, _far, _little):
        marks = [measure(fact) for fact in facts]
        most = max(marks, default=-np.inf)
        if most > -np.inf and marks.count(most) == 1:
            return facts[marks.index(most)].id
    return None


def _hard(fact: Fact) -> float:
    ease = fact.get("ease")
    return -np.inf if ease in (None, "easy") else float(_EASE[ease])


def _far(fact: Fact) -> float:
    return fact.number("distance") or -np.inf


def _little(fact: Fact) -> float:
    amount = fact.get("amount")
    return -np.inf if amount is None or amount.container else -float(amount.engine)


def ground(state: State, sources: Sequence[str]) -> Ground:
    """What the named sources are believed to hold.

    Raises
    ------
    InputError
        "not_found" for a source that is not here, "no_belief" naming the first one that nobody has looked at.
    """
    roots = tuple(state.versions.entity(source) for source in sources)
    return state.memo(("ground", frozenset(roots)), lambda: _ground(state, tuple(sorted(set(roots)))))


def _ground(state: State, sources: tuple[str, ...]) -> Ground:
    believed: dict[str, Belief] = {}
    for source in sources:
        fact = state.fact(source, "source")
        held = shake.graded(state, source)
        if held is None:
            raise InputError("no_belief", source=fact["name"])
        believed[source] = held
    masses, unit, notes = _part_masses(state, believed)
    told = [note for held in believed.values() for note in held["clay"].notes if note.code not in _ASKED]
    if unit != "1":
        told += [note for held in believed.values() for note in held["pail_dry_mass"].notes]
    return Ground(
        masses,
        unit,
        {name: {source: held[name].values for source, held in believed.items()} for name in HELD},
        {source: _entries(state, source, held) for source, held in believed.items()},
        _once((*notes, *told)),
    )


# Shown as questions in Shake; a blend need not repeat them.
_ASKED = ("swelling_questioned", "bed_above_water", "times_not_increasing", "jar_fits_badly", "guess_disagrees")


def _entries(state: State, source: str, held: Belief) -> tuple[str, ...]:
    names = [name for name in ("clay", "pail_dry_mass") if name in held]
    return tuple(sorted({each for name in names for each in shake.entries_of(state, source, held[name].provenance)}))


def _part_masses(state: State, believed: Mapping[str, Belief]) -> tuple[dict[str, Numbers], str, tuple[Note, ...]]:
    """Dry mass of one part of each source: by the one pail all were weighed in, else by their loose densities, else equal."""
    pails = {source: state.where("pail_weighing", "source", source) for source in believed}
    if all("pail_dry_mass" in held for held in believed.values()):
        used = {(state.versions.entity(facts[-1]["container"]), shake.pail_volume(state, facts[-1])) for facts in pails.values()}
        if len(used) == 1:
            return {source: held["pail_dry_mass"].values for source, held in believed.items()}, "kg", ()
        if all("loose_dry_density" in held for held in believed.values()):
            return {source: held["loose_dry_density"].values for source, held in believed.items()}, "kg/m3", ()
        return dict.fromkeys(believed, 1.0), "1", (Note("pails_of_unknown_size"),)
    unweighed = [str(state.fact(source, "source")["name"]) for source, held in believed.items() if "pail_dry_mass" not in held]
    return dict.fromkeys(believed, 1.0), "1", (Note("densities_unknown", {"sources": tuple(sorted(unweighed))}),)


def _once(notes: Sequence[Note]) -> tuple[Note, ...]:
    found: dict[tuple[str, str], Note] = {}
    for note in notes:
        values = {name: value for name, value in note.values.items() if name not in ("jar", "guess")}
        found.setdefault((note.code, repr(sorted(values.items()))), note)
    return tuple(found.values())


# --- one blend ---


def blend_view(state: State, parts: Mapping[str, int], *, stabiliser: str = "", scarce: str | None = None) -> BlendView:
    """Everything about one ratio.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume. [-]
    stabiliser : str
        "cement" or "lime", whose window is the first answer; the project's usual one where left out.
    scarce : str, optional
        The source to spare.

    Raises
    ------
    InputError
        "no_parts", "not_positive", "no_belief", "not_found", "unknown_stabiliser".
    """
    window = windowing.stabiliser_window(stabiliser or usual_stabiliser(state))
    found = ground(state, tuple(parts))
    named = {state.versions.entity(source): count for source, count in parts.items()}
    entries = tuple(sorted({each for source in named for each in found.entries[source]}))
    draws = {name: _draws(named, found, name) for name in HELD}
    held = {name: quantiles.middle_of(values, name=name, entries=entries) for name, values in draws.items()}
    return BlendView(
        parts=named,
        window=_window_view(draws["clay"], window, entries),
        change=_change(named, found, window),
        held=held,
        published=tuple(
            _window_view(draws[each.property_name], each, entries)
            for each in windowing.published_windows()
            if each.property_name in draws
        ),
        shares=_shares(named, found),
        scarce=scarce if scarce in named else None,
        layers=shake.edges(draws["sand"], draws["clay"]),
        notes=found.notes,
    )


def _draws(parts: Mapping[str, int], found: Ground, name: str) -> quantiles.Array:
    value = blend_property(parts, pail_dry_mass=found.masses, source_property=found.held[name])
    return np.atleast_1d(np.asarray(value, dtype=np.float64))


def _change(parts: Mapping[str, int], found: Ground, window: Window) -> PailChange | None:
    if len(parts) < 2:
        return None
    return offering.pail_change(parts, pail_dry_mass=found.masses, clay=found.held["clay"], window=window)


def _window_view(draws: quantiles.Array, window: Window, entries: tuple[str, ...]) -> WindowView:
    """The chance as a count of draws, so that its working can be checked."""
    chances = windowing.window_chances(draws, window=window)
    counted: dict[str, Given | Finding] = {
        "inside": Given(float(round(chances.inside * len(draws))), entries),
        "draws": Given(float(len(draws))),
    }
    return WindowView(window, Finding(windowing.CHANCE, chances.inside, counted), chances)


def _shares(parts: Mapping[str, int], found: Ground) -> dict[str, Finding]:
    """Mass share of each source, worked with the middle of each part's mass; the band comes from the draws."""
    by_draw = mass_shares(parts, pail_dry_mass=found.masses)
    return {source: _share(source, parts, found, by_draw[source]) for source in parts}


def _share(source: str, parts: Mapping[str, int], found: Ground, draws: Numbers) -> Finding:
    ordered = [source, *sorted(set(parts) - {source})]
    inputs: dict[str, Given | Finding] = {}
    middles: dict[str, float] = {}
    for place, each in enumerate(ordered, 1):
        inputs[f"v_{place}"] = Given(float(parts[each]))
        mass = inputs[f"m_{place}"] = _middle_mass(each, found)
        middles[each] = float(np.asarray(mass.value))
    value = float(np.asarray(mass_shares(parts, pail_dry_mass=middles)[source]))
    low, high = (float(each) for each in np.quantile(draws, (quantiles.LOW, quantiles.HIGH)))
    band = Band(low, high) if np.size(draws) > 1 else None
    return Finding(mass_share_formula(len(ordered)), value, inputs, (), band)


def _middle_mass(source: str, found: Ground) -> Given | Finding:
    mass = found.masses[source]
    if np.size(mass) == 1:
        return Given(float(np.asarray(mass)))
    name = "pail_dry_mass" if found.mass_unit == "kg" else "loose_dry_density"
    return quantiles.middle_of(np.asarray(mass), name=name, unit=found.mass_unit, entries=found.entries[source])


def kept_view(state: State, blend: Fact, *, stabiliser: str = "") -> BlendView:
    """The view of a kept blend; `InputError` where it cannot be computed with."""
    parts = {state.versions.entity(source): count for source, count in blends.parts_of(blend).items()}
    chosen = stabiliser or usual_stabiliser(state)
    return state.memo(
        ("blend_view", blend.id, chosen),
        lambda: blend_view(state, parts, stabiliser=chosen, scarce=scarce_of(state, tuple(parts))),
    )


def same_blend(state: State, parts: Mapping[str, int]) -> Fact | None:
    """A kept blend of the same ratio, or None."""
    wanted = reduced_parts(parts)
    for fact in state.all("blend"):
        try:
            kept = reduced_parts({state.versions.entity(source): count for source, count in blends.parts_of(fact).items()})
        except InputError:
            continue
        if kept == wanted:
            return fact
    return None


# --- three to try ---


def offers(state: State, sources: Sequence[str], *, stabiliser: str = "", scarce: str | None = None) -> OffersView:
    """Three blends to try of all whole ratios to 8 parts of the named sources.

    Parameters
    ----------
    sources : sequence of str
        Two to four sources; each is in every blend.
    stabiliser : str
        "cement" or "lime"; the project's usual one where left out.
    scarce : str, optional
        The source to spare between blends that are equal otherwise.

    Raises
    ------
    InputError
        "two_buckets", "too_many_sources", "no_belief", "not_found", "unknown_stabiliser".
    """
    roots = tuple(dict.fromkeys(state.versions.entity(source) for source in sources))
    chosen = stabiliser or usual_stabiliser(state)
    return state.memo(("offers", roots, chosen, scarce), lambda: _offers(state, roots, chosen, scarce))


def _offers(state: State, sources: tuple[str, ...], stabiliser: str, scarce: str | None) -> OffersView:
    if len(sources) < 2:
        raise InputError("two_buckets", n=len(sources))
    if len(sources) > offering.MOST_SOURCES:
        raise InputError("too_many_sources", count=len(sources), most=offering.MOST_SOURCES)
    found = ground(state, sources)
    three = offering.blend_offers(
        {source: found.masses[source] for source in sources},
        clay=found.held["clay"],
        window=windowing.stabiliser_window(stabiliser),
        fines=found.held["fines"],
        scarce_source=scarce if scarce in sources else None,
    )

    def view(offer: BlendOffer | None) -> BlendView | None:
        return None if offer is None else blend_view(state, offer.parts, stabiliser=stabiliser, scarce=scarce)

    best = view(three.best)
    assert best is not None
    return OffersView(best, view(three.leaner), view(three.fatter), three.notes)


# --- what does not fit, what it waits for ---


def questions(state: State) -> tuple[Question, ...]:
    """Blends and doses that cannot be computed with, or look like a slip."""
    found: list[Question] = [question for mix in state.all("mix") for question in _dose_questions(mix)]
    for fact in state.all("blend"):
        try:
            for source in blends.parts_of(fact):
                state.fact(source, "source")
            found.extend(_source_twice(state, fact))
            largest = max(row["parts"] for row in fact["parts"])
            if largest > judged("parts-usual-most"):
                values = {"parts": largest, "most": judged("parts-usual-most")}
                found.append(Question("parts_many", "blend", (fact.id,), "unlikely", values))
        except InputError as fault:
            found.append(Question(fault.code, "blend", (fact.id,), "impossible", dict(fault.values)))
    return tuple(found)


def _source_twice(state: State, blend: Fact) -> Iterable[Question]:
    """A soil that is named in more than one row of a blend: another one was meant, or its parts are to be added."""
    named = Counter(state.versions.entity(row["source"]) for row in blend["parts"])
    for source, n in named.items():
        if n > 1:
            values = {"source": state.fact(source, "source")["name"], "n": n}
            yield Question("source_twice", "blend", (blend.id,), "unlikely", values)
            return


def _dose_questions(mix: Fact) -> tuple[Question, ...]:
    """A dose no mix has, or one that looks like per cent typed as a fraction or the other way round."""
    try:
        dose = blends.wanted_dose(mix).value
    except InputError as fault:
        return (Question(fault.code, "blend", (mix.id,), "impossible", dict(fault.values)),)
    least, most = judged("dose-usual-least"), judged("dose-usual-most")
    if dose == 0 or least <= dose <= most:
        return ()
    return (Question("dose_strange", "blend", (mix.id,), "unlikely", {"dose": dose, "least": least, "most": most}),)


def due(state: State, today: date) -> tuple[Due, ...]:
    """Blends to choose, once two sources are known and none was kept."""
    if len(ready(state)) >= 2 and not state.all("blend"):
        return (Due("choose_blends", "blend"),)
    return ()
