"""Weigh, the trial plan: three sizes side by side, then the batches of the one that was kept."""

from typing import Any
from urllib.parse import urlencode

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import first_text, parse
from loamwright.project import plan_offers, planning
from loamwright.project.finding import Result
from loamwright.project.plan_offers import Offer
from loamwright.project.planning import RowView
from loamwright.project.state import Fact
from loamwright.web.keeping import Here, keep_told, with_kept
from loamwright.web.pages.shared import figure_piece, project_router, result_piece
from loamwright.web.render import At, page, raw_form
from loamwright.words import plans as words
from loamwright.words.asked_for import kind_said
from loamwright.words.language import tr
from loamwright.words.sentences import of_fault, of_notes
from loamwright.words.showing import name_of

router = project_router()
MIXES_TO_BEGIN = 3


@router.get("/weigh/plan")
def show(at: Here) -> Response:
    """Choose mixes, press and seed; see the three plans; keep one."""
    return _plans(at, raw_form(at.request.query_params.multi_items()))


def _plans(at: At, raw: dict[str, list[str]], fault: str = "", status: int = 200) -> Response:
    mixes, presses = at.state.all("mix"), at.state.all("press")
    chosen = raw.get("mixes") or ([] if "seed" in raw else [mix.id for mix in mixes[-MIXES_TO_BEGIN:]])
    press = first_text(raw, "press") or (presses[-1].id if presses else "")
    seed = first_text(raw, "seed") or at.hand.moment.date().isoformat()
    found: tuple[Offer, ...] = ()
    rig: dict[str, Any] = {}
    if presses and mixes:
        try:
            named = at.state.fact(press, "press")
            rig = _rig(at, named)
            found = plan_offers.offers(at.state, [at.state.fact(each, "mix") for each in chosen], press=named, seed=seed)
        except InputError as trouble:
            fault = fault or of_fault(trouble)
    columns, rows = words.offer_table(at.state, found, at.shown) if found else ([], [])
    return page(
        at,
        "plan/all.html",
        verb="weigh",
        in_task=True,
        status=status,
        fields=_fields(at, mixes, presses, chosen, press, seed),
        has_mixes=bool(mixes),
        has_press=bool(presses),
        has_brief=at.state.latest("brief") is not None,
        fault=fault,
        columns=columns,
        rows=rows,
        offers=[_offer(at, each) for each in found],
        rig=rig,
        send={"press": press, "seed": seed},
        chosen=chosen,
        entry_id=new_id(),
        plans=[
            {"what": name_of(at.state, plan.id), "when": plan["seed"], "href": at.href("weigh", "plan", plan.id)}
            for plan in reversed(at.state.all("plan"))
        ],
    )


def _fields(at: At, mixes: list[Fact], presses: list[Fact], chosen: list[str], press: str, seed: str) -> list[dict[str, Any]]:
    hint = tr("any word or date: the same one gives the same order again")
    return [
        {
            "name": "mixes",
            "label": tr("Mixes to try"),
            "kind": "several",
            "options": [(mix.id, name_of(at.state, mix.id)) for mix in mixes],
            "value": chosen,
        },
        {
            "name": "press",
            "label": tr("Press"),
            "kind": "choice",
            "options": [(each.id, name_of(at.state, each.id)) for each in presses],
            "value": press,
        },
        {"name": "seed", "label": tr("Pressing order drawn from"), "kind": "text", "value": seed, "hint": hint},
    ]


def _offer(at: At, each: Offer) -> dict[str, Any]:
    figures: list[tuple[Result, str, str, int | None]] = [
        *((found, "mass", tr("{source}, damp", source=name_of(at.state, source)), 1) for source, found in each.soil.items()),
        *((found, "mass", name_of(at.state, stabiliser), 2) for stabiliser, found in each.stabiliser.items()),
        (each.water, "mass", tr("Water to add"), 2),
        (each.minutes, "duration", tr("Time at the press"), 0),
        (each.difference, "share", tr("Difference it shows"), 0),
    ]
    return {
        "size": each.size,
        "name": words.SIZE_NAMES[each.size],
        "notes": of_notes(each.notes),
        "figures": [result_piece(at, found, quantity, label, digits=digits) for found, quantity, label, digits in figures],
    }


def _rig(at: At, press: Fact) -> dict[str, Any]:
    verdict = plan_offers.rig_verdict(at.state, press)
    needed = verdict.load_needed
    return {
        "name": "" if verdict.rig is None else name_of(at.state, verdict.rig.id),
        "enough": verdict.enough,
        "notes": of_notes(verdict.notes),
        "figure": None if needed is None else figure_piece(at, needed, "force", tr("Load the rig should reach")),
    }


@router.post("/weigh/plan")
async def keep(request: Request, at: Here) -> Response:
    """Keep the plan of one size, with the batches and needs as shown."""
    raw = raw_form((await request.form()).multi_items())
    parsed = parse(kind_said("plan").fields, raw)
    if parsed.faults or not parsed.body.get("mixes"):
        faults = list(parsed.faults.values()) or [InputError("no_mix_chosen")]
        return _plans(at, raw, of_fault(faults[0]), 422)
    entry_id = keep_told(at, "plan", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("weigh", "plan", entry_id), entry_id), 303)


@router.get("/weigh/plan/{plan}")
def plan_page(at: Here, plan: str) -> Response:
    """A kept plan: the batch to open next, and all of them in order."""
    view = planning.plan_view(at.state, plan)
    following = view.next
    return page(
        at,
        "plan/plan.html",
        verb="weigh",
        in_task=True,
        name=name_of(at.state, view.fact.id),
        fact=view.fact,
        next=None if following is None else _row(at, view.fact, following),
        rows=[_row(at, view.fact, row) for row in view.rows],
    )


def _row(at: At, plan: Fact, row: RowView) -> dict[str, Any]:
    return {
        "row": row.row,
        "day": row.day,
        "name": words.row_name(at.state, row),
        "state": words.row_state(row),
        "fates": words.fates_words(row),
        "marks": ", ".join(row.marks),
        "blocks": words.block_words(row),
        "href": "" if row.batch is None else at.href("weigh", "batch", row.batch.id),
        "open": [] if row.batch is not None else [_open(at, plan, row, mix) for mix in row.mixes],
    }


def _open(at: At, plan: Fact, row: RowView, mix: str) -> dict[str, str]:
    asked = {"preset_mix": mix, "preset_plan": plan.id, "preset_plan_row": str(row.row)}
    soil = planning.soil_for_row(at.state, plan, row, mix)
    if soil is not None:
        unit = at.shown.unit("mass")
        asked |= {"soil_wanted": f"{unit.from_engine(soil):.1f}", "soil_wanted_unit": unit.key}
    label = tr("Open this batch") if len(row.mixes) == 1 else name_of(at.state, mix)
    return {"label": label, "href": f"{at.href('weigh', 'open')}?{urlencode(asked)}"}
