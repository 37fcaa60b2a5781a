"""Shake: jars with the times to read them, guesses, and what is believed of each source."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import first_text, parse
from loamwright.project import shake, soil_classes, today
from loamwright.project.finding import Finding
from loamwright.project.jars import JarTime, JarView, jar_times, jar_view, next_time
from loamwright.project.soil_tests import SOIL_TESTS, salts
from loamwright.project.state import Fact
from loamwright.web.charts import chart_pieces
from loamwright.web.forms import first_and_more, form_fields
from loamwright.web.keeping import Here, Raw, keep_one, show_form, with_kept
from loamwright.web.pages.shared import figure_piece, made_lines, project_router, question_pieces
from loamwright.web.photos import photos_of
from loamwright.web.render import At, page, raw_form
from loamwright.words import jars, tests_made
from loamwright.words.asked_for import kind_said
from loamwright.words.language import later, tr, trn
from loamwright.words.sentences import of_fault, of_note
from loamwright.words.showing import entry_line, entry_words, name_of

router = project_router()
SHARES = {"sand": later("Sand"), "silt": later("Silt"), "clay": later("Clay")}


@router.get("/shake")
def show(at: Here) -> Response:
    """All sources with what is known of their clay, and all jars with what to read next."""
    return page(
        at,
        "shake/all.html",
        verb="shake",
        sources=[_source_line(at, fact) for fact in at.state.all("source")],
        jars=[_jar_line(at, fact) for fact in reversed(at.state.all("jar"))],
        charts=chart_pieces(at, "texture", "grading", "plasticity", "compaction"),
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "shake"]),
    )


def _source_line(at: At, fact: Fact) -> dict[str, str]:
    return {
        "what": name_of(at.state, fact.id),
        "when": jars.share_line(at.state, fact.id, at.shown),
        "more": jars.stands_on(at.state, fact.id),
        "href": at.href("shake", "source", fact.id),
    }


def _jar_line(at: At, fact: Fact) -> dict[str, str]:
    view = jar_view(at.state, fact.id)
    wanted = next_time(_times(at, view), _elapsed(view, at.hand.moment))
    when = tr("read to the end") if wanted is None else jars.when_to_read(wanted, at.hand.moment)
    return {"what": name_of(at.state, fact.id), "when": when, "href": at.href("shake", "jar", fact.id)}


def _times(at: At, view: JarView) -> tuple[JarTime, ...]:
    try:
        return jar_times(at.state, view)
    except InputError:
        return ()


def _elapsed(view: JarView, now: datetime) -> float:
    return (now - view.set_down).total_seconds() / 60.0


# --- one source ---


@router.get("/shake/source/{source}")
def source_page(at: Here, source: str) -> Response:
    """What is known of one source, how well, and what it stands on."""
    fact = at.state.fact(source, "source")
    shares = {name: found for name in SHARES if (found := shake.share(at.state, fact.id, name)) is not None}
    return page(
        at,
        "shake/source.html",
        verb="shake",
        in_task=True,
        fact=fact,
        name=name_of(at.state, fact.id),
        **soil_pieces(at, fact.id, shares),
        stands_on=jars.stands_on(at.state, fact.id),
        observations=_observations(at, fact.id),
        tests=made_lines(at, SOIL_TESTS, fact.id),
        known=jars.properties(at.state, fact.id, at.shown),
        contradicting=jars.contradicting(at.state, fact.id),
        next_tests=jars.next_tests(at.state, fact.id),
        forbids=[of_note(note) for note in salts.forbids(at.state, fact.id)],
        classes=tests_made.class_rows(soil_classes.classes(at.state, fact.id)),
        unusable=[
            {"what": f"{name_of(at.state, each.id)}: {of_fault(fault)}", "when": "", "href": at.href("entry", each.id)}
            for each, fault in shake.observed(at.state, fact.id).unusable
        ],
    )


def soil_pieces(at: At, source: str, shares: Mapping[str, Finding]) -> dict[str, Any]:
    """Column, figures and notes of a source's shares; empty where nothing is known."""
    held = shake.graded(at.state, source)
    if held is None or not shares:
        return {"layers": [], "figures": [], "notes": [], "is_not": []}
    edges = shake.edges(held["sand"].values, held["clay"].values)
    return {
        "layers": jars.layers(edges, dict(shares), at.shown),
        "figures": [share_figure(at, shares[name], tr(label)) for name, label in SHARES.items()],
        "notes": jars.notes_of(*shares.values()),
        "is_not": jars.what_it_is_not(at.state, source),
    }


