"""A project in one file: whole or refused, the same bytes for the same set, nothing lost on the way, nothing half taken in."""

import io
import json
import warnings
import zipfile
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from loamwright.errors import InputError
from loamwright.notebook import exchange
from loamwright.notebook.entry import Entry, new_id, write
from loamwright.notebook.exchange import closure, export, read_file, root_hash, take_in
from loamwright.notebook.store import (
    Notebook,
    append,
    keep_blob,
    open_notebook,
    read_aside,
    read_blob,
    read_entries,
)

START = datetime(2026, 3, 4, tzinfo=UTC)
PHOTO = bytes(range(256)) * 20


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Notebook]:
    """A second notebook, with a bench of its own."""
    opened = open_notebook(tmp_path / "other.notebook")
    yield opened
    opened.close()


class Writer:
    """Entries of one project, a minute apart."""

    def __init__(self, project: str, bench: str) -> None:
        self.project, self.bench, self.minute = project, bench, 0

    def __call__(self, kind: str, body: Mapping[str, Any], *, at: str = "project", **more: Any) -> Entry:
        self.minute += 1
        home = {"project": self.project, "bench": self.bench}.get(at, at)
        return write(kind, body, project=home, moment=START + timedelta(minutes=self.minute), by="MB", device="d", **more)


def litre(number: float) -> dict[str, Any]:
    return {"typed": str(number), "number": number, "unit": "l"}


@pytest.fixture
def full(notebook: Notebook) -> dict[str, Entry]:
    """A project that stands on a bench, entries of all odd sorts, and another project beside it."""
    project = new_id()
    w = Writer(project, notebook.bench)
    made: dict[str, Entry] = {}
    made["project"] = w("project", {"name": "Wall"}, entry_id=project)
    made["pail"] = w("container", {"name": "black pail", "volume": litre(12)}, at="bench")
    made["pail_corrected"] = w(
        "container", {"name": "black pail", "volume": litre(11.8)}, at="bench", replaces=(made["pail"].id,)
    )
    made["pail_again"] = w("calibration", {"container": made["pail_corrected"].id, "volume": litre(11.5)}, at="bench")
    made["pail_clash"] = w("press", {"name": "x"}, at="bench", replaces=(made["pail"].id,))
    made["unused_pail"] = w("container", {"name": "red pail"}, at="bench")
    made["press"] = w("press", {"name": "ram", "how": "gauge"}, at="bench")
    made["source"] = w("source", {"name": "clay", "amount": {"typed": "3", "number": 3, "unit": f"container:{made['pail'].id}"}})
    made["separators"] = w("note", {"text": "line\u2028paragraph\u2029next\u0085form\x0cfeed\x1e\r\n"})
    made["photo"] = w("photo", {"blob": keep_blob(notebook, PHOTO), "about": made["source"].id})
    made["photo_to_come"] = w("photo", {"blob": "0" * 64})
    made["unknown_kind"] = w("moon_phase", {"press": made["press"].id, "phase": [1, {"deep": None}]})
    made["newer_schema"] = w("note", {"text": "later", "more": 1e20}, schema=9)
    made["absurd"] = w(
        "weighing", {"batch": made["source"].id, "what": "soil", "mass": {"typed": "1e20", "number": 1e20, "unit": "kg"}}
    )
    made["withdrawn"] = w("note", {}, replaces=(made["separators"].id,), reason="read wrong")
    made["waits"] = w("note", {"text": "who"}, replaces=(new_id(),))
    made["other_project"] = w("project", {"name": "Other wall"}, at=new_id())
    append(notebook, list(made.values()))
    return made


