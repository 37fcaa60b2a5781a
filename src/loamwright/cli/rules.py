"""The book of building rules: which there are, and their clauses."""

import click

from loamwright.cli import shared
from loamwright.errors import InputError


def command(name: str) -> click.Command:
    """The group."""
    return rules


@click.group("rules")
def rules() -> None:
    """Published building rules that the program knows, and how it knows them."""


@rules.command("list")
@shared.json_option
def list_rules(as_json: bool) -> None:
    """List every rule by its key."""
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
    click.echo(f"{rule.document} ({rule.edition}): {rule.title}")
    for each in rule.clauses:
        click.echo(f"  {each.key}  {_clause(each.words, each.clause)}")
        asked = ", ".join(
            text
            for text in (
                f"{each.property.replace('_', ' ')}, {each.statistic.replace('_', ' ')}",
                f"{each.comparator} {each.value:g} {each.unit}",
                each.condition.replace("_", " "),
                f"n {each.n}" if each.n else "",
                f"soaked {each.soak_hours:g} h" if each.soak_hours else "",
                f"age {each.age_days:g} d" if each.age_days else "",
                each.grade,
                each.use.replace("_", " "),
            )
            if text
        )
        click.echo(f"    {asked}")
        click.echo(f"    known: {each.standing} [{each.source}]" + (f"; {each.note}" if each.note else ""))


def _clause(words: str, clause: str) -> str:
    return f"{words} ({clause})" if clause else words
