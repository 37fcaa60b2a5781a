"""A table out of a file somebody brings: .xlsx, .ods or text with separators. Never trusted; no mark in it is guessed."""

import csv
import io
import json
import subprocess
import sys
import zipfile
import zlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Literal

from loamwright.errors import InputError

Mark = Literal["comma", "point", ""]
MARKS: tuple[Mark, ...] = ("comma", "point")
MOST_BYTES = 8 * 1024**2
MOST_UNPACKED = 96 * 1024**2
MOST_ROWS = 4000  # three hex digits of an id hold the number of a row
MOST_COLUMNS = 300
MOST_SECONDS = 30.0
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # the container of .xls, and of any workbook with a password
_LOCKED = "EncryptedPackage".encode("utf-16-le")
_DELIMITERS = ";,\t|"

Cell = str | float | bool | date | datetime | None


@dataclass(frozen=True, slots=True)
class Table:
    """Heads and rows of a file; `numbers` holds the number of each row as the person sees it in the file."""

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    numbers: tuple[int, ...]
    is_text: bool


def mark_of(text: str) -> Mark:
    """The decimal mark a door was told, or that none was said."""
    return next((mark for mark in MARKS if mark == text), "")


def read_table(data: bytes, *, tabs: Sequence[str] = ()) -> Table:
    """The table of a file, empty rows left out.

    Parameters
    ----------
    data : bytes
        The file.
    tabs : sequence of str
        Names of the sheet wanted from a workbook; the only sheet is taken where none of them is there.

    Raises
    ------
    InputError
        "file_empty", "file_too_large", "file_old_form", "file_locked", "file_not_a_table", "file_damaged", "file_unpacks_large",
        "file_takes_too_long", "no_such_tab", "too_many_rows", "too_many_columns", "letters_not_read".

    Examples
    --------
    >>> read_table(b"Name;Height [mm]\\nA;90,5\\n").rows
    (('A', '90,5'),)
    """
    if not data.strip():
        raise InputError("file_empty")
    if len(data) > MOST_BYTES:
        raise InputError("file_too_large", mb=MOST_BYTES // 1024**2)
    if data.startswith(_OLD):
        if _LOCKED in data:
            raise InputError("file_locked")
        raise InputError("file_old_form")
    if data.startswith(b"PK"):
        _check_zip(data)
        return _table(_from_child(data, [name.strip().casefold() for name in tabs]), is_text=False)
    return _table(_from_text(data), is_text=True)


def _table(rows: Sequence[Sequence[Cell]], *, is_text: bool) -> Table:
    """Heads from the first row that is not empty."""
    filled = [(number, row) for number, row in enumerate(rows, start=1) if any(each not in (None, "") for each in row)]
    if not filled:
        raise InputError("file_empty")
    heads = tuple(str(each or "").strip() for each in filled[0][1])
    width = max(len(row) for _, row in filled)
    if width > MOST_COLUMNS:
        raise InputError("too_many_columns", columns=width, most=MOST_COLUMNS)
    body = filled[1:]
    if len(body) > MOST_ROWS:
        raise InputError("too_many_rows", rows=len(body), most=MOST_ROWS)
    return Table(heads, tuple(tuple(row) for _, row in body), tuple(number for number, _ in body), is_text)


# --- workbooks ---


def _check_zip(data: bytes) -> None:
    """Unpack once into nothing, counting: a file may hold far more than it weighs, and say otherwise."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = set(archive.namelist())
            if not {"xl/workbook.xml", "content.xml"} & names:
                raise InputError("file_not_a_table")
            unpacked = 0
            for info in archive.infolist():
                if info.flag_bits & 1:
                    raise InputError("file_locked")
                with archive.open(info) as part:
                    while piece := part.read(1024**2):
                        unpacked += len(piece)
                        if unpacked > MOST_UNPACKED:
                            raise InputError("file_unpacks_large", mb=MOST_UNPACKED // 1024**2)
            if "META-INF/manifest.xml" in names and b"encryption-data" in archive.read("META-INF/manifest.xml"):
                raise InputError("file_locked")
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError) as fault:
        if isinstance(fault, InputError):
            raise
        raise InputError("file_damaged", reason=str(fault)) from fault


def _from_child(data: bytes, tabs: list[str]) -> list[list[Cell]]:
    limits = json.dumps([tabs, MOST_ROWS, MOST_COLUMNS])
    command = [sys.executable, "-m", "loamwright.papers.workbook_child", limits]
    try:
        done = subprocess.run(command, input=data, capture_output=True, timeout=MOST_SECONDS, check=False)
    except subprocess.TimeoutExpired as fault:
        raise InputError("file_takes_too_long", seconds=int(MOST_SECONDS)) from fault
    try:
        answer = json.loads(done.stdout)
    except ValueError:  # ended by its bounds, or by what is in the file
        raise InputError("file_damaged", reason="it cannot be unpacked within its bounds") from None
    if "code" in answer:
        raise _child_fault(answer)
    return [[_untagged(cell) for cell in row] for row in answer["rows"]]


def _child_fault(answer: dict[str, Any]) -> InputError:
    match answer["code"]:
        case "no_such_tab":
            return InputError("no_such_tab", there="; ".join(answer["there"]))
        case "too_many_rows":
            return InputError("too_many_rows", rows=answer["rows"], most=MOST_ROWS)
        case "too_many_columns":
            return InputError("too_many_columns", columns=answer["columns"], most=MOST_COLUMNS)
        case "file_locked":
            return InputError("file_locked")
    return InputError("file_damaged", reason=answer["reason"])


def _untagged(cell: list[Any] | None) -> Cell:
    if cell is None:
        return None
    kind, value = cell
    if kind == "moment":
        # A workbook counts days in fractions: 10:15 may arrive as 10:14:59.999.
        return (datetime.fromisoformat(value) + timedelta(seconds=30)).replace(second=0, microsecond=0)
    found: Cell = date.fromisoformat(value) if kind == "date" else value
    return found


# --- text with separators ---


def _from_text(data: bytes) -> list[list[Cell]]:
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        if b"\0" in data or data.startswith(b"%PDF"):
            raise InputError("file_not_a_table") from None
        raise InputError("letters_not_read") from None
    if "\0" in text or text.startswith("%PDF"):
        raise InputError("file_not_a_table")
    found: list[list[Cell]] = []
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter(text), strict=True):
            found.append([cell.strip() for cell in row])
            if len(found) > 2 * MOST_ROWS:
                raise InputError("too_many_rows", rows=f"{len(found)} or more", most=MOST_ROWS)
    except csv.Error as fault:
        raise InputError("file_damaged", reason=str(fault)) from fault
    return found


def delimiter(text: str) -> str:
    """The separator of a text: what the standard library finds, else the one most evenly spread over the first lines.

    >>> delimiter("a;b\\n1,5;2,5\\n"), delimiter("only\\n1,5\\n2,5\\n")
    (';', ',')
    """
    lines = [line for line in text.splitlines()[:50] if line.strip()]
    try:
        return csv.Sniffer().sniff("\n".join(lines), delimiters=_DELIMITERS).delimiter
    except csv.Error:
        return _vote(lines)


def _vote(lines: Sequence[str]) -> str:
    """The separator whose count is the same in most lines; the head decides among equals, as it holds no numbers."""

    def even(each: str) -> tuple[int, int]:
        counts = Counter(line.count(each) for line in lines if line.count(each))
        return (counts.most_common(1)[0][1] if counts else 0, lines[0].count(each))

    return max(_DELIMITERS, key=even)
