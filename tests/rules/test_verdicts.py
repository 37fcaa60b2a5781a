"""Rules held against evidence: outcome and standing apart, and when the word "complies" may be said."""

from datetime import date
from typing import Any

import pytest

from loamwright.engine.evidence.acceptance import BlockValue
from loamwright.engine.evidence.waiting import Waiting
from loamwright.errors import InputError
from loamwright.rules.book import Rule, load_rule, read_in_document
from loamwright.rules.brief import own_brief
from loamwright.rules.evaluate import STANDINGS, Verdict, classes_reached, evaluate
from loamwright.rules.side_by_side import Asked, compare_rules
from loamwright.tables import STANDINGS as DATA_STANDINGS


def wet(*values: float, soak: float = 24, age: float = 28) -> list[BlockValue]:
    return [BlockValue("compressive_strength", value, "wet", soak, age) for value in values]


def words(verdict: Verdict) -> list[tuple[str, str, str]]:
    return [(each.clause.key, each.standing, each.word) for each in verdict.clauses]


BRIEF = own_brief(mean_least=2.4, each_least=2.0, n=5, soak_hours=24, age_days=28)


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ((2.5, 2.3, 2.6, 2.2, 2.4), "met"),
        ((2.5, 2.3, 2.6, 2.2, 2.3), "not_met"),
        ((3.0, 3.0, 3.0, 3.0, 1.9), "not_met"),
        ((2.5, 2.5, 2.5), "not_shown_yet"),
    ],
    ids=["mean 2.40 exactly", "mean 2.38", "one below the floor", "three of five"],
)
def test_own_brief_is_met_never_complied_with(values: tuple[float, ...], word: str) -> None:
    found = evaluate(BRIEF, wet(*values))
    assert found.word == word
    assert {each.standing for each in found.clauses} == {"own"}


def test_own_brief_without_a_floor_has_one_clause() -> None:
    assert [clause.key for clause in own_brief(mean_least=2.4, n=5, condition="dry").clauses] == ["own-mean"]


@pytest.mark.parametrize(
    ("keywords", "code"),
    [
        ({"mean_least": 0.0}, "not_positive"),
        ({"n": 0}, "not_positive"),
        ({"each_least": 3.0}, "each_above_mean"),
        ({"each_least": -1.0}, "negative"),
        ({"soak_hours": None}, "soak_hours_needed"),
        ({"condition": "dry"}, "soak_of_dry_block"),
        ({"condition": "damp"}, "unknown_condition"),
        ({"age_days": 0}, "not_positive"),
    ],
)
def test_own_brief_refuses(keywords: dict[str, Any], code: str) -> None:
    with pytest.raises(InputError) as caught:
        own_brief(**{"mean_least": 2.4, "each_least": 2.0, "n": 5, "soak_hours": 24, **keywords})
    assert caught.value.code == code


ABSORBED = [BlockValue("water_absorption", 0.12, "wet", 24)] * 3
# IS 1725:2013 asks more of a block than strength: loss on brushing, expansion, density, dimensions.
REST = [
    *[BlockValue("mass_loss_wet_dry", 0.02, "cycles", cycles=12)] * 3,
    *[BlockValue("linear_expansion", 0.001)] * 3,
    *[BlockValue("dry_density", 1800.0)] * 3,
    BlockValue("dimension_deviation", 1.5),
]
STRONG = wet(3.6, 3.7, 3.8, 3.5, 3.6, 3.4, 3.7, 3.6, soak=48)


def test_memory_is_met_but_does_not_comply() -> None:
    found = evaluate(load_rule("is_1725_2013"), [*STRONG, *ABSORBED, *REST], grade="3.5")
    assert words(found)[:3] == [
        ("is1725-2013-class3_5", "memory", "met"),
        ("is1725-2013-individual", "memory", "met"),
        ("is1725-2013-absorption", "memory", "met"),
    ]
    assert (found.word, found.grade) == ("met", "3.5")


