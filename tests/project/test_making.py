"""Recipes, proving batch and morning check over a real notebook, with the figures of the job's own calculation.

job.md 2.15 [calc]: half bag of 50 kg, 20 l pails of 28.4 (sandy) and 22.4 kg (clay), dry: 2 sets of 5 + 2 give 6.27 %, 3 sets
4.27 %; 6.00 % is not reachable. By hand: one set is 5 x 28.4 + 2 x 22.4 = 186.8 kg; 25 / (373.6 + 25) = 6.272 %,
25 / (560.4 + 25) = 4.271 %. The stock holds 5 % here, so a pail weighs 29.82 and 23.52 kg and its tare of 1 kg more.
"""

from datetime import timedelta

import pytest

from loamwright.formula import evaluate
from loamwright.notebook.kinds.dig_kinds import STOP_QUESTIONS
from loamwright.project import making, proving
from loamwright.project.finding import working
from loamwright.project.making import Picked
from loamwright.project.telling import with_told


@pytest.fixture
def yard(bench):
    """A choice at 6 %, a mixer of 450 l, a press of 295 x 140 x 90 mm at 2 blocks a minute."""
    soils = bench.five_to_two()
    sand, clay, pail, blend, cement = (soils[name] for name in ("sand", "clay", "container", "blend", "cement"))
    mix = bench.write("mix", blend=blend, stabiliser=cement, dose="6 %", basis="of_total_dry_mix")
    choice = bench.write("choice", mix=mix, reason="met the brief")
    mixer = bench.write("mixer", name="pan mixer", usable_volume="450 l")
    press = bench.press("295 mm", "140 mm", block_height="90 mm", rate="2 per_min")
    made = {"sand": sand, "clay": clay, "cement": cement, "mix": mix}
    return {**made, "choice": choice, "mixer": mixer, "press": press, "container": pail}


def kept(bench, yard, sets="2", half_bags="1"):
    named = {name: yard[name] for name in ("choice", "mixer", "press", "container")}
    body = with_told(bench.state, "recipe", bench.body("recipe", sets=sets, half_bags=half_bags, **named), entry_id="", at="")
    entry = bench.desk.entry("recipe", body, bench.hand(), project=bench.project)
    bench.desk.keep([entry])
    return entry.id


def settle(bench, yard):
    for source in (yard["sand"], yard["clay"]):
        for question in STOP_QUESTIONS:
            bench.write("stop_check", source=source, question=question, answer="no")


def proof(bench, recipe, **changed):
    """A proving batch that passes: pressed on 1 March, looked at on the 8th, blocks of 7.56 kg and 90 mm."""
    typed = {
        "on": "2026-03-01",
        "tally_exact": "yes",
        "blocks": "57",
        "masses": ["7.56 kg"] * 5,
        "heights": ["90 mm"] * 5,
        "soaked": "3",
        "whole_after_soak": "3",
        "soaked_on": "2026-03-08",
        **changed,
    }
    return bench.write("proving_batch", recipe=recipe, **{name: value for name, value in typed.items() if value})


def missing(bench, recipe):
    return [note.code for note in proving.recipe_view(bench.state, recipe).missing]


def test_the_nearest_dose_comes_first_and_six_per_cent_is_said_not_to_be_reachable(bench, yard):
    found = making.offers(bench.state, most=20)
    first = found.recipes[0]
    assert (first.recipe.sets, first.recipe.bags) == (2, 0.5)
    assert first.dose.value == pytest.approx(0.0627, abs=5e-5)
    by_count = {(each.recipe.sets, each.recipe.bags): each.dose.value for each in found.recipes}
    assert by_count[3, 0.5] == pytest.approx(0.0427, abs=5e-5)
    assert not found.search.reachable
    (note,) = found.search.notes
    assert note.code == "dose_not_reachable"
    assert (note.values["wanted"], note.values["nearest"]) == (0.06, pytest.approx(0.0627, abs=5e-5))


