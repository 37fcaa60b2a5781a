"""Cost, trips and ranking against worked figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.blend.parts import mass_shares, source_dry_mass
from loamwright.engine.choice.gates import gate
from loamwright.engine.choice.ranking import (
    COST_PER_BLOCK,
    LOADS,
    SOIL_COST,
    MixFigures,
    PairVerdict,
    cost_per_block,
    ranking,
    soil_cost,
    trips,
)
from loamwright.engine.yard.bags import bags_needed
from loamwright.errors import InputError
from loamwright.formula import evaluate

PAILS = {"sandy": 1.42, "clay": 1.12}  # loose dry density, kg/l
LOAD = 3.0 * 1120.0  # 3 m3 of clay soil at 1.12 kg/l: 3,360 kg
BLOCKS, BLOCK = 6200, 6.99


def clay_soil(parts, dose):
    return source_dry_mass(parts, pail_dry_mass=PAILS, source="clay", dry_soil_mass=BLOCKS * BLOCK * (1 - dose))


@pytest.mark.parametrize(
    ("parts", "dose", "tonnes", "loads", "count"),
    [
        ({"sandy": 7, "clay": 2}, 0.08, 7.3, 2.18, 3),
        ({"sandy": 5, "clay": 2}, 0.06, 9.8, 2.91, 3),
        ({"sandy": 3, "clay": 2}, 0.06, 14.0, 4.18, 5),
    ],
    ids=["7:2@8", "5:2@6", "3:2@6"],
)
def test_trips_of_a_job(parts, dose, tonnes, loads, count):
    # 6,200 blocks of 6.99 kg dry; 7.3, 9.8 and 14.0 t of clay soil are 2.18, 2.91 and (14.0/3.36) 4.18 loads.
    mass = clay_soil(parts, dose)
    assert mass / 1000 == pytest.approx(tonnes, abs=0.05)
    found = trips(mass, load_mass=LOAD)
    assert (round(found.loads, 2), found.trips) == (loads, count)


def test_seventeen_more_bags_save_no_trip():
    # 70 against 53 whole bags: 17 more, 289,000 at 17,000 a bag; both mixes take 3 trips of 90,000.
    counts = {
        dose: bags_needed(BLOCKS, dry_block_mass=BLOCK, stabiliser_of_total=dose, bag_mass=50.0).bags for dose in (0.06, 0.08)
    }
    assert (counts[0.08] - counts[0.06]) * 17_000 == 289_000
    assert trips(clay_soil({"sandy": 5, "clay": 2}, 0.06), load_mass=LOAD).trips * 90_000 == 270_000


def test_cost_per_block_by_hand():
    # m 7 kg, p 6 %, soil 2 and cement 340 per kg, other 50, 5 % spoiled:
    # (7*(0.94*2 + 0.06*340) + 50) / 0.95 = (13.16 + 142.8 + 50) / 0.95 = 205.96/0.95 = 216.80.
    found = cost_per_block(
        7.0, stabiliser_of_total=0.06, soil_cost=2.0, stabiliser_cost=340.0, other_cost=50.0, spoiled_share=0.05
    )
    assert found == pytest.approx(216.80, abs=0.005)
    numbers = {"m_b": 7, "p": 0.06, "c_soil": 2, "c_s": 340, "c_other": 50, "q": 0.05}
    assert evaluate(COST_PER_BLOCK.put_in(numbers)) == pytest.approx(found)


def test_cost_of_a_job_is_the_cost_of_its_materials():
    # Free sandy soil, clay soil 90,000 a load, cement 17,000 a bag: blocks times cost is tonnes and kilograms at their price.
    parts, dose = {"sandy": 5, "clay": 2}, 0.06
    per_kg = soil_cost(
        {name: float(share) for name, share in mass_shares(parts, pail_dry_mass=PAILS).items()},
        source_cost={"sandy": 0.0, "clay": 90_000 / LOAD},
    )
    each = cost_per_block(BLOCK, stabiliser_of_total=dose, soil_cost=per_kg, stabiliser_cost=17_000 / 50)
    materials = clay_soil(parts, dose) * 90_000 / LOAD + BLOCKS * BLOCK * dose * 17_000 / 50
    assert each * BLOCKS == pytest.approx(materials, rel=1e-12)


def test_soil_cost_formula():
    found = soil_cost({"a": 0.76, "b": 0.24}, source_cost={"a": 1.0, "b": 27.0})
    assert evaluate(SOIL_COST.put_in({"f_1": 0.76, "c_1": 1, "f_2": 0.24, "c_2": 27})) == pytest.approx(found)
    assert evaluate(LOADS.put_in({"m": 9770, "m_load": 3360})) == pytest.approx(trips(9770.0, load_mass=3360.0).loads)


def test_whole_loads_are_not_rounded_up():
    assert trips(3 * 0.1 * 1000, load_mass=100.0).trips == 3
    assert trips(0.0, load_mass=100.0).trips == 0


def figures(mix, cost, stabiliser=0.42, scarce=1.6, count=3, spoiled=0.05):
    return MixFigures(mix, cost, stabiliser, scarce, count, spoiled)


def passing(*mixes):
    return [gate(mix, outcomes={"mean": "met"}, stop_questions={}) for mix in mixes]


def test_money_decides_between_mixes_that_are_not_apart():
    # 5:2 at 6 % wins on money; 7:2 at 8 % is 4 % lower in strength, noise at n = 5.
    found = ranking(
        [figures("7:2@8", 190.1, 0.559), figures("5:2@6", 142.6, 0.419)],
        gates=passing("7:2@8", "5:2@6"),
        pairs=[PairVerdict("5:2@6", "7:2@8", "not_apart")],
    )
    assert [(place.place, place.figures.mix) for place in found.ranked] == [(1, "5:2@6"), (2, "7:2@8")]
    assert found.ranked[1].decided_by == "cost_per_block"
    assert found.ranked[0].not_apart_from == ("7:2@8",)
    assert found.notes == ()


@pytest.mark.parametrize(
    ("worse", "decided"),
    [
        ({"cost": 101.0}, "cost_per_block"),
        ({"stabiliser": 0.43}, "stabiliser_per_block"),
        ({"scarce": 1.7}, "scarce_soil_per_block"),
        ({"count": 4}, "trips"),
        ({"spoiled": 0.06}, "spoiled_share"),
    ],
)
def test_each_figure_decides_in_its_turn(worse, decided):
    found = ranking(
        [figures("a", **{"cost": 100.0, **worse}), figures("b", 100.0)],
        gates=passing("a", "b"),
        pairs=[PairVerdict("a", "b", "apart")],
    )
    assert [place.figures.mix for place in found.ranked] == ["b", "a"]
    assert (found.ranked[1].place, found.ranked[1].decided_by) == (2, decided)
    assert found.ranked[0].not_apart_from == ()


def test_equals_share_a_place():
    found = ranking(
        [figures("b", 100.0), figures("a", 100.0), figures("c", 120.0)],
        gates=passing("a", "b", "c"),
        pairs=[PairVerdict("a", "b", "one_batch_each"), PairVerdict("a", "c", "apart"), PairVerdict("c", "b", "apart")],
    )
    assert [(place.place, place.figures.mix) for place in found.ranked] == [(1, "a"), (1, "b"), (3, "c")]
    assert found.ranked[0].not_apart_from == ("b",)


def test_only_passing_mixes_are_ranked():
    gates = [*passing("a"), gate("b", outcomes={"mean": "not_met"}, stop_questions={})]
    found = ranking([figures("a", 200.0), figures("b", 100.0)], gates=gates)
    assert [place.figures.mix for place in found.ranked] == ["a"]
    assert [each.mix for each in found.set_aside] == ["b"]


def test_nothing_passes():
    found = ranking([], gates=[gate("a", outcomes={"mean": "not_met"}, stop_questions={})])
    assert found.ranked == ()
    assert [note.code for note in found.notes] == ["nothing_passes"]


def test_a_missing_price_is_not_zero():
    found = ranking([figures("a", None, 0.5), figures("b", 100.0, 0.6)], gates=passing("a", "b"))
    assert [place.figures.mix for place in found.ranked] == ["a", "b"]
    assert found.ranked[1].decided_by == "stabiliser_per_block"
    assert [note.code for note in found.notes] == ["cost_not_known", "pair_not_compared"]


mixes = st.lists(
    st.builds(
        MixFigures,
        mix=st.sampled_from("abcdefgh"),
        cost_per_block=st.sampled_from([100.0, 110.0]),
        stabiliser_per_block=st.sampled_from([0.4, 0.5]),
        scarce_soil_per_block=st.sampled_from([1.0, 2.0]),
        trips=st.one_of(st.none(), st.integers(1, 2)),
        spoiled_share=st.sampled_from([0.0, 0.1]),
    ),
    unique_by=lambda each: each.mix,
    max_size=6,
)


@given(mixes, st.randoms())
def test_order_of_mixes_is_irrelevant(entered, random):
    gates = passing(*[each.mix for each in entered])
    shuffled = list(entered)
    random.shuffle(shuffled)
    assert ranking(shuffled, gates=gates[::-1]) == ranking(entered, gates=gates)
    costs = [place.figures.cost_per_block for place in ranking(entered, gates=gates).ranked]
    assert costs == sorted(costs)


def test_refused():
    for call, code in [
        (lambda: ranking([figures("a", 1.0), figures("a", 2.0)], gates=passing("a")), "mix_repeats"),
        (lambda: ranking([figures("a", 1.0)], gates=passing("a", "a")), "mix_repeats"),
        (lambda: ranking([], gates=passing("a")), "mix_without_figures"),
        (lambda: figures("a", -1.0), "negative"),
        (lambda: figures("a", 1.0, spoiled=1.0), "not_a_share"),
        (lambda: trips(10.0, load_mass=0.0), "not_positive"),
        (lambda: soil_cost({"a": 0.5}, source_cost={"a": 1.0}), "shares_do_not_sum_to_one"),
        (lambda: soil_cost({"a": 1.0}, source_cost={}), "source_missing"),
        (
            lambda: cost_per_block(7.0, stabiliser_of_total=6.0, soil_cost=0.0, stabiliser_cost=1.0),
            "not_a_share",
        ),
    ]:
        with pytest.raises(InputError) as refusal:
            call()
        assert refusal.value.code == code
