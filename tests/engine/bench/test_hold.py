"""Hold clock: common practice, 60 minutes, 30 above 30 degrees."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import hold

START = datetime(2026, 5, 1, 14, 15, tzinfo=UTC)


@pytest.mark.parametrize(("celsius", "minutes"), [(-5, 60), (22, 60), (30, 60), (30.1, 30), (34, 30)])
def test_limit(celsius: float, minutes: float) -> None:
    assert hold.hold_limit_minutes(celsius) == minutes


def test_a_hot_batch_pressed_too_late() -> None:
    # Hand: stabiliser in at 14:15, last block 16:25, 34 degrees: 130 minutes, 100 over.
    state = hold.hold(START, at=START + timedelta(hours=2, minutes=10), air_temperature=34.0)
    assert (state.minutes_held, state.limit_minutes, state.minutes_left) == (130.0, 30.0, -100.0)
    assert [(note.code, note.values["minutes_over"]) for note in state.notes] == [("hold_over", 100.0)]


def test_in_time() -> None:
    state = hold.hold(START, at=START + timedelta(minutes=42), air_temperature=22.0)
    assert (state.minutes_left, state.notes) == (18.0, ())


def test_exactly_at_the_limit_is_not_over() -> None:
    assert hold.hold(START, at=START + timedelta(minutes=60), air_temperature=22.0).notes == ()


def test_without_a_temperature_it_says_so() -> None:
    state = hold.hold(START, at=START + timedelta(minutes=42))
    assert state.limit_minutes == 60.0
    assert [note.code for note in state.notes] == ["air_temperature_not_given"]


def test_two_phones_in_two_offsets() -> None:
    # 17:30 at UTC+3 is 14:30 UTC: 15 minutes.
    other = datetime(2026, 5, 1, 17, 30, tzinfo=timezone(timedelta(hours=3)))
    assert hold.minutes_held(START, at=other) == 15.0


@given(minutes=st.integers(0, 2000), celsius=st.floats(-40, 60))
def test_held_and_left_add_up_to_the_limit(minutes: int, celsius: float) -> None:
    state = hold.hold(START, at=START + timedelta(minutes=minutes), air_temperature=celsius)
    assert state.minutes_held + state.minutes_left == pytest.approx(state.limit_minutes, abs=1e-9)
    assert bool(state.notes) == (minutes > state.limit_minutes)
