"""Keeping entries in real files, with both SQLite bindings: all or none, once, in one sequence, whoever writes at once."""

import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType

import pytest
import sqlalchemy as sa
from hypothesis import given
from hypothesis import strategies as st

from loamwright.errors import InputError
from loamwright.notebook import connect as connecting
from loamwright.notebook.entry import Entry, new_id, write
from loamwright.notebook.schema import ARRIVAL, ENTRY
from loamwright.notebook.store import (
    Notebook,
    append,
    entry_by_id,
    keep_blob,
    open_notebook,
    read_aside,
    read_blob,
    read_entries,
)

MOMENT = datetime(2026, 3, 4, tzinfo=UTC)


def bindings() -> list[ModuleType]:
    newer = connecting.sqlite_module()
    return [sqlite3] if newer is sqlite3 else [newer, sqlite3]


@pytest.fixture(params=bindings(), ids=lambda module: f"{module.__name__.split('.')[0]}_{module.sqlite_version}")
def book(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Notebook]:
    """A notebook opened with one of the two bindings."""
    monkeypatch.setattr(connecting, "sqlite_module", lambda: request.param)
    opened = open_notebook(tmp_path / "bench.notebook")
    assert opened.journal is not None and opened.journal.sqlite_version == request.param.sqlite_version
    yield opened
    opened.close()


def note(text: str = "dry wind", entry_id: str | None = None) -> Entry:
    return write("note", {"text": text}, project="p", moment=MOMENT, by="MB", device="d", entry_id=entry_id)


def arrivals(book: Notebook) -> list[tuple[int, str, str, int | None]]:
    with book.engine.connect() as connection:
        rows = connection.execute(sa.select(*ARRIVAL.c).order_by(ARRIVAL.c.sequence))
        return [tuple(row) for row in rows]  # type: ignore[misc]


def test_what_is_kept_comes_back_in_order_of_arrival(book: Notebook) -> None:
    entries = [note(str(number)) for number in range(1200)]  # more than one query's worth of ids
    backward = entries[::-1]
    assert append(book, backward).kept == tuple(entry.id for entry in backward)
    found, newest = read_entries(book)
    assert found == backward and newest == 1200
    assert append(book, entries).had == tuple(entry.id for entry in entries)
    assert read_entries(book) == (found, newest)


def test_the_same_again_is_acknowledged_again(book: Notebook) -> None:
    entry = note()
    twice = append(book, [entry, entry])
    assert (twice.kept, twice.had, twice.aside) == ((entry.id,), (entry.id,), ())
    again = append(book, [entry])
    assert (again.kept, again.had) == ((), (entry.id,))
    assert read_aside(book) == []


def test_the_same_id_with_other_content_is_kept_aside(book: Notebook) -> None:
    entry = note()
    append(book, [entry])
    others = [note("wet wind", entry.id), replace(entry, by="EL")]
    receipt = append(book, [others[0], others[1], others[0]])
    assert (receipt.kept, receipt.had) == ((), ())
    assert receipt.aside == (entry.id,) * 3
    assert sorted(read_aside(book), key=str) == sorted(others, key=str)
    assert read_entries(book)[0] == [entry]


def test_two_contents_of_one_id_in_one_append(book: Notebook) -> None:
    entry = note()
    receipt = append(book, [entry, note("other", entry.id)])
    assert (receipt.kept, receipt.aside) == ((entry.id,), (entry.id,))
    assert [each.body["text"] for each in read_aside(book)] == ["other"]


def test_only_what_is_new_and_only_of_the_projects_asked(book: Notebook) -> None:
    append(book, [note("1"), replace(note("2"), project="q")])
    first, upto = read_entries(book, projects=["p"])
    assert [each.body["text"] for each in first] == ["1"] and upto == 2
    assert read_entries(book, after=upto) == ([], 2)
    append(book, [note("3")])
    assert [each.body["text"] for each in read_entries(book, after=upto)[0]] == ["3"]


@given(
    st.lists(
        st.tuples(st.text(), st.floats(allow_nan=False, allow_infinity=False), st.integers(-(2**53) + 1, 2**53 - 1)), max_size=5
    )
)
def test_texts_and_numbers_come_back_as_they_were(
    tmp_path_factory: pytest.TempPathFactory, values: list[tuple[str, float, int]]
) -> None:
    book = open_notebook(tmp_path_factory.mktemp("book") / "bench.notebook")
    entries = [
        write("note", {"text": text, "number": number, "whole": whole}, project=text, moment=MOMENT, by=text, reason=text)
        for text, number, whole in values
    ]
    append(book, entries)
    assert read_entries(book)[0] == entries
    assert [entry_by_id(book, each.id) for each in entries] == entries
    book.close()


def test_replacement_lists_come_back(book: Notebook) -> None:
    entry = replace(note(), replaces=tuple(sorted((new_id(), new_id()))))
    append(book, [entry])
    assert entry_by_id(book, entry.id) == entry
    assert entry_by_id(book, new_id()) is None


def test_all_or_none(book: Notebook) -> None:
    before = note("before")
    append(book, [before])
    spoiled = replace(note("half"), body_text='{"number":NaN}')
    with pytest.raises(InputError) as caught:
        append(book, [note("one"), note("other", before.id), spoiled], blobs=[b"photo"])
    assert caught.value.code == "not_json"
    assert read_entries(book) == ([before], 1)
    assert read_aside(book) == [] and read_blob(book, keep_blob(book, b"x")) == b"x"


