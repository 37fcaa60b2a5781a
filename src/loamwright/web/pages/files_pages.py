"""Files in and out: readings as a spreadsheet, days for a calendar, and rows from a file, all of them or none."""

from datetime import datetime
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from loamwright.errors import InputError
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import first_text
from loamwright.notebook.kinds import VERBS, Kind
from loamwright.papers import rows_in, spreadsheet
from loamwright.papers.calendar import calendar, newest
from loamwright.papers.columns import by_file, kind_by_file
from loamwright.papers.table_file import MOST_BYTES, Mark, mark_of
from loamwright.web.keeping import Here, with_kept
from loamwright.web.pages.shared import project_router
from loamwright.web.render import VERB_LABELS, At, form_id, page, raw_form
from loamwright.words.language import later, tr, trn
from loamwright.words.numbers import day
from loamwright.words.sentences import of_fault

router = project_router()
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MARKS: tuple[tuple[Mark, str], ...] = (("comma", later("comma: 1,25")), ("point", later("point: 1.25")))
FAULTS_SHOWN = 200


def _download(data: bytes, name: str, media: str) -> Response:
    return Response(data, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'})


@router.get("/files")
def show(at: Here) -> Response:
    """What can be taken out, and what can be brought in."""
    groups = [
        {
            "label": tr(VERB_LABELS[verb]) if verb in VERB_LABELS else tr("Today"),
            "kinds": [{"what": kind.label, "when": "", "href": at.href("files", "in", kind.name)} for kind in kinds],
        }
        for verb in VERBS
        if (kinds := [kind for kind in by_file() if kind.verb == verb])
    ]
    return page(at, "files/all.html", groups=groups)


@router.get("/files/readings.xlsx")
def readings(at: Here) -> Response:
    """Readings and results as a workbook."""
    data = spreadsheet.workbook(at.state, at.shown, as_of=at.hand.moment)
    return _download(data, f"readings-{at.project[:8]}.xlsx", XLSX)


@router.get("/files/days.ics")
def days(at: Here) -> Response:
    """Days of cure, soak and test as a calendar."""
    data = calendar(at.state, as_of=newest(at.state).astimezone(at.hand.moment.tzinfo))
    return _download(data, f"days-{at.project[:8]}.ics", "text/calendar; charset=utf-8")


@router.get("/files/template/{name}.xlsx")
def template(at: Here, name: str) -> Response:
    """An empty workbook to fill in."""
    kind = kind_by_file(name)
    return _download(spreadsheet.template(kind, at.shown), f"{kind.name}.xlsx", XLSX)


@router.get("/files/template/{name}.csv")
def template_csv(at: Here, name: str) -> Response:
    """The same heads as text."""
    kind = kind_by_file(name)
    return _download(spreadsheet.template_csv(kind, at.shown), f"{kind.name}.csv", "text/csv; charset=utf-8")


@router.get("/files/in/{name}")
def ask(at: Here, name: str) -> Response:
    """Bring rows of one kind."""
    return _ask(at, kind_by_file(name))


def _ask(at: At, kind: Kind, *, decimal: str = "", status: int = 200, **told: Any) -> Response:
    values = {"fault": "", "faults": [], "more": "", "again": False, "entry_id": new_id(), **told}
    return page(
        at,
        "files/rows.html",
        verb=kind.verb,
        in_task=True,
        status=status,
        kind=kind,
        mark={
            "name": "decimal",
            "label": tr("Before the decimals the file has a"),
            "kind": "choice",
            "hint": tr("needed for CSV, and for numbers written as text"),
            "options": [(key, tr(words)) for key, words in MARKS],
            "value": decimal,
            "if_known": False,
        },
        template_xlsx=at.href("files", "template", f"{kind.name}.xlsx"),
        template_csv=at.href("files", "template", f"{kind.name}.csv"),
        action=at.href("files", "in", kind.name),
        taken=_taken(at),
        **values,
    )


def _taken(at: At) -> str:
    """How many rows came with the one just kept."""
    kept = at.state.versions.entries.get(at.request.query_params.get("kept", ""))
    if kept is None or not kept.device.startswith(rows_in.DEVICE):
        return ""
    together = [
        each for each in at.state.versions.entries.values() if each.device == kept.device and each.id[:13] == kept.id[:13]
    ]
    return trn("{n} row of the file is kept.", "All {n} rows of the file are kept.", len(together))


@router.post("/files/in/{name}")
async def bring(request: Request, at: Here, name: str) -> Response:
    """Keep every row of a file, or none and say what is wrong with each."""
    kind = kind_by_file(name)
    async with request.form() as form:
        raw = raw_form([(key, value) for key, value in form.multi_items() if isinstance(value, str)])
        data = await _bytes(form)
    sent_id = form_id(raw) or new_id()
    decimal = mark_of(first_text(raw, "decimal"))
    try:
        reading = rows_in.read(at.state, kind, data, decimal=decimal)
    except InputError as fault:
        return _ask(at, kind, decimal=decimal, status=422, fault=of_fault(fault))
    if reading.faults:
        return _with_faults(at, reading, decimal)
    before = rows_in.brought_before(at.state, reading, sent_id)
    if before is not None and first_text(raw, "again") != "yes":
        return _ask(at, kind, decimal=decimal, status=422, fault=_before(at, before), again=True)
    if not reading.rows:
        words = trn(
            "{n} row is here already; nothing new was kept.", "All {n} rows are here already; nothing new was kept.", reading.here
        )
        return _ask(at, kind, decimal=decimal, fault=words)
    entries = rows_in.entries(at.desk, reading, at.hand, project=at.project, form_id=sent_id)
    at.desk.keep(entries)
    return RedirectResponse(with_kept(at.href("files", "in", kind.name), entries[-1].id), 303)


def _before(at: At, before: datetime) -> str:
    return of_fault(InputError("file_brought_before", on=day(before.date(), at.hand.moment.date())))


def _with_faults(at: At, reading: rows_in.Reading, decimal: str) -> Response:
    faults = [[str(each.row), each.head, of_fault(each.fault)] for each in reading.faults[:FAULTS_SHOWN]]
    more = len(reading.faults) - len(faults)
    return _ask(
        at,
        reading.kind,
        decimal=decimal,
        status=422,
        faults=faults,
        fault=trn(
            "{n} cell cannot be taken, so nothing of this file was kept.",
            "{n} cells cannot be taken, so nothing of this file was kept.",
            len(reading.faults),
        ),
        more=trn("and {n} more", "and {n} more", more) if more else "",
    )


async def _bytes(form: FormData) -> bytes:
    file = form.get("file")
    return await file.read(MOST_BYTES + 1) if isinstance(file, UploadFile) else b""
