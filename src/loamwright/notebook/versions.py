"""Which version of each reading counts: replacement lists, contested entries, withdrawals, entries that wait.

The outcome depends only on the set of entries, never on the order they came in.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from loamwright.notebook.entry import Entry


@dataclass(frozen=True, slots=True)
class Aside:
    """An entry kept and shown but not counted, and why.

    Why is "two_entities", "other_kind", "cycle", "replaces_aside" or "waits"; "same_id" where it came with the id of another.
    """

    entry: Entry
    why: str


class Versions:
    """Entities and their versions, grown entry by entry.

    An entity is named by its first entry. `add` returns the entities that may have changed.
    """

    __slots__ = ("_aside", "_of", "_replaced", "_waiting", "entries", "members")

    def __init__(self) -> None:
        self.entries: dict[str, Entry] = {}
        self.members: dict[str, tuple[str, ...]] = {}
        self._of: dict[str, str] = {}
        self._replaced: set[str] = set()
        self._waiting: dict[str, tuple[str, ...]] = {}
        self._aside: dict[str, str] = {}

    def copy(self) -> "Versions":
        """The same versions, to be grown apart from these; the lists inside are shared and never changed in place."""
        other = Versions()
        other.entries = self.entries.copy()
        other.members = self.members.copy()
        other._of = self._of.copy()
        other._replaced = self._replaced.copy()
        other._waiting = self._waiting.copy()
        other._aside = self._aside.copy()
        return other

    def add(self, entry: Entry) -> tuple[str, ...]:
        """Take one entry in; the same id twice changes nothing. Returns the entities touched."""
        if entry.id in self.entries:
            return ()
        self.entries[entry.id] = entry
        if not entry.replaces and entry.id not in self._waiting:
            self._of[entry.id] = entry.id
            self.members[entry.id] = (entry.id,)
            return (entry.id,)
        touched: set[str] = set()
        queue = [entry.id]
        while queue:
            current = queue.pop()
            if self._place(self.entries[current], touched):
                queue.extend(self._waiting.pop(current, ()))
        return tuple(touched)

    def _place(self, entry: Entry, touched: set[str]) -> bool:
        """Put an entry into its entity or aside; False where a target is still to come."""
        if entry.id in self._of or entry.id in self._aside:
            return False
        if not entry.replaces:
            self._of[entry.id] = entry.id
            self.members[entry.id] = (entry.id,)
            touched.add(entry.id)
            return True
        for target in entry.replaces:
            if target not in self._of and target not in self._aside:
                self._waiting[target] = (*self._waiting.get(target, ()), entry.id)
                return False
        why = self._fault(entry)
        if why:
            self._aside[entry.id] = why
            return True
        root = self._of[entry.replaces[0]]
        self._of[entry.id] = root
        self.members[root] = (*self.members[root], entry.id)
        self._replaced.update(entry.replaces)
        touched.add(root)
        return True

    def _fault(self, entry: Entry) -> str:
        if any(target in self._aside for target in entry.replaces):
            return "replaces_aside"
        roots = {self._of[target] for target in entry.replaces}
        if len(roots) > 1:
            return "two_entities"
        first = self.entries[next(iter(roots))]
        if first.kind != entry.kind or first.project != entry.project:
            return "other_kind"
        return ""

    def entity(self, entry_id: str) -> str:
        """The entity an entry belongs to; the id itself where it is not (yet) known."""
        return self._of.get(entry_id, entry_id)

    def heads(self, entity: str) -> list[Entry]:
        """Versions nobody replaces, the one that counts first: the greater moment, then the greater id."""
        members = self.members.get(entity, ())
        if len(members) == 1:
            return [self.entries[members[0]]]
        live = [self.entries[each] for each in members if each not in self._replaced]
        return sorted(live, key=lambda each: (each.at, each.id), reverse=True)

    def history(self, entity: str) -> list[Entry]:
        """All versions of an entity by moment and id."""
        return sorted((self.entries[each] for each in self.members.get(entity, ())), key=lambda each: (each.at, each.id))

    def aside(self) -> list[Aside]:
        """Entries kept apart, in order of their ids: faulty replacements, cycles, and those whose target has not come."""
        found = [Aside(self.entries[each], why) for each, why in self._aside.items()]
        unplaced = {waiter for waiters in self._waiting.values() for waiter in waiters} - self._of.keys() - self._aside.keys()
        for each in unplaced:
            found.append(Aside(self.entries[each], "cycle" if self._in_cycle(each) else "waits"))
        return sorted(found, key=lambda aside: aside.entry.id)

    def _in_cycle(self, entry_id: str) -> bool:
        """Whether following unplaced targets from here comes back here, or only into such a ring."""
        seen: set[str] = set()
        queue = [entry_id]
        while queue:
            for target in self.entries[queue.pop()].replaces:
                if target not in self.entries:
                    return False
                if target not in self._of and target not in seen:
                    seen.add(target)
                    queue.append(target)
        return True


def versions_of(entries: Iterable[Entry]) -> Versions:
    """Versions from any iterable of entries."""
    versions = Versions()
    for entry in entries:
        versions.add(entry)
    return versions
