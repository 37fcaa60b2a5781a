"""`loamwright paper`: every paper as a file or as plain text."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from loamwright.cli import shared
from loamwright.errors import InputError

if TYPE_CHECKING:
    from loamwright.papers.catalogue import Paper
    from loamwright.papers.document import Document
    from loamwright.papers.setting import Setting


def command(name: str) -> click.Command:
    """The command."""
    return paper


@click.command("paper")
@click.argument("name", required=False)
@click.argument("about", required=False)
@click.option("--size", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Size of the paper.")
@click.option("--sheet", metavar="KEY", default="", help="Sheet of labels, such as 3x8-a4, 2x7-a4, 2x7-letter, strip-a4.")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="File to write; nothing is overwritten.")
@click.option("--text", "as_text", is_flag=True, help="Print its words instead of drawing it.")
@click.option("--given-out", is_flag=True, help="Keep in the notebook that it was given out, with its words.")
@shared.project_option
@shared.by_option
@shared.notebook_option
@shared.json_option
def paper(
    name: str | None,
    about: str | None,
    size: str,
    sheet: str,
    out: Path | None,
    as_text: bool,
    given_out: bool,
    project: str | None,
    by: str,
    notebook: Path,
    as_json: bool,
) -> None:
    """Print the paper NAME, of ABOUT where it is about one thing (by name or id); list all papers where NAME is left out."""
    from loamwright.papers import catalogue
    from loamwright.papers.document import as_text as text_of
    from loamwright.words.showing import shown_units

    if name is None:
        _list(as_json)
        return
    desk = shared.open_desk(notebook)
    state = shared.pick_project(desk, project)
    hand = shared.hand_of(by)
    setting = catalogue.setting(desk.notebook, state, shown=shown_units(state), today=hand.moment.date(), by=by)
    thing = _about(setting, catalogue.paper_named(name), about)
    made = catalogue.document(setting, name, thing, sheet=sheet)
    if out is None and not as_text and not as_json:
        raise click.UsageError("Say where to write it with --out FILE, or ask for its words with --text.")
    if out is not None:
        _write(out, made, size)
    if given_out:
        body = catalogue.printed_body(setting, made, about=thing, size=size)
        desk.keep([desk.entry("printed", body, hand, project=state.project)])
    if as_json:
        shared.show_json(
            {
                "paper": name,
                "about": thing,
                "file": None if out is None else str(out),
                "root": setting.root,
                "text": text_of(made),
            }
        )
        return
    click.echo(text_of(made) if as_text else f"Written: {out}")


def _list(as_json: bool) -> None:
    from loamwright.papers import catalogue

    if as_json:
        shared.show_json(
            [{"paper": each.name, "label": each.label, "about": list(each.about)} for each in catalogue.PAPERS.values()]
        )
        return
    for each in catalogue.PAPERS.values():
        about = f" ({' or '.join(each.about)})" if each.about else ""
        click.echo(f"{each.name}{about}: {catalogue.what_for(each)}")


def _about(setting: "Setting", paper: "Paper", typed: str | None) -> str:
    """The id of what a paper is about; the newest where it must be about something and nothing was said."""
    from loamwright.cli.naming import pick
    from loamwright.papers import catalogue

    found = catalogue.things(setting.state, paper)
    if typed is None:
        return found[0].id if paper.needed and found else ""
    try:
        return pick(typed, {fact.id: setting.name(fact.id) for fact in found}, " or ".join(paper.about) or "thing")
    except InputError as fault:
        raise shared.misused(fault) from fault


def _write(out: Path, made: "Document", size: str) -> None:
    from loamwright.papers.pdf import pdf
    from loamwright.words.sentences import sentence

    shared.write_new(out, pdf(made, size=size, missing=sentence("paper_signs_missing", {})))
