"""Keeping, correcting, undoing and answering: the same few routes for every kind of entry."""

from collections.abc import Mapping, Sequence
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, instant, local_moment, new_id
from loamwright.notebook.fields import first_text, parse
from loamwright.notebook.kinds import Kind
from loamwright.project import telling
from loamwright.project.tested import tested_kinds
from loamwright.web.forms import first_and_more, form_fields, raw_of_body
from loamwright.web.photos import photos_of, picture_of
from loamwright.web.render import At, form_id, page, raw_form
from loamwright.web.request import at_project
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.contested import live_versions
from loamwright.words.language import later, tr
from loamwright.words.showing import entry_line, entry_words, name_of

router = APIRouter(prefix="/p/{project}")
Here = Annotated[At, Depends(at_project)]
Raw = Mapping[str, Sequence[str]]
# Kinds that tell a person figures, or open a project, are kept on the page that shows those figures.
OWN_PAGES: Mapping[str, tuple[str, ...]] = {
    "project": ("today",),
    "batch": ("weigh",),
    "plan": ("weigh", "plan"),
    "choice": ("choose",),
    "recipe": ("make",),
    "printed": ("papers",),
}
REASONS = [later("typing slip"), later("read wrong"), later("added later"), later("other")]
SETTLED = later("chosen of two")


def back_to(at: At, wanted: str, verb: str) -> str:
    """Where to go after keeping: the page that asked, if it is one of this project, else the verb's own."""
    return wanted if wanted.startswith(at.href()) and "//" not in wanted and "\\" not in wanted else at.href(verb)


def with_kept(address: str, entry_id: str) -> str:
    """An address that also says what was just kept."""
    path, _, anchor = address.partition("#")
    path = path.split("?kept=")[0].split("&kept=")[0]
    joined = f"{path}{'&' if '?' in path else '?'}kept={quote(entry_id)}"
    return f"{joined}#{anchor}" if anchor else joined


def with_presets(raw: dict[str, list[str]]) -> dict[str, list[str]]:
    """A sent form with what its page had fixed ("preset_batch") under the names of the fields themselves."""
    return {**raw, **{key.removeprefix("preset_"): value for key, value in raw.items() if key.startswith("preset_")}}


def tapped(kind: Kind, raw: Raw) -> dict[str, Any]:
    """The body of a tap, which has no field to show a fault beside: the first fault is raised."""
    parsed = parse(kind.fields, raw)
    for fault in parsed.faults.values():
        raise fault
    return parsed.body


def keep_one(at: At, kind: str, body: Mapping[str, Any], raw: Raw) -> Entry:
    """Keep one entry under the id its form carries, and give it back."""
    entry = at.desk.entry(kind, body, at.hand, project=at.project, entry_id=form_id(raw))
    at.desk.keep([entry])
    return entry


def keep_told(at: At, kind: str, body: dict[str, Any], raw: Raw) -> str:
    """Keep an entry with the figures a person is told in it, and give its id; sent again, it stands as it was told first."""
    entry_id = form_id(raw) or new_id()
    if entry_id not in at.state.versions.entries:
        told = telling.with_told(at.state, kind, body, entry_id=entry_id, at=instant(at.hand.moment)[0])
        at.desk.keep([at.desk.entry(kind, told, at.hand, project=at.project, entry_id=entry_id)])
    return entry_id


