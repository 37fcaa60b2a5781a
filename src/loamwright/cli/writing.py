"""Writing one entry from the shell, and telling what was kept and what is asked about it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import click

from loamwright.cli import shared
from loamwright.cli.naming import pick_entry
from loamwright.cli.typed import take
from loamwright.cli.values import fact_json, question_json
from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, instant, new_id
from loamwright.notebook.kinds import Kind
from loamwright.project import today
from loamwright.project.asking import Question
from loamwright.project.desk import Desk, Hand
from loamwright.project.state import State
from loamwright.project.telling import with_told
from loamwright.words.asked import question_words
from loamwright.words.cautions import cautions_for
from loamwright.words.showing import entry_line, shown_units


@dataclass(frozen=True, slots=True)
class Writing:
    """What is to be written: the kind, the option texts, who writes, and what it corrects."""

    kind: Kind
    texts: Mapping[str, Sequence[str]]
    hand: Hand
    correct: str | None = None
    because: str = ""


def keep(desk: Desk, state: State, writing: Writing) -> Entry:
    """Write a new entry or a correction; what cannot be taken is told all at once, exit code 2, and nothing is kept."""
    old = None if writing.correct is None else _corrected(state, writing)
    taken = take(writing.kind, writing.texts, state, shown_units(state), correcting=old is not None)
    if taken.faults:
        raise shared.misused(*taken.faults)
    if old is None:
        entry_id = new_id()
        at = instant(writing.hand.moment)[0]
        body = with_told(state, writing.kind.name, taken.body, entry_id=entry_id, at=at)
        entry = desk.entry(writing.kind.name, body, writing.hand, project=state.project, entry_id=entry_id)
    else:
        body = {name: value for name, value in {**old.body, **taken.body}.items() if name not in taken.emptied}
        heads = tuple(head.id for head in state.versions.heads(state.versions.entity(old.id))) or (old.id,)
        entry = desk.entry(writing.kind.name, body, writing.hand, project=state.project, replaces=heads, reason=writing.because)
    desk.keep([entry])
    return entry


def _corrected(state: State, writing: Writing) -> Entry:
    """The entry a correction starts from: what counts now, or the named version where the reading was withdrawn."""
    named = state.versions.entries[_entry_id(state, writing.correct or "")]
    if named.kind != writing.kind.name:
        raise shared.misused(InputError("corrects_other_kind", was=named.kind, kind=writing.kind.name))
    if not writing.texts:
        raise shared.misused(InputError("nothing_to_correct"))
    heads = state.versions.heads(state.versions.entity(named.id))
    return heads[0] if len(heads) == 1 and not heads[0].withdraws else named


def _entry_id(state: State, typed: str) -> str:
    try:
        return pick_entry(state, typed)
    except InputError as fault:
        raise shared.misused(fault) from fault


def asked_about(state: State, entry: Entry) -> list[Question]:
    """Open questions that concern what an entry belongs to."""
    entity = state.versions.entity(entry.id)
    return [each for each in today.questions(state) if entity in {state.versions.entity(about) for about in each.about}]


def tell(state: State, entry: Entry, *, as_json: bool) -> None:
    """What was kept, the orders that follow from it, and what is asked about it."""
    from loamwright.cli.stages import after_writing

    questions = asked_about(state, entry)
    fact = state.find(entry.id)
    if as_json:
        found: dict[str, Any] = {"project": state.project, "kept": entry.id}
        if fact is not None:
            found["fact"] = fact_json(state, fact)
        shared.show_json({**found, "questions": [question_json(state, each) for each in questions]})
        return
    click.echo(f"Kept: {entry_line(state, entry.id, shown_units(state))}")
    click.echo(f"  entry {entry.id}")
    for line in after_writing(state, entry):
        click.echo(f"  {line}")
    for each in questions:
        click.echo(f"  asked: {question_words(state, each)}")
    for words in cautions_for(entry.kind):
        click.echo(f"  Caution. {words}")
