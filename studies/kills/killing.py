"""Kill a process that writes a notebook, at a random moment, and look for every entry it had acknowledged.

A killed process proves what a crash of the program does: the operating system still writes out what was handed to it.
It proves nothing about a power cut, where what the disk had not yet written is lost; for that the notebook relies on
SQLite's `synchronous = FULL` and on the disk telling the truth.
"""

import os
import random
import select
import signal
import sqlite3
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

from loamwright.notebook.connect import sqlite_module

# Appends for ever; tells an id on its pipe only after `append` has returned. Every third append brings several entries,
# every fifth a blob, so that kills fall into transactions of different sizes.
WRITER = """
import sys
from datetime import UTC, datetime
from loamwright.notebook.entry import write
from loamwright.notebook.store import append, keep_blob, open_notebook
book = open_notebook(sys.argv[1])
said = open(1, "wb", buffering=0)
number = 0
while True:
    number += 1
    size = 20 if number % 3 == 0 else 1
    entries = [write("note", {"text": "x" * 300}, project="p", moment=datetime.now(UTC)) for _ in range(size)]
    blobs = [bytes(40_000)] if number % 5 == 0 else []
    receipt = append(book, entries, blobs=blobs)
    said.write("".join(f"{each}\\n" for each in receipt.kept).encode())
"""


@dataclass
class Kills:
    """What came of killing: kills, entries acknowledged before them, those missing after, faults of the file."""

    kills: int = 0
    acknowledged: int = 0
    missing: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    kept_unsaid: int = 0
    journal: str = ""


def kill_writers(path: Path, kills: int, *, seed: int, longest: float = 0.06, check_each: int = 1) -> Kills:
    """Start a writer on the same file again and again and kill it up to `longest` seconds after its first word."""
    chance = random.Random(seed)
    found = Kills()
    acknowledged: list[str] = []
    for number in range(kills):
        writer = subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        acknowledged.extend(_killed_after(writer, chance.random() * longest))
        found.kills += 1
        if number % check_each == 0 or number == kills - 1:
            _look(path, acknowledged, found)
    found.acknowledged = len(acknowledged)
    return found


def _killed_after(writer: "subprocess.Popen[bytes]", wait: float) -> list[str]:
    """Ids a writer told before it was killed; the wait begins with its first word, so that kills fall into writing."""
    assert writer.stdout is not None and writer.stderr is not None
    ready, _, _ = select.select([writer.stdout], [], [], 60)
    if not ready:
        writer.kill()
        raise RuntimeError("the writer said nothing for a minute")
    time.sleep(wait)
    writer.send_signal(signal.SIGKILL)
    told = writer.stdout.read().decode()
    said = writer.stderr.read().decode()
    writer.wait()
    writer.stdout.close()
    writer.stderr.close()
    if said:
        raise RuntimeError(f"the writer failed by itself: {said}")
    return told.splitlines() if told.endswith("\n") else told.splitlines()[:-1]


def _look(path: Path, acknowledged: list[str], found: Kills) -> None:
    """Open the file as the next start would and compare."""
    module = sqlite_module()
    connection = module.connect(str(path))
    try:
        found.journal = str(connection.execute("PRAGMA journal_mode").fetchone()[0])
        verdict = connection.execute("PRAGMA integrity_check").fetchone()[0]
        broken = connection.execute("PRAGMA foreign_key_check").fetchall()
        kept = {row[0] for row in connection.execute("SELECT id FROM entry")}
        sequences = [row[0] for row in connection.execute("SELECT sequence FROM arrival ORDER BY sequence")]
    except (sqlite3.Error, module.Error) as fault:
        found.faults.append(str(fault))
        return
    finally:
        connection.close()
    if verdict != "ok":
        found.faults.append(str(verdict))
    if broken:
        found.faults.append(f"{len(broken)} arrivals without entry")
    if sequences != list(range(1, len(kept) + 1)):
        found.faults.append("the sequence has a hole")
    found.missing = sorted(set(acknowledged) - kept)
    found.kept_unsaid = len(kept - set(acknowledged))


def cores() -> int:
    """Processors of this machine, for the report."""
    return os.cpu_count() or 1