def read_all(rule: Rule) -> Rule:
    """IS 1725:2013 as somebody with the document in hand would type it (figures of the book, hours and number given)."""
    more: dict[str, dict[str, Any]] = {"is1725-2013-absorption": {"soak_hours": 24}, "is1725-tolerance": {"n": 1}}
    for each in rule.clauses:
        if each.value is not None and not each.advice and each.grade in ("", "3.5"):
            given = more.get(each.key, {})
            rule = read_in_document(rule, each.key, value=each.value, unit=each.unit, read_by="the engineer", **given)
    return rule


def test_only_met_and_read_complies() -> None:
    mine = read_all(load_rule("is_1725_2013"))
    assert evaluate(mine, [*STRONG, *ABSORBED, *REST], grade="3.5").word == "complies"
    assert evaluate(mine, [*STRONG, *REST], grade="3.5").word == "not_shown_yet"
    weak = wet(3.6, 3.7, 3.8, 3.9, 3.9, 2.7, 3.7, 3.6, soak=48)
    assert evaluate(mine, [*weak, *ABSORBED, *REST], grade="3.5").word == "not_met"


def test_guidance_is_said_and_never_decides() -> None:
    sandy = [BlockValue("clay_content", 0.02, subject="soil"), BlockValue("liquid_limit", 0.28, subject="soil")]
    rule = load_rule("is_1725_2013")
    without = evaluate(rule, STRONG, grade="3.5", subjects=None)
    found = evaluate(rule, [*STRONG, *sandy], grade="3.5", subjects=None)
    assert found.word == without.word
    said = {each.clause.key: each.word for each in found.advice}
    assert (said["is1725-soil-clay"], said["is1725-soil-ll"]) == ("not_as_advised", "as_advised")
    assert said["is1725-soil-pi"] == "not_shown_yet"


def test_soil_and_wall_are_asked_apart_from_the_mix() -> None:
    # UNE 41410 asks at least 10 % of clay of the soil; a verdict on the mix does not speak of it, one on the soil does.
    rule = load_rule("une_41410_2008")
    poor = [BlockValue("clay_content", 0.06, subject="soil")]
    of_mix = evaluate(rule, poor, grade="BTC 1")
    assert "une41410-clay" not in {each.clause.key for each in of_mix.clauses}
    of_soil = evaluate(rule, poor, grade="BTC 1", subjects=("soil",))
    assert (of_soil.word, {each.clause.subject for each in of_soil.clauses}) == ("not_met", {"soil"})


def test_a_document_that_asks_nothing_says_so() -> None:
    found = evaluate(load_rule("nzs_4297_1998"), [])
    assert (found.word, len(found.not_asked)) == ("no_requirement", 8)


def test_the_best_class_reached_is_named() -> None:
    # NZS 4298: index 1 under 20 mm/h, 2 from 20 to under 50, 3 to under 90, 4 to under 120, from 120 on it fails.
    rule = load_rule("nzs_4298_1998")
    for rate, index in [(19.9, 1), (20.0, 2), (49.9, 2), (50.0, 3), (90.0, 4), (119.9, 4)]:
        found = classes_reached(rule, [BlockValue("erosion_rate", rate, "spray")])
        assert found["erodibility index by spray"] == f"nzs4298-spray-index{index}"
    assert classes_reached(rule, [BlockValue("erosion_rate", 120.0, "spray")])["erodibility index by spray"] is None


def test_when_it_can_be_shown() -> None:
    # 8 blocks of 28 days, soaked 48 h; 5 pressed on 1 March and 3 on 4 March are 28 days old on 29 March and 1 April.
    rule = load_rule("is_1725_2013")
    waiting = [*[Waiting(date(2026, 3, 1), "wet")] * 5, *[Waiting(date(2026, 3, 4))] * 3, Waiting(date(2026, 3, 1), "dry")]
    found = {each.clause.key: each for each in evaluate(rule, [], grade="3.5", waiting=waiting, today=date(2026, 3, 10)).clauses}
    assert found["is1725-2013-class3_5"].can_be_shown_on == date(2026, 4, 1)
    # with three results at hand five blocks are enough: 29 March
    some = wet(3.6, 3.6, 3.6, soak=48)
    found = {
        each.clause.key: each for each in evaluate(rule, some, grade="3.5", waiting=waiting, today=date(2026, 3, 10)).clauses
    }
    assert found["is1725-2013-class3_5"].can_be_shown_on == date(2026, 3, 29)
    # asked on 2 April, the soak of 48 h ends on 4 April at the earliest
    late = evaluate(rule, [], grade="3.5", waiting=waiting, today=date(2026, 4, 2)).clauses[0]
    assert late.can_be_shown_on == date(2026, 4, 4)
    # too few blocks wait
    few = evaluate(rule, [], grade="3.5", waiting=waiting[:7], today=date(2026, 3, 10))
    assert (few.clauses[0].can_be_shown_on, few.can_be_shown_on) == (None, None)


