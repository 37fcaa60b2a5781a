"""Marks against the ISO 7064 MOD 11,10 of an independent library, python-stdnum."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_10

from loamwright.engine.bench import marks

counters = st.integers(1, marks.LAST_COUNTER)


def test_every_mark_agrees_with_the_library() -> None:
    for counter in range(1, marks.LAST_COUNTER + 1):
        mark = marks.make_mark(counter)
        assert mark == f"{counter}{mod_11_10.calc_check_digit(str(counter))}"
        assert marks.check_mark(mark) == marks.MarkCheck(mark, counter, None)


@given(digits=st.text("0123456789", min_size=1, max_size=30))
def test_check_digit_of_longer_numbers(digits: str) -> None:
    assert marks.check_digit(digits) == mod_11_10.calc_check_digit(digits)


def test_by_hand() -> None:
    # Hand, 147: 10+1=11->1, x2=2; 2+4=6, x2=12->1; 1+7=8, x2=16->5; 11-5=6.
    assert marks.make_mark(147) == "1476"


@given(counter=counters, place=st.integers(0, 4), step=st.integers(1, 9))
def test_any_one_wrong_digit_is_caught(counter: int, place: int, step: int) -> None:
    mark = marks.make_mark(counter)
    place %= len(mark)
    wrong = mark[:place] + str((int(mark[place]) + step) % 10) + mark[place + 1 :]
    found = marks.check_mark(wrong)
    assert found.counter is None
    assert found.fault == ("leading_zero" if wrong.startswith("0") else "wrong_digit")


def test_nearly_all_swaps_are_caught() -> None:
    tried = missed = 0
    for counter in range(1, marks.LAST_COUNTER + 1):
        mark = marks.make_mark(counter)
        for place in range(len(mark) - 1):
            swapped = mark[:place] + mark[place + 1] + mark[place] + mark[place + 2 :]
            if swapped != mark:
                tried += 1
                missed += marks.check_mark(swapped).fault is None
                assert (marks.check_mark(swapped).fault is None) == (mod_11_10.is_valid(swapped) and swapped[0] != "0")
    assert missed / tried < 0.03


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("14a6", "not_digits"),
        ("14 76", "not_digits"),
        ("-147", "not_digits"),
        ("١٤٧٦", "not_digits"),
        ("7", "too_short"),
        ("147612", "too_long"),
        ("01476", "leading_zero"),
        ("1475", "wrong_digit"),
    ],
)
def test_what_is_wrong_is_told(text: str, fault: str) -> None:
    found = marks.check_mark(text)
    assert (found.fault, found.counter) == (fault, None)


def test_spaces_at_the_ends_do_not_matter() -> None:
    assert marks.check_mark(" 1476 ") == marks.MarkCheck("1476", 147, None)
