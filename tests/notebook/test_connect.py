"""How the file is kept safe: journal by the linked SQLite, numbered migrations, a backup before an old file is changed."""

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import sqlalchemy as sa

from loamwright.errors import InputError
from loamwright.notebook import connect as connecting
from loamwright.notebook.connect import journal_for, wal_is_safe
from loamwright.notebook.entry import write
from loamwright.notebook.store import Notebook, append, open_notebook, read_entries

# The fault and its fixes: SQLite's page on its write-ahead log, "the WAL-reset bug": fixed in 3.51.3 and, of older
# lines, in 3.50.7 and 3.44.6 [sqlite-wal-reset].
WAL = {
    (3, 7, 0): False,
    (3, 40, 1): False,
    (3, 44, 5): False,
    (3, 44, 6): True,
    (3, 44, 7): True,
    (3, 45, 9): False,
    (3, 50, 6): False,
    (3, 50, 7): True,
    (3, 51, 0): False,
    (3, 51, 2): False,
    (3, 51, 3): True,
    (3, 52, 0): True,
    (4, 0, 0): True,
}


@pytest.mark.parametrize(("version", "safe"), WAL.items())
def test_which_versions_may_use_a_write_ahead_log(version: tuple[int, int, int], safe: bool) -> None:
    assert wal_is_safe(version) is safe
    journal = journal_for(version)
    assert (journal.mode, journal.synchronous) == ("WAL" if safe else "TRUNCATE", "FULL")
    assert journal.sqlite_version == ".".join(map(str, version))


def pragma(book: Notebook, name: str) -> object:
    with book.engine.connect() as connection:
        return connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()


def assert_runs_as_said(book: Notebook) -> None:
    assert book.journal is not None
    assert str(pragma(book, "journal_mode")).upper() == book.journal.mode
    assert pragma(book, "synchronous") == 2  # FULL
    assert pragma(book, "foreign_keys") == 1
    assert pragma(book, "busy_timeout") == 10_000


def test_the_newest_binding_runs_as_said(tmp_path: Path) -> None:
    book = open_notebook(tmp_path / "bench.notebook")
    assert_runs_as_said(book)
    book.close()


def test_the_standard_binding_runs_as_said_on_a_file_left_by_the_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "bench.notebook"
    first = open_notebook(path)
    entry = write("note", {"text": "a"}, project="p", moment=datetime.now(UTC))
    append(first, [entry])
    first.close()
    monkeypatch.setattr(connecting, "sqlite_module", lambda: sqlite3)
    second = open_notebook(path)
    assert second.journal == journal_for(sqlite3.sqlite_version_info)
    assert_runs_as_said(second)
    assert read_entries(second)[0] == [entry]
    second.close()


SECOND = '''
"""For a test: one more table."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.create_table("later", sa.Column("key", sa.Text, primary_key=True))
    {then}
'''


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder of migrations with a second one added, as a later version of the program would have it."""
    folder = tmp_path / "100% later" / "migrations"
    versions = folder / "versions"
    versions.mkdir(parents=True)
    for part in ("env.py", "versions/0001_envelopes.py"):
        (folder / part).write_text((connecting.MIGRATIONS / part).read_text())
    (versions / "0002_later.py").write_text(SECOND.format(then=""))
    yield folder
    monkeypatch.undo()


def as_later(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setattr(connecting, "MIGRATIONS", folder)
    monkeypatch.setattr(connecting, "NEWEST", "0002")


def number(path: Path) -> str:
    connection = sqlite3.connect(path)
    found: str = connection.execute("SELECT version_num FROM alembic_version").fetchone()[0]
    connection.close()
    return found


def test_a_new_file_is_made_without_a_backup(tmp_path: Path) -> None:
    book = open_notebook(tmp_path / "here" / "bench.notebook")
    book.close()
    assert number(tmp_path / "here" / "bench.notebook") == connecting.NEWEST
    assert [each.name for each in (tmp_path / "here").iterdir()] == ["bench.notebook"]


def test_an_old_file_is_copied_before_it_is_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, later: Path) -> None:
    path = tmp_path / "bench.notebook"
    book = open_notebook(path)
    entry = write("note", {"text": "a"}, project="p", moment=datetime.now(UTC))
    append(book, [entry])
    book.close()
    as_later(monkeypatch, later)
    changed = open_notebook(path)
    assert read_entries(changed)[0] == [entry]
    with changed.engine.connect() as connection:
        assert sa.inspect(connection).has_table("later")
    changed.close()
    copy = tmp_path / "bench.notebook.before-0002"
    assert (number(path), number(copy)) == ("0002", "0001")
    monkeypatch.undo()
    old = open_notebook(copy)
    assert read_entries(old)[0] == [entry]
    old.close()
    as_later(monkeypatch, later)
    open_notebook(path).close()
    assert [each.name for each in tmp_path.glob("bench.notebook.before*")] == [copy.name], "opened again, copied again"


def test_a_migration_that_fails_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, later: Path) -> None:
    path = tmp_path / "bench.notebook"
    book = open_notebook(path)
    append(book, [write("note", {"text": "a"}, project="p", moment=datetime.now(UTC))])
    book.close()
    (later / "versions" / "0002_later.py").write_text(SECOND.format(then="op.execute('INSERT INTO nowhere VALUES (1)')"))
    as_later(monkeypatch, later)
    for _ in range(2):
        with pytest.raises(InputError) as caught:
            open_notebook(path)
        assert caught.value.code == "notebook_unreadable"
    assert number(path) == "0001"
    assert {each.name for each in tmp_path.glob("*before*")} == {"bench.notebook.before-0002", "bench.notebook.before-0002-2"}
    monkeypatch.undo()
    again = open_notebook(path)
    with again.engine.connect() as connection:
        assert not sa.inspect(connection).has_table("later")
    assert len(read_entries(again)[0]) == 1
    again.close()


def test_the_tables_made_are_the_tables_used(notebook: Notebook) -> None:
    from loamwright.notebook.schema import METADATA

    found = sa.MetaData()
    found.reflect(notebook.engine)
    for table in METADATA.tables.values():
        assert {column.name for column in found.tables[table.name].columns} == {column.name for column in table.columns}
    with notebook.engine.connect() as connection:
        strict = connection.exec_driver_sql("SELECT name FROM pragma_table_list WHERE strict = 1").scalars().all()
    assert set(strict) == set(METADATA.tables)
