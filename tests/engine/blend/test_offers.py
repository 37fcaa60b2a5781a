"""Ratios in whole parts, three offers, and which pail to change."""

from math import gcd

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.blend.offers import blend_offer, blend_offers, pail_change, spread, whole_ratios
from loamwright.engine.blend.windows import Window, stabiliser_window, window_chances
from loamwright.errors import InputError

PAILS = {"sandy": 28.4, "clay": 22.4}
CLAY = {"sandy": 0.09, "clay": 0.38}
CEMENT = stabiliser_window("cement")


@pytest.fixture
def draws():
    """Beliefs with errors of the size a jar leaves, the same for every test."""
    random = np.random.default_rng(7)
    return {
        "pails": {name: mass * np.exp(random.normal(0.0, 0.015, 4000)) for name, mass in PAILS.items()},
        "clay": {"sandy": np.clip(random.normal(0.09, 0.02, 4000), 0, 1), "clay": random.normal(0.38, 0.04, 4000)},
    }


def test_number_of_two_source_ratios():
    # Pairs without common divisor and total n are counted by Euler's phi(n): 1+2+2+4+2+6+4 = 21 for n = 2..8.
    assert len(whole_ratios(["a", "b"])) == 21


def test_number_of_three_source_ratios():
    # Ordered sums of n in three parts: (n-1)(n-2)/2, for n = 3..8: 1+3+6+10+15+21 = 56; less the doubles of n = 3 (1) and
    # n = 4 (3) that return at 6 and 8: 52.
    assert len(whole_ratios(["a", "b", "c"])) == 52


def test_number_of_four_source_ratios():
    # Ordered sums in four parts: C(n-1,3), n = 4..8: 1+4+10+20+35 = 70, less 2:2:2:2 at n = 8: 69.
    assert len(whole_ratios(["a", "b", "c", "d"])) == 69


def test_blends_of_some_sources():
    # One source alone (1 each), two of three (21 for each of 3 pairs), all three (52): 3 + 63 + 52.
    assert len(whole_ratios(["a", "b", "c"], every_source=False)) == 118


@given(st.integers(2, 4), st.integers(4, 8))
def test_ratios_are_reduced_distinct_and_within_the_total(count, most):
    found = whole_ratios([f"s{i}" for i in range(count)], most_parts=most)
    assert len({tuple(sorted(parts.items())) for parts in found}) == len(found)
    assert all(gcd(*parts.values()) == 1 and sum(parts.values()) <= most and min(parts.values()) >= 1 for parts in found)


@pytest.mark.parametrize(
    ("sources", "most", "code"),
    [
        ([], 8, "no_parts"),
        (["a", "a"], 8, "sources_repeat"),
        (list("abcde"), 8, "too_many_sources"),
        (["a", "b", "c"], 2, "out_of_range"),
    ],
)
def test_ratios_refused(sources, most, code):
    with pytest.raises(InputError) as refusal:
        whole_ratios(sources, most_parts=most)
    assert refusal.value.code == code


def test_best_is_the_best_of_all_ratios(draws):
    offers = blend_offers(draws["pails"], clay=draws["clay"], window=CEMENT)
    chances = [
        blend_offer(parts, pail_dry_mass=draws["pails"], clay=draws["clay"], window=CEMENT).chances.inside
        for parts in whole_ratios(["sandy", "clay"])
    ]
    assert offers.best.chances.inside == max(chances)
    assert offers.best.chances.answer == "usable"


def test_leaner_and_fatter_stand_a_step_away(draws):
    offers = blend_offers(draws["pails"], clay=draws["clay"], window=CEMENT)
    assert offers.leaner.clay.median <= offers.best.clay.median - CEMENT.step
    assert offers.fatter.clay.median >= offers.best.clay.median + CEMENT.step
    ratios = [tuple(sorted(offer.parts.items())) for offer in (offers.leaner, offers.best, offers.fatter)]
    assert len(set(ratios)) == 3
    assert offers.notes == ()


def test_range_holds_ninety_percent(draws):
    best = blend_offers(draws["pails"], clay=draws["clay"], window=CEMENT).best
    f = {name: best.parts[name] * draws["pails"][name] for name in PAILS}
    clay = sum(f[name] * draws["clay"][name] for name in PAILS) / sum(f.values())
    inside = (clay >= best.clay.low) & (clay <= best.clay.high)
    assert inside.mean() == pytest.approx(0.90, abs=1 / 4000)
    assert (clay < best.clay.median).mean() == pytest.approx(0.5, abs=1 / 4000)


def test_shares_of_the_scarce_soil():
    # 5:2 of 28.4 and 22.4 kg: 44.8 / 186.8 = 24 % clay soil.
    offer = blend_offer({"sandy": 5, "clay": 2}, pail_dry_mass=PAILS, clay=CLAY, window=CEMENT, scarce_source="clay")
    assert offer.scarce_share == pytest.approx(44.8 / 186.8)
    assert (offer.clay.low, offer.clay.high) == (offer.clay.median, offer.clay.median)
    assert offer.fines is None


