"""Soaking, boiling, damp plate, capillary rise."""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

from loamwright.engine.block import absorption, size
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.block_tests.readings import Row, figure, other_than, reported, wanted
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given, number, typed
from loamwright.project.state import Fact, State
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, faults_asked

ABSORPTION_AS_REPORTED = Formula("water_absorption", "W", "1", "W_r", {"W_r": Term("water_absorption", "1")}, "laboratory-report")
MINUTES_OF_A_DAY = 1440.0


# --- soaked ---


def _soaking(state: State, fact: Fact) -> Worked:
    if not fact.get("weighings"):
        if "reported" not in fact.values and "boiled" not in fact.values:
            raise InputError("needed", kind=fact.kind, field="weighings", entry=fact.id)
        found = reported(fact, ABSORPTION_AS_REPORTED) if "reported" in fact.values else None
        told = [Told("Absorption", "share", found)] if found else []
        return _soaked(fact, told, _boiled(fact, None), ())
    rows = sorted(fact["weighings"], key=lambda row: row["after"].engine)
    each = [attempt("water_absorption", (fact.id,), partial(_absorbed, fact, row)) for row in rows]
    longest = _at_a_day(rows, each)
    told = [Told("Absorption", "share", longest[1])]
    table = _soak_table(rows, each)
    return _soaked(fact, told, _boiled(fact, longest[0]), (table,), minutes=longest[0]["after"].engine)


def _at_a_day(rows: Sequence[Row], each: Sequence[Result]) -> tuple[Row, Result]:
    """The weighing nearest to a day under water: the one most rules go by."""
    day = figure("absorption-day")
    return min(zip(rows, each, strict=True), key=lambda pair: abs(pair[0]["after"].engine - day))


def _absorbed(fact: Fact, row: Row) -> Finding:
    value = absorption.water_absorption(row["mass"].engine, dry_mass=fact.needed("dry_mass"))
    return Finding(absorption.WATER_ABSORPTION, value, {"m_wet": typed(fact, row["mass"]), "m_dry": given(fact, "dry_mass")})


def _boiled(fact: Fact, cold: Row | None) -> list[Told]:
    if "boiled" not in fact.values:
        return []
    boiled = attempt("water_absorption", (fact.id,), lambda: _absorbed(fact, {"mass": fact["boiled"]}))
    told = [Told("Absorption by boiling", "share", boiled)]
    if cold is not None:
        told.append(Told("Cold over boiled", "", attempt("saturation_coefficient", (fact.id,), lambda: _ratio(fact, cold))))
    return told


def _ratio(fact: Fact, cold: Row) -> Finding:
    dry, boiled = fact.needed("dry_mass"), fact.needed("boiled")
    value = absorption.saturation_coefficient(cold["mass"].engine, dry_mass=dry, boiled_mass=boiled)
    inputs = {"m_wet": typed(fact, cold["mass"]), "m_dry": given(fact, "dry_mass"), "m_boiled": given(fact, "boiled")}
    return Finding(absorption.SATURATION_COEFFICIENT, value, inputs, (Note("boiling_made_for_brick"),))


def _soak_table(rows: Sequence[Row], each: Sequence[Result]) -> Table:
    cells: tuple[tuple[Cell, ...], ...] = tuple(
        (row["after"].engine, row["mass"].engine, found.value if isinstance(found, Finding) else None)
        for row, found in zip(rows, each, strict=True)
    )
    return Table("Weighings", (Column("After", "duration"), Column("Mass", "mass"), Column("Absorption", "share")), cells)


def _soaked(
    fact: Fact, told: Sequence[Told], boiled: Sequence[Told], tables: tuple[Table, ...], minutes: float | None = None
) -> Worked:
    results = (*told, *boiled)
    found = [each.result for each in results]
    questions = (*faults_asked(fact, *found), *_absorbed_much(fact, found), *_fell(fact))
    return Worked(results, tables, tuple(_soak_notes(fact, minutes)), questions=questions)


