"""Papers: the list of all, each as PDF, and the tap that keeps that one was given out."""

from collections.abc import Mapping
from typing import Any

from fastapi import Request
from fastapi.responses import Response

from loamwright.errors import InputError
from loamwright.notebook.fields import first_text
from loamwright.papers import catalogue, label_sheets
from loamwright.papers.catalogue import Paper
from loamwright.papers.document import Document
from loamwright.papers.pdf import SIZES, pdf
from loamwright.papers.setting import Setting
from loamwright.web.keeping import Here, keep_one
from loamwright.web.pages.shared import project_router
from loamwright.web.render import At, form_id, page, raw_form
from loamwright.words.language import later, tr
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

router = project_router()
FIRST = 6
SIZE_NAMES: Mapping[str, str] = {"a4": later("A4"), "letter": later("Letter")}


def usual_size(at: At) -> str:
    """Letter where lengths are in inches, else A4."""
    return "letter" if at.shown.unit("length").key == "in" else "a4"


@router.get("/papers")
def every_paper(at: Here) -> Response:
    """Everything that can be printed, in the order of the work, and what was given out."""
    listed = [
        {"what": tr(paper.label), "more": catalogue.what_for(paper), "when": "", "href": at.href("papers", paper.name)}
        for paper in catalogue.PAPERS.values()
        if not paper.needed or catalogue.things(at.state, paper)
    ]
    printed = [_printed(at, fact.id) for fact in reversed(at.state.all("printed"))]
    return page(at, "papers/papers.html", in_task=True, papers=listed, first=printed[:FIRST], more=printed[FIRST:])


@router.get("/papers/{name}")
def one_paper(at: Here, name: str, size: str = "", sheet: str = "") -> Response:
    """One kind of paper: on what it is drawn, and each thing it can be about."""
    paper = catalogue.paper_named(name)
    chosen = _size(at, size)
    on = _sheet(chosen, sheet) if paper.labels else ""
    asked = f"?size={chosen}" + (f"&sheet={on}" if on else "")
    items = _items(at, paper)
    return page(
        at,
        "papers/paper.html",
        in_task=True,
        label=tr(paper.label),
        what=catalogue.what_for(paper),
        choices=_sheets(at, paper, on) if paper.labels else _sizes(at, paper, chosen),
        fields={"size": chosen, **({"sheet": on} if on else {})},
        asked=asked,
        first=items[:FIRST],
        more=items[FIRST:],
    )


def _sizes(at: At, paper: Paper, chosen: str) -> list[dict[str, Any]]:
    """The papers to draw on, the chosen one first said."""
    href = at.href("papers", paper.name)
    return [{"label": tr(SIZE_NAMES[key]), "href": f"{href}?size={key}", "chosen": key == chosen} for key in SIZES]


def _sheets(at: At, paper: Paper, chosen: str) -> list[dict[str, Any]]:
    href = at.href("papers", paper.name)
    known = label_sheets.sheets().items()
    return [{"label": tr(label), "href": f"{href}?sheet={key}", "chosen": key == chosen} for key, label in known]


def _sheet(size: str, sheet: str) -> str:
    """The sheet of labels asked for, else the usual one for this paper."""
    usual = label_sheets.USUAL if size == "a4" else label_sheets.USUAL_LETTER
    label_sheets.grid(sheet or usual)
    return sheet or usual


def _size(at: At, size: str) -> str:
    if size and size not in SIZES:
        raise InputError("unknown_choice", field="size", label="size", typed=size, allowed=", ".join(SIZES))
    return size or usual_size(at)


def _items(at: At, paper: Paper) -> list[dict[str, str]]:
    whole = [] if paper.needed else [{"name": "", "href": at.href("paper", paper.name)}]
    about = catalogue.things(at.state, paper)
    return [*whole, *({"name": name_of(at.state, each.id), "href": at.href("paper", paper.name, each.id)} for each in about)]


def _printed(at: At, entry: str) -> dict[str, str]:
    fact = at.state.fact(entry, "printed")
    known = catalogue.PAPERS.get(fact["paper"])
    about = name_of(at.state, fact["about"]) if fact.get("about") else ""
    what = ": ".join(each for each in (tr(known.label) if known else str(fact["paper"]), about) if each)
    return {"what": what, "when": f"{at.state.moment(fact):%Y-%m-%d %H:%M}", "more": fact.by, "href": at.href("entry", fact.id)}


def _setting(at: At) -> Setting:
    return catalogue.setting(at.desk.notebook, at.state, shown=at.shown, today=at.hand.moment.date(), by=at.hand.by)


def _answer(made: Document, size: str, *, given_out: bool) -> Response:
    data = pdf(made, size=size, missing=sentence("paper_signs_missing", {}))
    how = "attachment" if given_out else "inline"
    return Response(data, media_type="application/pdf", headers={"Content-Disposition": f'{how}; filename="{made.name}.pdf"'})


@router.get("/paper/{name}.pdf")
@router.get("/paper/{name}/{about}.pdf")
def look_at(at: Here, name: str, about: str = "", size: str = "", sheet: str = "") -> Response:
    """A paper as PDF; nothing is kept by looking at it."""
    return _answer(catalogue.document(_setting(at), name, about, sheet=sheet), _size(at, size), given_out=False)


@router.post("/paper/{name}")
@router.post("/paper/{name}/{about}")
async def give_out(request: Request, at: Here, name: str, about: str = "") -> Response:
    """Keep that a paper was given out, with its words, and give it; sent again, it is kept once."""
    raw = raw_form((await request.form()).multi_items())
    size = _size(at, first_text(raw, "size"))
    setting = _setting(at)
    made = catalogue.document(setting, name, about, sheet=first_text(raw, "sheet"))
    answer = _answer(made, size, given_out=True)
    if (form_id(raw) or "") not in at.state.versions.entries:
        keep_one(at, "printed", catalogue.printed_body(setting, made, about=about, size=size), raw)
    return answer