def test_water_blocks_and_minutes_are_those_by_hand(bench, yard):
    """Water 0.1 x 398.6 - 0.05 x 373.6 = 21.18 kg. A block: 1850 x 0.295 x 0.14 x 0.09 = 6.87645 kg: 57 blocks, 28.5 min."""
    first = making.offers(bench.state).recipes[0]
    assert dict(first.recipe.pails) == {yard["sand"]: 10, yard["clay"]: 4}
    assert first.water.value == pytest.approx(21.18)
    assert (first.blocks.value, first.minutes.value) == (57, 28.5)
    for finding in (first.dose, first.water, first.blocks, first.minutes):
        for line, step in zip(working(finding), finding.steps(), strict=True):
            assert evaluate(line.put_in) == pytest.approx(step.value, rel=1e-4)


def test_a_slow_press_splits_the_batch_before_stabiliser(bench, yard):
    """At 0.8 a minute 48 blocks are pressed in an hour: 57 are not, so the dry mix is parted into two heaps."""
    slow = bench.press("295 mm", "140 mm", block_height="90 mm", rate="48 per_h")
    found = making.offers(bench.state, Picked(press=slow))
    assert found.to_split.recipe.blocks == 57
    assert found.to_split.split.heaps == 2
    assert all(each.recipe.blocks <= 48 for each in found.recipes)
    assert "split_before_stabiliser" in [note.code for note in found.search.notes]


def test_a_hot_day_halves_what_a_batch_may_wait_and_lime_rests(bench, yard):
    assert making.setup(bench.state, Picked(hot=True)).yard.hold_limit_minutes == 30
    assert making.setup(bench.state).yard.hold_limit_minutes == 60
    bench.correct(yard["cement"], "stabiliser", name="lime", type="lime", bag_mass="25 kg")
    assert making.setup(bench.state, Picked(hot=True)).yard.hold_limit_minutes == 24 * 60


def test_a_recipe_kept_for_hot_days_stays_one(bench, yard):
    """57 blocks at 2 a minute take 28.5 min: within 30; at 1.5 a minute they do not, and the dry mix is parted in two."""
    named = {name: yard[name] for name in ("choice", "mixer", "container")}
    slow = bench.press("295 mm", "140 mm", block_height="90 mm", rate="90 per_h")
    for hot, heaps in (("no", None), ("yes", 2)):
        recipe = bench.write("recipe", sets="2", half_bags="1", press=slow, hot=hot, **named)
        now = proving.recipe_view(bench.state, recipe).now
        assert (None if now.split is None else now.split.heaps) == heaps


def test_each_thing_that_is_missing_is_named(bench):
    assert [each.code for each in making.lacks(bench.state)] == ["choice"]
    sand, clay = (bench.write("source", name=name) for name in ("Bank sand", "Red clay"))
    blend = bench.write("blend", **{"parts-0-source": sand, "parts-0-parts": "5", "parts-1-source": clay, "parts-1-parts": "2"})
    cement = bench.write("stabiliser", name="cement", type="cement")
    mix = bench.write("mix", blend=blend, stabiliser=cement, dose="6 %", basis="of_total_dry_mix")
    bench.write("choice", mix=mix, reason="why not")
    lacking = ["bag", "pails_weighed", "pails_weighed", "pail", "mixer", "press"]
    assert [each.code for each in making.lacks(bench.state)] == lacking
    bench.press()
    assert [each.code for each in making.lacks(bench.state)][-2:] == ["press_rate", "press_size"]


def test_a_pail_of_another_size_is_reckoned_from_the_loose_density(bench, yard):
    """28.4 kg in 20 l is 1420 kg/m³; a 10 l pail of it holds 14.2 kg."""
    small = bench.write("container", name="small pail", volume="10 l", tare="0.5 kg")
    ready = making.setup(bench.state, Picked(container=small))
    assert ready.pails[yard["sand"]].value == pytest.approx(14.2)


def test_bags_for_a_job_are_rounded_up_last(bench, yard):
    """6,200 blocks x 6.87645 kg x 25 / 398.6 / 50 kg = 53.48 bags: 54."""
    ready = making.setup(bench.state)
    finding, counted = making.bags_finding(ready, making.reckon(ready, sets=2, half_bags=1), 6200)
    assert finding.value == pytest.approx(6200 * 6.87645 * 25 / 398.6 / 50)
    assert counted.bags == 54


