"""Rows of a brought table as entries: every faulty row is told together, and nothing is kept while one is left.

An id is made from the form's own id, the kind and the number of the row, so that a form sent twice keeps its rows once. Each
entry's device names the file by its digest, so that the very same file is recognised when it is brought again.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, timezone
from typing import Any
from unicodedata import category

from loamwright.errors import InputError
from loamwright.notebook.canonical import digest
from loamwright.notebook.entry import Entry
from loamwright.notebook.fields import Field, parse, split_unit
from loamwright.notebook.kinds import Kind, kind_named
from loamwright.notebook.sense import check_year
from loamwright.papers import columns
from loamwright.papers.columns import Column, columns_of
from loamwright.papers.free_units import read_unit
from loamwright.papers.table_file import Cell, Mark, Table, read_table
from loamwright.project.desk import Desk, Hand
from loamwright.project.state import State
from loamwright.units import parse_number
from loamwright.words.language import tr
from loamwright.words.numbers import Shown
from loamwright.words.showing import name_of

_HEAD = re.compile(r"(?P<label>.*?)\s*(?:\[(?P<unit>[^\]]*)\])?\s*")
_TRAILING = re.compile(r"(?P<number>[-−+]?[\d.,/ ]*\d)\s*(?P<unit>(?:[^\W\d_]|[%°]).*)")
_ERRORS = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!")
_SMALL_PER_CENT = 0.5  # a cell shown as 6 % holds 0.06: under a head in % it would be read a hundred times too small
DEVICE = "file "


@dataclass(frozen=True, slots=True)
class RowFault:
    """What cannot be taken: in which row of the file (1 is its first line), under which head, and why."""

    row: int
    head: str
    fault: InputError


@dataclass(frozen=True, slots=True)
class Prepared:
    """One row ready to become an entry: its number in the file, body, who made it and when, where the file says."""

    row: int
    body: Mapping[str, Any]
    by: str
    written: datetime | None


@dataclass(frozen=True, slots=True)
class Reading:
    """A read file: rows ready to be kept, or the faults of all of them; rows passed over because their entry is here already."""

    kind: Kind
    mark: str
    rows: tuple[Prepared, ...]
    faults: tuple[RowFault, ...]
    here: int


@dataclass(frozen=True, slots=True)
class _Head:
    """What a column of the file is: one of ours in its own unit, or one of those every kind has."""

    place: int
    text: str
    column: Column | None
    lead: str


def read(state: State, kind: Kind, data: bytes, *, decimal: Mark) -> Reading:
    """Read a file of one kind against a project; a text file needs its decimal mark said.

    Raises
    ------
    InputError
        Of the file as a whole: those of `read_table`, and "decimal_mark_not_said".
    """
    table = read_table(data, tabs=(kind.label[:31], kind_named(kind.name).label[:31], kind.name))
    if table.is_text and not decimal:
        raise InputError("decimal_mark_not_said")
    heads, faults = _heads(kind, table)
    rows: list[Prepared] = []
    here = 0
    if not faults:
        names = _Names(state)
        for number, cells in zip(table.numbers, table.rows, strict=True):
            known, found = _row(state, kind, heads, names, number, cells, decimal)
            here += known
            if isinstance(found, Prepared):
                rows.append(found)
            else:
                faults += found
    return Reading(kind, digest(data), () if faults else tuple(rows), tuple(faults), here)


def entries(desk: Desk, reading: Reading, hand: Hand, *, project: str, form_id: str) -> list[Entry]:
    """The entries of a reading without faults, in the order of the file; keep them all at once."""
    sent_before = row_id(form_id, reading.kind.name, 0) in desk.state(project).versions.entries
    device = DEVICE + reading.mark[:16]
    found = []
    for number, each in enumerate(reading.rows):
        own_id = row_id(form_id, reading.kind.name, number)
        moment = each.written.replace(tzinfo=hand.moment.tzinfo) if each.written else hand.moment
        by_whom = Hand(moment, each.by or hand.by, device)
        # Looking each id up would take longer than all the rest; only a form sent again has entries to give back.
        known_id = own_id if sent_before else None
        made = desk.entry(reading.kind.name, each.body, by_whom, project=project, entry_id=known_id)
        found.append(made if sent_before else replace(made, id=own_id))
    return found


def row_id(form_id: str, kind: str, row: int) -> str:
    """An id for one row of a form: the form's moment, the row so that rows keep their order, then a digest of both.

    >>> row_id("01990000-0000-7abc-8000-000000000000", "source", 10)[:18]
    '01990000-0000-700a'
    """
    mark = digest(f"{form_id} {kind} {row}")
    return f"{form_id[:14]}7{row:03x}-{'89ab'[int(mark[3], 16) % 4]}{mark[4:7]}-{mark[7:19]}"


def brought_before(state: State, reading: Reading, form_id: str) -> datetime | None:
    """The moment this very file was taken in as this kind before, by another form than this; None where it was not."""
    own = {row_id(form_id, reading.kind.name, number) for number in range(len(reading.rows))}
    device = DEVICE + reading.mark[:16]
    before = [
        entry for entry in state.versions.entries.values()
        if entry.device == device and entry.kind == reading.kind.name and entry.id not in own
    ]  # fmt: skip
    first = min(before, key=lambda entry: entry.id, default=None)
    if first is None:
        return None
    milliseconds = int(first.id[:8] + first.id[9:13], 16)  # an id begins with them
    return datetime.fromtimestamp(milliseconds / 1000, timezone(timedelta(minutes=first.offset)))


# --- heads ---


def _spoken(text: str) -> str:
    """A text as it is compared: small letters, single spaces, no marks that only order letters on a page."""
    return " ".join("".join(each for each in text if category(each) != "Cf").split()).casefold()


def _heads(kind: Kind, table: Table) -> tuple[list[_Head], list[RowFault]]:
    ours = _by_label(kind)
    typed = {_spoken(columns.typed_head(each)) for each in kind.fields}
    ids = {_spoken(columns.ids_head(each)): each.name for each in kind.fields if each.kind in ("ref", "refs")}
    leads = {_spoken(said): lead for lead in columns.LEADS for said in (lead, tr(lead))}
    found: list[_Head] = []
    faults: list[RowFault] = []
    seen: set[str] = set()
    for place, text in enumerate(table.heads):
        spoken = _spoken(text)
        match = _HEAD.fullmatch(text)
        label = _spoken(match["label"]) if match else spoken
        if not text or spoken in typed:
            continue
        try:
            if label in seen:
                raise InputError("head_twice", head=text)
            seen.add(label)
            if spoken in leads or spoken in ids:
                found.append(_Head(place, text, None, leads.get(spoken) or f"id {ids[spoken]}"))
            elif label in ours:
                found.append(_Head(place, text, _in_unit(ours[label], match["unit"] if match else None), ""))
            else:
                raise InputError("head_unknown", head=text, known="; ".join(column.head for column in columns_of(kind, Shown())))
        except InputError as fault:
            faults.append(RowFault(1, text, fault))
    there = {each.column.field.name for each in found if each.column} | {each.lead.removeprefix("id ") for each in found}
    there |= {str(each.column.at[0]) for each in found if each.column}
    for each in kind.fields:
        if each.required and each.name not in there:
            faults.append(RowFault(1, each.label, InputError("head_missing", label=each.label)))
    return found, faults


def _by_label(kind: Kind) -> dict[str, Column]:
    """Columns by their label without unit, in the language of now, in English, and by the field's own name."""
    found: dict[str, Column] = {}
    for said in (kind_named(kind.name), kind):
        for column in columns_of(said, Shown()):
            label = _HEAD.fullmatch(column.head)
            found[_spoken(label["label"] if label else column.head)] = column
            if len(column.at) == 1:
                found[column.field.name] = column
    return found


