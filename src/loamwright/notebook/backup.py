"""A copy of a notebook file made by SQLite's own backup call, safe while the notebook is in use."""

from contextlib import closing
from pathlib import Path

from loamwright.errors import InputError
from loamwright.notebook.connect import sqlite_module


def back_up(source: Path, target: Path) -> Path:
    """Copy a notebook file to a new file, check the copy, and return its path.

    Raises
    ------
    InputError
        "file_exists" where the target is there already, "file_missing" where the source is not,
        "backup_damaged" where the copy does not pass SQLite's own check.
    """
    if target.exists():
        raise InputError("file_exists", path=str(target))
    if not source.exists():
        raise InputError("file_missing", path=str(source))
    module = sqlite_module()
    with closing(module.connect(str(source))) as old, closing(module.connect(str(target))) as new:
        old.backup(new)
        verdict = new.execute("PRAGMA integrity_check").fetchone()[0]
    if verdict != "ok":
        raise InputError("backup_damaged", path=str(target), reason=verdict)
    return target
