"""Break: what goes into water and what is broken when; one block a page: bend it, then crush its halves, or crush it whole."""

from collections.abc import Mapping, Sequence
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.fields import parse
from loamwright.project import blocks, breaking, cure, doubts, today
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.breaking import BlockStrength
from loamwright.project.finding import Withheld
from loamwright.project.state import Fact
from loamwright.web.charts import chart_pieces
from loamwright.web.forms import form_fields
from loamwright.web.keeping import Here, keep_one, tapped, with_kept
from loamwright.web.pages.press_pages import in_order
from loamwright.web.pages.shared import figure_piece, made_lines, project_router, question_pieces, result_piece
from loamwright.web.photos import photos_of
from loamwright.web.render import At, page, raw_form
from loamwright.words import blocks as said
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.language import later, tr
from loamwright.words.numbers import count
from loamwright.words.sentences import sentence
from loamwright.words.showing import entry_line, name_of

router = project_router()
Raw = Mapping[str, list[str]]
CRUSHING, BENDING = later("Crushing strength"), later("Bending strength")
TASKS = ("bend", "half_1", "half_2", "whole")
LABELS = {
    "bend": later("Bend it"),
    "half_1": later("Crush the first half"),
    "half_2": later("Crush the second half"),
    "whole": later("Crush it whole"),
}
READINGS = {"load": ("load",), "jack": ("gauge",), "lever": ("bucket",)}


@router.get("/break")
def show(at: Here) -> Response:
    """What goes into water and what is broken, by day; find a block by its mark; rigs."""
    day = at.hand.moment.date()
    return page(
        at,
        "break/all.html",
        verb="break",
        mark="",
        groups=[_group_line(at, group) for group in cure.to_break(at.state)],
        broken=[_mix_line(at, key) for key in _mixes(at)],
        rigs=at.state.all("rig"),
        charts=chart_pieces(at, "strength", "age"),
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "break"]),
        day=day,
    )


def _group_line(at: At, group: cure.ToBreak) -> dict[str, str]:
    what, when, more = said.group_words(at.state, group, at.hand.moment.date())
    return {"what": what, "when": when, "more": more, "href": at.href("break", "batch", group.batch)}


def _mixes(at: At) -> list[str]:
    return list(dict.fromkeys(each.mix for each in (*breaking.strengths(at.state), *breaking.bendings(at.state))))


def _mix_line(at: At, key: str) -> dict[str, str]:
    crushed, bent = len(breaking.strengths(at.state, mix=key)), len(breaking.bendings(at.state, mix=key))
    blocks_crushed = count(crushed, "block")
    when = tr("{blocks} crushed", blocks=blocks_crushed)
    if bent:
        when = tr("{blocks} crushed, {n} bent", blocks=blocks_crushed, n=bent)
    return {"what": said.mix_key_name(at.state, key), "when": when, "href": at.href("choose")}


@router.get("/break/find")
def find(at: Here) -> Response:
    """The block with the mark read from it; several, or none, are shown as that."""
    mark = at.request.query_params.get("mark", "").strip()
    found = blocks.with_mark(at.state, mark)
    if len(found) == 1:
        return RedirectResponse(at.href("break", "block", found[0].id), 303)
    return page(
        at,
        "break/find.html",
        verb="break",
        in_task=True,
        mark=mark,
        fault=said.mark_fault(mark),
        found=[{"what": _in_batch(at, block), "when": "", "href": at.href("break", "block", block.id)} for block in found],
    )


def _in_batch(at: At, block: Fact) -> str:
    return tr("{block} of {batch}", block=name_of(at.state, block.id), batch=name_of(at.state, block["batch"]))


# --- one batch ---


@router.get("/break/batch/{batch}")
def batch_page(at: Here, batch: str) -> Response:
    """Blocks of one batch: into water, then one by one."""
    fact = at.state.fact(batch, "batch")
    groups = [group for group in cure.to_break(at.state) if group.batch == fact.id]
    wet = [block for group in groups if group.condition == "wet" for block in group.blocks]
    dry = [block for block in wet if block.id not in cure.soaks(at.state)]
    return page(
        at,
        "break/batch.html",
        verb="break",
        in_task=True,
        fact=fact,
        name=name_of(at.state, fact.id),
        groups=[_group_line(at, group) for group in groups],
        to_soak=dry,
        to_break=_to_break(at, groups),
        hours=round(cure.soak_wanted(at.state)),
        blocks=[_block_line(at, block) for block in at.state.where("block", "batch", fact.id)],
        cautions=cautions_for("crush"),
    )


def _to_break(at: At, groups: Sequence[cure.ToBreak]) -> dict[str, str] | None:
    """The first block of a batch that is old enough to be broken today."""
    day = at.hand.moment.date()
    for group in groups:
        for block in group.blocks:
            if group.break_on <= day and (group.condition == "dry" or block.id in cure.soaks(at.state)):
                said_of = said.CONDITIONS.get(cure.condition_wanted(at.state, block), "")
                name = name_of(at.state, block.id).lower()
                label = tr("Break {block}, {how}", block=name, how=said_of) if said_of else tr("Break {block}", block=name)
                return {"label": label, "href": at.href("break", "block", block.id)}
    return None


