"""Due days, judging ages, damp days and cold."""

import math
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.block.cure import ages_to_test, cold_notes, damp_cure, due_days, judging, judging_age
from loamwright.errors import InputError

STABILISERS = ["cement", "lime", "lime-and-cement", "none"]


@pytest.mark.parametrize(
    ("stabiliser", "ages"),
    # Common practice: cement screened at 7 and 14, accepted at 28 days; lime 28, 56, 90; unstabilised at 28, dry.
    [("cement", [7, 14, 28]), ("lime", [28, 56, 90]), ("none", [28])],
)
def test_ages(stabiliser, ages):
    assert [test.age for test in ages_to_test(stabiliser)] == ages


def test_due_dates_over_a_leap_day():
    # Pressed 10 February 2028 (a leap year): 7 d = 17 Feb, 14 d = 24 Feb, 28 d = 9 March; counted on a calendar.
    found = due_days(date(2028, 2, 10), stabiliser="cement")
    assert [each.due for each in found] == [date(2028, 2, 17), date(2028, 2, 24), date(2028, 3, 9)]


@given(st.integers(-10_000, 100_000), st.sampled_from(STABILISERS))
def test_day_numbers_and_dates_agree(day, stabiliser):
    start = date(2026, 1, 1)
    as_days = due_days(day, stabiliser=stabiliser)
    as_dates = due_days(start + timedelta(days=day), stabiliser=stabiliser)
    assert [start + timedelta(days=each.due) for each in as_days] == [each.due for each in as_dates]
    assert [each.due - day for each in as_days] == [each.test.age for each in as_days]


def test_unstabilised_blocks_are_tested_dry():
    assert [test.condition for test in ages_to_test("none")] == ["dry"]
    assert {test.condition for test in ages_to_test("cement")} == {"soaked"}


@pytest.mark.parametrize(
    ("stabiliser", "age", "stage", "next_age", "code"),
    [
        ("lime", 7, "too_early", 28, "too_early_to_judge"),
        # Costly mistake of the trade: lime at 28 days judged failed.
        ("lime", 28, "too_early", 56, "too_early_to_judge"),
        ("lime", 56, "judge", 90, None),
        ("lime", 120, "judge", None, None),
        ("cement", 3, "too_early", 7, "too_early_to_judge"),
        ("cement", 7, "screening", 14, "screening_only"),
        ("cement", 27, "screening", 28, "screening_only"),
        ("cement", 28, "judge", None, None),
        ("none", 14, "too_early", 28, "too_early_to_judge"),
    ],
)
def test_judging(stabiliser, age, stage, next_age, code):
    found = judging(age, stabiliser=stabiliser)
    assert (found.stage, found.next_age) == (stage, next_age)
    assert [note.code for note in found.notes] == ([] if code is None else [code])


@pytest.mark.parametrize(("stabiliser", "age"), [("cement", 28), ("lime", 56), ("none", 28)])
def test_earliest_judging_age(stabiliser, age):
    assert judging_age(stabiliser) == age
    assert judging(age - 1, stabiliser=stabiliser).stage != "judge"
    assert judging(age, stabiliser=stabiliser).stage == "judge"


def test_damp_days():
    # Handbooks: cement at least 7 days (ILO), up to four weeks; lime a week; unstabilised not at all.
    assert (damp_cure("cement").least, damp_cure("cement").most) == (7, 28)
    assert damp_cure("lime").least == 7
    assert damp_cure("none").least == 0


@pytest.mark.parametrize(
    ("temperature", "stabiliser", "codes"),
    [
        (5.0, "cement", []),
        (4.9, "cement", ["cold_cure"]),
        (4.9, "none", []),
        (0.0, "lime", ["cold_cure", "frost"]),
        (-3.0, "none", ["frost"]),
    ],
)
def test_cold(temperature, stabiliser, codes):
    assert [note.code for note in cold_notes(temperature, stabiliser=stabiliser)] == codes


def test_refused():
    for call, code in [
        (lambda: due_days(10, stabiliser="gypsum"), "unknown_stabiliser"),
        (lambda: due_days(10.5, stabiliser="cement"), "not_whole"),
        (lambda: due_days(True, stabiliser="cement"), "not_whole"),
        (lambda: judging(-1, stabiliser="lime"), "negative"),
        (lambda: cold_notes(math.nan, stabiliser="lime"), "not_finite"),
        (lambda: damp_cure(""), "unknown_stabiliser"),
    ]:
        with pytest.raises(InputError) as refusal:
            call()
        assert refusal.value.code == code
