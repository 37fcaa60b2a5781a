"""The vectors of the bench kernels, the Python side that runs them, and the comparison both sides are held to.

Both sides speak plain data: names in camelCase, results as dictionaries and lists, notes and faults as {code, values} with the
names of values as Python has them.
"""

import dataclasses
import importlib
import inspect
import math
import pkgutil
import tomllib
from collections.abc import Callable, Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

from loamwright import units
from loamwright.engine import bench
from loamwright.engine.bench.dose import Dose
from loamwright.engine.bench.weigh_out import SourcePart
from loamwright.errors import InputError
from loamwright.notebook.fields import Field

FILE = Path(__file__).with_name("twin.toml")
MODULES = [importlib.import_module(f"{bench.__name__}.{found.name}") for found in pkgutil.iter_modules(bench.__path__)]
# Public functions of the bench that give no number a phone needs, each with the reason. None today.
NOT_ON_THE_PHONE: Mapping[str, str] = {}


@cache
def vectors() -> Mapping[str, Any]:
    """The whole list."""
    return tomllib.loads(FILE.read_text("utf-8"))


@cache
def kernels() -> Mapping[str, Callable[..., Any]]:
    """Every public function of the bench by its name; a name stands for one function only."""
    found: dict[str, Callable[..., Any]] = {}
    for module in MODULES:
        for name, function in vars(module).items():
            if inspect.isfunction(function) and function.__module__ == module.__name__ and not name.startswith("_"):
                assert name not in found, f"two kernels are called {name}"
                found[name] = function
    return found


def constants() -> Mapping[str, float | list[str]]:
    """Every public number (and list of texts) of the bench by its name."""
    found: dict[str, float | list[str]] = {}
    for module in MODULES:
        for name, value in vars(module).items():
            texts = isinstance(value, tuple) and all(isinstance(each, str) for each in value)
            if name.isupper() and not name.startswith("_") and (isinstance(value, int | float) or texts):
                found[name] = list(value) if isinstance(value, tuple) else value
    return found


def camel(name: str) -> str:
    """A Python name as the phone's modules write it."""
    first, *rest = name.split("_")
    return first + "".join(word.capitalize() for word in rest)


# --- what goes in ---


def typed(text: str) -> float:
    """The engine's value of a number typed with or without a unit key."""
    number, _, key = text.rpartition(" ")
    if key in units.all_units():
        return units.unit(key).to_engine(units.parse_number(number))
    return units.parse_number(text)


def in_python(given: Any) -> Any:
    """What a vector gives, as the kernels take it."""
    if isinstance(given, str):
        return typed(given)
    if isinstance(given, list):
        return [in_python(each) for each in given]
    if isinstance(given, dict):
        if given.keys() == {"text"} and isinstance(given["text"], str):
            return given["text"]
        if given.keys() == {"moment"}:
            return datetime.fromisoformat(given["moment"])
        return {name: in_python(each) for name, each in given.items()}
    return given


def call(kernel: str, arguments: Mapping[str, Any]) -> dict[str, Any]:
    """What a kernel says to plain arguments: {"result": ...}, {"fault": {code, values}}, or {"raised": name} for any other."""
    given = dict(arguments)
    try:
        if "dose" in given:
            given["dose"] = Dose(**given["dose"])
        if kernel == "split_by_parts":
            given["parts"] = [SourcePart(**part) for part in given["parts"]]
        return {"result": plain(kernels()[kernel](**given))}
    except InputError as fault:
        return {"fault": {"code": fault.code, "values": plain_values(fault.values)}}
    except (ArithmeticError, ValueError) as fault:
        return {"raised": type(fault).__name__}


# --- what comes out ---


def plain_values(values: Mapping[str, object]) -> dict[str, object]:
    return {name: value.isoformat() if isinstance(value, datetime) else value for name, value in values.items()}


def plain(found: Any) -> Any:
    """A result as the phone's modules give it."""
    if isinstance(found, tuple | list):
        return [plain(each) for each in found]
    if dataclasses.is_dataclass(found) and not isinstance(found, type):
        names = [each.name for each in dataclasses.fields(found)]
        if names == ["code", "values"]:
            return {"code": found.code, "values": plain_values(found.values)}  # type: ignore[attr-defined]
        return {camel(name): plain(getattr(found, name)) for name in names}
    return found


def field_data(field: Field) -> dict[str, Any]:
    """A field as the bench sheet carries it."""
    same = {name: getattr(field, name) for name in ("name", "label", "kind", "required", "hint", "quantity", "expected")}
    inner = [field_data(each) for each in field.rows]
    return {**same, "options": dict(field.options), "of": list(field.of), "rows": inner}


# --- comparing ---


def differences(one: Any, other: Any, *, within: float = 1e-12, at: str = "") -> list[str]:
    """Where two plain results are not the same; numbers may differ by a share `within` of the larger one."""
    if isinstance(one, dict) and isinstance(other, dict):
        apart = [f"{at}.{name}: on one side only" for name in sorted(one.keys() ^ other.keys())]
        same = sorted(one.keys() & other.keys())
        return apart + [each for name in same for each in differences(one[name], other[name], within=within, at=f"{at}.{name}")]
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = enumerate(zip(one, other, strict=True))
        return [each for place, pair in pairs for each in differences(*pair, within=within, at=f"{at}[{place}]")]
    if is_number(one) and is_number(other):
        return [] if same_number(one, other, within) else [f"{at}: {one!r} and {other!r}"]
    return [] if type(one) is type(other) and one == other else [f"{at}: {one!r} and {other!r}"]


def is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def same_number(one: float, other: float, within: float) -> bool:
    if math.isnan(one) or math.isnan(other):
        return math.isnan(one) and math.isnan(other)
    return one == other or abs(one - other) <= within * max(abs(one), abs(other))


def half_digit(text: str) -> float:
    """Half a unit of the last printed digit, in the engine's unit."""
    number, _, key = text.rpartition(" ")
    printed, unit = (number, units.unit(key)) if key in units.all_units() else (text, None)
    places = len(printed.partition(".")[2])
    return 0.5 * 10.0**-places * (unit.factor if unit else 1.0)


def unlike_print(found: Any, printed: Any, vector: Mapping[str, Any], *, at: str = "") -> list[str]:
    """Where a plain result is not what a vector's source prints."""
    if isinstance(printed, dict) and printed.keys() != {"text"}:
        return [
            each for name, said in printed.items() for each in unlike_print(_part(found, name), said, vector, at=f"{at}.{name}")
        ]
    if isinstance(printed, list):
        if found and isinstance(found[0], dict) and "code" in found[0]:
            found = [note["code"] for note in found]
        if len(found) != len(printed):
            return [f"{at}: {found!r}, printed {printed!r}"]
        pairs = enumerate(zip(found, printed, strict=True))
        return [each for place, pair in pairs for each in unlike_print(*pair, vector, at=f"{at}[{place}]")]
    if isinstance(printed, dict):
        return [] if found == printed["text"] else [f"{at}: {found!r}, printed {printed['text']!r}"]
    if isinstance(found, str):
        return [] if found == printed else [f"{at}: {found!r}, printed {printed!r}"]
    expected = typed(printed)
    allowed = abs(expected) * vector["within"] if "within" in vector else half_digit(printed) * (1 + 1e-9)
    return [] if abs(found - expected) <= allowed else [f"{at}: {found!r}, printed {printed}"]


def _part(found: Any, name: str) -> Any:
    if name == "result" or (name == "notes" and isinstance(found, list)):
        return found
    return found[camel(name)]
