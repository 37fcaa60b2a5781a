"""Blend: three ratios to try, one's own ratio, kept blends with their figures, and mixes."""

from collections.abc import Mapping
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import first_text, parse
from loamwright.project import blending, blends, today
from loamwright.project.blending import BlendView, WindowView
from loamwright.project.state import Fact
from loamwright.web.charts import chart_pieces
from loamwright.web.forms import form_fields
from loamwright.web.keeping import Here, Raw, keep_one, with_kept
from loamwright.web.pages.shake_pages import share_figure
from loamwright.web.pages.shared import figure_piece, project_router, question_pieces, result_piece
from loamwright.web.render import At, page, raw_form
from loamwright.words import jars, ratios
from loamwright.words.asked_for import kind_said
from loamwright.words.language import later, tr
from loamwright.words.sentences import of_fault, of_note, of_notes, sentence
from loamwright.words.showing import name_of

router = project_router()
HELD = {"clay": later("Clay"), "fines": later("Silt and clay")}
NAMES = (("best", later("Best chance")), ("leaner", later("One leaner")), ("fatter", later("One fatter")))


def stabilisers() -> list[tuple[str, str]]:
    """Types of stabiliser as taps."""
    return list(next(field for field in kind_said("stabiliser").fields if field.name == "type").options.items())


def _stabiliser(at: At, raw: Raw) -> str:
    wanted = first_text(raw, "for")
    return wanted if wanted in dict(stabilisers()) else blending.usual_stabiliser(at.state)


@router.get("/blend")
def show(at: Here) -> Response:
    """Three blends to try, kept blends and mixes."""
    raw = raw_form(at.request.query_params.multi_items())
    chosen = _stabiliser(at, raw)
    ready = blending.ready(at.state)
    here = {fact.id for fact in at.state.all("source")}
    wanted = [source for source in raw.get("source", ()) if source in here] or list(ready[:4])
    scarce = first_text(raw, "scarce") or blending.scarce_of(at.state, wanted)
    every = [fact.id for fact in at.state.all("source")]
    return page(
        at,
        "blend/all.html",
        verb="blend",
        **_three(at, wanted, chosen, scarce),
        stabilisers=stabilisers(),
        chosen=chosen,
        choices=[(source, name_of(at.state, source)) for source in ready],
        wanted=wanted,
        scarce=scarce or "",
        charts=chart_pieces(at, "texture"),
        missing=[_missing(at, each) for each in blending.unknown(at.state, every)],
        kept=[_line(at, fact, chosen) for fact in reversed(at.state.all("blend"))],
        mixes=[
            {"what": name_of(at.state, fact.id), "when": "", "href": at.href("entry", fact.id)}
            for fact in reversed(at.state.all("mix"))
        ],
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "blend"]),
    )


def _missing(at: At, source: str) -> dict[str, str]:
    words = sentence("no_belief", {"source": name_of(at.state, source)})
    short = sentence("due_shake_jar", {"source": name_of(at.state, source)})
    return {"what": words, "short": short, "when": "", "href": at.href("shake", "source", source)}


def _three(at: At, sources: list[str], stabiliser: str, scarce: str | None) -> dict[str, Any]:
    """The offers as pieces, or the sentence that says why there are none."""
    try:
        found = blending.offers(at.state, sources, stabiliser=stabiliser, scarce=scarce)
    except InputError as fault:
        enough = len(at.state.all("source")) >= 2
        none = sentence("two_known", {}) if fault.code == "two_buckets" and enough else of_fault(fault)
        return {"offers": [], "why_none": none, "offer_notes": [], "blend_notes": []}
    views = [(tr(label), view) for key, label in NAMES if (view := getattr(found, key)) is not None]
    return {
        "offers": [_offer(at, label, view, stabiliser) for label, view in views],
        "why_none": "",
        "offer_notes": [of_note(note) for note in found.notes],
        "blend_notes": of_notes(found.best.notes),
    }


def _offer(at: At, label: str, view: BlendView, stabiliser: str) -> dict[str, Any]:
    kept = blending.same_blend(at.state, view.parts)
    return {
        "label": label,
        "kept": "" if kept is None else at.href("blend", "kept", kept.id) + f"?for={stabiliser}",
        "body": {
            f"parts-{place}-{name}": value
            for place, (source, count) in enumerate(view.parts.items())
            for name, value in (("source", source), ("parts", count))
        },
        "table": [ratios.window_row(each) for each in view.published],
        **_pieces(at, view),
    }


