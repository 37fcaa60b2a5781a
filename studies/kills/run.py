"""A thousand kills of a writer, results to results.txt beside this file: `python -m studies.kills.run [KILLS]`."""

import platform
import sys
import tempfile
import time
from pathlib import Path

from studies.kills.killing import Kills, cores, kill_writers

from loamwright.notebook.connect import journal_for, sqlite_module

SEED = 20260304


def report(found: Kills, seconds: float) -> str:
    """The results in words."""
    journal = journal_for(sqlite_module().sqlite_version_info)
    safety = f"SQLite {journal.sqlite_version}, journal {found.journal}, synchronous {journal.synchronous}"
    machine = f"{safety}; Python {platform.python_version()}, {platform.system()}, {cores()} cores"
    return f"""Kills of a process that writes a notebook
=========================================

Every kill is SIGKILL at a random moment within 60 ms of the writer's first acknowledged entry; all writers use one file.
An entry counts as acknowledged when its id was read from the writer's pipe, which it tells only after append returned.

kills                                            {found.kills}
entries acknowledged                             {found.acknowledged}
acknowledged entries missing afterwards          {len(found.missing)}
faults (integrity, foreign keys, sequence)       {len(found.faults)}
kept but not yet told when the kill came         {found.kept_unsaid}

{machine}; seed {SEED}; {seconds:.0f} s.

What this proves: a crash of the program loses nothing that was acknowledged. What it does not prove: a power cut.
The operating system outlives a killed process and still writes what it was handed; after a power cut only what the disk
had truly written is there. For that the notebook relies on SQLite with synchronous FULL and on a disk that tells the truth.
"""


def main() -> None:
    """Run and write the results."""
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        found = kill_writers(Path(folder) / "bench.notebook", kills, seed=SEED, check_each=10)
    text = report(found, time.monotonic() - began)
    (Path(__file__).parent / "results.txt").write_text(text, encoding="utf-8")
    print(text)
    if found.missing or found.faults:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
