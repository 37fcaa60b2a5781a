"""Entries that come from a phone, over the network or as a file: each is taken, had already, set aside or refused by itself."""

import base64
import binascii
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from loamwright.errors import InputError
from loamwright.notebook import pictures, store
from loamwright.notebook.canonical import digest, parsed
from loamwright.notebook.entry import Entry, read_envelope
from loamwright.notebook.schema import BLOB, ENTRY
from loamwright.notebook.store import Notebook

FORMAT = "loamwright waiting 1"
PHOTO = "photo"


@dataclass(frozen=True, slots=True)
class Refused:
    """A line that was not taken: the id it says it has (or an empty text), and why."""

    id: str
    fault: InputError


@dataclass(frozen=True, slots=True)
class Arrival:
    """What became of what came, by id: kept now, had already, set aside (the id of another entry), refused."""

    kept: tuple[str, ...]
    had: tuple[str, ...]
    aside: tuple[str, ...]
    refused: tuple[Refused, ...]


@dataclass(frozen=True, slots=True)
class Parcel:
    """What a phone brings: lines that may be entries, and pictures as base64 by the SHA-256 they say they have."""

    lines: tuple[Any, ...]
    blobs: tuple[tuple[str, str], ...]


def arrive(notebook: Notebook, parcel: Parcel, *, device_now: datetime | None = None) -> Arrival:
    """Keep every line that is an entry, once; a line that is none, or a photo whose picture is none, is refused by itself.

    Parameters
    ----------
    notebook : Notebook
    parcel : Parcel
    device_now : datetime, optional
        The sending device's clock.

    Raises
    ------
    InputError
        "notebook_full" or "notebook_unreadable": nothing was kept, and all may come again.
    """
    blobs, faults = _pictures(parcel.blobs)
    entries: list[Entry] = []
    refused: list[Refused] = []
    for line in parcel.lines:
        try:
            entries.append(_entry(line, faults))
        except InputError as fault:
            refused.append(Refused(_id_said(line), fault))
    fresh = [entry for entry in entries if not _said_before(notebook, entry)]
    said = {entry.id for entry in entries} - {entry.id for entry in fresh}
    receipt = store.append(notebook, fresh, device_now=device_now, blobs=blobs)
    return Arrival(receipt.kept, (*sorted(said), *receipt.had), receipt.aside, tuple(refused))


def _entry(line: Any, faults: Mapping[str, InputError]) -> Entry:
    entry = read_envelope(line if isinstance(line, str) else json.dumps(line))
    blob = entry.body.get("blob")
    if entry.kind == PHOTO and isinstance(blob, str) and blob in faults:
        raise faults[blob]
    return entry


def _id_said(line: Any) -> str:
    found = line.get("id") if isinstance(line, dict) else None
    return found if isinstance(found, str) else ""


def _said_before(notebook: Notebook, entry: Entry) -> bool:
    """Whether the notebook has this id saying the same, only written down at another moment.

    A form that reached the server, its answer lost, is kept by the phone once more under its one id.
    """
    there = store.entry_by_id(notebook, entry.id)
    return there is not None and there.hash != entry.hash and _says(there) == _says(entry)


def _says(entry: Entry) -> tuple[object, ...]:
    return entry.project, entry.kind, entry.schema, entry.body_text, bool(entry.replaces), entry.reason


def _pictures(blobs: Iterable[tuple[str, str]]) -> tuple[list[bytes], dict[str, InputError]]:
    """Pictures that may be kept, and why others may not, by the SHA-256 they came under."""
    good: list[bytes] = []
    faults: dict[str, InputError] = {}
    for mark, text in blobs:
        try:
            good.append(_picture(mark, text))
        except InputError as fault:
            faults[mark] = fault
    return good, faults


def _picture(mark: str, text: str) -> bytes:
    if len(text) > pictures.MOST_BYTES * 4 // 3 + 4:
        raise InputError("picture_too_large", megabytes=len(text) * 3 / 4 / 1024**2, most=pictures.MOST_BYTES // 1024**2)
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError) as fault:
        raise InputError("picture_changed") from fault
    if digest(data) != mark:
        raise InputError("picture_changed")
    pictures.check_picture(data)
    return data


def read_waiting(data: bytes) -> Parcel:
    """What a file written by a phone holds; a line that cannot be read is among its lines, to be refused by itself.

    Raises
    ------
    InputError
        "file_not_waiting" where its first line does not say that it is such a file.
    """
    head, *rest = data.decode("utf-8", errors="replace").split("\n")
    if not is_waiting(data):
        raise InputError("file_not_waiting", found=head[:80])
    lines: list[Any] = []
    blobs: list[tuple[str, str]] = []
    for line in (each for each in rest if each.strip()):
        found = _parsed(line)
        if isinstance(found, dict) and found.keys() == {"blob", "data"}:
            blobs.append((str(found["blob"]), str(found["data"])))
        else:
            lines.append(line if found is None else found)
    return Parcel(tuple(lines), tuple(blobs))


def is_waiting(data: bytes) -> bool:
    """Whether bytes begin as a file of what waits on a phone does."""
    head = _parsed(data[:4096].split(b"\n")[0].decode("utf-8", errors="replace"))
    return isinstance(head, dict) and head.get("format") == FORMAT


def _parsed(line: str) -> Any:
    try:
        return parsed(line)
    except (ValueError, RecursionError):
        return None


def blobs_there(notebook: Notebook, marks: Sequence[str]) -> set[str]:
    """Which of these pictures have arrived."""
    return _there(notebook, BLOB.c.sha256, marks)


def ids_there(notebook: Notebook, ids: Sequence[str]) -> set[str]:
    """Which of these entries the notebook has."""
    return _there(notebook, ENTRY.c.id, ids)


def _there(notebook: Notebook, column: sa.Column[str], wanted: Sequence[str]) -> set[str]:
    found: set[str] = set()
    with notebook.engine.connect().execution_options(reading=True) as connection:
        for start in range(0, len(wanted), 500):
            query = sa.select(column).where(column.in_(list(wanted[start : start + 500])))
            found.update(connection.execute(query).scalars())
    return found
