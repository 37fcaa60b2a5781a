"""Entries from phones: whatever the network does to their order and number, the notebook holds the same set."""

import base64
import json
import random
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.errors import InputError
from loamwright.notebook import store
from loamwright.notebook.arriving import FORMAT, Parcel, arrive, blobs_there, ids_there, is_waiting, read_waiting
from loamwright.notebook.entry import Entry, new_id, write
from loamwright.notebook.store import Notebook

MOMENT = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)


def notes(n: int) -> list[Entry]:
    """A note and n - 1 corrections, each of the one before."""
    found: list[Entry] = []
    for k in range(n):
        replaces = (found[-1].id,) if found else ()
        found.append(
            write("note", {"text": f"reading {k}"}, project="p", moment=MOMENT + timedelta(minutes=k), replaces=replaces)
        )
    return found


@given(seed=st.integers(0, 2**32 - 1), n=st.integers(1, 12))
def test_any_order_and_any_repeats_leave_the_same_set(tmp_path_factory: pytest.TempPathFactory, seed: int, n: int) -> None:
    chance = random.Random(seed)
    entries = notes(n)
    sent = [json.loads(entry.envelope) for entry in entries for _ in range(chance.randint(1, 3))]
    chance.shuffle(sent)
    notebook = store.open_notebook(tmp_path_factory.mktemp("phone") / "bench.notebook")
    kept: list[str] = []
    while sent:
        size = chance.randint(1, 5)
        portion, sent = sent[:size], sent[size:]
        arrival = arrive(notebook, Parcel(tuple(portion), ()), device_now=MOMENT)
        assert (arrival.aside, arrival.refused) == ((), ())
        kept += arrival.kept
    assert sorted(kept) == sorted(entry.id for entry in entries)  # each told as new exactly once
    assert {entry.hash for entry in store.read_entries(notebook)[0]} == {entry.hash for entry in entries}
    notebook.close()


def test_the_same_words_under_one_id_at_another_moment_are_one_entry(notebook: Notebook) -> None:
    first = write("note", {"text": "dry wind"}, project="p", moment=MOMENT, device="server")
    store.append(notebook, [first])
    again = write(
        "note", {"text": "dry wind"}, project="p", moment=MOMENT + timedelta(minutes=1), device="phone", entry_id=first.id
    )
    assert arrive(notebook, Parcel((json.loads(again.envelope),), ())).had == (first.id,)
    other = write("note", {"text": "wet wind"}, project="p", moment=MOMENT, device="phone", entry_id=first.id)
    assert arrive(notebook, Parcel((json.loads(other.envelope),), ())).aside == (first.id,)


def test_what_is_there_is_told_of_many(notebook: Notebook) -> None:
    entries = notes(1_200)
    store.append(notebook, entries)
    asked = [entry.id for entry in entries] + [new_id()]
    assert ids_there(notebook, asked) == set(asked[:-1])
    mark = store.keep_blob(notebook, b"bytes")
    assert blobs_there(notebook, [mark, "0" * 64]) == {mark}


def test_a_file_is_read_line_by_line(tmp_path: Path) -> None:
    head = json.dumps({"format": FORMAT, "device": "d", "written": "2026-03-04T08:00:00.000Z"})
    blob = json.dumps({"blob": "ab", "data": base64.b64encode(b"x").decode()})
    parcel = read_waiting("\n".join([head, '{"id": "one"}', "", blob, '{"cut', "[" * 50_000, ""]).encode())
    assert parcel.lines == ({"id": "one"}, '{"cut', "[" * 50_000)
    assert parcel.blobs == (("ab", "eA=="),)
    assert not is_waiting(b'{"format": "something else"}\n')
    with pytest.raises(InputError, match="file_not_waiting"):
        read_waiting(b"PK\x03\x04")
