"""What passes between a phone and the notebook: entries kept without a network, the bench sheet, photos, the worker."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse, RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook import pictures, store
from loamwright.notebook.arriving import PHOTO, Arrival, Parcel, arrive, ids_there, read_waiting
from loamwright.notebook.canonical import digest, parsed
from loamwright.notebook.entry import is_id
from loamwright.notebook.exchange import MOST_BYTES
from loamwright.notebook.fields import first_text
from loamwright.notebook.store import read_blob
from loamwright.project.carried import set_marks_aside
from loamwright.project.desk import Desk, Hand
from loamwright.web import offline
from loamwright.web.keeping import Here, back_to, with_kept
from loamwright.web.phone_words import phone_words
from loamwright.web.render import form_id, plain_page, raw_form
from loamwright.web.request import WHO, desk_of, hand_of
from loamwright.words.arrivals import arrival_lines
from loamwright.words.bench_sheet import bench_sheet
from loamwright.words.language import tr
from loamwright.words.sentences import of_fault

router = APIRouter()
_SHOWN = 50  # refused lines shown on the page


@router.get("/sw.js")
def worker() -> Response:
    """The worker that keeps pages on the phone; asked for anew each time."""
    headers = {"Cache-Control": "no-cache", "Service-Worker-Allowed": "/"}
    return Response(offline.worker(), media_type="text/javascript", headers=headers)


# --- entries from a phone ---


@router.post("/bench/push")
async def push(request: Request) -> Response:
    """Keep each entry a phone sends, once; no name and no cookie is asked for, the device says itself what it is."""
    try:
        sent = _sent(await offline.limited_body(request))
        parcel = _parcel(sent)
        device_now = _device_now(sent)
        arrival = await run_in_threadpool(arrive, desk_of(request).notebook, parcel, device_now=device_now)
    except InputError as fault:
        return _refusal(fault)
    now = hand_of(request).moment
    ahead = 0.0 if device_now is None else (device_now - now) / timedelta(milliseconds=1)
    return JSONResponse({**_said(arrival), "clock_ahead_ms": round(ahead)})


def _sent(body: bytes) -> Mapping[str, Any]:
    try:
        found = parsed(body.decode("utf-8"))
    except (ValueError, RecursionError) as fault:
        raise InputError("push_not_read", reason=str(fault)) from fault
    if not isinstance(found, dict):
        raise InputError("push_not_read", reason=tr("it is no set of named values"))
    return found


def _parcel(sent: Mapping[str, Any]) -> Parcel:
    entries, blobs = sent.get("entries"), sent.get("blobs") or []
    if not isinstance(entries, list):
        raise InputError("push_not_read", reason=tr("it has no list of entries"))
    if not isinstance(blobs, list) or not all(_is_blob(each) for each in blobs):
        raise InputError("push_not_read", reason=tr("its pictures are not a list of hash and data"))
    # A line that is a text is no entry either: only what came as named values is looked at.
    lines = tuple(each if isinstance(each, dict) else {"line": each} for each in entries)
    return Parcel(lines, tuple((each["sha256"], each["data"]) for each in blobs))


def _is_blob(found: Any) -> bool:
    return isinstance(found, dict) and isinstance(found.get("sha256"), str) and isinstance(found.get("data"), str)


def _device_now(sent: Mapping[str, Any]) -> datetime | None:
    try:
        found = datetime.fromisoformat(str(sent.get("now", "")))
        return found if found.tzinfo is not None and 1970 < found.year < 3000 else None
    except ValueError:
        return None


def _said(arrival: Arrival) -> dict[str, Any]:
    return {
        "kept": list(arrival.kept),
        "had": list(arrival.had),
        "aside": list(arrival.aside),
        "refused": [{"id": each.id, "code": each.fault.code, "words": of_fault(each.fault)} for each in arrival.refused],
    }


def _refusal(fault: InputError) -> Response:
    status = {
        "push_too_large": 413,
        "notebook_full": 507,
        "notebook_unreadable": 503,
        "notebook_read_only": 503,
        "not_found": 404,
    }.get(fault.code, 400)
    return JSONResponse({"code": fault.code, "words": of_fault(fault)}, status_code=status)


# --- the bench sheet ---


@router.post("/bench/sheet")
async def sheet(request: Request) -> Response:
    """The bench sheet of a project, and which of the phone's entries are here."""
    try:
        sent = _sent(await offline.limited_body(request))
    except InputError as fault:
        return _refusal(fault)
    desk = desk_of(request)
    project, device = str(sent.get("project") or ""), str(sent.get("device") or "")
    if desk.state(project).find(project, "project") is None:
        return _refusal(InputError("not_found", kind="project", id=project[:80]))
    hand = hand_of(request)
    made = await run_in_threadpool(_sheet, desk, project, Hand(hand.moment, hand.by, device if is_id(device) else ""))
    have = sent.get("have")
    asked = [each for each in have if isinstance(each, str)] if isinstance(have, list) else []
    return JSONResponse({**made, "has": sorted(ids_there(desk.notebook, asked))})


