"""A project as a workbook: readings by kind and results, real numbers and days in typed columns; and empty templates.

Text is always written as text: a name that begins with = + - or @ never becomes a formula, and an address never a link.
"""

import csv
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from loamwright import __version__
from loamwright.errors import InputError
from loamwright.notebook.fields import Field
from loamwright.notebook.kinds import Kind
from loamwright.papers import columns
from loamwright.papers.columns import Cell, columns_of
from loamwright.project import blocks, breaking, compare, weigh
from loamwright.project.finding import Finding, Result, Withheld
from loamwright.project.state import Fact, State
from loamwright.words.asked_for import kinds_said
from loamwright.words.blocks import mix_key_name
from loamwright.words.comparisons import verdict
from loamwright.words.language import tr
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

MOST_TEXT = 32_000  # a cell holds 32,767 characters; the notebook keeps the rest
_WIDEST = 48
_FORMATS = {"head": {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}}
_DAY, _MOMENT = "yyyy-mm-dd", "yyyy-mm-dd hh:mm"


@dataclass(frozen=True, slots=True)
class Tab:
    """One sheet: its name, its heads, its rows."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def workbook(state: State, shown: Shown, *, as_of: datetime) -> bytes:
    """Readings and results of a project as one .xlsx file; the same state and moment give the same bytes."""
    tabs = [_about(state, shown, as_of), *results(state, shown, as_of.date()), *readings(state, shown)]
    return _written(tabs, as_of)


# --- readings ---


def readings(state: State, shown: Shown) -> list[Tab]:
    """One sheet for each kind that has entries, left-out ones among them, in the order of the work."""
    found = []
    for kind in kinds_said().values():
        facts = tuple(state.everything(kind.name))
        if facts:
            found.append(_readings(state, kind, facts, shown))
    return found


def _readings(state: State, kind: Kind, facts: tuple[Fact, ...], shown: Shown) -> Tab:
    own = columns_of(kind, shown, facts)
    typed = [each for each in kind.fields if each.quantity or each.kind == "number"]
    named = [each for each in kind.fields if each.kind in ("ref", "refs")]
    heads = [tr(columns.ENTRY), tr(columns.WRITTEN), tr(columns.BY), tr(columns.COUNTS), *(column.head for column in own)]
    heads += [*(columns.typed_head(each) for each in typed), *(columns.ids_head(each) for each in named)]

    def row(fact: Fact) -> tuple[Cell, ...]:
        lead: list[Cell] = [fact.id, state.moment(fact).replace(tzinfo=None, second=0, microsecond=0), fact.by]
        cells = [columns.cell(state, fact, column) for column in own]
        return (*lead, _counts(state, fact), *cells, *_beside(state, fact, typed, named))

    return Tab(kind.label, tuple(heads), tuple(row(fact) for fact in facts))


def _beside(state: State, fact: Fact, typed: Sequence[Field], named: Sequence[Field]) -> Iterable[Cell]:
    yield from (columns.typed_cell(state, fact, each) for each in typed)
    yield from (columns.ids_cell(fact, each) for each in named)


def _counts(state: State, fact: Fact) -> str:
    if fact.fault is not None:
        return of_fault(fact.fault)
    return tr("no, left out") if fact.id in state.left_out else tr("yes")


# --- results ---


def results(state: State, shown: Shown, today: date) -> list[Tab]:
    """Blocks with density and strength, mixes, batches."""
    return [_blocks(state, shown), _mixes(state, shown, today), _batches(state, shown)]


def _in(result: Result | None, quantity: str, shown: Shown) -> float | None:
    """The number of a finding in the person's unit, or nothing."""
    if not isinstance(result, Finding):
        return None
    return _finite(shown.unit(quantity).from_engine(result.value))


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _why(*results: Result | None) -> str | None:
    """Why a number is not there."""
    told = dict.fromkeys(of_fault(each.fault) for each in results if isinstance(each, Withheld))
    return " ".join(told) or None


def _with(label: str, quantity: str, shown: Shown) -> str:
    return f"{label} [{shown.unit(quantity).label}]"


def _blocks(state: State, shown: Shown) -> Tab:
    heads = (
        tr("Mark"), tr("Batch"), tr("Mix"), tr("Pressed on"),
        _with(tr("Density as pressed"), "density", shown), _with(tr("Dry density"), "density", shown),
        _with(tr("Crushing strength"), "pressure", shown), tr("Tested"), tr("Age at the test [d]"), tr("Under water [h]"),
        _with(tr("Bending strength"), "pressure", shown), tr("Only a screening"), tr("Not computed, because"), tr("Entry"),
    )  # fmt: skip
    return Tab(tr("Blocks"), heads, tuple(_block(state, block, shown) for block in blocks.known_blocks(state)))


