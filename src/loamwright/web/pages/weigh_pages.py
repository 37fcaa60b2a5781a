"""Weigh: batches, each a page of three big numbers; every weighing an entry as it is made."""

from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import first_text, parse
from loamwright.project import ladder, today, weigh
from loamwright.project.judged import judged
from loamwright.project.state import Fact
from loamwright.web.forms import form_fields
from loamwright.web.keeping import Here, keep_one, keep_told, show_form, with_kept, with_presets
from loamwright.web.pages.shared import figure_piece, project_router, question_pieces
from loamwright.web.render import At, page, raw_form
from loamwright.words import batches
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.sentences import of_fault, of_notes
from loamwright.words.showing import name_of

router = project_router()


@router.get("/weigh")
def show(at: Here) -> Response:
    """All batches, the newest first, and what can be opened."""
    return page(
        at,
        "weigh/all.html",
        verb="weigh",
        batches=[_line(at, fact) for fact in reversed(at.state.all("batch"))],
        mixes=[{"what": name_of(at.state, fact.id), "href": _open_href(at, fact.id)} for fact in at.state.all("mix")],
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "weigh"]),
        has_scale=bool(at.state.all("scale")),
    )


def _open_href(at: At, mix: str) -> str:
    return at.href("weigh", "open") + f"?preset_mix={mix}"


def _line(at: At, fact: Fact) -> dict[str, str]:
    waits = weigh.next_weighing(at.state, fact)
    return {
        "what": name_of(at.state, fact.id),
        "when": tr("{what} next", what=tr(waits)) if waits else tr("weighed"),
        "href": at.href("weigh", "batch", fact.id),
    }


@router.get("/weigh/open")
def ask_batch(at: Here) -> Response:
    """Open a batch of a mix."""
    raw = raw_form(at.request.query_params.multi_items())
    return _batch_form(at, raw, {})


def _batch_form(at: At, raw: dict[str, list[str]], faults: dict[str, InputError]) -> Response:
    kind = kind_said("batch")
    preset = {name: raw[f"preset_{name}"][0] for name in ("mix", "plan", "plan_row") if f"preset_{name}" in raw}
    scales = at.state.all("scale")
    raw = {**_water(at, preset.get("mix", "")), **({"scale": [scales[-1].id]} if scales else {}), **raw}
    return page(
        at,
        "weigh/open.html",
        verb="weigh",
        in_task=True,
        status=422 if faults else 200,
        fields=form_fields(at.state, kind, at.shown, raw=raw, faults=faults, preset=preset),
        preset=preset,
        mix=name_of(at.state, preset["mix"]) if "mix" in preset else "",
        entry_id=first_text(raw, "entry_id") or new_id(),
        cautions=cautions_for("batch"),
    )


def _water(at: At, mix: str) -> dict[str, list[str]]:
    """Moisture to begin with: from the water ladder of the mix's blend, else 10 %."""
    fact = at.state.find(mix, "mix") if mix else None
    try:
        target = ladder.target_water(at.state, fact["blend"]) if fact is not None and fact.fault is None else None
    except InputError:  # a mix of no blend: asked about on its own page, and no reason to lose this one
        target = None
    wanted = judged("water-to-start") if target is None else target.value
    return {"water_wanted": [f"{100 * wanted:.3g}"], "water_wanted_unit": ["pct"]}


@router.post("/weigh/open")
async def open_batch(request: Request, at: Here) -> Response:
    """Open the batch and tell its targets; both stand in one entry."""
    raw = raw_form((await request.form()).multi_items())
    raw = with_presets(raw)
    parsed = parse(kind_said("batch").fields, raw)
    if parsed.faults:
        return _batch_form(at, raw, parsed.faults)
    entry_id = keep_told(at, "batch", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("weigh", "batch", entry_id), entry_id), 303)


