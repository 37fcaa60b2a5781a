"""Grades of tests by hand at their edges, fines by washing by hand, and figures that cannot be."""

from itertools import pairwise

import pytest

from loamwright.engine.soil.feel import grade_of_length, grades, mean_length, thinnest_thread
from loamwright.engine.soil.sieving import fines_by_washing
from loamwright.errors import InputError


@pytest.mark.parametrize(
    ("test", "length", "suggests"),
    [  # roll over an edge: under 50 sandy, to 150 usable, above too clayey (memory)
        ("cigar", 49.9, "sandy"),
        ("cigar", 50.0, "some clay"),
        ("cigar", 149.9, "some clay"),
        ("cigar", 150.0, "very clayey"),
        # ribbons of Thien 1979: 25 and 50 mm (memory)
        ("ribbon", 0.0, "sandy"),
        ("ribbon", 24.9, "some clay"),
        ("ribbon", 25.0, "clayey"),
        ("ribbon", 50.0, "very clayey"),
        # a thread that holds thinner than 3 mm: a lot of clay (second-hand)
        ("thread", 2.0, "very clayey"),
        ("thread", 3.0, "some clay"),
        ("thread", 5.0, "sandy or silty"),
    ],
)
def test_grades_of_lengths(test: str, length: float, suggests: str) -> None:
    assert grade_of_length(length, test=test)["suggests"] == suggests


@pytest.mark.parametrize("test", ["cigar", "ribbon", "thread"])
def test_the_grades_of_a_length_leave_no_hole(test: str) -> None:
    rows = sorted((row for row in grades() if row["test"] == test), key=lambda row: row["least"])
    assert rows[0]["least"] == 0.0
    assert all(lower["below"] == upper["least"] for lower, upper in pairwise(rows))


def test_every_grade_says_something_and_names_no_class() -> None:
    """A grade suggests; it never gives a texture or a group (job: no classifier from feel)."""
    for row in grades():
        assert row["says"] and row["suggests"]
        assert row.standing in ("memory", "common practice", "second-hand")
        assert row["suggests"] not in ("loam", "sandy loam", "clay loam", "CL", "SC")


def test_pieces_by_hand() -> None:
    assert mean_length([60.0, 75.0, 90.0]) == pytest.approx(75.0)
    assert thinnest_thread([3.0, 2.2, 2.8]) == 2.2


def test_fines_by_washing_by_hand() -> None:
    """500 g before, 380 g after: 120 g gone, 24 %. Nothing left: all fines; nothing gone: none."""
    assert fines_by_washing(0.500, washed_mass=0.380) == pytest.approx(0.24)
    assert fines_by_washing(0.500, washed_mass=0.0) == 1.0
    assert fines_by_washing(0.500, washed_mass=0.500) == 0.0


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: grade_of_length(-1.0, test="cigar"), "negative"),
        (lambda: grade_of_length(20_000.0, test="cigar"), "length_beyond_test"),
        (lambda: mean_length([]), "no_values"),
        (lambda: thinnest_thread([3.0, -1.0]), "negative"),
        (lambda: fines_by_washing(0.0, washed_mass=0.0), "not_positive"),
        (lambda: fines_by_washing(0.5, washed_mass=0.6), "washed_above_start"),
    ],
)
def test_what_cannot_be_is_said(do, code: str) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