def share_figure(at: At, finding: Finding, label: str) -> dict[str, Any]:
    """A share as the figure piece takes it: whole per cent and its range; its notes stand once on the page."""
    piece = figure_piece(at, finding, "share", label, digits=0)
    band = finding.band
    piece["spread_text"] = "" if band is None else tr("likely {band}", band=at.shown.band(band.low, band.high, "share", digits=0))
    return piece


def _observations(at: At, source: str) -> list[dict[str, str]]:
    found = [
        {"what": name_of(at.state, fact.id), "when": _readings(at, fact), "href": at.href("shake", "jar", fact.id)}
        for fact in at.state.where("jar", "source", source)
    ]
    for kind in ("guess", "pail_weighing"):
        found += [_entry(at, fact) for fact in at.state.where(kind, "source", source)]
    return found + [_entry(at, fact) for fact in at.state.where("pan_test", "about", source)]


def _entry(at: At, fact: Fact) -> dict[str, str]:
    return {"what": entry_line(at.state, fact.head, at.shown), "when": "", "href": at.href("entry", fact.id)}


def _readings(at: At, jar: Fact) -> str:
    how_many = len(jar_view(at.state, jar.id).heights)
    return trn("{n} reading", "{n} readings", how_many)


# --- setting up a jar ---


@router.get("/shake/new-jar")
def ask_jar(at: Here) -> Response:
    """Write down a jar as it is filled."""
    return _jar_form(at, raw_form(at.request.query_params.multi_items()), {})


def _jar_form(at: At, raw: Raw, faults: dict[str, InputError]) -> Response:
    preset = {"source": raw["preset_source"][0]} if raw.get("preset_source") else {}
    if preset:
        at.state.fact(preset["source"], "source")
    first, more = first_and_more(
        kind_said("jar"), form_fields(at.state, kind_said("jar"), at.shown, raw=raw, faults=faults, preset=preset)
    )
    return page(
        at,
        "shake/new_jar.html",
        verb="shake",
        in_task=True,
        status=422 if faults else 200,
        fields=first,
        more=more,
        preset=preset,
        name=name_of(at.state, preset["source"]) if preset else "",
        entry_id=first_text(raw, "entry_id") or new_id(),
        faults=len(faults),
    )


@router.post("/shake/new-jar")
async def keep_jar(request: Request, at: Here) -> Response:
    """Keep the jar and go to its page, where the clock is started."""
    raw = raw_form((await request.form()).multi_items())
    raw = {**raw, **({"source": raw["preset_source"]} if raw.get("preset_source") else {})}
    parsed = parse(kind_said("jar").fields, raw)
    if parsed.faults:
        return _jar_form(at, raw, parsed.faults)
    kept = keep_one(at, "jar", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("shake", "jar", kept.id), kept.id), 303)


# --- one jar ---


@router.get("/shake/jar/{jar}")
def jar_page(at: Here, jar: str) -> Response:
    """One jar: what to read next and when, as the largest thing on the page."""
    fact = at.state.fact(jar, "jar")
    view = jar_view(at.state, fact.id)
    now = at.hand.moment
    times, fault = _times_or_why(at, view)
    wanted = next_time(times, _elapsed(view, now))
    started = view.stands is not None or "set_down" in fact.values or bool(view.heights)
    shares = {name: found for name in SHARES if (found := shake.share(at.state, fact["source"], name)) is not None}
    return page(
        at,
        "shake/jar.html",
        verb="shake",
        in_task=True,
        fact=fact,
        name=name_of(at.state, fact.id),
        source=name_of(at.state, fact["source"]),
        started=started,
        set_down=jars.clock_time(view.set_down, seconds=True),
        order=None if wanted is None else jars.next_order(wanted, now),
        times=[jars.time_line(each, now, started=started) for each in times],
        falls=[_fall_figure(at, each.fall, tr(each.says)) for each in times if each.fall],
        fields=_reading_fields(at, view, wanted, now),
        heights=[{"what": jars.height_line(each), "when": "", "href": at.href("entry", each.fact.id)} for each in view.heights],
        rise=jars.rise_words(view),
        fault="" if fault is None or fault.code == "jar_without_readings" else of_fault(fault),
        assumed=[of_note(note) for note in view.notes],
        words=entry_words(at.state, fact),
        photos=photos_of(at, fact.id),
        questions=question_pieces(at, _questions(at, view)),
        **soil_pieces(at, fact["source"], shares),
    )