def _block_line(at: At, block: Fact) -> dict[str, str]:
    crushed, bent = breaking.of_block(at.state, block.id)
    words = []
    if crushed is not None:
        words.append(at.shown.value(crushed.finding.value, "pressure"))
    elif bent is not None:
        words.append("bent")
    elif block.id in cure.soaks(at.state):
        words.append(tr("in water"))
    what = f"{name_of(at.state, block.id)}, {tr(said.CONDITIONS.get(cure.condition_wanted(at.state, block), 'spare'))}"
    return {"what": what, "when": ", ".join(words), "href": at.href("break", "block", block.id)}


@router.post("/break/batch/{batch}/soak")
async def soak(request: Request, at: Here, batch: str) -> Response:
    """One tap: these blocks went into water now."""
    fact = at.state.fact(batch, "batch")
    return _soak(at, raw_form((await request.form()).multi_items()), at.href("break", "batch", fact.id))


@router.post("/break/block/{block}/soak")
async def soak_one(request: Request, at: Here, block: str) -> Response:
    """One tap: this block went into water now."""
    fact = at.state.fact(block, "block")
    raw = {**raw_form((await request.form()).multi_items()), "blocks": [fact.id]}
    return _soak(at, raw, at.href("break", "block", fact.id))


def _soak(at: At, raw: Raw, back: str) -> Response:
    return _kept(at, "soak", tapped(kind_said("soak"), raw), raw, back)


def _kept(at: At, kind: str, body: dict[str, Any], raw: Raw, back: str) -> Response:
    return RedirectResponse(with_kept(back, keep_one(at, kind, body, raw).id), 303)


# --- one block ---


@router.get("/break/block/{block}")
def block_page(at: Here, block: str) -> Response:
    """One block: bend, then crush the halves, or crush it whole; its strength as soon as there is one."""
    fact = at.state.fact(block, "block")
    asked = at.request.query_params.get("do", "")
    return _block_page(at, fact, asked if asked in TASKS else _next_task(at, fact), {}, {})


def _next_task(at: At, block: Fact) -> str:
    """Bend first where nothing was done; after bending the halves; nothing once it is crushed."""
    pieces = {fact["piece"] for fact in at.state.where("crush", "block", block.id)}
    if "whole" in pieces or {"half_1", "half_2"} <= pieces:
        return ""
    if "half_1" in pieces:
        return "half_2"
    return "half_1" if at.state.where("bend", "block", block.id) or "half_2" in pieces else "bend"


def _block_page(at: At, block: Fact, task: str, raw: Raw, faults: Mapping[str, InputError]) -> Response:
    here = blocks.has_batch(at.state, block)
    rig = _rig(at, raw, task)
    fields, more = _fields(at, block, task, rig, raw, faults) if task and here else ([], [])
    return page(
        at,
        "break/block.html",
        verb="break",
        in_task=True,
        status=422 if faults else 200,
        fact=block,
        here=here,
        name=name_of(at.state, block.id),
        of=name_of(at.state, block["batch"]),
        age=said.age_words(at.state, block, at.hand.moment.date()) if here else "",
        task=task,
        task_label=tr(LABELS.get(task, "")),
        others=[{"label": tr(LABELS[key]), "key": key} for key in TASKS if key != task and task],
        fields=fields,
        more=more,
        rig=rig,
        rigs=[each for each in at.state.all("rig") if rig is None or each.id != rig.id],
        rig_note=_rig_note(at, block, rig) if here else "",
        wet=here and cure.condition_wanted(at.state, block) == "wet",
        in_water=block.id in cure.soaks(at.state),
        soak=said.soak_words(at.state, block, _minutes_in_water(at, block)) if here else "",
        figures=_figures(at, block) if here else [],
        questions=question_pieces(at, _questions(at, block)),
        tests=[
            {"what": entry_line(at.state, test.head, at.shown), "when": "", "href": at.href("entry", test.id)}
            for test in doubts.tests_of(at.state, block.id)
        ],
        others_made=made_lines(at, BLOCK_TESTS, block.id),
        next_block=_next_block(at, block) if here else None,
        photos=_photos(at, block),
        cautions=cautions_for("crush"),
    )


def _rig(at: At, raw: Raw, task: str) -> Fact | None:
    """The rig named in the form or the address, else the one last used for this task, else the newest."""
    wanted = (raw.get("rig") or [at.request.query_params.get("rig", "")])[0]
    named = at.state.find(wanted, "rig") if wanted else None
    if named is None:
        used = [fact["rig"] for fact in reversed(at.state.all("bend" if task == "bend" else "crush")) if fact.get("rig")]
        named = at.state.find(used[0], "rig") if used else at.state.latest("rig")
    return named if named is not None and named.fault is None else None


