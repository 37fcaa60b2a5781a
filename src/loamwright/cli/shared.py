"""What commands share: the notebook they work on and how faults are told."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from loamwright.errors import InputError
from loamwright.project.desk import Desk


def default_notebook() -> Path:
    """The user's own notebook when neither option nor environment names one."""
    import platformdirs

    return Path(platformdirs.user_data_dir("loamwright")) / "bench.notebook"


notebook_option: Callable[[Any], Any] = click.option(
    "--notebook",
    type=click.Path(path_type=Path, dir_okay=False),
    envvar="LOAMWRIGHT_NOTEBOOK",
    default=default_notebook,
    show_default="your data folder",
    help="Notebook file to work on.",
)


def open_desk(notebook: Path) -> Desk:
    """The desk over a notebook file; a fault is one sentence and exit code 2."""
    from loamwright.notebook.store import open_notebook

    try:
        return Desk(open_notebook(notebook))
    except InputError as fault:
        raise fail(fault) from fault


def fail(fault: InputError) -> click.ClickException:
    """A fault as the sentence a person reads, exit code 1."""
    from loamwright.words.sentences import of_fault

    return click.ClickException(of_fault(fault))
