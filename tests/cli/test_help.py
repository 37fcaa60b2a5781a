"""Every command and option has help, help is instant, and the command reference is up to date."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from loamwright.cli.main import COMMANDS, main
from loamwright.notebook.kinds import kinds

ROOT = Path(__file__).parents[2]


def walk(command: click.Command, context: click.Context) -> Iterator[tuple[str, click.Command, click.Context]]:
    yield context.command_path, command, context
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            inner = command.get_command(context, name)
            assert inner is not None, name
            yield from walk(inner, click.Context(inner, info_name=name, parent=context))


def every_command() -> list[tuple[str, click.Command, click.Context]]:
    return list(walk(main, click.Context(main, info_name="loamwright")))


def test_every_command_and_option_has_help() -> None:
    lacking = [path for path, command, _ in every_command() if not command.help]
    for path, command, _ in every_command():
        options = [param for param in command.params if isinstance(param, click.Option)]
        lacking += [f"{path} {option.opts[0]}" for option in options if not (option.help or "").strip()]
    assert lacking == []


def test_no_two_options_of_a_command_share_a_name() -> None:
    for path, command, _ in every_command():
        names = [name for param in command.params if isinstance(param, click.Option) for name in param.opts]
        assert len(names) == len(set(names)), path


def test_every_kind_that_is_asked_has_a_command() -> None:
    paths = {path for path, _, _ in every_command()}
    for kind in kinds().values():
        if kind.asked and kind.name not in ("project", "answer"):
            assert f"loamwright {kind.verb} {kind.name.replace('_', '-')}" in paths
    assert {"loamwright new", "loamwright answer"} <= paths


def test_every_command_that_reads_or_writes_can_answer_in_json() -> None:
    without = {"loamwright serve"}
    for path, command, _ in every_command():
        if not isinstance(command, click.Group) and path not in without:
            assert any("--json" in param.opts for param in command.params), path


def test_the_first_help_imports_nothing_heavy() -> None:
    """The reason help is instant; measured at 35 ms over a bare interpreter where 150 ms are allowed."""
    heavy = ("sqlalchemy", "numpy", "scipy", "fastapi", "jinja2", "pint", "alembic")
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom loamwright.cli.main import main\n"
        "for words in (['--help'], ['dig', '--help'], ['dig', 'pan-test', '--help'], ['verify', '--help']):\n"
        "    assert CliRunner().invoke(main, words).exit_code == 0\n"
        f"print([name for name in {heavy!r} if name in sys.modules])\n"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert said.stdout.strip() == "[]"


def test_the_first_help_lists_every_command() -> None:
    from click.testing import CliRunner

    text = CliRunner().invoke(main, ["--help"]).output
    assert all(f"  {name}" in text for name in COMMANDS)


def test_the_command_reference_is_up_to_date() -> None:
    """`make reference` writes it anew."""
    script = ROOT / "tools" / "command_reference.py"
    assert subprocess.run([sys.executable, str(script), "--check"], check=False, timeout=60).returncode == 0
