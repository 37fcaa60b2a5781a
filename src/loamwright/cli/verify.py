"""`loamwright verify`: published cases through the engine, computed against published."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loamwright.cli import shared
from loamwright.errors import InputError

if TYPE_CHECKING:
    from loamwright.verify.run import Outcome


def command(name: str) -> click.Command:
    """The command."""
    return verify


@click.command("verify")
@click.argument("file", required=False, type=click.Path(path_type=Path, dir_okay=False))
@click.option("--schema", is_flag=True, help="Print the operations a case can name, with their inputs, units and outputs.")
@shared.json_option
def verify(file: Path | None, schema: bool, as_json: bool) -> None:
    """Run published cases and print computed against published.

    Without FILE the shipped cases are run. FILE is TOML: [[case]] with id, operation, [case.inputs], [case.expected] and
    [case.tolerance]. The exit code is 1 if any case differs or cannot be run.
    """
    from loamwright.verify.run import passed, run_cases

    if schema:
        _schema(as_json)
        return
    outcomes = run_cases(_cases(file))
    if as_json:
        shared.show_json([_outcome_json(each) for each in outcomes])
    else:
        for each in outcomes:
            _print(each)
        click.echo(_summary(outcomes))
    if not passed(outcomes):
        raise click.exceptions.Exit(1)


def _cases(file: Path | None) -> Any:
    from loamwright.cli.files import read_file
    from loamwright.verify.cases import read_cases, shipped_cases

    if file is None:
        return shipped_cases()
    try:
        text = read_file(file).decode("utf-8")
    except UnicodeDecodeError as fault:
        raise shared.fail(InputError("cases_not_read", file=str(file), reason="it is not UTF-8 text")) from fault
    return read_cases(text, name=str(file))


_STATUS = {"agrees": "agrees", "differs": "DIFFERS", "not_run": "NOT RUN", "fact": "fact, no operation"}


def _print(each: "Outcome") -> None:
    from loamwright.words.sentences import of_fault

    case = each.case
    click.echo(f"{case.id}  {_STATUS[each.status]}  {case.title}")
    click.echo(f"    {case.source or 'no named document'}; {case.kind}, known: {case.known}")
    for line in each.compared:
        mark = "ok " if line.agrees else "OFF"
        click.echo(f"    {mark} {line.output}, tolerance {line.tolerance}")
        click.echo(f"        published {_text(line.published)}")
        click.echo(f"        computed  {_text(line.computed)}")
    if each.status == "fact":
        for name, value in case.expected.items():
            click.echo(f"    {name}: published {_text(value)}")
    for fault in each.why:
        click.echo(f"    {of_fault(fault)}")


def _text(value: Any) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(_text(item) for item in value) + "]"
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _summary(outcomes: "tuple[Outcome, ...]") -> str:
    counts = {status: sum(each.status == status for each in outcomes) for status in _STATUS}
    return (
        f"{len(outcomes)} cases: {counts['agrees']} agree, {counts['differs']} differ, "
        f"{counts['not_run']} not run, {counts['fact']} listed as facts"
    )


def _outcome_json(each: "Outcome") -> dict[str, Any]:
    from loamwright.words.sentences import of_fault

    return {
        "id": each.case.id,
        "operation": each.case.operation,
        "status": each.status,
        "source": each.case.source,
        "known": each.case.known,
        "outputs": [
            {
                "output": line.output,
                "published": line.published,
                "computed": line.computed,
                "tolerance": line.tolerance,
                "agrees": line.agrees,
            }
            for line in each.compared
        ],
        "why": [of_fault(fault) for fault in each.why],
    }


def _schema(as_json: bool) -> None:
    from loamwright.verify.operation import Operation, Output
    from loamwright.verify.operations import operations

    def name(output: Output) -> str:
        return f"{output.named.name}_<{output.family}>" if output.family else output.named.name

    def named(each: Any, called: str) -> dict[str, Any]:
        suffixes = [written.removeprefix(f"{each.name}_") for written in each.written if written != each.name]
        return {
            "name": called,
            "units": suffixes,
            "unit_without_suffix": each.bare or None,
            "list_allowed": each.many,
            "holds": "text" if each.shape == "text" else "number",
            "optional": each.optional,
            "about": each.about,
        }

    def whole(each: Operation) -> dict[str, Any]:
        return {
            "operation": each.key,
            "topic": each.topic,
            "about": each.about,
            "inputs": [named(one, one.name) for one in each.inputs],
            "outputs": [{**named(one.named, name(one)), "compared_as": one.check} for one in each.outputs],
        }

    found = [whole(each) for each in operations().values()]
    if as_json:
        shared.show_json(found)
        return
    for each in found:
        click.echo(f"{each['operation']}  ({each['topic']}) {each['about']}")
        for part in ("inputs", "outputs"):
            for one in each[part]:
                click.echo(f"    {part[:-1]:<6} {_named_line(one)}")
    click.echo("fact  A figure that is listed and not computed")


def _named_line(one: dict[str, Any]) -> str:
    unit = f"_{{{'|'.join(one['units'])}}}" if one["units"] else ""
    bare = f" (in {one['unit_without_suffix']} without a suffix)" if one["unit_without_suffix"] else ""
    more = ", one number or a list" if one["list_allowed"] else ""
    left = ", may be left out" if one["optional"] else ""
    band = ", published as least and most" if one.get("compared_as") == "band" else ""
    return f"{one['name']}{unit}{bare}: {one['about']}{more}{left}{band}"
