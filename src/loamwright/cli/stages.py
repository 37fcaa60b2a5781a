"""What a stage knows, for its `show` command: entries by kind, figures, questions, duties; text or JSON."""

from collections.abc import Iterator, Mapping
from typing import Any

import click

from loamwright.cli.figures import Figure, figures_of
from loamwright.cli.sections import Section, batch_lines, sections_of
from loamwright.cli.shared import show_json
from loamwright.cli.values import due_json, fact_json, finding_json, question_json
from loamwright.notebook.entry import Entry, local_now
from loamwright.notebook.kinds import kinds
from loamwright.project import today
from loamwright.project.finding import Finding, Withheld
from loamwright.project.state import Fact, State
from loamwright.words.asked import question_words
from loamwright.words.duties import due_words, next_step
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault, of_notes
from loamwright.words.showing import entry_words, name_of, shown_units, working_words

DIGITS: Mapping[str, int] = {"mass": 3}
Listed = Mapping[str, list[Fact]]


def show_stage(state: State, verb: str, *, as_json: bool, with_working: bool) -> None:
    """Print what a stage knows."""
    now = local_now()
    listed = {kind.name: state.everything(kind.name) for kind in kinds().values() if kind.verb == verb}
    figures = figures_of(state, verb)
    sections = sections_of(state, verb, now)
    if as_json:
        show_json(_stage_json(state, verb, listed, figures, sections, with_working))
        return
    click.echo(f"{name_of(state, state.project)} ({state.project})")
    for name, facts in listed.items():
        if name != "project":
            _section(kinds()[name].label, [_fact_line(state, fact) for fact in facts])
    shown = shown_units(state)
    _section("Figures", [line for each in figures for line in _figure_lines(each, shown, with_working)])
    notes = (note for each in figures if isinstance(each.result, Finding) for note in each.result.all_notes())
    _section("Notes", of_notes(notes))
    for section in sections:
        _section(section.title, section.lines)
    _section("Asked", [f"{question_words(state, each)}  ({each.code} {' '.join(each.about)})" for each in _asked(state, verb)])
    _section("Due", [_due_line(due_words(each, state, now.date(), _nowhere)) for each in _due(state, verb)])
    if verb == "today":
        _section("Next", [next_step(state, now.date(), _nowhere)["what"]])


def _asked(state: State, verb: str) -> list[Any]:
    return [each for each in today.questions(state) if verb in ("today", each.verb)]


def _due(state: State, verb: str) -> list[Any]:
    return [each for each in today.due(state, local_now().date()) if verb in ("today", each.verb)]


def _nowhere(*parts: str) -> str:
    """The shell has no addresses."""
    return ""


def _stage_json(
    state: State, verb: str, listed: Listed, figures: list[Figure], sections: list[Section], with_working: bool
) -> dict[str, Any]:
    now = local_now().date()
    found: dict[str, Any] = {
        "project": state.project,
        "name": name_of(state, state.project),
        "verb": verb,
        "facts": {name: [fact_json(state, fact) for fact in facts] for name, facts in listed.items() if facts},
        "figures": [_figure_json(each, with_working) for each in figures],
    }
    for section in sections:
        found[section.name] = [*found.get(section.name, []), *section.data]
    found["questions"] = [question_json(state, each) for each in _asked(state, verb)]
    found["due"] = [due_json(state, each, now) for each in _due(state, verb)]
    return found


def _section(title: str, lines: list[str]) -> None:
    if lines:
        click.echo(f"\n{title}")
        for line in lines:
            click.echo(f"  {line}")


def _fact_line(state: State, fact: Fact) -> str:
    if fact.fault is not None:
        return f"{fact.head}  {of_fault(fact.fault)}"
    name = name_of(state, fact.id)
    said = "; ".join(f"{label}: {words}" for label, words in entry_words(state, fact) if words not in (name, "as shown then"))
    marks = " (contested)" if fact.contested else " (left out)" if fact.id in state.left_out else ""
    return f"{fact.head}  {name}{marks}" + (f"  {said}" if said else "")


def _due_line(words: Mapping[str, str]) -> str:
    return f"{words['what']}, {words['when']}" if words["when"] else words["what"]


def _figure_json(each: Figure, with_working: bool) -> dict[str, Any]:
    found = finding_json(each.result, with_working=with_working)
    return {"about": each.about, "whose": each.whose, "label": each.label, **found}


def _figure_lines(each: Figure, shown: Shown, with_working: bool) -> Iterator[str]:
    whose = f"{each.whose}: {each.label}"
    if isinstance(each.result, Withheld):
        yield f"{whose} withheld: {of_fault(each.result.fault)}"
        return
    result = each.result
    if not each.quantity:
        yield f"{whose} {result.value:.4g}"
    else:
        text = shown.value(result.value, each.quantity, digits=DIGITS.get(each.quantity))
        band = result.band
        likely = "" if band is None else f", likely {shown.band(band.low, band.high, each.quantity)}"
        yield f"{whose} {text}{likely}"
    if with_working:
        yield from _working_lines(result, shown)


def _working_lines(result: Finding, shown: Shown) -> Iterator[str]:
    words = working_words(result, shown)
    for step in words.steps:
        yield f"    {step['says']}: {step['formula']} {step['put']} {step['gives']}"
    yield f"    from {', '.join(words.sources)}"


def after_writing(state: State, entry: Entry) -> list[str]:
    """Orders that follow from an entry: those of its batch."""
    batch = entry.id if entry.kind == "batch" else entry.body.get("batch", "")
    if entry.kind not in ("batch", "weighing", "stabiliser_in") or not batch:
        return []
    fact = state.find(batch, "batch")
    return [] if fact is None else batch_lines(state, fact, local_now())
