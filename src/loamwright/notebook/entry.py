"""The envelope of everything a person saw, weighed, decided or was told."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import uuid_utils

from loamwright.errors import InputError
from loamwright.notebook.canonical import canonical, digest, parsed

_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_AT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z")
_KIND = re.compile(r"[a-z][a-z_]{0,39}")
KEYS = frozenset({"id", "project", "kind", "schema", "at", "offset", "by", "device", "body", "replaces", "reason"})


def new_id() -> str:
    """A fresh UUIDv7: ids made on one device sort in the order they were made."""
    return str(uuid_utils.uuid7())


def is_id(text: str) -> bool:
    """Whether a text is a UUIDv7 in its usual lower-case form."""
    return _ID.fullmatch(text) is not None


def instant(moment: datetime) -> tuple[str, int]:
    """UTC text to the millisecond, and the local offset in minutes, of an aware moment.

    >>> instant(datetime(2026, 3, 4, 10, 15, tzinfo=timezone(timedelta(hours=2))))
    ('2026-03-04T08:15:00.000Z', 120)
    """
    offset = moment.utcoffset()
    if offset is None:
        raise InputError("moment_without_offset", moment=moment.isoformat())
    utc = moment.astimezone(UTC)
    return f"{utc:%Y-%m-%dT%H:%M:%S}.{utc.microsecond // 1000:03d}Z", int(offset.total_seconds() // 60)


def local_now() -> datetime:
    """This machine's moment with its offset: the clock of the doors, who hand it down."""
    return datetime.now().astimezone()


def local_moment(at: str, offset: int) -> datetime:
    """The aware local moment of an entry's UTC text and offset in minutes."""
    return datetime.fromisoformat(at).astimezone(timezone(timedelta(minutes=offset)))


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the notebook. `body_text` is canonical JSON; an empty body with `replaces` withdraws what it replaces.

    Attributes
    ----------
    id : str
        UUIDv7, made on the device; the id of an entity is the id of its first entry for ever.
    project : str
        Project it belongs to, or the bench for people, pails, presses, rigs.
    kind, schema : str, int
        What it is, and the version of that kind's field list it was written with.
    at, offset : str, int
        UTC instant to the millisecond, and minutes of the local clock east of UTC.
    by, device : str
        Who (initials or a name, may be empty) and on which device.
    body_text : str
        Canonical JSON of the body.
    replaces : tuple of str
        Entries this one takes the place of.
    reason : str
        Why, for a correction or withdrawal.
    """

    id: str
    project: str
    kind: str
    schema: int
    at: str
    offset: int
    by: str
    device: str
    body_text: str
    replaces: tuple[str, ...] = ()
    reason: str = ""

    @property
    def body(self) -> dict[str, Any]:
        """The body, parsed anew at each call."""
        return parsed(self.body_text)  # type: ignore[no-any-return]

    @property
    def withdraws(self) -> bool:
        """Whether this entry says that what it replaces does not count."""
        return bool(self.replaces) and self.body_text == "{}"

    @property
    def envelope(self) -> str:
        """Canonical JSON of the whole entry: the line in an export, and what the hash covers."""
        return canonical(
            {
                "id": self.id,
                "project": self.project,
                "kind": self.kind,
                "schema": self.schema,
                "at": self.at,
                "offset": self.offset,
                "by": self.by,
                "device": self.device,
                "body": self.body,
                "replaces": list(self.replaces),
                "reason": self.reason,
            }
        )

    @property
    def hash(self) -> str:
        """SHA-256 of the envelope: two entries are the same exactly if this agrees."""
        return digest(self.envelope)


def write(
    kind: str,
    body: Mapping[str, Any],
    *,
    project: str,
    moment: datetime,
    by: str = "",
    device: str = "",
    schema: int = 1,
    replaces: tuple[str, ...] = (),
    reason: str = "",
    entry_id: str | None = None,
) -> Entry:
    """A new entry with a fresh id (or the id a form already carries).

    Examples
    --------
    >>> e = write("note", {"text": "dry wind"}, project="p", moment=datetime(2026, 3, 4, tzinfo=UTC))
    >>> e.at, e.body["text"], is_id(e.id)
    ('2026-03-04T00:00:00.000Z', 'dry wind', True)
    """
    at, offset = instant(moment)
    return Entry(
        id=entry_id or new_id(),
        project=project,
        kind=kind,
        schema=schema,
        at=at,
        offset=offset,
        by=by,
        device=device,
        body_text=canonical(dict(body)),
        replaces=tuple(sorted(set(replaces))),
        reason=reason,
    )


def read_envelope(line: str) -> Entry:
    """An entry from one line of an export or a push.

    Raises
    ------
    InputError
        "envelope_not_understood" with the reason; nothing is repaired.

    Notes
    -----
    `replaces` is a set written in sorted order, so two lines that differ only in that order are one entry.
    """
    try:
        raw = parsed(line)
    except (ValueError, RecursionError) as fault:
        raise InputError("envelope_not_understood", reason=f"not JSON: {fault}") from fault
    fault_text = _envelope_fault(raw)
    if fault_text:
        raise InputError("envelope_not_understood", reason=fault_text)
    try:
        canonical(raw)
    except InputError as fault:
        raise InputError("envelope_not_understood", reason=str(fault.values["reason"])) from fault
    return Entry(
        raw["id"],
        raw["project"],
        raw["kind"],
        raw["schema"],
        raw["at"],
        raw["offset"],
        raw["by"],
        raw["device"],
        canonical(raw["body"]),
        tuple(sorted(set(raw["replaces"]))),
        raw["reason"],
    )


def _envelope_fault(raw: Any) -> str:
    """The first thing wrong with a parsed envelope, or nothing."""
    if not isinstance(raw, dict) or raw.keys() != KEYS:
        return "the keys are not those of an entry"
    if not (isinstance(raw["id"], str) and is_id(raw["id"])):
        return f"id {raw['id']!r} is not a UUIDv7"
    if not (isinstance(raw["kind"], str) and _KIND.fullmatch(raw["kind"])):
        return f"kind {raw['kind']!r} is not a name"
    if type(raw["schema"]) is not int or not 1 <= raw["schema"] < 2**31:
        return f"schema {raw['schema']!r} is not a whole number from 1"
    if not (isinstance(raw["at"], str) and _AT.fullmatch(raw["at"])) or not _is_moment(raw["at"]):
        return f"at {raw['at']!r} is not a UTC moment to the millisecond"
    if type(raw["offset"]) is not int or abs(raw["offset"]) > 18 * 60:
        return f"offset {raw['offset']!r} is not minutes of a clock"
    if not all(isinstance(raw[key], str) for key in ("project", "by", "device", "reason")):
        return "project, by, device and reason are texts"
    if not isinstance(raw["body"], dict):
        return "the body is not a set of named values"
    if not (isinstance(raw["replaces"], list) and all(isinstance(each, str) and is_id(each) for each in raw["replaces"])):
        return "replaces is not a list of entry ids"
    return ""


def _is_moment(text: str) -> bool:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
