"""One group of commands a verb: `show` tells what the stage knows, and each kind of entry has a command made from its fields."""

from functools import partial
from pathlib import Path
from typing import Any

import click

from loamwright.cli import shared
from loamwright.cli.main import COMMANDS
from loamwright.cli.typed import option_of, row_form
from loamwright.notebook.fields import Field
from loamwright.notebook.kinds import Kind, kinds

ELSEWHERE = frozenset({"project", "answer"})  # opened with `new`, given with `answer`
CORRECT = "correct"
BECAUSE = "because"


class InOrder(click.Group):
    """Commands listed in the order of the work."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names as they were added."""
        return list(self.commands)


def command(name: str) -> click.Command:
    """The group of a verb."""
    group = InOrder(name, help=COMMANDS[name][1])
    group.add_command(_show(name))
    for kind in kinds_of(name):
        group.add_command(_of_kind(kind))
    return group


def kinds_of(verb: str) -> list[Kind]:
    """Kinds that have a command under a verb."""
    return [kind for kind in kinds().values() if kind.verb == verb and kind.asked and kind.name not in ELSEWHERE]


def _show(verb: str) -> click.Command:
    def show(notebook: Path, project: str | None, as_json: bool, working: bool) -> None:
        from loamwright.cli.stages import show_stage

        show_stage(shared.pick_project(shared.open_desk(notebook), project), verb, as_json=as_json, with_working=working)

    return click.Command(
        "show",
        callback=show,
        help="What this stage knows: entries, figures, what is asked and what is due.",
        short_help="What this stage knows.",
        params=[
            click.Option(["--working"], is_flag=True, help="Show how each figure is computed, with its numbers put in."),
            shared.project_parameter(),
            shared.notebook_parameter(),
            shared.json_parameter(),
        ],
    )


def _of_kind(kind: Kind) -> click.Command:
    fields = [each for each in kind.fields if each.kind != "told"]
    options: list[click.Parameter] = [_option(kind, each) for each in fields]
    options += [
        click.Option([f"--{CORRECT}"], metavar="ENTRY", help="Correct this entry; what you leave out stays as it was."),
        click.Option([f"--{BECAUSE}"], metavar="WORDS", default="typing slip", show_default=True, help="Why it is corrected."),
        shared.project_parameter(),
        shared.by_parameter(),
        shared.notebook_parameter(),
        shared.json_parameter(),
    ]
    return click.Command(
        kind.name.replace("_", "-"), callback=partial(_write, kind), params=options, help=f"Write down: {kind.label.lower()}."
    )


def _option(kind: Kind, each: Field) -> click.Option:
    many = each.kind in ("quantities", "refs", "rows")
    return click.Option(
        [option_of(kind, each), f"field_{each.name}"], metavar=_metavar(each), multiple=many, help=option_help(each)
    )


def _metavar(each: Field) -> str:
    match each.kind:
        case "choice":
            return f"[{'|'.join(each.options)}]"
        case "rows":
            return row_form(each)
    words = {
        "text": "TEXT",
        "number": "NUMBER",
        "whole": "COUNT",
        "quantity": "AMOUNT",
        "quantities": "AMOUNT",
        "flag": "[yes|no]",
        "date": "YYYY-MM-DD",
        "moment": "YYYY-MM-DDTHH:MM",
        "ref": "NAME",
        "refs": "NAME",
    }
    return words[each.kind]


def option_help(each: Field) -> str:
    """Help of an option: its label, its hint, how it is typed."""
    parts = [each.label.rstrip("?") + ("?" if each.label.endswith("?") else ".")]
    if each.hint:
        parts.append(each.hint[0].upper() + each.hint[1:] + ".")
    if each.kind == "choice":
        unlike = [f"{key}: {words}" for key, words in each.options.items() if words != key.replace("_", " ")]
        parts += ["; ".join(unlike) + "."] if unlike else []
    if each.kind == "quantities":
        parts.append(f"Give it {each.expected} times." if each.expected > 1 else "Give it as often as you measured.")
    if each.kind in ("refs", "rows"):
        parts.append("Give it once for each.")
    if each.kind == "ref":
        parts.append("By name or id.")
    if each.required:
        parts.append("Needed.")
    return " ".join(parts)


def _write(
    kind: Kind,
    *,
    notebook: Path,
    project: str | None,
    by: str,
    as_json: bool,
    correct: str | None,
    because: str,
    **typed: Any,
) -> None:
    from loamwright.cli.writing import Writing, keep, tell

    desk = shared.open_desk(notebook)
    state = shared.pick_project(desk, project) if correct is None else shared.state_of_entry(desk, project, correct)
    texts = {name.removeprefix("field_"): _texts(value) for name, value in typed.items() if value is not None}
    writing = Writing(kind, texts, shared.hand_of(by), correct, because)
    entry = keep(desk, state, writing)
    tell(desk.state(state.project), entry, as_json=as_json)


def _texts(value: str | tuple[str, ...]) -> list[str]:
    return [value] if isinstance(value, str) else list(value)
