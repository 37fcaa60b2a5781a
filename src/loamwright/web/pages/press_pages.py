"""Press: batch by batch, the next block as the largest thing; what each block came to; spoiled ones; the cure."""

from collections.abc import Mapping, Sequence
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.fields import parse
from loamwright.project import ageing, blocks, cure, press, today, weigh
from loamwright.project.asking import Question
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.state import Fact
from loamwright.project.tested import tested_kinds
from loamwright.web.forms import form_fields
from loamwright.web.keeping import Here, keep_one, tapped, with_kept
from loamwright.web.pages.shared import figure_piece, project_router, question_pieces, result_piece
from loamwright.web.photos import photos_of
from loamwright.web.render import At, page, raw_form
from loamwright.words import blocks as said
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.language import later, tr
from loamwright.words.numbers import day as day_words
from loamwright.words.sentences import of_fault
from loamwright.words.showing import entry_line, entry_words, name_of

router = project_router()
WARMTH = {
    "maturity": later("Warmth so far, °C times days"),
    "equivalent_age": later("Days at 20 °C this is worth"),
    "degree_days": later("Warmth above 5 °C so far, °C times days"),
}
Raw = Mapping[str, list[str]]
BLOCK_FIELDS = ("mark", "green_mass", "height", "gauge", "fate")
MORE_FIELDS = ("press", "fill_mass", "corners_lost", "surface", "loose_height", "pressed_at")


@router.get("/press")
def show(at: Here) -> Response:
    """Batches to press and pressed, the newest first; presses; what was lost of each mix."""
    wanted = at.request.query_params.get("batch", "")
    if wanted and at.state.find(wanted, "batch") is not None:
        return RedirectResponse(at.href("press", "batch", wanted), 303)
    return page(
        at,
        "press/all.html",
        verb="press",
        batches=[_batch_line(at, fact) for fact in reversed(at.state.all("batch"))],
        presses=at.state.all("press"),
        lost=[line for key in _keys(at) if (line := _lost(at, key))],
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "press"]),
    )


def _keys(at: At) -> list[str]:
    return list(dict.fromkeys(blocks.mix_key(at.state, batch.id) for batch in at.state.all("batch")))


def _lost(at: At, key: str) -> str:
    name = said.mix_key_name(at.state, key)
    return said.lost_words(name, press.spoiled_share(at.state, key), press.corners_share(at.state, key))


def _batch_line(at: At, fact: Fact) -> dict[str, str]:
    waits = weigh.next_weighing(at.state, fact)
    when = said.pressed_words(at.state, fact) or (tr("{what} to weigh first", what=tr(waits)) if waits else tr("press it"))
    return {"what": name_of(at.state, fact.id), "when": when, "href": at.href("press", "batch", fact.id)}


# --- one batch ---


@router.get("/press/batch/{batch}")
def batch_page(at: Here, batch: str) -> Response:
    """One batch at the press: mark, fill, gauge; its blocks so far; its cure."""
    return _batch_page(at, at.state.fact(batch, "batch"), {}, {})


def _batch_page(at: At, fact: Fact, raw: Raw, faults: Mapping[str, InputError]) -> Response:
    machine = blocks.press_for(at.state, fact)
    mark, fate = press.mark_for(at.state, fact)
    named = {} if machine is None else {"press": [machine.id]}
    typed = {"mark": [mark], **named, **({"fate": [fate]} if fate else {}), **raw}
    sisters = at.state.where("block", "batch", fact.id)
    about = {fact.id, *(block.id for block in sisters)}
    day = at.hand.moment.date()
    view = cure.cure_view(at.state, fact.id, day)
    return page(
        at,
        "press/batch.html",
        verb="press",
        in_task=True,
        status=422 if faults else 200,
        fact=fact,
        name=name_of(at.state, fact.id),
        orders=said.press_orders(at.state, fact, machine, mark, at.shown),
        hold=_hold(at, fact),
        fields=_fields(at, machine, typed, faults),
        more=in_order(form_fields(at.state, kind_said("block"), at.shown, raw=typed, faults=faults), _more(at, machine)),
        machine=machine,
        has_presses=len(at.state.all("press")) > 1,
        questions=question_pieces(at, _questions(at, about)),
        figures=_figures(at, sisters),
        sisters=[_block_line(at, block) for block in reversed(sisters)],
        spoiled=len(at.state.where("spoiled", "batch", fact.id)),
        why_spoiled=next(each for each in kind_said("spoiled").fields if each.name == "why").options,
        all_pressed=press.is_over(at.state, fact, day),
        pressed=said.pressed_words(at.state, fact),
        cure=said.cure_words(view),
        cure_notes=said.cure_notes(view),
        warmth=[figure_piece(at, found, "", tr(WARMTH[name])) for name, found in ageing.warmth(at.state, fact.id, day)],
        steps=[_step_line(at, step) for step in view.steps],
        cautions=cautions_for("block"),
    )


