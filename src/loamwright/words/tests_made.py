"""Tests of soils and blocks in words: their groups, their tables, one line for each."""

from collections.abc import Mapping
from typing import Any

from loamwright.project.finding import Finding
from loamwright.project.soil_classes import Classes
from loamwright.project.worked import Cell, Column, Table, TestGroups, Worked
from loamwright.words.asked_for import kinds_said
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault, of_note, of_notes

GROUPS: Mapping[str, str] = {
    "sampling": later("Where it comes from"),
    "feel": later("With the hands"),
    "water": later("Water and density"),
    "grading": later("Grain sizes"),
    "limits": later("Limits and shrinkage"),
    "swelling": later("Swelling and slaking"),
    "compaction": later("Water against density"),
    "salts": later("Salts, organic matter, lime"),
    "size": later("Sizes and density"),
    "strength": later("Strength and rigs"),
    "water_of_blocks": later("Water"),
    "wear": later("Wear"),
}


def group_title(groups: TestGroups, group: str) -> str:
    """The heading of a group of tests; water is another thing to a block than to a soil."""
    own = "water_of_blocks" if group == "water" and groups.package.endswith("block_tests") else group
    return tr(GROUPS[own])


def offered(groups: TestGroups, about: str) -> list[tuple[str, list[tuple[str, str]]]]:
    """Every test that can be made of a thing named in this field, by group: heading, then name and label of each kind."""
    found: dict[str, list[tuple[str, str]]] = {}
    for group, test in groups.each():
        if test.about != about:
            continue
        kind = kinds_said()[test.kind]
        found.setdefault(group, []).append((kind.name, kind.label))
    return [(group_title(groups, group), tests) for group, tests in found.items()]


def line(worked: Worked, shown: Shown) -> str:
    """What a test says in one line: its first results, or why there is none."""
    found = [
        f"{tr(told.label)} {shown_value(told.result, told.quantity, shown)}"
        for told in worked.results
        if isinstance(told.result, Finding)
    ]
    if found:
        return "; ".join(found[:3])
    withheld = [of_fault(told.result.fault) for told in worked.results if not isinstance(told.result, Finding)]
    return withheld[0] if withheld else ""


def shown_value(finding: Finding, quantity: str, shown: Shown) -> str:
    """A result in the unit the person chose; a plain number with four digits."""
    return shown.value(finding.value, quantity) if quantity else f"{finding.value:.4g}"


def table_words(table: Table, shown: Shown) -> dict[str, Any]:
    """A table as pages and papers take it: caption, columns with their units, rows of words."""
    return {
        "caption": tr(table.title),
        "columns": [_head(column, shown) for column in table.columns],
        "rows": [[_cell(cell, column, shown) for cell, column in zip(row, table.columns, strict=True)] for row in table.rows],
    }


def _head(column: Column, shown: Shown) -> dict[str, Any]:
    unit = shown.unit(column.quantity).label if column.quantity else ""
    return {"label": tr(column.label), "unit": unit, "count": bool(column.quantity)}


def _cell(cell: Cell, column: Column, shown: Shown) -> str:
    if cell is None:
        return "–"
    if isinstance(cell, str):
        return tr(cell)
    return f"{shown.unit(column.quantity).from_engine(cell) if column.quantity else cell:.4g}"


SYSTEMS: Mapping[str, str] = {"usda": later("USDA texture"), "uscs": later("Unified, D2487"), "aashto": later("Roads, M 145")}


def class_rows(found: Classes | None) -> list[list[str]]:
    """A row a system: class, name, what else it might be and what to know; what is missing in its place."""
    if found is None:
        return []
    rows = [
        [
            tr(SYSTEMS.get(each.system, each.system)),
            each.symbol or tr(each.name),
            tr(each.name) if each.symbol else "",
            " ".join([*([tr("or {others}", others=", ".join(each.others))] if each.others else []), *of_notes(each.notes)]),
        ]
        for each in found.found
    ]
    return rows + [["", "–", "", of_note(note)] for note in found.missing]
