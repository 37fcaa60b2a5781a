"""Pits and samples on real entries: who stays out, the reserve, what a sample is enough for, what a plan still wants."""

import pytest

from loamwright.formula import evaluate
from loamwright.project import today
from loamwright.project.finding import Finding, Given, Withheld, working
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.soil_tests.sampling import brought, still_needed, still_needed_of
from loamwright.words.cautions import cautions_for
from loamwright.words.sentences import of_note


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Bank")


def worked(bench, entry):
    return SOIL_TESTS.worked(bench.state, bench.state.find(entry))


def told(found, label):
    (result,) = [each.result for each in found.results if each.label == label]
    return result


def checked(finding):
    assert isinstance(finding, Finding)
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-4, abs=1e-9)
    return finding.value


def said(found):
    return [note.code for note in found.says]


def log(bench, soil, *layers, how="pit", **typed):
    table = {}
    for place, (top, bottom, use, *more) in enumerate(layers):
        table |= {f"layers-{place}-top": f"{top} mm", f"layers-{place}-bottom": f"{bottom} mm", f"layers-{place}-use": use}
        table |= {f"layers-{place}-{name}": value for name, value in (more[0] if more else {}).items()}
    return bench.write("pit_log", source=soil, how=how, **table, **typed)


SHALLOW = ((0, 300, "topsoil"), (300, 1200, "wanted"))
DEEP = ((0, 300, "topsoil"), (300, 1500, "wanted"))


def test_nobody_enters_a_deep_unsupported_pit(bench, soil):
    """Deeper than 1.2 m without support (memory), or not looked at by a competent person, however deep."""
    assert said(worked(bench, log(bench, soil, *DEEP, sides="straight", looked_at="yes"))) == ["pit_keep_out"]
    assert said(worked(bench, log(bench, soil, *DEEP))) == ["pit_keep_out", "pit_not_looked_at"]
    assert said(worked(bench, log(bench, soil, *DEEP, sides="supported", looked_at="yes"))) == []
    assert said(worked(bench, log(bench, soil, *SHALLOW))) == ["pit_not_looked_at"]
    assert said(worked(bench, log(bench, soil, *SHALLOW, looked_at="yes"))) == []
    assert said(worked(bench, log(bench, soil, *DEEP, how="auger"))) == []
    words = of_note(worked(bench, log(bench, soil, *DEEP)).says[0])
    assert words.startswith("Nobody enters this pit: it is 1500 mm deep, over 1200 mm")


def test_the_caution_stands_beside_the_form():
    assert any("1.2 m" in each for each in cautions_for("pit_log"))
    assert any("Acids" in each for each in cautions_for("organic_colour"))


def test_the_reserve_by_hand(bench, soil):
    """20 m by 10 m of 0.9 m, times 0.7 (common practice): 126 m³."""
    found = worked(bench, log(bench, soil, *SHALLOW, field_length="20 m", field_width="10 m", looked_at="yes"))
    assert checked(told(found, "Reserve, as it lies")) == pytest.approx(126.0)
    assert [note.code for note in found.notes] == ["pits_few"]
    assert found.tables[0].rows[1][:3] == (300.0, 1200.0, "wanted")


def test_what_was_not_said_is_noted(bench, soil):
    found = worked(bench, log(bench, soil, (0, 900, "other"), how="cut"))
    assert [note.code for note in found.notes] == ["pits_few", "topsoil_not_marked", "reserve_wants"]
    log(bench, soil, *SHALLOW, how="auger")
    third = worked(bench, log(bench, soil, *SHALLOW, how="auger", field_length="20 m", field_width="10 m"))
    assert third.notes == ()


def test_crystals_smell_and_water_speak_up(bench, soil):
    rows = ((0, 300, "topsoil", {"smell": "musty"}), (300, 900, "wanted", {"smell": "rotten", "crystals": "yes"}))
    found = worked(bench, log(bench, soil, *rows, how="auger", water_at="700 mm"))
    assert said(found) == ["pit_crystals", "pit_smells", "pit_water"]
    only_top = worked(bench, log(bench, soil, (0, 300, "topsoil", {"smell": "musty"}), (300, 900, "wanted"), how="auger"))
    assert said(only_top) == []


def test_layers_that_do_not_follow_are_asked_about(bench, soil):
    entry = log(bench, soil, (0, 300, "topsoil"), (400, 900, "wanted"), how="auger")
    (question,) = worked(bench, entry).questions
    assert (question.code, question.grade, question.values["layer"]) == ("layers_apart", "unlikely", 2)
    upside = log(bench, soil, (300, 100, "wanted"), how="auger")
    (wrong,) = worked(bench, upside).questions
    assert (wrong.code, wrong.grade) == ("layer_upside_down", "impossible")
    assert wrong in today.questions(bench.state)


