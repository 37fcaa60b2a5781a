"""Rule files: a new one needs no code, and everything wrong with one is said at once."""

import pytest

from loamwright.engine.evidence.acceptance import Measured
from loamwright.rules.evaluate import evaluate
from loamwright.rules.files import check_text, columns
from loamwright.rules.side_by_side import Asked, compare_rules

GOOD = """
title = "Blocks of the valley"
[[row]]
key = "valley-mean"
document = "Valley rule"
edition = "2024"
clause = "3.1"
words = "crushing strength, soaked a day"
property = "compressive_strength"
comparator = ">="
value = 2.0
floor = 1.6
unit = "MPa"
statistic = "mean_and_floor"
n = 3
condition = "wet"
soak_h = 24
age_d = 28
standing = "document"
confidence = "high"
source = "rule-acceptance"
note = ""
[[row]]
key = "valley-roots"
document = "Valley rule"
edition = "2024, corrected"
clause = "2.2"
words = "roots in the soil, by count in a spadeful"
property = "roots_in_a_spadeful"
subject = "soil"
comparator = "<="
value = 5
unit = "pieces"
statistic = "limit"
condition = ""
advice = true
standing = "memory"
confidence = "low"
source = "rule-acceptance"
note = ""
"""


def test_a_new_file_with_a_new_property_is_a_rule() -> None:
    rule, faults = check_text(GOOD, "valley")
    assert faults == () and rule is not None
    assert (rule.key, rule.document, [clause.subject for clause in rule.clauses]) == ("valley", "Valley rule", ["block", "soil"])
    blocks = [Measured("compressive_strength", value, "wet", 24, 28) for value in (2.4, 2.3, 1.7)]
    assert evaluate(rule, blocks).word == "met"  # mean 2.13, least 1.7
    weak = [Measured("compressive_strength", value, "wet", 24, 28) for value in (2.6, 2.5, 1.5)]
    assert evaluate(rule, weak).word == "not_met"  # mean 2.2, but 1.5 is under the floor of 1.6
    roots = evaluate(rule, [Measured("roots_in_a_spadeful", 7, subject="soil")], subjects=None)
    assert [each.word for each in roots.advice] == ["not_as_advised"]
    assert len(compare_rules([Asked(rule), Asked(rule)], blocks).rows[0].cells) == 2


@pytest.mark.parametrize(
    ("old", "new", "row", "field", "code"),
    [
        ('unit = "MPa"', 'unit = "furlong"', "valley-mean", "unit", "unknown_unit"),
        ('unit = "MPa"', 'unit = "mm"', "valley-mean", "unit", "rule_unit_quantity"),
        ('statistic = "mean_and_floor"', 'statistic = "median"', "valley-mean", "statistic", "rule_field_choice"),
        ('condition = "wet"', 'condition = "soggy"', "valley-mean", "condition", "rule_field_choice"),
        ("n = 3", "n = 2.5", "valley-mean", "n", "rule_field_kind"),
        ("n = 3", 'n = "three"', "valley-mean", "n", "rule_field_kind"),
        ("value = 2.0", "value = true", "valley-mean", "value", "rule_field_kind"),
        ("value = 2.0", "value = nan", "valley-mean", "value", "rule_field_kind"),
        ("value = 2.0", "value = -2.0", "valley-mean", "value", "not_positive"),
        ("floor = 1.6\n", "", "valley-mean", "floor", "floor_and_statistic"),
        ('clause = "3.1"\n', "", "valley-mean", "clause", "rule_field_missing"),
        ('key = "valley-mean"\n', "", "1", "key", "rule_field_missing"),
        ('key = "valley-roots"', 'key = "valley-mean"', "valley-mean", "key", "rule_key_twice"),
        ('subject = "soil"\n', "", "valley-roots", "subject", "rule_subject_missing"),
        ("soak_h = 24", "soak_hours = 24", "valley-mean", "soak_hours", "rule_field_unknown"),
        ('edition = "2024, corrected"', 'edition = "2013"', "valley-roots", "edition", "rule_other_edition"),
        ('standing = "memory"', 'standing = "read"', "valley-roots", "standing", "rule_field_choice"),
        ('comparator = ">="', 'comparator = "between"', "valley-mean", "value_max", "rule_range"),
        ("floor = 1.6", "floor = 1.6\nvalue_max = 3.0", "valley-mean", "comparator", "rule_range_comparator"),
        ('title = "Blocks of the valley"', "", "", "title", "rule_field_missing"),
        ("n = 3", 'n = 3\nother = [{value = 1.0, unit = "MPa"}]', "valley-mean", "other 1", "rule_field_missing"),
    ],
)
def test_a_fault_is_told_with_its_row_and_field(old: str, new: str, row: str, field: str, code: str) -> None:
    assert GOOD.count(old) >= 1
    rule, faults = check_text(GOOD.replace(old, new, 1), "valley")
    assert rule is None
    assert [(each.row, each.field, each.fault.code) for each in faults] == [(row, field, code)]


def test_every_fault_is_told_at_once() -> None:
    worse = GOOD.replace("n = 3", "n = 0").replace('unit = "pieces"', 'unit = "heaps"').replace('clause = "3.1"\n', "")
    _, faults = check_text(worse, "valley")
    assert [(each.row, each.field) for each in faults] == [
        ("valley-mean", "clause"),
        ("valley-mean", "n"),
        ("valley-roots", "unit"),
    ]


@pytest.mark.parametrize(
    "text", ["", 'title = "x"', 'title = "x"\nrow = 3', 'title = "x"\nrow = []', "title = ", "\x00", "a = " + 5000 * "["]
)
def test_what_is_no_rule_file_is_said(text: str) -> None:
    rule, faults = check_text(text, "valley")
    assert rule is None and faults


def test_the_schema_names_every_column_once() -> None:
    names = [column.name for column in columns()]
    assert len(names) == len(set(names))
    assert {"key", "value", "unit", "statistic", "standing", "no_requirement"} <= set(names)
