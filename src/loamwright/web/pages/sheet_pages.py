"""Sheets to print and the grids to type them in at lunch: one model, so that rows and order agree."""

from collections.abc import Callable, Mapping
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.fields import first_text
from loamwright.papers import bench_sheets
from loamwright.papers.sheet import Column, Sheet, read_grid
from loamwright.project.state import Fact, State
from loamwright.web.keeping import Here, with_kept
from loamwright.web.pages.shared import project_router
from loamwright.web.render import At, form_id, page, raw_form
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault

router = project_router()
VERB_OF = {
    "pails": "dig",
    "jar": "shake",
    "ladder": "weigh",
    "weigh-out": "weigh",
    "press": "press",
    "break": "break",
    "recipe": "make",
    "morning": "make",
}
# Sheets of one entity: the kind they are about, and what makes them.
ABOUT: Mapping[str, tuple[str, Callable[[State, Fact, Shown], Sheet]]] = {
    "jar": ("jar", bench_sheets.jar_sheet),
    "ladder": ("blend", bench_sheets.ladder_sheet),
    "weigh-out": ("batch", bench_sheets.weigh_out),
    "press": ("batch", bench_sheets.press_sheet),
    "recipe": ("recipe", bench_sheets.recipe_sheet),
    "morning": ("recipe", bench_sheets.morning_sheet),
}


BACK = {
    "weigh-out": ("weigh", "batch"),
    "press": ("press", "batch"),
    "jar": ("shake", "jar"),
    "ladder": ("weigh", "ladder"),
    "morning": ("make", "recipe"),
}


PAPER_OF = {"break": "test-day"}  # where the paper of a sheet has another name


def _sheet(at: At, name: str, about: str) -> Sheet:
    if name == "break":
        rigs = at.state.all("rig")
        return bench_sheets.break_sheet(at.state, at.shown, at.state.find(about, "rig") or (rigs[-1] if rigs else None))
    if name == "pails":
        return bench_sheets.pails_sheet(at.state, at.shown)
    if name not in ABOUT:
        raise InputError("not_found", kind="sheet", id=name)
    kind, make = ABOUT[name]
    return make(at.state, at.state.fact(about, kind), at.shown)


def _columns(columns: tuple[Column, ...]) -> list[dict[str, str]]:
    return [{"key": each.key, "label": each.label, "unit": each.unit, "kind": each.kind} for each in columns]


def _rows(sheet: Sheet) -> list[dict[str, str]]:
    return [{"key": row.key, "label": row.label} for row in sheet.rows]


@router.get("/sheet/{name}")
@router.get("/sheet/{name}/{about}")
def printed(at: Here, name: str, about: str = "") -> Response:
    """The sheet as it is printed: orders filled in, boxes blank."""
    sheet = _sheet(at, name, about)
    return page(
        at,
        "papers/sheet.html",
        verb=VERB_OF[name],
        in_task=True,
        sheet=sheet,
        rows=_rows(sheet),
        columns=_columns(sheet.columns),
        values={row.key: row.printed for row in sheet.rows},
        grid_href=at.href("grid", name, *([about] if about else [])) if sheet.boxes else "",
        pdf_href=at.href("paper", PAPER_OF.get(name, name), *([about] if about else [])) + ".pdf",
        cautions=list(sheet.cautions),
    )


@router.get("/grid/{name}")
@router.get("/grid/{name}/{about}")
def ask_grid(at: Here, name: str, about: str = "") -> Response:
    """The grid laid out like the sheet."""
    return _grid(at, _sheet(at, name, about), about, {}, {})


def _grid(
    at: At, sheet: Sheet, about: str, typed: dict[str, list[str]], faults: dict[str, dict[str, str]], kept: int = 0
) -> Response:
    values = {
        row.key: {**row.printed, **{box.key: first_text(typed, f"{row.key}.{box.key}") for box in sheet.boxes}}
        for row in sheet.rows
    }
    return page(
        at,
        "papers/grid.html",
        verb=VERB_OF[sheet.name],
        in_task=True,
        status=422 if faults else 200,
        sheet=sheet,
        rows=_rows(sheet),
        columns=_columns(sheet.boxes),
        shared=[_shared(box, typed) for box in sheet.shared],
        values=values,
        faults=faults,
        kept_count=kept,
        action=at.href("grid", sheet.name, *([about] if about else [])),
        sheet_href=at.href("sheet", sheet.name, *([about] if about else [])),
        cautions=list(sheet.cautions),
    )


def _shared(box: Column, typed: dict[str, list[str]]) -> dict[str, Any]:
    value = first_text(typed, f"all.{box.key}")
    return {"name": f"all.{box.key}", "label": box.label, "kind": "number", "unit": box.unit, "value": value, "if_known": True}


@router.post("/grid/{name}")
@router.post("/grid/{name}/{about}")
async def keep_grid(request: Request, at: Here, name: str, about: str = "") -> Response:
    """Keep every row that can be read; the others come back as typed, each with its sentence."""
    raw = raw_form((await request.form()).multi_items())
    sheet = _sheet(at, name, about)
    sent_id = form_id(raw)
    reading = read_grid(sheet, raw)
    entries = [
        at.desk.entry(
            each.kind, each.body, at.hand, project=at.project, entry_id=entry_id_for(sent_id, f"{each.row}.{each.group}")
        )
        for each in reading.entries
    ]
    if entries:
        at.desk.keep(entries)
    if reading.faults:
        done = {each.row for each in reading.entries} - reading.faults.keys()
        left = {name: value for name, value in raw.items() if name.split(".")[0] not in done}
        told = {row: {column: of_fault(fault) for column, fault in found.items()} for row, found in reading.faults.items()}
        return _grid(at, _sheet(at, name, about), about, left, told, len(entries))
    back = at.href(*BACK.get(name, (VERB_OF[name],)), *([about] if name in BACK else []))
    return RedirectResponse(with_kept(back, entries[-1].id) if entries else back, 303)


def entry_id_for(form_id: str | None, box: str) -> str | None:
    """An id for one row of a form, the same when the same form is sent again: the form's own moment, then a digest of both."""
    if form_id is None:
        return None
    from loamwright.notebook.canonical import digest

    mark = digest(f"{form_id} {box}")
    return f"{form_id[:14]}7{mark[:3]}-{'89ab'[int(mark[3], 16) % 4]}{mark[4:7]}-{mark[7:19]}"