def test_the_told_figures_stay_when_a_pail_is_weighed_again(bench, yard):
    recipe = kept(bench, yard)
    bench.write("pail_weighing", source=yard["sand"], container=yard["container"], gross=["29.77 kg"] * 3)
    view = proving.recipe_view(bench.state, recipe)
    assert view.shown["stabiliser_of_total"] == pytest.approx(25 / 398.6)
    # 28.77 / 1.05 = 27.4 kg dry: S = 2 x (137 + 44.8) = 363.6 kg
    assert view.now.dose.value == pytest.approx(25 / 388.6)


def test_a_recipe_leaves_draft_when_its_proving_batch_passes_and_no_stop_question_is_open(bench, yard):
    """A block is 6.87645 kg dry, 7.564 kg with 10 % of water."""
    recipe = kept(bench, yard)
    assert missing(bench, recipe) == ["recipe_stops_open", "proving_none"]
    proof(bench, recipe)
    assert missing(bench, recipe) == ["recipe_stops_open"]
    settle(bench, yard)
    assert not proving.recipe_view(bench.state, recipe).draft


def test_a_recipe_far_off_its_dose_stays_a_draft_whatever_its_batch_shows(bench, yard):
    # job.md 2.15 [calc]: three sets and half a bag reach 4.27 % where 6.00 % was chosen, 29 % off the dose.
    recipe = kept(bench, yard, sets="3")
    proof(bench, recipe)
    settle(bench, yard)
    assert missing(bench, recipe) == ["recipe_misses_dose"]
    assert proving.recipe_view(bench.state, recipe).draft


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"tally_exact": ""}, "proving_tally"),
        ({"masses": ["7.56 kg", "7.80 kg"]}, "proving_mass_off"),  # 3.1 % above 7.564 kg
        ({"masses": ["7.56 kg", "7.33 kg"]}, "proving_mass_off"),  # 3.1 % below
        ({"masses": ""}, "proving_no_mass"),
        ({"heights": ["90 mm", "92.5 mm"]}, "proving_height_off"),
        ({"heights": ""}, "proving_no_height"),
        ({"soaked": ""}, "proving_not_soaked"),
        ({"soaked_on": "2026-03-07"}, "proving_soak_early"),
        ({"whole_after_soak": "2"}, "proving_fell_apart"),
    ],
)
def test_what_keeps_a_recipe_a_draft(bench, yard, changed, code):
    settle(bench, yard)
    recipe = kept(bench, yard)
    proof(bench, recipe, **changed)
    assert missing(bench, recipe) == [code]


def test_three_per_cent_and_two_millimetres_still_pass(bench, yard):
    """7.78 kg is 2.86 % above 7.564 kg."""
    settle(bench, yard)
    recipe = kept(bench, yard)
    proof(bench, recipe, masses=["7.78 kg", "7.4 kg"], heights=["92 mm", "88 mm"])
    assert missing(bench, recipe) == []


def test_a_soak_added_a_week_later_by_correction_counts_from_the_first_day(bench, yard, clock):
    settle(bench, yard)
    recipe = kept(bench, yard)
    first = proof(bench, recipe, on="", soaked="", whole_after_soak="", soaked_on="")
    pressed = clock().date()
    (due,) = proving.due(bench.state, pressed)
    assert (due.code, due.on) == ("proving_soak", pressed + timedelta(days=7))
    clock.ahead(days=7)
    typed = {"tally_exact": "yes", "masses": ["7.56 kg"], "heights": ["90 mm"], "soaked": "3", "whole_after_soak": "3"}
    bench.correct(first, "proving_batch", recipe=recipe, **typed)
    assert missing(bench, recipe) == []