def _fields(at: At, machine: Fact | None, typed: Raw, faults: Mapping[str, InputError]) -> list[dict[str, Any]]:
    names: tuple[str, ...] = BLOCK_FIELDS
    if machine is not None and machine["how"] == "no_gauge":
        names = ("mark", "fill_mass", "green_mass", "height", "fate")
    return in_order(form_fields(at.state, kind_said("block"), at.shown, raw=typed, faults=faults), names)


def _more(at: At, machine: Fact | None) -> tuple[str, ...]:
    without = set() if len(at.state.all("press")) > 1 else {"press"}
    if machine is not None and machine["how"] == "no_gauge":
        without.add("fill_mass")
    return tuple(name for name in MORE_FIELDS if name not in without)


def in_order(fields: Sequence[dict[str, Any]], names: Sequence[str]) -> list[dict[str, Any]]:
    """The named fields of a form, in the order they are read at the bench."""
    by_name = {field["name"]: field for field in fields}
    return [by_name[name] for name in names if name in by_name]


def _hold(at: At, fact: Fact) -> str:
    try:
        view = weigh.batch_view(at.state, fact.id)
        return said.hold(at.state, view, weigh.hold_now(at.state, view, at.hand.moment))
    except InputError as fault:
        return of_fault(fault)


def _questions(at: At, about: set[str]) -> list[Question]:
    return [each for each in today.questions(at.state) if each.verb == "press" and about & set(each.about)]


def _figures(at: At, sisters: list[Fact]) -> list[dict[str, Any]]:
    """Dry density of each block, the newest first; of the newest also what the gauge and the loose fill say."""
    found: list[dict[str, Any]] = []
    for block in reversed(sisters):
        piece = result_piece(
            at, blocks.dry_density(at.state, block), "density", tr("{block}, dry density", block=name_of(at.state, block.id))
        )
        line = said.block_line(at.state, block, at.shown)
        found.append({**piece, "spread_text": f"{line}. {piece.get('spread_text', '')}".strip()})
        if block is sisters[-1]:
            found.extend(_of_press(at, block))
    return found


def _of_press(at: At, block: Fact) -> list[dict[str, Any]]:
    found = []
    pressure = blocks.soil_pressure(at.state, block)
    if pressure is not None:
        found.append(result_piece(at, pressure, "pressure", tr("Pressure on the soil")))
    ratio = blocks.compression(at.state, block)
    if ratio is not None:
        found.append(_plain(at, ratio, tr("Loose over pressed height"), 2))
    return found


def _plain(at: At, result: Any, label: str, digits: int) -> dict[str, Any]:
    """A number without unit as the figure piece takes it."""
    piece = result_piece(at, result, "share", label)
    if piece.get("working"):
        piece.update(value_text=at.shown.of_engine(result.value, "1", digits=digits), unit="")
    return piece


def _block_line(at: At, block: Fact) -> dict[str, str]:
    line = said.block_line(at.state, block, at.shown)
    return {"what": name_of(at.state, block.id), "when": line, "href": at.href("press", "block", block.id)}


def _step_line(at: At, step: Fact) -> dict[str, str]:
    options = next(each for each in kind_said("cure_step").fields if each.name == "step").options
    when = day_words(at.state.day(step), at.hand.moment.date())
    return {"what": options[step["step"]], "when": when, "href": at.href("entry", step.id)}


