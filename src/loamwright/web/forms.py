"""A kind's field list as the fields of a form: what was typed stays, the last unit and the remembered tare are offered."""

from collections.abc import Mapping, Sequence
from typing import Any

from loamwright.errors import InputError
from loamwright.notebook.entry import is_id
from loamwright.notebook.fields import CONTAINER, Field, first_text
from loamwright.notebook.kinds import Kind
from loamwright.project.state import State
from loamwright.units import all_units, units_of
from loamwright.words.asked_first import FEW, FIRST, SELDOM_UNITS, SOLE, usual_unit
from loamwright.words.asked_for import kinds_said
from loamwright.words.language import tr
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

Raw = Mapping[str, Sequence[str]]
PANS = ("pan_wet", "pan_dry")  # weighed on the small scale, whatever else the form asks
SPARE_ROWS = 2  # empty rows below those that are typed
MOST_ROWS = 60
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
    fresh = not any(each.name in (raw or {}) for each in kind.fields if each.name not in (preset or {}))
    for each in kind.fields:
        if each.kind == "told" or each.name in (preset or {}) or (only is not None and each.name not in only):
            continue
        pieces = _field(state, each, shown, raw or {}, faults or {}, usual_unit(kind.name, each.quantity, shown))
        sole = each.name in SOLE or (kind.name == "mix" and each.name == "stabiliser")
        if fresh and sole and len(pieces[0]["options"]) == 1:
            pieces[0]["value"] = pieces[0]["options"][0][0]
        if each.kind == "ref" and not each.required:
            pieces[0]["options"] = [*pieces[0]["options"], ("", "none")]
        found.extend(pieces)
    return [piece for piece in found if piece.get("options") != [("", "none")]]


def first_and_more(kind: Kind, fields: Sequence[dict[str, Any]]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """What a form asks first, and what stands folded below it: optional, not typed yet, and more than a few."""
    needed = {each.name for each in kind.fields if each.required} | set(FIRST.get(kind.name, ()))
    more = [
        piece
        for piece in fields
        if piece["kind"] != "hidden"
        and piece["name"].split("-")[0] not in needed
        and not piece.get("value")
        and not piece.get("error")
    ]
    if len(more) <= FEW:
        return list(fields), []
    return [piece for piece in fields if piece not in more], more


def _field(
    state: State, each: Field, shown: Shown, raw: Raw, faults: Mapping[str, InputError], usual: str = ""
) -> list[dict[str, Any]]:
    if each.kind == "rows":
        by_entity = any(sub.kind == "ref" for sub in each.rows)
        return _rows(state, each, shown, raw, faults) if by_entity else [_table(each, shown, raw, faults)]
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
        piece["unit"] = (raw.get(f"{each.name}_unit") or [usual or shown.unit(each.quantity).key])[0]
        piece["unit_options"] = [
            (key, label)
            for key, label in unit_options(state, each.quantity)
            if key == piece["unit"] or each.name in SELDOM_UNITS.get(key, (each.name,))
        ]
    elif each.kind == "choice":
        # A tap on one of several can be taken back only by another tap.
        piece["options"] = [*each.options.items(), *([] if each.required else [("", tr("not said"))])]
    elif each.kind in ("ref", "refs"):
        piece["options"] = ref_options(state, each)
        piece["of"] = each.of[0] if each.of else ""
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
            usual = usual_unit("pan_test", "mass", shown) if sub.name in PANS else ""
            found.extend(_field(state, inner, shown, typed, {}, usual))
        found.append({"kind": "hidden", "name": f"{each.name}-{index}-{refs[0].name}", "value": entity})
    if found and each.name in faults:
        found[0]["error"] = of_fault(faults[each.name])
    return found


def _table(each: Field, shown: Shown, raw: Raw, faults: Mapping[str, InputError]) -> dict[str, Any]:
    """Rows that name no entity, as a table to type in: those typed and some to go on, a unit at the head of a column."""
    numbers = [int(key.split("-")[1]) for key in raw if key.startswith(f"{each.name}-") and key.split("-")[1].isdigit()]
    count = min(MOST_ROWS, max(each.expected, max(numbers, default=-1) + 1 + SPARE_ROWS))
    return {
        "name": each.name,
        "label": each.label,
        "kind": "table",
        "hint": each.hint,
        "if_known": not each.required,
        "error": of_fault(faults[each.name]) if each.name in faults else None,
        "columns": [_column(each.name, sub, shown, raw) for sub in each.rows],
        "rows": [[first_text(raw, f"{each.name}-{row}-{sub.name}") for sub in each.rows] for row in range(count)],
        "value": bool(numbers),
    }


def _column(table: str, sub: Field, shown: Shown, raw: Raw) -> dict[str, Any]:
    found: dict[str, Any] = {"name": sub.name, "label": sub.label, "kind": sub.kind, "hint": sub.hint, "unit_options": []}
    if sub.quantity:
        found["unit"] = first_text(raw, f"{table}-0-{sub.name}_unit") or usual_unit(table, sub.quantity, shown)
        found["unit"] = found["unit"] or shown.unit(sub.quantity).key
        found["unit_options"] = [(unit.key, unit.label) for unit in units_of(sub.quantity)]
    if sub.kind in ("choice", "flag"):
        said = sub.options or {"yes": tr("yes"), "no": tr("no")}
        found |= {"kind": "choice", "options": [("", "–"), *said.items()]}
    return found


def typed_again(raw: Raw) -> list[dict[str, Any]]:
    """A sent form as plain fields: numbers and words to be seen and sent again, ids and units sent along unseen."""
    labels = {each.name: each.label for kind in kinds_said().values() for each in kind.fields}
    found = []
    for name, values in raw.items():
        own = name.removeprefix("preset_")
        for value in values:
            unit = own.endswith("_unit") and own.removesuffix("_unit") in raw
            seen = own == name and (own in labels or "." in own) and bool(value) and not is_id(value) and not unit
            label = f"{labels.get(own, own)}{_unit_word(raw, name)}"
            found.append({"name": name, "value": value, "label": label, "kind": "text" if seen else "hidden"})
    return found


def _unit_word(raw: Raw, name: str) -> str:
    key = first_text(raw, f"{name}_unit")
    return f", {all_units()[key].label}" if key in all_units() else ""


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
