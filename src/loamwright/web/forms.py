"""A kind's field list as the fields of a form: what was typed stays, the last unit and the remembered tare are offered."""

from collections.abc import Mapping, Sequence
from typing import Any

from loamwright.errors import InputError
from loamwright.notebook.fields import CONTAINER, Field
from loamwright.notebook.kinds import Kind
from loamwright.project.state import State
from loamwright.units import units_of
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

Raw = Mapping[str, Sequence[str]]
_PIECE = {"quantity": "number", "quantities": "numbers", "ref": "choice", "refs": "several", "moment": "moment"}


def form_fields(
    state: State,
    kind: Kind,
    shown: Shown,
    *,
    raw: Raw | None = None,
    faults: Mapping[str, InputError] | None = None,
    preset: Mapping[str, str] | None = None,
    only: Sequence[str] | None = None,
) -> list[dict[str, Any]]:
    """Fields for the reading piece; fields preset by the page are left to `hidden`."""
    found: list[dict[str, Any]] = []
    for each in kind.fields:
        if each.kind == "told" or each.name in (preset or {}) or (only is not None and each.name not in only):
            continue
        found.extend(_field(state, each, shown, raw or {}, faults or {}))
    return found


def _field(state: State, each: Field, shown: Shown, raw: Raw, faults: Mapping[str, InputError]) -> list[dict[str, Any]]:
    if each.kind == "rows":
        return _rows(state, each, shown, raw, faults)
    typed = list(raw.get(each.name, ()))
    piece: dict[str, Any] = {
        "name": each.name,
        "label": each.label,
        "kind": _PIECE.get(each.kind, each.kind),
        "hint": each.hint,
        "if_known": not each.required and each.kind not in ("flag", "choice"),
        "value": typed if each.kind in ("quantities", "refs") else (typed[0] if typed else ""),
        "error": of_fault(faults[each.name]) if each.name in faults else None,
        "count": each.expected,
    }
    if each.kind in ("quantity", "quantities"):
        options = unit_options(state, each.quantity)
        piece["unit_options"] = options
        piece["unit"] = (raw.get(f"{each.name}_unit") or [shown.unit(each.quantity).key])[0]
    elif each.kind == "choice":
        piece["options"] = list(each.options.items())
    elif each.kind in ("ref", "refs"):
        piece["options"] = ref_options(state, each)
        if len(piece["options"]) == 1 and each.required and not typed:
            piece["value"] = piece["options"][0][0]
    return [piece]


def unit_options(state: State, quantity: str) -> list[tuple[str, str]]:
    """Units of a quantity; for volumes a person's own containers too."""
    options = [(unit.key, unit.label) for unit in units_of(quantity)]
    if quantity == "volume":
        options += [(CONTAINER + fact.id, str(fact["name"])) for fact in state.all("container") if "volume" in fact.values]
    return options


def ref_options(state: State, each: Field) -> list[tuple[str, str]]:
    """Entities a reference can name, newest last."""
    return [(fact.id, name_of(state, fact.id)) for kind in each.of for fact in state.all(kind)]


def _rows(state: State, each: Field, shown: Shown, raw: Raw, faults: Mapping[str, InputError]) -> list[dict[str, Any]]:
    """One row a possible entity: its reference sent hidden, its other fields asked under the entity's name."""
    refs = [sub for sub in each.rows if sub.kind == "ref"]
    asked = [sub for sub in each.rows if sub.kind != "ref"]
    found: list[dict[str, Any]] = []
    typed_at = {value[0]: name.split("-")[1] for name, value in raw.items() if value and name.endswith(f"-{refs[0].name}")}
    for index, (entity, label) in enumerate(ref_options(state, refs[0])):
        was = f"{each.name}-{typed_at.get(entity, 'none')}-"
        for sub in asked:
            name = f"{each.name}-{index}-{sub.name}"
            inner = Field(name, f"{label}: {sub.label.lower()}", sub.kind, False, sub.hint, sub.quantity, sub.options)
            typed = {f"{name}{tail}": raw[f"{was}{sub.name}{tail}"] for tail in ("", "_unit") if f"{was}{sub.name}{tail}" in raw}
            found.extend(_field(state, inner, shown, typed, {}))
        found.append({"kind": "hidden", "name": f"{each.name}-{index}-{refs[0].name}", "value": entity})
    if found and each.name in faults:
        found[0]["error"] = of_fault(faults[each.name])
    return found


def raw_of_body(kind: Kind, body: Mapping[str, Any]) -> dict[str, list[str]]:
    """A stored body as it would be typed again, to correct it."""
    raw: dict[str, list[str]] = {}
    for each in kind.fields:
        if each.name in body:
            _raw_of_value(raw, each, each.name, body[each.name])
    return raw


def _raw_of_value(raw: dict[str, list[str]], each: Field, name: str, value: Any) -> None:
    match each.kind:
        case "quantity" | "number":
            raw[name] = [str(value["typed"])]
            raw[f"{name}_unit"] = [str(value.get("unit", ""))]
        case "quantities":
            raw[name] = [str(one["typed"]) for one in value]
            raw[f"{name}_unit"] = [str(value[0].get("unit", ""))] if value else []
        case "flag":
            raw[name] = ["yes" if value else "no"]
        case "refs":
            raw[name] = [str(one) for one in value]
        case "rows":
            for index, row in enumerate(value):
                for sub in each.rows:
                    if sub.name in row:
                        _raw_of_value(raw, sub, f"{name}-{index}-{sub.name}", row[sub.name])
        case "told":
            return
        case _:
            raw[name] = [str(value)]