def _soak_notes(fact: Fact, minutes: float | None) -> Iterator[Note]:
    day = figure("absorption-day")
    if minutes is not None and abs(minutes - day) > 0.1 * day:
        yield Note("soak_other_than_day", {"hours": minutes / 60.0, "wanted": day / 60.0})
    if fact.get("crumbled"):
        yield Note("crumbled_in_water")


def _absorbed_much(fact: Fact, found: Sequence[Result]) -> Iterator[Question]:
    most = figure("absorption-most")
    values = [each.value for each in found if isinstance(each, Finding) and each.formula.name == "water_absorption"]
    if values and max(values) > most:
        yield Question("absorption_strange", "break", (fact.id,), "unlikely", {"absorption": max(values), "most": most})


def _fell(fact: Fact) -> Iterator[Question]:
    """A wet block that became lighter while it soaked: it lost earth, or a mass slipped."""
    rows = sorted(fact.get("weighings", ()), key=lambda row: row["after"].engine)
    masses = [row["mass"].engine for row in rows]
    if any(later < earlier for earlier, later in pairwise(masses)) and not fact.get("crumbled"):
        yield Question("lighter_in_water", "break", (fact.id,), "unlikely")


# --- on a damp plate ---


def _damp_plate(state: State, fact: Fact) -> Worked:
    if "wet_mass" in fact.values:
        found = attempt("water_absorption", (fact.id,), lambda: _absorbed(fact, {"mass": fact["wet_mass"]}))
    elif "reported" in fact.values:
        found = reported(fact, ABSORPTION_AS_REPORTED)
    else:
        raise InputError("needed", kind=fact.kind, field="mass after the plate", entry=fact.id)
    told = (Told("Gain on the damp plate", "share", found),)
    if isinstance(found, Withheld):
        return Worked(told, questions=faults_asked(fact, found))
    values = {"gain": found.value, "most": figure("plate-most"), "days": figure("plate-days")}
    says = (Note("plate_above" if found.value > figure("plate-most") else "plate_within", values),)
    return Worked(told, notes=tuple(_plate_notes(fact)), says=says, questions=tuple(_absorbed_much(fact, [found])))


def _plate_notes(fact: Fact) -> Iterator[Note]:
    days = fact.number("after")
    if days is None:
        yield Note("plate_days_not_said", {"wanted": figure("plate-days")})
    elif abs(days / MINUTES_OF_A_DAY - figure("plate-days")) > 0.5:
        yield Note("plate_days_other", {"days": days / MINUTES_OF_A_DAY, "wanted": figure("plate-days")})
    yield from other_than(fact, "side", "plate-side", setting="side of the cube in mm", share=0.05)


# --- up from below ---


def _capillary(state: State, fact: Fact) -> Worked:
    area = attempt("gross_area", (fact.id,), lambda: _face(fact))
    if isinstance(area, Withheld):
        return Worked((Told("Face in the water, mm²", "", area),), questions=faults_asked(fact, area))
    rows = sorted(fact["weighings"], key=lambda row: row["after"].engine)
    told = [Told("Capillary coefficient, g/(100 cm² √min)", "", _coefficient(fact, area, rows))]
    suction = _near(rows, absorption.SUCTION_MINUTES)
    if suction is not None:
        sucked = attempt("initial_suction", (fact.id,), lambda: _suction(fact, area, suction))
        told.append(Told("Initial suction, kg/(m² min)", "", sucked))
    if len(rows) > 1:
        slope = attempt("absorption_coefficient", (fact.id,), lambda: _slope(fact, area, rows))
        told.append(Told("Slope over the root of time, kg/(m² √min)", "", slope))
    says = tuple(_class_says(told[0].result))
    questions = faults_asked(fact, *(each.result for each in told))
    notes = tuple(other_than(fact, "depth", "capillary-depth", setting="depth of the water in mm", share=0.4))
    return Worked(tuple(told), (_rise_table(fact, rows),), notes, says, questions)


