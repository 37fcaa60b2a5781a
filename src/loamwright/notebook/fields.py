"""Fields of an entry: one list per kind drives form, command options, grid and validation.

A body keeps what was typed beside its number and unit; nothing is converted here. Doors parse (`parse`), the fold reads
(`understand`); neither knows what a value should be, only what it can be.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date as day
from typing import Any, Literal

from loamwright import units
from loamwright.errors import InputError
from loamwright.notebook.sense import check_sense, check_year

FieldKind = Literal[
    "text", "choice", "number", "whole", "quantity", "quantities", "flag", "date", "moment", "ref", "refs", "rows", "told"
]
CONTAINER = "container:"
Raw = Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with its unit (or container) as it was typed. Plain numbers have the unit "1"."""

    number: float
    unit: str
    typed: str

    @property
    def engine(self) -> float:
        """The value in the engine's unit; only for fixed units, a container is turned by the project."""
        return self.number if self.unit == "1" else units.unit(self.unit).to_engine(self.number)

    @property
    def container(self) -> str:
        """Entity id of the container this is counted in, or an empty text."""
        return self.unit.removeprefix(CONTAINER) if self.unit.startswith(CONTAINER) else ""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing asked. `label` and `hint` are message keys in English that the doors translate."""

    name: str
    label: str
    kind: FieldKind
    required: bool = False
    hint: str = ""
    quantity: str = ""
    options: Mapping[str, str] = field(default_factory=dict)
    of: tuple[str, ...] = ()
    rows: tuple["Field", ...] = ()
    expected: int = 1


def text(name: str, label: str, *, required: bool = False, hint: str = "") -> Field:
    """Free text."""
    return Field(name, label, "text", required, hint)


def choice(name: str, label: str, options: Mapping[str, str], *, required: bool = False, hint: str = "") -> Field:
    """One of a closed list of taps."""
    return Field(name, label, "choice", required, hint, options=options)


def number(name: str, label: str, *, required: bool = False, hint: str = "") -> Field:
    """A plain number without unit."""
    return Field(name, label, "number", required, hint)


def whole(name: str, label: str, *, required: bool = False, hint: str = "") -> Field:
    """A whole number, such as a count."""
    return Field(name, label, "whole", required, hint)


def quantity(name: str, label: str, of: str, *, required: bool = False, hint: str = "") -> Field:
    """A number with a unit of the named quantity (mass, length, volume, pressure, ...)."""
    return Field(name, label, "quantity", required, hint, quantity=of)


def quantities(name: str, label: str, of: str, expected: int, *, required: bool = False, hint: str = "") -> Field:
    """Several numbers with one unit, such as three weighings."""
    return Field(name, label, "quantities", required, hint, quantity=of, expected=expected)


def flag(name: str, label: str, *, hint: str = "") -> Field:
    """Yes or no; absent means not said."""
    return Field(name, label, "flag", False, hint)


def date(name: str, label: str, *, required: bool = False, hint: str = "") -> Field:
    """A day, YYYY-MM-DD."""
    return Field(name, label, "date", required, hint)


def moment(name: str, label: str, *, required: bool = False, hint: str = "") -> Field:
    """A day and time of the local clock, YYYY-MM-DDTHH:MM."""
    return Field(name, label, "moment", required, hint)


def ref(name: str, label: str, *of: str, required: bool = False, hint: str = "") -> Field:
    """Another entity of one of the given kinds (no kind: any entry)."""
    return Field(name, label, "ref", required, hint, of=of)


def refs(name: str, label: str, *of: str, required: bool = False, hint: str = "") -> Field:
    """Several entities of the given kinds (no kind: any entries)."""
    return Field(name, label, "refs", required, hint, of=of)


def rows(name: str, label: str, *fields: Field, required: bool = False, hint: str = "", expected: int = 1) -> Field:
    """A short table, such as parts of a blend; one whose rows name no entity is asked with `expected` rows or more."""
    return Field(name, label, "rows", required, hint, rows=fields, expected=expected)


def told(name: str, label: str) -> Field:
    """Figures as they were shown to a person, written by the program with the tap that showed them; never asked."""
    return Field(name, label, "told")


# --- from what was typed to a body -------------------------------------------------------------------------------------

_DATE = re.compile(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])")
_ROW = re.compile(r"([0-9]{1,4})-")
_MOMENT = re.compile(_DATE.pattern + r"T([01]\d|2[0-3]):[0-5]\d")


def _is_day(text_of_day: str) -> bool:
    """Whether a text is a day of the calendar, so that 31 February is asked about and not computed with."""
    if not _DATE.fullmatch(text_of_day):
        return False
    try:
        day.fromisoformat(text_of_day)
    except ValueError:
        return False
    return True


@dataclass(frozen=True, slots=True)
class Parsed:
    """A body of all that could be read, and a fault for each field that could not."""

    body: dict[str, Any]
    faults: dict[str, InputError]


def parse(fields: Sequence[Field], raw: Raw) -> Parsed:
    """A body from typed texts (a form, command options, a grid row); only what cannot be read is a fault.

    A quantity's unit stands under "<name>_unit"; rows under "<name>-<i>-<field>", where a unit holds for later rows too.

    >>> parse([quantity("mass", "Mass", "mass")], {"mass": ["1 1/2"], "mass_unit": ["kg"]}).body
    {'mass': {'typed': '1 1/2', 'number': 1.5, 'unit': 'kg'}}
    """
    body: dict[str, Any] = {}
    faults: dict[str, InputError] = {}
    for each in fields:
        try:
            value = _PARSERS[each.kind](each, raw)
        except InputError as fault:
            faults[each.name] = fault
            continue
        if value is not None:
            body[each.name] = value
        elif each.required:
            faults[each.name] = InputError("missing_field", field=each.name, label=each.label)
    return Parsed(body, faults)


def first_text(raw: Raw, name: str) -> str:
    """The first text typed under a name, as it was typed; empty where there is none."""
    return (raw.get(name) or ("",))[0]


def _first(raw: Raw, name: str) -> str:
    return first_text(raw, name).strip()


def _parse_text(each: Field, raw: Raw) -> str | None:
    return _first(raw, each.name) or None


def _parse_choice(each: Field, raw: Raw) -> str | None:
    value = _first(raw, each.name)
    if value and value not in each.options:
        raise InputError("unknown_choice", field=each.name, label=each.label, typed=value, allowed=", ".join(each.options))
    return value or None


def _parse_number(each: Field, raw: Raw) -> dict[str, Any] | None:
    typed = _first(raw, each.name)
    return {"typed": typed, "number": units.parse_number(typed)} if typed else None


def _parse_whole(each: Field, raw: Raw) -> int | None:
    typed = _first(raw, each.name)
    if not typed:
        return None
    value = units.parse_number(typed)
    if value != int(value) or abs(value) > 1e9:
        raise InputError("not_whole", field=each.name, label=each.label, typed=typed)
    return int(value)


def _unit_key(each: Field, raw: Raw) -> str:
    key = _first(raw, f"{each.name}_unit")
    if key.startswith(CONTAINER) and each.quantity == "volume":
        return key
    if not key:
        raise InputError("unit_missing", field=each.name, label=each.label, allowed=_unit_list(each))
    if units.unit(key).quantity != each.quantity:
        raise InputError("unit_of_other_quantity", field=each.name, label=each.label, unit=key, allowed=_unit_list(each))
    return key


def _unit_list(each: Field) -> str:
    return ", ".join(unit.key for unit in units.units_of(each.quantity))


def split_unit(typed: str, key: str, quantity_name: str) -> tuple[str, str]:
    """The number text and unit key of "6.4 lb" typed into one field; the given key where no unit was typed."""
    stripped = typed.strip()
    names = [(name, unit.key) for unit in units.units_of(quantity_name) for name in (unit.key, unit.label)]
    for name, own_key in sorted(names, key=lambda pair: -len(pair[0])):
        if stripped.endswith(name) and stripped != name and not stripped[-len(name) - 1].isalpha():
            return stripped.removesuffix(name).strip(), own_key
    return stripped, key


def _parse_quantity(each: Field, raw: Raw) -> dict[str, Any] | None:
    typed, own_unit = split_unit(_first(raw, each.name), "", each.quantity)
    if not typed:
        return None
    value = units.parse_number(typed)
    return {"typed": typed, "number": value, "unit": own_unit or _unit_key(each, raw)}


def _parse_quantities(each: Field, raw: Raw) -> list[dict[str, Any]] | None:
    texts = [part for value in raw.get(each.name, ()) for part in value.split(";") if part.strip()]
    found = []
    for part in texts:
        typed, own_unit = split_unit(part, "", each.quantity)
        found.append({"typed": typed, "number": units.parse_number(typed), "unit": own_unit or _unit_key(each, raw)})
    return found or None


def _parse_flag(each: Field, raw: Raw) -> bool | None:
    value = _first(raw, each.name).lower()
    if value not in ("", "yes", "no", "on", "true", "false"):
        raise InputError("unknown_choice", field=each.name, label=each.label, typed=value, allowed="yes, no")
    return None if not value else value in ("yes", "on", "true")


def _parse_date(each: Field, raw: Raw) -> str | None:
    value = _first(raw, each.name)
    if value and not _is_day(value):
        raise InputError("not_a_date", field=each.name, label=each.label, typed=value)
    return value or None


def _parse_moment(each: Field, raw: Raw) -> str | None:
    value = _first(raw, each.name)
    if value and not (_MOMENT.fullmatch(value) and _is_day(value[:10])):
        raise InputError("not_a_moment", field=each.name, label=each.label, typed=value)
    return value or None


def _parse_ref(each: Field, raw: Raw) -> str | None:
    return _first(raw, each.name) or None


def _parse_refs(each: Field, raw: Raw) -> list[str] | None:
    return [part for value in raw.get(each.name, ()) for part in value.replace(",", " ").split()] or None


def _parse_rows(each: Field, raw: Raw) -> list[dict[str, Any]] | None:
    prefix = f"{each.name}-"
    matches = (_ROW.match(key.removeprefix(prefix)) for key in raw if key.startswith(prefix))
    numbers = sorted({int(match[1]) for match in matches if match})
    found = []
    units_above: dict[str, Sequence[str]] = {}  # a unit stands once at the head of a table and holds down to the next
    for index in numbers:
        at_row = f"{prefix}{index}-"
        inner = {key.removeprefix(at_row): value for key, value in raw.items() if key.startswith(at_row)}
        units_above.update({key: value for key, value in inner.items() if key.endswith("_unit") and _first(inner, key)})
        inner = {**units_above, **inner}
        typed_in = [inner.get(sub.name) for sub in each.rows if sub.kind not in ("ref", "refs")]
        if not any(value and value[0].strip() for value in typed_in if value):
            continue
        parsed = parse(each.rows, inner)
        for name, fault in parsed.faults.items():
            raise InputError(fault.code, **{**fault.values, "row": index + 1, "field": name})
        found.append(parsed.body)
    return found or None


def _parse_told(each: Field, raw: Raw) -> None:
    return None


_PARSERS: Mapping[FieldKind, Callable[[Field, Raw], Any]] = {
    "text": _parse_text,
    "choice": _parse_choice,
    "number": _parse_number,
    "whole": _parse_whole,
    "quantity": _parse_quantity,
    "quantities": _parse_quantities,
    "flag": _parse_flag,
    "date": _parse_date,
    "moment": _parse_moment,
    "ref": _parse_ref,
    "refs": _parse_refs,
    "rows": _parse_rows,
    "told": _parse_told,
}


# --- from a stored body to values --------------------------------------------------------------------------------------


_OWN_SENTENCE = ("unknown_unit", "beyond_sense", "year_beyond_sense")


def understand(fields: Sequence[Field], body: Mapping[str, Any]) -> dict[str, Any]:
    """Typed values of a stored body: numbers become `Amount`; anything the field list does not know is left out.

    Raises
    ------
    InputError
        "field_missing", "field_not_understood", "unknown_unit", "beyond_sense" or "year_beyond_sense": the entry is kept
        and shown, and left out of every sum.
    """
    values: dict[str, Any] = {}
    for each in fields:
        stored = body.get(each.name)
        if stored is None:
            if each.required:
                raise InputError("field_missing", field=each.name, label=each.label)
            continue
        try:
            values[each.name] = _READERS[each.kind](each, stored)
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as fault:
            if isinstance(fault, InputError) and fault.code in _OWN_SENTENCE:
                raise
            raise InputError("field_not_understood", field=each.name, label=each.label, found=str(stored)[:80]) from fault
    return values


def _amount(each: Field, stored: Any) -> Amount:
    number, typed = stored["number"], stored["typed"]
    if type(number) not in (int, float) or type(typed) is not str:
        raise TypeError(stored)
    if each.kind == "number":
        check_sense("count", float(number), label=each.label, typed=typed, unit="")
        return Amount(float(number), "1", typed)
    unit = stored["unit"]  # a quantity without its unit is not understood, never taken as the engine's
    known = units.all_units().get(unit)
    if known is None and not (unit.startswith(CONTAINER) and each.quantity == "volume"):
        known = units.unit(unit)
    if known is not None and known.quantity != each.quantity:
        raise TypeError(unit)
    found = Amount(float(number), unit, typed)
    engine, of = (found.number, "count") if known is None else (known.to_engine(found.number), each.quantity)
    check_sense(of, engine, label=each.label, typed=typed, unit=unit)
    return found


def _read_whole(each: Field, stored: Any) -> int:
    if type(stored) is not int:
        raise TypeError(stored)
    check_sense("count", float(stored), label=each.label, typed=str(stored), unit="")
    return stored


def _read_list(read: Callable[[Field, Any], Any]) -> Callable[[Field, Any], tuple[Any, ...]]:
    def read_all(each: Field, stored: Any) -> tuple[Any, ...]:
        if type(stored) is not list:  # a text would be taken apart into letters
            raise TypeError(stored)
        return tuple(read(each, item) for item in stored)

    return read_all


def _typed(kind: type) -> Callable[[Field, Any], Any]:
    def read(each: Field, stored: Any) -> Any:
        if type(stored) is not kind:
            raise TypeError(stored)
        return stored

    return read


def _read_choice(each: Field, stored: Any) -> str:
    if stored not in each.options:
        raise ValueError(stored)
    return str(stored)


def _read_date(each: Field, stored: Any) -> str:
    if not (_is_day(stored) if each.kind == "date" else _MOMENT.fullmatch(stored) and _is_day(stored[:10])):
        raise ValueError(stored)
    check_year(stored, label=each.label)
    return str(stored)


_READERS: Mapping[FieldKind, Callable[[Field, Any], Any]] = {
    "text": _typed(str),
    "choice": _read_choice,
    "number": _amount,
    "whole": _read_whole,
    "quantity": _amount,
    "quantities": _read_list(_amount),
    "flag": _typed(bool),
    "date": _read_date,
    "moment": _read_date,
    "ref": _typed(str),
    "refs": _read_list(_typed(str)),
    "rows": _read_list(lambda each, row: understand(each.rows, row)),
    "told": lambda each, stored: stored,
}
