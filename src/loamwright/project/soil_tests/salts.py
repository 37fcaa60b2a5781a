"""Salts, acid and organic matter of a soil, and the lime it takes: what each test shows, and what it forbids until when."""

from collections.abc import Iterator
from statistics import fmean

from loamwright.engine.soil import chemistry, lime_demand, salt_gates
from loamwright.engine.soil.salt_gates import figure
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term
from loamwright.project import sulfates
from loamwright.project.asking import Question
from loamwright.project.dig import seen_stops
from loamwright.project.finding import Finding, Given, Result, Withheld, as_typed, attempt, given
from loamwright.project.state import Fact, State
from loamwright.project.worked import Column, KindOfTest, Table, Told, Worked, faults_asked

MEAN_PH = Formula("soil_ph", "pH", "1", "mean(pH_i)", {"pH_i": Term("ph_readings", "1")}, "practice-ph")
PASTE_PH = Formula("soil_cement_ph", "pH", "1", "pH_r", {"pH_r": Term("ph", "1")}, "ufc-3-250-11-2020", "paragraph 2-1.2")
ORGANIC_AS_REPORTED = Formula("organic_matter", "o", "1", "o_r", {"o_r": Term("organic_matter", "1")}, "laboratory-report")
SALTS_AS_REPORTED = Formula("soluble_salts", "s", "1", "s_r", {"s_r": Term("soluble_salts", "1")}, "laboratory-report")
DRIED_DOWN = Formula(
    "extract_concentration",
    "c",
    "kg/m3",
    "(m_2 - m_tare) / V",
    {"m_2": Term("dish_with_salts", "kg"), "m_tare": Term("tare_mass", "kg"), "V": Term("evaporated_volume", "m3")},
    "derivation-salts",
)
SOLUBLE_SALTS = Formula(
    "soluble_salts",
    "s",
    "1",
    chemistry.SALT_OF_SOIL.expression,
    chemistry.SALT_OF_SOIL.terms,
    "derivation-salts",
)
STANDS = {"passed": "inside it", "failed": "beyond it", "not_shown": "not shown by this test"}


def _alone(fact: Fact, label: str, quantity: str, found: Withheld) -> Worked:
    return Worked((Told(label, quantity, found),), questions=faults_asked(fact, found))


def _limits_table(rows: Iterator[tuple[str, float, str]], quantity: str) -> Table:
    """Every limit with where the value stands: its source, the limit, the verdict in words."""
    columns = (Column("Limit of"), Column("Limit", quantity), Column("This soil is"))
    return Table("Limits, which do not agree", columns, tuple(rows))


# --- sulfate and chloride ---


def _sulfate(state: State, fact: Fact) -> Worked:
    found = attempt("sulfate_of_soil", (fact.id,), lambda: sulfates.sulfate(fact))
    if isinstance(found, Withheld):
        return _alone(fact, "Sulfate of dry soil", "share", found)
    told = [Told("Sulfate of dry soil", "share", found)]
    if "total_sulfur_mg_kg" in fact.values:
        potential = _potential(fact)
        told.append(Told("Sulfate if all sulfur turned to it", "share", potential))
        if isinstance(potential, Finding) and fact["how"] == "acid":
            told.append(Told("Sulfate that sulfides may still make", "share", _oxidisable(fact, found, potential)))
    asked = faults_asked(fact, *(each.result for each in told))
    standing = ((row["who"], salt_gates.gate(row.key).value, STANDS[one]) for row, one in sulfates.against(fact, found))
    says = (*sulfates.says(state, fact, found), *_potential_says(told[1:]))
    return Worked(tuple(told), (_limits_table(standing, "share"),), tuple(_extract_notes(fact)), says, asked)


def _potential(fact: Fact) -> Result:
    return attempt("total_potential_sulfate", (fact.id,), lambda: sulfates.total_potential(fact))


def _oxidisable(fact: Fact, found: Finding, potential: Finding) -> Result:
    def compute() -> Finding:
        value = float(chemistry.oxidisable_sulfate(potential.value, acid_sulfate=found.value))
        return Finding(chemistry.OXIDISABLE_SULFATE, value, {"s_p": potential, "s_a": found})

    return attempt("oxidisable_sulfate", (fact.id,), compute)


def _potential_says(told: list[Told]) -> Iterator[Note]:
    """Sulfides: what all sulfur would make, held against the limit of total sulfate."""
    result = told[0].result if told else None
    if not isinstance(result, Finding):
        return
    limit = salt_gates.gate("uk-sulfate-total").value
    values = {"potential": result.value, "limit": limit}
    yield Note("potential_over" if result.value > limit else "potential_inside", values)