def _sheet(desk: Desk, project: str, hand: Hand) -> dict[str, Any]:
    set_marks_aside(desk, project, hand)
    made = bench_sheet(desk.state(project), now=hand.moment, bench=desk.notebook.bench, device=hand.device)
    return {**made, "said": phone_words()}


@router.post("/bench/who")
async def who(request: Request) -> Response:
    """Who the phone says is at the bench, for the server's own pages."""
    try:
        name = str(_sent(await offline.limited_body(request, megabytes=1)).get("name") or "")[:200]
    except InputError as fault:
        return _refusal(fault)
    answer = Response(status_code=204)
    answer.set_cookie(WHO, quote(name), max_age=60 * 60 * 16, samesite="lax", httponly=True)
    return answer


# --- a file of what waits on a phone ---


@router.get("/bench/import")
def ask_file() -> Response:
    """The page that takes in a file a phone wrote."""
    return plain_page("bench/import.html", lines=[], refused=[], fault="")


@router.post("/bench/import")
async def take_file(request: Request, file: UploadFile) -> Response:
    """Take in a file a phone wrote, and say what became of every line."""
    desk = desk_of(request)
    try:
        if (file.size or 0) > MOST_BYTES:
            raise InputError("push_too_large", most=MOST_BYTES // 1024**2)
        parcel = read_waiting(await file.read())
        arrival = await run_in_threadpool(arrive, desk.notebook, parcel)
    except InputError as fault:
        return plain_page("bench/import.html", lines=[], refused=[], fault=of_fault(fault), status=422)
    desk.refresh()
    refused = [{"id": each.id, "why": of_fault(each.fault)} for each in arrival.refused]
    return plain_page("bench/import.html", lines=arrival_lines(arrival), refused=refused[:_SHOWN], fault="")


# --- photos ---


@router.get("/p/{project}/photo/{mark}")
def photo(at: Here, mark: str) -> Response:
    """A picture, if an entry of this project names it."""
    named = any(fact.get("blob") == mark for fact in at.state.everything(PHOTO))
    data = read_blob(at.desk.notebook, mark) if named else None
    if data is None:
        raise InputError("not_found", kind="photo", id=mark[:80])
    kind = pictures.media_type(data)
    headers = {
        "Content-Disposition": f'inline; filename="photo-{mark[:12]}.{kind.removeprefix("image/")}"',
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    return Response(data, media_type=kind or "application/octet-stream", headers=headers)


@router.post("/p/{project}/photo")
async def keep_photo(request: Request, at: Here) -> Response:
    """Keep a photo from a plain form, made small here."""
    async with request.form(max_files=1) as form:
        file = form.get("file")
        data = b"" if file is None or isinstance(file, str) else await file.read()
        raw = raw_form([(name, value) for name, value in form.multi_items() if isinstance(value, str)])
    of = at.state.versions.entity(first_text(raw, "of"))
    if not at.state.versions.history(of):
        raise InputError("not_found", kind="entry", id=of[:80])
    if not data:
        raise InputError("no_picture")
    small = await run_in_threadpool(pictures.reduced, data)
    note = first_text(raw, "note").strip()
    body = {"of": of, "blob": digest(small), **({"note": note} if note else {})}
    entry = at.desk.entry(PHOTO, body, at.hand, project=at.project, entry_id=form_id(raw))
    store.append(at.desk.notebook, [entry], blobs=[small])
    at.desk.refresh()
    return RedirectResponse(with_kept(back_to(at, first_text(raw, "back"), "today"), entry.id), 303)
