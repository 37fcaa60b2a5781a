"""One name, one meaning: every quantity the engine takes or gives stands in the glossary, every source in the references."""

import ast
import importlib
import inspect
import pkgutil
import re
import tomllib
import typing
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import loamwright
import loamwright.engine as engine
from loamwright.formula import Formula

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "loamwright"
GLOSSARY = {
    line.split("|")[1].strip(): line.split("|")[3].strip()
    for line in (ROOT / "docs" / "glossary.md").read_text("utf-8").splitlines()
    if line.startswith("| ") and not line.startswith("|---")
}
REFERENCES = set(re.findall(r"^### (\S+)$", (ROOT / "docs" / "references.md").read_text("utf-8"), re.MULTILINE))


def modules(package: ModuleType) -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
        if "migrations" not in found.name and not found.name.endswith("__main__"):
            yield importlib.import_module(found.name)


ENGINE = [module for module in modules(engine) if not hasattr(module, "__path__")]


def is_number(annotation: Any) -> bool:
    """Whether an annotation is a number, an array of numbers, or several of them: what the glossary calls a quantity."""
    text = annotation if isinstance(annotation, str) else getattr(annotation, "__name__", str(annotation))
    text = text.replace(" | None", "").strip()
    return text in ("float", "Numbers", "FloatArray") or text in ("Sequence[float]", "ArrayLike", "np.ndarray")


def public_functions(module: ModuleType) -> Iterator[tuple[str, Callable[..., Any]]]:
    for name, found in vars(module).items():
        if inspect.isfunction(found) and found.__module__ == module.__name__ and not name.startswith("_"):
            yield name, found


def quantities() -> Iterator[tuple[str, str]]:
    """Every parameter of a public function of the engine that is a number, with where it stands."""
    for module in ENGINE:
        for name, function in public_functions(module):
            for parameter in inspect.signature(function).parameters.values():
                if is_number(parameter.annotation):
                    yield parameter.name, f"{module.__name__}.{name}"


QUANTITIES = list(quantities())


def test_the_engine_is_really_read() -> None:
    assert len(ENGINE) > 25 and len(QUANTITIES) > 200


def test_every_quantity_taken_stands_in_the_glossary() -> None:
    missing: dict[str, str] = {}
    for name, place in QUANTITIES:
        if name not in GLOSSARY:
            missing[name] = place
    assert missing == {}


def formulas() -> Iterator[tuple[str, Formula]]:
    for module in modules(loamwright):
        for name, found in vars(module).items():
            if isinstance(found, Formula):
                yield f"{module.__name__}.{name}", found


FORMULAS = dict(formulas())
# How units are written in formulas and in the glossary.
SAME_UNIT = {"m3": "m³", "kg/m3": "kg/m³", "kN/m3": "kN/m³", "degC": "°C", "mm2": "mm²", "m2": "m²", "mm3": "mm³"}


@pytest.mark.parametrize("place", FORMULAS)
def test_a_formula_speaks_the_words_of_the_glossary(place: str) -> None:
    formula = FORMULAS[place]
    assert formula.source in REFERENCES, f"source {formula.source}"
    said = {formula.name: formula.unit, **{term.name: term.unit for term in formula.terms.values()}}
    assert [name for name in said if name not in GLOSSARY] == []
    differing = {
        name: (unit, GLOSSARY[name])
        for name, unit in said.items()
        if GLOSSARY[name] not in (unit, SAME_UNIT.get(unit, unit), "-")
    }
    assert differing == {}
    names = {node.id for node in ast.walk(ast.parse(formula.expression, mode="eval")) if isinstance(node, ast.Name)}
    assert set(formula.terms) <= names, "a symbol that the expression does not use"


def sources_in(data: Any) -> Iterator[str]:
    """Every value of a key "source" (or "sources"), however deep."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key == "source" and isinstance(value, str):
                yield value
            elif key == "sources" and isinstance(value, list):
                yield from (each for each in value if isinstance(each, str))
            else:
                yield from sources_in(value)
    elif isinstance(data, list):
        for each in data:
            yield from sources_in(each)


# In the demo a "source" is a pile of soil; in published cases it is the place in print, said in words for a reader.
OTHER_SOURCES = ("demo.toml", "cases")
DATA_FILES = [
    path
    for path in sorted((PACKAGE / "data").rglob("*.toml"))
    if path.name not in OTHER_SOURCES and path.parent.name not in OTHER_SOURCES
]


@pytest.mark.parametrize("path", DATA_FILES, ids=lambda path: path.name)
def test_every_source_of_a_data_file_resolves(path: Path) -> None:
    assert sorted(set(sources_in(tomllib.loads(path.read_text("utf-8")))) - REFERENCES) == []


def test_every_source_given_to_a_number_resolves() -> None:
    """`Given(..., source="key")`, where a stand-in is taken from a data file or from habit."""
    unknown = {}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Given":
                for each in node.keywords:
                    if each.arg == "source" and isinstance(each.value, ast.Constant) and each.value.value not in REFERENCES:
                        unknown[each.value.value] = f"{path.name}:{node.lineno}"
    assert unknown == {}


def test_public_functions_of_the_engine_are_typed_and_described() -> None:
    bare = [
        f"{module.__name__}.{name}"
        for module in ENGINE
        for name, function in public_functions(module)
        if not function.__doc__ or "return" not in typing.get_type_hints(function)
    ]
    assert bare == []
