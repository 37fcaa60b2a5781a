"""The first page: buckets first, no account and no form before it; and taking in a project file."""

from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.exchange import MOST_BYTES, take_in
from loamwright.notebook.fields import first_text
from loamwright.project.opening import opening
from loamwright.web.render import form_id, plain_page, raw_form
from loamwright.web.request import desk_of, hand_of
from loamwright.words.asked_for import kind_said
from loamwright.words.language import tr
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

router = APIRouter()
ROWS = 4


@router.get("/")
def start(request: Request) -> Response:
    """Straight into the only project, or the first page with a list of projects."""
    projects = desk_of(request).projects()
    if len(projects) == 1 and "new" not in request.query_params:
        return RedirectResponse(f"/p/{projects[0].project}/today", 303)
    return _page(request, {})


def _page(request: Request, typed: Mapping[str, list[str]], fault: str = "", status: int = 200) -> Response:
    def field(name: str, label: str, kind: str = "text", **more: Any) -> dict[str, Any]:
        return {"name": name, "label": label, "kind": kind, "value": (typed.get(name) or [more.pop("value", "")])[0], **more}

    labels = [tr("One bucket"), tr("Another bucket"), tr("A third, if there is one"), tr("A fourth, if there is one")]
    project = kind_said("project")
    by_name = {each.name: each for each in project.fields}
    units = [
        field("name", tr("Name of the project"), hint=tr("you can change it later")),
        field("mass_unit", tr("Masses in"), "choice", options=list(by_name["mass_unit"].options.items()), value="kg"),
        field("pressure_unit", tr("Strengths in"), "choice", options=list(by_name["pressure_unit"].options.items()), value="MPa"),
        field("length_unit", tr("Lengths in"), "choice", options=list(by_name["length_unit"].options.items()), value="mm"),
    ]
    pail = [
        field("pail", tr("Your pail"), hint=tr("what you call it, such as black pail"), if_known=True),
        field(
            "pail_volume",
            tr("It holds, struck level"),
            "number",
            unit_options=[("l", "l"), ("gal", "US gal")],
            unit="l",
            if_known=True,
        ),
        field(
            "pail_tare",
            tr("It weighs, empty"),
            "number",
            unit_options=[("kg", "kg"), ("g", "g"), ("lb", "lb")],
            unit="kg",
            if_known=True,
        ),
    ]
    listed = [
        {"what": name_of(state, state.project), "when": "", "href": f"/p/{state.project}/today"}
        for state in desk_of(request).projects()
    ]
    sources = [field(f"source_{i}", labels[i]) for i in range(ROWS)]
    return plain_page("start.html", sources=sources, pail=pail, units=units, projects=listed, faults=fault, status=status)


@router.post("/buckets")
async def buckets(request: Request) -> Response:
    """Open a project with its buckets, units and pail."""
    raw = raw_form((await request.form()).multi_items())
    hand = hand_of(request)
    desk = desk_of(request)
    entry_id = form_id(raw)
    if entry_id is not None and desk.state(entry_id).find(entry_id, "project") is not None:
        return RedirectResponse(f"/p/{entry_id}/today", 303)
    try:
        entries = opening(desk, [first_text(raw, f"source_{i}") for i in range(ROWS)], raw, hand, entry_id)
    except InputError as fault:
        return _page(request, raw, of_fault(fault), 422)
    desk.keep(entries)
    return RedirectResponse(f"/p/{entries[0].id}/today", 303)


@router.post("/take-in")
async def take(request: Request, file: UploadFile) -> Response:
    """Take in a project file, whole or not at all."""
    try:
        if (file.size or 0) > MOST_BYTES:
            raise InputError("file_not_whole", reason=f"it is larger than {MOST_BYTES // 1024**2} MB")
        contents, _ = take_in(desk_of(request).notebook, await file.read())
    except InputError as fault:
        return _page(request, {}, of_fault(fault), 422)
    desk_of(request).refresh()
    return RedirectResponse(f"/p/{quote(contents.project)}/today", 303)