def test_rules_side_by_side_on_the_same_evidence() -> None:
    # Wet mean 2.0 MPa at 28 days: OBN 184 asks 1.4 for one storey and 2.8 for two; KS 02-1070 asks 1.5 of five blocks.
    blocks = wet(1.9, 2.0, 2.1, 2.0, 2.0)
    asked = [
        Asked(load_rule("bre_obn_184_1980"), "one storey"),
        Asked(load_rule("bre_obn_184_1980"), "two storeys"),
        Asked(load_rule("ks_02_1070_1993")),
    ]
    found = compare_rules(asked, blocks)
    (crushed,) = [row for row in found.rows if (row.property, row.condition) == ("compressive_strength", "wet")]
    assert [[each.word for each in cell] for cell in crushed.cells] == [["met"], ["not_met"], ["met"]]
    assert [[each.clause.key for each in cell] for cell in crushed.cells][2] == ["ks1070-wet"]
    (absorbed,) = [row for row in found.rows if row.property == "water_absorption"]
    assert [len(cell) for cell in absorbed.cells] == [0, 0, 1]


def test_a_share_of_an_unread_class_is_not_read() -> None:
    mine = read_in_document(
        load_rule("is_1725_2013"), "is1725-2013-individual", value=80, unit="pct_of_class", read_by="the engineer"
    )
    found = evaluate(mine, wet(*[3.6] * 8, soak=48), grade="3.5")
    assert words(found)[1] == ("is1725-2013-individual", "memory", "met")


def test_a_doubt_keeps_a_read_clause_from_complying() -> None:
    mine = read_all(load_rule("is_1725_2013"))
    late = evaluate(mine, wet(*[3.6] * 8, soak=48, age=60), grade="3.5")
    assert [word for _, _, word in words(late)][:2] == ["met", "met"]
    assert [note.code for note in late.clauses[0].outcome.doubts] == ["older_than_rule"]


def test_a_text_that_others_read_is_second_hand_to_the_user() -> None:
    bent = [BlockValue("modulus_of_rupture", 0.5, "dry", None, 28)] * 5
    found = evaluate(load_rule("nmac_14_7_4_2021"), bent, grade="adobe")
    by_key = {key: (standing, word) for key, standing, word in words(found)}
    assert by_key["nm-adobe-modulus-of-rupture"] == ("second_hand", "met")
    assert by_key["nm-adobe-compressive"] == ("second_hand", "not_shown_yet")


def test_a_short_soak_does_not_show_a_long_one() -> None:
    found = evaluate(load_rule("is_1725_2013"), wet(*[3.6] * 8, soak=24), grade="3.5")
    assert found.word == "not_shown_yet"
    assert {note.code: note.values.get("blocks") for note in found.clauses[0].outcome.missing}["soak_too_short"] == 8


def test_strength_as_tested_does_not_show_a_corrected_one() -> None:
    dry = [BlockValue("compressive_strength", 2.0, "dry", None, 28)] * 5
    found = evaluate(load_rule("nzs_4298_1998"), dry, grade="Standard")
    crushed = next(each for each in found.clauses if each.clause.key == "nzs4298-compressive-standard")
    assert [note.code for note in crushed.outcome.missing] == ["blocks_missing", "other_value_form"]


def test_every_standing_of_the_book_has_a_place() -> None:
    used = {clause.standing for key in ("nmac_14_7_4_2021", "ibc_2006_2021") for clause in load_rule(key).clauses}
    assert used == {"document", "second-hand", "memory"}
    assert used <= set(DATA_STANDINGS) & set(STANDINGS)
