"""The book of rules: its rows against an independently typed sample, and clauses compiled to engine units."""

import dataclasses

import pytest

from loamwright.engine.evidence.acceptance import KNOWN_COMPARATORS, STATISTICS
from loamwright.errors import InputError
from loamwright.rules.book import OF_CLASS, compile_rule, load_rule, read_in_document, rule_keys, rules
from loamwright.rules.properties import properties, unit

# Typed by hand from the written tables of requirements, one or more of every document, apart from the data files:
# rule, clause, statistic, value, unit, n, condition, soak in hours, age in days, standing.
SAMPLE = [
    ("nmac_14_7_4_2021", "nm-ceb-compressive", "individual", 300, "psi", None, "wet", 4, None, "second-hand"),
    ("nmac_14_7_4_2021", "nm-adobe-modulus-of-rupture", "mean", 50, "psi", 5, "dry", None, None, "document"),
    ("ibc_2006_2021", "ibc-adobe-compressive-mean", "mean", 300, "psi", 5, "dry", None, None, "memory"),
    ("ibc_2006_2021", "ibc-adobe-compressive-individual", "individual", 250, "psi", 5, "dry", None, None, "memory"),
    ("ibc_2006_2021", "ibc-adobe-mor-individual", "individual", 35, "psi", 5, "dry", None, None, "memory"),
    ("nzs_4298_1998", "nzs4298-compressive-standard", "least_of_n", 1.3, "MPa", 5, "dry", None, 28, "memory"),
    ("nzs_4298_1998", "nzs4298-flexural-standard", "least_of_n", 0.25, "MPa", 5, "dry", None, 28, "memory"),
    ("is_1725_1982", "is1725-1982-class20", "mean", 20, "kgf_cm2", 5, "wet", None, 28, "memory"),
    ("is_1725_1982", "is1725-1982-individual", "individual", 80, "pct_of_class", 5, "wet", None, 28, "memory"),
    ("is_1725_2013", "is1725-2013-class5_0", "mean", 5.0, "MPa", 8, "wet", 48, 28, "memory"),
    ("is_1725_2013", "is1725-2013-absorption", "mean", 18, "pct", 3, "wet", None, None, "memory"),
    ("sls_1382_1_2009", "sls1382-grade1-wet", "mean", 2.4, "MPa", 10, "wet", 24, 28, "memory"),
    ("sls_1382_1_2009", "sls1382-grade3-dry", "mean", 2.8, "MPa", 10, "dry", None, 28, "memory"),
    ("ars_674_1996", "ars674-cat2-wet", "mean", 2, "MPa", None, "wet", 2, 28, "memory"),
    ("xp_p13_901_2001", "xp13901-2001-btc40-dry", "fractile_5", 4, "MPa", None, "dry", None, 28, "memory"),
    ("une_41410_2008", "une41410-btc1", "fractile_5", 1.3, "MPa", 6, "dry", None, 28, "second-hand"),
    ("din_18945_2013_2018", "din18945-class3-mean", "mean", 3.8, "MPa", 6, "air_dry", None, None, "memory"),
    ("din_18945_2013_2018", "din18945-class5-individual", "individual", 5.0, "MPa", 6, "air_dry", None, None, "memory"),
    ("nbr_8491_1984_2012", "nbr8491-compressive-individual", "individual", 1.7, "MPa", 7, "wet", None, 7, "memory"),
    ("nbr_8491_1984_2012", "nbr8491-absorption-individual", "individual", 22, "pct", 3, "wet", 24, 7, "memory"),
    ("nbr_10834_1994_2012", "nbr10834-compressive-mean", "mean", 2.0, "MPa", 7, "wet", None, 7, "second-hand"),
    ("ntc_5324_2004", "ntc5324-bsc60-wet", "fractile_5", 3, "MPa", None, "wet", None, 28, "memory"),
    ("ks_02_1070_1993", "ks1070-dry", "mean", 2.5, "MPa", 5, "dry", None, 28, "memory"),
    ("bre_obn_184_1980", "obn184-two", "mean", 2.8, "MPa", None, "wet", None, 28, "memory"),
    ("ts_2514_1977", "ts2514", "mean", 1.0, "MPa", None, "dry", None, None, "memory"),
]


