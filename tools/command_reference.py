"""Write docs/reference/commands.md from the commands themselves; `--check` only says whether it is up to date."""

import sys
from collections.abc import Iterator
from pathlib import Path

import click

from loamwright.cli.main import main as root
from loamwright.units import all_units

TARGET = Path(__file__).parent.parent / "docs" / "reference" / "commands.md"
HEAD = """# Commands

Made from the commands themselves by `tools/command_reference.py`; edit those, not this page.

Exit codes: 0 done; 1 a fault told in one sentence, or a published case that differs or could not be run; 2 wrong usage, and
nothing was kept.

An amount is a number and its unit in one text: `"6.4 lb"`, `"512 g"`, `"1 1/2 in"`, `"6 %"`. A comma is a decimal comma.
Left out, the unit is the project's own. A volume may be counted in your own containers: `"3 black pail"`. Things are named by
name, by the beginning of a name, or by the first or last digits of an id. With `--correct`, an empty text (`--place ""`) takes
a value away. `LOAMWRIGHT_NOTEBOOK` and `LOAMWRIGHT_BY` in the environment stand for `--notebook` and `--by`.

Units that can be typed:

"""


def page() -> str:
    """The whole page."""
    context = click.Context(root, info_name="loamwright")
    return HEAD + _units() + "".join(_walk(root, context))


def _units() -> str:
    """Units by quantity, as a list."""
    found: dict[str, list[str]] = {}
    for unit in all_units().values():
        found.setdefault(unit.quantity, []).append(f"`{unit.key}`")
    return "".join(f"- {quantity}: {', '.join(keys)}\n" for quantity, keys in found.items())


def _walk(command: click.Command, context: click.Context) -> Iterator[str]:
    depth = context.command_path.count(" ")
    if depth:
        yield f"\n{'#' * (depth + 1)} {context.command_path}\n\n"
        if not isinstance(command, click.Group):
            yield f"`{' '.join([context.command_path, *command.collect_usage_pieces(context)])}`\n\n"
        yield f"{' '.join((command.help or '').split())}\n"
        yield from _options(command, context)
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            inner = command.get_command(context, name)
            assert inner is not None
            yield from _walk(inner, click.Context(inner, info_name=name, parent=context))


def _options(command: click.Command, context: click.Context) -> Iterator[str]:
    records = [param.get_help_record(context) for param in command.params if isinstance(param, click.Option)]
    rows = [record for record in records if record is not None]
    if rows:
        yield "\n| option | meaning |\n|---|---|\n"
        yield from (f"| `{_cell(name)}` | {_cell(meaning)} |\n" for name, meaning in rows)


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def main() -> int:
    """Write the page, or check it."""
    made = page()
    if "--check" in sys.argv[1:]:
        return 0 if TARGET.exists() and TARGET.read_text("utf-8") == made else 1
    TARGET.parent.mkdir(parents=True, exist_ok=True)
    TARGET.write_text(made, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
