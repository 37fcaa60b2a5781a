"""Rules held against evidence: outcome and standing apart, and when the word "complies" may be said."""

from typing import Any

import pytest

from loamwright.engine.evidence.acceptance import BlockValue
from loamwright.errors import InputError
from loamwright.rules.book import Rule, load_rule, read_in_document
from loamwright.rules.brief import own_brief
from loamwright.rules.evaluate import STANDINGS, Verdict, evaluate
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


def test_memory_is_met_but_does_not_comply() -> None:
    blocks = wet(3.6, 3.7, 3.8, 3.5, 3.6, 3.4, 3.7, 3.6, soak=48)
    absorbed = [BlockValue("water_absorption", 0.12, "wet", 24)] * 3
    found = evaluate(load_rule("is_1725_2013"), blocks + absorbed, grade="3.5")
    assert words(found) == [
        ("is1725-2013-class3_5", "memory", "met"),
        ("is1725-2013-individual", "memory", "met"),
        ("is1725-2013-absorption", "memory", "met"),
    ]
    assert (found.word, found.grade) == ("met", "3.5")


def read_all(rule: Rule) -> Rule:
    """IS 1725:2013 as somebody with the document in hand would type it (figures of the book, hours and number given)."""
    rule = read_in_document(rule, "is1725-2013-class3_5", value=3.5, unit="MPa", read_by="the engineer")
    rule = read_in_document(rule, "is1725-2013-individual", value=80, unit="pct_of_class", read_by="the engineer")
    return read_in_document(rule, "is1725-2013-absorption", value=18, unit="pct", read_by="the engineer", soak_hours=24)


def test_only_met_and_read_complies() -> None:
    mine = read_all(load_rule("is_1725_2013"))
    blocks = wet(3.6, 3.7, 3.8, 3.5, 3.6, 3.4, 3.7, 3.6, soak=48)
    absorbed = [BlockValue("water_absorption", 0.12, "wet", 24)] * 3
    assert evaluate(mine, blocks + absorbed, grade="3.5").word == "complies"
    assert evaluate(mine, blocks, grade="3.5").word == "not_shown_yet"
    weak = wet(3.6, 3.7, 3.8, 3.9, 3.9, 2.7, 3.7, 3.6, soak=48)
    assert evaluate(mine, weak + absorbed, grade="3.5").word == "not_met"


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
    assert [note.code for note in found.clauses[0].outcome.missing] == ["blocks_missing", "other_value_form"]


def test_every_standing_of_the_book_has_a_place() -> None:
    used = {clause.standing for key in ("nmac_14_7_4_2021", "ibc_2006_2021") for clause in load_rule(key).clauses}
    assert used == {"document", "second-hand", "memory"}
    assert used <= set(DATA_STANDINGS) & set(STANDINGS)