# What any earth block rule could ask for, in MPa and shares (common practice): a slip of a unit falls outside.
PLAUSIBLE = {
    "compressive_strength": (0.8, 10.0),
    "modulus_of_rupture": (0.1, 1.0),
    "water_absorption": (0.05, 0.30),
    "damp_plate_absorption": (0.01, 0.05),
    "dry_density": (1000, 2000),
    "block_mass": (5, 30),
    "cement_content": (0.03, 0.20),
    "clay_content": (0.05, 0.30),
    "plasticity_index": (0.05, 0.35),
    "liquid_limit": (0.25, 0.50),
    "mass_loss_wet_dry": (0.02, 0.15),
    "cylinder_mass_loss": (0.05, 0.15),
    "wall_thickness": (200, 600),
    "wall_height": (2000, 8000),
    "soluble_sulfate": (0.001, 0.01),
    "respirable_silica": (0.02, 0.2),
    "damp_curing": (5 * 1440, 30 * 1440),
}


@pytest.mark.parametrize("row", SAMPLE, ids=[row[1] for row in SAMPLE])
def test_independently_typed_row(row: tuple[object, ...]) -> None:
    clause = load_rule(str(row[0])).clause(str(row[1]))
    found = (clause.statistic, clause.value, clause.unit, clause.n, clause.condition, clause.soak_hours, clause.age_days)
    assert (*found, clause.standing) == row[2:]
    assert clause.comparator == ("<=" if "absorption" in clause.property else ">=")


def test_the_sample_is_of_rules_of_the_book() -> None:
    assert len({row[0] for row in SAMPLE}) == 16
    assert {row[0] for row in SAMPLE} <= set(rule_keys())


@pytest.mark.parametrize("key", rule_keys())
def test_every_row_that_asks_can_be_compiled(key: str) -> None:
    rule = load_rule(key)
    grades = rule.grades or (None,)
    compiled = [each for grade in grades for each in compile_rule(rule, grade=grade, uses=rule.uses, advice=True)]
    assert {each.clause.key for each in compiled} == {each.key for each in rule.clauses if not each.no_requirement}
    for each in compiled:
        assert each.criterion.statistic in STATISTICS
        assert each.criterion.comparator in KNOWN_COMPARATORS
        assert each.clause.unit == OF_CLASS or unit(each.clause.unit).quantity == properties()[each.clause.property].quantity
        least, most = PLAUSIBLE.get(each.criterion.property, (0, float("inf")))
        assert least <= each.criterion.limit <= most


@pytest.mark.parametrize("key", rule_keys())
def test_one_file_is_one_document(key: str) -> None:
    clauses = load_rule(key).clauses
    assert len({each.source for each in clauses}) == 1
    assert all(each.words for each in clauses)


def test_a_class_limit_is_a_share_of_its_class() -> None:
    # IS 1725:2013: each block at least 0.8 of the class; 0.8 × 5.0 = 4.0; soak and age as for the class.
    mean, each, *_ = compile_rule(load_rule("is_1725_2013"), grade="5.0")
    assert each.criterion.limit == pytest.approx(4.0)
    assert (each.criterion.soak_hours_least, each.criterion.age_days, each.criterion.n) == (48, 28, 8)
    assert each.leans_on is mean.clause
    # IS 1725:1982: 20 kgf/cm² = 1.96133 MPa, 0.8 of it 1.56906.
    mean, each, *_ = compile_rule(load_rule("is_1725_1982"), grade="20")
    assert mean.criterion.limit == pytest.approx(1.96133, abs=1e-5)
    assert each.criterion.limit == pytest.approx(1.56906, abs=1e-5)


def test_pounds_per_square_inch() -> None:
    # 300 psi = 2.0684 MPa (NIST SP 811: 1 psi = 6.894757 kPa).
    found = compile_rule(load_rule("ibc_2006_2021"))
    assert found[0].criterion.limit == pytest.approx(300 * 6.894757e-3, rel=1e-6)


def test_uses_bring_their_clauses() -> None:
    rule = load_rule("ars_674_1996")
    assert (rule.grades, rule.uses) == (("1", "2", "3"), ("exposed_to_water", "capillary_exposure"))
    dry_only = {each.clause.key for each in compile_rule(rule, grade="2")}
    exposed = {each.clause.key for each in compile_rule(rule, grade="2", uses={"exposed_to_water"})}
    assert exposed - dry_only == {"ars674-cat2-wet"}
    assert {key for key in dry_only if "cat" in key} == {"ars674-cat2-dry"}


def test_corrected_strengths_are_asked_for_by_name() -> None:
    forms = {each.criterion.value_form for each in compile_rule(load_rule("nzs_4298_1998"), grade="Standard")}
    assert forms == {"aspect_ratio_corrected", "as_tested"}
    crushed = [each for each in load_rule("une_41410_2008").clauses if each.property == "compressive_strength"]
    assert {clause.value_form for clause in crushed} == {"normalised"}


