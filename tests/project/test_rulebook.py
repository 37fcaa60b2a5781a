"""Rules of a project: figures read in a document, results from elsewhere, rule files of one's own; each changes the verdict."""

from datetime import date

import pytest
from tests.trials import quantity

from loamwright.project import brief as briefs
from loamwright.project import compare, rule_evidence, rulebook, today
from loamwright.rules.evaluate import evaluate

NBR = "nbr_10834_1994_2012"  # mean 2.0 MPa and each 1.7 MPa of 7 soaked blocks, 7 days old; it asks nothing else
MEAN, EACH = "nbr10834-compressive-mean", "nbr10834-compressive-individual"


def plain(number: str) -> dict[str, object]:
    return {"typed": number, "number": float(number)}


def read(trial, clause: str, typed: str, **more: object) -> str:
    body = {"rule": NBR, "clause": clause, "value": plain(typed), "page": "3", "edition": "2012", "read_by": "the engineer"}
    return trial.write("rule_value", {**body, **more})


@pytest.fixture
def seven(trial):
    """A mix with seven blocks of 2.1 to 2.7 MPa, soaked 24 h and 28 days old, judged by NBR 10834."""
    source = trial.source("Soil", "22.4")
    cement = trial.write("stabiliser", {"name": "cement", "type": "cement"})
    mix = trial.mix({source: 1}, cement, "6")
    batch = trial.batch(mix, "6")
    trial.crushed(batch, (2.1, 2.2, 2.3, 2.4, 2.5, 2.6, 2.7), "2026-03-11")
    trial.write("brief", {"by": "rule", "rule": NBR})
    return mix


def words(trial, mix: str) -> list[str]:
    verdict = compare.comparison(trial.state).mix(mix).verdict
    return [verdict.word, *(each.word for each in verdict.clauses)]


def test_complies_needs_every_clause_read_and_no_doubt(trial, seven):
    assert words(trial, seven) == ["met", "met", "met"]
    soak = {"soak": quantity("24", "h"), "n": 7}
    read(trial, MEAN, "2.0", **soak)
    assert words(trial, seven) == ["met", "complies", "met"]
    read(trial, EACH, "1.7", **soak)
    assert words(trial, seven) == ["complies", "complies", "complies"]
    clause = briefs.brief(trial.state).rule.clause(MEAN)
    assert (clause.standing, clause.page, clause.edition_read, clause.read_by) == ("read", "3", "2012", "the engineer")


def test_an_undone_reading_takes_complies_back(trial, seven):
    kept = [read(trial, clause, value, soak=quantity("24", "h"), n=7) for clause, value in ((MEAN, "2.0"), (EACH, "1.7"))]
    assert words(trial, seven)[0] == "complies"
    trial.desk.keep([trial.desk.undo(trial.project, kept[1], trial.hand(), reason="misread")])
    assert words(trial, seven) == ["met", "complies", "met"]
    clause = briefs.brief(trial.state).rule.clause(EACH)
    assert (clause.standing, clause.read_by, clause.page) != ("read", "the engineer", "3") and clause.value == 1.7


def test_a_clause_that_was_read_without_its_soak_keeps_a_doubt(trial, seven):
    read(trial, MEAN, "2.0", n=7)
    read(trial, EACH, "1.7", n=7)
    assert words(trial, seven) == ["met", "met", "met"]


def test_what_was_read_counts_in_place_of_the_book(trial, seven):
    # the document in hand asks 2.5 MPa of the mean: the blocks' mean is 2.4
    read(trial, MEAN, "2.5")
    assert words(trial, seven)[:2] == ["not_met", "not_met"]
    clause = rulebook.rule_of(trial.state, NBR).clause(MEAN)
    assert [(each.value, each.standing) for each in clause.others] == [(2.0, "second-hand")]
    assert briefs.yardstick(briefs.brief(trial.state)).mean_least == pytest.approx(2.5)


def test_a_figure_may_be_typed_in_another_unit_of_the_same_kind(trial, seven):
    read(trial, MEAN, "20.4", unit="kgf_cm2")
    # 20.4 kgf/cm² x 0.0980665 = 2.00056 MPa
    assert briefs.yardstick(briefs.brief(trial.state)).mean_least == pytest.approx(2.00056, abs=1e-5)


def test_the_stricter_of_two_readings_counts_and_both_are_named(trial, seven):
    read(trial, MEAN, "2.2", read_by="the foreman")
    read(trial, MEAN, "2.0")
    found = evaluate(rulebook.rule_of(trial.state, NBR), compare.evidence(trial.state, seven, 7))
    assert found.clauses[0].outcome.criterion.limit == pytest.approx(2.2)
    assert "the foreman" in found.clauses[0].stricter.source
    (asked,) = rulebook.questions(trial.state)
    assert (asked.code, asked.grade) == ("rule_values_differ", "unlikely")


def test_two_readings_that_agree_are_no_question(trial, seven):
    read(trial, MEAN, "2.0", read_by="the foreman")
    read(trial, MEAN, "2000", unit="kPa")
    assert rulebook.questions(trial.state) == ()


