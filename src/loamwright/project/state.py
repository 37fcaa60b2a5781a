"""The fold: entries in, facts out. Adding entries touches only the entities they belong to; order never matters."""

import json
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable
from datetime import date, datetime, timedelta
from typing import Any, TypeVar

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, local_moment
from loamwright.notebook.fields import Amount
from loamwright.notebook.kinds import kinds, read
from loamwright.notebook.versions import Aside, Versions

T = TypeVar("T")


class Fact:
    """One entity as it stands: the values of the version that counts, and what is doubtful about it.

    `contested` names other live versions; `fault` says why the body is not understood (then `values` is empty).
    """

    __slots__ = ("at", "by", "contested", "device", "fault", "head", "id", "kind", "offset", "project", "values", "versions")

    def __init__(self, entity: str, heads: list[Entry], versions: int) -> None:
        head = heads[0]
        self.id = entity
        self.kind = head.kind
        self.project = head.project
        self.head = head.id
        self.at = head.at
        self.offset = head.offset
        self.by = head.by
        self.device = head.device
        self.contested = tuple(each.id for each in heads[1:])
        self.versions = versions
        self.fault: InputError | None = None
        self.values: dict[str, Any] = {}
        try:
            self.values = read(head.kind, head.schema, json.loads(head.body_text))
        except InputError as fault:
            self.fault = fault

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def get(self, name: str, otherwise: Any = None) -> Any:
        """The value of a field, or the stand-in where nothing was said."""
        return self.values.get(name, otherwise)

    def number(self, name: str) -> float | None:
        """A quantity in the engine's unit, or None where nothing was said (fixed units only)."""
        amount = self.values.get(name)
        return None if amount is None else float(amount.engine)

    def needed(self, name: str) -> float:
        """A quantity in the engine's unit; `InputError` ("needed") where nothing was said."""
        value = self.number(name)
        if value is None:
            raise InputError("needed", kind=self.kind, field=name, entry=self.id)
        return value