def _in_unit(column: Column, text: str | None) -> Column:
    if not column.field.quantity:
        if text:
            raise InputError("head_takes_no_unit", head=column.head, unit=text)
        return column
    unit = read_unit(text, column.field.quantity).key if text and text.strip() else ""
    return Column(column.head, column.raw, column.field, column.at, unit)


# --- rows ---


class _Names:
    """Entities of the project by what a person calls them."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.known: dict[tuple[str, ...], dict[str, str]] = {}

    def pick(self, typed: str, each: Field) -> str:
        """The id a text names: an id, a whole name, or a name's first words ("Batch 3"), the noun before a mark left out."""
        if each.of not in self.known:
            self.known[each.of] = {
                fact.id: _spoken(name_of(self.state, fact.id)) for kind in each.of for fact in self.state.all(kind)
            }
        names, wanted = self.known[each.of], _spoken(typed)
        if typed in names:
            return typed
        for fits in (lambda name: name == wanted, lambda name: name.removeprefix("block ") == wanted, self._begins(wanted)):
            found = [entity for entity, name in names.items() if fits(name)]
            if len(found) == 1:
                return found[0]
            if found:
                raise InputError("several_fit", what=each.label.lower(), typed=typed, fitting=self._listed(found))
        raise InputError("nothing_fits", what=each.label.lower(), typed=typed, there=self._listed(list(names)) or tr("none yet"))

    @staticmethod
    def _begins(wanted: str) -> Any:
        return lambda name: name.startswith(wanted) and not name[len(wanted) : len(wanted) + 1].isalnum()

    def _listed(self, found: Sequence[str]) -> str:
        names = [name_of(self.state, entity) for entity in found[:8]]
        return "; ".join(names) + ("; …" if len(found) > 8 else "")