def _extract_notes(fact: Fact) -> Iterator[Note]:
    stood = fact.number("stood")
    hours = figure("strip-hours")
    if "read_mg_l" in fact.values and (stood is None or stood < 60.0 * hours) and not sulfates.is_full_extract(fact):
        yield Note("extract_stood_short" if stood is not None else "extract_stood_not_said", {"hours": hours})
    if fact.get("off_scale"):
        yield Note("reading_off_scale")
    if fact.kind == "sulfate" and "sulfides" not in fact.values:
        yield Note("sulfides_not_asked")


def _chloride(state: State, fact: Fact) -> Worked:
    found = attempt("salt_of_soil", (fact.id,), lambda: sulfates.salt(fact))
    if isinstance(found, Withheld):
        return _alone(fact, "Chloride of dry soil", "share", found)
    # Chloride goes into water whole, so an extract of any strength shows all of it, unless the reading was at its end.
    dissolved = not fact.get("off_scale")
    standing = [
        (row, salt_gates.stands_against(found.value, row=row, extract="acid", all_dissolved=dissolved))
        for row in salt_gates.rows("chloride")
    ]
    table = _limits_table(((row["who"], salt_gates.gate(row.key).value, STANDS[one]) for row, one in standing), "share")
    failed = [row for row, one in standing if one == "failed"]
    what = {"mg_kg": found.value * sulfates.MG_PER_KG}
    says: tuple[Note, ...] = (Note("chloride_inside", what),) if dissolved else ()
    if failed:
        says = (Note("chloride_over", {"mg_kg": found.value * sulfates.MG_PER_KG, "says": failed[-1]["says"]}),)
    return Worked((Told("Chloride of dry soil", "share", found),), (table,), tuple(_extract_notes(fact)), says)


def _soluble_salts(state: State, fact: Fact) -> Worked:
    found = attempt("soluble_salts", (fact.id,), lambda: _salts_found(fact))
    if isinstance(found, Withheld):
        return _alone(fact, "Soluble salts of dry soil", "share", found)
    (row,) = salt_gates.rows("salts")
    limit = salt_gates.gate(row.key).value
    values = {"salts": found.value, "limit": limit, "says": row["says"]}
    says = (Note("salts_over" if found.value > limit else "salts_inside", values),)
    return Worked((Told("Soluble salts of dry soil", "share", found),), says=says)


def _salts_found(fact: Fact) -> Finding:
    if "evaporated" not in fact.values:
        value = fact.needed("reported")
        check_between(0.0, 1.0, soluble_salts=value)
        return Finding(SALTS_AS_REPORTED, value, {"s_r": given(fact, "reported")})
    dish, filled, volume, ratio = (fact.needed(name) for name in ("dish", "dish_with_salts", "evaporated", "water_per_soil"))
    check_positive(evaporated_volume=volume)
    check_not_negative(tare_mass=dish)
    if filled < dish:
        raise InputError("dish_became_lighter", dish=dish, filled=filled)
    inputs = {"m_2": given(fact, "dish_with_salts"), "m_tare": given(fact, "dish"), "V": given(fact, "evaporated")}
    held = Finding(DRIED_DOWN, (filled - dish) / volume, inputs)
    value = float(chemistry.salt_of_soil(held.value, water_per_soil=ratio))
    return Finding(SOLUBLE_SALTS, value, {"c": held, "r": given(fact, "water_per_soil")})


# --- acid ---


def _ph(state: State, fact: Fact) -> Worked:
    found = attempt("soil_ph", (fact.id,), lambda: _mean_ph(fact))
    if isinstance(found, Withheld):
        return _alone(fact, "pH of the soil", "", found)
    verdict = chemistry.held_against(found.value, gates=salt_gates.gates("soil_ph"))
    (gate,) = (*verdict.failed, *verdict.passed)
    values = {"ph": found.value, "limit": gate.value}
    sodic = (Note("ph_sodic", {"ph": found.value, "least": figure("ph-sodic")}),) if found.value > figure("ph-sodic") else ()
    says = (Note("ph_acid" if verdict.failed else "ph_fine", values), *sodic)
    return Worked((Told("pH of the soil", "", found),), notes=tuple(_ph_notes(fact)), says=says, questions=tuple(_ph_apart(fact)))


def _ph_readings(fact: Fact) -> tuple[float, ...]:
    return tuple(row["ph"].engine for row in fact["readings"])


def _mean_ph(fact: Fact) -> Finding:
    readings = _ph_readings(fact)
    for reading in readings:
        check_between(0.0, 14.0, ph=reading)
    typed = Given(readings, (fact.head,), "; ".join(as_typed(row["ph"]) for row in fact["readings"]))
    return Finding(MEAN_PH, fmean(readings), {"pH_i": typed})


def _ph_notes(fact: Fact) -> Iterator[Note]:
    if fact.get("read_with") == "strip":
        yield Note("ph_by_strip")


