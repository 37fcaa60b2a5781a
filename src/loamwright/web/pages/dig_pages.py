"""Dig: sources with what is known of each, stabilisers, pails, stop questions."""

from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.notebook.kinds.dig_kinds import STOP_QUESTIONS
from loamwright.project import dig, today
from loamwright.web.keeping import Here, keep_one, tapped, with_kept
from loamwright.web.pages.shared import project_router, question_pieces, result_piece
from loamwright.web.render import At, page, raw_form
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.duties import next_step
from loamwright.words.language import tr, trn
from loamwright.words.showing import entry_words, name_of

router = project_router()


@router.get("/dig")
def show(at: Here) -> Response:
    """All sources, stabilisers and pails."""
    return page(
        at,
        "dig/all.html",
        verb="dig",
        sources=[_source_line(at, fact.id) for fact in at.state.all("source")],
        stabilisers=at.state.all("stabiliser"),
        containers=at.state.all("container"),
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "dig"]),
        cautions=cautions_for("source"),
    )


def _source_line(at: At, source: str) -> dict[str, str]:
    open_stops = len(dig.open_stops(at.state, source))
    return {
        "what": name_of(at.state, source),
        "when": trn("{n} stop question open", "{n} stop questions open", open_stops) if open_stops else "",
        "href": at.href("dig", "source", source),
    }


@router.get("/dig/source/{source}")
def source_page(at: Here, source: str) -> Response:
    """One source: what is known, what to measure next."""
    fact = at.state.fact(source, "source")
    return page(
        at,
        "dig/source.html",
        verb="dig",
        in_task=True,
        fact=fact,
        name=name_of(at.state, fact.id),
        words=entry_words(at.state, fact),
        figures=[
            result_piece(at, dig.last_moisture(at.state, fact.id), "share", tr("Moisture, on dry mass")),
            result_piece(at, dig.pail_mass(at.state, fact.id), "mass", tr("Dry soil in one struck pail")),
            result_piece(at, dig.loose_density(at.state, fact.id), "density", tr("Loose dry density")),
            result_piece(at, dig.oversize(at.state, fact.id), "share", tr("Stays on the screen")),
        ],
        stops=_stops(at, fact.id),
        next=_next(at, fact.id),
        cautions=cautions_for("source", "pail_weighing", "pan_test"),
    )


def _next(at: At, source: str) -> dict[str, str] | None:
    """What to do with a source now: its pails, its pan, its stop questions, then what it holds."""
    back = f"&back={at.href('dig', 'source', source)}"
    if not at.state.where("pail_weighing", "source", source):
        return {"label": tr("Weigh three pails"), "href": f"{at.href('write', 'pail_weighing')}?preset_source={source}{back}"}
    if not at.state.where("pan_test", "about", source):
        return {"label": tr("Pan test"), "href": f"{at.href('write', 'pan_test')}?preset_about={source}{back}"}
    if any(answer is None for answer in dig.stop_answers(at.state, source).values()):
        return {"label": tr("Answer the stop questions"), "href": "#stops"}
    if not at.state.where("jar", "source", source) and not at.state.where("guess", "source", source):
        return {"label": tr("Shake a jar of it, or guess"), "href": at.href("shake", "source", source)}
    step = next_step(at.state, at.hand.moment.date(), at.href)
    return {"label": step["what"], "href": step["href"]} if step["href"] else None


def _stops(at: At, source: str) -> list[dict[str, Any]]:
    answers = dig.stop_answers(at.state, source)
    return [
        {
            "key": key,
            "text": tr(text),
            "answer": "" if (fact := answers[key]) is None else fact["answer"],
            "id": fact.id if fact else "",
        }
        for key, text in STOP_QUESTIONS.items()
    ]


@router.post("/dig/source/{source}/stop")
async def answer_stop(request: Request, at: Here, source: str) -> Response:
    """One tap answers one stop question."""
    raw = raw_form((await request.form()).multi_items())
    fact = at.state.fact(source, "source")
    body = tapped(kind_said("stop_check"), {**raw, "source": [fact.id]})
    kept = keep_one(at, "stop_check", body, raw)
    return RedirectResponse(with_kept(at.href("dig", "source", fact.id) + "#stops", kept.id), 303)