def test_arrival_stands_apart_with_the_lead_of_the_sending_clock(book: Notebook) -> None:
    append(book, [note("1")])
    before = datetime.now(UTC)
    append(book, [note("2")], device_now=before + timedelta(hours=3))
    (_, _, received, own), (_, _, later, ahead) = arrivals(book)
    assert own is None
    assert ahead == pytest.approx(3 * 3_600_000, abs=5_000)  # abs: the time this test takes
    assert received <= later
    assert "received" not in read_entries(book)[0][0].envelope


def test_blobs_by_their_hash_also_after_their_entry(book: Notebook) -> None:
    # FIPS 180-4: SHA-256 of "abc".
    mark = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    append(book, [write("photo", {"blob": mark}, project="p", moment=MOMENT)])
    assert read_blob(book, mark) is None
    assert keep_blob(book, b"abc") == mark == keep_blob(book, b"abc")
    assert read_blob(book, mark) == b"abc"


def assert_sequence_is_whole(book: Notebook, count: int) -> None:
    rows = arrivals(book)
    assert [row[0] for row in rows] == list(range(1, count + 1)), "a hole or a repeat in the sequence"
    assert len({row[1] for row in rows}) == count
    received = [row[2] for row in rows]
    assert received == sorted(received)
    with book.engine.connect() as connection:
        assert connection.execute(sa.select(sa.func.count()).select_from(ENTRY)).scalar_one() == count


def test_threads_appending_at_once(book: Notebook) -> None:
    faults: list[BaseException] = []

    def work() -> None:
        try:
            for size in range(1, 9):
                append(book, [note() for _ in range(size)])
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=work) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert_sequence_is_whole(book, 6 * 36)


WRITER = """
import sys
from datetime import UTC, datetime
from loamwright.notebook.entry import write
from loamwright.notebook.store import append, open_notebook
book = open_notebook(sys.argv[1])
for number in range(60):
    append(book, [write("note", {"text": str(number)}, project="p", moment=datetime.now(UTC))])
"""


def test_two_processes_opening_and_appending_at_once(tmp_path: Path) -> None:
    path = tmp_path / "bench.notebook"
    running = [subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stderr=subprocess.PIPE) for _ in range(2)]
    told = [each.communicate(timeout=60)[1].decode() for each in running]
    assert [each.returncode for each in running] == [0, 0], told
    book = open_notebook(path)
    assert_sequence_is_whole(book, 120)
    book.close()


def test_reading_waits_for_no_writer(book: Notebook) -> None:
    append(book, [note("1")])
    with book.engine.begin() as writing:
        writing.execute(sa.delete(ARRIVAL))
        assert len(read_entries(book)[0]) == 1
        writing.rollback()


def test_a_file_keeps_its_bench_and_name(tmp_path: Path) -> None:
    first, other = open_notebook(tmp_path / "a.notebook"), open_notebook(tmp_path / "b.notebook")
    again = open_notebook(f"sqlite:///{tmp_path / 'a.notebook'}")
    assert (again.bench, again.device, again.path) == (first.bench, first.device, first.path)
    assert len({first.bench, first.device, other.bench, other.device}) == 4
    for each in (first, other, again):
        each.close()


@pytest.mark.parametrize(
    "name", ["with space.notebook", "50%.notebook", "what?.notebook", "lehm & \u00e4.notebook", "#1.notebook"]
)
def test_any_file_name(tmp_path: Path, name: str) -> None:
    book = open_notebook(tmp_path / "new folder" / name)
    append(book, [note()])
    book.close()
    assert (tmp_path / "new folder" / name).exists()


def test_what_is_no_notebook_is_refused_and_left_alone(tmp_path: Path) -> None:
    text = tmp_path / "text.notebook"
    text.write_text("not a database, but long enough to be looked at as one " * 40)
    with pytest.raises(InputError) as caught:
        open_notebook(text)
    assert caught.value.code == "notebook_unreadable"
    assert text.read_text().startswith("not a database")

    foreign = tmp_path / "foreign.db"
    with sqlite3.connect(foreign) as connection:
        connection.execute("CREATE TABLE bills (id INTEGER)")
    connection.close()
    with pytest.raises(InputError) as caught:
        open_notebook(foreign)
    assert caught.value.code == "not_a_notebook"
    with sqlite3.connect(foreign) as connection:
        assert connection.execute("SELECT name FROM sqlite_master").fetchall() == [("bills",)]
    connection.close()

    under_a_file = text / "bench.notebook"
    with pytest.raises(InputError) as caught:
        open_notebook(under_a_file)
    assert caught.value.code == "notebook_unreadable"
    with pytest.raises(InputError) as caught:
        open_notebook(tmp_path)
    assert caught.value.code == "notebook_unreadable"


def test_a_notebook_of_a_later_version_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bench.notebook"
    open_notebook(path).close()
    with sqlite3.connect(path) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9001'")
    connection.close()
    with pytest.raises(InputError) as caught:
        open_notebook(path)
    assert (caught.value.code, caught.value.values["found"]) == ("notebook_newer", "9001")
