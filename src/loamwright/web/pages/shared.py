"""What page modules share: their router, and questions as pieces."""

from collections.abc import Sequence
from typing import Any

from fastapi import APIRouter

from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Result, Withheld
from loamwright.project.worked import TestGroups
from loamwright.web.render import At
from loamwright.words import tests_made
from loamwright.words.asked import question_words
from loamwright.words.asked_for import kind_said
from loamwright.words.contested import live_versions
from loamwright.words.language import tr
from loamwright.words.said import said
from loamwright.words.sentences import of_fault, of_note, sentence
from loamwright.words.showing import name_of

WHY = "why_"


def project_router() -> APIRouter:
    """A router for pages of one project."""
    return APIRouter(prefix="/p/{project}")


def question_pieces(at: At, questions: Sequence[Question]) -> list[dict[str, Any]]:
    """Questions in words, each with its answers: look at it, it stands, leave it out."""
    return [_question(at, each) for each in questions]


def _question(at: At, each: Question) -> dict[str, Any]:
    about = [entity for entity in each.about if at.state.versions.history(entity)]
    answers: list[dict[str, str]] = []
    if about:
        answers.append({"label": tr("Look at it"), "href": at.href("entry", about[0])})
    if each.code == "contested":
        answers += [{"label": words, "name": "settle", "value": head} for head, words in live_versions(at.state, each.about[0])]
    if each.grade == "unlikely":
        answers += [
            {"label": tr("It stands"), "name": "verdict", "value": "stands"},
            {"label": tr("Leave it out"), "name": "verdict", "value": "leave_out"},
        ]
    values = {"names": ", ".join(name_of(at.state, entity) for entity in about), **each.values}
    return {
        "text": question_words(at.state, each),
        "why": sentence(WHY + (each.code if WHY + each.code in said() else each.grade), values),
        "answers": answers,
        "fields": {"question": each.code, "about": " ".join(each.about), "back": at.request.url.path},
    }


def result_piece(at: At, result: Result | None, quantity: str, label: str, *, digits: int | None = None) -> dict[str, Any]:
    """A finding (or why there is none) as the figure piece takes it."""
    if result is None:
        return {"value_text": "–", "unit": "", "label": label, "standing": tr("not measured yet"), "standing_kind": "not_shown"}
    if isinstance(result, Withheld):
        return {"value_text": "–", "unit": "", "label": label, "standing": of_fault(result.fault), "standing_kind": "question"}
    return figure_piece(at, result, quantity, label, digits=digits)


def figure_piece(at: At, finding: Finding, quantity: str, label: str, *, digits: int | None = None) -> dict[str, Any]:
    """A finding as the figure piece takes it: value in the person's unit, band, notes, working."""
    if not quantity:  # a plain number, such as an index
        said = " ".join(of_note(note) for note in finding.all_notes())
        found = {"value_text": f"{finding.value:.4g}", "unit": "", "label": label}
        return {**found, "working": at.finding(finding), "spread_text": said}
    unit = at.shown.unit(quantity)
    text = at.shown.value(finding.value, quantity, digits=digits)
    piece: dict[str, Any] = {
        "value_text": text.removesuffix(unit.label).rstrip(),
        "unit": unit.label,
        "label": label,
        "working": at.finding(finding),
        "spread_text": " ".join(of_note(note) for note in finding.all_notes()),
    }
    if finding.band is not None:
        low, high = unit.from_engine(finding.band.low), unit.from_engine(finding.band.high)
        piece["spread"] = {"low": low, "high": high, "at": unit.from_engine(finding.value)}
        likely = tr("likely {band}", band=at.shown.band(finding.band.low, finding.band.high, quantity, digits=digits))
        piece["spread_text"] = f"{likely}. {piece['spread_text']}".strip()
    return piece


def made_lines(at: At, groups: TestGroups, about: str) -> list[dict[str, str]]:
    """The tests of one soil or block, one line each."""
    return [
        {
            "what": kind_said(fact.kind).label,
            "when": f"{at.state.day(fact):%Y-%m-%d}",
            "more": tests_made.line(groups.worked(at.state, fact), at.shown),
            "href": at.href("test", fact.id),
        }
        for fact in groups.made(at.state, about)
    ]
