"""Keeping entries: append, read, entries set aside, blobs. Nothing is ever overwritten."""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from loamwright.errors import InputError
from loamwright.notebook import connect as connecting
from loamwright.notebook.backup import back_up_before
from loamwright.notebook.canonical import digest
from loamwright.notebook.entry import Entry, instant, new_id, read_envelope
from loamwright.notebook.schema import ARRIVAL, ASIDE, BLOB, ENTRY, LOCAL


@dataclass(frozen=True, slots=True)
class Notebook:
    """An open notebook: where it is, how it is reached, its own bench and the name of this copy."""

    target: str
    engine: sa.Engine
    journal: connecting.Journal | None
    bench: str
    device: str

    @property
    def path(self) -> Path | None:
        """The file, where the notebook is one."""
        return None if self.journal is None else Path(self.target)

    def close(self) -> None:
        """Let go of all connections."""
        self.engine.dispose()


@dataclass(frozen=True, slots=True)
class Receipt:
    """What became of appended entries, by id: kept for the first time, had already, kept aside (same id, other content)."""

    kept: tuple[str, ...]
    had: tuple[str, ...]
    aside: tuple[str, ...]


def open_notebook(target: str | Path) -> Notebook:
    """Open a notebook, making it where it is missing; a backup is taken before any migration of an old file.

    Raises
    ------
    InputError
        "not_a_notebook", "notebook_newer", "notebook_read_only", or "notebook_unreadable" with the reason.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     notebook = open_notebook(Path(folder) / "bench.notebook")
    ...     notebook.bench == open_notebook(Path(folder) / "bench.notebook").bench
    True
    """
    path = _path(target)
    if path is not None:
        _make_folder(path)
        target = path
    engine, journal = connecting.connect(target)
    try:
        with _speaking(str(target)):
            connecting.migrate(engine, before=lambda: None if path is None else back_up_before(path, connecting.NEWEST))
            with engine.begin() as connection:
                bench = _local(connection, "bench")
                device = _local(connection, "device")
    except BaseException:
        engine.dispose()
        raise
    return Notebook(str(target), engine, journal, bench, device)