@pytest.mark.parametrize(
    ("clause", "more", "code"),
    [
        (MEAN, {"edition": "2023"}, "rule_value_other_edition"),
        (MEAN, {"unit": "pct"}, "unit_of_other_clause"),
        (MEAN, {"unit": "furlong"}, "unknown_unit"),
        ("no-such-clause", {}, "unknown_clause"),
        (MEAN, {"rule": "no_such_rule"}, "unknown_rule"),
        (MEAN, {"value": plain("-2")}, "not_positive"),
        (MEAN, {"n": 0}, "not_positive"),
    ],
)
def test_a_reading_that_fits_nowhere_is_kept_asked_about_and_not_used(trial, seven, clause, more, code):
    entry = read(trial, clause, "2.6", **more)
    assert [(each.code, each.about) for each in rulebook.questions(trial.state)] == [(code, (entry,))]
    assert code in {each.code for each in today.questions(trial.state)}
    assert words(trial, seven) == ["met", "met", "met"]


# --- results from elsewhere ---


def result(trial, name: str, *values: str, **more: object) -> str:
    figures = [{"value": plain(value)} for value in values]
    return trial.write("rule_result", {"property": name, "figures": figures, **more})


def test_a_laboratorys_result_counts_for_the_mix_it_is_of(trial, seven):
    result(trial, "dry_density", "1810", "1790", "1800", unit="kg_m3", mix=seven)
    other = trial.mix({trial.source("Other", "22.4"): 1}, trial.write("stabiliser", {"name": "lime", "type": "lime"}), "6")
    found = {each.property: each for each in rule_evidence.beyond_strength(trial.state, seven)}
    assert found["dry_density"].value in (1810.0, 1790.0, 1800.0)
    assert found["cement_content"].value == pytest.approx(0.06)
    lime = {each.property for each in rule_evidence.beyond_strength(trial.state, other)}
    assert lime == {"stabiliser_content"}


def test_a_result_of_the_whole_project_counts_for_every_mix(trial, seven):
    result(trial, "wall_thickness", "14", unit="in")
    (wall,) = rule_evidence.of_project(trial.state)
    assert (wall.subject, wall.value) == ("wall", pytest.approx(355.6))  # 14 x 25.4 mm
    rule = rulebook.rule_of(trial.state, "nmac_14_7_4_2021")
    found = evaluate(rule, [wall], grade="rammed earth", subjects=("wall",))
    assert [(each.clause.key, each.word) for each in found.clauses] == [("nm-rammed-exterior-thickness", "not_met")]


@pytest.mark.parametrize(
    ("name", "more", "code"),
    [
        ("dry_density", {"unit": "MPa"}, "result_unit_quantity"),
        ("dry_density", {"unit": "furlong"}, "unknown_unit"),
        ("something_new", {}, "rule_subject_missing"),
        ("storeys", {"figures": [{"value": plain("-1")}]}, "negative"),
    ],
)
def test_a_result_that_cannot_be_used_is_kept_and_asked_about(trial, seven, name, more, code):
    entry = result(trial, name, "5", **more)
    assert [(each.code, each.about) for each in briefs.questions(trial.state)] == [(code, (entry,))]
    assert rule_evidence.of_project(trial.state) == ()


def test_blocks_that_wait_are_those_not_broken(trial, seven):
    batch = trial.batch(seven, "6")
    body = {"batch": batch, "mark": "99", "green_mass": quantity("4.4", "kg"), "height": quantity("90", "mm"), "fate": "dry"}
    block = trial.write("block", body)
    assert trial.state.find(block).fault is None
    (waits,) = rule_evidence.waiting(trial.state, seven)
    assert (waits.pressed_on, waits.condition) == (date(2026, 3, 4), "dry")


# --- rule files of one's own ---

OWN = """
title = "House rule"
[[row]]
key = "house-mean"
document = "House rule"
edition = "2026"
clause = "1"
words = "soaked crushing strength"
property = "compressive_strength"
comparator = ">="
value = 2.4
unit = "MPa"
statistic = "mean"
n = 5
condition = "wet"
soak_h = 24
age_d = 7
standing = "document"
confidence = "high"
source = "rule-acceptance"
note = ""
"""


def test_a_rule_file_of_ones_own_is_a_rule_of_the_project(trial, seven):
    trial.write("rule_file", {"rule": "house", "content": OWN})
    assert "house" in rulebook.keys(trial.state)
    trial.write("brief", {"by": "rule", "rule": "house"})
    assert words(trial, seven) == ["met", "met"]


def test_a_rule_file_cannot_stand_in_for_one_of_the_book_nor_be_broken(trial):
    trial.write("rule_file", {"rule": NBR, "content": OWN})
    trial.write("rule_file", {"rule": "broken", "content": OWN.replace("value = 2.4", "value = 'much'")})
    assert {each.code for each in rulebook.questions(trial.state)} == {"rule_key_taken", "rule_field_kind"}
    assert rulebook.rule_of(trial.state, NBR).document == "NBR 10834"
    assert "broken" not in rulebook.keys(trial.state)
