"""Bags for a job against worked figures."""

from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.yard.bags import BAGS_NEEDED, BLOCKS_PER_BAG, bags_needed, blocks_per_bag
from loamwright.errors import InputError
from loamwright.formula import evaluate

LB = 0.45359237


def test_seventy_against_fifty_three_bags():
    # 6,200 blocks of 6.99 kg, 50 kg bags: 8 % is 69.34, so 70; 6 % is 52.01, so 53, on the edge of 52.
    at_eight = bags_needed(6200, dry_block_mass=6.99, stabiliser_of_total=0.08, bag_mass=50.0)
    assert (round(at_eight.exact, 2), at_eight.bags, at_eight.notes) == (69.34, 70, ())
    at_six = bags_needed(6200, dry_block_mass=6.99, stabiliser_of_total=0.06, bag_mass=50.0)
    assert (round(at_six.exact, 2), at_six.bags) == (52.01, 53)
    assert at_six.notes[0].code == "bag_count_on_edge"
    assert (at_six.notes[0].values["fewer"], at_six.notes[0].values["more"]) == (52, 53)


def test_the_unrounded_block_needs_a_bag_less():
    # 295 x 140 x 90 mm at 1.88 kg/l is 6.988 kg: 51.99 bags, so 52, and still on the edge.
    mass = 2.95 * 1.40 * 0.90 * 1.88
    found = bags_needed(6200, dry_block_mass=mass, stabiliser_of_total=0.06, bag_mass=50.0)
    assert (round(found.exact, 2), found.bags, found.notes[0].code) == (51.99, 52, "bag_count_on_edge")


@pytest.mark.parametrize(
    ("blocks", "mass", "dose", "bag", "bags"),
    [
        (4400, 38.2 * LB, 0.07, 94 * LB, 126),
        (4400, 38.2 * LB, 0.0772, 94 * LB, 139),
        (3000, 6.62, 0.08, 25.0, 64),
    ],
    ids=["7 % in pounds", "7.72 % in pounds", "lime in 25 kg bags"],
)
def test_other_jobs(blocks, mass, dose, bag, bags):
    # 4,400 * 38.2 * 0.07 / 94 = 125.2; 4,400 * 38.2 * 0.0772 / 94 = 138.04; 3,000 * 6.62 * 0.08 / 25 = 63.6.
    assert bags_needed(blocks, dry_block_mass=mass, stabiliser_of_total=dose, bag_mass=bag).bags == bags


@pytest.mark.parametrize(
    ("mass", "bag", "row"),
    [
        (5.0, 50.0, (260, 210, 176, 135, 110)),
        (6.5, 50.0, (200, 161, 135, 103, 84)),
        (8.0, 50.0, (162, 131, 110, 84, 68)),
        (10.0, 50.0, (130, 105, 88, 67, 55)),
        (5.0, 42.64, (221, 179, 150, 115, 93)),
        (8.0, 42.64, (138, 111, 94, 71, 58)),
        (10.0, 42.64, (110, 89, 75, 57, 46)),
    ],
)
def test_blocks_per_bag_table(mass, bag, row):
    # Table of blocks per bag at 4, 5, 6, 8, 10 % of dry soil, derived as bag / (m * c/(1 + c)) and cut to whole blocks.
    for c, blocks in zip((0.04, 0.05, 0.06, 0.08, 0.10), row, strict=True):
        assert floor(blocks_per_bag(bag, dry_block_mass=mass, stabiliser_of_total=c / (1 + c)) + 1e-9) == blocks


def test_one_kilogram_a_block():
    # Common practice in one training centre: 1:7 by mass and 8 kg blocks hold 1 kg each, 50 per 50 kg bag.
    assert blocks_per_bag(50.0, dry_block_mass=8.0, stabiliser_of_total=1 / 8) == pytest.approx(50.0)
    # A cost page: 94 lb is 10 % of 940 lb, blocks of 21 lb: 44 per bag, not 100.
    assert int(blocks_per_bag(94.0, dry_block_mass=21.0, stabiliser_of_total=0.10)) == 44


@given(st.integers(0, 20_000), st.floats(1.0, 20.0), st.floats(0.01, 0.2), st.sampled_from([25.0, 40.0, 42.5, 50.0]))
def test_bags_hold_the_stabiliser(blocks, mass, dose, bag):
    found = bags_needed(blocks, dry_block_mass=mass, stabiliser_of_total=dose, bag_mass=bag)
    wanted = blocks * mass * dose
    assert found.bags * bag >= wanted - 1e-6
    assert (found.bags - 1) * bag < wanted + 1e-6 or found.bags == 0


def test_whole_bags_are_not_rounded_up():
    # 1,000 blocks of 7 kg at 7 % hold 490 kg: 9.8 bags of 50; at bags of 49 kg exactly 10.
    assert bags_needed(1000, dry_block_mass=7.0, stabiliser_of_total=0.07, bag_mass=49.0).bags == 10


def test_formulas():
    numbers = {"n": 6200, "m_b": 6.99, "p": 0.08, "B": 50}
    found = bags_needed(6200, dry_block_mass=6.99, stabiliser_of_total=0.08, bag_mass=50.0)
    assert evaluate(BAGS_NEEDED.put_in(numbers)) == pytest.approx(found.exact)
    per_bag = blocks_per_bag(50.0, dry_block_mass=6.99, stabiliser_of_total=0.08)
    assert evaluate(BLOCKS_PER_BAG.put_in(numbers)) == pytest.approx(per_bag)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"blocks": -1}, "negative"),
        ({"dry_block_mass": 0.0}, "not_positive"),
        ({"bag_mass": 0.0}, "not_positive"),
        ({"stabiliser_of_total": 8.0}, "not_a_share"),
    ],
)
def test_refused(changes, code):
    values = {"blocks": 10, "dry_block_mass": 7.0, "stabiliser_of_total": 0.08, "bag_mass": 50.0, **changes}
    with pytest.raises(InputError) as refusal:
        bags_needed(values.pop("blocks"), **values)
    assert refusal.value.code == code
    with pytest.raises(InputError):
        blocks_per_bag(50.0, dry_block_mass=7.0, stabiliser_of_total=0.0)
