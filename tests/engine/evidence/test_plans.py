"""Trial plans: the same seed gives the same plan, batches stay whole, fates are balanced, every order is about as likely."""

import hashlib
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.evidence import plans
from loamwright.engine.evidence.plans import BlockFate, Wanted, batch_dry_mass, shuffled, total_formula, trial_plan
from loamwright.errors import InputError
from loamwright.formula import evaluate

USUAL = (Wanted("soaked", 28, 3), Wanted("dry", 28, 2), Wanted("spare", None, 1))
BLOCKS = dict.fromkeys("ABC", USUAL)
DAYS = [("A", "B", "C"), ("A", "B")]


def test_the_same_seed_gives_the_same_plan_and_another_seed_another():
    first = trial_plan(DAYS, blocks=BLOCKS, seed="4 March")
    assert first == trial_plan(DAYS, blocks=BLOCKS, seed="4 March")
    assert any(first != trial_plan(DAYS, blocks=BLOCKS, seed=str(i)) for i in range(3))


@pytest.mark.parametrize("stream", ["day 1", "day 2|A|0"])
def test_an_order_is_the_hand_made_shuffle_of_raw_words(stream):
    """Fisher and Yates by hand on the raw words of PCG64 seeded with SHA-256: of three, place 2 from word % 3, then place 1."""
    start = int.from_bytes(hashlib.sha256(f"plan-1|seed|{stream}".encode()).digest(), "big")
    words = [int(word) for word in np.random.PCG64(start).random_raw(2)]
    hand = ["a", "b", "c"]
    for place, word in zip((2, 1), words, strict=True):
        other = word % (place + 1)
        hand[place], hand[other] = hand[other], hand[place]
    assert shuffled("abc", seed="seed", stream=stream) == tuple(hand)


@given(seed=st.text(min_size=1).filter(str.strip))
def test_every_batch_is_whole_and_every_mix_gets_the_same_fates(seed):
    rows = trial_plan(DAYS, blocks=BLOCKS, seed=seed)
    assert [row.row for row in rows] == [1, 2, 3, 4, 5]
    assert [row.day for row in rows] == [1, 1, 1, 2, 2]
    assert sorted(row.mix for row in rows[:3]) == ["A", "B", "C"]
    assert sorted(row.mix for row in rows[3:]) == ["A", "B"]
    wanted = Counter({BlockFate("soaked", 28): 3, BlockFate("dry", 28): 2, BlockFate("spare", None): 1})
    assert all(Counter(row.fates) == wanted for row in rows)


def test_all_six_orders_of_a_day_come_about_as_often():
    """6,000 seeds, six orders, 1,000 each; the sum of squares over 1,000 is chi-squared with 5, 99.9 % of it below 20.5."""
    seen = Counter(shuffled("ABC", seed=str(i), stream="day 1") for i in range(6000))
    assert len(seen) == 6
    assert sum((count - 1000) ** 2 / 1000 for count in seen.values()) < 20.5


def test_a_mix_added_to_a_day_leaves_the_fates_of_the_others():
    two = {row.mix: row.fates for row in trial_plan([("A", "B")], blocks=BLOCKS, seed="s")}
    three = {row.mix: row.fates for row in trial_plan([("C", "B", "A")], blocks=BLOCKS, seed="s")}
    assert {mix: three[mix] for mix in two} == two


@pytest.mark.parametrize(
    ("days", "blocks", "seed", "code"),
    [
        (DAYS, BLOCKS, "  ", "seed_missing"),
        ([("D",)], BLOCKS, "s", "source_missing"),
        ([("A",)], {"A": ()}, "s", "not_positive"),
        ([("A",)], {"A": (Wanted("soaked", 28, -1),)}, "s", "negative"),
    ],
)
def test_what_makes_no_plan_is_refused(days, blocks, seed, code):
    with pytest.raises(InputError) as found:
        trial_plan(days, blocks=blocks, seed=seed)
    assert found.value.code == code


def test_dry_mix_of_the_jobs_example():
    """job.md 2.10: 54 blocks of 295 x 140 x 90 mm take 371 kg dry; 371 / 54 / 0.003717 m³ is 1,848 kg/m³."""
    mass = batch_dry_mass(54, dry_block_mass=1848 * 0.295 * 0.140 * 0.090, left_in_mixer=0.0)
    assert mass == pytest.approx(371, abs=0.5)
    line = plans.BATCH_DRY_MASS.put_in({"n": 54, "m_b": 6.87, "a": 0.1})
    assert evaluate(line) == pytest.approx(54 * 6.87 * 1.1, rel=1e-6)
    assert batch_dry_mass(54, dry_block_mass=6.87, left_in_mixer=0.1) == pytest.approx(evaluate(line))


def test_a_total_is_batches_times_what_one_takes():
    line = total_formula(2).put_in({"b_1": 2, "x_1": 10.5, "b_2": 1, "x_2": 9})
    assert evaluate(line) == 30
