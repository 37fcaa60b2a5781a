"""Project files made to burst, to nest, or to write elsewhere: refused whole with a reason, in little memory and time.

Each is taken in by a process of its own, whose greatest memory and time are measured.
"""

import io
import json
import subprocess
import sys
import warnings
import zipfile
import zlib
from collections.abc import Callable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from loamwright.errors import InputError
from loamwright.notebook import exchange
from loamwright.notebook.exchange import FORMAT, export, read_file
from loamwright.notebook.store import open_notebook

MEMORY = 60  # MB beside what the program takes anyhow, and the file itself
SECONDS = 20  # the 10 million lines and the gigabyte are never read to their end
MANIFEST: Mapping[str, Any] = {"format": FORMAT, "project": "p", "entries": 1, "blobs": [], "root": "0" * 64}
TAKE_IN = """
import re, sys, time
from pathlib import Path
from loamwright.errors import InputError
from loamwright.notebook.exchange import take_in
from loamwright.notebook.store import open_notebook
from loamwright.words.sentences import of_fault
notebook = open_notebook(Path(sys.argv[1]))
data = Path(sys.argv[2]).read_bytes()
def most():  # kB; the kernel's own figure of this process alone, what started it not counted in
    return int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
before, start = most(), time.perf_counter()
try:
    take_in(notebook, data)
    print("taken in")
except InputError as fault:
    print(fault.code, of_fault(fault))
notebook.close()
print((most() - before) / 1024, time.perf_counter() - start)
"""


def zipped(parts: Mapping[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def whole(entries: bytes = b"", manifest: Any = MANIFEST, **more: bytes) -> bytes:
    head = manifest if isinstance(manifest, bytes) else json.dumps(manifest).encode()
    return zipped({"manifest.json": head, "entries.jsonl": entries, **more})


def streamed(piece: bytes, times: int, name: str = "entries.jsonl") -> bytes:
    """A zip in which one file is a piece many times over, made without ever holding it."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        if name != "manifest.json":
            archive.writestr("manifest.json", json.dumps({**MANIFEST, "blobs": ["0" * 64] if name.startswith("blobs") else []}))
        if name != "entries.jsonl":
            archive.writestr("entries.jsonl", b"")
        with archive.open(name, "w", force_zip64=True) as out:
            for _ in range(times):
                out.write(piece)
    return buffer.getvalue()


def twice() -> bytes:
    buffer = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(buffer, "w") as archive:
        warnings.simplefilter("ignore", UserWarning)
        for _ in range(2):
            archive.writestr("entries.jsonl", b"{}\n")
            archive.writestr("manifest.json", json.dumps(MANIFEST))
    return buffer.getvalue()


def lying() -> bytes:
    """A zip whose listing says ten bytes where ten million come."""
    made = bytearray(streamed(b"\0" * 1_000_000, 10))
    place = made.rfind(b"PK\x01\x02")
    name = made.rfind(b"entries.jsonl")
    assert place < name
    made[place + 24 : place + 28] = (10).to_bytes(4, "little")
    return bytes(made)


MEGABYTE = b"\0" * 1024**2
BOMBS: dict[str, tuple[Callable[[], bytes], str]] = {
    "1 GB of zeros": (lambda: streamed(MEGABYTE, 1024), "unpacks to more than 512 MB"),
    "500 MB of zeros in one line": (lambda: streamed(MEGABYTE, 500), "longer than 4 MB"),
    "a picture of 500 MB": (lambda: streamed(MEGABYTE, 500, f"blobs/{'0' * 64}"), "larger than 64 MB"),
    "10 million lines": (lambda: streamed(b"{}\n" * 100_000, 100), "the keys are not those of an entry"),
    "10 million empty lines": (lambda: streamed(b"\n" * 100_000, 100), "not JSON"),
    "a line nested a million deep": (lambda: whole(b"[" * 10**6 + b"]" * 10**6 + b"\n"), "not JSON"),
    "objects nested deep": (lambda: whole(b'{"a":' * 300_000 + b"1" + b"}" * 300_000 + b"\n"), "not JSON"),
    "a manifest nested a million deep": (lambda: whole(manifest=b"[" * 10**6 + b"]" * 10**6), "recursion"),
    "a manifest of 500 MB": (lambda: streamed(b" " * 1024**2, 500, "manifest.json"), "larger than 4 MB"),
    "a file twice": (twice, "twice"),
    "an absolute name": (lambda: whole(b"{}\n", **{"/etc/cron.d/x": b"x"}), "/etc/cron.d/x"),
    "a name that climbs": (lambda: whole(b"{}\n", **{"blobs/../../x": b"x"}), "blobs/../../x"),
    "a name of another system": (lambda: whole(b"{}\n", **{"C:\\x": b"x"}), "not of a project"),
    "packed without bound": (
        lambda: zipped({"manifest.json": json.dumps(MANIFEST).encode(), "entries.jsonl": b"\0" * 10**8}, zipfile.ZIP_BZIP2),
        "packed in another way",
    ),
    "a listing that lies": (lying, "Bad CRC-32"),
    "no manifest": (lambda: zipped({"entries.jsonl": b"{}\n"}), "manifest.json"),
    "a manifest that is a list": (lambda: whole(manifest=[1, 2]), "lacks something"),
    "a manifest of another format": (lambda: whole(manifest={**MANIFEST, "format": "x" * 10**6}), "its format is"),
    "a manifest of wrong types": (lambda: whole(manifest={**MANIFEST, "blobs": 7}), "not iterable"),
    "a manifest of a picture not there": (lambda: whole(manifest={**MANIFEST, "blobs": ["../x"]}), "../x"),
    "a root that is not its own": (lambda: whole(), "root hash"),
    "no zip": (lambda: b"PK\x03\x04" + zlib.compress(b"\0" * 10**6) * 100, "zip"),
    "nothing": (lambda: b"", "zip"),
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_whole_in_little_memory_and_time(name: str, tmp_path: Path) -> None:
    make, reason = BOMBS[name]
    path, bomb = tmp_path / "bench.notebook", tmp_path / "bomb.zip"
    open_notebook(path).close()
    before = sha256(path.read_bytes()).hexdigest()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        data = make()
    bomb.write_bytes(data)
    done = subprocess.run(
        [sys.executable, "-c", TAKE_IN, str(path), str(bomb)], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    *told, figures = done.stdout.splitlines()
    said = " ".join(told)
    assert said.startswith("file_not_whole") and reason in said
    assert len(said) < 600
    memory, seconds = map(float, figures.split())
    print(f"{name}: {len(data) / 1e6:.1f} MB, {memory:.0f} MB more, {seconds:.2f} s")
    assert memory < MEMORY
    assert seconds < SECONDS
    assert sha256(path.read_bytes()).hexdigest() == before
    assert not (tmp_path / "x").exists() and not Path("/etc/cron.d/x").exists()


def test_more_entries_than_any_work_has_are_refused(desk, project: str, bench, monkeypatch: pytest.MonkeyPatch) -> None:
    for n in range(4):
        bench.write("note", text=f"note {n}")
    data = export(desk.notebook, project).data
    assert len(read_file(data).entries) == 5
    monkeypatch.setattr(exchange, "MOST_ENTRIES", 4)
    with pytest.raises(InputError, match="more than 4 entries"):
        read_file(data)
