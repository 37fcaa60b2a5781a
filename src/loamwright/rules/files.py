"""Rule files: what one may hold, every fault of one at once, and the rule that a faultless one says."""

import math
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from loamwright.engine.evidence.acceptance import BETWEEN, KNOWN_COMPARATORS, STATISTICS
from loamwright.engine.evidence.characteristic import RULES
from loamwright.errors import InputError
from loamwright.rules.clause import Clause, OtherFigure, Rule
from loamwright.rules.properties import OF_CLASS, properties, subject_of, unit
from loamwright.tables import STANDINGS

CONDITIONS = ("", "wet", "dry", "air_dry", "damp_plate", "spray", "drip", "dip", "cycles", "at_25c")
VALUE_FORMS = ("as_tested", "aspect_ratio_corrected", "normalised")
SUBJECTS = ("block", "mix", "soil", "lot", "wall", "cement", "air")
NO_REQUIREMENT = (
    "information",
    "method",
    "design_value",
    "asked_elsewhere",
    "designer_sets",
    "failing_class",
    "usual_range",
    "warning",
    "constant",
    "step_of_advice",
)
"""Why a row of a document is kept in the book although it asks nothing of a block, soil or wall."""


@dataclass(frozen=True, slots=True)
class RuleFault:
    """One thing wrong with a rule file: the row (its key, or its place), the field, and what is wrong."""

    row: str
    field: str
    fault: InputError


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a rule file: what it holds, its allowed values, its meaning.

    `needed` is "always", "asks" (in a row that asks something), or empty where the column may be left out.
    """

    name: str
    holds: str
    about: str
    allowed: tuple[str, ...] = ()
    needed: str = ""


def columns() -> tuple[Column, ...]:
    """Every column a row of a rule file may have, in the order they are written."""
    return (
        Column("key", "text", "the clause's own name, once in the file", needed="always"),
        Column("document", "text", "the document, the same in every row", needed="always"),
        Column("edition", "text", "its edition; the first four characters are the same in every row", needed="always"),
        Column("clause", "text", "clause, table or annex", needed="always"),
        Column("words", "text", "what it asks, in words", needed="always"),
        Column("no_requirement", "text", "why it asks nothing", NO_REQUIREMENT),
        Column("property", "text", "what is measured", needed="asks"),
        Column("subject", "text", "what it is measured on; needed where the property is a new one", SUBJECTS),
        Column("comparator", "text", "how the figure is held against the value", KNOWN_COMPARATORS, needed="asks"),
        Column("value", "number", "the limit, or the lower end of a range", needed="asks"),
        Column("value_max", "number", "the upper end of a range"),
        Column("upper_included", "flag", "whether the upper end belongs to the range"),
        Column("floor", "number", "what each must reach beside the mean"),
        Column("unit", "text", f"key of a unit, or {OF_CLASS}", needed="asks"),
        Column("statistic", "text", "how the figure is taken", tuple(STATISTICS), needed="asks"),
        Column("n", "whole", "how many specimens"),
        Column("condition", "text", "how they are tested; empty where nothing is said", CONDITIONS, needed="asks"),
        Column("soak_h", "number", "least hours under water"),
        Column("age_d", "number", "age at the test in days"),
        Column("cycles", "whole", "least cycles of wetting and drying"),
        Column("grade", "text", "the grade or class it holds for"),
        Column("use", "text", "the use it holds for"),
        Column("scale", "text", "the scale of classes it is one of, best class first"),
        Column("or_better", "text", "the side on which a class may be left and is still reached", ("below", "above")),
        Column("advice", "flag", "guidance, never part of a verdict"),
        Column("value_form", "text", "the shape correction in the value", VALUE_FORMS),
        Column("cautious_rule", "text", "how a characteristic value is taken", tuple(RULES)),
        Column("other", "figures", "figures others give for it: value, unit, said_by, standing, grades"),
        Column("standing", "text", "how the figure is known", STANDINGS, needed="always"),
        Column("confidence", "text", "how sure that is", ("high", "medium", "low"), needed="always"),
        Column("source", "text", "key of a reference", needed="always"),
        Column("read_at", "text", "where it was read"),
        Column("note", "text", "anything else", needed="always"),
    )


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


_HOLDS: Mapping[str, tuple[Callable[[object], bool], str]] = {
    "text": (lambda value: isinstance(value, str), "a text"),
    "number": (_is_number, "a number"),
    "whole": (lambda value: isinstance(value, int) and not isinstance(value, bool) and value > 0, "a whole number above 0"),
    "flag": (lambda value: isinstance(value, bool), "true or false"),
    "figures": (lambda value: isinstance(value, list) and all(isinstance(each, dict) for each in value), "a list of tables"),
}


def check_text(text: str, key: str) -> tuple[Rule | None, tuple[RuleFault, ...]]:
    """A rule file as text: the rule it says, or everything that is wrong with it.

    Parameters
    ----------
    text : str
        TOML with a `title` and `[[row]]` tables.
    key : str
        The key the rule shall have, such as the name of the file.

    Returns
    -------
    tuple of Rule or None, and tuple of RuleFault
        A rule where there is no fault, else None and every fault in file order.

    Examples
    --------
    >>> rule, faults = check_text('title = "A rule"\\n[[row]]\\nkey = "a"', "mine")
    >>> rule is None, [fault.field for fault in faults][:3]
    (True, ['document', 'edition', 'clause'])
    """
    try:
        whole = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as fault:  # tables a thousand deep, too
        return None, (RuleFault("", "", InputError("rule_file_not_read", reason=str(fault))),)
    faults = tuple(_faults(whole))
    return (None, faults) if faults else (rule_from(whole, key), ())


def rule_from(whole: Mapping[str, Any], key: str) -> Rule:
    """The rule of a faultless file."""
    rows = whole["row"]
    return Rule(key, whole["title"], rows[0]["document"], rows[0]["edition"], tuple(_clause(row) for row in rows))


def _clause(row: Mapping[str, Any]) -> Clause:
    asks = not row.get("no_requirement")
    same = ("clause", "words", "standing", "confidence", "source", "note")
    free = ("n", "grade", "use", "cautious_rule", "value_form", "value_max", "upper_included", "floor", "cycles", "or_better")
    more = ("scale", "advice", "no_requirement")
    taken = {name: row[name] for name in (*same, *free, *more) if name in row}
    name = row.get("property", "")
    return Clause(
        key=row["key"],
        property=name,
        statistic=row.get("statistic", ""),
        comparator=row.get("comparator", ""),
        value=row.get("value"),
        unit=row.get("unit", ""),
        condition=row.get("condition", ""),
        soak_hours=row.get("soak_h"),
        age_days=row.get("age_d"),
        subject=subject_of(name, row.get("subject")) if asks else row.get("subject", ""),
        others=tuple(_other(each) for each in row.get("other", ())),
        **taken,
    )


def _other(row: Mapping[str, Any]) -> OtherFigure:
    return OtherFigure(row["value"], row["unit"], row["said_by"], row.get("standing", "memory"), tuple(row.get("grades", ())))


# --- faults ---


def _faults(whole: Mapping[str, Any]) -> Iterator[RuleFault]:
    if not isinstance(whole.get("title"), str) or not whole["title"].strip():
        yield RuleFault("", "title", InputError("rule_field_missing", row="title", field="title"))
    rows = whole.get("row")
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
        yield RuleFault("", "row", InputError("rule_without_rows"))
        return
    names = [_name(row, place) for place, row in enumerate(rows)]
    for place, (name, row) in enumerate(zip(names, rows, strict=True)):
        if name in names[:place]:
            yield RuleFault(name, "key", InputError("rule_key_twice", row=name))
        kinds = tuple(_kind_faults(name, row))
        yield from kinds
        if not kinds and not row.get("no_requirement"):
            yield from _sense_faults(name, row)
    yield from _one_document(names, rows)


def _name(row: Mapping[str, Any], place: int) -> str:
    key = row.get("key")
    return key if isinstance(key, str) and key else f"{place + 1}"


def _one_document(names: list[str], rows: list[Mapping[str, Any]]) -> Iterator[RuleFault]:
    """One file is one document and one year: editions are never mixed."""
    first = rows[0]
    for name, row in zip(names, rows, strict=True):
        if row.get("document", first.get("document")) != first.get("document"):
            yield RuleFault(name, "document", InputError("rule_other_document", row=name, document=row["document"]))
        elif str(row.get("edition", first.get("edition")))[:4] != str(first.get("edition"))[:4]:
            yield RuleFault(name, "edition", InputError("rule_other_edition", row=name, edition=row["edition"]))


def _kind_faults(name: str, row: Mapping[str, Any]) -> Iterator[RuleFault]:
    known = {column.name: column for column in columns()}
    for field in row:
        if field not in known:
            yield RuleFault(name, field, InputError("rule_field_unknown", row=name, field=field, known=", ".join(known)))
    asks = not row.get("no_requirement")
    for column in known.values():
        if column.name not in row:
            if column.needed == "always" or (column.needed == "asks" and asks):
                yield RuleFault(name, column.name, InputError("rule_field_missing", row=name, field=column.name))
            continue
        yield from _value_faults(name, column, row[column.name])


def _value_faults(name: str, column: Column, value: object) -> Iterator[RuleFault]:
    fits, wanted = _HOLDS[column.holds]
    if not fits(value):
        fault = InputError("rule_field_kind", row=name, field=column.name, found=f"{value}", wanted=wanted)
        yield RuleFault(name, column.name, fault)
    elif column.allowed and value not in column.allowed:
        fault = InputError("rule_field_choice", row=name, field=column.name, found=f"{value}", known=", ".join(column.allowed))
        yield RuleFault(name, column.name, fault)
    elif column.needed and column.name not in ("note", "clause", "condition") and value == "":
        yield RuleFault(name, column.name, InputError("rule_field_missing", row=name, field=column.name))


def _sense_faults(name: str, row: Mapping[str, Any]) -> Iterator[RuleFault]:
    """Faults that only show when fields are looked at together."""
    if row["property"] not in properties() and not row.get("subject"):
        yield RuleFault(name, "subject", InputError("rule_subject_missing", property=row["property"]))
    yield from _unit_faults(name, row)
    if row["comparator"] == BETWEEN:
        if "value_max" not in row or row["value_max"] <= row["value"] or row["value"] < 0:
            yield RuleFault(name, "value_max", InputError("rule_range", row=name, value=row["value"]))
    elif row["value"] <= 0:
        yield RuleFault(name, "value", InputError("not_positive", quantity="value", value=row["value"]))
    if "value_max" in row and row["comparator"] != BETWEEN:
        yield RuleFault(name, "comparator", InputError("rule_range_comparator", row=name))
    if ("floor" in row) != (row["statistic"] == "mean_and_floor"):
        yield RuleFault(name, "floor", InputError("floor_and_statistic", clause=name))
    for place, other in enumerate(row.get("other", ()), start=1):
        yield from _other_faults(name, place, other)


def _unit_faults(name: str, row: Mapping[str, Any]) -> Iterator[RuleFault]:
    if row["unit"] == OF_CLASS:
        return
    try:
        found = unit(row["unit"])
    except InputError as fault:
        yield RuleFault(name, "unit", fault)
        return
    known = properties().get(row["property"])
    if known is not None and found.quantity != known.quantity:
        other = InputError("rule_unit_quantity", row=name, unit=row["unit"], property=known.key, quantity=known.quantity)
        yield RuleFault(name, "unit", other)


def _other_faults(name: str, place: int, other: Mapping[str, Any]) -> Iterator[RuleFault]:
    field = f"other {place}"
    if missing := [each for each in ("value", "unit", "said_by") if each not in other]:
        yield RuleFault(name, field, InputError("rule_field_missing", row=name, field=f"{field}: {missing[0]}"))
        return
    try:
        unit(other["unit"])
    except InputError as fault:
        yield RuleFault(name, field, fault)
    if not _is_number(other["value"]) or other["value"] <= 0:
        yield RuleFault(
            name, field, InputError("rule_field_kind", row=name, field=field, found=f"{other['value']}", wanted="a number")
        )
