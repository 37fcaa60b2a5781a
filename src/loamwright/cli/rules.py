"""The book of building rules: which there are, their clauses, the check of a rule file, and taking one in."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loamwright.cli import shared
from loamwright.errors import InputError

if TYPE_CHECKING:
    from loamwright.rules.clause import Clause, Rule

_KEY = re.compile(r"[a-z][a-z0-9_]{0,60}")


def command(name: str) -> click.Command:
    """The group."""
    return rules


@click.group("rules")
def rules() -> None:
    """Building rules that the program knows, and how it knows them."""


@rules.command("list")
@shared.json_option
def list_rules(as_json: bool) -> None:
    """List every rule of the book by its key."""
    from loamwright.rules import book

    if as_json:
        shared.show_json(
            [
                {
                    "rule": rule.key,
                    "document": rule.document,
                    "edition": rule.edition,
                    "title": rule.title,
                    "clauses": len(rule.clauses),
                    "asks": sum(not each.no_requirement for each in rule.clauses),
                }
                for rule in book.rules()
            ]
        )
        return
    for rule in book.rules():
        click.echo(f"{rule.key}  {rule.document} ({rule.edition}): {rule.title}")


@rules.command("show")
@click.argument("key")
@shared.json_option
def show_rule(key: str, as_json: bool) -> None:
    """Show the clauses of the rule KEY with the standing of each figure."""
    from dataclasses import asdict

    from loamwright.rules import book

    try:
        rule = book.load_rule(key)
    except InputError as fault:
        raise shared.misused(fault) from fault
    if as_json:
        shared.show_json(asdict(rule))
        return
    _tell(rule)


def _tell(rule: "Rule") -> None:
    click.echo(f"{rule.document} ({rule.edition}): {rule.title}")
    for each in rule.clauses:
        click.echo(f"  {each.key}  {_clause(each.words, each.clause)}")
        click.echo(f"    {_asked(each)}")
        for other in each.others:
            click.echo(f"    another figure: {other.value:g} {other.unit}, {other.source}")
        click.echo(f"    known: {each.standing} [{each.source}]" + (f"; {each.note}" if each.note else ""))


def _asked(each: "Clause") -> str:
    """What one clause asks, in the words of its columns."""
    if each.no_requirement or each.value is None:
        return f"asks nothing: {each.no_requirement.replace('_', ' ')}"
    limit = f"{each.comparator} {each.value:g}" + (f" to {each.value_max:g}" if each.value_max is not None else "")
    parts = (
        f"{each.subject}: {each.property.replace('_', ' ')}, {each.statistic.replace('_', ' ')}",
        f"{limit} {each.unit}",
        f"each {each.floor:g}" if each.floor is not None else "",
        each.condition.replace("_", " "),
        f"n {each.n}" if each.n else "",
        f"soaked {each.soak_hours:g} h" if each.soak_hours else "",
        f"{each.cycles} cycles" if each.cycles else "",
        f"age {each.age_days:g} d" if each.age_days else "",
        each.grade,
        each.use.replace("_", " "),
        "advice" if each.advice else "",
    )
    return ", ".join(text for text in parts if text)


def _clause(words: str, clause: str) -> str:
    return f"{words} ({clause})" if clause else words


@rules.command("schema")
@shared.json_option
def schema(as_json: bool) -> None:
    """Print the columns of a rule file: what each holds, what it may be, and which are needed."""
    from loamwright.rules.files import columns
    from loamwright.rules.properties import properties

    listed = columns()
    if as_json:
        shared.show_json(
            {
                "columns": [
                    {"name": one.name, "holds": one.holds, "about": one.about, "allowed": one.allowed, "needed": one.needed}
                    for one in listed
                ],
                "properties": [
                    {"name": one.key, "subject": one.subject, "quantity": one.quantity} for one in properties().values()
                ],
            }
        )
        return
    for one in listed:
        needed = {"always": "needed", "asks": "needed where the row asks something"}.get(one.needed, "may be left out")
        allowed = f"; one of: {', '.join(repr(each) for each in one.allowed)}" if one.allowed else ""
        click.echo(f"{one.name}: {one.about} ({one.holds}, {needed}){allowed}")
    click.echo("properties: " + ", ".join(f"{one.key} ({one.subject}, {one.quantity})" for one in properties().values()))


@rules.command("check")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@shared.json_option
def check(file: Path, as_json: bool) -> None:
    """Check the rule file FILE and tell everything that is wrong with it, row by row. Nothing is kept.

    The exit code is 1 if anything is wrong.
    """
    rule, faults = _read(file)
    if as_json:
        shared.show_json({"rule": None if rule is None else rule.key, "faults": [_fault(each) for each in faults]})
    elif rule is None:
        for each in faults:
            click.echo(_fault(each)["says"])
    else:
        asks = sum(not each.no_requirement for each in rule.clauses)
        click.echo(f"{file}: no fault. {rule.document} ({rule.edition}), {len(rule.clauses)} rows, {asks} of them ask something.")
    if faults:
        raise click.exceptions.Exit(1)


@rules.command("take")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@shared.notebook_option
@shared.project_option
@shared.by_option
@shared.json_option
def take(file: Path, notebook: Path, project: str | None, by: str, as_json: bool) -> None:
    """Keep the rule file FILE in the notebook, for all its projects; its key is the name of the file.

    A file of the same key that was kept before is replaced by it. Nothing is kept of a file with a fault.
    """
    from loamwright.project.rulebook import taken_body

    rule, faults = _read(file)
    if rule is None:
        raise shared.misused(*(each.fault for each in faults))
    desk = shared.open_desk(notebook)
    state = shared.pick_project(desk, project)
    try:
        body, replaces = taken_body(state, rule.key, _text(file))
    except InputError as fault:
        raise shared.misused(fault) from fault
    reason = "the rule file was taken again" if replaces else ""
    kept = desk.entry("rule_file", body, shared.hand_of(by), project=state.project, replaces=replaces, reason=reason)
    desk.keep([kept])
    if as_json:
        shared.show_json({"kept": kept.id, "rule": rule.key})
        return
    click.echo(f"Kept: {rule.key}, {rule.document} ({rule.edition}), {len(rule.clauses)} rows")


def _read(file: Path) -> tuple[Any, tuple[Any, ...]]:
    from loamwright.rules.files import RuleFault, check_text

    key = file.stem
    if not _KEY.fullmatch(key):
        return None, (RuleFault("", "", InputError("rule_key_not_a_name", rule=key)),)
    return check_text(_text(file), key)


def _text(file: Path) -> str:
    from loamwright.cli.files import read_file

    try:
        return read_file(file).decode("utf-8")
    except UnicodeDecodeError as fault:
        raise shared.fail(InputError("rule_file_not_read", reason="it is not UTF-8 text")) from fault


def _fault(each: Any) -> dict[str, str]:
    from loamwright.words.sentences import of_fault

    says = of_fault(each.fault)
    place = f"Row {each.row}, field {each.field}: " if each.row and not says.startswith("Row ") else ""
    return {"row": each.row, "field": each.field, "code": each.fault.code, "says": place + says}
