"""Gates and the ladder of remedies."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.choice.gates import gate, remedy_ladder
from loamwright.errors import InputError


@pytest.mark.parametrize(
    ("outcomes", "questions", "state"),
    [
        ({"mean": "met", "least": "met"}, {}, "passes"),
        ({"mean": "complies"}, {"sulfate": "clear"}, "passes"),
        ({"mean": "met", "least": "not_met"}, {}, "fails"),
        ({"mean": "met", "least": "not_shown_yet"}, {}, "waits"),
        ({"mean": "not_met", "least": "not_shown_yet"}, {"sulfate": "open"}, "fails"),
        # Strong at 28 days in gypsum soil: a met strength rule does not pass an open or bad sulfate question.
        ({"mean": "met"}, {"sulfate": "open"}, "waits"),
        ({"mean": "met"}, {"sulfate": "stop"}, "fails"),
        ({}, {}, "waits"),
    ],
)
def test_state(outcomes, questions, state):
    assert gate("mix", outcomes=outcomes, stop_questions=questions).state == state


def test_reasons_are_listed():
    found = gate(
        "mix",
        outcomes={"mean": "not_met", "least": "not_shown_yet", "absorption": "met"},
        stop_questions={"sulfate": "open", "organic": "stop", "crumb": "clear"},
    )
    assert (found.not_met, found.not_shown, found.open_questions, found.stopped) == (
        ("mean",),
        ("least",),
        ("sulfate",),
        ("organic",),
    )


rules = st.dictionaries(st.sampled_from("abcde"), st.sampled_from(["complies", "met", "not_met", "not_shown_yet"]))
questions = st.dictionaries(st.sampled_from("xyz"), st.sampled_from(["open", "clear", "stop"]))


@given(rules, questions)
def test_passes_only_with_everything_settled(outcomes, answers):
    found = gate("mix", outcomes=outcomes, stop_questions=answers)
    settled = set(outcomes.values()) <= {"met", "complies"} and set(answers.values()) <= {"clear"} and bool(outcomes)
    assert (found.state == "passes") == settled
    turned = gate("mix", outcomes=dict(reversed(outcomes.items())), stop_questions=dict(reversed(answers.items())))
    assert turned == found


def test_ladder_is_whole_and_in_order():
    # Order asked for by the trade: cure, water, fill density, sand or clay, dose, other stabiliser, other pit.
    assert [remedy.code for remedy in remedy_ladder()] == [
        "cure",
        "water",
        "fill-density",
        "add-clay",
        "add-sand",
        "dose",
        "other-stabiliser",
        "other-pit",
    ]
    assert all(remedy.signs and not remedy.seen for remedy in remedy_ladder())


def test_signs_are_put_to_their_step():
    seen = {remedy.code: remedy.seen for remedy in remedy_ladder(["fat", "uncovered_first_night", "cold_cure"])}
    assert seen["cure"] == ("uncovered_first_night", "cold_cure")
    assert seen["add-sand"] == ("fat",)
    assert seen["dose"] == ()


def test_every_sign_belongs_to_one_step():
    signs = [sign for remedy in remedy_ladder() for sign in remedy.signs]
    assert len(signs) == len(set(signs))


def test_refused():
    for call in (
        lambda: gate("mix", outcomes={"mean": "passed"}, stop_questions={}),
        lambda: gate("mix", outcomes={}, stop_questions={"sulfate": "yes"}),
        lambda: remedy_ladder(["colour"]),
    ):
        with pytest.raises(InputError) as refusal:
            call()
        assert refusal.value.code == "unknown_code"
