"""Every requirement of the written tables is in the book, and each is met and failed by evidence made for it.

`requirements.toml` holds the figures apart from the rule files, as they were read or remembered. A row of a document that
asks nothing is kept with its reason.
"""

import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from loamwright.engine.evidence import acceptance
from loamwright.engine.evidence.acceptance import BETWEEN, Criterion, Measured
from loamwright.engine.evidence.characteristic import RULES
from loamwright.rules.book import Clause, Rule, compile_rule, rules
from loamwright.rules.files import NO_REQUIREMENT

WRITTEN: list[dict[str, Any]] = tomllib.loads((Path(__file__).parent / "requirements.toml").read_text("utf-8"))["limit"]
BOOK: dict[str, tuple[Rule, Clause]] = {each.key: (rule, each) for rule in rules() for each in rule.clauses}

# Counted by hand in the written tables, so that a row lost in copying is seen.
COUNTED = {
    "14.7.4 NMAC": 23,
    "IBC": 8,
    "NZS 4298": 18,
    "NZS 4297": 10,
    "IS 1725": 20,
    "SLS 1382-1": 7,
    "ARS 674": 10,
    "ARS 674 / 675": 3,
    "ARS 680": 4,
    "XP P13-901": 13,
    "UNE 41410": 9,
    "DIN 18945": 14,
    "NBR 8491": 4,
    "NBR 10834": 2,
    "NBR 10833": 5,
    "NTC 5324 (Colombia)": 9,
    "E.080 (Peru)": 5,
    "UFC 3-250-11": 11,
}
# Written in the note of another row and given a row of their own in the book.
OF_NOTES = {
    "is1725-1982-tolerance",
    "ars674-tol-length-minus",
    "ars674-tol-width-minus",
    "xp13901-2022-density",
    "un-manual-loss-other",
    "ts2514-individual",
}
# The units of the tables as the book writes them.
UNITS = {
    "storeys": "storeys",
    "ft": "ft",
    "in": "in",
    "psi": "psi",
    "kgf/cm2": "kgf_cm2",
    "MPa": "MPa",
    "m": "m",
    "mm": "mm",
    "mm (plus or minus)": "mm",
    "kg": "kg",
    "kg/m3": "kg_m3",
    "days": "d",
    "mm/h": "mm_per_h",
    "cm2/g": "cm2_g",
    "g/(100 cm2 min^0.5)": "g_100cm2_sqrt_min",
    "pH": "ph",
    "mg/kg": "mg_kg",
    "ug/m3": "ug_m3",
    "mg/m3": "mg_m3",
    "count": "pieces",
    "ratio": "one",
    "cycles": "cycles",
    "set per 5,000 bricks": "sets_per_5000",
    "units per 25,000": "per_25000",
    "units": "per_25000",
    "% of class": "pct_of_class",
}
# A ceiling written as "2 to 5 %": the book takes the lower end, the stricter, and names the other.
STRICTER_OF_TWO = {"organic-uk"}
# The written statistic is "method", because the cycles are the method; the book asks each brick to stand them.
EACH_IN_PLACE_OF_METHOD = {"nzs4298-wetdry-cycles"}
IDS = [row["id"] for row in WRITTEN]


def test_the_written_tables_are_whole() -> None:
    assert len(WRITTEN) == len(set(IDS)) == 217
    assert Counter(row["standing"] for row in WRITTEN) == {"document": 23, "second-hand": 38, "memory": 156}
    counts = Counter(row["document"] for row in WRITTEN)
    assert {document: counts[document] for document in COUNTED} == COUNTED


def test_every_written_requirement_is_in_the_book_and_nothing_else() -> None:
    assert set(IDS) - set(BOOK) == set()
    assert set(BOOK) - set(IDS) == OF_NOTES


def test_the_book_counts_as_the_tables_do() -> None:
    found = Counter(rule.document for rule in rules() for clause in rule.clauses if clause.key not in OF_NOTES)
    assert found == Counter(row["document"] for row in WRITTEN)


