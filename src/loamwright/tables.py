"""Reading of data files: each is read once, checked, and handed out read-only with its source."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

STANDINGS = ("document", "second-hand", "memory", "judgement", "derived", "common practice")


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a data file: its key, its columns, and how its figure is known."""

    key: str
    columns: Mapping[str, Any]
    source: str
    standing: str

    def __getitem__(self, column: str) -> Any:
        return self.columns[column]

    def get(self, column: str, otherwise: Any = None) -> Any:
        """The column, or the given stand-in where the row has none."""
        return self.columns.get(column, otherwise)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of one data file in file order, found by key."""

    name: str
    title: str
    rows: tuple[Row, ...]

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def __getitem__(self, key: str) -> Row:
        for row in self.rows:
            if row.key == key:
                return row
        raise KeyError(f"{self.name} has no row {key!r}")


def text(name: str) -> str:
    """The text of one file of the package's data folder, such as "units.toml"."""
    return resources.files("loamwright.data").joinpath(name).read_text("utf-8")


@cache
def document(name: str) -> Mapping[str, Any]:
    """A whole TOML file of the data folder, read-only at its top."""
    return MappingProxyType(tomllib.loads(text(f"{name}.toml")))


@cache
def load(name: str, *, required: Sequence[str] = ()) -> Table:
    """The `[[row]]` table of a TOML data file; every row has key, source and standing, and the required columns.

    Raises
    ------
    ValueError
        If a row lacks a column, repeats a key, or names an unknown standing: a fault of the package, not of a user.

    Examples
    --------
    >>> load("units")["kg"]["quantity"]
    'mass'
    """
    whole = document(name)
    rows: list[Row] = []
    for columns in whole["row"]:
        missing = {"key", "source", "standing", *required} - columns.keys()
        if missing:
            raise ValueError(f"{name}.toml, row {columns.get('key', len(rows) + 1)}: no {', '.join(sorted(missing))}")
        if columns["standing"] not in STANDINGS:
            raise ValueError(f"{name}.toml, row {columns['key']}: unknown standing {columns['standing']!r}")
        rows.append(Row(columns["key"], MappingProxyType(columns), columns["source"], columns["standing"]))
    if len({row.key for row in rows}) != len(rows):
        raise ValueError(f"{name}.toml: two rows have one key")
    return Table(name, whole["title"], tuple(rows))


def figure(name: str, key: str, *, required: Sequence[str] = ()) -> float:
    """The single figure of one row of a data file: its column `value`, in the unit of the row.

    >>> figure("evidence", "power")
    0.8
    """
    return float(load(name, required=("value", *required))[key]["value"])