def test_the_morning_sets_the_water_of_the_day_source_by_source_and_finds_scale_and_pail_off(bench, yard):
    """10 l of water at 20 °C are 9.982 kg; 9.6 kg is 3.8 % light. Pans: sand 540 g to 500 g, 8 %; clay 550 g to 500 g, 10 %.

    A pail of sand is then 28.4 x 1.08 = 30.672 kg; 34 kg less the tare of 1 kg is 7.6 % heavy. Clay: 22.4 x 1.10 = 24.64 kg.
    Ten pails of sand bring 284 x 0.08 = 22.72 kg of water, four of clay 89.6 x 0.10 = 8.96 kg: 39.86 - 31.68 = 8.18 kg to add.
    """
    recipe = kept(bench, yard)
    sand = {"pails-0-source": yard["sand"], "pails-0-gross": "34 kg", "pails-0-pan_wet": "540 g", "pails-0-pan_dry": "500 g"}
    clay = {"pails-1-source": yard["clay"], "pails-1-gross": "25.64 kg", "pails-1-pan_wet": "550 g", "pails-1-pan_dry": "500 g"}
    check = bench.write("morning_check", recipe=recipe, water_volume="10 l", water_mass="9.6 kg", weather="dry", **sand, **clay)
    view = proving.morning_view(bench.state, bench.state.fact(check, "morning_check"))
    assert view.scale.value == pytest.approx(9.6 / 9.982 - 1, abs=1e-4)
    assert {source: pan.value for source, pan in view.pans.items()} == {
        yard["sand"]: pytest.approx(0.08),
        yard["clay"]: pytest.approx(0.1),
    }
    assert view.today.water.value == pytest.approx(8.18)
    assert {pail.source: pail.error.value for pail in view.pails} == {
        yard["sand"]: pytest.approx(33 / 30.672 - 1),
        yard["clay"]: pytest.approx(0.0, abs=1e-6),
    }
    assert [note.code for note in view.notes] == ["scale_off", "pail_off"]


def test_a_source_without_a_pan_counts_as_last_tested_and_is_named(bench, yard, clock):
    """Sand 8 %: 22.72 kg; clay as last tested, 5 %: 89.6 x 0.05 = 4.48 kg; 39.86 - 27.2 = 12.66 kg. Its own pan at noon: 8.18 kg."""
    recipe = kept(bench, yard)
    bench.write(
        "morning_check", recipe=recipe, **{"pails-0-source": yard["sand"], "pails-0-pan_wet": "540 g", "pails-0-pan_dry": "500 g"}
    )
    fact, day = bench.state.fact(recipe, "recipe"), clock().date()
    view = proving.last_morning(bench.state, fact, day)
    assert view.today.water.value == pytest.approx(12.66)
    assert [(note.code, note.values["names"]) for note in view.notes] == [("morning_no_pan", "Red clay")]
    bench.write(
        "morning_check", recipe=recipe, **{"pails-0-source": yard["clay"], "pails-0-pan_wet": "550 g", "pails-0-pan_dry": "500 g"}
    )
    again = proving.last_morning(bench.state, fact, day)
    assert again.today.water.value == pytest.approx(8.18)
    assert again.notes == ()


def test_a_morning_with_absurd_readings_is_kept_and_noted(bench, yard):
    recipe = kept(bench, yard)
    pan = {"pails-0-source": yard["sand"], "pails-0-pan_wet": "400 g", "pails-0-pan_dry": "500 g"}
    check = bench.write("morning_check", recipe=recipe, water_volume="10 l", water_mass="0 kg", **pan)
    view = proving.morning_view(bench.state, bench.state.fact(check, "morning_check"))
    assert view.scale.fault.code == "not_positive"
    assert view.pans[yard["sand"]].fault.code == "wet_below_dry"
    assert view.today.water.value == pytest.approx(21.18)  # with the newest pan tests


def test_another_bag_is_asked_about(bench, yard):
    """S7 of the job: bags of 42.5 kg. 21.25 / (373.6 + 21.25) = 5.38 %."""
    recipe = kept(bench, yard)
    bench.correct(yard["cement"], "stabiliser", name="cement", type="cement", bag_mass="42.5 kg")
    (asked,) = proving.questions(bench.state)
    assert (asked.code, asked.about, asked.values["now_pct"]) == ("bag_changed", (recipe,), pytest.approx(5.382, abs=1e-3))


def test_a_choice_without_stabiliser_has_no_bags(bench, yard):
    blend = bench.state.fact(yard["mix"], "mix")["blend"]
    raw = bench.write("mix", blend=blend, dose="0 %", basis="of_total_dry_mix")
    bench.write("choice", mix=raw, reason="dry inside")
    assert [each.code for each in making.lacks(bench.state)] == ["stabiliser"]