def show_form(at: At, kind: Kind, *, raw: Raw, faults: Mapping[str, InputError], correcting: str = "") -> HTMLResponse:
    """One kind asked on a page of its own; what was typed stays, faults stand beside their fields."""
    preset = {} if correcting else {name: raw[f"preset_{name}"][0] for name in _field_names(kind) if f"preset_{name}" in raw}
    for name, value in preset.items():
        raw = {**raw, name: [value]}
    fields = form_fields(at.state, kind, at.shown, raw=raw, faults=faults, preset=preset)
    first, more = first_and_more(kind, fields)
    return page(
        at,
        "form.html",
        verb=kind.verb,
        in_task=True,
        status=422 if faults else 200,
        kind=kind,
        fields=first,
        more=more,
        lacking=[piece for piece in first if piece["kind"] == "choice" and not piece["options"]],
        asked=at.request.url.path + (f"?{at.request.url.query}" if at.request.url.query else ""),
        preset=preset,
        about=_preset_words(at, kind, preset),
        entry_id=first_text(raw, "entry_id") or new_id(),
        back=first_text(raw, "back"),
        correcting=correcting,
        heads=_heads(at, correcting) if correcting else (),
        reasons=[(reason, tr(reason)) for reason in REASONS],
        faults=len(faults),
        cautions=cautions_for(kind.name),
    )


def _preset_words(at: At, kind: Kind, preset: Mapping[str, str]) -> list[str]:
    """What the page that asked has already said, so that nobody fills in a form for the wrong thing."""
    found = []
    for each in kind.fields:
        value = preset.get(each.name, "")
        if value in each.options:
            found.append(f"{each.label} {each.options[value]}")
        elif value and at.state.find(value) is not None:
            found.append(name_of(at.state, value))
    return found


def _field_names(kind: Kind) -> list[str]:
    return [each.name for each in kind.fields]


@router.get("/write/{name}")
def ask(at: Here, name: str) -> Response:
    """The form of a kind; fields named in the address as preset_<field> are fixed."""
    kind = kind_said(name)
    if kind.name in OWN_PAGES:
        return RedirectResponse(at.href(*OWN_PAGES[kind.name]), 303)
    raw = raw_form(at.request.query_params.multi_items())
    return show_form(at, kind, raw=raw, faults={})


@router.post("/write/{name}")
async def keep(request: Request, at: Here, name: str) -> Response:
    """Keep what can be read; what cannot comes back as typed with its sentence."""
    kind = kind_said(name)
    if kind.name in OWN_PAGES:
        raise InputError("has_own_page", kind=kind.label)
    raw = raw_form((await request.form()).multi_items())
    raw = with_presets(raw)
    parsed = parse(kind.fields, raw)
    if parsed.faults:
        return show_form(at, kind, raw=raw, faults=parsed.faults)
    entry = keep_one(at, name, parsed.body, raw)
    there = at.href("test", entry.id) if name in tested_kinds() else back_to(at, first_text(raw, "back"), kind.verb)
    return RedirectResponse(with_kept(there, entry.id), 303)


@router.get("/entry/{entry}")
def history(at: Here, entry: str) -> Response:
    """Everything that was said of one entity, the version that counts first."""
    root = at.state.versions.entity(entry)
    versions = at.state.versions.history(root)
    if not versions:
        raise InputError("not_found", kind="entry", id=entry)
    heads = {head.id for head in at.state.versions.heads(root)}
    fact = at.state.find(root)
    lines = [
        {
            "id": each.id,
            "words": entry_line(at.state, each.id, at.shown),
            "by": each.by or tr("nobody named"),
            "at": f"{local_moment(each.at, each.offset):%Y-%m-%d %H:%M}",
            "reason": tr(each.reason),
            "counts": each.id in heads,
            "hash": each.hash[:12],
        }
        for each in reversed(versions)
    ]
    kind_name = versions[0].kind
    return page(
        at,
        "entry.html",
        verb=_verb(kind_name),
        in_task=True,
        lines=lines,
        root=root,
        known=_known(kind_name),
        words=[] if fact is None else entry_words(at.state, fact, whole=True),
        contested=[{"label": words, "name": "settle", "value": head} for head, words in live_versions(at.state, root)],
        photos=photos_of(at, root),
        picture=picture_of(at, fact),
    )


def _known(kind_name: str) -> Kind | None:
    try:
        return kind_said(kind_name)
    except InputError:
        return None


