"""Entries of any kind: undo one, see its history, answer a question about it."""

from pathlib import Path

import click

from loamwright.cli import shared
from loamwright.errors import InputError


def command(name: str) -> click.Command:
    """The command of this name."""
    return {"undo": undo, "history": history, "answer": answer}[name]


@click.command("undo")
@click.argument("entry")
@click.option("--because", default="typing slip", show_default=True, metavar="WORDS", help="Why it is undone.")
@shared.project_option
@shared.by_option
@shared.notebook_option
@shared.json_option
def undo(entry: str, because: str, project: str | None, by: str, notebook: Path, as_json: bool) -> None:
    """Undo ENTRY by appending another; both stay in the record."""
    from loamwright.cli.naming import pick_entry
    from loamwright.words.showing import entry_line, shown_units

    desk = shared.open_desk(notebook)
    state = shared.state_of_entry(desk, project, entry)
    wanted = pick_entry(state, entry)
    undone = desk.undo(state.project, wanted, shared.hand_of(by), reason=because)
    desk.keep([undone])
    state = desk.state(state.project)
    now = state.find(undone.id)
    if as_json:
        shared.show_json(
            {"project": state.project, "kept": undone.id, "undone": wanted, "counts": None if now is None else now.head}
        )
        return
    click.echo(f"Undone: {entry_line(state, wanted, shown_units(state))}")
    click.echo(f"  entry {undone.id}")
    if now is not None:
        click.echo(f"  counts now: {entry_line(state, now.head, shown_units(state))}")


@click.command("history")
@click.argument("entry")
@shared.project_option
@shared.notebook_option
@shared.json_option
def history(entry: str, project: str | None, notebook: Path, as_json: bool) -> None:
    """Everything that was said of what ENTRY belongs to, the oldest first."""
    from loamwright.cli.naming import pick_entry
    from loamwright.words.showing import entry_line, shown_units

    state = shared.state_of_entry(shared.open_desk(notebook), project, entry)
    root = state.versions.entity(pick_entry(state, entry))
    heads = {head.id for head in state.versions.heads(root)}
    listed = [
        {
            "entry": each.id,
            "at": each.at,
            "by": each.by,
            "reason": each.reason,
            "counts": each.id in heads,
            "hash": each.hash,
            "says": entry_line(state, each.id, shown_units(state)),
        }
        for each in state.versions.history(root)
    ]
    if as_json:
        shared.show_json({"project": state.project, "entity": root, "versions": listed})
        return
    for line in listed:
        mark = "counts" if line["counts"] else "replaced"
        why = f" because {line['reason']}" if line["reason"] else ""
        click.echo(f"{line['at']}  {line['entry']}  {mark}  {line['says']}{why}, by {line['by'] or 'nobody named'}")


@click.command("answer")
@click.argument("question")
@click.option("--about", multiple=True, metavar="ENTRY", help="What the question is about; left out, whatever it is open for.")
@click.option("--verdict", metavar="[stands|leave_out]", help="It stands as read, or it is left out of every sum. Needed.")
@click.option("--reason", default="", metavar="WORDS", help="Why.")
@shared.project_option
@shared.by_option
@shared.notebook_option
@shared.json_option
def answer(
    question: str,
    about: tuple[str, ...],
    verdict: str | None,
    reason: str,
    project: str | None,
    by: str,
    notebook: Path,
    as_json: bool,
) -> None:
    """Answer QUESTION (its code, as `show` prints it): the reading stands, or it is left out."""
    from loamwright.cli.naming import pick_entry
    from loamwright.cli.writing import tell
    from loamwright.notebook.fields import parse
    from loamwright.notebook.kinds import kind_named
    from loamwright.project import today

    desk = shared.open_desk(notebook)
    state = shared.state_of_entry(desk, project, about[0]) if about else shared.pick_project(desk, project)
    named = [pick_entry(state, each) for each in about]
    if not named:
        fitting = [each for each in today.questions(state) if each.code == question]
        if len(fitting) != 1:
            raise shared.misused(InputError("answers_what", typed=question, n=len(fitting)))
        named = list(fitting[0].about)
    raw = {"question": [question], "about": named, "verdict": [(verdict or "").replace("-", "_")], "reason": [reason]}
    parsed = parse(kind_named("answer").fields, raw)
    if parsed.faults:
        raise shared.misused(*(_told(name, fault) for name, fault in parsed.faults.items()))
    entry = desk.entry("answer", parsed.body, shared.hand_of(by), project=state.project)
    desk.keep([entry])
    tell(desk.state(state.project), entry, as_json=as_json)


def _told(name: str, fault: InputError) -> InputError:
    """A field left out, told as the option that carries it."""
    return (
        InputError("option_missing", label=fault.values["label"], option=f"--{name}") if fault.code == "missing_field" else fault
    )
