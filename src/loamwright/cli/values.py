"""Facts, findings, questions and duties as JSON: typed values in engine units, the unit in the name."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from loamwright import units
from loamwright.errors import Note
from loamwright.notebook.fields import Amount, Field
from loamwright.notebook.kinds import kinds
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Result, Withheld, working
from loamwright.project.state import Fact, State
from loamwright.words.asked import question_words
from loamwright.words.duties import due_words
from loamwright.words.sentences import of_fault, of_note
from loamwright.words.showing import name_of


def engine_unit(quantity: str) -> str:
    """Key of the unit the engine counts a quantity in.

    >>> engine_unit("mass"), engine_unit("volume"), engine_unit("share")
    ('kg', 'm3', 'fraction')
    """
    return next(unit.key for unit in units.units_of(quantity) if unit.factor == 1.0 and unit.offset == 0.0)


def values_of(fact: Fact) -> dict[str, Any]:
    """The values of a fact by field name, quantities under a name that ends with their engine unit."""
    kind = kinds().get(fact.kind)
    return {} if kind is None else _values(kind.fields, fact.values)


def _values(fields: tuple[Field, ...], values: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for each in fields:
        if each.name not in values:
            continue
        value = values[each.name]
        match each.kind:
            case "quantity":
                found.update(_amount(each, value))
            case "quantities":
                found[f"{each.name}_{engine_unit(each.quantity)}"] = [amount.engine for amount in value]
            case "number":
                found[each.name] = value.number
            case "rows":
                found[each.name] = [_values(each.rows, row) for row in value]
            case _:
                found[each.name] = list(value) if isinstance(value, tuple) else value
    return found


def _amount(each: Field, amount: Amount) -> dict[str, Any]:
    if amount.container:
        return {f"{each.name}_count": amount.number, f"{each.name}_container": amount.container}
    return {f"{each.name}_{engine_unit(each.quantity)}": amount.engine}


def fact_json(state: State, fact: Fact) -> dict[str, Any]:
    """One fact whole."""
    found: dict[str, Any] = {
        "id": fact.id,
        "entry": fact.head,
        "kind": fact.kind,
        "name": name_of(state, fact.id),
        "at": fact.at,
        "by": fact.by,
        "versions": fact.versions,
        "values": values_of(fact),
    }
    if fact.contested:
        found["contested_with"] = list(fact.contested)
    if fact.fault is not None:
        found["not_understood"] = of_fault(fact.fault)
    return found


_FORMULA_UNITS = {"kg/m3": "kg_m3", "1": "", "degC": "degC"}


def finding_json(result: Result, *, with_working: bool) -> dict[str, Any]:
    """A computed number, or why it is withheld; the value under the name of its formula with its unit."""
    if isinstance(result, Withheld):
        return {"withheld": result.name, "why": of_fault(result.fault), "about": list(result.about)}
    unit = _FORMULA_UNITS.get(result.formula.unit, result.formula.unit.replace("/", "_"))
    name = f"{result.formula.name}_{unit}" if unit else result.formula.name
    found: dict[str, Any] = {name: result.value}
    if result.band is not None:
        found |= {f"{name}_low": result.band.low, f"{name}_high": result.band.high, "band_holds": result.band.share}
    found["stands_on"] = list(result.entries())
    notes = notes_json(result.all_notes())
    if notes:
        found["notes"] = notes
    if with_working:
        found["working"] = _working(result)
    return found


def notes_json(notes: tuple[Note, ...]) -> list[dict[str, Any]]:
    """Notes with their code and sentence."""
    return [{"code": note.code, "says": of_note(note)} for note in notes]


def _working(finding: Finding) -> list[dict[str, str]]:
    return [
        {
            "name": line.name,
            "formula": f"{line.symbol} = {line.expression}",
            "put_in": line.put_in,
            "result": line.result,
            "unit": line.unit,
            "source": f"[{line.source}] {line.clause}".strip(),
        }
        for line in working(finding)
    ]


def question_json(state: State, each: Question) -> dict[str, Any]:
    """A question with what an answer to it must name."""
    return {"question": each.code, "grade": each.grade, "about": list(each.about), "says": question_words(state, each)}


def due_json(state: State, each: Due, today: date) -> dict[str, Any]:
    """One thing to do."""
    words = due_words(each, state, today, lambda *parts: "")
    return {"due": each.code, "about": each.about, "on": None if each.on is None else each.on.isoformat(), "says": words["what"]}