def zipped(parts: Mapping[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def parts_of(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read_file(data)
    assert caught.value.code == "file_not_whole"
    reason = str(caught.value.values["reason"])
    assert reason
    return reason


def test_the_root_as_it_is_defined() -> None:
    # SHA-256 over the sorted "id hash" lines and then the blob lines, joined by line feeds.
    wanted = sha256(b"a 1\nb 2\nblob 8\nblob 9").hexdigest()
    assert root_hash([("b", "2"), ("a", "1")], ["9", "8"]) == wanted


def test_the_file_is_what_it_is_said_to_be(notebook: Notebook, full: dict[str, Entry]) -> None:
    made = export(notebook, full["project"].id)
    parts = parts_of(made.data)
    mark = sha256(PHOTO).hexdigest()
    assert list(parts) == ["manifest.json", "entries.jsonl", f"blobs/{mark}"]
    lines = parts["entries.jsonl"].decode().split("\n")
    assert lines.pop() == ""
    ids = [json.loads(line)["id"] for line in lines]
    assert ids == sorted(ids) and len(ids) == made.entries
    root = sha256(
        "\n".join([f"{json.loads(line)['id']} {sha256(line.encode()).hexdigest()}" for line in lines] + [f"blob {mark}"]).encode()
    ).hexdigest()
    assert json.loads(parts["manifest.json"]) == {
        "format": "loamwright project 1",
        "project": full["project"].id,
        "entries": len(lines),
        "blobs": [mark],
        "root": root,
    }
    assert made.root == root


def test_the_same_set_gives_the_same_bytes_in_any_order(notebook: Notebook, full: dict[str, Entry], other: Notebook) -> None:
    keep_blob(other, PHOTO)
    append(other, list(full.values())[::-1])
    project = full["project"].id
    first = export(notebook, project)
    # The other bench holds the same pails under the bench id they were made on.
    assert export(other, project).data == first.data
    assert export(notebook, project).data == first.data


def test_what_a_project_stands_on_goes_with_it(notebook: Notebook, full: dict[str, Entry]) -> None:
    found = {entry.id for entry in closure(notebook, full["project"].id)}
    names = {name for name, entry in full.items() if entry.id in found}
    assert set(full) - names == {"unused_pail", "other_project"}
    assert names >= {"pail", "pail_corrected", "pail_again", "pail_clash", "press"}


def test_versions_made_by_a_clock_that_was_behind_go_too(notebook: Notebook) -> None:
    project = new_id()
    correction = new_id()  # this id sorts before that of what it corrects
    w = Writer(project, notebook.bench)
    pail = w("container", {"name": "pail"}, at="bench")
    entries = [
        pail,
        w("container", {"name": "pail, blue"}, at="bench", replaces=(pail.id,), entry_id=correction),
        w("container", {"name": "pail, light blue"}, at="bench", replaces=(correction,)),
        w("project", {"name": "Wall"}, entry_id=project),
        w("pail_weighing", {"source": new_id(), "container": pail.id}),
    ]
    append(notebook, entries)
    assert {entry.id for entry in closure(notebook, project)} == {entry.id for entry in entries}


def test_there_and_back_byte_for_byte(notebook: Notebook, full: dict[str, Entry], other: Notebook) -> None:
    project = full["project"].id
    made = export(notebook, project)
    contents, receipt = take_in(other, made.data)
    assert (contents.project, contents.root, len(receipt.kept)) == (project, made.root, made.entries)
    by_id = {entry.id: entry for entry in read_entries(other)[0]}
    for entry in closure(notebook, project):
        assert by_id[entry.id] == entry and by_id[entry.id].envelope == entry.envelope
    assert by_id[full["pail"].id].project == notebook.bench != other.bench, "an imported bench keeps its name"
    assert read_blob(other, sha256(PHOTO).hexdigest()) == PHOTO
    assert export(other, project).data == made.data


def test_taking_in_twice_changes_nothing(notebook: Notebook, full: dict[str, Entry], other: Notebook) -> None:
    made = export(notebook, full["project"].id)
    take_in(other, made.data)
    before = read_entries(other)
    _, receipt = take_in(other, made.data)
    assert (receipt.kept, receipt.aside, len(receipt.had)) == ((), (), made.entries)
    assert read_entries(other) == before and read_aside(other) == []


def test_two_files_of_one_project_merge_by_union(notebook: Notebook, other: Notebook, tmp_path: Path) -> None:
    project = new_id()
    w = Writer(project, notebook.bench)
    shared, left, right = (
        w("project", {"name": "Wall"}, entry_id=project),
        w("note", {"text": "left"}),
        w("note", {"text": "right"}),
    )
    append(notebook, [shared, left])
    append(other, [shared, right])
    mine, theirs = export(notebook, project), export(other, project)
    take_in(notebook, theirs.data)
    take_in(other, mine.data)
    assert export(notebook, project).data == export(other, project).data
    assert {entry.id for entry in read_entries(other)[0]} == {shared.id, left.id, right.id}


def test_a_file_cut_short_anywhere_is_refused(notebook: Notebook, full: dict[str, Entry]) -> None:
    data = export(notebook, full["project"].id).data
    step = max(1, len(data) // 400)
    for end in [*range(0, len(data), step), len(data) - 1]:
        refused(data[:end])


def test_a_changed_byte_is_refused_or_says_the_same(notebook: Notebook, full: dict[str, Entry]) -> None:
    project = full["project"].id
    data = export(notebook, project).data
    whole = read_file(data)
    step = max(1, len(data) // 1500)
    seen = 0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # of a name that stands twice in the zip
        for place in range(0, len(data), step):
            changed = bytearray(data)
            changed[place] ^= 0x41
            try:
                contents = read_file(bytes(changed))
            except InputError as fault:
                assert fault.code == "file_not_whole"
                seen += 1
            else:  # bytes of a zip that carry no content, such as a date
                assert contents == whole
    assert seen > 1000


def swapped(data: bytes, name: str, old: bytes, new: bytes) -> bytes:
    parts = parts_of(data)
    assert old in parts[name]
    return zipped({**parts, name: parts[name].replace(old, new)})


def test_content_that_does_not_agree_with_its_root(notebook: Notebook, full: dict[str, Entry]) -> None:
    data = export(notebook, full["project"].id).data
    mark = sha256(PHOTO).hexdigest()
    parts = parts_of(data)
    lines = parts["entries.jsonl"].split(b"\n")
    cases = {
        "body": swapped(data, "entries.jsonl", b'"clay"', b'"sand"'),
        "moment": swapped(data, "entries.jsonl", b"2026-03-04T00:01", b"2026-03-04T00:02"),
        "line_left_out": zipped({**parts, "entries.jsonl": b"\n".join(lines[1:])}),
        "blob": zipped({**parts, f"blobs/{mark}": PHOTO[:-1]}),
        "root": swapped(data, "manifest.json", b'"root":"', b'"root":"0'),
    }
    for name, case in cases.items():
        assert "root" in refused(case), name


def test_a_manifest_that_does_not_agree_with_the_content(notebook: Notebook, full: dict[str, Entry]) -> None:
    data = export(notebook, full["project"].id).data
    mark = sha256(PHOTO).hexdigest().encode()
    assert "manifest" in refused(swapped(data, "manifest.json", full["project"].id.encode(), new_id().encode()))
    assert "manifest" in refused(swapped(data, "manifest.json", b'"entries":', b'"entries":1'))
    assert "manifest" in refused(swapped(data, "manifest.json", b'"format"', b'"colour":1,"format"'))
    assert refused(swapped(data, "manifest.json", mark, b"1" * 64))


def test_what_is_no_project_file(notebook: Notebook, full: dict[str, Entry]) -> None:
    data = export(notebook, full["project"].id).data
    parts = parts_of(data)
    assert "loamwright project 2" in refused(swapped(data, "manifest.json", b"loamwright project 1", b"loamwright project 2"))
    manifest = json.loads(parts["manifest.json"])
    for case in (
        b"",
        b"PK",
        b"some text",
        zipped({}),
        zipped({"manifest.json": b"{"}),
        zipped({"manifest.json": b"[]", "entries.jsonl": b""}),
        zipped({"manifest.json": b"{}", "entries.jsonl": b""}),
        zipped({"manifest.json": b"[" * 100_000, "entries.jsonl": b""}),
        zipped({name: part for name, part in parts.items() if name != "entries.jsonl"}),
        zipped({**parts, "entries.jsonl": b"\xff\xfe"}),
        zipped({**parts, "entries.jsonl": parts["entries.jsonl"][:-1]}),
        zipped({**parts, "entries.jsonl": parts["entries.jsonl"] + b"\n"}),
        zipped({**parts, "entries.jsonl": b"[" * 200_000 + b"\n"}),
        zipped({**parts, "manifest.json": json.dumps({**manifest, "blobs": 7}).encode()}),
        zipped({**parts, "manifest.json": json.dumps({**manifest, "project": {"a": 1}}).encode()}),
    ):
        refused(case)


def test_a_file_that_unpacks_to_too_much_is_refused_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    big = b"\0" * (2 * exchange.MOST_BYTES // 512)
    monkeypatch.setattr(exchange, "MOST_BYTES", exchange.MOST_BYTES // 512)
    bomb = zipped({"manifest.json": b"{}", "entries.jsonl": big})
    assert len(bomb) < len(big) / 500
    monkeypatch.setattr(zipfile.ZipFile, "read", lambda *_: pytest.fail("it was unpacked"))
    assert "unpacks to more than 1 MB" in refused(bomb)


def test_nothing_is_kept_of_a_refused_file(notebook: Notebook, full: dict[str, Entry], other: Notebook) -> None:
    data = swapped(export(notebook, full["project"].id).data, "entries.jsonl", b'"clay"', b'"sand"')
    with pytest.raises(InputError):
        take_in(other, data)
    assert read_entries(other) == ([], 0)
    assert read_blob(other, sha256(PHOTO).hexdigest()) is None


def test_blobs_come_in_the_same_transaction_as_entries(notebook: Notebook, full: dict[str, Entry], other: Notebook) -> None:
    data = export(notebook, full["project"].id).data
    with other.engine.begin() as connection:
        connection.exec_driver_sql("CREATE TRIGGER no_blob BEFORE INSERT ON blob BEGIN SELECT RAISE(ABORT, 'no blobs'); END")
    with pytest.raises(InputError) as caught:
        take_in(other, data)
    assert caught.value.code == "notebook_unreadable" and "no blobs" in str(caught.value.values["reason"])
    assert read_entries(other) == ([], 0)
    with other.engine.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER no_blob")
        connection.exec_driver_sql("CREATE TRIGGER no_arrival BEFORE INSERT ON arrival BEGIN SELECT RAISE(ABORT, 'no'); END")
    with pytest.raises(InputError):
        take_in(other, data)
    assert read_blob(other, sha256(PHOTO).hexdigest()) is None and read_entries(other) == ([], 0)


def test_a_clash_with_what_is_there_is_kept_aside(notebook: Notebook, full: dict[str, Entry], other: Notebook) -> None:
    mine = write("source", {"name": "mine"}, project=full["project"].id, moment=START, entry_id=full["source"].id)
    append(other, [mine])
    _, receipt = take_in(other, export(notebook, full["project"].id).data)
    assert receipt.aside == (full["source"].id,)
    assert read_aside(other) == [full["source"]]
