"""Templates, and the words every page carries: project, verbs and what waits, who is at the bench."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import jinja2
from fastapi import Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup, escape

from loamwright.notebook.entry import is_id
from loamwright.notebook.kinds import VERBS
from loamwright.project.desk import Desk, Hand
from loamwright.project.finding import Finding
from loamwright.project.state import State
from loamwright.words.duties import next_step, waiting_words
from loamwright.words.language import later, now, tr, trn
from loamwright.words.numbers import Shown
from loamwright.words.safe_texts import LINE, presentable
from loamwright.words.showing import entry_line, name_of, working_words

VERB_LABELS: Mapping[str, str] = {
    "dig": later("Dig"),
    "shake": later("Shake"),
    "blend": later("Blend"),
    "weigh": later("Weigh"),
    "press": later("Press"),
    "break": later("Break"),
    "choose": later("Choose"),
    "make": later("Make"),
}


def _among_others(value: Any) -> Any:
    """A text as it may stand on a page: overlong ones shortened. What a person shall read or send again passes "whole"."""
    return presentable(value, LINE) if isinstance(value, str) and not isinstance(value, Markup) else value


@cache
def environment() -> jinja2.Environment:
    """The templates; every value is escaped."""
    made = jinja2.Environment(
        loader=jinja2.FileSystemLoader(str(resources.files("loamwright.web").joinpath("templates"))),
        autoescape=True,
        undefined=jinja2.Undefined,
        finalize=_among_others,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["whole"] = escape
    made.globals.update(_=tr, _n=trn, language=now)
    return made


@dataclass(frozen=True, slots=True)
class At:
    """One request at one project: the state as of now, who writes, the units they see."""

    request: Request
    desk: Desk
    state: State
    hand: Hand
    shown: Shown

    @property
    def project(self) -> str:
        """Id of the project."""
        return self.state.project

    def href(self, *parts: str) -> str:
        """Address of a page of this project."""
        return "/p/" + "/".join((self.project, *parts))

    def finding(self, finding: Finding) -> dict[str, Any]:
        """The working of a finding as the figure piece wants it, with links to its entries."""
        words = working_words(finding, self.shown)
        links = [
            {"text": entry_line(self.state, entry, self.shown), "href": self.href("entry", entry)} for entry in finding.entries()
        ]
        return {"steps": words.steps, "sources": [*words.sources, *links], "notes": words.notes}


def page(at: At, template: str, *, verb: str = "today", in_task: bool = False, status: int = 200, **values: Any) -> HTMLResponse:
    """A page of a project."""
    waits = waiting_words(at.state, at.hand.moment.date())
    frame: dict[str, Any] = {
        "project": {"id": at.project, "name": name_of(at.state, at.project)},
        "today": {"href": at.href("today"), "waits": waits.get("today", ""), "current": verb == "today"},
        "verbs": [
            {"key": key, "label": tr(VERB_LABELS[key]), "href": at.href(key), "waits": waits.get(key, ""), "current": verb == key}
            for key in VERBS[1:]
        ],
        "who": at.hand.by or tr("nobody yet"),
        "who_href": at.href("who"),
        "in_task": in_task,
        "notebook": trn(
            "{n} entry in this project's notebook", "{n} entries in this project's notebook", len(at.state.versions.entries)
        ),
        "onward": lambda: next_step(at.state, at.hand.moment.date(), at.href),
        "here": at.request.url.path,
        "at": at,
        "shown": at.shown,
    }
    kept = at.request.query_params.get("kept", "")
    if kept and kept in at.state.versions.entries:
        frame["kept_line"] = tr("Kept: {what}", what=entry_line(at.state, kept, at.shown))
        frame["kept_undo"] = at.href("undo", kept)
    html = environment().get_template(template).render({**frame, **values})
    return HTMLResponse(html, status_code=status)


def plain_page(template: str, *, status: int = 200, **values: Any) -> HTMLResponse:
    """A page outside any project."""
    frame: dict[str, Any] = {
        "project": None,
        "today": {"href": "/", "waits": "", "current": True},
        "verbs": [],
        "who": None,
        "in_task": False,
    }
    return HTMLResponse(environment().get_template(template).render({**frame, **values}), status_code=status)


def static_folder() -> str:
    """Where the static files lie."""
    return str(resources.files("loamwright.web").joinpath("static"))


def raw_form(form: Sequence[tuple[str, Any]]) -> dict[str, list[str]]:
    """A sent form as texts by name."""
    raw: dict[str, list[str]] = {}
    for name, value in form:
        raw.setdefault(name, []).append(str(value))
    return raw


def form_id(raw: Mapping[str, Sequence[str]]) -> str | None:
    """The entry id a sent form carries, so that a double tap is one entry; None where it has none, or one we would not make."""
    return next((each for each in raw.get("entry_id", ()) if is_id(each)), None)
