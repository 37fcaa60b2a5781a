"""One block for Choose and Make: the brief's, else the mould's at the trial's density. Expected masses by hand."""

import math

import pytest

from loamwright.formula import evaluate
from loamwright.project import blends, choosing, costs, making
from loamwright.project.block_of_work import block_of_work
from loamwright.project.demo import load_demo
from loamwright.project.finding import Finding, working


@pytest.fixture
def mix(bench):
    """5:2 at 6 %, four blocks of 2000 kg/m³ dry from a bench mould (2.2 kg, 0.001 m³, 10 % water); then a yard press."""
    soils = bench.five_to_two()
    mix = bench.write("mix", blend=soils["blend"], stabiliser=soils["cement"], dose="6 %", basis="of_total_dry_mix")
    # 10.5 kg at 5 % is 10 kg dry; 0.638 kg of cement; 0.5638 kg of water and the soil's 0.5 kg are 10 % of 10.638 kg
    batch = bench.write("batch", mix=mix, soil_wanted="10.5 kg", water_wanted="10 %")
    for what, mass in (("soil", "10.5 kg"), ("stabiliser", "0.638 kg"), ("water", "0.5638 kg")):
        bench.write("weighing", batch=batch, what=what, mass=mass)
    small = bench.press(block_height="100 mm", rate="20 per_h")
    for counter in range(1, 5):
        bench.block(batch, small, counter)
    bench.write("choice", mix=mix, reason="met the brief")
    bench.write("mixer", name="floor", usable_volume="600 l")
    return mix


def both(bench, mix):
    """Mass of one block as Choose and as Make has it."""
    chosen = costs.mix_cost(bench.state, mix).block_mass
    assert isinstance(chosen, Finding)
    return chosen, making.setup(bench.state).block_mass


def test_choose_and_make_take_the_mould_of_the_press_that_makes_the_work(bench, mix):
    bench.write("press", name="yard press", how="no_gauge", mould_length="290 mm", mould_width="140 mm", block_height="90 mm",
                rate="120 per_h")  # fmt: skip
    chosen, made = both(bench, mix)
    assert chosen.value == made.value == pytest.approx(2000 * 0.290 * 0.140 * 0.090)
    assert [note.code for note in chosen.notes] == ["block_of_mould"]
    for line, step in zip(working(chosen), chosen.steps(), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-4)


def test_a_block_the_brief_names_counts_in_both_and_its_difference_to_the_mould_is_said(bench, mix):
    bench.write("brief", by="own", block_mass="2.5 kg")
    chosen, made = both(bench, mix)
    assert chosen.value == made.value == 2.5
    (differs,) = [note for note in made.notes if note.code == "block_of_brief_differs"]
    assert (differs.values["brief_kg"], differs.values["mould_kg"]) == (2.5, pytest.approx(2.0))


def test_a_brief_that_agrees_with_the_mould_says_no_difference(bench, mix):
    bench.write("brief", by="own", block_mass="2.03 kg")
    assert [note.code for note in both(bench, mix)[1].notes] == ["block_of_brief"]


def test_one_press_asked_about_is_the_one_reckoned_with(bench, mix):
    wide = bench.press("200 mm", "100 mm", block_height="100 mm")
    bench.press("300 mm", "100 mm", block_height="100 mm")
    found = block_of_work(bench.state, mix, press=bench.state.fact(wide, "press"))
    assert (found.why, found.mass.value) == ("mould", pytest.approx(4.0))


def test_the_demo_counts_bags_and_trips_for_a_block_of_its_yard_press(desk, clock):
    """1,800 blocks of 290 x 140 x 90 mm: bags = blocks x block mass x dose / 50 kg or as the bag weighs, rounded up."""
    state = desk.state(load_demo(desk, clock()))
    found = choosing.choosing(state)
    (first, *_) = found.ranking.ranked
    cost = found.costs[first.figures.mix]
    assert cost.trips is not None and cost.bags is not None
    assert block_of_work(state, cost.key).why == "mould"
    assert cost.stabiliser.value == pytest.approx(cost.block_mass.value * blends.wanted_dose(state.fact(cost.key, "mix")).value)
    stabiliser = state.fact(state.fact(cost.key, "mix")["stabiliser"], "stabiliser")
    by_hand = 1800 * cost.stabiliser.value / stabiliser.needed("bag_mass")
    assert cost.bags.bags == math.ceil(by_hand)
