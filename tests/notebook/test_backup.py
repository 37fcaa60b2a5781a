"""A copy by SQLite's own call: whole while somebody writes, never over another file, checked."""

import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from loamwright.errors import InputError
from loamwright.notebook.backup import back_up
from loamwright.notebook.entry import Entry, write
from loamwright.notebook.store import Notebook, append, keep_blob, open_notebook, read_blob, read_entries


def note(number: int) -> Entry:
    return write("note", {"text": str(number)}, project="p", moment=datetime.now(UTC))


def test_a_copy_holds_everything(notebook: Notebook, tmp_path: Path) -> None:
    append(notebook, [note(number) for number in range(300)])
    mark = keep_blob(notebook, b"photo" * 1000)
    assert notebook.path is not None
    copy = open_notebook(back_up(notebook.path, tmp_path / "copy.notebook"))
    assert read_entries(copy) == read_entries(notebook)
    assert read_blob(copy, mark) == b"photo" * 1000
    assert copy.bench == notebook.bench
    copy.close()


def test_a_copy_taken_while_somebody_writes_is_whole(notebook: Notebook, tmp_path: Path) -> None:
    assert notebook.path is not None
    append(notebook, [note(-1)])
    stop = threading.Event()

    def work() -> None:
        number = 0
        while not stop.is_set():
            append(notebook, [note(number), note(number)])
            number += 1

    writer = threading.Thread(target=work)
    writer.start()
    try:
        copies = [back_up(notebook.path, tmp_path / f"copy{index}.notebook") for index in range(5)]
    finally:
        stop.set()
        writer.join()
    kept, _ = read_entries(notebook)
    for path in copies:
        copy = open_notebook(path)
        found, newest = read_entries(copy)
        copy.close()
        assert found == kept[: len(found)] and newest == len(found)
        assert len(found) % 2 == 1, "half of one append was copied"


def test_nothing_is_overwritten_and_nothing_is_made_up(notebook: Notebook, tmp_path: Path) -> None:
    assert notebook.path is not None
    there = tmp_path / "there.notebook"
    there.write_text("mine")
    with pytest.raises(InputError) as caught:
        back_up(notebook.path, there)
    assert caught.value.code == "file_exists" and there.read_text() == "mine"
    with pytest.raises(InputError) as caught:
        back_up(tmp_path / "nowhere.notebook", tmp_path / "copy.notebook")
    assert caught.value.code == "file_missing"
    assert not (tmp_path / "nowhere.notebook").exists() and not (tmp_path / "copy.notebook").exists()


def test_a_damaged_file_gives_no_copy(notebook: Notebook, tmp_path: Path) -> None:
    assert notebook.path is not None
    append(notebook, [note(number) for number in range(2000)])
    notebook.close()
    data = bytearray(notebook.path.read_bytes())
    middle = len(data) // 2
    data[middle : middle + 20_000] = b"\xff" * 20_000
    damaged = tmp_path / "damaged.notebook"
    damaged.write_bytes(data)
    with pytest.raises(InputError) as caught:
        back_up(damaged, tmp_path / "copy.notebook")
    assert caught.value.code == "backup_damaged"
    text = tmp_path / "text.notebook"
    text.write_text("no database " * 400)
    with pytest.raises(InputError) as caught:
        back_up(text, tmp_path / "copy.notebook")
    assert caught.value.code == "notebook_unreadable"
    assert not (tmp_path / "copy.notebook").exists()
