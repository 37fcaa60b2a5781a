"""A copy of a notebook file made by SQLite's own backup call, safe while the notebook is in use."""

import sqlite3
from contextlib import closing
from pathlib import Path

from loamwright.errors import InputError
from loamwright.notebook.connect import sqlite_module


def back_up(source: Path, target: Path) -> Path:
    """Copy a notebook file to a new file, check the copy, and return its path.

    Raises
    ------
    InputError
        "file_exists" where the target is there already, "file_missing" where the source is not, "file_not_written" where the
        target cannot be made, "notebook_unreadable" where the source is no database, "backup_damaged" where the copy does not
        pass SQLite's own check. A copy that failed is not left behind.
    """
    try:
        source.stat()
    except FileNotFoundError:
        raise InputError("file_missing", path=str(source)) from None
    except OSError as fault:
        raise InputError("notebook_unreadable", path=str(source), reason=fault.strerror or str(fault)) from fault
    _make(target)
    module = sqlite_module()
    try:
        with closing(module.connect(str(source))) as old, closing(module.connect(str(target))) as new:
            old.backup(new)
            verdict = new.execute("PRAGMA integrity_check").fetchone()[0]
    except (sqlite3.Error, module.Error) as fault:
        target.unlink(missing_ok=True)
        raise InputError("notebook_unreadable", path=str(source), reason=str(fault)) from fault
    if verdict != "ok":
        target.unlink()
        raise InputError("backup_damaged", path=str(target), reason=verdict)
    return target


def _make(target: Path) -> None:
    """An empty new file, so that a folder that takes none is told as that and not as a fault of the notebook."""
    try:
        target.touch(exist_ok=False)
    except FileExistsError:
        raise InputError("file_exists", path=str(target)) from None
    except OSError as fault:
        raise InputError("file_not_written", path=str(target), reason=fault.strerror or str(fault)) from fault


def back_up_before(source: Path, number: str) -> Path:
    """A checked copy beside the file, taken before its tables are brought to a number; earlier copies stay.

    `bench.notebook` is copied to `bench.notebook.before-0002`, then to `bench.notebook.before-0002-2`, and so on.
    """
    target = source.with_name(f"{source.name}.before-{number}")
    count = 1
    while target.exists():
        count += 1
        target = source.with_name(f"{source.name}.before-{number}-{count}")
    return back_up(source, target)
