"""Columns of a kind in a spreadsheet: one list for what is written out, for the template and for what is read in."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from loamwright.errors import InputError
from loamwright.notebook.fields import CONTAINER, Amount, Field
from loamwright.notebook.kinds import Kind, kinds
from loamwright.project.state import Fact, State
from loamwright.units import unit
from loamwright.words.asked_for import kind_said
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown
from loamwright.words.showing import name_of, value_words

Cell = str | int | float | date | datetime | None
ENTRY, WRITTEN, BY, COUNTS = later("Entry"), later("Written at"), later("By"), later("Counts")
LEADS = (ENTRY, WRITTEN, BY, COUNTS)
TYPED, IDS = later("{label}, as typed"), later("{label} (id)")
ROWS = 4  # of a short table within an entry, such as the parts of a blend
# Kinds that tell a person figures, open a project or settle a question are kept on the pages that show what they stand on.
_NOT_BY_FILE = frozenset({"project", "answer"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a kind.

    Attributes
    ----------
    head : str
        What stands at its head, the unit in square brackets: "Green mass [kg]".
    raw : str
        Name under which the parser of fields takes its text; several columns of one list share it.
    field : Field
    at : tuple
        Where the value stands in a body: the field's name, and for lists and rows the place within.
    unit : str
        Key of the unit, where the field has one.
    """

    head: str
    raw: str
    field: Field
    at: tuple[str | int, ...]
    unit: str = ""


def by_file() -> tuple[Kind, ...]:
    """Kinds whose entries may come from a file: those a person fills in and that tell no figures."""
    found = (kind for kind in kinds().values() if kind.asked and kind.name not in _NOT_BY_FILE)
    return tuple(kind_said(kind.name) for kind in found if not any(each.kind == "told" for each in kind.fields))


def kind_by_file(name: str) -> Kind:
    """One of them by its name; `InputError` ("not_by_file") for any other."""
    for kind in by_file():
        if kind.name == name:
            return kind
    raise InputError("not_by_file", kind=name, known=", ".join(kind.name for kind in by_file()))


def columns_of(kind: Kind, shown: Shown, facts: tuple[Fact, ...] = ()) -> tuple[Column, ...]:
    """The columns of a kind; units as typed where the facts given agree, else as the person chose; lists as long as the longest.

    >>> [column.head for column in columns_of(kind_said("calibration"), Shown({"mass": "lb"}))]
    ['Pail', 'Volume struck level [US gal]', 'Empty mass [lb]']
    """
    longest = {each.name: max((len(fact.get(each.name, ())) for fact in facts), default=0) for each in _lists(kind)}
    found = (column for each in kind.fields for column in _columns(each, shown, longest.get(each.name, 0)))
    return tuple(_as_typed(column, facts) for column in found)


def _as_typed(column: Column, facts: tuple[Fact, ...]) -> Column:
    """The column in the unit all its values were typed in, where that is one: then its numbers are those that were typed."""
    values = [value_at(fact, column) for fact in facts]
    typed = {value.unit for value in values if isinstance(value, Amount)}
    key = typed.pop() if len(typed) == 1 else ""
    if key in ("", "1", column.unit) or key.startswith(CONTAINER):
        return column
    label = column.head.removesuffix(f" [{unit(column.unit).label}]")
    return replace(column, head=f"{label} [{unit(key).label}]", unit=key)


def _lists(kind: Kind) -> Iterator[Field]:
    return (each for each in kind.fields if each.kind in ("quantities", "rows"))


def _columns(each: Field, shown: Shown, longest: int) -> Iterator[Column]:
    chosen = shown.unit(each.quantity) if each.quantity else None
    of = "" if chosen is None else f" [{chosen.label}]"
    key = "" if chosen is None else chosen.key
    match each.kind:
        case "told":
            return
        case "quantities":
            for index in range(max(each.expected, longest)):
                yield Column(f"{each.label} {index + 1}{of}", each.name, each, (each.name, index), key)
        case "rows":
            for index in range(max(ROWS, each.expected, longest)):
                for sub in each.rows:
                    head = f"{each.label} {index + 1}, {sub.label}"
                    if sub.quantity:
                        head += f" [{shown.unit(sub.quantity).label}]"
                    sub_key = shown.unit(sub.quantity).key if sub.quantity else ""
                    yield Column(head, f"{each.name}-{index}-{sub.name}", sub, (each.name, index, sub.name), sub_key)
        case _:
            yield Column(f"{each.label}{of}", each.name, each, (each.name,), key)


def value_at(fact: Fact, column: Column) -> object:
    """The value of a fact where a column looks, or None."""
    found: object = fact.values
    for step in column.at:
        if isinstance(step, str) and isinstance(found, Mapping):
            found = found.get(step)
        elif isinstance(step, int) and isinstance(found, tuple):
            found = found[step] if step < len(found) else None
        else:
            return None
    return found


def cell(state: State, fact: Fact, column: Column) -> Cell:
    """The value as a spreadsheet holds it: a number in the column's unit, a day, a moment, or text."""
    value = value_at(fact, column)
    if value is None:
        return None
    if isinstance(value, Amount):
        return _number(state, fact, value, column)
    match column.field.kind:
        case "text":  # as it was written, not as a page shows it: cut, or held apart from the text around it
            return str(value)
        case "whole":
            return int(str(value))
        case "date":
            return date.fromisoformat(str(value))
        case "moment":
            return datetime.fromisoformat(str(value))
        case "refs":
            return "; ".join(name_of(state, each) for each in value) if isinstance(value, tuple) else None
    return value_words(state, column.field, value, whole=True)


def _number(state: State, fact: Fact, amount: Amount, column: Column) -> float | None:
    if amount.unit in ("1", column.unit):
        return amount.number
    if not amount.container:
        return _plain(unit(column.unit).from_engine(amount.engine))
    try:  # a pail may never have been measured: then only what was typed is there
        return _plain(unit(column.unit).from_engine(state.volume(amount, state.at(fact))))
    except InputError:
        return None


def _plain(value: float) -> float:
    """A converted number to twelve digits: 694 g are 0.694 kg, not 0.6940000000000001."""
    return float(f"{value:.12g}")


def typed_cell(state: State, fact: Fact, each: Field) -> str | None:
    """What was typed, with its unit, beside the number."""
    value = fact.get(each.name)
    return None if value is None else value_words(state, each, value, whole=True)


def ids_cell(fact: Fact, each: Field) -> str | None:
    """The ids a field names, beside their names."""
    value = fact.get(each.name)
    return " ".join(value) if isinstance(value, tuple) else value


def typed_head(each: Field) -> str:
    """Head of the column of what was typed."""
    return tr(TYPED, label=each.label)


def ids_head(each: Field) -> str:
    """Head of the column of ids."""
    return tr(IDS, label=each.label)
