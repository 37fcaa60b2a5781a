"""Projects of a notebook: list them, open one, load the demo."""

from pathlib import Path
from typing import Any

import click

from loamwright.cli import shared
from loamwright.errors import InputError
from loamwright.notebook.entry import local_now
from loamwright.notebook.kinds import kind_named


def command(name: str) -> click.Command:
    """The command of this name."""
    return {"projects": projects, "new": _new(), "demo": demo}[name]


@click.command("projects")
@shared.notebook_option
@shared.json_option
def projects(notebook: Path, as_json: bool) -> None:
    """List the projects of the notebook, the newest first."""
    from loamwright.words.showing import name_of

    listed = [
        {"project": state.project, "name": name_of(state, state.project), "entries": len(state.versions.entries)}
        for state in shared.open_desk(notebook).projects()
    ]
    if as_json:
        shared.show_json(listed)
        return
    for each in listed:
        click.echo(f"{each['project']}  {each['name']}  {each['entries']} entries")
    if not listed:
        click.echo("No project yet. Open one with: loamwright new --bucket NAME --bucket NAME")


@click.command("demo")
@shared.notebook_option
@shared.json_option
def demo(notebook: Path, as_json: bool) -> None:
    """Load the demo project as a new project, its last day today."""
    from loamwright.project.demo import load_demo

    desk = shared.open_desk(notebook)
    project = load_demo(desk, local_now())
    if as_json:
        shared.show_json({"project": project})
        return
    click.echo(f"Kept: demo project {project}, invented figures")


_PAIL = (
    ("pail", "NAME", "Your pail: what you call it."),
    ("pail-volume", "AMOUNT", "What the pail holds, struck level, such as 20 l."),
    ("pail-tare", "AMOUNT", "What the pail weighs empty."),
)


def _new() -> click.Command:
    """The command that opens a project; its options are the fields of a project, its buckets and its pail."""
    options: list[click.Parameter] = [
        click.Option(["--bucket"], multiple=True, metavar="NAME", help="One bucket of soil; give it at least twice.")
    ]
    for each in kind_named("project").fields:
        metavar = f"[{'|'.join(each.options)}]" if each.options else "TEXT"
        hint = f" {each.hint[0].upper()}{each.hint[1:]}." if each.hint else ""
        name = f"--{each.name.replace('_', '-')}"
        options.append(click.Option([name, f"field_{each.name}"], metavar=metavar, help=f"{each.label}.{hint}"))
    options += [click.Option([f"--{name}"], metavar=metavar, help=words) for name, metavar, words in _PAIL]
    options += [shared.by_parameter(), shared.notebook_parameter(), shared.json_parameter()]
    return click.Command("new", callback=_open, params=options, help="Open a project with its buckets.")


def _open(
    *,
    bucket: tuple[str, ...],
    pail: str | None,
    pail_volume: str | None,
    pail_tare: str | None,
    by: str,
    notebook: Path,
    as_json: bool,
    **typed: Any,
) -> None:
    from loamwright.project.opening import opening

    raw = {name.removeprefix("field_"): [value] for name, value in typed.items() if value is not None}
    kilograms_or = (raw.get("mass_unit") or ["kg"])[0]
    amounts = {"pail": pail, "pail_volume": pail_volume, "pail_tare": pail_tare}
    raw |= {name: [value] for name, value in amounts.items() if value is not None}
    raw |= {"pail_volume_unit": ["gal" if kilograms_or == "lb" else "l"], "pail_tare_unit": [kilograms_or]}
    desk = shared.open_desk(notebook)
    try:
        entries = opening(desk, bucket, raw, shared.hand_of(by))
    except InputError as fault:
        raise shared.misused(fault) from fault
    desk.keep(entries)
    if as_json:
        shared.show_json({"project": entries[0].id, "entries": [{"entry": each.id, "kind": each.kind} for each in entries]})
        return
    from loamwright.words.showing import name_of

    state = desk.state(entries[0].id)
    click.echo(f"Opened: {name_of(state, state.project)}")
    click.echo(f"  project {state.project}")
    for each in entries[1:]:
        click.echo(f"  {each.kind} {each.id}  {name_of(state, each.id)}")