def _fall_figure(at: At, fall: Finding, says: str) -> dict[str, Any]:
    piece = figure_piece(at, fall, "duration", says.capitalize(), digits=1)
    return {**piece, "spread_text": ""}  # its notes concern the pail and stand on that page


def _times_or_why(at: At, view: JarView) -> tuple[tuple[JarTime, ...], InputError | None]:
    try:
        return jar_times(at.state, view), view.fault
    except InputError as fault:
        return (), fault


def _questions(at: At, view: JarView) -> list[Any]:
    mine = {view.fact.id, *(each.fact.id for each in view.heights)}
    return [each for each in today.questions(at.state) if each.verb == "shake" and mine & set(each.about)]


def _reading_fields(at: At, view: JarView, wanted: JarTime | None, now: datetime) -> list[dict[str, Any]]:
    """The quick form: the time as planned while it is near, else as the clock says; the layer that comes next."""
    elapsed = _elapsed(view, now)
    raw: dict[str, list[str]] = {"layer": [_next_layer(view, wanted, elapsed)]}
    if wanted is not None and elapsed < 1.3 * wanted.minutes:
        raw |= _typed_span(wanted.minutes)
    elif elapsed > 0:
        raw |= _typed_span(elapsed)
    only = ("after", "layer", "height", "water_above")
    fields = form_fields(at.state, kind_said("jar_reading"), at.shown, raw=raw, only=only)
    for field in fields:
        if field["name"] == "after":
            field |= {"hint": tr("since it was set down; left empty, the moment you keep it counts"), "if_known": True}
        if field["name"] == "height" and view.heights:
            field["last"] = jars.height_line(view.heights[-1])
    return fields


def _typed_span(minutes: float) -> dict[str, list[str]]:
    if minutes < 120:
        return {"after": [f"{minutes:.1f}".removesuffix(".0")], "after_unit": ["min"]}
    return {"after": [f"{minutes / 60:.1f}".removesuffix(".0")], "after_unit": ["h"]}


def _next_layer(view: JarView, wanted: JarTime | None, elapsed: float) -> str:
    """While it settles, the top of all; after a day, once the top is read, the layers by eye from the sand up."""
    day = [each for each in view.usable if each.minutes > 720.0]
    if elapsed < 720.0 or not day:
        return "bed"
    return next((layer for layer in ("sand_top", "silt_top") if layer not in {each.layer for each in day}), "bed")


@router.post("/shake/jar/{jar}/stands")
async def tap_stands(request: Request, at: Here, jar: str) -> Response:
    """The tap that says: it stands now."""
    fact = at.state.fact(jar, "jar")
    raw = raw_form((await request.form()).multi_items())
    kept = keep_one(at, "jar_stands", {"jar": fact.id}, raw)
    return RedirectResponse(with_kept(at.href("shake", "jar", fact.id), kept.id), 303)


@router.post("/shake/jar/{jar}/reading")
async def keep_reading(request: Request, at: Here, jar: str) -> Response:
    """One height, kept as it is read; without a time, the moment it is kept counts."""
    fact = at.state.fact(jar, "jar")
    raw: dict[str, list[str]] = {**raw_form((await request.form()).multi_items()), "jar": [fact.id]}
    if not first_text(raw, "after").strip():
        minutes = _elapsed(jar_view(at.state, fact.id), at.hand.moment)
        raw |= {"after": [f"{minutes:.2f}"], "after_unit": ["min"]}
    kind = kind_said("jar_reading")
    parsed = parse(kind.fields, raw)
    if parsed.faults:
        again = {**raw, "preset_jar": [fact.id], "back": [at.href("shake", "jar", fact.id)]}
        return show_form(at, kind, raw=again, faults=parsed.faults)
    kept = keep_one(at, "jar_reading", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("shake", "jar", fact.id), kept.id), 303)