@router.post("/press/batch/{batch}/block")
async def keep_block(request: Request, at: Here, batch: str) -> Response:
    """One block, kept as it is pressed; the press is the one the page named."""
    fact = at.state.fact(batch, "batch")
    raw = {**raw_form((await request.form()).multi_items()), "batch": [fact.id]}
    parsed = parse(kind_said("block").fields, raw)
    if parsed.faults:
        return _batch_page(at, fact, raw, parsed.faults)
    return _kept(at, "block", parsed.body, raw, at.href("press", "batch", fact.id))


def _kept(at: At, kind: str, body: dict[str, Any], raw: Raw, back: str) -> Response:
    return RedirectResponse(with_kept(back, keep_one(at, kind, body, raw).id), 303)


@router.post("/press/batch/{batch}/spoiled")
async def keep_spoiled(request: Request, at: Here, batch: str) -> Response:
    """One tap: a block that was lost, and how."""
    fact = at.state.fact(batch, "batch")
    raw = {**raw_form((await request.form()).multi_items()), "batch": [fact.id]}
    return _tapped(at, "spoiled", raw, at.href("press", "batch", fact.id) + "#spoiled")


@router.post("/press/batch/{batch}/all")
async def keep_all_pressed(request: Request, at: Here, batch: str) -> Response:
    """One tap: no more blocks come of the batch."""
    fact = at.state.fact(batch, "batch")
    raw = {**raw_form((await request.form()).multi_items()), "batch": [fact.id]}
    return _tapped(at, "all_pressed", raw, at.href("press", "batch", fact.id))


@router.post("/press/batch/{batch}/cure")
async def keep_cure(request: Request, at: Here, batch: str) -> Response:
    """One tap: what was done to cure the batch."""
    fact = at.state.fact(batch, "batch")
    raw = {**raw_form((await request.form()).multi_items()), "batches": [fact.id]}
    return _tapped(at, "cure_step", raw, at.href("press", "batch", fact.id) + "#cure")


def _tapped(at: At, kind: str, raw: Raw, back: str) -> Response:
    return _kept(at, kind, tapped(kind_said(kind), raw), raw, back)


# --- one block ---


@router.get("/press/block/{block}")
def block_page(at: Here, block: str) -> Response:
    """One block: density, pressure on the soil, what was said of it."""
    fact = at.state.fact(block, "block")
    here = blocks.has_batch(at.state, fact)
    figures = [
        result_piece(at, blocks.dry_density(at.state, fact), "density", tr("Dry density")),
        result_piece(at, blocks.green_density(at.state, fact), "density", tr("Density as pressed, water and all")),
        *_of_press(at, fact),
    ]
    return page(
        at,
        "press/block.html",
        verb="press",
        in_task=True,
        fact=fact,
        here=here,
        name=name_of(at.state, fact.id),
        of=name_of(at.state, fact["batch"]),
        age=said.age_words(at.state, fact, at.hand.moment.date()) if here else "",
        figures=figures if here else [],
        history=_history(at, fact),
        questions=question_pieces(at, _questions(at, {fact.id})),
        words=entry_words(at.state, fact),
        photos=photos_of(at, fact.id),
    )


def _history(at: At, block: Fact) -> list[dict[str, str]]:
    """All that happened to a block after it was pressed, the oldest first: cure, soaks, breaks, other tests."""
    state = at.state
    found = [
        *state.where("cure_step", "batches", block["batch"]),
        *state.where("soak", "blocks", block.id),
        *(fact for kind in ("bend", "crush") for fact in state.where(kind, "block", block.id)),
        *BLOCK_TESTS.made(state, block.id),
    ]
    return [
        {
            "what": entry_line(state, fact.head, at.shown),
            "when": f"{state.day(fact):%Y-%m-%d}",
            "href": at.href("test" if fact.kind in tested_kinds() else "entry", fact.id),
        }
        for fact in sorted(found, key=lambda each: (state.day(each), each.at, each.id))
    ]