def _verb(kind_name: str) -> str:
    known = _known(kind_name)
    return "today" if known is None else known.verb


@router.get("/correct/{entry}")
def ask_correction(at: Here, entry: str) -> Response:
    """The form of an entry with what it says now, to be corrected."""
    old = at.state.versions.entries.get(entry)
    if old is None:
        raise InputError("not_found", kind="entry", id=entry)
    kind = kind_said(old.kind)
    raw = raw_of_body(kind, old.body)
    raw["back"] = [at.request.query_params.get("back", "")]
    return show_form(at, kind, raw=raw, faults={}, correcting=entry)


@router.post("/correct/{entry}")
async def keep_correction(request: Request, at: Here, entry: str) -> Response:
    """Keep a correction: it replaces every live version of its entity, so a contested reading is settled by it too."""
    old = at.state.versions.entries.get(entry)
    if old is None:
        raise InputError("not_found", kind="entry", id=entry)
    kind = kind_said(old.kind)
    raw = raw_form((await request.form()).multi_items())
    parsed = parse(kind.fields, raw)
    if parsed.faults:
        return show_form(at, kind, raw=raw, faults=parsed.faults, correcting=entry)
    heads = _heads(at, entry)
    kept = at.desk.entry(
        kind.name,
        {**_told_parts(kind, old.body), **parsed.body},
        at.hand,
        project=at.project,
        replaces=heads,
        reason=first_text(raw, "reason") or REASONS[0],
        entry_id=form_id(raw),
    )
    at.desk.keep([kept])
    return RedirectResponse(with_kept(back_to(at, first_text(raw, "back"), kind.verb), kept.id), 303)


def _heads(at: At, entry: str) -> tuple[str, ...]:
    """Every live version of the entity an entry belongs to: what a correction replaces."""
    return tuple(head.id for head in at.state.versions.heads(at.state.versions.entity(entry))) or (entry,)


def _told_parts(kind: Kind, body: Mapping[str, Any]) -> dict[str, Any]:
    """What the program told a person stays with the entry when a person corrects the rest."""
    return {each.name: body[each.name] for each in kind.fields if each.kind == "told" and each.name in body}


@router.post("/undo/{entry}")
async def undo(request: Request, at: Here, entry: str) -> Response:
    """Undo one entry by appending another; both stay in the record. Sent twice, it undoes once."""
    raw = raw_form((await request.form()).multi_items())
    wanted_id = form_id(raw)
    if wanted_id is None or wanted_id not in at.state.versions.entries:
        undone = at.desk.undo(at.project, entry, at.hand, entry_id=wanted_id)
        at.desk.keep([undone])
        wanted_id = undone.id
    address = request.headers.get("referer", "")
    path = address[address.find("/p/") :] if "/p/" in address else ""
    old = at.state.versions.entries.get(entry)
    if old is None:
        raise InputError("not_found", kind="entry", id=entry)
    return RedirectResponse(with_kept(back_to(at, path, _verb(old.kind)), wanted_id), 303)


@router.post("/answer")
async def answer(request: Request, at: Here) -> Response:
    """Answer a question: it stands, or it is left out; or of two live versions, which one counts. Sent twice, it answers once."""
    raw = raw_form((await request.form()).multi_items())
    if chosen := first_text(raw, "settle"):
        settled_id = form_id(raw)
        # By the state as of now: the same tap sent twice may have been answered since this request began.
        if settled_id is None or settled_id not in at.desk.state(at.project).versions.entries:
            settled = at.desk.settle(at.project, chosen, at.hand, entry_id=settled_id)
            at.desk.keep([settled])
            settled_id = settled.id
        return RedirectResponse(with_kept(back_to(at, first_text(raw, "back"), "today"), settled_id), 303)
    entry = keep_one(at, "answer", tapped(kind_said("answer"), raw), raw)
    return RedirectResponse(with_kept(back_to(at, first_text(raw, "back"), "today"), entry.id), 303)
