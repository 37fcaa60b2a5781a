"""Trial plans over a real notebook: what each takes by hand, what it can show by the formula, fates and marks of its batches."""

import math
from collections import Counter

import pytest

from loamwright.engine.bench.marks import check_mark
from loamwright.formula import evaluate
from loamwright.project import plan_offers, planning
from loamwright.project.finding import Finding, Withheld, working
from loamwright.project.telling import with_told

TAU, SIGMA = 0.08, 0.10  # the spreads that answers start from: between batches and within one


def shown(batches, blocks):
    """2.486 times the root of 2 (tau squared over B, and sigma squared over B n), as a share of the weaker."""
    return math.exp(2.486 * math.sqrt(2 * (TAU**2 / batches + SIGMA**2 / (batches * blocks)))) - 1


@pytest.fixture
def yard(bench):
    """Three mixes of one blend, a press of 100 x 100 x 100 mm at 30 blocks an hour, soil at 4 %."""
    sources = [bench.write("source", name=name) for name in ("Bank sand", "Red clay")]
    parts = {f"parts-{i}-source": source for i, source in enumerate(sources)}
    blend = bench.write("blend", **parts, **{"parts-0-parts": "2", "parts-1-parts": "1"})
    for about in (blend, *sources):
        bench.write("pan_test", about=about, wet="520 g", dry="500 g")
    cement = bench.write("stabiliser", name="cement", type="cement")
    doses = ("4 %", "6 %", "8 %")
    mixes = [bench.write("mix", blend=blend, stabiliser=cement, dose=dose, basis="of_total_dry_mix") for dose in doses]
    press = bench.press(block_height="100 mm", rate="30 per_h")
    return {"mixes": mixes, "press": press, "sources": sources, "cement": cement}


def offered(bench, yard, count=3):
    state = bench.state
    mixes = [state.fact(each, "mix") for each in yard["mixes"][:count]]
    found = plan_offers.offers(state, mixes, press=state.fact(yard["press"], "press"), seed="4 March")
    return {each.size: each for each in found}


def kept(bench, yard, size="usual", count=3, seed="4 March"):
    """A plan as a page keeps it, its batches told in it."""
    body = {"size": size, "seed": seed, "press": yard["press"], "mixes": yard["mixes"][:count]}
    hand = bench.hand()
    body = with_told(bench.state, "plan", body, entry_id="", at="")
    entry = bench.desk.entry("plan", body, hand, project=bench.project)
    bench.desk.keep([entry])
    return entry.id


def test_three_sizes_have_the_batches_days_and_blocks_they_promise(bench, yard):
    """Small: 3 x 1 batch of 3 + 1. Usual: 3 batches and the two best again, 3 + 2 + 1 each. Official: 2 x 3 batches of 5 + 1."""
    found = offered(bench, yard)
    assert {size: (each.days, len(each.rows), each.blocks) for size, each in found.items()} == {
        "small": (1, 3, 12),
        "usual": (2, 5, 30),
        "official": (3, 6, 36),
    }
    assert [note.code for note in found["official"].notes if note.code == "rule_n_not_known"]


def test_the_briefs_number_condition_and_age_make_the_official_plan(bench, yard):
    bench.write("brief", by="own", mean_least="2 MPa", condition="wet", soak_least="1440 min", n="8", age_days="35")
    (row, *_) = offered(bench, yard)["official"].rows
    assert Counter((fate.fate, fate.age) for fate in row.fates) == {("soaked", 35): 8, ("spare", None): 1}


@pytest.mark.parametrize("count", [2, 3])
def test_the_difference_shown_is_the_formula_by_hand(bench, yard, count):
    found = offered(bench, yard, count)
    usual, official = found["usual"].difference, found["official"].difference
    assert usual.value == pytest.approx(shown(2, 3), abs=5e-4)  # 28 % in answers
    assert official.value == pytest.approx(shown(3, 5), abs=5e-4)  # 20 % in answers
    assert isinstance(found["small"].difference, Withheld)
    assert found["small"].difference.fault.code == "too_few_batches"
    for line, step in zip(working(usual), usual.steps(), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=1e-4)


def test_what_the_small_plan_takes_is_the_hand_calculation(bench, yard):
    """A block: 1850 kg/m³ x 0.001 m³ = 1.85 kg dry; a batch of 4 with a tenth left over: 8.14 kg dry mix.

    Cement 8.14 x (0.04 + 0.06 + 0.08) = 1.4652 kg; dry soil 24.42 - 1.4652 = 22.9548 kg, two thirds of it bank sand (no pail
    weighed: parts are taken as equal in mass), damp x 1.04 = 15.9153 kg. Water 0.1 x 24.42 - 0.04 x 22.9548 = 1.5238 kg.
    Twelve blocks at 30 an hour are 24 minutes.
    """
    small = offered(bench, yard)["small"]
    assert small.stabiliser[yard["cement"]].value == pytest.approx(1.4652)
    assert small.soil[yard["sources"][0]].value == pytest.approx(15.9153, abs=1e-4)
    assert small.water.value == pytest.approx(1.5238, abs=1e-4)
    assert small.minutes.value == pytest.approx(24)
    for result in (*small.soil.values(), *small.stabiliser.values(), small.water, small.minutes):
        for line, step in zip(working(result), result.steps(), strict=True):
            assert evaluate(line.put_in) == pytest.approx(step.value, rel=1e-4)


