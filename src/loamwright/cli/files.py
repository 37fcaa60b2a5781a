"""Files: export a project, take one in, copy the notebook."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from loamwright.cli import shared
from loamwright.errors import InputError

if TYPE_CHECKING:
    from loamwright.project.desk import Desk


def command(name: str) -> click.Command:
    """The command of this name."""
    return {"export": export, "import": take, "backup": backup}[name]


@click.command("export")
@click.argument("project")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@shared.notebook_option
@shared.json_option
def export(project: str, file: Path, notebook: Path, as_json: bool) -> None:
    """Write PROJECT whole, with all it stands on, into FILE; nothing is overwritten."""
    from loamwright.notebook.exchange import export as export_project

    desk = shared.open_desk(notebook)
    state = shared.pick_project(desk, project)
    made = export_project(desk.notebook, state.project)
    shared.write_new(file, made.data)
    if as_json:
        shared.show_json({"project": state.project, "file": str(file), "entries": made.entries, "root": made.root})
        return
    click.echo(f"Written: {file}, {made.entries} entries")
    click.echo(f"  root {made.root}")


def read_file(file: Path) -> bytes:
    """The bytes of a file; one sentence and exit code 1 where it cannot be read."""
    from loamwright.notebook.exchange import MOST_BYTES

    try:
        with file.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)  # a pipe does not say how much it holds
    except FileNotFoundError:
        raise shared.fail(InputError("file_missing", path=str(file))) from None
    except OSError as fault:
        raise shared.fail(InputError("file_not_read", path=str(file), reason=fault.strerror or str(fault))) from fault
    if len(data) > MOST_BYTES:
        raise shared.fail(InputError("file_not_whole", reason=f"it is larger than {MOST_BYTES // 1024**2} MB"))
    return data


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@shared.notebook_option
@shared.json_option
def take(file: Path, notebook: Path, as_json: bool) -> None:
    """Take in a project FILE, all of it or nothing; or a FILE of what waits on a phone, each line by itself."""
    from loamwright.notebook.arriving import is_waiting
    from loamwright.notebook.exchange import take_in
    from loamwright.words.showing import name_of

    data = read_file(file)
    desk = shared.open_desk(notebook)
    if is_waiting(data):
        _take_waiting(desk, data, as_json=as_json)
        return
    contents, receipt = take_in(desk.notebook, data)
    counts = {"kept": len(receipt.kept), "had": len(receipt.had), "aside": len(receipt.aside)}
    if as_json:
        shared.show_json({"project": contents.project, "root": contents.root, **counts})
        return
    state = desk.state(contents.project)
    click.echo(f"Taken in: {name_of(state, contents.project)} ({contents.project})")
    click.echo(f"  {counts['kept']} new entries, {counts['had']} here already, {counts['aside']} kept aside")


def _take_waiting(desk: "Desk", data: bytes, *, as_json: bool) -> None:
    """What waits on a phone: told line by line, exit code 1 where a line was not taken."""
    from loamwright.notebook.arriving import arrive, read_waiting
    from loamwright.words.arrivals import arrival_lines
    from loamwright.words.sentences import of_fault

    arrival = arrive(desk.notebook, read_waiting(data))
    refused = [{"id": each.id, "code": each.fault.code, "why": of_fault(each.fault)} for each in arrival.refused]
    if as_json:
        counts = {"kept": len(arrival.kept), "had": len(arrival.had), "aside": len(arrival.aside)}
        shared.show_json({**counts, "refused": refused})
    else:
        for line in arrival_lines(arrival):
            click.echo(line)
        for each in refused:
            click.echo(f"  {each['id'] or '?'}: {each['why']}", err=True)
    if refused:
        click.get_current_context().exit(1)


@click.command("backup")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@shared.notebook_option
@shared.json_option
def backup(file: Path, notebook: Path, as_json: bool) -> None:
    """Copy the notebook to FILE, safe while it is in use; nothing is overwritten."""
    from loamwright.notebook.backup import back_up
    from loamwright.notebook.connect import sqlite_module

    try:
        made = back_up(notebook, file)
    except sqlite_module().Error as fault:
        raise InputError("file_not_written", path=str(file), reason=str(fault)) from fault
    if as_json:
        shared.show_json({"file": str(made), "size_bytes": made.stat().st_size})
        return
    click.echo(f"Written: {made}, checked")
