"""A number that can show its working: formula, numbers put in, the entries they came from, notes."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from loamwright import units
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Value
from loamwright.notebook.fields import Amount
from loamwright.project.state import Fact


@dataclass(frozen=True, slots=True)
class Given:
    """A number that was read, typed or taken from a data file.

    Attributes
    ----------
    value : float or tuple of float
        In the engine's unit.
    entries : tuple of str
        Ids of the readings.
    typed : str
        As it was typed, with its unit.
    source : str
        Key of the reference, where the number is a stand-in from a data file.
    """

    value: Value
    entries: tuple[str, ...] = ()
    typed: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """Spread of a number: low and high end of the central interval that holds `share` of it."""

    low: float
    high: float
    share: float = 0.90


@dataclass(frozen=True, slots=True)
class Finding:
    """A computed number with its formula and where every input came from; its text is made only when somebody opens it."""

    formula: Formula
    value: float
    inputs: Mapping[str, "Given | Finding"]
    notes: tuple[Note, ...] = ()
    band: Band | None = None

    def entries(self) -> tuple[str, ...]:
        """Ids of all readings this stands on, sorted."""
        inputs = (each for step in self.steps() for each in step.inputs.values())
        return tuple(sorted({entry for each in inputs if isinstance(each, Given) for entry in each.entries}))

    def all_notes(self) -> tuple[Note, ...]:
        """Notes of this number and of those it is made from, each once."""
        return once(note for step in self.steps() for note in step.notes)

    def steps(self) -> Iterator["Finding"]:
        """This finding and those under it, the first to be computed first, each once."""
        seen: set[int] = set()

        def walk(finding: "Finding") -> Iterator["Finding"]:
            if id(finding) in seen:
                return
            seen.add(id(finding))
            for each in finding.inputs.values():
                if isinstance(each, Finding):
                    yield from walk(each)
            yield finding

        return walk(self)


def once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Notes in their order, each once; their values may be lists, so they are compared, not hashed."""
    found: list[Note] = []
    for note in notes:
        if note not in found:
            found.append(note)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Withheld:
    """A number that cannot be given: what is in the way, and the entries it concerns. The readings are kept all the same."""

    name: str
    fault: InputError
    about: tuple[str, ...] = ()


Result = Finding | Withheld


def attempt(name: str, about: tuple[str, ...], compute: Callable[[], Finding]) -> Result:
    """A finding, or why there is none."""
    try:
        return compute()
    except InputError as fault:
        return Withheld(name, fault, about)


def given(fact: Fact, field: str) -> Given:
    """A typed quantity of a fact as an input; `InputError` ("needed") where nothing was said."""
    return Given(fact.needed(field), (fact.head,), typed=as_typed(fact[field]))


def number(value: Finding | Given) -> float:
    """The one number of a finding or input that holds no list."""
    assert isinstance(value.value, float | int)
    return float(value.value)


def as_typed(amount: Amount) -> str:
    """A quantity as it was typed, with its unit; one counted in containers has no unit of its own."""
    if amount.unit == "1" or amount.container:
        return amount.typed
    return f"{amount.typed} {units.unit(amount.unit).label}"


def typed(fact: Fact, amount: Amount) -> Given:
    """A quantity of a row as an input."""
    return Given(amount.engine, (fact.head,), as_typed(amount))


def several(fact: Fact, amounts: Sequence[Amount]) -> Given:
    """Several quantities as one input."""
    return Given(tuple(each.engine for each in amounts), (fact.head,), "; ".join(as_typed(each) for each in amounts))


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a working, as a person would write it by hand."""

    name: str
    symbol: str
    expression: str
    put_in: str
    result: str
    unit: str
    source: str
    clause: str
    stand_ins: tuple[tuple[str, str], ...] = field(default=())


def working(finding: Finding) -> tuple[Line, ...]:
    """The lines of a working, in the order they are computed."""
    return tuple(_line(step) for step in finding.steps())


def _line(step: Finding) -> Line:
    values = {symbol: each.value for symbol, each in step.inputs.items()}
    stand_ins = tuple((symbol, each.source) for symbol, each in step.inputs.items() if isinstance(each, Given) and each.source)
    formula = step.formula
    return Line(
        formula.name,
        formula.symbol,
        formula.expression,
        formula.put_in(values),
        f"{step.value:.4g}",
        formula.unit,
        formula.source,
        formula.clause,
        stand_ins,
    )
