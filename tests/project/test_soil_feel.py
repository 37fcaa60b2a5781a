"""Tests by hand on real entries: what each grade says, the table of all of them, fines by washing, and bad readings."""

import pytest

from loamwright.engine.soil.feel import grades
from loamwright.formula import evaluate
from loamwright.notebook.kinds import kinds
from loamwright.project import today
from loamwright.project.finding import Finding, Withheld, working
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.soil_tests.feel import CHOICES, felt, newest_fines
from loamwright.words.sentences import of_note, sentence


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Bank")


def worked(bench, entry):
    return SOIL_TESTS.worked(bench.state, bench.state.find(entry))


def said(found):
    return [of_note(note) for note in found.says]


def test_every_tap_is_a_grade_and_every_grade_can_be_tapped():
    taps = {
        option: label
        for kind, names in CHOICES.items()
        for field in kinds()[kind].fields
        if field.name in names
        for option, label in field.options.items()
    }
    table = {row.key: row["looks"] for row in grades() if "looks" in row.columns}
    assert taps == table


def test_look_smell_touch(bench, soil):
    found = worked(bench, bench.write("look_and_touch", source=soil, smell="smell_musty", wash="wash_soapy", shine="shine_shiny"))
    assert said(found) == [
        "Smell: plant remains, which keep cement and lime from setting: leave it out, or have its organic matter found.",
        "Washed off the hands: clay.",
        "Cut face: clay.",
    ]
    assert found.results == () and found.questions == ()
    (table,) = found.tables
    assert table.rows[0] == ("Smell", "musty or earthy, more so when warmed", "organic")


def test_crystals_and_rotten_eggs_ask_for_the_laboratory(bench, soil):
    found = worked(bench, bench.write("look_and_touch", source=soil, smell="smell_rotten", colour="colour_white"))
    assert "have its sulfur found" in said(found)[0]
    assert "10:1 or acid extract" in said(found)[1]


def test_lengths_give_their_mean_and_their_grade(bench, soil):
    """Pieces of 60, 75 and 90 mm: mean 75, all between 50 and 150 mm."""
    entry = bench.write("hand_cigar", source=soil, lengths=["60 mm", "75 mm", "90 mm"], thickness="13 mm")
    found = worked(bench, entry)
    (told,) = found.results
    assert isinstance(told.result, Finding) and told.result.value == pytest.approx(75.0)
    (line,) = working(told.result)
    assert evaluate(line.put_in) == pytest.approx(75.0)
    assert said(found) == ["Roll over an edge: breaks between 50 and 150 mm: usable."]
    assert found.notes == ()


def test_pieces_of_two_grades_are_both_said(bench, soil):
    found = worked(bench, bench.write("hand_cigar", source=soil, lengths=["40 mm", "60 mm"], thickness="25 mm"))
    assert len(found.says) == 2
    assert [note.code for note in found.notes] == ["feel_between", "roll_thickness"]


def test_thread_and_toughness(bench, soil):
    found = worked(bench, bench.write("hand_thread", source=soil, thinnest=["3 mm", "2 mm"], toughness="tough_high"))
    assert found.finding("thinnest_thread").value == 2.0
    assert any("costly to stabilise" in each for each in said(found))
    assert any(each.startswith("Toughness of the thread: fat clay") for each in said(found))


def test_tests_stand_beside_each_other_and_make_no_class(bench, soil):
    bench.write("hand_ribbon", source=soil, lengths="60 mm")
    bench.write("hand_dry_strength", source=soil, broke="dry_low")
    last = bench.write("hand_shaking", source=soil, water="shaking_fast")
    assert [row["suggests"] for _, row in felt(bench.state, soil)] == ["very clayey", "silty", "silty"]
    (table,) = worked(bench, last).tables
    assert [row[2] for row in table.rows] == ["very clayey", "silty", "silty"]


def test_a_ball_dropped_from_too_low(bench, soil):
    found = worked(bench, bench.write("hand_ball", source=soil, did="ball_few", height="50 cm"))
    assert [note.code for note in found.notes] == ["drop_height"]
    assert worked(bench, bench.write("hand_ball", source=soil, did="ball_few", height="1.5 m")).notes == ()


@pytest.mark.parametrize(
    ("kind", "typed", "code"),
    [
        ("hand_ribbon", {"lengths": ["-5 mm"]}, "negative"),
        ("hand_cigar", {"lengths": ["60 mm", "60 m"]}, "length_beyond_test"),
        ("hand_thread", {}, "no_values"),
        ("look_and_touch", {}, "no_values"),
    ],
)
def test_bad_pieces_are_kept_and_asked_about(bench, soil, kind, typed, code):
    entry = bench.write(kind, source=soil, **typed)
    found = worked(bench, entry)
    (question,) = found.questions
    assert (question.code, question.grade, question.about) == (code, "impossible", (entry,))
    assert question in today.questions(bench.state)
    assert not sentence(question.code, question.values).startswith(question.code)


# --- fines by washing ---


def test_fines_by_washing_by_hand(bench, soil):
    """500 g before, 380 g left: 120/500 = 24 %; grains to 2 mm want 20 g, so 500 g is plenty."""
    entry = bench.write("wash_sieve", source=soil, start="500 g", washed="380 g", sieve="0.075 mm", largest_size="2 mm")
    found = worked(bench, entry)
    fines = found.finding("fines_fraction")
    assert fines.value == pytest.approx(0.24)
    (line,) = working(fines)
    assert evaluate(line.put_in) == pytest.approx(0.24)
    assert said(found)[0].startswith("24 % fines by mass")
    assert found.notes == ()
    assert newest_fines(bench.state, soil).value == pytest.approx(0.24)


def test_sieve_and_sample_are_noted(bench, soil):
    found = worked(bench, bench.write("wash_sieve", source=soil, start="500 g", washed="380 g", largest_size="19 mm"))
    assert [note.code for note in found.notes] == ["wash_sieve_not_said", "wash_sample_small"]
    other = worked(bench, bench.write("wash_sieve", source=soil, start="500 g", washed="380 g", sieve="0.25 mm"))
    assert [note.code for note in other.notes] == ["wash_sieve_other"]


def test_a_report_alone(bench, soil):
    found = worked(bench, bench.write("wash_sieve", source=soil, reported="31 %", sieve="0.063 mm"))
    assert found.finding("fines_fraction").value == pytest.approx(0.31)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"start": "380 g", "washed": "500 g"}, "washed_above_start"),
        ({"start": "0 g", "washed": "0 g"}, "not_positive"),
        ({"start": "500 g"}, "needed"),
        ({"reported": "31 fraction"}, "out_of_range"),
        ({}, "needed"),
    ],
)
def test_bad_washings_are_kept_and_asked_about(bench, soil, typed, code):
    found = worked(bench, bench.write("wash_sieve", source=soil, sieve="0.075 mm", **typed))
    assert [each.code for each in found.questions] == [code]
    assert isinstance(found.results[0].result, Withheld)
    assert newest_fines(bench.state, soil) is None