def _ph_apart(fact: Fact) -> Iterator[Question]:
    readings, most = _ph_readings(fact), figure("ph-reading-apart")
    apart = max(readings) - min(readings)
    if round(apart, 9) > most:
        yield Question("ph_apart", "shake", (fact.id,), "unlikely", {"apart": apart, "most": most})


# --- organic matter ---


COLOURS = {
    "clear": Note("colour_light"),
    "straw": Note("colour_light"),
    "tea": Note("colour_between"),
    "darker": Note("colour_suspect"),
}


def _colour(state: State, fact: Fact) -> Worked:
    return Worked(notes=tuple(_colour_notes(fact)), says=(COLOURS[fact["colour"]],))


def _colour_notes(fact: Fact) -> Iterator[Note]:
    stood, hours = fact.number("stood"), figure("colour-hours")
    if stood is None or stood < 60.0 * hours:
        yield Note("colour_early", {"hours": hours})
    caustic = fact.number("caustic")
    if caustic is not None and caustic != figure("caustic"):
        yield Note("caustic_other", {"caustic": caustic, "usual": figure("caustic")})


def _ignition(state: State, fact: Fact) -> Worked:
    weighed = any(name in fact.values for name in ("dish", "dried", "burnt"))
    by_fire = weighed or fact.get("reported_by") != "carbon"
    label, name = ("Loss on ignition", "loss_on_ignition") if by_fire else ("Organic matter", "organic_matter")
    found = attempt(name, (fact.id,), lambda: _burnt(fact) if weighed else _organic_reported(fact))
    if isinstance(found, Withheld):
        return _alone(fact, label, "share", found)
    verdict = chemistry.held_against(found.value, gates=salt_gates.gates("organic"))
    beyond = "perhaps beyond it" if by_fire else STANDS["failed"]
    stands = {gate.key: beyond for gate in verdict.failed} | {gate.key: STANDS["passed"] for gate in verdict.passed}
    rows = ((row["who"], salt_gates.gate(row.key).value, stands[row.key]) for row in salt_gates.rows("organic"))
    table = _limits_table(rows, "share")
    values = {"organic": found.value, "count": len(verdict.failed)}
    over = Note("ignition_over" if by_fire else "organic_over", values)
    says = (over if verdict.failed else Note("organic_inside", values),)
    notes = tuple(_fire_notes(state, fact)) if by_fire else ()
    return Worked((Told(label, "share", found),), (table,), notes, says)


def _burnt(fact: Fact) -> Finding:
    tare, dried, burnt = (fact.needed(name) for name in ("dish", "dried", "burnt"))
    value = float(chemistry.loss_on_ignition(dried, ignited_mass=burnt, tare_mass=tare))
    inputs = {"m_1": given(fact, "dried"), "m_2": given(fact, "burnt"), "m_tare": given(fact, "dish")}
    return Finding(chemistry.LOSS_ON_IGNITION, value, inputs)


def _organic_reported(fact: Fact) -> Finding:
    value = fact.needed("reported")
    check_between(0.0, 1.0, organic_matter=value)
    return Finding(ORGANIC_AS_REPORTED, value, {"o_r": given(fact, "reported")})


def _fire_notes(state: State, fact: Fact) -> Iterator[Note]:
    degrees, most = fact.number("furnace"), figure("ignition-most")
    if degrees is not None and degrees > most:
        yield Note("furnace_hot", {"degrees": degrees, "most": most})
    if "crystals" in seen_stops(state, fact["source"]):
        yield Note("ignition_of_gypsum")


# --- lime and cement ---


def _lime(state: State, fact: Fact) -> Worked:
    limes, phs, notes = _bottles(fact)
    columns = (Column("Lime over dry soil", "share"), Column("pH at 25 °C" if not notes else "pH"))
    table = Table("Bottles", columns, tuple(sorted(zip(limes, phs, strict=True))))
    asked = tuple(_falls(fact, limes, phs))
    try:
        found = lime_demand.lime_demand(limes, phs=phs)
    except InputError as fault:
        if fault.code != "lime_not_reached":
            raise
        told = Told("Lime demand", "share", Withheld("lime_demand", fault, (fact.id,)))
        return Worked((told,), (table,), notes, (Note("lime_go_on", dict(fault.values)),), asked)
    finding = Finding(
        lime_demand.LIME_DEMAND, found.lime_of_soil, {"x_i": Given(found.enough, (fact.head,))}, (*found.notes, *notes)
    )
    says = (Note("lime_says", {"lime": finding.value}),)
    return Worked((Told("Lime demand", "share", finding),), (table,), (), says, asked)


