"""The demo project: every step as it was typed, nothing computed; loaded as a new project with new ids, shifted by whole days."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from loamwright import tables
from loamwright.notebook.entry import Entry, instant, new_id, write
from loamwright.notebook.fields import parse
from loamwright.notebook.kinds import kind_named
from loamwright.project import telling
from loamwright.project.desk import Desk
from loamwright.project.state import State

DEVICE = "demo"


def load_demo(desk: Desk, now: datetime) -> str:
    """Add the demo to a notebook as a new project, its last day today; returns the project's id.

    Entries go through the same parser as a form, and told figures are made by the same functions as at the doors.
    """
    project = new_id()
    state = State(project)
    state.add(desk.bench_entries())
    entries: list[Entry] = []
    ids: dict[str, str] = {"project": project}
    for step in tables.document("demo")["entry"]:
        entry = _entry(desk, state, step, ids, now)
        ids[step["label"]] = entry.id
        state.add([entry])
        entries.append(entry)
    desk.keep(entries)
    return project


def _entry(desk: Desk, state: State, step: Mapping[str, Any], ids: Mapping[str, str], now: datetime) -> Entry:
    kind = kind_named(step["kind"])
    moment = _moment(step, now)
    raw = {name: _named(value, ids) for name, value in step["typed"].items()}
    parsed = parse(kind.fields, raw)
    if parsed.faults:
        raise ValueError(f"demo entry {step['label']}: {parsed.faults}")
    entry_id = state.project if kind.name == "project" else new_id()
    replaces = tuple(ids[label] for label in step.get("replaces", ()))
    body = parsed.body
    if not replaces:
        body = telling.with_told(state, kind.name, body, entry_id=entry_id, at=instant(moment)[0])
    return write(
        kind.name,
        body,
        project=desk.notebook.bench if kind.bench else state.project,
        moment=moment,
        by=step.get("by", ""),
        device=step.get("device", DEVICE),
        schema=kind.schema,
        replaces=replaces,
        reason=step.get("reason", ""),
        entry_id=entry_id,
    )


def _moment(step: Mapping[str, Any], now: datetime) -> datetime:
    """The moment of a step: so many days from today, at its time of day, never after now."""
    hour, minute = (int(part) for part in step["time"].split(":"))
    day = now + timedelta(days=step["day"])
    return min(day.replace(hour=hour, minute=minute, second=0, microsecond=0), now)


def _named(value: str | Sequence[str], ids: Mapping[str, str]) -> list[str]:
    """Typed texts with "@label" turned into the id of that entry."""
    texts = [value] if isinstance(value, str) else list(value)
    return [ids[text[1:]] if text.startswith("@") else text for text in texts]