def test_a_reserve_of_no_width(bench, soil):
    found = worked(bench, log(bench, soil, *SHALLOW, how="auger", field_length="20 m", field_width="0 m"))
    assert isinstance(told(found, "Reserve, as it lies"), Withheld)
    assert [each.code for each in found.questions] == ["not_positive"]


# --- samples ---


def test_a_quartered_sample_stands_for_more(bench, soil):
    """2.5 kg left after three times stands for 20 kg; 5 kg of stones taken off before: 5 of 25 kg, 20 %."""
    entry = bench.write("soil_sample", source=soil, mass="2.5 kg", quarterings="3", stones="5 kg", spots="4")
    found = worked(bench, entry)
    assert checked(told(found, "Stands for")) == pytest.approx(20.0)
    assert checked(told(found, "Stones of the whole")) == pytest.approx(0.20)
    assert found.notes == ()
    assert [of_note(note) for note in found.says] == [
        "2.5 kg of this soil so far: enough for tests by hand.",
        "For a series of small blocks bring 30 kg of it in all.",
    ]


def test_samples_of_a_soil_add_up(bench, soil):
    bench.write("soil_sample", source=soil, mass="15 kg")
    found = worked(bench, bench.write("soil_sample", source=soil, mass="17 kg"))
    assert brought(bench.state, soil) == pytest.approx(32.0)
    assert of_note(found.says[0]) == "32 kg of this soil so far: enough for a series of small blocks."
    assert "For full blocks bring 400 kg" in of_note(found.says[1])


def test_where_a_sample_comes_from_is_noted(bench, soil):
    entry = bench.write(
        "soil_sample", source=soil, mass="5 kg", taken_from="pile_surface", top="50 mm", bottom="400 mm", spots="1", labelled="no"
    )
    assert [note.code for note in worked(bench, entry).notes] == [
        "sample_of_surface",
        "sample_of_topsoil",
        "sample_of_one_spot",
        "sample_not_labelled",
    ]


@pytest.mark.parametrize(
    ("typed", "code", "grade"),
    [
        ({"mass": "5 kg", "top": "900 mm", "bottom": "300 mm"}, "sample_upside_down", "unlikely"),
        ({"mass": "0 kg", "quarterings": "2"}, "not_positive", "impossible"),
        ({"mass": "5 kg", "quarterings": "40"}, "out_of_range", "impossible"),
        ({"mass": "5 kg", "stones": "-1 kg"}, "negative", "impossible"),
    ],
)
def test_bad_samples_are_kept_and_asked_about(bench, soil, typed, code, grade):
    entry = bench.write("soil_sample", source=soil, **typed)
    (question,) = worked(bench, entry).questions
    assert (question.code, question.grade, question.about) == (code, grade, (entry,))


def test_what_a_plan_still_wants(bench, soil):
    """60 kg wanted, 25 + 20 brought: 15 kg; none once 65 are there."""
    for mass in ("25 kg", "20 kg"):
        bench.write("soil_sample", source=soil, mass=mass)
    wanted = Given(60.0)
    assert checked(still_needed_of(bench.state, soil, wanted)) == pytest.approx(15.0)
    bench.write("soil_sample", source=soil, mass="20 kg")
    assert still_needed_of(bench.state, soil, wanted).value == 0.0
    assert still_needed(bench.state, soil) is None  # no plan is kept


def keep_plan(bench, **soil_kg):
    """A plan as it is kept: what it takes was told with it."""
    body = {"size": "small", "seed": "7", "rows": [], "needs": {"soil_kg": soil_kg}}
    entry = bench.desk.entry("plan", body, bench.hand(), project=bench.project)
    bench.desk.keep([entry])


def test_the_newest_plan_kept_says_what_is_wanted(bench, soil):
    """The plan takes 60 kg of this bank and nothing of another; 25 kg were brought: 35 kg more."""
    other = bench.write("source", name="Other")
    entry = bench.write("soil_sample", source=soil, mass="25 kg")
    keep_plan(bench, **{soil: 100.0})
    keep_plan(bench, **{soil: 60.0, other: None})
    found = worked(bench, entry)
    assert checked(told(found, "Still to bring for the plan")) == pytest.approx(35.0)
    assert of_note(found.says[-1]) == "The plan wants 35 kg more of this soil, damp as it lies."
    assert still_needed(bench.state, other) is None
    bench.write("soil_sample", source=soil, mass="40 kg")
    assert said(worked(bench, entry))[-1] == "plan_has_enough"
