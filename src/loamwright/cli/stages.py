"""What a stage knows, for its `show` command: entries by kind, figures, questions, duties; text or JSON."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import click

from loamwright.cli.shared import local_now, show_json
from loamwright.cli.values import due_json, fact_json, finding_json, question_json, question_words
from loamwright.errors import InputError
from loamwright.notebook.entry import Entry
from loamwright.notebook.kinds import kinds
from loamwright.project import dig, today, weigh
from loamwright.project.finding import Finding, Result, Withheld
from loamwright.project.state import Fact, State
from loamwright.words import batches
from loamwright.words.duties import due_words, next_step
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault, of_note
from loamwright.words.showing import entry_words, name_of, shown_units, working_words


@dataclass(frozen=True, slots=True)
class Figure:
    """One computed number of a stage: whose it is, what it is called, the quantity it is shown as."""

    about: str
    label: str
    quantity: str
    result: Result


def show_stage(state: State, verb: str, *, as_json: bool, with_working: bool) -> None:
    """Print what a stage knows."""
    now = local_now().date()
    questions = [each for each in today.questions(state) if verb in ("today", each.verb)]
    duties = [each for each in today.due(state, now) if verb in ("today", each.verb)]
    figures = list(_FIGURES.get(verb, _none)(state))
    listed = {kind.name: state.everything(kind.name) for kind in kinds().values() if kind.verb == verb}
    if as_json:
        show_json(
            {
                "project": state.project,
                "name": name_of(state, state.project),
                "verb": verb,
                "facts": {name: [fact_json(state, fact) for fact in facts] for name, facts in listed.items() if facts},
                "figures": [_figure_json(each, with_working) for each in figures],
                "orders": _orders_json(state) if verb == "weigh" else [],
                "questions": [question_json(state, each) for each in questions],
                "due": [due_json(state, each, now) for each in duties],
            }
        )
        return
    shown = shown_units(state)
    click.echo(f"{name_of(state, state.project)} ({state.project})")
    for name, facts in listed.items():
        if facts and name != "project":
            _section(kinds()[name].label, [_fact_line(state, fact) for fact in facts])
    _section("Figures", [line for each in figures for line in _figure_lines(state, each, shown, with_working)])
    if verb == "weigh":
        _section("Orders", [line for fact in state.all("batch") for line in _order_lines(state, fact)])
    _section("Asked", [f"{question_words(state, each)}  ({each.code} {' '.join(each.about)})" for each in questions])
    _section("Due", [_due_line(due_words(each, state, now, lambda *parts: "")) for each in duties])
    if verb == "today":
        _section("Next", [next_step(state, now, lambda *parts: "")["what"]])


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


# --- figures ---


def _figure_json(each: Figure, with_working: bool) -> dict[str, Any]:
    return {"about": each.about, "label": each.label, **finding_json(each.result, with_working=with_working)}


def _figure_lines(state: State, each: Figure, shown: Shown, with_working: bool) -> Iterator[str]:
    whose = f"{name_of(state, each.about)}: {each.label}"
    if isinstance(each.result, Withheld):
        yield f"{whose} withheld: {of_fault(each.result.fault)}"
        return
    result = each.result
    text = shown.value(result.value, each.quantity, digits=_DIGITS.get(each.quantity))
    if result.band is not None:
        text += f", likely {shown.band(result.band.low, result.band.high, each.quantity)}"
    yield f"{whose} {text}"
    for note in result.all_notes():
        yield f"    {of_note(note)}"
    if with_working:
        yield from _working_lines(result, shown)


def _working_lines(result: Finding, shown: Shown) -> Iterator[str]:
    words = working_words(result, shown)
    for step in words.steps:
        yield f"    {step['says']}: {step['formula']} {step['put']} {step['gives']}"
    yield f"    from {', '.join(words.sources)}"


_DIGITS = {"mass": 3}


def _none(state: State) -> Iterator[Figure]:
    yield from ()


def _dig(state: State) -> Iterator[Figure]:
    for source in state.all("source"):
        found: tuple[tuple[str, str, Result | None], ...] = (
            ("moisture", "share", dig.last_moisture(state, source.id)),
            ("dry mass of one struck pail", "mass", dig.pail_mass(state, source.id)),
            ("loose dry density", "density", dig.loose_density(state, source.id)),
            ("oversize", "share", dig.oversize(state, source.id)),
        )
        yield from (Figure(source.id, label, quantity, result) for label, quantity, result in found if result is not None)


def _weigh(state: State) -> Iterator[Figure]:
    for fact in state.all("batch"):
        try:
            view = weigh.batch_view(state, fact.id)
        except InputError as fault:
            yield Figure(fact.id, "targets", "mass", Withheld("targets", fault, (fact.id,)))
            continue
        found: tuple[tuple[str, str, Finding | None], ...] = (
            ("dry soil", "mass", view.dry_soil),
            ("stabiliser wanted", "mass", view.stabiliser_wanted),
            ("water wanted", "mass", view.water_wanted),
            ("dose reached, of the total dry mix", "share", view.achieved),
            ("moisture reached, of the dry mix", "share", view.mix_water),
        )
        yield from (Figure(fact.id, label, quantity, result) for label, quantity, result in found if result is not None)


_FIGURES: Mapping[str, Callable[[State], Iterator[Figure]]] = {"dig": _dig, "weigh": _weigh}


# --- orders of a batch ---


def _order_lines(state: State, batch: Fact) -> list[str]:
    try:
        view = weigh.batch_view(state, batch.id)
    except InputError as fault:
        return [f"{name_of(state, batch.id)}: {of_fault(fault)}"]
    shown = shown_units(state)
    name = name_of(state, batch.id)
    lines = [f"{name}: {_order(order)}" for order in batches.orders(view, shown)]
    waits = weigh.next_weighing(state, batch)
    lines.append(f"{name}: {waits} next" if waits else f"{name}: weighed")
    remedy = batches.remedy(view, shown)
    if remedy is not None:
        lines.append(f"{name}: {_order(remedy)} {remedy['then']}")
    words, _ = batches.miss(view)
    reached = batches.conventions(view)
    lines += [f"{name}: {text}" for text in (reached, words) if text]
    held = batches.hold(weigh.hold_now(state, view, local_now()))
    return [*lines, *([f"{name}: {held}"] if held else []), *(f"{name}: {note}" for note in batches.notes(view, shown))]


def _order(order: Mapping[str, str]) -> str:
    number = f"{order['number']} {order['unit']}".strip()
    return f"{order['text']} {number}"


def _orders_json(state: State) -> list[dict[str, Any]]:
    found = []
    for fact in state.all("batch"):
        try:
            view = weigh.batch_view(state, fact.id)
        except InputError:
            continue
        found.append({"batch": fact.id, "next": weigh.next_weighing(state, fact) or None, **_targets(view)})
    return found


def _targets(view: weigh.BatchView) -> dict[str, Any]:
    told = weigh.told_targets(view)
    return {name: told[name] for name in told if name != "stood_on"}


def after_writing(state: State, entry: Entry) -> list[str]:
    """Orders that follow from an entry: those of its batch."""
    batch = entry.id if entry.kind == "batch" else entry.body.get("batch", "")
    if entry.kind not in ("batch", "weighing", "stabiliser_in") or not batch:
        return []
    fact = state.find(batch, "batch")
    return [] if fact is None else _order_lines(state, fact)
