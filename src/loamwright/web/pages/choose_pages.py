"""Choose: what the blocks say of each mix, which are apart, what each takes, and the choice with its reason."""

from collections.abc import Mapping
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import first_text, parse
from loamwright.project import ageing, compare, today
from loamwright.project import choosing as choices
from loamwright.project.choosing import Choosing
from loamwright.project.compare import MixResult
from loamwright.project.costs import MixCost
from loamwright.project.finding import Finding, Result
from loamwright.project.second_look import second_look
from loamwright.web.charts import chart_pieces
from loamwright.web.keeping import Here, keep_told, with_kept
from loamwright.web.pages.brief_pages import verdict_piece
from loamwright.web.pages.shared import figure_piece, project_router, question_pieces, result_piece
from loamwright.web.render import At, form_id, page, raw_form
from loamwright.web.strips import Scale, Strip, scale_of, strip
from loamwright.words import briefs, comparisons
from loamwright.words import choices as words
from loamwright.words.asked_for import kind_said
from loamwright.words.blocks import mix_key_name
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.sentences import of_fault, of_note
from loamwright.words.showing import batch_number, name_of

router = project_router()
Raw = dict[str, list[str]]


@router.get("/choose")
def show(at: Here) -> Response:
    """Compare, tell apart, rank, choose."""
    return _page(at, {}, {})


def _page(at: At, raw: Raw, faults: Mapping[str, InputError]) -> Response:
    found = choices.choosing(at.state)
    comparison = found.comparison
    return page(
        at,
        "choose/choose.html",
        verb="choose",
        status=422 if faults else 200,
        decided=comparison.brief.decided,
        brief_line=_sentence_case(briefs.short(comparison.brief, at.shown)),
        columns=comparisons.table_columns(at.shown),
        rows=comparisons.table_rows(at.state, comparison, at.shown),
        charts=chart_pieces(at, "strength"),
        cost_chart=chart_pieces(at, "cost"),
        mixes=_mixes(at, found),
        pairs=[comparisons.pair_line(at.state, comparison, each) for each in comparison.pairs],
        pair_notes=[*comparisons.left_out(at.state, comparison), *(of_note(note) for note in comparison.notes)],
        pooled=comparisons.pooled(comparison),
        second=comparisons.second_look(at.state, second_look(comparison)),
        ranked=words.ranked(at.state, found),
        rank_notes=words.notes(at.state, found),
        bars=words.bars(at.state, found),
        ladder=words.ladder(found.ladder),
        chosen=_chosen(at),
        form=_form(at, found, raw, faults),
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "choose"]),
        cautions=cautions_for("choice"),
    )


def _sentence_case(words_of_it: str) -> str:
    return words_of_it[:1].upper() + words_of_it[1:]


def _chosen(at: At) -> dict[str, Any] | None:
    choice = choices.current_choice(at.state)
    if choice is None:
        return None
    changed = choices.would_now_be(at.state, choice)
    own = at.state.versions.entity(choice["mix"])
    return {
        "name": name_of(at.state, choice["mix"]),
        "reason": choice["reason"],
        "agreed_by": choice.get("agreed_by", ""),
        "told": words.told_lines(at.state, choice, at.shown),
        "now": words.now_lines(at.state, tuple(each for each in changed if each.mix == own), at.shown),
        "now_others": words.now_lines(at.state, tuple(each for each in changed if each.mix != own), at.shown),
        "href": at.href("entry", choice.id),
    }


# --- one mix ---


def _mixes(at: At, found: Choosing) -> list[dict[str, Any]]:
    scale = _scale(found)
    return [_mix(at, found, each, scale) for each in found.comparison.mixes]


def _mix(at: At, found: Choosing, each: MixResult, scale: Scale | None) -> dict[str, Any]:
    word, shape = comparisons.verdict(each)
    cost = found.costs.get(each.key)
    return {
        "key": each.key,
        "name": mix_key_name(at.state, each.key),
        "word": word,
        "shape": shape,
        "chances": comparisons.chances(each),
        "notes": comparisons.mix_notes(each, at.hand.moment.date()),
        "strip": None if scale is None or each.spread is None else _strip(at, found, each, scale),
        "text": "" if each.spread is None else comparisons.strip_text(at.state, each, at.shown),
        "figures": _figures(at, found, each),
        "blocks": _blocks(at, each),
        "verdict": None if each.verdict is None else verdict_piece(at, each.verdict),
        "costs": [] if cost is None else _costs(at, cost),
        "missing": [] if cost is None else words.missing(cost),
        "hauls": [] if cost is None else [words.haul_line(at.state, haul, at.shown) for haul in cost.hauls],
        "bags": "" if cost is None else words.bags(at.state, cost),
    }