def _rig_note(at: At, block: Fact, rig: Fact | None) -> str:
    if rig is None:
        return ""
    found = doubts.rig_notes(at.state, rig.id, blocks.mix_key(at.state, block["batch"]))
    return "" if found is None else sentence(*found)


def _fields(
    at: At, block: Fact, task: str, rig: Fact | None, raw: Raw, faults: Mapping[str, InputError]
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """What is read at every test, and what only sometimes."""
    bending = task == "bend"
    readings = ("load",) if rig is None else READINGS[rig["how"]]
    in_water = block.id in cure.soaks(at.state)
    half = task.startswith("half")
    first = ("span",) if bending else ("length",) if half else ()
    soaked = () if in_water else ("soaked_for",)
    wet = cure.condition_wanted(at.state, block) != "dry"
    typed: dict[str, list[str]] = {"condition": ["soaked" if wet else "dry"], "soaked_for_unit": ["h"]}
    typed = {**typed, **_last_span(at, task), **raw}
    fields = form_fields(at.state, kind_said("bend" if bending else "crush"), at.shown, raw=typed, faults=faults)
    sizes = ("width", "thickness", "took") if bending else ("length", "width", "height", "how", "mass")
    shown = ("condition", *soaked, *readings, *first)
    more = (*sizes, "soaked_for", *(READINGS["jack"] + READINGS["lever"] if rig is None else ()), "on")
    return in_order(fields, shown), in_order(fields, tuple(name for name in more if name not in shown))


def _last_span(at: At, task: str) -> dict[str, list[str]]:
    """The span of the last bending test, as it was typed: bars seldom move."""
    last = at.state.latest("bend") if task == "bend" else None
    return {} if last is None else {"span": [last["span"].typed], "span_unit": [last["span"].unit]}


def _minutes_in_water(at: At, block: Fact) -> float | None:
    soak = cure.soaks(at.state).get(block.id)
    return None if soak is None else max(0.0, (at.hand.moment - at.state.moment(soak)).total_seconds() / 60.0)


def _figures(at: At, block: Fact) -> list[dict[str, Any]]:
    crushed, bent = breaking.of_block(at.state, block.id)
    found = [_figure(at, each, kind) for each, kind in ((crushed, CRUSHING), (bent, BENDING)) if each]
    mine = {test.id for test in doubts.tests_of(at.state, block.id)}
    out = [each for each in breaking.withheld(at.state) if mine & set(each.about)]
    found += [result_piece(at, each, "pressure", _withheld_label(each)) for each in out]
    water = breaking.moisture_at_break(at.state, block)
    return found if water is None else [*found, result_piece(at, water, "share", tr("Moisture at break, of the dry mix"))]


def _withheld_label(each: Withheld) -> str:
    return BENDING if each.name == "bending_strength" else CRUSHING


def _figure(at: At, each: BlockStrength, kind: str) -> dict[str, Any]:
    piece = figure_piece(at, each.finding, "pressure", tr(kind))
    words = said.strength_words(each, crushed=kind == CRUSHING)
    piece["spread_text"] = f"{words} {piece['spread_text']}".strip()
    if each.screening:
        piece["standing"], piece["standing_kind"] = tr("for screening only"), "not_shown"
    return piece


def _questions(at: At, block: Fact) -> list[Any]:
    mine = {block.id, *(test.id for test in doubts.tests_of(at.state, block.id))}
    return [each for each in today.questions(at.state) if mine & set(each.about)]


def _photos(at: At, block: Fact) -> list[dict[str, Any]]:
    """Photos of the block and of its tests."""
    return [piece for each in (block, *doubts.tests_of(at.state, block.id)) for piece in photos_of(at, each.id)]


def _next_block(at: At, block: Fact) -> dict[str, str] | None:
    """Another block of the same batch and condition that waits to be broken."""
    for group in cure.to_break(at.state):
        if group.batch == at.state.versions.entity(block["batch"]):
            for other in group.blocks:
                if other.id != block.id:
                    return {"label": f"Next: {name_of(at.state, other.id).lower()}", "href": at.href("break", "block", other.id)}
    return None


@router.post("/break/block/{block}/{task}")
async def keep_test(request: Request, at: Here, block: str, task: str) -> Response:
    """One test, kept as it is read."""
    fact = at.state.fact(block, "block")
    if task not in TASKS:
        raise InputError("not_found", kind="test", id=task)
    raw = {**raw_form((await request.form()).multi_items()), "block": [fact.id]}
    kind = "bend" if task == "bend" else "crush"
    if kind == "crush":
        raw["piece"] = [task]
    parsed = parse(kind_said(kind).fields, raw)
    if parsed.faults:
        return _block_page(at, fact, task, raw, parsed.faults)
    return _kept(at, kind, parsed.body, raw, at.href("break", "block", fact.id))
