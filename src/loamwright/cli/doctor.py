"""`loamwright doctor`: how the notebook is kept, and what in it needs care."""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loamwright import __version__
from loamwright.cli import shared

if TYPE_CHECKING:
    from loamwright.notebook.store import Notebook
    from loamwright.project.desk import Desk

WAL = "this SQLite has the fix for pages lost after a WAL reset"
NO_WAL = "this SQLite lacks the fix for pages lost after a WAL reset, so a truncated rollback journal is used"


def command(name: str) -> click.Command:
    """The command."""
    return doctor


@click.command("doctor")
@shared.notebook_option
@shared.json_option
def doctor(notebook: Path, as_json: bool) -> None:
    """Check the notebook file: SQLite, journal, integrity, and entries that need care. Nothing is changed.

    The exit code is 1 if the file cannot be written here, or does not pass SQLite's own check.
    """
    found: dict[str, Any] = {"version": __version__, "python": sys.version.split()[0], **_sqlite(), "notebook": str(notebook)}
    found |= _reach(notebook)
    if found["exists"] and found["writable"]:
        desk = shared.open_desk(notebook)
        found |= _file(desk.notebook) | _entries(desk)
    if as_json:
        shared.show_json(found)
    else:
        for line in _lines(found):
            click.echo(line)
    if found.get("integrity", "ok") != "ok" or not found["writable"]:
        raise click.exceptions.Exit(1)


def _reach(notebook: Path) -> dict[str, bool]:
    """Whether the file is there, and whether who asks may write it and beside it, as SQLite does."""
    try:
        notebook.stat()
    except FileNotFoundError:
        return {"exists": False, "writable": True}  # told when it is made
    except OSError:  # a folder nobody may look into
        return {"exists": True, "writable": False}
    return {"exists": True, "writable": os.access(notebook, os.W_OK) and os.access(notebook.absolute().parent, os.W_OK | os.X_OK)}


def _sqlite() -> dict[str, Any]:
    from loamwright.notebook.connect import journal_for, sqlite_module, wal_is_safe

    module = sqlite_module()
    version = module.sqlite_version_info
    return {
        "sqlite": module.sqlite_version,
        "binding": module.__name__.partition(".")[0],
        "journal_chosen": journal_for(version).mode,
        "journal_why": WAL if wal_is_safe(version) else NO_WAL,
    }


def _file(notebook: "Notebook") -> dict[str, Any]:
    import sqlalchemy as sa

    from loamwright.notebook.connect import NEWEST

    def ask(query: str) -> Any:
        with notebook.engine.connect().execution_options(reading=True) as connection:
            return connection.execute(sa.text(query)).scalar()

    return {
        "journal": str(ask("PRAGMA journal_mode")),
        "integrity": str(ask("PRAGMA integrity_check")),
        "tables": str(ask("SELECT version_num FROM alembic_version")),
        "tables_known": NEWEST,
        "entries": int(ask("SELECT count(*) FROM entry")),
        "blobs": int(ask("SELECT count(*) FROM blob")),
        "same_id_other_content": int(ask("SELECT count(*) FROM aside")),
        "bench": notebook.bench,
        "device": notebook.device,
    }


def _entries(desk: "Desk") -> dict[str, Any]:
    states = desk.projects()
    not_understood = {fact.head: fact.fault for state in states for fact in state.not_understood()}
    from loamwright.words.sentences import of_fault

    return {
        "projects": len(states),
        "not_understood": {head: of_fault(fault) for head, fault in sorted(not_understood.items()) if fault is not None},
        "aside": {each.entry.id: each.why for state in states for each in state.aside()},
        "contested": sorted({fact.id for state in states for fact in state.contested()}),
    }


def _lines(found: dict[str, Any]) -> list[str]:
    lines = [
        f"Loamwright {found['version']} on Python {found['python']}",
        f"SQLite {found['sqlite']} through {found['binding']}",
        f"Journal {found['journal_chosen']}: {found['journal_why']}",
        f"Notebook {found['notebook']}",
    ]
    if not found["exists"]:
        return [*lines, "The notebook is not there yet; the first entry makes it."]
    if not found["writable"]:
        return [*lines, "It cannot be written here: the file or its folder is closed to you. Nothing more was checked."]
    lines += [
        f"Journal in the file: {found['journal']}",
        f"Integrity check: {found['integrity']}",
        f"Tables {found['tables']}, known here {found['tables_known']}",
        f"{found['projects']} projects, {found['entries']} entries, {found['blobs']} photos or other files",
        f"Not understood: {len(found['not_understood'])}",
        *(f"  {head}  {why}" for head, why in found["not_understood"].items()),
        f"Set aside: {len(found['aside'])}",
        *(f"  {entry}  {why.replace('_', ' ')}" for entry, why in found["aside"].items()),
        f"Same id with other content: {found['same_id_other_content']}",
        f"Contested: {len(found['contested'])}",
        *(f"  {entity}" for entity in found["contested"]),
    ]
    return lines