def _block(state: State, block: Fact, shown: Shown) -> tuple[Cell, ...]:
    crushed, bent = breaking.of_block(state, block.id)
    green, dry = blocks.green_density(state, block), blocks.dry_density(state, block)
    tested: tuple[Cell, ...] = (None, None, None)
    if crushed is not None:
        tested = (tr("soaked") if crushed.condition == "wet" else tr("dry"), crushed.age_days, crushed.soak_hours)
    screening = any(each is not None and each.screening for each in (crushed, bent))
    return (
        str(block["mark"]).strip(), name_of(state, block["batch"], "batch"),
        mix_key_name(state, blocks.mix_key(state, block["batch"])), blocks.pressed_on(state, block),
        _in(green, "density", shown), _in(dry, "density", shown),
        _in(crushed.finding if crushed else None, "pressure", shown), *tested,
        _in(bent.finding if bent else None, "pressure", shown), tr("yes") if screening else None, _why(green, dry), block.id,
    )  # fmt: skip


def _mixes(state: State, shown: Shown, today: date) -> Tab:
    heads = (
        tr("Mix"), tr("Blocks that count"), tr("Batches"),
        _with(tr("Mean"), "pressure", shown), _with(tr("Least"), "pressure", shown),
        tr("Coefficient of variation [%]"), _with(tr("Cautious value"), "pressure", shown), tr("Brief"),
        tr("Not computed, because"), tr("Entry"),
    )  # fmt: skip
    return Tab(tr("Mixes"), heads, tuple(_mix(state, each, shown) for each in compare.comparison(state).mixes))


def _mix(state: State, each: compare.MixResult, shown: Shown) -> tuple[Cell, ...]:
    least = None if each.spread is None else _finite(shown.unit("pressure").from_engine(each.spread.least))
    scatter = _finite(100 * each.scatter.value) if isinstance(each.scatter, Finding) else None
    return (
        mix_key_name(state, each.key), len(each.counted), len(each.batches), _in(each.mean, "pressure", shown), least,
        scatter, _in(each.cautious, "pressure", shown), verdict(each)[0],
        _why(each.mean, each.scatter, each.cautious), each.mix.id,
    )  # fmt: skip


def _batches(state: State, shown: Shown) -> Tab:
    heads = (
        tr("Batch"), tr("Opened on"), _with(tr("Damp soil in"), "mass", shown), _with(tr("Dry soil"), "mass", shown),
        _with(tr("Stabiliser in"), "mass", shown), _with(tr("Water in"), "mass", shown), tr("Dose wanted, of the dry mix [%]"),
        tr("Dose reached, of the dry mix [%]"), tr("Moisture reached, of the dry mix [%]"), tr("Blocks"),
        tr("Not computed, because"), tr("Entry"),
    )  # fmt: skip
    return Tab(tr("Batches"), heads, tuple(_batch(state, batch, shown) for batch in state.all("batch")))


def _batch(state: State, batch: Fact, shown: Shown) -> tuple[Cell, ...]:
    pressed = len(state.where("block", "batch", batch.id))
    lead: tuple[Cell, ...] = (name_of(state, batch.id), state.day(batch))
    try:
        view = weigh.batch_view(state, batch.id)
    except InputError as fault:
        return (*lead, *(None,) * 7, pressed, of_fault(fault), batch.id)
    masses = (
        _in(found, "mass", shown) for found in (view.soil.finding, view.dry_soil, view.stabiliser.finding, view.water.finding)
    )
    shares = (_finite(100 * each.value) if each else None for each in (view.dose, view.achieved, view.mix_water))
    return (*lead, *masses, *shares, pressed, None, batch.id)


def _about(state: State, shown: Shown, as_of: datetime) -> Tab:
    rows: list[tuple[Cell, ...]] = [
        (tr("Project"), name_of(state, state.project)),
        (tr("As of"), as_of.replace(tzinfo=None, second=0, microsecond=0)),
        (tr("Written by"), f"Loamwright {__version__}"),
        (tr("Numbers"), tr("in the unit at the head of their column, not rounded; what was typed stands in its own column")),
        (tr("Days and moments"), tr("of the local clock where they were written")),
        (tr("What counts"), tr("entries left out or not understood are listed too; the column Counts says so")),
        (tr("The record"), tr("is the notebook: change readings there, not here")),
    ]  # fmt: skip
    return Tab(tr("About"), (tr("About this file"), ""), tuple(rows))


# --- templates ---


def template(kind: Kind, shown: Shown) -> bytes:
    """An empty workbook for entries of one kind, with a second sheet that says what each column takes."""
    own = columns_of(kind, shown)
    tab = Tab(kind.label, (*(column.head for column in own), *_of_all()), ())
    return _written([tab, _guide(kind, own)], datetime(2026, 1, 1), fill=[_fill(column) for column in own])


def template_csv(kind: Kind, shown: Shown) -> bytes:
    """The same heads as a text file."""
    text = io.StringIO()
    csv.writer(text).writerow([*(column.head for column in columns_of(kind, shown)), *_of_all()])
    return text.getvalue().encode("utf-8-sig")  # the mark tells spreadsheets that letters are UTF-8