@pytest.mark.parametrize("row", WRITTEN, ids=IDS)
def test_a_row_stands_in_the_book_as_it_is_written(row: dict[str, Any]) -> None:
    rule, clause = BOOK[row["id"]]
    assert (rule.document, clause.standing) == (row["document"], row["standing"])
    if clause.no_requirement:
        assert clause.no_requirement in NO_REQUIREMENT and clause.value is None
        return
    assert clause.value == row["value"]
    assert clause.unit == UNITS.get(row["unit"], "pct" if row["unit"].startswith("%") else None)
    if row["id"] not in STRICTER_OF_TWO:
        # an exact figure of a table is a least one for those who must stand or pass it
        assert clause.comparator == (">=" if row["comparator"] == "==" else row["comparator"])
        assert clause.value_max == row.get("value_max")
        assert clause.upper_included == row.get("upper_included", True)
    if row["id"] not in EACH_IN_PLACE_OF_METHOD:
        assert clause.statistic == row["statistic"]
    if row["statistic"] != "sampling":  # there the number is the figure itself
        assert clause.n == row.get("specimens_n")
    assert clause.age_days == row.get("age_days")
    if "condition" in row:
        assert clause.condition == row["condition"]
    if "soak_h" in row:
        assert clause.soak_hours == row["soak_h"]


def test_what_asks_nothing_is_no_limit_on_anything() -> None:
    # Only facts, methods, design values, steps of advice, usual ranges, warnings and the class that fails may be left unasked.
    unasked = [row for row in WRITTEN if BOOK[row["id"]][1].no_requirement]
    kinds = Counter(row["statistic"] for row in unasked)
    assert kinds == {"info": 8, "design": 8, "method": 4, "guidance": 6, "maximum": 2, "individual": 1, "characteristic": 1}
    assert {row["id"] for row in WRITTEN if row["comparator"] == "info"} <= {row["id"] for row in unasked}


def criteria() -> list[tuple[str, Criterion]]:
    found = []
    for rule in rules():
        for grade in rule.grades or (None,):
            for each in compile_rule(rule, grade=grade, uses=rule.uses, advice=True):
                found.append((f"{each.clause.key} {grade or ''}", each.criterion))
    return found


CRITERIA = criteria()


def values(criterion: Criterion, value: float) -> list[Measured]:
    """As many results as the clause can ask for, all alike and in every way as it asks."""
    named = RULES[criterion.cautious_rule].n_least if criterion.cautious_rule else 3
    one = Measured(
        property=criterion.property,
        value=value,
        condition=criterion.condition,
        soak_hours=criterion.soak_hours_least,
        age_days=criterion.age_days,
        value_form=criterion.value_form,
        subject=criterion.subject,
        cycles=criterion.cycles_least,
    )
    return [one] * max(criterion.n or 1, named, 6 if criterion.statistic == "mean_best_4_of_6" else 1)


def sides(criterion: Criterion) -> tuple[list[float], list[float]]:
    """Figures that meet a clause and figures that do not, close to its limit."""
    if criterion.comparator == BETWEEN:
        assert criterion.limit_most is not None
        width = criterion.limit_most - criterion.limit
        inside = [criterion.limit + 0.01 * width, criterion.limit_most - 0.01 * width, criterion.limit]
        below = [criterion.limit - 0.01 * width] if criterion.limit > 0.01 * width else []
        return inside, [criterion.limit_most + 0.01 * width, *below]
    low, high = 0.999 * criterion.limit, 1.001 * criterion.limit
    met, not_met = ([high], [low]) if criterion.comparator in (">=", ">") else ([low], [high])
    (met if "=" in criterion.comparator else not_met).append(criterion.limit)
    return met, not_met


def test_every_clause_that_asks_is_among_them() -> None:
    asked = {key for key, (_, clause) in BOOK.items() if not clause.no_requirement}
    assert {name.split(" ")[0] for name, _ in CRITERIA} == asked
    assert len(asked) == 193


@pytest.mark.parametrize(("name", "criterion"), CRITERIA, ids=[name for name, _ in CRITERIA])
def test_a_requirement_is_met_and_failed(name: str, criterion: Criterion) -> None:
    met, not_met = sides(criterion)
    for figure in met:
        assert acceptance.evaluate(criterion, values(criterion, figure)).state == "met", figure
    for figure in not_met:
        assert acceptance.evaluate(criterion, values(criterion, figure)).state == "not_met", figure
    nothing = acceptance.evaluate(criterion, [])
    assert (nothing.state, nothing.missing[0].values["have"]) == ("not_shown_yet", 0)