def _face(fact: Fact) -> Finding:
    value = size.gross_area(fact.needed("length"), block_width=fact.needed("width"))
    return Finding(size.GROSS_AREA, value, {"l": given(fact, "length"), "b": given(fact, "width")})


def _near(rows: Sequence[Row], minutes: float) -> Row | None:
    """The weighing at a time, where one was made within a tenth of it."""
    return next((row for row in rows if abs(row["after"].engine - minutes) <= 0.1 * minutes), None)


def _coefficient(fact: Fact, area: Finding, rows: Sequence[Row]) -> Result:
    """Read at 10 min, else at the weighing nearest to it."""
    row = min(rows, key=lambda row: abs(row["after"].engine - absorption.CAPILLARY_MINUTES))
    return attempt("capillary_coefficient", (fact.id,), lambda: _capillary_at(fact, area, row))


def _capillary_at(fact: Fact, area: Finding, row: Row) -> Finding:
    found = absorption.capillarity(
        fact.needed("dry_mass"),
        block_mass_after=row["mass"].engine,
        contact_area=area.value,
        contact_minutes=row["after"].engine,
    )
    return Finding(absorption.CAPILLARY_COEFFICIENT, found.capillary_coefficient, _rise(fact, area, row), found.notes)


def _rise(fact: Fact, area: Finding, row: Row) -> dict[str, Given | Finding]:
    return {
        "m_1": typed(fact, row["mass"]),
        "m_0": given(fact, "dry_mass"),
        "A": area,
        "t": typed(fact, row["after"]),
    }


def _suction(fact: Fact, area: Finding, row: Row) -> Finding:
    value = absorption.initial_suction(
        fact.needed("dry_mass"),
        block_mass_after=row["mass"].engine,
        contact_area=area.value,
        contact_minutes=row["after"].engine,
    )
    return Finding(absorption.INITIAL_SUCTION, value, _rise(fact, area, row))


def _slope(fact: Fact, area: Finding, rows: Sequence[Row]) -> Finding:
    """Over the weighings alone: the dry mass at no time stands on the film of water that clings to every wet block."""
    found = absorption.root_of_time(
        [row["mass"].engine for row in rows],
        contact_times=[row["after"].engine for row in rows],
        contact_area=area.value,
    )
    inputs: dict[str, Given | Finding] = {
        "x": Given(found.root_minute_deviations, (fact.head,)),
        "m": Given(found.block_mass_deviations, (fact.head,)),
        "A": area,
    }
    return Finding(absorption.ABSORPTION_COEFFICIENT, found.absorption_coefficient, inputs)


def _class_says(found: Result) -> Iterator[Note]:
    if isinstance(found, Withheld):
        return
    mass, dry, area, minutes = (number(found.inputs[symbol]) for symbol in ("m_1", "m_0", "A", "t"))
    told = absorption.capillarity(dry, block_mass_after=mass, contact_area=area, contact_minutes=minutes)
    row = absorption.capillary_class(told.class_key)
    yield Note("capillary_says", {"coefficient": found.value, "says": row["says"], "standing": row.standing})


def _rise_table(fact: Fact, rows: Sequence[Row]) -> Table:
    dry = wanted(fact, "dry_mass").engine
    cells: tuple[tuple[Cell, ...], ...] = tuple(
        (row["after"].engine, row["mass"].engine - dry, row["height"].engine if "height" in row else None) for row in rows
    )
    columns = (Column("After", "duration"), Column("Water drawn up", "mass"), Column("Damp reached", "length"))
    return Table("Weighings", columns, cells)


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("block_soaking", "block", _soaking),
    KindOfTest("block_damp_plate", "block", _damp_plate),
    KindOfTest("block_capillary", "block", _capillary),
)
