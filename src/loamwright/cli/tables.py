"""Readings as a spreadsheet, rows from a spreadsheet, days for a calendar."""

from pathlib import Path

import click

from loamwright.cli import shared
from loamwright.cli.main import COMMANDS
from loamwright.errors import InputError

FILE = click.argument("file", type=click.Path(path_type=Path, dir_okay=False))


def command(name: str) -> click.Command:
    """The group."""
    group = click.Group(name, help=COMMANDS[name][1])
    for each in (readings, days, template, rows):
        group.add_command(each)
    return group


def _written(file: Path, data: bytes, as_json: bool) -> None:
    """Write a file that is not there yet, and say so."""
    shared.write_new(file, data)
    if as_json:
        shared.show_json({"file": str(file), "size_bytes": len(data)})
        return
    click.echo(f"Written: {file}")


@click.command("readings")
@FILE
@shared.project_option
@shared.notebook_option
@shared.json_option
def readings(file: Path, project: str | None, notebook: Path, as_json: bool) -> None:
    """Write readings and results into a workbook FILE (.xlsx); nothing is overwritten."""
    from loamwright.notebook.entry import local_now
    from loamwright.papers.spreadsheet import workbook
    from loamwright.words.showing import shown_units

    state = shared.pick_project(shared.open_desk(notebook), project)
    _written(file, workbook(state, shown_units(state), as_of=local_now()), as_json)


@click.command("days")
@FILE
@shared.project_option
@shared.notebook_option
@shared.json_option
def days(file: Path, project: str | None, notebook: Path, as_json: bool) -> None:
    """Write cure, soak and test days of open batches into a calendar FILE (.ics); nothing is overwritten."""
    from loamwright.notebook.entry import local_now
    from loamwright.papers.calendar import calendar, newest

    state = shared.pick_project(shared.open_desk(notebook), project)
    _written(file, calendar(state, as_of=newest(state).astimezone(local_now().tzinfo)), as_json)


@click.command("template")
@click.argument("kind")
@FILE
@shared.project_option
@shared.notebook_option
@shared.json_option
def template(kind: str, file: Path, project: str | None, notebook: Path, as_json: bool) -> None:
    """Write an empty table for entries of KIND into FILE (.xlsx or .csv), in the project's units; nothing is overwritten."""
    from loamwright.papers import spreadsheet
    from loamwright.papers.columns import kind_by_file
    from loamwright.words.showing import shown_units

    known = kind_by_file(kind.replace("-", "_"))
    state = shared.pick_project(shared.open_desk(notebook), project)
    make = spreadsheet.template_csv if file.suffix.lower() == ".csv" else spreadsheet.template
    _written(file, make(known, shown_units(state)), as_json)


@click.command("rows")
@click.argument("kind")
@FILE
@click.option("--decimal", type=click.Choice(["comma", "point"]), help="Mark before the decimals in FILE; needed for CSV.")
@click.option("--again", is_flag=True, help="Take the very same file in once more: its rows are other readings.")
@shared.project_option
@shared.by_option
@shared.notebook_option
@shared.json_option
def rows(
    kind: str, file: Path, decimal: str | None, again: bool, project: str | None, by: str, notebook: Path, as_json: bool
) -> None:
    """Take rows of KIND from FILE (.xlsx, .ods or CSV), all of them or none; every faulty cell is told."""
    from loamwright.cli.files import read_file
    from loamwright.notebook.entry import new_id
    from loamwright.papers import rows_in
    from loamwright.papers.columns import kind_by_file
    from loamwright.papers.table_file import mark_of
    from loamwright.words.sentences import of_fault

    known = kind_by_file(kind.replace("-", "_"))
    data = read_file(file)
    desk = shared.open_desk(notebook)
    state = shared.pick_project(desk, project)
    reading = rows_in.read(state, known, data, decimal=mark_of(decimal or ""))
    if reading.faults:
        lines = [f"row {each.row}, {each.head}: {of_fault(each.fault)}" for each in reading.faults]
        raise click.ClickException("\n".join([f"Nothing was kept of {file}.", *lines]))
    form = new_id()
    before = rows_in.brought_before(state, reading, form)
    if before is not None and not again:
        raise shared.fail(InputError("file_brought_before", on=before.date()))
    entries = rows_in.entries(desk, reading, shared.hand_of(by), project=state.project, form_id=form)
    desk.keep(entries)
    if as_json:
        shared.show_json({"kept": [entry.id for entry in entries], "here_already": reading.here})
        return
    click.echo(f"Kept: {len(entries)} rows, {reading.here} here already")
