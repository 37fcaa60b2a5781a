"""From the words of a command to a body: one option a field, value and unit in one text, names instead of ids."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from loamwright import units
from loamwright.cli.naming import pick, pick_entity
from loamwright.errors import InputError
from loamwright.notebook.fields import CONTAINER, Field, parse, split_unit
from loamwright.notebook.kinds import Kind

if TYPE_CHECKING:
    from loamwright.project.state import State
    from loamwright.words.numbers import Shown

AT = "at_option"  # in the values of a fault: the option it stands at
SMALL_SHARE = 0.5  # a share without a unit below this could be per cent or a fraction
_TRAILING = re.compile(r"(?P<number>[-−+]?[\d.,/ ]*\d)\s*(?P<words>(?:[^\W\d_]|[%°]).*)")


@dataclass(frozen=True, slots=True)
class Taken:
    """A body of what was typed, fields emptied on purpose, and a fault for each option that could not be taken."""

    body: dict[str, Any]
    emptied: frozenset[str]
    faults: tuple[InputError, ...] = field(default=())


def option_of(kind: Kind, each: Field) -> str:
    """The option that carries a field; a field whose name is an option of every command is named after its kind too."""
    name = each.name.replace("_", "-")
    return f"--{kind.name.replace('_', '-')}-{name}" if each.name in RESERVED else f"--{name}"


RESERVED = frozenset({"project", "by", "notebook", "json", "correct", "because", "help"})


def take(kind: Kind, typed: Mapping[str, Sequence[str]], state: "State", shown: "Shown", *, correcting: bool = False) -> Taken:
    """A body from option texts; units left out are the project's own, references are looked up by name.

    A correction may leave out what it does not change; an empty text takes a value away.
    """
    raw: dict[str, list[str]] = {}
    faults: list[InputError] = []
    emptied = frozenset(name for name, texts in typed.items() if texts and not any(text.strip() for text in texts))
    for each in kind.fields:
        texts = [text for text in typed.get(each.name, ()) if text.strip()]
        try:
            if texts:
                _put(raw, each, texts, state, shown)
        except InputError as fault:
            faults.append(InputError(fault.code, **{**fault.values, AT: option_of(kind, each)}))
    parsed = parse(kind.fields, raw)
    refused = {fault.values.get("field") for fault in faults}
    for name, found in parsed.faults.items():
        known = next(each for each in kind.fields if each.name == name)
        if found.code != "missing_field":
            faults.append(InputError(found.code, **{**found.values, AT: option_of(kind, known)}))
        elif name not in refused and (name in emptied or not correcting):
            faults.append(InputError("option_missing", label=known.label, option=option_of(kind, known), field=name))
    return Taken(parsed.body, emptied, tuple(faults))


def _put(raw: dict[str, list[str]], each: Field, texts: list[str], state: "State", shown: "Shown", at: str = "") -> None:
    """Texts of one field into the raw form the parser takes."""
    name = at or each.name
    try:
        match each.kind:
            case "quantity" | "quantities":
                parts = [part for text in texts for part in (text.split(";") if each.kind == "quantities" else [text])]
                read = [_with_unit(each, part, state, shown) for part in parts if part.strip()]
                raw[name] = [text for text, _ in read]
                raw[f"{name}_unit"] = [unit for _, unit in read if unit][:1]
            case "ref":
                raw[name] = [pick_entity(state, texts[0], each)]
            case "refs":
                raw[name] = [pick_entity(state, text, each) for text in texts]
            case "choice":
                raw[name] = [_choice(each, texts[0])]
            case "rows":
                for index, text in enumerate(texts):
                    _put_row(raw, each, index, text, state, shown)
            case _:
                raw[name] = texts
    except InputError as fault:
        raise InputError(fault.code, **{**fault.values, "field": each.name, "label": each.label}) from fault


def _choice(each: Field, text: str) -> str:
    """A choice by its key, with - or _, or by its words."""
    typed = text.strip().lower().replace("-", "_")
    for key, words in each.options.items():
        if text.strip() == key or typed == key.lower() or text.strip().casefold() == words.casefold():
            return key
    return text


def _put_row(raw: dict[str, list[str]], each: Field, index: int, text: str, state: "State", shown: "Shown") -> None:
    """One row: "Name=5", the reference first; or "2 mm;42 g" where it names none. Other values are parted by semicolons."""
    refs = [sub for sub in each.rows if sub.kind == "ref"]
    others = [sub for sub in each.rows if sub.kind != "ref"]
    name, sign, rest = text.partition("=") if refs else ("", "", text)
    values = rest.split(";")
    named = not refs or (len(refs) == 1 and bool(sign) and bool(name.strip()))
    if not named or not rest.strip() or len(values) > len(others):
        raise InputError("row_not_read", typed=text, form=row_form(each))
    if refs:
        _put(raw, refs[0], [name], state, shown, f"{each.name}-{index}-{refs[0].name}")
    for sub, value in zip(others, values, strict=False):
        if value.strip():
            _put(raw, sub, [value], state, shown, f"{each.name}-{index}-{sub.name}")


def row_form(each: Field) -> str:
    """How a row is written: "SOURCE=PARTS", or "OPENING;RETAINED" where it names no entity."""
    refs = [sub.name for sub in each.rows if sub.kind == "ref"]
    others = [sub.name for sub in each.rows if sub.kind != "ref"]
    return f"{'/'.join(refs)}{'=' if refs else ''}{';'.join(others)}".upper()


def _with_unit(each: Field, text: str, state: "State", shown: "Shown") -> tuple[str, str]:
    """The text of a quantity, and the unit to read it in where the text names none of its own."""
    number, own = split_unit(text, "", each.quantity)
    if own:
        return text, ""
    trailing = None if _is_number(number) else _TRAILING.fullmatch(text.strip())
    if trailing is not None:
        unit = _spoken_unit(each, trailing["words"].strip(), state)
        return (trailing["number"], unit) if unit.startswith(CONTAINER) else (f"{trailing['number']} {unit}", "")
    if each.quantity == "share":
        _ask_for_unit(each, number)
    return text, shown.unit(each.quantity).key


def _is_number(text: str) -> bool:
    """Whether a text is a number and nothing else, such as "23.5" or "1e3"."""
    try:
        units.parse_number(text)
    except InputError:
        return False
    return True


def _spoken_unit(each: Field, words: str, state: "State") -> str:
    """A unit that is not one of the field's own: another way to write one, or for volumes a person's own container."""
    listed = units.units_of(each.quantity)
    for unit in listed:
        if words.casefold() in (unit.key.casefold(), unit.label.casefold()):
            return unit.key
    allowed = ", ".join(unit.key for unit in listed)
    if words in units.all_units():
        raise InputError("unit_of_other_quantity", field=each.name, label=each.label, unit=words, allowed=allowed)
    if each.quantity == "volume":
        pails = {fact.id: str(fact["name"]) for fact in state.all("container")}
        try:
            return CONTAINER + pick(words, pails, "pail")
        except InputError as fault:
            if fault.code == "several_fit":
                raise
            allowed = "; ".join([allowed, *pails.values()])
    raise InputError("unknown_unit", unit=words, known=allowed)


def _ask_for_unit(each: Field, text: str) -> None:
    """A small share without a unit is read two ways by two people, so it is sent back."""
    value = units.parse_number(text)
    if 0 < abs(value) < SMALL_SHARE:
        raise InputError("share_needs_unit", label=each.label, typed=text.strip(), pct=text.strip(), as_pct=f"{100 * value:g}")
