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

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; a fault of the notebook, a look-up or a kernel is one sentence and exit code 1."""
        from loamwright.errors import InputError

        try:
            return super().invoke(ctx)
        except InputError as fault:
            from loamwright.cli.shared import fail

            raise fail(fault) from fault

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Help without importing anything."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in COMMANDS.items()])


COMMANDS = {
    "serve": ("serve", "Open the pages on this machine."),
    "demo": ("projects", "Load the demo project."),
    "projects": ("projects", "List the projects of the notebook."),
    "new": ("projects", "Open a project with its buckets."),
    "today": ("verbs", "Brief, notes, people; what is due and what is asked."),
    "dig": ("verbs", "What is in the buckets: sources, pails, moisture, stop questions."),
    "shake": ("verbs", "Jars, their readings, plain guesses."),
    "blend": ("verbs", "Blends in whole parts, and mixes at a dose."),
    "weigh": ("verbs", "Water ladder, plan, batches and every weighing."),
    "press": ("verbs", "Presses, pressed and spoiled blocks, cure."),
    "break": ("verbs", "Soaking, crushing, bending."),
    "choose": ("verbs", "Compare, and choose a mix."),
    "make": ("verbs", "Recipe in pails and bags, proving batch, morning check."),
    "paper": ("paper", "Print a paper: sheets, labels, reports, the crew card."),
    "answer": ("entries", "Answer a question: it stands, or it is left out."),
    "undo": ("entries", "Undo an entry by appending another."),
    "history": ("entries", "Everything that was said of one reading."),
    "rules": ("rules", "Published building rules and their clauses."),
    "verify": ("verify", "Run published cases: computed against published."),
    "files": ("tables", "Readings and days out as files, rows in from a spreadsheet."),
    "export": ("files", "Write a project whole into a file."),
    "import": ("files", "Take in a project file, or a file of what waits on a phone."),
    "backup": ("files", "Copy the notebook, safe while it is in use."),
    "doctor": ("doctor", "Check the notebook file and what in it needs care."),
}


@click.command("loamwright", cls=Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110})
@click.version_option(__version__, "--version")
def main() -> None:
    """Bench book, calculator and adviser for mixes of compressed earth blocks."""