def _figures(at: At, found: Choosing, each: MixResult) -> list[dict[str, Any]]:
    if each.spread is None:
        later = ageing.forecast(at.state, each, batch_spread=found.comparison.batch_spread)
        return [] if later is None else [figure_piece(at, later, "pressure", tr("Forecast at {n} days", n=each.wanted_age))]
    named = (
        (each.mean, "pressure", tr("Mean"), None),
        (each.cautious, "pressure", tr("Cautious value (EN 1990)"), None),
        (each.scatter, "share", tr("Spread over the mean"), 0),
    )
    return [result_piece(at, result, quantity, label, digits=digits) for result, quantity, label, digits in named]


def _blocks(at: At, each: MixResult) -> list[dict[str, str]]:
    counted = [
        {
            "what": comparisons.block_line(at.state, None, block.block, block.batch, compare.block_value(block), at.shown),
            "when": "",
            "href": at.href("entry", block.block),
        }
        for block in each.counted
    ]
    aside = [
        {
            "what": comparisons.block_line(
                at.state, one, one.block.block, one.block.batch, compare.block_value(one.block), at.shown
            ),
            "when": tr("not counted"),
            "href": at.href("entry", one.block.block),
        }
        for one in each.set_aside
    ]
    return [*counted, *aside]


def _costs(at: At, cost: MixCost) -> list[dict[str, Any]]:
    """Cost, stabiliser and scarce soil of one block, each with its working."""
    money = _money_piece(at, cost.cost)
    masses = (
        (cost.block_mass, tr("One block, dry")),
        (cost.stabiliser, tr("Stabiliser in one block")),
        (cost.scarce, tr("Scarce soil in one block")),
    )
    return [*([money] if money else []), *(result_piece(at, result, "mass", label) for result, label in masses)]


def _money_piece(at: At, result: Result) -> dict[str, Any] | None:
    if isinstance(result, Finding):
        piece = figure_piece(at, result, "share", tr("Cost of one good block"))
        return {**piece, "value_text": words.money(at.state, result.value), "unit": ""}
    return None


# --- the strips ---


def _scale(found: Choosing) -> Scale | None:
    values = [compare.block_value(block) for each in found.comparison.mixes for block in each.counted]
    if not values:
        return None
    stick = found.comparison.yardstick
    return scale_of([*values, *(limit for limit in (stick.mean_least, stick.each_least) if limit)])


def _strip(at: At, found: Choosing, each: MixResult, scale: Scale) -> Strip:
    assert each.spread is not None
    stick = found.comparison.yardstick
    limits = {tr("each at least"): stick.each_least, tr("mean at least"): stick.mean_least}
    asked = {f"{name} {comparisons.strength(limit, at.shown)}": limit for name, limit in limits.items() if limit}
    batches = {
        tr("Batch {n}", n=batch_number(at.state, at.state.fact(batch, "batch"))): [
            (
                compare.block_value(block),
                comparisons.block_line(at.state, None, block.block, block.batch, compare.block_value(block), at.shown),
                at.href("entry", block.block),
            )
            for block in blocks
        ]
        for batch, blocks in each.batches.items()
    }
    unit = at.shown.unit("pressure").label
    ends = (comparisons.strength(scale.low, at.shown), f"{comparisons.strength(scale.high, at.shown)} {unit}")
    return strip(batches, scale=scale, mean=each.spread.mean, asked=asked, ends=ends)


# --- the choice ---


def _form(at: At, found: Choosing, raw: Raw, faults: Mapping[str, InputError]) -> dict[str, Any]:
    options = [(mix, mix_key_name(at.state, mix)) for mix in found.in_order() if found.may_choose(mix)]
    return {
        "options": options,
        "entry_id": first_text(raw, "entry_id") or new_id(),
        "fault": of_fault(faults["mix"]) if "mix" in faults else "",
        "value": (raw.get("mix") or [next((each.figures.mix for each in found.ranking.ranked), "")])[0],
        "reason": _text("reason", tr("Why this one"), raw, faults),
        "agreed_by": {**_text("agreed_by", tr("Agreed by"), raw, faults), "if_known": True},
    }


def _text(name: str, label: str, raw: Raw, faults: Mapping[str, InputError]) -> dict[str, Any]:
    error = of_fault(faults[name]) if name in faults else None
    return {"name": name, "label": label, "kind": "text", "value": first_text(raw, name), "error": error}


@router.post("/choose")
async def choose(request: Request, at: Here) -> Response:
    """Keep a choice with what it stood on; a mix that may not be chosen is said so, and nothing is kept."""
    raw = raw_form((await request.form()).multi_items())
    parsed = parse(kind_said("choice").fields, raw)
    if parsed.faults:
        return _page(at, raw, parsed.faults)
    if form_id(raw) not in at.state.versions.entries:
        try:
            choices.check_choice(at.state, parsed.body["mix"])
        except InputError as fault:
            return _page(at, raw, {"mix": fault})
    entry_id = keep_told(at, "choice", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("choose"), entry_id), 303)
