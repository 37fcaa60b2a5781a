"""What commands share: the notebook and project they work on, who writes, how results and faults are told."""

import json
import math
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loamwright.errors import InputError

if TYPE_CHECKING:
    from loamwright.project.desk import Desk, Hand
    from loamwright.project.state import State

Decorator = Callable[[Any], Any]


def default_notebook() -> Path:
    """The user's own notebook when neither option nor environment names one."""
    import platformdirs

    return Path(platformdirs.user_data_dir("loamwright")) / "bench.notebook"


class NotebookFile(click.Path):
    """A notebook file. The address of a database server is refused for now, rather than taken for a file name."""

    name = "file"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path."""
        if "://" in str(value):
            self.fail(f"{value} is an address; the shell works on a notebook file for now.", param, ctx)
        return super().convert(value, param, ctx)


def notebook_parameter() -> click.Option:
    """The option that names the notebook."""
    return click.Option(
        ["--notebook"],
        type=NotebookFile(path_type=Path, dir_okay=False),
        envvar="LOAMWRIGHT_NOTEBOOK",
        default=default_notebook,
        show_default="your data folder",
        help="Notebook file to work on.",
    )


def project_parameter() -> click.Option:
    """The option that names the project."""
    return click.Option(["--project"], metavar="NAME", help="Project, by name or id; the newest if you leave it out.")


def json_parameter() -> click.Option:
    """The option that asks for JSON."""
    return click.Option(["--json", "as_json"], is_flag=True, help="Print JSON: values in engine units, named with their unit.")


def by_parameter() -> click.Option:
    """The option that says who writes."""
    return click.Option(["--by"], metavar="WHO", envvar="LOAMWRIGHT_BY", default="", help="Who writes: a name or initials.")


def _added(make: Callable[[], click.Option]) -> Decorator:
    def decorate(command: Any) -> Any:
        if isinstance(command, click.Command):
            command.params.append(make())
        else:
            known = getattr(command, "__click_params__", [])
            command.__click_params__ = [*known, make()]
        return command

    return decorate


notebook_option = _added(notebook_parameter)
project_option = _added(project_parameter)
json_option = _added(json_parameter)
by_option = _added(by_parameter)


def open_desk(notebook: Path) -> "Desk":
    """The desk over a notebook file, made where it is missing and let go of when the command ends."""
    from loamwright.notebook.store import open_notebook
    from loamwright.project.desk import Desk

    try:
        opened = open_notebook(notebook)
    except OSError as fault:
        raise InputError("notebook_unreadable", path=str(notebook), reason=fault.strerror or str(fault)) from fault
    context = click.get_current_context(silent=True)
    if context is not None:
        context.call_on_close(opened.close)
    return Desk(opened)


def hand_of(by: str) -> "Hand":
    """Who writes, now."""
    from loamwright.notebook.entry import local_now
    from loamwright.project.desk import Hand

    return Hand(local_now(), by=by)


def pick_project(desk: "Desk", wanted: str | None) -> "State":
    """The project an option names, or the newest; exit code 1 where there is none, 2 where the name does not fit one."""
    from loamwright.cli.naming import pick
    from loamwright.words.showing import name_of

    projects = desk.projects()
    if not projects:
        raise fail(InputError("no_project_yet", path=desk.notebook.target))
    if wanted is None:
        return projects[0]
    by_id = {state.project: state for state in projects}
    try:
        return by_id[pick(wanted, {state.project: name_of(state, state.project) for state in projects}, "project")]
    except InputError as fault:
        raise misused(fault) from fault


def state_of_entry(desk: "Desk", project: str | None, typed: str) -> "State":
    """The project an entry is looked for in: the named one, else the newest that holds an entry this fits."""
    from loamwright.cli.naming import pick_entry

    chosen = pick_project(desk, project)
    if project is None:
        for state in desk.projects():
            try:
                pick_entry(state, typed)
            except InputError:
                continue
            return state
    return chosen


def fail(fault: InputError) -> click.ClickException:
    """A fault as the sentence a person reads, exit code 1."""
    from loamwright.words.sentences import of_fault

    return click.ClickException(of_fault(fault))


def write_new(file: Path, data: bytes) -> None:
    """Write a file that is not there yet; one sentence and exit code 1 where it is, or cannot be written."""
    try:
        with file.open("xb") as out:
            out.write(data)
    except FileExistsError:
        raise fail(InputError("file_exists", path=str(file))) from None
    except OSError as fault:
        raise fail(InputError("file_not_written", path=str(file), reason=fault.strerror or str(fault))) from fault


def misused(*faults: InputError) -> click.UsageError:
    """What was typed cannot be taken: one sentence each, exit code 2."""
    from loamwright.words.sentences import of_fault

    lines = [
        f"{fault.values['at_option']}: {of_fault(fault)}" if "at_option" in fault.values else of_fault(fault) for fault in faults
    ]
    return click.UsageError("\n".join(lines))


def show_json(found: Any) -> None:
    """Print JSON, keys in the order of the work; what is not a finite number is null, as JSON has no word for it."""
    click.echo(json.dumps(_finite(found), ensure_ascii=False, indent=2, allow_nan=False))


def _finite(found: Any) -> Any:
    if isinstance(found, Mapping):
        return {key: _finite(value) for key, value in found.items()}
    if isinstance(found, (list, tuple)):
        return [_finite(value) for value in found]
    return None if isinstance(found, float) and not math.isfinite(found) else found
