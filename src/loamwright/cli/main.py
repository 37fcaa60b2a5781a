"""The shell door: each stage done and asked by command, the same field lists as the pages."""

import click

from loamwright import __version__


class Lazy(click.Group):
    """Commands whose modules are imported only when called, so that help is instant."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now."""
        from importlib import import_module

        if cmd_name not in COMMANDS:
            return None
        module, _ = COMMANDS[cmd_name]
        command: click.Command = import_module(f"loamwright.cli.{module}").command(cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Help without importing anything."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in COMMANDS.items()])


COMMANDS = {
    "serve": ("serve", "Open the pages on this machine."),
}


@click.command(cls=Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110})
@click.version_option(__version__, "--version")
def main() -> None:
    """Bench book, calculator and adviser for mixes of compressed earth blocks."""