def _row(
    state: State, kind: Kind, heads: Sequence[_Head], names: _Names, number: int, cells: Sequence[Cell], decimal: Mark
) -> tuple[int, Prepared | list[RowFault]]:
    """One row: 1 and no faults where its entry is here already, else what it says or why it cannot be taken."""
    values = [(head, cells[head.place]) for head in heads if head.place < len(cells) and cells[head.place] not in (None, "")]
    lead = {head.lead: value for head, value in values if head.lead}
    if str(lead.get(columns.ENTRY, "")) in state.versions.entries:
        return 1, []
    raw: dict[str, list[str]] = {}
    faults: list[RowFault] = []
    by_name = {each.name: each for each in kind.fields}
    for head, value in values:
        try:
            if head.column is not None and f"id {head.column.field.name}" not in lead:
                _put(raw, head.column, value, names, decimal)
            elif head.lead.startswith("id "):
                named = head.lead.removeprefix("id ")
                raw[named] = [_known_ids(state, str(value), by_name[named])]
        except InputError as fault:
            faults.append(RowFault(number, head.text, fault))
    parsed = parse(kind.fields, raw)
    faulty = {each.head for each in faults}
    told = {head.column.at[0] if head.column else head.lead.removeprefix("id ") for head, _ in values if head.text in faulty}
    by_field = {head.column.at[0]: head.text for head in reversed(heads) if head.column}
    faults += [RowFault(number, by_field.get(name, name), each) for name, each in parsed.faults.items() if name not in told]
    try:
        written = _written(lead.get(columns.WRITTEN))
    except InputError as fault:
        faults.append(RowFault(number, tr(columns.WRITTEN), fault))
        written = None
    return 0, faults or Prepared(number, parsed.body, str(lead.get(columns.BY, "")), written)


def _known_ids(state: State, text: str, each: Field) -> str:
    for entity in text.split():
        found = state.find(entity)
        if found is None or (each.of and found.kind not in each.of):
            raise InputError("not_found", kind=" or ".join(each.of) or "entry", id=entity)
    return text


def _written(value: Cell) -> datetime | None:
    """Day and time of the local clock; a text with an offset of its own is questioned rather than moved."""
    if value is None:
        return None
    label, text = tr(columns.WRITTEN), f"{value:%Y-%m-%dT%H:%M}" if isinstance(value, datetime) else str(value)
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise InputError("not_a_moment", label=label, typed=text) from None
    if found.tzinfo is not None:
        raise InputError("not_a_moment", label=label, typed=text)
    check_year(f"{found:%Y-%m-%d}".rjust(10, "0"), label=label)
    return found


def _put(raw: dict[str, list[str]], column: Column, value: Cell, names: _Names, decimal: Mark) -> None:
    """A cell as the text the parser of fields takes."""
    text = _text(value, column)
    match column.field.kind:
        case "ref":
            raw[column.raw] = [names.pick(text, column.field)]
        case "refs":
            raw[column.raw] = [names.pick(part.strip(), column.field) for part in text.split(";") if part.strip()]
        case "choice":
            raw[column.raw] = [_choice(column.field, text)]
        case "flag":
            raw[column.raw] = [{_spoken(tr("yes")): "yes", _spoken(tr("no")): "no"}.get(_spoken(text), text)]
        case "number" | "whole" | "quantity" | "quantities":
            _put_number(raw, column, value, text, decimal)
        case _:
            raw[column.raw] = [text]


def _text(value: Cell, column: Column) -> str:
    """A cell as a person would type it; a number in full."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, datetime):
        at_midnight = (value.hour, value.minute) == (0, 0)
        return f"{value:%Y-%m-%d}" if column.field.kind == "date" and at_midnight else f"{value:%Y-%m-%dT%H:%M}"
    if isinstance(value, date):
        return value.isoformat()
    text = str(value)
    if text in _ERRORS:
        raise InputError("cell_error", typed=text)
    return text


def _put_number(raw: dict[str, list[str]], column: Column, value: Cell, text: str, decimal: Mark) -> None:
    if isinstance(value, (bool, date, datetime)):
        raise InputError("not_a_number", typed=text)
    number, own = split_unit(text, "", column.field.quantity) if column.field.quantity else (text, "")
    spelled = _TRAILING.fullmatch(text.strip()) if column.field.quantity and not own and isinstance(value, str) else None
    if spelled and not _is_number(text):
        number, own = spelled["number"], read_unit(spelled["unit"], column.field.quantity).key
    if isinstance(value, str):
        _check_mark(number, decimal)
    elif column.unit == "pct" and 0 < abs(float(number)) < _SMALL_PER_CENT:
        raise InputError("per_cent_cell", typed=text, as_pct=f"{100 * float(number):g}")
    if column.field.kind == "quantities":
        raw.setdefault(column.raw, []).append(f"{number} {own or column.unit}".strip())
    else:
        raw[column.raw] = [number]
        raw[f"{column.raw}_unit"] = [own or column.unit] if own or column.unit else []


def _is_number(text: str) -> bool:
    try:
        parse_number(text)
    except InputError:
        return False
    return True


def _check_mark(number: str, decimal: Mark) -> None:
    """A number as text must use the mark that was said; the other one could stand for thousands."""
    wrong = {"comma": ".", "point": ","}.get(decimal)
    if wrong is not None and wrong in number:
        raise InputError("other_decimal_mark", typed=number, mark=wrong)
    if wrong is None and ("," in number or "." in number):
        raise InputError("number_is_text", typed=number)


def _choice(each: Field, text: str) -> str:
    """A choice by its key or its words; anything else is left for the parser to question."""
    spoken = _spoken(text)
    for key, words in each.options.items():
        if spoken in (_spoken(words), _spoken(key), _spoken(key.replace("_", " "))):
            return key
    return text