@pytest.mark.parametrize(
    ("key", "keywords", "code"),
    [
        ("sls_1382_1_2009", {}, "grade_needed"),
        ("sls_1382_1_2009", {"grade": "9"}, "unknown_grade"),
        ("ks_02_1070_1993", {"grade": "1"}, "unknown_grade"),
        ("ks_02_1070_1993", {"uses": {"roof"}}, "unknown_use"),
    ],
)
def test_choice_is_checked(key: str, keywords: dict[str, object], code: str) -> None:
    with pytest.raises(InputError) as caught:
        compile_rule(load_rule(key), **keywords)  # type: ignore[arg-type]
    assert caught.value.code == code


def test_a_share_of_a_missing_class_is_refused() -> None:
    rule = load_rule("is_1725_2013")
    alone = dataclasses.replace(rule, clauses=(rule.clause("is1725-2013-individual"),))
    with pytest.raises(InputError) as caught:
        compile_rule(alone)
    assert caught.value.code == "class_limit_missing"


def test_unknown_rule_and_clause() -> None:
    with pytest.raises(InputError) as caught:
        load_rule("../units")
    assert caught.value.code == "unknown_rule"
    with pytest.raises(InputError) as caught:
        load_rule("ts_2514_1977").clause("none")
    assert caught.value.code == "unknown_clause"


def test_reading_a_clause_makes_a_new_rule() -> None:
    book = load_rule("is_1725_2013")
    mine = read_in_document(book, "is1725-2013-absorption", value=15.0, unit="pct", read_by="site engineer", soak_hours=24, n=5)
    clause = mine.clause("is1725-2013-absorption")
    assert (clause.value, clause.standing, clause.read_by) == (15.0, "read", "site engineer")
    assert (clause.soak_hours, clause.n, clause.words) == (24, 5, "water absorption")
    assert book.clause("is1725-2013-absorption").value == 18.0
    assert [each.key for each in mine.clauses] == [each.key for each in book.clauses]


@pytest.mark.parametrize(("unit", "read_by", "code"), [("furlong", "me", "unknown_unit"), ("MPa", " ", "no_reader")])
def test_a_reading_is_checked(unit: str, read_by: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        read_in_document(load_rule("ts_2514_1977"), "ts2514", value=1.0, unit=unit, read_by=read_by)
    assert caught.value.code == code


def test_a_reading_that_no_clause_can_hold_is_refused() -> None:
    rule = load_rule("is_1725_2013")
    for key, value, unit_key, code in [
        ("is1725-2013-individual", 2.8, "MPa", "unit_of_other_clause"),
        ("is1725-2013-absorption", 2.8, "MPa", "unit_of_other_clause"),
        ("is1725-2013-absorption", 80, "pct_of_class", "unit_of_other_clause"),
        ("is1725-2013-absorption", -1, "pct", "not_positive"),
        ("is1725-2013-absorption", 0, "pct", "not_positive"),
    ]:
        with pytest.raises(InputError) as caught:
            read_in_document(rule, key, value=value, unit=unit_key, read_by="me")
        assert caught.value.code == code
    with pytest.raises(InputError) as caught:
        read_in_document(load_rule("nzs_4297_1998"), "nzs4297-phi-1", value=0.6, unit="one", read_by="me")
    assert caught.value.code == "nothing_to_read"


def test_the_stricter_of_two_figures_counts_and_both_stand() -> None:
    # 15 % is quoted for the higher classes of IS 1725:2013, 18 % for all: at class 3.5 18 %, at 5.0 the stricter 15 %.
    rule = load_rule("is_1725_2013")

    def absorption(grade: str, of: object = rule) -> float:
        found = compile_rule(of, grade=grade)  # type: ignore[arg-type]
        return next(each.criterion.limit for each in found if each.clause.key == "is1725-2013-absorption")

    assert absorption("3.5") == pytest.approx(0.18)
    assert absorption("5.0") == pytest.approx(0.15)
    # who reads 18 % in the document has settled it: the quotation is named and does not count any more
    read = read_in_document(rule, "is1725-2013-absorption", value=18.0, unit="pct", read_by="the engineer")
    assert absorption("5.0", read) == pytest.approx(0.18)
    # pH 12.0, and 12.1 in an appendix of the same text: at least 12.1 is the stricter
    ufc = {each.clause.key: each for each in compile_rule(load_rule("ufc_3_250_11_2020"))}
    assert ufc["organic-army"].criterion.limit == pytest.approx(12.1)
    assert ufc["organic-army"].stricter is not None and "appendix" in ufc["organic-army"].stricter.source


def test_two_keys_are_never_one() -> None:
    keys = [clause.key for rule in rules() for clause in rule.clauses]
    assert len(keys) == len(set(keys))