def _of_all() -> tuple[str, str]:
    return tr(columns.BY), tr(columns.WRITTEN)


def _guide(kind: Kind, own: Sequence[columns.Column]) -> Tab:
    rows: list[tuple[Cell, ...]] = [
        (column.head, _takes(column.field), tr("needed") if column.field.required else "", column.field.hint) for column in own
    ]
    rows.append((tr(columns.BY), tr("who made the reading"), "", tr("you, if left empty")))
    rows.append((tr(columns.WRITTEN), tr("day and time, as 2026-03-04T10:15"), "", tr("now, if left empty")))
    return Tab(tr("How to fill it in"), (tr("Column"), tr("What it takes"), "", tr("Remark")), tuple(rows))


def _takes(each: Field) -> str:
    match each.kind:
        case "choice":
            return tr("one of: {options}", options="; ".join(each.options.values()))
        case "flag":
            return tr("yes or no")
        case "date":
            return tr("a day, as 2026-03-04")
        case "moment":
            return tr("day and time, as 2026-03-04T10:15")
        case "ref":
            return tr("a name as it stands in the project")
        case "refs":
            return tr("names as they stand in the project, with ; between them")
        case "whole":
            return tr("a whole number")
        case "number":
            return tr("a number")
        case "quantity" | "quantities":
            return tr("a number in the unit of the head; change the unit in the head if you measured in another")
    return tr("text")


def _fill(column: columns.Column) -> dict[str, Any]:
    """How cells of a column of a template behave."""
    match column.field.kind:
        case "text" | "ref" | "refs":
            return {"format": "@"}
        case "date":
            return {"format": _DAY}
        case "moment":
            return {"format": _MOMENT}
        case "choice" if sum(map(len, column.field.options.values())) + len(column.field.options) <= 255:
            return {"format": "@", "list": list(column.field.options.values())}
        case "flag":
            return {"format": "@", "list": [tr("yes"), tr("no")]}
    return {}


# --- writing ---


def _written(tabs: Sequence[Tab], as_of: datetime, fill: Sequence[dict[str, Any]] = ()) -> bytes:
    import xlsxwriter  # type: ignore[import-untyped]

    buffer = io.BytesIO()
    safe = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(buffer, safe)
    book.set_properties({"title": "Loamwright", "created": as_of.replace(tzinfo=None)})
    formats = {key: book.add_format(value) for key, value in _FORMATS.items()}
    formats |= {key: book.add_format({"num_format": key}) for key in (_DAY, _MOMENT, "@")}
    names: set[str] = set()
    for number, tab in enumerate(tabs):
        _write(book.add_worksheet(_tab_name(tab.name, names)), tab, formats, fill if number == 0 else ())
    book.close()
    return buffer.getvalue()


def _tab_name(name: str, taken: set[str]) -> str:
    """A name a workbook allows: 31 characters, none of []:*?/\\, no quote at an end, each once.

    >>> taken = set(); [_tab_name(name, taken) for name in ("Pail: a/b?", "Pail a b")]
    ['Pail a b', 'Pail a b 2']
    """
    plain = " ".join("".join(" " if each in "[]:*?/\\" else each for each in name).split()).strip("'") or "-"
    found, number = plain[:31], 1
    while found.casefold() in taken or found.casefold() == "history":
        number += 1
        found = f"{plain[: 31 - len(str(number)) - 1]} {number}"
    taken.add(found.casefold())
    return found


def _write(sheet: Any, tab: Tab, formats: dict[str, Any], fill: Sequence[dict[str, Any]]) -> None:
    for column, head in enumerate(tab.heads):
        how = fill[column] if column < len(fill) else {}
        longest = max([len(head) / 2, *(len(str(row[column])) for row in tab.rows[:200] if row[column] is not None)])
        sheet.set_column(column, column, min(_WIDEST, 3 + longest), formats.get(how.get("format", "")))
        sheet.write_string(0, column, head, formats["head"])
        if "list" in how:
            sheet.data_validation(1, column, 2000, column, {"validate": "list", "source": how["list"], "error_type": "warning"})
    sheet.freeze_panes(1, 0)
    for number, row in enumerate(tab.rows, start=1):
        for column, value in enumerate(row):
            _put(sheet, number, column, value, formats)


def _put(sheet: Any, row: int, column: int, value: Cell, formats: dict[str, Any]) -> None:
    if isinstance(value, str):
        if value:
            sheet.write_string(row, column, value if len(value) <= MOST_TEXT else value[:MOST_TEXT] + "…")
    elif isinstance(value, datetime):
        sheet.write_datetime(row, column, value, formats[_MOMENT])
    elif isinstance(value, date):
        sheet.write_datetime(row, column, datetime(value.year, value.month, value.day), formats[_DAY])
    elif value is not None:
        sheet.write_number(row, column, value)
