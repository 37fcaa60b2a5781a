"""The desk: an open notebook with the states of its projects kept up to date, and the way new entries are made."""

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from loamwright.errors import InputError
from loamwright.notebook import store
from loamwright.notebook.canonical import canonical
from loamwright.notebook.entry import Entry, new_id, write
from loamwright.notebook.kinds import kind_named, kinds
from loamwright.notebook.store import Notebook, Receipt
from loamwright.notebook.versions import Versions
from loamwright.project.state import State


@dataclass(frozen=True, slots=True)
class Hand:
    """Who writes, on which device, at what moment: given by the door, never taken from a global clock."""

    moment: datetime
    by: str = ""
    device: str = ""


class Desk:
    """All projects of one notebook. Reads only what arrived since the last look.

    Safe to use from several threads: a state it hands out does not change any more, a later call gives a newer one.
    """

    def __init__(self, notebook: Notebook) -> None:
        self.notebook = notebook
        self._states: dict[str, State] = {}
        self._entries: list[Entry] = []
        self._projects: set[str] = set()
        self._same_id: tuple[Entry, ...] = ()
        self._upto = 0
        self._lock = threading.RLock()

    def refresh(self) -> None:
        """Take in entries that arrived since the last call."""
        with self._lock:
            fresh, self._upto = store.read_entries(self.notebook, after=self._upto)
            self._entries.extend(fresh)
            self._projects.update(entry.project for entry in fresh)
            self._same_id = tuple(store.read_aside(self.notebook))
            for project, state in self._states.items():
                self._states[project] = state.grown(fresh, same_id=self._same_id)

    def state(self, project: str) -> State:
        """The state of a project, as of now."""
        with self._lock:
            self.refresh()
            found = self._states.get(project)
            if found is None:
                found = State(project).grown(self._entries, same_id=self._same_id)
                if project in self._projects:  # an address may name anything
                    self._states[project] = found
            return found

    def bench_entries(self) -> list[Entry]:
        """Entries of benches: people, pails, scales, presses, rigs, mixers."""
        with self._lock:
            self.refresh()
            return [entry for entry in self._entries if entry.kind in kinds() and kinds()[entry.kind].bench]

    def projects(self) -> list[State]:
        """States of all projects of the notebook, the newest first."""
        with self._lock:
            self.refresh()
            names = {entry.project for entry in self._entries if entry.kind == "project"}
            return sorted((self.state(name) for name in names), key=lambda state: state.project, reverse=True)

    def keep(self, entries: Sequence[Entry]) -> Receipt:
        """Append entries and take them in."""
        receipt = store.append(self.notebook, entries)
        self.refresh()
        return receipt

    # --- making entries ---

    def entry(
        self,
        kind: str,
        body: Mapping[str, Any],
        hand: Hand,
        *,
        project: str,
        entry_id: str | None = None,
        replaces: tuple[str, ...] = (),
        reason: str = "",
    ) -> Entry:
        """A new entry of the newest schema, in the project or on the bench as its kind wants.

        A form that is sent twice carries one id: where an entry of that id already says the same, that one is given back,
        although the clock has moved on.
        """
        known = kind_named(kind)
        sent = self._sent_before(entry_id)
        says = (kind, canonical(dict(body)), reason, bool(replaces))
        if sent and (sent.kind, sent.body_text, sent.reason, bool(sent.replaces)) == says:
            return sent
        home = project
        if known.bench and not replaces:
            home = self.notebook.bench
        elif replaces:
            home = self._home(replaces[0], project)
        return write(
            kind,
            body,
            project=home,
            moment=hand.moment,
            by=hand.by,
            device=hand.device or self.notebook.device,
            schema=known.schema,
            replaces=replaces,
            reason=reason,
            entry_id=entry_id,
        )

    def _sent_before(self, entry_id: str | None) -> Entry | None:
        return None if entry_id is None else store.entry_by_id(self.notebook, entry_id)

    def _home(self, entry_id: str, project: str) -> str:
        old = store.entry_by_id(self.notebook, entry_id)
        return project if old is None else old.project

    def open_project(self, body: Mapping[str, Any], hand: Hand, entry_id: str | None = None) -> Entry:
        """The first entry of a new project; the project is named by this entry's id."""
        sent = self._sent_before(entry_id)
        if sent and (sent.kind, sent.body_text) == ("project", canonical(dict(body))):
            return sent
        first_id = entry_id or new_id()
        return write(
            "project",
            body,
            project=first_id,
            moment=hand.moment,
            by=hand.by,
            device=hand.device or self.notebook.device,
            schema=kind_named("project").schema,
            entry_id=first_id,
        )

    def settle(self, project: str, chosen: str, hand: Hand, *, entry_id: str | None = None) -> Entry:
        """The entry that settles a contested one: it says what the chosen version says, and replaces every live version.

        Raises
        ------
        InputError
            "not_found" where the notebook has no such entry, "already_replaced" where it is not live any more.
        """
        versions = self.state(project).versions
        heads = _live(versions, chosen)
        target = versions.entries[chosen]
        return self._in_place_of(heads, target, target.body, target.schema, hand, reason="chosen of two", entry_id=entry_id)

    def undo(self, project: str, undone: str, hand: Hand, *, reason: str = "typing slip", entry_id: str | None = None) -> Entry:
        """The entry that undoes one: a first entry is withdrawn, a correction or withdrawal gives way to what was before.

        Of a contested entity the other live version comes back, and is contested no more. What comes back is the body of the
        greater (`at`, `id`) with the form it was written in; where that was a withdrawal, nothing counts again.

        Raises
        ------
        InputError
            "not_found" where the notebook has no such entry, "already_replaced" where something newer stands in its place,
            "project_not_undone" for the entry that opened a project: all that is in it would be out of reach.
        """
        versions = self.state(project).versions
        heads = _live(versions, undone)
        target = versions.entries[undone]
        others = [head for head in heads if head.id != target.id] or [versions.entries[each] for each in target.replaces]
        before = max(others, key=lambda each: (each.at, each.id), default=None)
        if target.kind == "project" and (before is None or before.withdraws):
            raise InputError("project_not_undone")
        body, schema = ({}, target.schema) if before is None else (before.body, before.schema)
        return self._in_place_of(heads, target, body, schema, hand, reason=reason, entry_id=entry_id)

    def _in_place_of(
        self,
        heads: Sequence[Entry],
        target: Entry,
        body: Mapping[str, Any],
        schema: int,
        hand: Hand,
        *,
        reason: str,
        entry_id: str | None,
    ) -> Entry:
        """An entry of the target's kind and home that takes the place of all live versions."""
        return write(
            target.kind,
            body,
            project=target.project,
            moment=hand.moment,
            by=hand.by,
            device=hand.device or self.notebook.device,
            schema=schema,
            replaces=tuple(head.id for head in heads),
            reason=reason,
            entry_id=entry_id,
        )


def _live(versions: Versions, entry_id: str) -> Sequence[Entry]:
    """All that is live of an entity, of which this must be one; "not_found" or "already_replaced" where it is not."""
    target = versions.entries.get(entry_id)
    if target is None:
        raise InputError("not_found", kind="entry", id=entry_id)
    heads = versions.heads(versions.entity(entry_id))
    if target not in heads:
        raise InputError("already_replaced", id=entry_id)
    return heads
