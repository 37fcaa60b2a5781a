"""Figures that are readable and far from what tools, goods and orders usually are: asked about, computed with as they stand.

Usual ranges are checked from outside the data file: by common sizes of the trade (common practice), which must raise no
question, and by the same sizes with a slipped decimal or unit, which must.
"""

from collections.abc import Mapping

import pytest

from loamwright import tables
from loamwright.notebook.kinds import kinds
from loamwright.project import today
from loamwright.project.demo import load_demo
from loamwright.project.unusual import usual_ranges
from loamwright.words.asked import question_words

PRESS = {"name": "ram", "how": "gauge", "mould_length": "295 mm", "mould_width": "140 mm", "block_height": "90 mm"}
RIG = {"name": "jack", "how": "jack", "ram_bore": "60 mm"}
CEMENT = {"name": "cement", "type": "cement"}

# Common practice: blocks of 295 x 140 x 90 mm, cylinders of 50 to 120 mm, 20 to 50 kg bags, pails of 10 to 20 l, mixers of
# 100 to 300 l, kitchen scales to 1 or 5 g, soaks of a day.
USUAL: tuple[tuple[str, Mapping[str, str]], ...] = (
    ("press", {**PRESS, "bore": "80 mm", "cylinders": "2", "gauge_wanted": "100 bar", "rate": "60 per_h"}),
    ("press", {**PRESS, "mould_length": "4 in", "mould_width": "2 in", "block_height": "2 in"}),
    ("rig", {**RIG, "calibration": "0.93", "capacity": "20 tf"}),
    ("mixer", {"name": "drum", "usable_volume": "140 l"}),
    ("container", {"name": "pail", "volume": "12 l", "tare": "0.7 kg"}),
    ("container", {"name": "barrow", "volume": "80 l", "tare": "14 kg"}),
    ("scale", {"name": "kitchen", "step": "1 g", "most": "5 kg"}),
    ("scale", {"name": "hanging", "step": "50 g", "most": "50 kg"}),
    ("stabiliser", {**CEMENT, "bag_mass": "42.5 kg", "bag_price": "8,50"}),
    ("brief", {"mean_least": "2.4 MPa", "soak_least": "24 h", "age_days": "28", "n": "5", "scatter": "10 %", "blocks": "4000"}),
    ("source", {"name": "pit", "distance": "14 km", "trip_mass": "5 t", "amount": "30 m3", "screen": "10 mm", "price": "0"}),
)
SLIPPED: tuple[tuple[str, Mapping[str, str], str], ...] = (
    *(("press", {**PRESS, "bore": typed}, "figure_unusual") for typed in ("8 mm", "800 mm", "80 cm", "80 m")),
    *(("press", {**PRESS, "block_height": typed}, "figure_unusual") for typed in ("9 mm", "900 mm", "90 cm")),
    *(("press", {**PRESS, "mould_length": typed}, "figure_unusual") for typed in ("29.5 mm", "2950 mm", "295 m")),
    *(("press", {**PRESS, "mould_width": typed}, "figure_unusual") for typed in ("14 mm", "1400 mm")),
    ("press", {**PRESS, "gauge_wanted": "1500 MPa"}, "figure_unusual"),  # psi typed as MPa
    ("press", {**PRESS, "gauge_wanted": "0.1 MPa"}, "figure_unusual"),  # 100 bar typed as 100 kPa
    ("press", {**PRESS, "rate": "60 per_min"}, "figure_unusual"),
    ("press", {**PRESS, "cylinders": "80"}, "figure_unusual"),
    ("rig", {**RIG, "ram_bore": "6 mm"}, "figure_unusual"),
    ("rig", {**RIG, "calibration": "93"}, "figure_unusual"),
    ("mixer", {"name": "tub", "usable_volume": "1 l"}, "figure_unusual"),
    ("mixer", {"name": "tub", "usable_volume": "140 m3"}, "figure_unusual"),
    ("container", {"name": "pail", "volume": "12 m3"}, "figure_unusual"),
    ("container", {"name": "pail", "volume": "12 l", "tare": "700 kg"}, "figure_unusual"),
    ("scale", {"name": "kitchen", "step": "1 kg"}, "figure_unusual"),
    ("scale", {"name": "hanging", "step": "50 kg"}, "figure_unusual"),
    ("scale", {"name": "gram", "step": "0.1 kg", "most": "3 kg"}, "scale_coarse"),  # 30 steps: 0.1 g was meant
    ("stabiliser", {**CEMENT, "bag_mass": "500 kg"}, "figure_unusual"),
    ("stabiliser", {**CEMENT, "bag_mass": "42.5 g"}, "figure_unusual"),
    ("stabiliser", {**CEMENT, "bag_price": "-8"}, "price_strange"),
    ("stabiliser", {**CEMENT, "bag_price": "1,234.5"}, "price_strange"),
    ("source", {"name": "pit", "price": "-17000", "price_per": "t"}, "price_strange"),
    ("source", {"name": "pit", "price": "ask Ana", "price_per": "t"}, "price_strange"),
    ("source", {"name": "pit", "distance": "1400 km"}, "figure_unusual"),
    ("brief", {"blocks": "1000000000"}, "figure_unusual"),
    ("brief", {"mean_least": "24 MPa"}, "figure_unusual"),
    ("brief", {"soak_least": "1000000 h"}, "figure_unusual"),
    ("brief", {"scatter": "10 fraction"}, "figure_unusual"),
    ("brief", {"scatter": "0.1 %"}, "figure_unusual"),
    ("brief", {"other_cost": "-3"}, "price_strange"),
)


