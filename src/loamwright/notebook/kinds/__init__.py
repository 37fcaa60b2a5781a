"""Every kind of entry: its verb, fields, version and upcasters. The set grows; stored bodies are never migrated."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from typing import Any, Literal

from loamwright.errors import InputError
from loamwright.notebook.fields import CONTAINER, Field, understand

Verb = Literal["today", "dig", "shake", "blend", "weigh", "press", "break", "choose", "make"]
VERBS: tuple[Verb, ...] = ("today", "dig", "shake", "blend", "weigh", "press", "break", "choose", "make")
TESTS = (
    *(f"soil_{group}" for group in ("sampling", "feel", "water", "grading", "limits", "swelling", "compaction", "salts")),
    *(f"block_{group}" for group in ("size", "strength", "water", "wear")),
)
"""Modules of kinds that are tests of a soil or a block; their verbs are shake and break."""
Body = dict[str, Any]
Upcast = Callable[[Body], Body]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry.

    Attributes
    ----------
    name : str
        Name in the envelope and in commands (with hyphens there).
    label : str
        What a person calls it; a message key.
    verb : str
        The page group it belongs to.
    fields : tuple of Field
        What it holds.
    bench : bool
        Whether it belongs to the bench, shared by projects.
    upcasters : mapping of int to callable
        From schema k to schema k + 1, pure functions of the body; the newest schema is one above the last.
    asked : bool
        Whether a person fills it in; kinds written only by the program are not offered as a form.
    """

    name: str
    label: str
    verb: Verb
    fields: tuple[Field, ...]
    bench: bool = False
    upcasters: Mapping[int, Upcast] = field(default_factory=dict)
    asked: bool = True

    @property
    def schema(self) -> int:
        """The schema this version of the program writes."""
        return len(self.upcasters) + 1

    def references(self, body: Body) -> set[str]:
        """Ids of other entries named in a stored body, its rows and its container units included."""
        return _references(self.fields, body)


def _references(fields: tuple[Field, ...], body: Body) -> set[str]:
    found: set[str] = set()
    for each in fields:
        value = body.get(each.name)
        if value is None:
            continue
        if each.kind == "ref" and isinstance(value, str):
            found.add(value)
        elif each.kind == "refs" and isinstance(value, list):
            found.update(item for item in value if isinstance(item, str))
        elif each.kind == "rows" and isinstance(value, list):
            found.update(*(_references(each.rows, row) for row in value if isinstance(row, dict)))
        elif each.kind in ("quantity", "quantities"):
            amounts = value if isinstance(value, list) else [value]
            keys = [str(item.get("unit", "")) for item in amounts if isinstance(item, dict)]
            found.update(key.removeprefix(CONTAINER) for key in keys if key.startswith(CONTAINER))
    return found


@cache
def kinds() -> Mapping[str, Kind]:
    """Every kind by its name, in the order of the work."""
    found: dict[str, Kind] = {}
    for module in ("bench", *VERBS, *TESTS):
        for kind in import_module(f"loamwright.notebook.kinds.{module}_kinds").KINDS:
            if kind.name in found:
                raise ValueError(f"two kinds are called {kind.name}")
            found[kind.name] = kind
    return found


def kind_named(name: str) -> Kind:
    """The kind with this name; `InputError` ("unknown_kind") where this version knows none."""
    try:
        return kinds()[name]
    except KeyError:
        raise InputError("unknown_kind", kind=name) from None


def read(name: str, schema: int, body: Body) -> Body:
    """Values of a stored body, brought up to the newest schema first: the one way from an entry to its values.

    Raises
    ------
    InputError
        "unknown_kind", "newer_schema", "field_missing", "field_not_understood", "unknown_unit": kept, shown, not computed.
    """
    kind = kind_named(name)
    if schema > kind.schema:
        raise InputError("newer_schema", kind=name, schema=schema, known=kind.schema)
    return understand(kind.fields, _raised(kind, schema, body) if schema < kind.schema else body)


def _raised(kind: Kind, schema: int, body: Body) -> Body:
    """A body of an old form in the newest one; a body its upcaster cannot read is not understood."""
    try:
        for step in range(schema, kind.schema):
            body = kind.upcasters[step](body)
    except (KeyError, TypeError, ValueError, AttributeError) as fault:
        raise InputError("field_not_understood", field=str(fault), label=kind.label, found=str(body)[:80]) from fault
    return body