def test_an_open_place_is_reckoned_as_the_neediest_mix(bench, yard):
    """Usual: five batches of 6 blocks, 12.21 kg each; cement of day one 4 + 6 + 8 %, of day two twice 8 %: 34 % of 12.21 kg."""
    usual = offered(bench, yard)["usual"]
    assert usual.stabiliser[yard["cement"]].value == pytest.approx(0.34 * 12.21)


def test_a_press_without_a_rate_leaves_only_the_time_open(bench, yard):
    slow = bench.press(block_height="100 mm")
    found = offered(bench, {**yard, "press": slow})
    assert isinstance(found["small"].minutes, Withheld)
    assert isinstance(found["small"].water, Finding)


def test_without_stabiliser_blocks_are_broken_dry(bench, yard):
    blend = bench.state.fact(yard["mixes"][0], "mix")["blend"]
    raw = bench.write("mix", blend=blend, dose="0 %", basis="of_total_dry_mix")
    found = offered(bench, {**yard, "mixes": [raw, yard["mixes"][0]]}, 2)["small"]
    assert {row.mix: {fate.fate for fate in row.fates} for row in found.rows}[raw] == {"dry", "spare"}


def test_the_same_seed_keeps_the_same_order_and_every_mix_has_the_same_fates(bench, yard):
    plans = [kept(bench, yard), kept(bench, yard)]
    first, second = (planning.plan_view(bench.state, each) for each in plans)
    assert [(row.day, row.mixes, row.fates) for row in first.rows] == [(row.day, row.mixes, row.fates) for row in second.rows]
    assert {frozenset(Counter(row.fates).items()) for row in first.rows} == {frozenset(Counter(first.rows[0].fates).items())}


def test_marks_run_on_from_plan_to_plan_and_pass_their_check(bench, yard):
    plans = [kept(bench, yard, "small"), kept(bench, yard, "small")]
    first, second = (planning.plan_view(bench.state, each) for each in plans)
    counters = [check_mark(mark).counter for view in (first, second) for row in view.rows for mark in row.marks]
    assert counters == list(range(1, 25))


def test_a_batch_of_a_plan_has_its_fates_and_the_next_row_follows(bench, yard):
    plan = kept(bench, yard, "small")
    row = planning.plan_view(bench.state, plan).next
    batch = bench.write("batch", mix=row.mixes[0], plan=plan, plan_row="1", soil_wanted="8 kg")
    state = bench.state
    assert planning.plan_row_fates(state, state.fact(batch, "batch")) == [fate.fate for fate in row.fates]
    assert planning.plan_row_marks(state, state.fact(batch, "batch")) == list(row.marks)
    assert planning.plan_view(state, plan).next.row == 2
    alone = bench.write("batch", mix=row.mixes[0], soil_wanted="8 kg")
    assert planning.plan_row_fates(bench.state, bench.state.fact(alone, "batch")) == []


def test_a_place_taken_by_one_mix_is_not_offered_to_the_other(bench, yard):
    plan = kept(bench, yard, "official")
    view = planning.plan_view(bench.state, plan)
    assert all(set(row.mixes) == set(yard["mixes"]) for row in view.rows)
    bench.write("batch", mix=yard["mixes"][2], plan=plan, plan_row="1", soil_wanted="8 kg")
    after = planning.plan_view(bench.state, plan)
    place = after.rows[0].place
    for row in after.rows:
        assert set(row.mixes) == ({yard["mixes"][2]} if row.place == place else set(yard["mixes"][:2]))


def test_what_does_not_fit_the_plan_is_asked(bench, yard):
    plan = kept(bench, yard, "usual", count=2)
    rows = planning.plan_view(bench.state, plan).rows
    other = next(mix for mix in yard["mixes"] if mix != rows[0].mixes[0])
    for row, mix in ((rows[0], other), (rows[0], other), (rows[2], rows[2].mixes[0])):
        bench.write("batch", mix=mix, plan=plan, plan_row=str(row.row), soil_wanted="8 kg")
    assert Counter(bench.codes(planning.questions)) == {"plan_row_twice": 1, "plan_other_mix": 2, "plan_one_day": 1}


def test_a_plan_without_batches_is_asked_about(bench, yard):
    bench.write("plan", size="small", seed="s", press=yard["press"])
    assert bench.codes(planning.questions) == ["plan_without_rows"]
    assert planning.due(bench.state, bench.hand().moment.date()) == ()


def rig_codes(bench, yard):
    state = bench.state
    return [note.code for note in plan_offers.rig_verdict(state, state.fact(yard["press"], "press")).notes]


def test_the_rig_must_reach_twice_the_brief_on_the_face_of_the_block(bench, yard):
    """2 MPa on 100 x 100 mm breaks at 20 kN; the rig should reach 40."""
    assert rig_codes(bench, yard) == ["rig_no_brief", "rig_none"]
    bench.write("brief", by="own", mean_least="2 MPa", condition="wet", soak_least="1440 min", n="5")
    bench.write("rig", name="jack", how="jack", capacity="30 kN", ram_bore="50 mm")
    verdict = plan_offers.rig_verdict(bench.state, bench.state.fact(yard["press"], "press"))
    assert verdict.load_needed.value == pytest.approx(40)
    assert rig_codes(bench, yard) == ["rig_near_its_limit", "rig_not_checked", "rig_scrap_first"]
    bench.write("rig", name="frame", how="load", capacity="41 kN")
    assert rig_codes(bench, yard) == ["rig_enough", "rig_scrap_first"]
