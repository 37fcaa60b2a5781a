"""Every kind: its list is sound, its bodies come back, old forms are read through upcasters, newer ones are left alone."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from loamwright import units
from loamwright.errors import InputError
from loamwright.notebook import kinds as registry
from loamwright.notebook.canonical import canonical
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import Field, parse, quantity, text
from loamwright.notebook.kinds import VERBS, Kind, kinds, read

NAMES = list(kinds())
REF = new_id()
POT = new_id()


def inner(fields: tuple[Field, ...]) -> Iterator[Field]:
    for each in fields:
        yield each
        yield from inner(each.rows)


def typed(each: Field) -> dict[str, list[str]]:
    """A form's texts for one field, of the plainest value it takes."""
    match each.kind:
        case "text":
            return {each.name: ["some words"]}
        case "choice":
            return {each.name: [next(iter(each.options))]}
        case "number" | "whole":
            return {each.name: ["3"]}
        case "quantity" | "quantities":
            return {each.name: ["1 1/2"], f"{each.name}_unit": [units.units_of(each.quantity)[-1].key]}
        case "flag":
            return {each.name: ["yes"]}
        case "date":
            return {each.name: ["2026-03-04"]}
        case "moment":
            return {each.name: ["2026-03-04T10:15"]}
        case "ref" | "refs":
            return {each.name: [REF]}
        case "rows":
            return {f"{each.name}-0-{name}": value for sub in each.rows for name, value in typed(sub).items()}
    return {}


@pytest.mark.parametrize("name", NAMES)
def test_a_full_form_comes_back_as_values(name: str) -> None:
    kind = kinds()[name]
    parsed = parse(kind.fields, {key: value for each in kind.fields for key, value in typed(each).items()})
    assert parsed.faults == {}
    stored = json.loads(canonical(parsed.body))
    asked = {each.name for each in kind.fields if each.kind != "told"}
    assert set(read(name, kind.schema, stored)) == set(stored) == asked
    if any(each.kind in ("ref", "refs") for each in inner(kind.fields)):
        assert kind.references(stored) == {REF}


@pytest.mark.parametrize("name", NAMES)
def test_the_field_list_is_sound(name: str) -> None:
    kind = kinds()[name]
    assert kind.verb in VERBS and kind.label
    names = [each.name for each in kind.fields]
    assert len(set(names)) == len(names)
    for each in inner(kind.fields):
        assert (each.name.isidentifier() and "-" not in each.name and not each.name.endswith("_unit")) or name == "project"
        assert each.label
        assert all(of in kinds() for of in each.of), f"{each.name} refers to a kind that is not there"
        if each.kind in ("quantity", "quantities"):
            assert units.units_of(each.quantity), f"{each.name} is a {each.quantity}, which has no unit"
        if each.kind == "choice":
            assert len(each.options) > 1 and all(each.options.values())
        if each.kind == "rows":
            assert len({sub.name for sub in each.rows}) == len(each.rows)


def test_ids_in_rows_lists_and_containers_are_references() -> None:
    blend = {"parts": [{"source": REF, "parts": 2}, {"source": POT, "parts": 1}]}
    assert kinds()["blend"].references(blend) == {REF, POT}
    source = {"name": "pit", "amount": {"typed": "3", "number": 3, "unit": f"container:{POT}"}}
    assert kinds()["source"].references(source) == {POT}
    assert kinds()["soak"].references({"blocks": [REF, POT, 5]}) == {REF, POT}


@pytest.fixture
def old_and_new(monkeypatch: pytest.MonkeyPatch) -> Kind:
    """A kind of three forms, for this test only: a mass in grams without unit, then with unit, then under another name."""

    def to_2(body: dict[str, Any]) -> dict[str, Any]:
        return {"weight": {"typed": str(body["grams"]), "number": body["grams"], "unit": "g"}}

    def to_3(body: dict[str, Any]) -> dict[str, Any]:
        return {"mass": body["weight"], "name": "unnamed"}

    kind = Kind(
        "tested",
        "Tested",
        "dig",
        (quantity("mass", "Mass", "mass", required=True), text("name", "Name")),
        upcasters={1: to_2, 2: to_3},
    )
    everything: Mapping[str, Kind] = {**kinds(), "tested": kind}
    monkeypatch.setattr(registry, "kinds", lambda: everything)
    return kind


def test_old_forms_are_read_through_every_upcaster(old_and_new: Kind) -> None:
    assert old_and_new.schema == 3
    first: dict[str, Any] = {"grams": 250}
    second = {"weight": {"typed": "250", "number": 250, "unit": "g"}}
    third = {"mass": {"typed": "250", "number": 250, "unit": "g"}, "name": "unnamed"}
    values = [read("tested", schema, body) for schema, body in ((1, first), (2, second), (3, third))]
    assert values[0] == values[1] == values[2]
    assert values[0]["mass"].engine == 0.25
    assert first == {"grams": 250}, "an upcaster changed what was stored"


def test_an_old_body_an_upcaster_cannot_read_is_not_understood(old_and_new: Kind) -> None:
    with pytest.raises(InputError) as caught:
        read("tested", 1, {"kilograms": 1})
    assert caught.value.code == "field_not_understood"


def test_newer_forms_and_unknown_kinds_are_not_guessed_at(old_and_new: Kind) -> None:
    with pytest.raises(InputError) as newer:
        read("tested", 4, {"mass": {"typed": "1", "number": 1, "unit": "kg"}})
    assert (newer.value.code, newer.value.values["known"]) == ("newer_schema", 3)
    with pytest.raises(InputError) as unknown:
        read("telescope", 1, {})
    assert unknown.value.code == "unknown_kind"


@pytest.mark.parametrize("name", NAMES)
def test_upcasters_lead_without_a_gap_to_the_form_we_write(name: str) -> None:
    kind = kinds()[name]
    assert sorted(kind.upcasters) == list(range(1, kind.schema))
