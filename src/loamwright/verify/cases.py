"""Reading of case files: the shipped ones and a laboratory's own."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

from loamwright.errors import InputError

FACT = "fact"


@dataclass(frozen=True, slots=True)
class Case:
    """One case: what goes in, what was published, how far apart the two may lie, and where it comes from.

    Attributes
    ----------
    id, topic, title, kind, source, known, note : str
        As in the file; `kind` is "external" or "definition", `known` says how the figures are known.
    operation : str
        What to compute; "fact" for a figure that is listed and not computed; empty where the file names none.
    inputs, expected, tolerance : mapping
    """

    id: str
    topic: str
    title: str
    kind: str
    source: str
    known: str
    note: str
    operation: str
    inputs: Mapping[str, Any]
    expected: Mapping[str, Any]
    tolerance: Mapping[str, Any]


def read_cases(text: str, *, name: str) -> tuple[Case, ...]:
    """Cases of one TOML text, in file order.

    Raises
    ------
    InputError
        "cases_not_read" with the reason: not TOML, no cases, a case without id or expected figures, one id twice.
    """
    try:
        rows = tomllib.loads(text).get("case")
    except tomllib.TOMLDecodeError as fault:
        raise InputError("cases_not_read", file=name, reason=str(fault)) from fault
    if not isinstance(rows, list) or not rows:
        raise InputError("cases_not_read", file=name, reason="there is no [[case]] in it")
    cases = tuple(_case(row, number, name) for number, row in enumerate(rows, 1))
    seen: set[str] = set()
    for case in cases:
        if case.id in seen:
            raise InputError("cases_not_read", file=name, reason=f"two cases are called {case.id}")
        seen.add(case.id)
    return cases


def _case(row: Any, number: int, name: str) -> Case:
    if not isinstance(row, dict) or not isinstance(row.get("id"), str) or not row["id"]:
        raise InputError("cases_not_read", file=name, reason=f"case {number} has no id")
    parts = {part: row.get(part, {}) for part in ("inputs", "expected", "tolerance")}
    if not all(isinstance(part, dict) for part in parts.values()) or not parts["expected"]:
        raise InputError("cases_not_read", file=name, reason=f"case {row['id']} has no expected figures")
    words = {key: str(row.get(key, "")) for key in ("topic", "title", "kind", "source", "known", "note", "operation")}
    return Case(id=row["id"], **words, **parts)  # type: ignore[arg-type]


def shipped_cases() -> tuple[Case, ...]:
    """Every case that ships with the program, file by file.

    >>> "sediment-01" in {case.id for case in shipped_cases()}
    True
    """
    folder = resources.files("loamwright.data").joinpath("cases")
    files = sorted((entry for entry in folder.iterdir() if entry.name.endswith(".toml")), key=lambda entry: entry.name)
    return tuple(case for file in files for case in read_cases(file.read_text("utf-8"), name=file.name))
