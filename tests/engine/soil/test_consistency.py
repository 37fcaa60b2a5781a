"""Plastic limit, the indices between the limits, and activity: by definition and by Skempton's table."""

import pytest

from loamwright.engine.soil.consistency import (
    activity,
    activity_class,
    consistency_index,
    liquidity_index,
    plastic_limit_threads,
    toughness_index,
)
from loamwright.errors import InputError


def test_threads_six_points_apart_are_told():
    """16.5, 21.2, 22.6: mean 60.3 / 3 = 20.1, 6.1 apart."""
    found = plastic_limit_threads([0.165, 0.212, 0.226])
    assert (found.plastic_limit, found.apart) == (pytest.approx(0.201), pytest.approx(0.061))
    assert [note.code for note in found.notes] == ["threads_apart"]


def test_one_thread_is_told_and_two_alike_are_not():
    assert [note.code for note in plastic_limit_threads([0.2]).notes] == ["threads_few"]
    assert plastic_limit_threads([0.2, 0.21]).notes == ()


def test_liquidity_and_consistency_make_one():
    """At 20 % between 15 and 25 %: one half each; drier than the plastic limit, liquidity lies below zero."""
    assert liquidity_index(0.20, plastic_limit=0.15, plasticity_index=0.10) == pytest.approx(0.5)
    assert consistency_index(0.20, liquid_limit=0.25, plasticity_index=0.10) == pytest.approx(0.5)
    dry = liquidity_index(0.05, plastic_limit=0.15, plasticity_index=0.10)
    assert dry == pytest.approx(-1.0)
    assert dry + consistency_index(0.05, liquid_limit=0.25, plasticity_index=0.10) == pytest.approx(1.0)


def test_toughness_by_the_published_figures():
    """26.4 over 36.8 is 0.72."""
    assert toughness_index(0.264, flow_index=0.368) == pytest.approx(0.72, abs=0.005)


@pytest.mark.parametrize(
    ("value", "name"),
    [(0.0, "inactive"), (0.74, "inactive"), (0.75, "normal"), (1.25, "normal"), (1.26, "active"), (7.0, "active")],
)
def test_classes_of_activity(value, name):
    """Skempton 1953 as quoted: under 0.75 inactive, 0.75 to 1.25 normal, over 1.25 active."""
    assert activity_class(value) == name


def test_activity_of_known_minerals():
    """Kaolinite 0.1 to 0.4, sodium smectite 3 to 7 (handbook table, second-hand): an index of 0.24 with 60 % clay is 0.4."""
    assert activity(0.24, clay=0.60) == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("compute", "code"),
    [
        (lambda: plastic_limit_threads([]), "too_few_values"),
        (lambda: plastic_limit_threads([-0.1]), "negative"),
        (lambda: liquidity_index(0.2, plastic_limit=0.1, plasticity_index=0.0), "not_positive"),
        (lambda: consistency_index(-0.2, liquid_limit=0.1, plasticity_index=0.1), "negative"),
        (lambda: toughness_index(0.2, flow_index=0.0), "not_positive"),
        (lambda: activity(0.2, clay=0.0), "not_positive"),
        (lambda: activity(0.2, clay=28.0), "not_a_share"),
        (lambda: activity_class(-0.1), "negative"),
    ],
)
def test_what_cannot_be_is_refused(compute, code):
    with pytest.raises(InputError) as fault:
        compute()
    assert fault.value.code == code