def codes(bench, entity: str) -> set[str]:
    return {each.code for each in today.questions(bench.state) if entity in each.about}


@pytest.mark.parametrize(("kind", "typed"), USUAL, ids=lambda value: value if isinstance(value, str) else "")
def test_a_usual_size_is_not_asked_about(bench, kind: str, typed: Mapping[str, str]) -> None:
    assert codes(bench, bench.write(kind, **typed)) == set()


@pytest.mark.parametrize(("kind", "typed", "code"), SLIPPED)
def test_a_slipped_decimal_or_unit_is_asked_about(bench, kind: str, typed: Mapping[str, str], code: str) -> None:
    entity = bench.write(kind, **typed)
    assert code in codes(bench, entity)
    asked = next(each for each in today.questions(bench.state) if each.code == code)
    assert asked.grade == "unlikely"
    said = question_words(bench.state, asked)
    wrong = [text for name, text in typed.items() if name not in ("name", "how", "type")]
    numbers = [text.split()[0] for text in wrong]
    assert any(number in said for number in numbers)


def test_the_sentence_speaks_in_the_unit_that_was_typed(bench) -> None:
    bench.write("press", **{**PRESS, "bore": "80 cm"})
    said = [question_words(bench.state, each) for each in today.questions(bench.state)]
    assert said == ["ram: Cylinder bore is 80 cm; usual is 2.5 cm to 24 cm. Did a decimal slip, or is the unit another one?"]


def test_an_answer_ends_it_and_a_correction_asks_about_the_next(bench) -> None:
    press = bench.write("press", **{**PRESS, "bore": "8 mm", "mould_length": "295 m"})
    bench.correct(press, "press", **{**PRESS, "bore": "8 mm"})
    asked = next(each for each in today.questions(bench.state) if each.code == "figure_unusual")
    assert asked.values["label"] == "Cylinder bore"
    bench.write("answer", question="figure_unusual", about=[press], verdict="stands")
    assert codes(bench, press) == set()


def test_a_soak_of_a_century_is_asked_about(bench) -> None:
    batch = bench.weighed_batch()
    block = bench.write("block", batch=batch, mark="18", green_mass="2.2 kg", height="100 mm")
    crush = bench.write("crush", block=block, condition="soaked", soaked_for="1000000 h", piece="whole", load="20 kN")
    assert "figure_unusual" in codes(bench, crush)


def test_moisture_typed_as_a_fraction_or_as_per_cent_is_asked_about(bench) -> None:
    first = bench.weighed_batch()
    mix = bench.state.fact(first, "batch")["mix"]
    for typed, asked in (("10 %", False), ("0.1 fraction", False), ("0.1 %", True), ("10 fraction", True)):
        batch = bench.write("batch", mix=mix, soil_wanted="10.4 kg", water_wanted=typed)
        assert bool(codes(bench, batch)) is asked, typed


def test_an_amount_in_pails_is_turned_into_litres(bench) -> None:
    pail = bench.write("container", name="pail", volume="12 l")
    few = bench.write("source", name="pit", amount="2", amount_unit=f"container:{pail}")  # 24 l: not a barrow of soil
    many = bench.write("source", name="bank", amount="300", amount_unit=f"container:{pail}")  # 3.6 m³
    assert codes(bench, few) == {"figure_unusual"}
    assert codes(bench, many) == set()


def test_the_same_soil_twice_in_a_blend_is_asked_about_and_added_up(bench) -> None:
    sand, clay = (bench.write("source", name=name) for name in ("Bank sand", "Red clay"))
    parts = {"parts-0-source": sand, "parts-0-parts": "5", "parts-1-source": sand, "parts-1-parts": "2"}
    blend = bench.write("blend", **parts)
    assert codes(bench, blend) == {"source_twice"}
    bench.correct(blend, "blend", **{**parts, "parts-1-source": clay})
    assert codes(bench, blend) == set()


def test_the_demo_raises_no_such_question(desk, clock) -> None:
    state = desk.state(load_demo(desk, clock()))
    asked = {each.code for each in today.questions(state)}
    assert not asked & {"figure_unusual", "scale_coarse", "price_strange", "source_twice"}


def test_every_range_is_of_a_field_that_is_asked_in_order_and_in_the_engine_unit() -> None:
    from loamwright import units

    for row, each in zip(tables.load("usual").rows, usual_ranges(), strict=True):
        field = next(field for field in kinds()[row["kind"]].fields if field.name == row["field"])
        assert 0 < each.least < each.most
        assert field.kind in ("quantity", "number", "whole")
        if field.kind == "quantity":
            unit = units.unit(row["unit"])
            assert (unit.quantity, unit.factor, unit.offset) == (field.quantity, 1.0, 0.0)
        else:
            assert row["unit"] == "1"


@pytest.mark.parametrize("field", ["mould_length", "mould_width", "block_height", "bore", "rod"])
def test_ten_times_any_usual_size_of_a_press_lies_outside(field: str) -> None:
    each = next(each for each in usual_ranges() if (each.kind, each.field.name) == ("press", field))
    assert each.most / each.least < 10