def _bottles(fact: Fact) -> tuple[tuple[float, ...], tuple[float, ...], tuple[Note, ...]]:
    """Lime and pH at 25 °C of each bottle; where nobody said how warm it was, as read, and said so."""
    limes = tuple(row["lime"].engine for row in fact["bottles"])
    read = tuple(row["ph"].engine for row in fact["bottles"])
    degrees = fact.number("temperature")
    if degrees is None:
        return limes, read, (Note("lime_temperature_not_said"),)
    return limes, tuple(lime_demand.ph_at_25(ph, temperature=degrees) for ph in read), ()


def _falls(fact: Fact, limes: tuple[float, ...], phs: tuple[float, ...]) -> Iterator[Question]:
    lower = lime_demand.falls(limes, phs=phs, tolerance=figure("lime-ph-falls"))
    if lower:
        yield Question("lime_ph_falls", "shake", (fact.id,), "unlikely", {"lime": lower[0]})


FIZZ = {"none": Note("fizz_none"), "weak": Note("fizz_weak"), "strong": Note("fizz_strong")}


def _fizz(state: State, fact: Fact) -> Worked:
    notes = (Note("vinegar_is_weak"),) if fact.get("acid") == "vinegar" and fact["fizz"] == "none" else ()
    return Worked(notes=notes, says=(FIZZ[fact["fizz"]],))


def _paste(state: State, fact: Fact) -> Worked:
    found = attempt("soil_cement_ph", (fact.id,), lambda: _paste_ph(fact))
    if isinstance(found, Withheld):
        return _alone(fact, "pH of soil and cement", "", found)
    verdict = chemistry.held_against(found.value, gates=salt_gates.gates("soil_cement_ph"))
    if not verdict.failed:
        says = Note("paste_fine", {"ph": found.value})
    elif verdict.passed:
        says = Note("paste_between", {"ph": found.value, "least": verdict.passed[0].value, "most": verdict.failed[0].value})
    else:
        says = Note("paste_low", {"ph": found.value, "limit": min(gate.value for gate in verdict.failed)})
    return Worked((Told("pH of soil and cement", "", found),), notes=tuple(_paste_notes(fact)), says=(says,))


def _paste_ph(fact: Fact) -> Finding:
    value = fact.needed("ph")
    check_between(0.0, 14.0, ph=value)
    return Finding(PASTE_PH, value, {"pH_r": given(fact, "ph")})


def _paste_notes(fact: Fact) -> Iterator[Note]:
    soil, cement, wanted = fact.number("soil"), fact.number("cement"), figure("soil-per-cement")
    if soil is None or cement is None or cement <= 0:
        yield Note("paste_parts_not_said", {"parts": wanted})
    elif abs(soil / cement - wanted) > figure("soil-per-cement-off"):
        yield Note("paste_parts_other", {"parts": soil / cement, "wanted": wanted})
    after, minutes = fact.number("after"), figure("paste-minutes")
    if after is None or abs(after - minutes) > figure("paste-minutes-off"):
        yield Note("paste_time", {"minutes": minutes})


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("sulfate", "source", _sulfate),
    KindOfTest("chloride", "source", _chloride),
    KindOfTest("soluble_salts", "source", _soluble_salts),
    KindOfTest("soil_ph", "source", _ph),
    KindOfTest("organic_colour", "source", _colour),
    KindOfTest("ignition", "source", _ignition),
    KindOfTest("soil_cement_ph", "source", _paste),
    KindOfTest("lime_demand", "source", _lime),
    KindOfTest("carbonate_fizz", "source", _fizz),
)

ORGANIC = ("soil_ph", "organic_colour", "ignition", "soil_cement_ph")
SUSPICIONS = ("ph_acid", "colour_suspect", "ignition_over", "organic_over", "paste_low")
SETTLED_BY = {
    "paste_fine": ("colour_suspect", "ignition_over"),
    "organic_inside": ("colour_suspect", "ph_acid"),
}


def forbids(state: State, source: str) -> tuple[Note, ...]:
    """What the tests of salts, acid and organic matter of a soil forbid as they stand; empty where nothing is in the way.

    Of each kind of test the newest counts; a paste that sets, or little organic matter found, settles a suspicion of colour.
    """
    tests = {test.kind: test for test in TESTS}
    newest = [facts[-1] for kind in ORGANIC if (facts := state.where(kind, "source", source))]
    said = [note for fact in newest for note in _says_of(tests[fact.kind], state, fact)]
    settled = {code for note in said for code in SETTLED_BY.get(note.code, ())}
    organic = tuple(note for note in said if note.code in SUSPICIONS and note.code not in settled)
    return (*sulfates.sulfate_forbids(state, source), *organic)


def _says_of(test: KindOfTest, state: State, fact: Fact) -> tuple[Note, ...]:
    try:
        return test.work(state, fact).says
    except InputError:
        return ()  # asked about where the test stands
