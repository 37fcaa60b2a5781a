"""What was typed becomes a body, a body becomes values; nothing that parses is refused, nothing is repaired."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright import units
from loamwright.errors import InputError
from loamwright.notebook import fields
from loamwright.notebook.canonical import canonical
from loamwright.notebook.entry import new_id
from loamwright.notebook.fields import Amount, Field, parse, split_unit, understand

POT = new_id()
LIST = (
    fields.text("name", "Name"),
    fields.choice("how", "How", {"easy": "easy", "hard": "hard"}),
    fields.number("ratio", "Ratio"),
    fields.whole("count", "Count"),
    fields.quantity("mass", "Mass", "mass"),
    fields.quantity("volume", "Volume", "volume"),
    fields.quantities("masses", "Masses", "mass", 3),
    fields.flag("sealed", "Sealed"),
    fields.date("on", "On"),
    fields.moment("since", "Since"),
    fields.ref("source", "Source", "source"),
    fields.refs("blocks", "Blocks", "block"),
    fields.rows("parts", "Parts", fields.ref("source", "Source", "source"), fields.whole("parts", "Parts", required=True)),
    fields.told("shown", "As shown"),
)


def kept(**raw: str | list[str]) -> dict[str, Any]:
    """The body of what was typed, by way of its stored text; nothing may be a fault."""
    parsed = parse(LIST, {name: value if isinstance(value, list) else [value] for name, value in raw.items()})
    assert parsed.faults == {}
    body: dict[str, Any] = json.loads(canonical(parsed.body))
    return body


def fault_of(name: str, **raw: str) -> InputError:
    parsed = parse(LIST, {key: [value] for key, value in raw.items()})
    assert name not in parsed.body
    return parsed.faults[name]


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("1.25", 1.25),
        ("1,25", 1.25),  # a comma is always decimal
        ("1,234", 1.234),  # and never a separator of thousands
        ("1 1/2", 1.5),
        ("3/4", 0.75),
        (" 7 ", 7.0),
        ("-3,5", -3.5),
        ("\u22123.5", -3.5),  # a minus sign proper
        (".5", 0.5),
        ("5.", 5.0),
        ("1e3", 1000.0),
        ("999999999", 999999999.0),  # absurd, and stored
        ("-40000", -40000.0),
    ],
)
def test_numbers_as_people_type_them(typed: str, number: float) -> None:
    body = kept(mass=typed, mass_unit="kg")
    assert body["mass"] == {"typed": typed.strip(), "number": number, "unit": "kg"}
    assert understand(LIST, body)["mass"] == Amount(number, "kg", typed.strip())


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("abc", "not_a_number"),
        ("1.2.3", "not_a_number"),
        ("1,234,5", "not_a_number"),
        ("1'234", "not_a_number"),
        ("1/0", "divided_by_zero"),
        ("1e999", "not_a_number"),
        ("nan", "not_a_number"),
        ("inf", "not_a_number"),
        ("0x10", "not_a_number"),
    ],
)
def test_what_is_no_number_comes_back(typed: str, code: str) -> None:
    assert fault_of("mass", mass=typed, mass_unit="kg").code == code
    assert fault_of("ratio", ratio=typed).code == code


@pytest.mark.parametrize(
    ("typed", "of", "number", "key"),
    [
        ("6.4 lb", "mass", "6.4", "lb"),
        ("6.4lb", "mass", "6.4", "lb"),
        ("12,5 kg", "mass", "12,5", "kg"),
        ("450 g", "mass", "450", "g"),
        ("10 %", "share", "10", "pct"),
        ("250 ml", "volume", "250", "ml"),
        ("2 l", "volume", "2", "l"),
        ("3 1/2 in", "length", "3 1/2", "in"),
        ("400 psi", "pressure", "400", "psi"),
        ("12", "mass", "12", "kg"),
        ("5 min", "length", "5 min", "kg"),  # the "in" of "min" is not inches
        ("kg", "mass", "kg", "kg"),
    ],
)
def test_a_unit_typed_into_the_field(typed: str, of: str, number: str, key: str) -> None:
    assert split_unit(typed, "kg", of) == (number, key)


def test_the_unit_in_the_text_rules_over_the_unit_beside_it() -> None:
    body = kept(mass="6.4 lb", mass_unit="kg")
    assert body["mass"] == {"typed": "6.4", "number": 6.4, "unit": "lb"}
    # The international pound, exactly 0.45359237 kg.
    assert understand(LIST, body)["mass"].engine == pytest.approx(6.4 * 0.45359237, rel=1e-15)


def test_every_unit_can_be_typed_by_key_and_by_label() -> None:
    for unit in units.all_units().values():
        for name in (unit.key, unit.label):
            assert split_unit(f"2.5 {name}", "", unit.quantity) == ("2.5", unit.key)


def test_units_missing_wrong_and_unknown() -> None:
    assert fault_of("mass", mass="5").code == "unit_missing"
    assert fault_of("mass", mass="5", mass_unit="mm").code == "unit_of_other_quantity"
    assert fault_of("mass", mass="5", mass_unit="stone").code == "unknown_unit"
    assert fault_of("mass", mass="5", mass_unit=f"container:{POT}").code == "unknown_unit"


def test_a_volume_in_a_container() -> None:
    body = kept(volume="2 1/2", volume_unit=f"container:{POT}")
    amount = understand(LIST, body)["volume"]
    assert (amount.number, amount.container) == (2.5, POT)


def test_every_other_kind_of_field() -> None:
    body = kept(
        name="  red clay ",
        how="hard",
        ratio="0,9",
        count="5",
        masses=["12,1", "12.3 kg", "12 1/2"],
        masses_unit="kg",
        sealed="yes",
        on="2026-02-28",
        since="2026-02-28T07:05",
        source=POT,
        blocks=[POT, f"{POT}, {POT}"],
        **{"parts-0-source": POT, "parts-0-parts": "5", "parts-10-source": POT, "parts-10-parts": "2"},
    )
    values = understand(LIST, body)
    assert values["name"] == "red clay"
    assert values["how"] == "hard"
    assert values["ratio"] == Amount(0.9, "1", "0,9") and values["ratio"].engine == 0.9
    assert values["count"] == 5
    assert [(each.number, each.unit) for each in values["masses"]] == [(12.1, "kg"), (12.3, "kg"), (12.5, "kg")]
    assert values["sealed"] is True
    assert (values["on"], values["since"]) == ("2026-02-28", "2026-02-28T07:05")
    assert values["source"] == POT
    assert values["blocks"] == (POT, POT, POT)
    assert values["parts"] == ({"source": POT, "parts": 5}, {"source": POT, "parts": 2})


def test_masses_in_one_text_with_semicolons() -> None:
    assert [each["number"] for each in kept(masses="12,1; 12,3;12", masses_unit="kg")["masses"]] == [12.1, 12.3, 12.0]


@pytest.mark.parametrize(
    ("name", "typed", "code"),
    [
        ("how", "so so", "unknown_choice"),
        ("count", "2.5", "not_whole"),
        ("count", "1e12", "not_whole"),
        ("sealed", "maybe", "unknown_choice"),
        ("on", "2026-02-29", "not_a_date"),
        ("on", "4.3.2026", "not_a_date"),
        ("since", "2026-02-28", "not_a_moment"),
        ("since", "2026-02-30T10:00", "not_a_moment"),
        ("since", "2026-02-28T24:00", "not_a_moment"),
    ],
)
def test_what_cannot_be_read_comes_back_with_its_field(name: str, typed: str, code: str) -> None:
    fault = fault_of(name, **{name: typed})
    assert fault.code == code
    assert fault.values["typed"] == typed


def test_a_fault_in_one_field_leaves_the_others() -> None:
    parsed = parse(LIST, {"mass": ["twelve"], "mass_unit": ["kg"], "name": ["pit 2"]})
    assert parsed.body == {"name": "pit 2"} and set(parsed.faults) == {"mass"}


def test_a_row_without_figures_is_no_row_and_a_bad_one_is_named() -> None:
    assert "parts" not in kept(**{"parts-0-source": POT, "parts-0-parts": " "})
    fault = fault_of("parts", **{"parts-0-parts": "1", "parts-3-parts": "x"})
    assert fault.code == "not_a_number" and fault.values["row"] == 4


@pytest.mark.parametrize("key", ["parts-²-parts", "parts--parts", "parts-", "parts-x-parts", "parts-99999999-parts", "parts-1"])
def test_strange_names_of_rows_are_passed_over(key: str) -> None:
    assert "parts" not in kept(**{key: "1"})


def test_a_required_field_left_empty_is_missing() -> None:
    required = [fields.quantity("mass", "Mass", "mass", required=True)]
    assert parse(required, {"mass": [" "]}).faults["mass"].code == "missing_field"
    with pytest.raises(InputError) as caught:
        understand(required, {})
    assert caught.value.code == "field_missing"


def test_told_is_never_typed() -> None:
    assert kept(shown="5") == {}
    assert understand(LIST, {"shown": {"any": [1, 2]}})["shown"] == {"any": [1, 2]}


STORED_BADLY: dict[str, Any] = {
    "name": 5,
    "how": "so so",
    "ratio": {"typed": "1"},
    "count": 2.5,
    "mass": {"typed": "5", "number": 5},  # without its unit it must never be taken as kilograms
    "volume": {"typed": "5", "number": "5", "unit": "l"},
    "masses": {"typed": "5", "number": 5, "unit": "kg"},
    "sealed": "yes",
    "on": "2026-02-30",
    "since": "2026-02-28",
    "source": [POT],
    "blocks": "abc",  # would be taken apart into letters
    "parts": {"source": POT},
}


@pytest.mark.parametrize("name", STORED_BADLY)
def test_a_stored_value_of_the_wrong_shape_is_not_understood(name: str) -> None:
    with pytest.raises(InputError) as caught:
        understand(LIST, {name: STORED_BADLY[name]})
    assert caught.value.code == "field_not_understood"
    assert caught.value.values["field"] == name


@pytest.mark.parametrize(
    ("amount", "code"),
    [
        ({"typed": "5", "number": 5, "unit": "mm"}, "field_not_understood"),
        ({"typed": "5", "number": True, "unit": "kg"}, "field_not_understood"),
        ({"typed": 5, "number": 5, "unit": "kg"}, "field_not_understood"),
        ({"typed": "5", "number": 5, "unit": 7}, "field_not_understood"),
        ({"typed": "5", "number": 5, "unit": "stone"}, "unknown_unit"),
        ({"typed": "5", "number": 5, "unit": f"container:{POT}"}, "unknown_unit"),
        ("5 kg", "field_not_understood"),
    ],
)
def test_amounts_that_cannot_be_computed_with(amount: Any, code: str) -> None:
    with pytest.raises(InputError) as caught:
        understand(LIST, {"mass": amount})
    assert caught.value.code == code


def test_what_the_list_does_not_know_is_left_out() -> None:
    assert understand(LIST, {"name": "a", "later": 1}) == {"name": "a"}


@given(
    st.dictionaries(st.sampled_from([each.name for each in LIST] + [f"{each.name}_unit" for each in LIST]), st.lists(st.text()))
)
def test_any_text_parses_or_is_a_fault(raw: dict[str, list[str]]) -> None:
    parsed = parse(LIST, raw)
    assert not set(parsed.body) & set(parsed.faults)
    canonical(parsed.body)
    understand(LIST, parsed.body)  # whatever a door lets through the fold can read


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-100, 100) | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["typed", "number", "unit", "x"]), inner, max_size=3)
    ),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from([each.name for each in LIST]), JSON))
def test_any_stored_body_is_understood_or_told_so(body: dict[str, Any]) -> None:
    try:
        values = understand(LIST, body)
    except InputError as fault:
        assert fault.code in ("field_missing", "field_not_understood", "unknown_unit")
    else:
        assert set(values) <= set(body)


def test_field_lists_are_plain_data() -> None:
    assert all(isinstance(each, Field) and each.label for each in LIST)


def test_a_unit_at_the_head_of_a_table_holds_for_the_rows_below_it() -> None:
    """A table has one unit a column, as on paper; a row with a unit of its own keeps it and passes it on."""
    sieves = fields.rows(
        "sieves", "Sieves", fields.quantity("opening", "Opening", "length"), fields.quantity("kept", "Kept", "mass")
    )
    raw = {
        "sieves-0-opening": ["2"],
        "sieves-0-opening_unit": ["mm"],
        "sieves-0-kept": ["40"],
        "sieves-0-kept_unit": ["g"],
        "sieves-2-opening": ["0.425"],
        "sieves-2-kept": ["3"],
        "sieves-2-kept_unit": ["kg"],
        "sieves-3-opening": ["0.2"],
        "sieves-3-kept": ["1"],
    }
    found = parse([sieves], raw)
    assert not found.faults
    assert [(row["opening"]["unit"], row["kept"]["unit"]) for row in found.body["sieves"]] == [
        ("mm", "g"),
        ("mm", "kg"),
        ("mm", "kg"),
    ]


def test_a_table_whose_first_row_is_empty_keeps_its_units() -> None:
    sieves = fields.rows("sieves", "Sieves", fields.quantity("opening", "Opening", "length"))
    found = parse([sieves], {"sieves-0-opening_unit": ["mm"], "sieves-0-opening": [""], "sieves-1-opening": ["2"]})
    assert [row["opening"] for row in found.body["sieves"]] == [{"typed": "2", "number": 2.0, "unit": "mm"}]
