"""The model of a sheet: rows, columns, and which entry each group of boxes becomes when it is typed in."""

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from loamwright.errors import InputError
from loamwright.notebook.fields import parse
from loamwright.notebook.kinds import kind_named
from loamwright.papers.document import Caution, Lines, PaperColumn, Part, Remark, Table, Words

Raw = Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of boxes.

    Attributes
    ----------
    key : str
        Name within the sheet.
    label, unit : str
        Head of the column, and the unit its boxes are filled in (words).
    groups : tuple of str
        The groups of boxes it belongs to, each of which becomes one entry; empty for a printed column.
    field : str
        Field of that entry.
    unit_key : str
        Key of the unit, where the field is a quantity.
    kind : str
        "number", "whole" or "text".
    options : mapping
        What may be written, key to words, where the field is a choice.
    """

    key: str
    label: str
    unit: str = ""
    groups: tuple[str, ...] = ()
    field: str = ""
    unit_key: str = ""
    kind: str = "number"
    options: Mapping[str, str] = dataclasses.field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Group:
    """Boxes of a row that become one entry: its kind, what is the same in every row, and the box without which there is none."""

    key: str
    kind: str
    needed: str
    fixed: Mapping[str, str] = dataclasses.field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what is printed in it, and what its entries say beside the boxes (its batch, its block)."""

    key: str
    label: str
    printed: Mapping[str, str] = dataclasses.field(default_factory=dict)
    fixed: Mapping[str, str] = dataclasses.field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet to print, and the grid to type it in.

    Attributes
    ----------
    name, title : str
        Short name for addresses; words at its head.
    fill : tuple of str
        Lines to fill by hand: date, who.
    shared : tuple of Column
        Boxes that stand once at the head and hold for all rows (a span, a soaking time).
    """

    name: str
    title: str
    corner: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    groups: tuple[Group, ...]
    fill: tuple[str, ...] = ()
    shared: tuple[Column, ...] = ()
    orders: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def printed_columns(self) -> tuple[Column, ...]:
        """Columns whose boxes are filled before printing."""
        return tuple(column for column in self.columns if not column.groups)

    @property
    def boxes(self) -> tuple[Column, ...]:
        """Columns to be filled in."""
        return tuple(column for column in self.columns if column.groups)

    @property
    def landscape(self) -> bool:
        """Whether it has too many columns for an upright page."""
        return len(self.columns) > WIDE


WIDE = 7


def parts_of(sheet: Sheet) -> tuple[Part, ...]:
    """The sheet as it stands on paper: orders, lines to fill, the boxes in the rows and order of its grid, cautions."""
    columns = [PaperColumn(sheet.corner)]
    columns += [
        PaperColumn(column.label, column.unit, "box", 1.0) if column.groups else PaperColumn(column.label, column.unit)
        for column in sheet.columns
    ]
    rows = tuple(
        (row.label, *(row.printed.get(column.key, "") if not column.groups else "" for column in sheet.columns))
        for row in sheet.rows
    )
    fill = (*sheet.fill, *(f"{box.label}, {box.unit}" if box.unit else box.label for box in sheet.shared))
    return (
        *(Words(words) for words in sheet.orders),
        Lines(tuple((label, "") for label in fill)),
        Table("", tuple(columns), rows),
        *(Remark(f"{column.label}: {' / '.join(column.options.values())}.") for column in sheet.boxes if column.options),
        *(Caution(words) for words in sheet.cautions),
    )


@dataclass(frozen=True, slots=True)
class Typed:
    """One entry read from a grid: row, group, kind and body."""

    row: str
    group: str
    kind: str
    body: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Reading:
    """What could be read from a typed grid, and a fault for every box that could not."""

    entries: tuple[Typed, ...]
    faults: Mapping[str, Mapping[str, InputError]]


def read_grid(sheet: Sheet, raw: Raw) -> Reading:
    """Entries of a typed grid: every row that parses, and the faults of those that do not; empty rows are passed over.

    Boxes are named "<row>.<column>", shared boxes "all.<column>".
    """
    entries: list[Typed] = []
    faults: dict[str, dict[str, InputError]] = {}
    for row in sheet.rows:
        filled = [group for group in sheet.groups if _box(raw, row, _needed(sheet, group))]
        if not filled and any(_box(raw, row, column, own=True) for column in sheet.boxes):
            box = _needed(sheet, sheet.groups[0])
            faults[row.key] = {box.key: InputError("missing_field", field=box.field, label=box.label)}
        for group in filled:
            columns = _columns(sheet, group)
            parsed = parse(kind_named(group.kind).fields, _texts(raw, row, group, columns))
            by_field = {column.field: column.key for column in columns}
            for name, fault in parsed.faults.items():
                faults.setdefault(row.key, {})[by_field.get(name, _needed(sheet, group).key)] = fault
            if not parsed.faults:
                entries.append(Typed(row.key, group.key, group.kind, parsed.body))
    return Reading(tuple(entries), faults)


def _columns(sheet: Sheet, group: Group) -> list[Column]:
    return [column for column in (*sheet.columns, *sheet.shared) if group.key in column.groups]


def _needed(sheet: Sheet, group: Group) -> Column:
    return next(column for column in _columns(sheet, group) if column.field == group.needed)


def _box(raw: Raw, row: Row, column: Column, *, own: bool = False) -> str:
    """What was typed in a box of this row, or at the head of the sheet for all rows."""
    values = raw.get(f"{row.key}.{column.key}") or (() if own else raw.get(f"all.{column.key}")) or ("",)
    return values[0].strip()


def _texts(raw: Raw, row: Row, group: Group, columns: Sequence[Column]) -> dict[str, list[str]]:
    kind_fields = {each.name for each in kind_named(group.kind).fields}
    texts = {name: [value] for name, value in {**group.fixed, **row.fixed}.items() if name.split("-")[0] in kind_fields}
    for column in columns:
        typed = _box(raw, row, column)
        if typed:
            texts.setdefault(column.field, []).append(_choice(column, typed))
            texts[f"{column.field}_unit"] = [column.unit_key]
    return texts


def _choice(column: Column, typed: str) -> str:
    """A choice written as its words or their beginning becomes its key; anything else is left for the parser to question."""
    if not column.options:
        return typed
    fitting = [key for key, words in column.options.items() if words.lower().startswith(typed.lower()) or key == typed]
    return fitting[0] if len(fitting) == 1 else typed
