"""A full disk, made by SQLite's own limit on the pages of a file: said, nothing half kept, and later all goes on."""

from datetime import UTC, datetime

import pytest
import sqlalchemy as sa

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, write
from loamwright.notebook.store import Notebook, append, keep_blob, read_aside, read_blob, read_entries


def note(size: int = 3_000) -> Entry:
    return write("note", {"text": "x" * size}, project="p", moment=datetime.now(UTC))


def limit(notebook: Notebook, more_pages: int) -> None:
    """Let the file grow by so many pages only; connections opened from now on all have this limit."""
    with notebook.engine.connect() as connection:
        pages = int(connection.exec_driver_sql("PRAGMA page_count").scalar_one())
    notebook.engine.dispose()

    def on_connect(connection: object, record: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages + more_pages}")  # type: ignore[attr-defined]

    sa.event.listen(notebook.engine, "connect", on_connect)


def test_a_full_disk_is_said_and_loses_nothing(notebook: Notebook) -> None:
    kept = [note() for _ in range(5)]
    append(notebook, kept)
    limit(notebook, 20)
    refused: Entry | None = None
    for _ in range(100):
        entry = note()
        try:
            append(notebook, [entry])
        except InputError as fault:
            assert fault.code == "notebook_full"
            assert fault.values["path"] == notebook.target
            refused = entry
            break
        kept.append(entry)
    assert refused is not None and len(kept) > 5
    assert read_entries(notebook) == (kept, len(kept))

    many = [note(50) for _ in range(400)]
    with pytest.raises(InputError) as caught:
        append(notebook, many)
    assert caught.value.code == "notebook_full"
    with pytest.raises(InputError) as caught:
        keep_blob(notebook, b"y" * 200_000)
    assert caught.value.code == "notebook_full"
    with pytest.raises(InputError) as caught:
        append(notebook, [note(10)], blobs=[b"y" * 200_000])
    assert caught.value.code == "notebook_full"
    assert read_entries(notebook) == (kept, len(kept)) and read_aside(notebook) == []

    limit(notebook, 2_000)  # space was made
    append(notebook, [refused, *many])
    assert read_entries(notebook) == ([*kept, refused, *many], len(kept) + 401)
    mark = keep_blob(notebook, b"y" * 200_000)
    assert read_blob(notebook, mark) == b"y" * 200_000
    with notebook.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar_one() == "ok"