class State:
    """All facts of one project (and of the benches it can see)."""

    def __init__(self, project: str) -> None:
        self.project = project
        self.revision = 0
        self.versions = Versions()
        self._facts: dict[str, dict[str, Fact]] = defaultdict(dict)
        self._withdrawn: dict[str, Fact] = {}
        self._sorted: dict[str, list[Fact]] = {}
        self._index: dict[tuple[str, str], dict[str, list[Fact]]] = {}
        self._memo: dict[Hashable, Any] = {}

    def add(self, entries: Iterable[Entry]) -> None:
        """Take entries in; those of other projects are passed over unless they belong to a bench."""
        known = kinds()
        touched: set[str] = set()
        for entry in entries:
            kind = known.get(entry.kind)
            if entry.project == self.project or (kind is not None and kind.bench):
                touched.update(self.versions.add(entry))
        for entity in touched:
            self._settle(entity)
        if touched:
            self.revision += 1
            self._memo.clear()

    def _settle(self, entity: str) -> None:
        """Work out anew what counts for one entity."""
        heads = self.versions.heads(entity)
        fact = Fact(entity, heads, len(self.versions.members[entity]))
        self._sorted.pop(fact.kind, None)
        for key in [key for key in self._index if key[0] == fact.kind]:
            del self._index[key]
        if heads[0].withdraws:
            self._facts[fact.kind].pop(entity, None)
            self._withdrawn[entity] = fact
        else:
            self._facts[fact.kind][entity] = fact
            self._withdrawn.pop(entity, None)

    # --- looking things up ---

    def everything(self, kind: str) -> list[Fact]:
        """All facts of a kind by moment and id, the faulty and the left-out ones too."""
        found = self._sorted.get(kind)
        if found is None:
            found = sorted(self._facts[kind].values(), key=lambda fact: (fact.at, fact.id))
            self._sorted[kind] = found
        return found

    def all(self, kind: str) -> list[Fact]:
        """Facts of a kind that count: understood and not left out by an answer."""
        out = self.left_out
        return [fact for fact in self.everything(kind) if fact.fault is None and fact.id not in out]

    def latest(self, kind: str) -> Fact | None:
        """The newest fact of a kind that counts, or None."""
        found = self.all(kind)
        return found[-1] if found else None

    def where(self, kind: str, field: str, entity: str) -> list[Fact]:
        """Facts of a kind that count and whose field names this entity."""
        index = self._index.get((kind, field))
        if index is None:
            index = defaultdict(list)
            for fact in self.everything(kind):
                value = fact.values.get(field)
                for name in (value,) if isinstance(value, str) else value or ():
                    index[self.versions.entity(name)].append(fact)
            self._index[(kind, field)] = index
        out = self.left_out
        return [fact for fact in index.get(self.versions.entity(entity), ()) if fact.fault is None and fact.id not in out]

    def find(self, entity: str, kind: str = "") -> Fact | None:
        """The fact an id (of any of its versions) names, withdrawn ones excepted."""
        root = self.versions.entity(entity)
        for name in [kind] if kind else list(self._facts):
            if root in self._facts[name]:
                return self._facts[name][root]
        return None

    def fact(self, entity: str, kind: str) -> Fact:
        """Like `find`; `InputError` ("not_found") where there is none, "not_understood" where its body is faulty."""
        found = self.find(entity, kind)
        if found is None:
            raise InputError("not_found", kind=kind, id=entity)
        if found.fault is not None:
            raise InputError("not_understood", kind=kind, id=entity, reason=found.fault.code)
        return found

    @property
    def left_out(self) -> frozenset[str]:
        """Entities that an answer left out (the newest answer about each decides)."""

        def compute() -> frozenset[str]:
            verdicts: dict[str, str] = {}
            for fact in self.everything("answer"):
                for about in fact.values.get("about", ()):
                    verdicts[self.versions.entity(about)] = fact.values["verdict"]
            return frozenset(entity for entity, verdict in verdicts.items() if verdict == "leave_out")

        return self.memo("left_out", compute)

    def answered(self, question: str, about: Iterable[str]) -> bool:
        """Whether somebody said of this question about these entities that it stands or is left out."""
        entity = self.versions.entity
        wanted = {entity(each) for each in about}
        return any(
            fact["question"] == question and wanted <= {entity(each) for each in fact.get("about", ())}
            for fact in self.all("answer")
        )

    # --- what needs care ---

    def contested(self) -> list[Fact]:
        """Entities with two or more live versions, the withdrawn among them too."""
        everything = [*(fact for facts in self._facts.values() for fact in facts.values()), *self._withdrawn.values()]
        return sorted((fact for fact in everything if fact.contested), key=lambda fact: fact.id)

    def not_understood(self) -> list[Fact]:
        """Entities whose body cannot be computed with; kept, shown, asked about."""
        found = [fact for facts in self._facts.values() for fact in facts.values() if fact.fault is not None]
        return sorted(found, key=lambda fact: fact.id)

    def aside(self) -> list[Aside]:
        """Entries that replace something they cannot."""
        return self.versions.aside()

    # --- time and containers ---

    def moment(self, fact: Fact) -> datetime:
        """The local moment of a fact, moved by any clock note that covers its device then."""
        when = local_moment(fact.at, fact.offset)
        for note in self.all("clock_note"):
            if note["device"] == fact.device and _covers(note, when):
                when += timedelta(minutes=note["shift_minutes"].number)
        return when

    def day(self, fact: Fact) -> date:
        """The local day of a fact: the one that was typed, else the day it was written."""
        return date.fromisoformat(fact["on"]) if "on" in fact.values else self.moment(fact).date()

    def volume(self, amount: Amount, at: str) -> float:
        """m³ of an amount, in fixed units or in a container as it was measured by then."""
        return amount.engine if not amount.container else amount.number * self.container_volume(amount.container, at)

    def container_volume(self, container: str, at: str) -> float:
        """m³ of a container struck level, as it was measured by then."""
        return self._of_container(container, "volume", at)

    def tare(self, container: str, at: str) -> float | None:
        """Empty mass of a container as it was known by then, or None."""
        try:
            return self._of_container(container, "tare", at)
        except InputError:
            return None

    def _of_container(self, container: str, field: str, at: str) -> float:
        measured = [fact for fact in self.where("calibration", "container", container) if field in fact.values]
        upto = bisect_right([fact.at for fact in measured], at)
        if upto:
            return measured[upto - 1].needed(field)
        return self.fact(container, "container").needed(field)

    def memo(self, key: Hashable, compute: Callable[[], T]) -> T:
        """A value computed once until entries are added; equal results for equal states."""
        if key not in self._memo:
            self._memo[key] = compute()
        return self._memo[key]  # type: ignore[no-any-return]


def _covers(note: Fact, when: datetime) -> bool:
    local = when.strftime("%Y-%m-%dT%H:%M")
    return str(note.get("since", "")) <= local <= str(note.get("until", "9999"))


def fold(entries: Iterable[Entry], project: str) -> State:
    """The state of a project from any iterable of entries, in any order."""
    state = State(project)
    state.add(entries)
    return state
