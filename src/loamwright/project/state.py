"""The fold: entries in, facts out. Adding entries touches only the entities they belong to; order never matters."""

import gc
import json
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from typing import Any, TypeVar

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, instant, local_moment
from loamwright.notebook.fields import Amount
from loamwright.notebook.kinds import kinds, read
from loamwright.notebook.versions import Aside, Versions

T = TypeVar("T")
_PARSE = json.JSONDecoder().raw_decode  # a stored body is canonical: no blanks to skip before or after it


class Fact:
    """One entity as it stands: the values of the version that counts, and what is doubtful about it.

    `at`, `offset`, `by` and `device` are those of its first entry: a reading corrected a week later was still made on its day.
    `contested` names other live versions; `fault` says why the body is not understood (then `values` is empty).
    """

    __slots__ = ("at", "by", "contested", "device", "fault", "head", "id", "kind", "offset", "project", "values", "versions")

    def __init__(self, entity: str, heads: list[Entry], versions: int, first: Entry | None = None) -> None:
        head = heads[0]
        origin = first or head
        self.id = entity
        self.kind = head.kind
        self.project = head.project
        self.head = head.id
        self.at = origin.at
        self.offset = origin.offset
        self.by = origin.by
        self.device = origin.device
        self.contested = tuple(each.id for each in heads[1:])
        self.versions = versions
        self.fault: InputError | None = None
        self.values: dict[str, Any] = {}
        try:
            self.values = read(head.kind, head.schema, _PARSE(head.body_text)[0])
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
    """All facts of one project (and of the benches it can see).

    A state handed out by the desk does not change any more: `grown` makes a new one, so that several threads may read.
    """

    def __init__(self, project: str) -> None:
        self.project = project
        self.revision = 0
        self.versions = Versions()
        self._facts: dict[str, dict[str, Fact]] = {}
        self._withdrawn: dict[str, Fact] = {}
        self._benches: frozenset[str] = frozenset()
        self._strangers: tuple[Entry, ...] = ()
        self._same_id: tuple[Entry, ...] = ()
        self._sorted: dict[str, list[Fact]] = {}
        self._index: dict[tuple[str, str], dict[str, list[Fact]]] = {}
        self._memo: dict[Hashable, Any] = {}

    def grown(self, entries: Iterable[Entry], *, same_id: Iterable[Entry] | None = None) -> "State":
        """The state with more entries; this very state where none of them concerns it.

        `same_id` are entries kept apart because they came with the id of another; they are shown and never computed with.
        """
        wanted = [entry for entry in entries if self._may_see(entry)]
        apart = self._same_id if same_id is None else tuple(entry for entry in same_id if self._may_see(entry))
        if not wanted and apart == self._same_id:
            return self
        other = State(self.project)
        other.revision = self.revision + 1
        other.versions = self.versions.copy()
        other._facts = {kind: facts.copy() for kind, facts in self._facts.items()}
        other._withdrawn = self._withdrawn.copy()
        other._benches = self._benches
        other._strangers = self._strangers
        other._same_id = apart
        other._sorted = self._sorted.copy()
        other._index = self._index.copy()
        other.add(wanted)
        return other

    def _may_see(self, entry: Entry) -> bool:
        """Whether an entry belongs here, or may turn out to: an unknown kind, perhaps of a bench."""
        kind = kinds().get(entry.kind)
        return entry.project == self.project or kind is None or kind.bench

    def _is_here(self, entry: Entry) -> bool:
        """Whether an entry belongs to the project or to a bench; of unknown kinds a bench tells by its name."""
        kind = kinds().get(entry.kind)
        return entry.project == self.project or (entry.project in self._benches if kind is None else kind.bench)

    def add(self, entries: Iterable[Entry]) -> None:
        """Take entries in; those of other projects are passed over unless they belong to a bench."""
        known = kinds()
        touched: set[str] = set()
        for entry in entries:
            kind = known.get(entry.kind)
            if kind is not None and kind.bench and entry.project not in self._benches:
                touched.update(self._meet_bench(entry.project))
            if self._is_here(entry):
                touched.update(self.versions.add(entry))
            elif kind is None:
                self._strangers = (*self._strangers, entry)
        with _no_collection(len(touched)):
            for entity in touched:
                self._settle(entity)
        if touched:
            self.revision += 1
        self._memo.clear()

    def _meet_bench(self, bench: str) -> set[str]:
        """A bench seen for the first time: entries of unknown kinds that wait for it belong here after all."""
        self._benches |= {bench}
        here = [entry for entry in self._strangers if entry.project == bench]
        self._strangers = tuple(entry for entry in self._strangers if entry.project != bench)
        return {entity for entry in here for entity in self.versions.add(entry)}

    def _settle(self, entity: str) -> None:
        """Work out anew what counts for one entity."""
        heads = self.versions.heads(entity)
        fact = Fact(entity, heads, len(self.versions.members[entity]), self.versions.entries[entity])
        self._sorted.pop(fact.kind, None)
        if self._index:
            for key in [key for key in self._index if key[0] == fact.kind]:
                del self._index[key]
        facts = self._facts.setdefault(fact.kind, {})
        if heads[0].withdraws:
            facts.pop(entity, None)
            self._withdrawn[entity] = fact
        else:
            facts[entity] = fact
            self._withdrawn.pop(entity, None)

    # --- looking things up ---

    def everything(self, kind: str) -> list[Fact]:
        """All facts of a kind by moment and id, the faulty and the left-out ones too."""
        found = self._sorted.get(kind)
        if found is None:
            found = sorted(self._facts.get(kind, {}).values(), key=lambda fact: (fact.at, fact.id))
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
                for name in {value} if isinstance(value, str) else set(value or ()):
                    index[name].append(fact)
            self._index[(kind, field)] = index
        # By the id as written: which entity an id belongs to may only be known when another entry arrives.
        root = self.versions.entity(entity)
        lists = [index[each] for each in self.versions.members.get(root, (root,)) if each in index]
        found = lists[0] if len(lists) == 1 else _merged(lists)
        out = self.left_out
        return [fact for fact in found if fact.fault is None and fact.id not in out]

    def find(self, entity: str, kind: str = "") -> Fact | None:
        """The fact an id (of any of its versions) names, withdrawn ones excepted."""
        root = self.versions.entity(entity)
        for name in [kind] if kind else list(self._facts):
            if root in self._facts.get(name, ()):
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
        """Entities that an answer left out; of several answers to one question about an entity the newest decides.

        An entry that came with the id of another is out anyhow: an answer to that question does not touch the other.
        """

        def compute() -> frozenset[str]:
            verdicts: dict[tuple[str, str], str] = {}
            for fact in self.everything("answer"):
                for about in fact.values.get("about", ()):
                    verdicts[(fact["question"], self.versions.entity(about))] = fact["verdict"]
            return frozenset(
                entity for (question, entity), verdict in verdicts.items() if verdict == "leave_out" and question != "same_id"
            )

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
        """Entries that replace something they cannot, and those that came with the id of another."""
        return [*self.versions.aside(), *(Aside(entry, "same_id") for entry in self._same_id if self._is_here(entry))]

    # --- time and containers ---

    def moment(self, fact: Fact) -> datetime:
        """The local moment of a fact, moved by the clock note that covers what its device's clock showed then.

        Of several that cover it the newest decides, so that two people noting one wrong clock do not move it twice.
        """
        written = local_moment(fact.at, fact.offset)
        shift = 0.0
        for note in self.all("clock_note"):
            if note["device"] == fact.device and _covers(note, written):
                shift = note["shift_minutes"].number
        try:
            return written + timedelta(minutes=shift)
        except OverflowError:  # a note of a thousand years: kept, and no reason to lose the reading
            return written

    def at(self, fact: Fact) -> str:
        """The UTC text of a fact's moment, clock notes heeded: by this, readings and pails' measures are put in order."""
        return fact.at if not self.everything("clock_note") else instant(self.moment(fact))[0]

    def day(self, fact: Fact) -> date:
        """The local day of a fact: the one that was typed, else the day it was written."""
        return date.fromisoformat(fact["on"]) if "on" in fact.values else self.moment(fact).date()

    def volume(self, amount: Amount, at: str) -> float:
        """m³ of an amount, in fixed units or in a container as it was measured by then (`at` of the reading)."""
        return self._volume(amount, at, ())

    def _volume(self, amount: Amount, at: str, within: tuple[str, ...]) -> float:
        if not amount.container:
            return amount.engine
        return amount.number * self._container_volume(amount.container, at, within)

    def container_volume(self, container: str, at: str) -> float:
        """m³ of a container struck level, as it was measured by then."""
        return self._container_volume(container, at, ())

    def _container_volume(self, container: str, at: str, within: tuple[str, ...]) -> float:
        root = self.versions.entity(container)
        if root in within:
            raise InputError("not_understood", kind="container", id=root, reason="measured by itself")
        return self._volume(self._of_container(root, "volume", at)["volume"], at, (*within, root))

    def tare(self, container: str, at: str) -> float | None:
        """Empty mass of a container as it was known by then, or None."""
        try:
            return self._of_container(container, "tare", at).needed("tare")
        except InputError:
            return None

    def _of_container(self, container: str, field: str, at: str) -> Fact:
        """Where a container's figure in force at a moment stands: its newest measure by then, else its own entry.

        A figure that was first measured later holds for before, too: it is the same pail.
        """
        measured = [fact for fact in self.where("calibration", "container", container) if field in fact.values]
        measured.sort(key=lambda fact: (self.at(fact), fact.id))
        upto = bisect_right([self.at(fact) for fact in measured], at)
        own = self.fact(container, "container")
        if upto:
            return measured[upto - 1]
        if field in own.values:
            return own
        if not measured:
            raise InputError("needed", kind="container", field=field, entry=own.id)
        return measured[0]

    def memo(self, key: Hashable, compute: Callable[[], T]) -> T:
        """A value computed once until entries are added; equal results for equal states."""
        if key not in self._memo:
            self._memo[key] = compute()
        return self._memo[key]  # type: ignore[no-any-return]


@contextmanager
def _no_collection(count: int) -> Iterator[None]:
    """No search for garbage while many facts are made: it would walk all of them again and again and free nothing."""
    if count < 1_000 or not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def _merged(lists: list[list[Fact]]) -> list[Fact]:
    """Facts of several sorted lists, each once, by moment and id."""
    each_once = {fact.id: fact for facts in lists for fact in facts}
    return sorted(each_once.values(), key=lambda fact: (fact.at, fact.id))


def _covers(note: Fact, when: datetime) -> bool:
    local = when.strftime("%Y-%m-%dT%H:%M")
    return str(note.get("since", "")) <= local <= str(note.get("until", "9999"))


def fold(entries: Iterable[Entry], project: str) -> State:
    """The state of a project from any iterable of entries, in any order."""
    state = State(project)
    state.add(entries)
    return state