def test_fines_are_told():
    offer = blend_offer(
        {"sandy": 1, "clay": 1},
        pail_dry_mass={"sandy": 20.0, "clay": 20.0},
        clay=CLAY,
        window=CEMENT,
        fines={"sandy": 0.2, "clay": 0.8},
    )
    assert offer.fines.median == pytest.approx(0.5)


def test_scarce_soil_decides_between_equals():
    # Both ratios of two like soils hold 15 % clay; only the share of the scarce one differs.
    offers = blend_offers({"a": 25.0, "b": 25.0}, clay={"a": 0.15, "b": 0.15}, window=CEMENT, scarce_source="a")
    assert dict(offers.best.parts) == {"a": 1, "b": 7}


def test_says_when_there_is_no_leaner_or_fatter():
    offers = blend_offers({"a": 25.0, "b": 25.0}, clay={"a": 0.15, "b": 0.15}, window=CEMENT)
    assert (offers.leaner, offers.fatter) == (None, None)
    assert [note.code for note in offers.notes] == ["no_leaner_blend", "no_fatter_blend"]


def test_says_when_even_the_best_is_not_usable():
    offers = blend_offers({"a": 25.0, "b": 25.0}, clay={"a": 0.02, "b": 0.05}, window=CEMENT)
    assert offers.notes[0].code == "best_blend_not_usable"
    assert offers.best.chances.answer == "lean"


def test_order_of_sources_changes_no_offer(draws):
    one = blend_offers(draws["pails"], clay=draws["clay"], window=CEMENT)
    turned = blend_offers(dict(reversed(draws["pails"].items())), clay=draws["clay"], window=CEMENT)
    assert [dict(o.parts) for o in (one.leaner, one.best, one.fatter)] == [
        dict(o.parts) for o in (turned.leaner, turned.best, turned.fatter)
    ]


def test_unknown_scarce_source_refused():
    with pytest.raises(InputError) as refusal:
        blend_offers(PAILS, clay=CLAY, window=CEMENT, scarce_source="gravel")
    assert refusal.value.code == "source_missing"


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        # 1:1 holds (28.4*9 + 22.4*38)/50.8 = 21.8 %: fat. One sandy more, 2:1: 17.2 %; no clay pail may be taken.
        ({"sandy": 1, "clay": 1}, ("add", "sandy", {"sandy": 2, "clay": 1})),
        # 7:1 holds 12.0 %: usable already.
        ({"sandy": 7, "clay": 1}, None),
        # 2:4 is far too fat (26.8 %): 3:4 is 23.5 %, 2:3 is 24.7 %; adding sandy comes nearest.
        ({"sandy": 2, "clay": 4}, ("add", "sandy", {"sandy": 3, "clay": 4})),
    ],
)
def test_pail_change_on_single_numbers(parts, expected):
    found = pail_change(parts, pail_dry_mass=PAILS, clay=CLAY, window=CEMENT)
    assert (found and (found.action, found.source, dict(found.parts))) == expected


def test_taking_a_pail_can_be_better():
    # Equal pails of 4 and 18 % clay: 3:2 holds 9.6 %, and both 3:3 and 2:2 hold 11 %, inside 10 to 12 %: adding comes first.
    window = Window("test", "clay", 0.10, 0.12, "judgement-windows", "judgement")
    found = pail_change({"a": 3, "b": 2}, pail_dry_mass={"a": 1.0, "b": 1.0}, clay={"a": 0.04, "b": 0.18}, window=window)
    assert (found.action, found.source) == ("add", "b")
    # 4:1 of 0 and 20 % holds 4 %; 3:1 holds 5 % (inside 5 to 6 %), 4:2 holds 6.67 % (past it): only taking gets inside.
    narrow = Window("narrow", "clay", 0.05, 0.06, "judgement-windows", "judgement")
    taken = pail_change({"a": 4, "b": 1}, pail_dry_mass={"a": 1.0, "b": 1.0}, clay={"a": 0.0, "b": 0.2}, window=narrow)
    assert (taken.action, taken.source, taken.gain) == ("take", "a", 1.0)


def test_pail_change_never_makes_it_worse(draws):
    for parts in whole_ratios(["sandy", "clay"]):
        found = pail_change(parts, pail_dry_mass=draws["pails"], clay=draws["clay"], window=CEMENT)
        if found is not None:
            assert found.gain >= 0
            assert abs(sum(found.parts.values()) - sum(parts.values())) == 1


def test_spread_of_one_number():
    assert spread(0.2).low == spread(0.2).median == spread(0.2).high == 0.2


def test_offer_chances_are_the_windows(draws):
    offer = blend_offer({"sandy": 1, "clay": 1}, pail_dry_mass={"sandy": 1.0, "clay": 1.0}, clay=draws["clay"], window=CEMENT)
    mean = (draws["clay"]["sandy"] + draws["clay"]["clay"]) / 2
    assert offer.chances == window_chances(mean, window=CEMENT)