@router.get("/weigh/batch/{batch}")
def batch_page(at: Here, batch: str) -> Response:
    """One batch: the next thing to weigh as the largest thing on the page."""
    fact = at.state.fact(batch, "batch")
    try:
        view = weigh.batch_view(at.state, batch)
    except InputError as fault:
        return page(
            at, "weigh/stuck.html", verb="weigh", in_task=True, fact=fact, name=name_of(at.state, fact.id), words=of_fault(fault)
        )
    waits = weigh.next_weighing(at.state, fact)
    return page(
        at,
        "weigh/batch.html",
        verb="weigh",
        in_task=True,
        fact=fact,
        name=name_of(at.state, fact.id),
        waits=waits,
        orders=batches.orders(view, at.shown),
        order=_order(at, view, waits),
        notes=of_notes(view.notes),
        weighing=_weighing_fields(at, waits),
        figures=_figures(at, view),
        hold=batches.hold(weigh.hold_now(at.state, view, at.hand.moment)),
        weighings=[
            {"what": batches.weighing_line(each, at.shown), "href": at.href("entry", each.id)}
            for what in (view.soil, view.stabiliser, view.water)
            for each in what.facts
        ],
        remedy=batches.remedy(view, at.shown),
        stabiliser_in=view.stabiliser_in,
        has_stabiliser=bool(view.mix.get("stabiliser")),
        told=fact.get("targets"),
        cautions=cautions_for("weighing", "stabiliser_in"),
    )


def _order(at: At, view: weigh.BatchView, waits: str) -> batches.Order | None:
    """The order to follow now; soil also by what each pile gives."""
    order = batches.next_order(view, waits, at.shown)
    if order is None or waits != "soil":
        return order
    blend = at.state.fact(view.mix["blend"], "blend")
    wanted = view.fact.needed("soil_wanted")
    return {**order, "then": batches.from_piles(at.state, blend, wanted, view.scale_step, at.shown)}


def _weighing_fields(at: At, waits: str) -> list[dict[str, Any]]:
    if not waits:
        return []
    return form_fields(at.state, kind_said("weighing"), at.shown, only=("mass", "tare"))


def _figures(at: At, view: weigh.BatchView) -> list[dict[str, Any]]:
    found = [figure_piece(at, view.dry_soil, "mass", tr("Dry soil in it"), digits=3)]
    found.append(figure_piece(at, view.stabiliser_wanted, "mass", tr("Stabiliser wanted"), digits=3))
    if view.achieved is not None:
        piece = figure_piece(at, view.achieved, "share", tr("Dose reached, of the total dry mix"), digits=2)
        piece["spread_text"] = batches.conventions(view)
        piece["standing"], piece["standing_kind"] = batches.miss(view)
        found.append(piece)
    found.append(figure_piece(at, view.water_wanted, "mass", tr("Water wanted"), digits=3))
    if view.mix_water is not None:
        found.append(figure_piece(at, view.mix_water, "share", tr("Moisture reached, of the dry mix")))
    said_above = set(of_notes(view.notes))
    for piece in found:
        if set(piece["working"]["notes"]) <= said_above and piece["spread_text"] == " ".join(piece["working"]["notes"]):
            piece["spread_text"] = ""
    return found


@router.post("/weigh/batch/{batch}/weighing")
async def keep_weighing(request: Request, at: Here, batch: str) -> Response:
    """One weighing, kept as it is made."""
    fact = at.state.fact(batch, "batch")
    raw = raw_form((await request.form()).multi_items())
    raw = {**raw, "batch": [fact.id]}
    kind = kind_said("weighing")
    parsed = parse(kind.fields, raw)
    if parsed.faults:
        again = {
            **raw,
            "preset_batch": [fact.id],
            "preset_what": raw.get("what", [""]),
            "back": [at.href("weigh", "batch", fact.id)],
        }
        return show_form(at, kind, raw=again, faults=parsed.faults)
    entry = keep_one(at, "weighing", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("weigh", "batch", fact.id), entry.id), 303)


@router.post("/weigh/batch/{batch}/stabiliser-in")
async def tap_stabiliser_in(request: Request, at: Here, batch: str) -> Response:
    """The tap that starts the hold clock."""
    fact = at.state.fact(batch, "batch")
    raw = raw_form((await request.form()).multi_items())
    entry = keep_one(at, "stabiliser_in", {"batch": fact.id}, raw)
    return RedirectResponse(with_kept(at.href("weigh", "batch", fact.id), entry.id), 303)