def _make_folder(path: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise InputError("notebook_unreadable", path=str(path), reason=str(fault)) from fault


# What SQLite says, in part, and our code for it.
_REASONS = {"is full": "notebook_full", "No space left": "notebook_full", "readonly database": "notebook_read_only"}


@contextmanager
def _speaking(target: str) -> Iterator[None]:
    """A fault of the database as one of ours: nothing was kept."""
    try:
        yield
    except sa.exc.DatabaseError as fault:
        reason = str(fault.orig)
        code = next((code for words, code in _REASONS.items() if words in reason), "notebook_unreadable")
        raise InputError(code, path=target, reason=reason) from fault


def _path(target: str | Path) -> Path | None:
    if isinstance(target, str) and "://" in target and not target.startswith("sqlite"):
        return None
    return Path(str(target).removeprefix("sqlite:///")).expanduser()


def _local(connection: sa.Connection, key: str) -> str:
    """A value local to this copy, made on first use."""
    value = connection.execute(sa.select(LOCAL.c.value).where(LOCAL.c.key == key)).scalar_one_or_none()
    if value is None:
        value = new_id()
        connection.execute(LOCAL.insert().values(key=key, value=value))
    return str(value)


def append(
    notebook: Notebook, entries: Sequence[Entry], *, device_now: datetime | None = None, blobs: Sequence[bytes] = ()
) -> Receipt:
    """All or none; an id already there with the same content is acknowledged again, with other content it is kept aside.

    Parameters
    ----------
    notebook : Notebook
    entries : sequence of Entry
    device_now : datetime, optional
        The sending device's clock, when entries come from elsewhere; its lead over this clock is kept beside each arrival.
    blobs : sequence of bytes
        Bytes that come with the entries, kept in the same transaction.

    Raises
    ------
    InputError
        "notebook_full", "notebook_read_only" or "notebook_unreadable": nothing was kept.
    """
    marked = [(entry, line, digest(line)) for entry, line in ((each, each.envelope) for each in entries)]
    kept: list[str] = []
    had: list[str] = []
    aside: list[str] = []
    with _speaking(notebook.target), notebook.engine.begin() as connection:
        _one_at_a_time(connection)
        received_at = datetime.now(UTC)  # under the lock: a later sequence was never received earlier
        received, _ = instant(received_at)
        ahead = None if device_now is None else int((device_now - received_at).total_seconds() * 1000)
        known = _hashes(connection, [entry.id for entry in entries])
        sequence = connection.execute(sa.select(sa.func.coalesce(sa.func.max(ARRIVAL.c.sequence), 0))).scalar_one()
        new_rows, arrivals = [], []
        for entry, line, mark in marked:
            if entry.id not in known:
                known[entry.id] = mark
                sequence += 1
                new_rows.append(_row(entry, mark))
                arrivals.append({"sequence": sequence, "entry": entry.id, "received": received, "clock_ahead_ms": ahead})
                kept.append(entry.id)
            elif known[entry.id] == mark:
                had.append(entry.id)
            else:
                _keep_aside(connection, entry.id, line, mark, received)
                aside.append(entry.id)
        if new_rows:
            connection.execute(ENTRY.insert(), new_rows)
            connection.execute(ARRIVAL.insert(), arrivals)
        for data in blobs:
            _keep_blob(connection, data)
    return Receipt(tuple(kept), tuple(had), tuple(aside))


def _one_at_a_time(connection: sa.Connection) -> None:
    """One lock per notebook, so that sequences have no holes to be filled later (SQLite: the write lock already is that)."""
    connection.execute(sa.select(LOCAL.c.value).where(LOCAL.c.key == "bench").with_for_update())


def _hashes(connection: sa.Connection, ids: list[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for start in range(0, len(ids), 500):
        query = sa.select(ENTRY.c.id, ENTRY.c.hash).where(ENTRY.c.id.in_(ids[start : start + 500]))
        found.update((row.id, row.hash) for row in connection.execute(query))
    return found


def _row(entry: Entry, mark: str) -> dict[str, object]:
    return {
        "id": entry.id,
        "project": entry.project,
        "kind": entry.kind,
        "schema": entry.schema,
        "at": entry.at,
        "offset": entry.offset,
        "by": entry.by,
        "device": entry.device,
        "body": entry.body_text,
        "replaces": json.dumps(entry.replaces),
        "reason": entry.reason,
        "hash": mark,
    }


def _keep_aside(connection: sa.Connection, entry_id: str, line: str, mark: str, received: str) -> None:
    if connection.execute(sa.select(ASIDE.c.hash).where(ASIDE.c.hash == mark)).first() is None:
        connection.execute(ASIDE.insert().values(hash=mark, id=entry_id, envelope=line, received=received))


_COLUMNS = (
    ENTRY.c.id,
    ENTRY.c.project,
    ENTRY.c.kind,
    ENTRY.c.schema,
    ENTRY.c.at,
    ENTRY.c.offset,
    ENTRY.c.by,
    ENTRY.c.device,
    ENTRY.c.body,
    ENTRY.c.replaces,
    ENTRY.c.reason,
)


@contextmanager
def _looking(notebook: Notebook) -> Iterator[sa.Connection]:
    """A connection that only reads, so that it waits for no writer."""
    with _speaking(notebook.target), notebook.engine.connect().execution_options(reading=True) as connection:
        yield connection


def read_entries(notebook: Notebook, *, projects: Sequence[str] | None = None, after: int = 0) -> tuple[list[Entry], int]:
    """Entries of the named projects (or all) that arrived after a sequence, in order of arrival, and the newest sequence.

    The newest sequence covers other projects too: pass it as `after` to get only what is new.
    """
    query = sa.select(*_COLUMNS).join(ARRIVAL, ARRIVAL.c.entry == ENTRY.c.id).where(ARRIVAL.c.sequence > after)
    if projects is not None:
        query = query.where(ENTRY.c.project.in_(list(projects)))
    with _looking(notebook) as connection:
        newest = connection.execute(sa.select(sa.func.coalesce(sa.func.max(ARRIVAL.c.sequence), 0))).scalar_one()
        if newest <= after:
            return [], newest
        cursor = connection.execute(query.where(ARRIVAL.c.sequence <= newest).order_by(ARRIVAL.c.sequence))
        return [_entry(row) for row in cursor], newest


def _entry(row: tuple[Any, ...]) -> Entry:
    named = dict(zip((column.name for column in _COLUMNS), row, strict=True))
    replaced = named.pop("replaces")
    return Entry(body_text=named.pop("body"), replaces=() if replaced == "[]" else tuple(json.loads(replaced)), **named)


def entry_by_id(notebook: Notebook, entry_id: str) -> Entry | None:
    """One entry, or None."""
    with _looking(notebook) as connection:
        row = connection.execute(sa.select(*_COLUMNS).where(ENTRY.c.id == entry_id)).first()
    return None if row is None else _entry(row)


def read_aside(notebook: Notebook) -> list[Entry]:
    """Entries that came with the id of another entry but other content, by id."""
    with _looking(notebook) as connection:
        lines = connection.execute(sa.select(ASIDE.c.envelope).order_by(ASIDE.c.id, ASIDE.c.hash)).scalars().all()
    return [read_envelope(line) for line in lines]


def keep_blob(notebook: Notebook, data: bytes) -> str:
    """Keep bytes (a photo) under their SHA-256, which is returned; the same bytes again change nothing."""
    with _speaking(notebook.target), notebook.engine.begin() as connection:
        return _keep_blob(connection, data)


def _keep_blob(connection: sa.Connection, data: bytes) -> str:
    mark = digest(data)
    if connection.execute(sa.select(BLOB.c.sha256).where(BLOB.c.sha256 == mark)).first() is None:
        connection.execute(BLOB.insert().values(sha256=mark, data=data))
    return mark


def read_blob(notebook: Notebook, sha256: str) -> bytes | None:
    """Bytes kept under a SHA-256, or None where they have not arrived."""
    with _looking(notebook) as connection:
        return connection.execute(sa.select(BLOB.c.data).where(BLOB.c.sha256 == sha256)).scalar_one_or_none()
