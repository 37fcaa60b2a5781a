"""Numbers as people write them, and display units: one data file, read on first use, converts everywhere in the product."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from unicodedata import normalize

from loamwright import tables
from loamwright.errors import InputError


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one quantity: factor × number + offset is the value in the engine's unit."""

    key: str
    quantity: str
    label: str
    factor: float
    offset: float

    def to_engine(self, number: float) -> float:
        """The value in the engine's unit."""
        return number * self.factor + self.offset

    def from_engine(self, value: float) -> float:
        """The number in this unit of a value in the engine's unit."""
        return (value - self.offset) / self.factor


@cache
def all_units() -> Mapping[str, Unit]:
    """Every unit by its key."""
    rows = tables.load("units", required=("quantity", "label", "factor", "offset"))
    return {row.key: Unit(row.key, row["quantity"], row["label"], row["factor"], row["offset"]) for row in rows}


def unit(key: str) -> Unit:
    """The unit with this key; `InputError` ("unknown_unit") where there is none.

    >>> round(unit("lb").to_engine(10), 7)
    4.5359237
    """
    try:
        return all_units()[key]
    except KeyError:
        raise InputError("unknown_unit", unit=key, known=", ".join(all_units())) from None


def units_of(quantity: str) -> tuple[Unit, ...]:
    """The units a quantity can be given in, engine unit first."""
    return tuple(each for each in all_units().values() if each.quantity == quantity)


def as_table() -> dict[str, dict[str, str | float]]:
    """Every unit as plain data in file order, for the phone: the same table that converts here.

    >>> as_table()["g"]
    {'label': 'g', 'quantity': 'mass', 'factor': 0.001, 'offset': 0.0}
    """
    return {
        each.key: {"label": each.label, "quantity": each.quantity, "factor": each.factor, "offset": each.offset}
        for each in all_units().values()
    }


_NUMBER = re.compile(
    r"""(?P<sign>[-−+]?)\s*
    (?: (?P<whole>\d+)\s+(?P<top>\d+)\s*/\s*(?P<under>\d+)      # 1 1/2
      | (?P<top2>\d+)\s*/\s*(?P<under2>\d+)                     # 1/2
      | (?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+)(?P<power>[eE][-+]?\d+)? )""",
    re.VERBOSE,
)


_VULGAR = re.compile("[¼½¾⅐-⅞]")


def parse_number(text: str) -> float:
    """A number as a person writes it: fractions, a decimal comma or point, never a thousands separator.

    Raises
    ------
    InputError
        "no_number" where the text holds none, "not_a_number" where it cannot be read, "divided_by_zero" for n/0.

    Examples
    --------
    >>> parse_number("1 1/2"), parse_number("0,75"), parse_number(" 3/4 "), parse_number("1,234"), parse_number("2½")
    (1.5, 0.75, 0.75, 1.234, 2.5)
    """
    stripped = text.strip().replace("٫", ".")
    stripped = _VULGAR.sub(lambda found: " " + normalize("NFKC", found[0]).replace("⁄", "/"), stripped).strip()
    if not stripped:
        raise InputError("no_number")
    found = _NUMBER.fullmatch(stripped)
    if found is None:
        raise InputError("not_a_number", typed=text)
    sign = -1.0 if found["sign"] in ("-", "−") else 1.0
    if found["decimal"] is not None:
        value = float(found["decimal"].replace(",", ".") + (found["power"] or ""))
        if value in (float("inf"), float("-inf")):
            raise InputError("not_a_number", typed=text)
        return sign * value
    # As floats: thousands of digits are no number anybody weighs, and Python's whole numbers refuse them.
    under = float(found["under"] or found["under2"])
    if under == 0:
        raise InputError("divided_by_zero", typed=text)
    value = float(found["whole"] or 0) + float(found["top"] or found["top2"]) / under
    if not max(value, under) < float("inf"):
        raise InputError("not_a_number", typed=text)
    return sign * value
