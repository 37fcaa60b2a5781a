"""Swelling in cylinder, jar and ring; crumb and ball in water; methylene blue; every criterion of expansiveness side by side."""

from collections.abc import Iterator
from itertools import pairwise

from loamwright import tables
from loamwright.engine.soil import slaking, swelling
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Given, attempt, given
from loamwright.project.state import Fact, State
from loamwright.project.swell_findings import (
    REPORTED_CHANGE,
    REPORTED_COLLOIDS,
    blue,
    criteria_says,
    criteria_table,
    expansion,
    figure,
    powder_swell,
    report_of,
    swell_index,
)
from loamwright.project.worked import Column, KindOfTest, Table, Told, Worked, faults_asked

WORST_GRADE = Formula("crumb_grade", "g", "1", "max(g_i)", {"g_i": Term("crumb_grades", "1")}, "astm-d6572")
SLAKE_CLASS = Formula("slake_class", "k", "1", "k_t", {"k_t": Term("slake_class", "1")}, "herrick-2001", "read off the table")


def _with_criteria(state: State, fact: Fact, told: tuple[Told, ...], *, notes: tuple[Note, ...] = ()) -> Worked:
    """A test that some criterion goes by, with all criteria its soil can be judged by."""
    source = fact["source"]
    asked = faults_asked(fact, *(each.result for each in told))
    return Worked(told, criteria_table(state, source), notes, criteria_says(state, source), asked)


def _free_swell(state: State, fact: Fact) -> Worked:
    told = []
    if "in_kerosene" in fact.values or "reported" in fact.values:
        told.append(Told("Free swell index", "share", swell_index(state, fact)))
    if "poured" in fact.values:
        told.append(Told("Free swell", "share", powder_swell(state, fact)))
    if not told:
        raise InputError("swell_without_second_volume")
    return _with_criteria(state, fact, tuple(told))


def _jar(state: State, fact: Fact) -> Worked:
    found = attempt("jar_swell", (fact.id,), lambda: _jar_swell(fact))
    says: tuple[Note, ...] = ()
    if isinstance(found, Finding) and found.value > figure("loose-soil-moves"):
        says = (Note("jar_swells", {"swell": found.value}),)
    return Worked((Told("Stands above its dry mark", "share", found),), says=says, questions=faults_asked(fact, found))


def _jar_swell(fact: Fact) -> Finding:
    found = swelling.jar_swell(fact.needed("settled"), fill_height=fact.needed("fill"))
    return Finding(swelling.JAR_SWELL, found.jar_swell, {"h": given(fact, "settled"), "h_0": given(fact, "fill")}, found.notes)


# --- crumb and ball in water ---


def _crumb(state: State, fact: Fact) -> Worked:
    table = slaking.crumb_grades()
    grades = [int(table[row["grade"]]["grade"]) for row in fact["looks"]]
    worst = slaking.crumb_grade(grades)
    row = table.rows[worst - 1]
    found = Finding(WORST_GRADE, float(worst), {"g_i": Given(tuple(map(float, grades)), (fact.head,))})
    looks = tuple(
        (each["after"].engine if "after" in each else None, float(grade), table[each["grade"]]["says"])
        for each, grade in zip(fact["looks"], grades, strict=True)
    )
    columns = (Column("After", "duration"), Column("Grade"), Column("Says"))
    notes = () if fact.get("water") == "distilled" else (Note("crumb_water", {}),)
    says = (Note("crumb_says", {"grade": worst, "says": row["says"]}), *_crumb_says(worst))
    questions = tuple(_clearing(fact, grades))
    return Worked((Told("Grade of the crumb", "", found),), (Table("Looks", columns, looks),), notes, says, questions)


def _crumb_says(worst: int) -> Iterator[Note]:
    if worst >= 3:
        yield Note("crumb_dispersive", {})
    elif worst == 2:
        yield Note("crumb_again", {})


def _clearing(fact: Fact, grades: list[int]) -> Iterator[Question]:
    """A cloud that later looks are said not to see: it may have settled, or two looks were swapped."""
    rows = [(row["after"].engine, grade) for row, grade in zip(fact["looks"], grades, strict=True) if "after" in row]
    ordered = [grade for _, grade in sorted(rows)]
    if any(later < earlier for earlier, later in pairwise(ordered)):
        yield Question("crumb_clears", "shake", (fact.id,), "unlikely")


def _slake(state: State, fact: Fact) -> Worked:
    found = attempt("slake_class", (fact.id,), lambda: _slake_class(fact))
    told = (Told("Class of slaking, 1 to 6", "", found),)
    return Worked(told, says=tuple(_slake_says(fact)), questions=(*faults_asked(fact, found), *_stood_and_fell(fact)))


def _slake_class(fact: Fact) -> Finding:
    value = slaking.slake_class(fact.number("half_gone"), left_after_dips=fact.number("left"))
    if value is None:
        raise InputError("slake_not_dipped")
    return Finding(SLAKE_CLASS, float(value), {"k_t": Given(float(value), (fact.head,), source="herrick-2001")})


def _slake_says(fact: Fact) -> Iterator[Note]:
    half = fact.number("half_gone")
    if fact["did"] == "swelled":
        yield Note("slake_swells", {})
    elif fact["did"] == "stood":
        yield Note("slake_stands", {})
    elif half is not None and half <= figure("slake-at-once"):
        yield Note("slake_at_once", {"minutes": figure("slake-at-once")})


def _stood_and_fell(fact: Fact) -> Iterator[Question]:
    if fact["did"] == "stood" and "half_gone" in fact.values:
        yield Question("slake_stood_and_fell", "shake", (fact.id,), "unlikely")


# --- ring, blue, report ---


def _expansion(state: State, fact: Fact) -> Worked:
    return _with_criteria(state, fact, (Told("Expansion index", "", expansion(fact)),))


def _blue(state: State, fact: Fact) -> Worked:
    found = blue(state, fact)
    told = (Told("Methylene blue, of dry soil", "share", found),)
    if not isinstance(found, Finding):
        return Worked(told, questions=faults_asked(fact, found))
    kind = tables.load("methylene_blue")[swelling.blue_class(found.value)]
    notes = () if "tested" in fact.values or "blue" not in fact.values else (Note("blue_of_whole_taken", {}),)
    return Worked(told, notes=notes, says=(Note("blue_says", {"says": kind["says"]}),))


def _report(state: State, fact: Fact) -> Worked:
    told = []
    if "volume_change" in fact.values:
        told.append(Told("Volume change from air-dry", "share", report_of(fact, "volume_change", REPORTED_CHANGE)))
    if "colloids" in fact.values:
        told.append(Told("Grains under 0.001 mm", "share", report_of(fact, "colloids", REPORTED_COLLOIDS)))
    if not told:
        raise InputError("no_values", quantity="volume_change")
    return _with_criteria(state, fact, tuple(told))


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("free_swell", "source", _free_swell),
    KindOfTest("jar_swell", "source", _jar),
    KindOfTest("crumb", "source", _crumb),
    KindOfTest("slake", "source", _slake),
    KindOfTest("expansion_index", "source", _expansion),
    KindOfTest("methylene_blue", "source", _blue),
    KindOfTest("swell_report", "source", _report),
)