def _pieces(at: At, view: BlendView) -> dict[str, Any]:
    """What an offer and a kept blend both show."""
    words, kind = ratios.answer(view)
    figures = [share_figure(at, view.held[name], tr(label)) for name, label in HELD.items()]
    figures.append(_chance(at, view.window, tr("Chance inside")))
    scarce = view.shares.get(view.scarce or "")
    if scarce is not None and len(view.parts) > 1:
        figures.append(share_figure(at, scarce, tr("{source} (scarce) by dry mass", source=name_of(at.state, view.scarce or ""))))
    return {
        "name": ratios.ratio(at.state, view.parts),
        "answer": words,
        "answer_kind": kind,
        "change": ratios.change(at.state, view),
        "figures": figures,
    }


def _chance(at: At, view: WindowView, label: str) -> dict[str, Any]:
    """A chance as a figure: counted draws, and how the window is known."""
    piece = figure_piece(at, view.chance, "share", label, digits=0)
    text = ratios.chance(view.chances.inside)
    piece["value_text"] = text.removesuffix(str(piece["unit"])).rstrip()
    piece["spread_text"] = f"{ratios.window_name(view.window)}, {ratios.standing(view.window)}"
    return piece


def _line(at: At, fact: Fact, stabiliser: str) -> dict[str, str]:
    try:
        said = ratios.answer(blending.kept_view(at.state, fact, stabiliser=stabiliser))[0]
    except InputError as fault:
        said = of_fault(fault)
    return {"what": name_of(at.state, fact.id), "when": said, "href": at.href("blend", "kept", fact.id)}


# --- keeping ---


@router.get("/blend/own")
def ask_own(at: Here) -> Response:
    """One's own ratio in whole parts."""
    return _own_form(at, raw_form(at.request.query_params.multi_items()), {})


def _own_form(at: At, raw: Raw, faults: Mapping[str, InputError]) -> Response:
    return page(
        at,
        "blend/own.html",
        verb="blend",
        in_task=True,
        status=422 if faults else 200,
        fields=form_fields(at.state, kind_said("blend"), at.shown, raw=raw, faults=faults),
        sources=len(at.state.all("source")),
        entry_id=first_text(raw, "entry_id") or new_id(),
        faults=len(faults),
    )


@router.post("/blend/keep")
async def keep(request: Request, at: Here) -> Response:
    """Keep an offer or one's own ratio, and go to its page."""
    raw = raw_form((await request.form()).multi_items())
    parsed = parse(kind_said("blend").fields, raw)
    if parsed.faults:
        return _own_form(at, raw, parsed.faults)
    kept = keep_one(at, "blend", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("blend", "kept", kept.id), kept.id), 303)


# --- one kept blend ---


@router.get("/blend/kept/{blend}")
def blend_page(at: Here, blend: str) -> Response:
    """One blend: its answer, its figures, what to do with it."""
    fact = at.state.fact(blend, "blend")
    chosen = _stabiliser(at, raw_form(at.request.query_params.multi_items()))
    return page(
        at,
        "blend/blend.html",
        verb="blend",
        in_task=True,
        fact=fact,
        title=name_of(at.state, fact.id),
        stabilisers=stabilisers(),
        chosen=chosen,
        basis=_basis(at),
        moisture=_moisture(at, fact),
        mixes=[
            {"what": name_of(at.state, mix.id), "when": "", "href": at.href("entry", mix.id)}
            for mix in at.state.where("mix", "blend", fact.id)
        ],
        **_kept(at, fact, chosen),
    )


def _kept(at: At, fact: Fact, stabiliser: str) -> dict[str, Any]:
    try:
        view = blending.kept_view(at.state, fact, stabiliser=stabiliser)
    except InputError as fault:
        return {"fault": of_fault(fault), "layers": []}
    shares = [
        share_figure(at, share, tr("{source} by dry mass", source=name_of(at.state, source)))
        for source, share in view.shares.items()
    ]
    return {
        "fault": "",
        "layers": jars.layers(view.layers, dict(view.held), at.shown),
        "shares": shares if len(view.parts) > 1 else [],
        "windows": [_chance(at, each, each.window.document) for each in view.published],
        "notes": of_notes(view.notes),
        "upsets": ratios.upsets(at.state, fact, stabiliser),
        **_pieces(at, view),
    }


def _moisture(at: At, fact: Fact) -> dict[str, Any] | None:
    try:
        return result_piece(at, blends.soil_moisture(at.state, fact), "share", tr("Water on dry soil"))
    except InputError:
        return None


def _basis(at: At) -> str:
    """The basis of a dose, asked once in the project, as a preset of the mix form."""
    basis = at.state.fact(at.project, "project").get("dose_basis")
    return f"&preset_basis={basis}" if basis else ""
