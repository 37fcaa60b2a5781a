"""Names with units: how a case file names what goes in and what comes out, and how its numbers become engine units."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Literal

from loamwright import tables, units
from loamwright.errors import InputError

Shape = Literal["number", "text"]
Value = float | str | tuple[float, ...] | tuple[str, ...] | tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Named:
    """One input or output of an operation.

    Attributes
    ----------
    name : str
        Name in the case file; a unit follows it as a suffix ("span_mm", "span_in") unless `bare` says it may stand alone.
    quantity : str
        mass, length, share, ...; empty for a plain number or a text.
    bare : str
        Unit where the name carries no suffix; empty where a suffix is needed.
    many : bool
        Whether a list is allowed.
    shape : str
        "number" or "text".
    about : str
        What it is, in words.
    optional : bool
        Whether a case may leave it out.
    rows : bool
        Whether it is a list of lists, such as results by group.
    """

    name: str
    quantity: str = ""
    bare: str = ""
    many: bool = False
    shape: Shape = "number"
    about: str = ""
    optional: bool = False
    rows: bool = False

    def called(self, name: str) -> "Named":
        """The same quantity under another name."""
        return replace(self, name=name)

    @property
    def written(self) -> tuple[str, ...]:
        """Every name this can have in a case file."""
        if not self.quantity:
            return (self.name,)
        suffixed = tuple(f"{self.name}_{suffix}" for suffix in suffixes(self.quantity))
        return (self.name, *suffixed) if self.bare else suffixed

    def unit_in(self, written: str) -> units.Unit | None:
        """The unit a written name carries; None for plain numbers and texts.

        Raises
        ------
        InputError
            "case_name_unknown" where the name is not this one.
        """
        if written not in self.written:
            raise InputError("case_name_unknown", name=written)
        if not self.quantity:
            return None
        suffix = self.bare if written == self.name else written.removeprefix(f"{self.name}_")
        return suffixes(self.quantity)[suffix]


@cache
def suffixes(quantity: str) -> Mapping[str, units.Unit]:
    """Unit suffixes of a quantity: the product's own units, and those only reports use.

    >>> round(suffixes("length")["um"].to_engine(2), 6), suffixes("density")["pcf"].label
    (0.002, 'lb/ft³')
    """
    found = {unit.key: unit for unit in units.units_of(quantity)}
    for row in tables.load("verify_units", required=("quantity",)):
        if row["quantity"] == quantity:
            same = row.get("same_as")
            found[row.key] = units.unit(same) if same else units.Unit(row.key, quantity, row.key, row["factor"], row["offset"])
    return found


@dataclass(frozen=True, slots=True)
class Given:
    """The inputs of one case in engine units, and as they were written with their unit ("2um")."""

    values: Mapping[str, Value]
    labels: Mapping[str, tuple[str, ...]]

    def __contains__(self, name: str) -> bool:
        return name in self.values

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def get(self, name: str) -> Any:
        """An input that may be left out, or None."""
        return self.values.get(name)


def read_inputs(wanted: tuple[Named, ...], raw: Mapping[str, Any]) -> Given:
    """Inputs of a case in engine units.

    Raises
    ------
    InputError
        "case_name_unknown", "case_name_twice", "case_input_missing", "case_value_not_read": nothing is guessed or passed over.
    """
    values: dict[str, Value] = {}
    labels: dict[str, tuple[str, ...]] = {}
    for written, stored in raw.items():
        named = find(wanted, written)
        if named.name in values:
            raise InputError("case_name_twice", name=named.name)
        unit = named.unit_in(written)
        values[named.name] = _read(named, written, stored, unit)
        items = [] if named.rows else stored if isinstance(stored, list) else [stored]
        labels[named.name] = tuple(f"{item:g}{_suffix(named, written)}" for item in items if not isinstance(item, str))
    missing = [" or ".join(each.written[:4]) for each in wanted if each.name not in values and not each.optional]
    if missing:
        raise InputError("case_input_missing", missing=", ".join(missing))
    return Given(values, labels)


def _suffix(named: Named, written: str) -> str:
    return named.bare if written == named.name else written.removeprefix(f"{named.name}_")


def find(wanted: tuple[Named, ...], written: str) -> Named:
    """The input or output a written name belongs to; `InputError` ("case_name_unknown") where there is none."""
    for named in wanted:
        if written in named.written:
            return named
    raise InputError("case_name_unknown", name=written)


def _read(named: Named, written: str, stored: Any, unit: units.Unit | None) -> Value:
    if named.rows:
        if not isinstance(stored, list) or not stored or not all(isinstance(row, list) and row for row in stored):
            raise InputError("case_value_not_read", name=written, found=str(stored)[:60])
        return tuple(tuple(_one(named, written, item, unit) for item in row) for row in stored)  # type: ignore[return-value]
    if isinstance(stored, list):
        if not named.many or not stored:
            raise InputError("case_value_not_read", name=written, found=str(stored)[:60])
        return tuple(_one(named, written, item, unit) for item in stored)  # type: ignore[return-value]
    return _one(named, written, stored, unit)


def _one(named: Named, written: str, stored: Any, unit: units.Unit | None) -> float | str:
    if named.shape == "text" and isinstance(stored, str):
        return stored
    if named.shape == "number" and type(stored) in (int, float):
        return float(stored) if unit is None else unit.to_engine(stored)
    raise InputError("case_value_not_read", name=written, found=str(stored)[:60])
