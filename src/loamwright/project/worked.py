"""A test made of a soil or a block, worked out: results with their working, tables, notes, what it forbids, what does not fit."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module

from loamwright.errors import InputError, Note
from loamwright.notebook.kinds import kinds
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Result, Withheld
from loamwright.project.state import Fact, State

Cell = float | str | None


@dataclass(frozen=True, slots=True)
class Told:
    """One result: its label (a message key), the quantity it is shown as ("" for a plain number), and the number or why not."""

    label: str
    quantity: str
    result: Result


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table: its label (a message key) and the quantity of its numbers ("" for plain numbers and words)."""

    label: str
    quantity: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a test, such as a grading curve: numbers in engine units, words as message keys, None where nothing is known."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """What a test says.

    Attributes
    ----------
    results : tuple of Told
        Numbers with their working, or what is in the way of one.
    tables : tuple of Table
    notes : tuple of Note
        What a reader must know beside the notes of the results.
    says : tuple of Note
        What it forbids, allows or asks for next, in order.
    questions : tuple of Question
        Readings that cannot be right or do not fit.
    """

    results: tuple[Told, ...] = ()
    tables: tuple[Table, ...] = ()
    notes: tuple[Note, ...] = ()
    says: tuple[Note, ...] = ()
    questions: tuple[Question, ...] = ()

    def finding(self, name: str) -> Finding | None:
        """The result with this glossary name, where it could be computed."""
        for told in self.results:
            if isinstance(told.result, Finding) and told.result.formula.name == name:
                return told.result
        return None


@dataclass(frozen=True, slots=True)
class KindOfTest:
    """One kind of test: its entry kind, the field that says what it is about, and how its readings are worked out."""

    kind: str
    about: str
    work: Callable[[State, Fact], Worked]


@dataclass(frozen=True, slots=True)
class TestGroups:
    """All tests of one package, one module a group, in the order a person would make them."""

    package: str
    groups: tuple[str, ...]

    def each(self) -> Iterator[tuple[str, KindOfTest]]:
        """Group and test, in order."""
        for group in self.groups:
            for test in import_module(f"{self.package}.{group}").TESTS:
                yield group, test

    def by_kind(self) -> Mapping[str, KindOfTest]:
        """Tests by their entry kind."""
        return {test.kind: test for _, test in self.each()}

    def worked(self, state: State, fact: Fact) -> Worked:
        """What one test says; readings that cannot be computed with are asked about, never lost."""
        return state.memo(("worked", fact.id), lambda: self._worked(state, fact))

    def _worked(self, state: State, fact: Fact) -> Worked:
        try:
            return self.by_kind()[fact.kind].work(state, fact)
        except InputError as fault:
            return Worked(questions=(fault_asked(fact, fault),))

    def made(self, state: State, about: str) -> tuple[Fact, ...]:
        """Tests made of one soil or block, in order of group, then of time."""
        return tuple(fact for _, test in self.each() for fact in state.where(test.kind, test.about, about))

    def questions(self, state: State) -> tuple[Question, ...]:
        """What does not fit, over all tests of the project."""
        return tuple(
            question
            for _, test in self.each()
            for fact in state.all(test.kind)
            for question in self.worked(state, fact).questions
        )


def fault_asked(fact: Fact, fault: InputError) -> Question:
    """The readings of a test that cannot be, as a question at the verb of its kind."""
    return Question(fault.code, kinds()[fact.kind].verb, (fact.id,), "impossible", dict(fault.values))


def faults_asked(fact: Fact, *results: Result | None) -> tuple[Question, ...]:
    """What is in the way of results of a test, each once."""
    faults = {each.fault.code: each.fault for each in results if isinstance(each, Withheld)}
    return tuple(fault_asked(fact, fault) for fault in faults.values())


def results_of(worked: Sequence[Worked], name: str) -> tuple[Finding, ...]:
    """Every computed result of one glossary name, in the order of the tests."""
    return tuple(found for each in worked if (found := each.finding(name)) is not None)
