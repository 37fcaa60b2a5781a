"""Water ladder over a real notebook: moisture, dry density and the winner by hand.

Blend with a pan test of 520 g damp and 500 g dry: 4 %. 2.08 kg of it is 2.0 kg dry with 0.08 kg of water. Water added
w kg: moisture (w + 0.08) / 2.0. A block from a mould of 100 x 100 mm, 100 mm high, is 0.001 m³; its dry density is
mass / 0.001 / (1 + moisture).
"""

import pytest

from loamwright.formula import evaluate
from loamwright.project import ladder
from loamwright.project.finding import Finding, Withheld, working

STEPS = (  # water added, mass of the block, how it came out, moisture and dry density by hand
    ("0.08 kg", "1.944 kg", "clean", 0.08, 1944 / 1.08),
    ("0.12 kg", "2.035 kg", "clean", 0.10, 2035 / 1.10),
    ("0.16 kg", "2.016 kg", "clean", 0.12, 2016 / 1.12),
    ("0.20 kg", "2.166 kg", "sticks", 0.14, 2166 / 1.14),
)


@pytest.fixture
def blend(bench):
    sources = [bench.write("source", name=name) for name in ("Bank sand", "Red clay")]
    parts = {f"parts-{i}-source": source for i, source in enumerate(sources)}
    found = bench.write("blend", **parts, **{"parts-0-parts": "2", "parts-1-parts": "1"})
    bench.write("pan_test", about=found, wet="520 g", dry="500 g")
    return found


def press(bench):
    return bench.press(block_height="100 mm")


def rung(bench, blend, water, mass, ejects="clean", **more):
    return bench.write(
        "ladder_block", blend=blend, soil="2.08 kg", water=water, green_mass=mass, height="100 mm", ejects=ejects, **more
    )


def climb(bench, blend, count=4):
    press(bench)
    return [rung(bench, blend, *step[:3]) for step in STEPS[:count]]


def lines_hold(finding):
    for line, step in zip(working(finding), finding.steps(), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=1e-4, abs=1e-9)


def test_moisture_and_dry_density_are_those_by_hand(bench, blend):
    climb(bench, blend)
    steps = ladder.ladder(bench.state, blend).steps
    assert [each.water.value for each in steps] == pytest.approx([step[3] for step in STEPS])
    assert [each.dry_density.value for each in steps] == pytest.approx([step[4] for step in STEPS])
    for each in steps:
        lines_hold(each.dry_density)


def test_the_densest_that_came_out_clean_wins_not_the_denser_one_that_stuck(bench, blend):
    """1850 kg/m³ at 10 % came out clean; 1900 at 14 % stuck."""
    made = climb(bench, blend)
    found = ladder.ladder(bench.state, blend)
    assert found.winner.fact.id == made[1]
    assert (found.edge, found.why, found.next_water) == ("", "ladder_done", None)
    target = ladder.target_water(bench.state, blend)
    assert target.value == pytest.approx(0.10)
    assert ladder.due(bench.state, bench.hand().moment.date()) == ()


def test_the_wettest_step_that_wins_asks_for_one_more(bench, blend):
    press(bench)
    for water, mass in (("0.08 kg", "1.944 kg"), ("0.12 kg", "2.035 kg"), ("0.16 kg", "2.1 kg")):
        rung(bench, blend, water, mass)
    found = ladder.ladder(bench.state, blend)
    assert (found.edge, found.why) == ("wettest", "ladder_edge")
    assert found.next_water == pytest.approx(0.14)
    assert "ladder_winner_wettest" in [note.code for note in ladder.target_water(bench.state, blend).notes]
    assert [each.code for each in ladder.due(bench.state, bench.hand().moment.date())] == ["ladder_edge"]


def test_a_wetter_step_that_stuck_leaves_no_edge(bench, blend):
    press(bench)
    for water, mass, ejects in (
        ("0.08 kg", "1.944 kg", "clean"),
        ("0.12 kg", "2.035 kg", "clean"),
        ("0.16 kg", "2.1 kg", "sticks"),
    ):
        rung(bench, blend, water, mass, ejects)
    assert ladder.ladder(bench.state, blend).why == "ladder_done"


def test_two_steps_set_no_target_and_the_next_rung_is_the_one_not_pressed(bench, blend):
    climb(bench, blend, count=2)
    found = ladder.ladder(bench.state, blend)
    assert ladder.target_water(bench.state, blend) is None
    assert (found.why, found.next_water) == ("ladder_next", pytest.approx(0.12))


def test_soil_wetter_than_the_rung_is_to_be_dried(bench, blend):
    bench.write("pan_test", about=blend, wet="550 g", dry="500 g")  # 10 %: no water makes it 8 %
    assert ladder.ladder(bench.state, blend).why == "ladder_dry_first"


def test_the_next_order_is_the_soil_of_a_block_and_a_fifth_and_its_water(bench, blend):
    """No block yet: 1850 kg/m³ x 0.001 m³ = 1.85 kg; x 1.2 x 1.04 = 2.3088 kg, on a 5 g scale 2.31 kg: 2.22115 kg dry.
    At 8 %: 0.08 x 2.22115 - 0.04 x 2.22115 = 0.08885 kg, 0.09 kg on that scale."""
    made = press(bench)
    machine = bench.state.fact(made, "press")
    found = ladder.ladder(bench.state, blend)
    order = ladder.next_order(bench.state, found, press=machine, wanted=found.next_water)
    assert order.soil.value == pytest.approx(2.3088)
    assert (order.soil_order, order.water_order) == (2.31, 0.09)
    assert "dry_density_usual" in [note.code for note in order.soil.all_notes()]
    lines_hold(order.soil)
    lines_hold(order.water)


def test_the_stabiliser_weighed_into_it_counts_as_dry_mix(bench, blend):
    """2.0 kg soil and 0.12 kg cement are 2.12 kg dry; 0.12 + 0.08 kg of water are 9.434 %."""
    press(bench)
    cement = bench.write("stabiliser", name="cement", type="cement")
    rung(bench, blend, "0.12 kg", "2.035 kg", stabiliser=cement, stabiliser_mass="0.12 kg")
    (step,) = ladder.ladder(bench.state, blend).steps
    assert step.water.value == pytest.approx(0.2 / 2.12)
    lines_hold(step.water)


def test_readings_that_make_no_sense_are_kept_and_asked_about(bench, blend):
    press(bench)
    rung(bench, blend, "0.12 kg", "20.35 kg")  # ten times too heavy
    rung(bench, blend, "0.12 kg", "0 kg")
    asked = {each.code: each.grade for each in ladder.questions(bench.state)}
    assert asked == {"ladder_density_strange": "unlikely", "not_positive": "impossible"}


def test_without_a_press_the_density_is_withheld_and_asked(bench, blend):
    rung(bench, blend, "0.12 kg", "2.035 kg")
    (step,) = ladder.ladder(bench.state, blend).steps
    assert isinstance(step.water, Finding)
    assert isinstance(step.dry_density, Withheld)
    assert [each.code for each in ladder.questions(bench.state)] == ["press_not_named"]
