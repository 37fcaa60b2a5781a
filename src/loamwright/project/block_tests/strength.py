"""How a block was loaded, splitting, penetrometer, rigs against known loads and what they must reach."""

from collections.abc import Iterator, Mapping
from functools import partial

from loamwright.engine.bench import bending, pressing, strength
from loamwright.engine.bench.phases import STANDARD_GRAVITY
from loamwright.engine.block import rigs, shape, splitting
from loamwright.errors import InputError, Note
from loamwright.project import breaking
from loamwright.project.asking import Question
from loamwright.project.block_tests.readings import Row, figure
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given, number, several
from loamwright.project.loads import calibrated, load
from loamwright.project.state import Fact, State
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, faults_asked

Inputs = Mapping[str, Given | Finding]


# --- how a block was loaded: rate, capping, shape ---


def _loading(state: State, fact: Fact) -> Worked:
    block = state.fact(fact["block"], "block")
    made = state.where(fact["test"], "block", block.id)
    if not made:
        raise InputError("no_such_test_yet", mark=block["mark"])
    test = made[-1]
    compute = breaking.crushing_strength if fact["test"] == "crush" else breaking.bending_strength
    found = compute(state, test, block)[0]
    told = _rates(fact, test, found, fact["test"])
    shaped = _shapes(state, fact, test, block, found) if fact["test"] == "crush" else ()
    notes = (*_capping_notes(fact), *_rate_notes(fact, test, told))
    tables = (*_rate_table(told, fact["test"]), *shaped)
    return Worked(told, tables, notes, questions=faults_asked(fact, *(each.result for each in told)))


def _minutes(fact: Fact, test: Fact) -> Given | None:
    """Time to failure: as said here, else as said with the test."""
    source = fact if "took" in fact.values else test
    return given(source, "took") if "took" in source.values else None


def _rates(fact: Fact, test: Fact, found: Finding, kind: str) -> tuple[Told, ...]:
    minutes = _minutes(fact, test)
    if minutes is None or "F" not in found.inputs:
        return ()
    force = found.inputs["F"]
    stress = attempt("stress_rate", (fact.id,), lambda: _stress_rate(found, minutes))
    pull = attempt("force_rate", (fact.id,), lambda: _force_rate(force, minutes))
    return (Told("Stress rose by, MPa/min", "", stress), Told("Load rose by, kN/min", "", pull))


def _stress_rate(found: Finding, minutes: Given) -> Finding:
    value = splitting.stress_rate(found.value, loading_minutes=number(minutes))
    return Finding(splitting.STRESS_RATE, value, {"f": found, "t": minutes})


def _force_rate(force: Given | Finding, minutes: Given) -> Finding:
    value = splitting.force_rate(number(force), loading_minutes=number(minutes))
    return Finding(splitting.FORCE_RATE, value, {"F": force, "t": minutes})


def _rule_rates(told: tuple[Told, ...], kind: str) -> tuple[splitting.RuleRate, ...]:
    rates = [each.result.value for each in told if isinstance(each.result, Finding)]
    return splitting.rule_rates(kind, stress_rate=rates[0], force_rate=rates[1]) if len(rates) == 2 else ()


def _rate_table(told: tuple[Told, ...], kind: str) -> tuple[Table, ...]:
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (each.document, each.wanted, "MPa/min" if each.per == "stress" else "kN/min", each.over_rule, each.standing)
        for each in _rule_rates(told, kind)
    )
    columns = (Column("Rule"), Column("Asks for"), Column("Unit"), Column("This test over it"), Column("Known from"))
    return (Table("Rates of loading", columns, rows),) if rows else ()


def _rate_notes(fact: Fact, test: Fact, told: tuple[Told, ...]) -> Iterator[Note]:
    if _minutes(fact, test) is None:
        yield Note("loading_time_not_said")
    for each in _rule_rates(told, test.kind):
        yield from each.notes


def _capping_notes(fact: Fact) -> Iterator[Note]:
    if fact.get("capping") == "nothing":
        yield Note("not_capped")
    elif fact.get("capping") in ("rubber", "sand"):
        yield Note("soft_capping")
    if fact.get("orientation") in ("edge", "end"):
        yield Note("not_loaded_flat")
    if fact.get("swivel") is False:
        yield Note("plates_fixed")
    if fact.get("stacked"):
        yield Note("halves_stacked")


def _shapes(state: State, fact: Fact, test: Fact, block: Fact, found: Finding) -> tuple[Table, ...]:
    """Unconfined strength by every table of shape factors, each named: they differ by a factor of two for flat blocks."""
    ratio = breaking.slenderness(state, test, block)
    if ratio is None or ratio <= 0 or fact.get("orientation") in ("edge", "end") or fact.get("stacked"):
        return ()
    rows: list[tuple[Cell, ...]] = []
    for table in shape.shape_tables():
        factor = shape.shape_factor(ratio, table=table)
        rows.append(
            (factor.table_name, ratio, factor.factor, shape.unconfined_strength(found.value, factor=factor), factor.standing)
        )
    columns = (
        Column("Table"),
        Column("Height over width"),
        Column("Factor"),
        Column("Strength by it", "pressure"),
        Column("Known from"),
    )
    return (Table("Strength without the help of the plates", columns, tuple(rows)),)


# --- splitting ---


def _split(state: State, fact: Fact) -> Worked:
    try:
        read = load(state, fact)
    except InputError as fault:
        lacking = Withheld("splitting_strength", fault, (fact.id,))
        return Worked((Told("Splitting strength", "pressure", lacking),), questions=faults_asked(fact, lacking))
    found = attempt("splitting_strength", (fact.id,), partial(_split_strength, fact, read.value))
    told: tuple[Told, ...] = (Told("Splitting strength", "pressure", found),)
    rates = _rates(fact, fact, found, "split") if isinstance(found, Finding) else ()
    notes = (*read.notes, *_split_notes(fact), *(note for each in _rule_rates(rates, "split") for note in each.notes))
    questions = (*faults_asked(fact, *(each.result for each in (*told, *rates))), *_split_strong(fact, found))
    says = (Note("for_screening_only"),) if read.screening else ()
    return Worked((*told, *rates), _rate_table(rates, "split"), notes, says, questions)


def _split_strength(fact: Fact, force: Given | Finding) -> Finding:
    value = splitting.splitting_strength(number(force), split_length=fact.needed("length"), split_depth=fact.needed("depth"))
    inputs = {"F": force, "L": given(fact, "length"), "D": given(fact, "depth")}
    return Finding(splitting.SPLITTING_STRENGTH, value, inputs)


def _split_notes(fact: Fact) -> Iterator[Note]:
    if fact["shape"] == "block":
        yield Note("split_of_a_block")
    if fact.get("strip") in ("none", "steel"):
        yield Note("split_without_strips")


def _split_strong(fact: Fact, found: Result) -> Iterator[Question]:
    most = figure("split-most")
    if isinstance(found, Finding) and found.value > most:
        yield Question("split_implausible", "break", (fact.id,), "unlikely", {"strength": found.value, "most": most})


# --- penetrometer ---


def _penetrometer(state: State, fact: Fact) -> Worked:
    found = attempt("penetration_resistance", (fact.id,), lambda: _penetration(fact))
    notes = [Note("penetrometer_compares_only")]
    count = len(fact.get("readings") or fact.get("forces") or ())
    if isinstance(found, Finding) and count < 3:
        notes.append(Note("few_pricks", {"count": count}))
    return Worked((Told("Penetration resistance", "pressure", found),), notes=tuple(notes), questions=faults_asked(fact, found))


def _penetration(fact: Fact) -> Finding:
    if fact.get("readings"):
        each = tuple(one.engine for one in fact["readings"])
        values = several(fact, fact["readings"])
    elif fact.get("forces"):
        piston = fact.needed("piston")
        each = tuple(splitting.penetration_resistance(one.engine, piston_diameter=piston) for one in fact["forces"])
        values = Given(each, (fact.head,), several(fact, fact["forces"]).typed)
    else:
        raise InputError("needed", kind=fact.kind, field="readings", entry=fact.id)
    mean = splitting.mean_penetration(each)
    return Finding(splitting.MEAN_PENETRATION, mean, {"q_i": values})


# --- rigs against known loads ---


def _known_loads(state: State, fact: Fact) -> Worked:
    rig = state.fact(fact["rig"], "rig")
    told: list[Told] = []
    tables: list[Table] = []
    if fact.get("loads"):
        factor = attempt("jack_factor", (fact.id,), lambda: _factor(fact, rig))
        told.append(Told("True load over load shown", "", factor))
        tables += _load_table(fact, rig)
    if fact.get("scale"):
        told += _by_scale(fact)
    elif "load_arm" in fact.values or "block_arm" in fact.values:
        told += _by_arms(fact)
    if not told:
        raise InputError("needed", kind=fact.kind, field="known loads", entry=fact.id)
    says = tuple(_rig_says(rig, told))
    return Worked(tuple(told), tuple(tables), says=says, questions=faults_asked(fact, *(each.result for each in told)))


def _pairs(fact: Fact, rig: Fact) -> list[tuple[float, float]]:
    """Known load and load shown of each row. [kN]"""
    return [(_known(fact, row), _shown(fact, rig, row)) for row in fact["loads"]]


def _known(fact: Fact, row: Row) -> float:
    if "known" in row:
        return float(row["known"].engine)
    if "mass" not in row:
        raise InputError("needed", kind=fact.kind, field="known load", entry=fact.id)
    return float(STANDARD_GRAVITY / 1000.0 * row["mass"].engine)


def _shown(fact: Fact, rig: Fact, row: Row) -> float:
    if "shown" in row:
        return float(row["shown"].engine)
    if "gauge" not in row:
        raise InputError("needed", kind=fact.kind, field="load shown", entry=fact.id)
    return float(row["gauge"].engine * pressing.cylinder_area(rig.needed("ram_bore")) / 1000.0)


def _factor(fact: Fact, rig: Fact) -> Finding:
    pairs = _pairs(fact, rig)
    true, shown = tuple(pair[0] for pair in pairs), tuple(pair[1] for pair in pairs)
    found = rigs.jack_factor(true, read_forces=shown)
    inputs: Inputs = {"F_t": Given(true, (fact.head,)), "F_r": Given(shown, (fact.head, rig.head))}
    return Finding(rigs.JACK_FACTOR, found.jack_factor, inputs, found.notes)


def _load_table(fact: Fact, rig: Fact) -> list[Table]:
    try:
        pairs = _pairs(fact, rig)
    except InputError:
        return []
    rows: tuple[tuple[Cell, ...], ...] = tuple((true, shown, true / shown if shown > 0 else None) for true, shown in pairs)
    return [Table("Known loads", (Column("Known", "force"), Column("Shown", "force"), Column("Factor")), rows)]


def _by_scale(fact: Fact) -> list[Told]:
    ratio = attempt("lever_ratio", (fact.id,), lambda: _fitted(fact))
    told = [Told("Lever ratio", "", ratio)]
    if isinstance(ratio, Finding):
        told.append(Told("Own effect of the lever", "mass", attempt("lever_own", (fact.id,), lambda: _fitted_own(fact, ratio))))
    return told


def _lever(fact: Fact) -> rigs.Lever:
    rows = fact["scale"]
    return rigs.lever_by_scale([row["hung"].engine for row in rows], scale_masses=[row["scale"].engine for row in rows])


def _fitted(fact: Fact) -> Finding:
    found = _lever(fact)
    inputs: Inputs = {
        "u": Given(found.hung_mass_deviations, (fact.head,)),
        "v": Given(found.scale_deviations, (fact.head,)),
    }
    return Finding(rigs.FITTED_RATIO, found.lever_ratio, inputs, found.notes)


def _fitted_own(fact: Fact, ratio: Finding) -> Finding:
    rows = fact["scale"]
    inputs: Inputs = {
        "s": several(fact, [row["scale"] for row in rows]),
        "W": several(fact, [row["hung"] for row in rows]),
        "r": ratio,
    }
    return Finding(rigs.FITTED_OWN, _lever(fact).lever_own, inputs)


def _by_arms(fact: Fact) -> list[Told]:
    ratio = attempt("lever_ratio", (fact.id,), lambda: _ratio(fact))
    told = [Told("Lever ratio", "", ratio)]
    if "lever_mass" in fact.values or "lever_centre" in fact.values:
        told.append(Told("Own effect of the lever", "mass", attempt("lever_own", (fact.id,), lambda: _own(fact))))
    return told


def _ratio(fact: Fact) -> Finding:
    value = rigs.lever_ratio(fact.needed("load_arm"), block_arm=fact.needed("block_arm"))
    return Finding(
        rigs.LEVER_RATIO, value, {"a": given(fact, "load_arm"), "b": given(fact, "block_arm")}, (Note("lever_by_arms_only"),)
    )


def _own(fact: Fact) -> Finding:
    value = rigs.lever_own(
        fact.needed("lever_mass"), lever_centre=fact.needed("lever_centre"), block_arm=fact.needed("block_arm")
    )
    inputs = {"m": given(fact, "lever_mass"), "x": given(fact, "lever_centre"), "b": given(fact, "block_arm")}
    return Finding(rigs.LEVER_OWN, value, inputs)


def _rig_says(rig: Fact, told: list[Told]) -> Iterator[Note]:
    """What to write down with the rig, so that strengths are computed with it."""
    for field, name in (("calibration", "jack_factor"), ("lever_ratio", "lever_ratio"), ("lever_own", "lever_own")):
        found = next(
            (each.result for each in told if isinstance(each.result, Finding) and each.result.formula.name == name), None
        )
        if not isinstance(found, Finding):
            continue
        kept = rig.number(field)
        if kept is None:
            yield Note("rig_write_down", {"rig": rig["name"], "what": name, "found": f"{found.value:.4g}"})
        elif abs(kept - found.value) > 0.02 * abs(found.value):
            yield Note("rig_was_otherwise", {"rig": rig["name"], "what": name, "found": f"{found.value:.4g}", "kept": kept})


# --- can this rig break this block? ---


def _load_wanted(state: State, fact: Fact) -> Worked:
    rig = state.fact(fact["rig"], "rig")
    at_brief = attempt("force", (fact.id,), lambda: _breaks_at(fact))
    told = [Told("Breaks at", "force", at_brief)]
    says: list[Note] = []
    if isinstance(at_brief, Finding):
        margin = fact["margin"].number if "margin" in fact.values else strength.RIG_MARGIN
        says += _reach(rig, at_brief, margin)
        told += _to_set(rig, at_brief)
        if not calibrated(rig):
            says.append(Note("rig_not_checked", {"rig": rig["name"]}))
    return Worked(tuple(told), says=tuple(says), questions=faults_asked(fact, *(each.result for each in told)))


def _breaks_at(fact: Fact) -> Finding:
    wanted = fact.needed("strength")
    if fact["test"] == "crush":
        value = strength.load_to_crush(wanted, block_length=fact.needed("length"), block_width=fact.needed("width"))
        inputs = {"f_c": given(fact, "strength"), "l": given(fact, "length"), "b": given(fact, "width")}
        return Finding(strength.LOAD_TO_CRUSH, value, inputs)
    if fact["test"] == "bend":
        sizes = {
            name: fact.needed(field) for name, field in (("span", "span"), ("block_width", "width"), ("thickness", "thickness"))
        }
        value = bending.load_to_bend(wanted, **sizes)
        inputs = {
            "f_b": given(fact, "strength"),
            "L": given(fact, "span"),
            "b": given(fact, "width"),
            "t": given(fact, "thickness"),
        }
        notes = bending.bending_notes(fact.needed("span"), thickness=fact.needed("thickness"))
        return Finding(bending.LOAD_TO_BEND, value, inputs, notes)
    value = rigs.load_to_split(wanted, split_length=fact.needed("length"), split_depth=fact.needed("thickness"))
    inputs = {"f_t": given(fact, "strength"), "L": given(fact, "length"), "D": given(fact, "thickness")}
    return Finding(rigs.SPLITTING_LOAD, value, inputs)


def _reach(rig: Fact, at_brief: Finding, margin: float) -> list[Note]:
    capacity = rig.number("capacity")
    if capacity is None:
        return [Note("rig_no_capacity", {"rig": rig["name"]})]
    try:
        check = strength.rig_check(capacity, load_at_brief=at_brief.value, rig_margin=margin)
    except InputError as fault:
        return [Note(fault.code, dict(fault.values))]
    return list(check.notes) or [Note("rig_enough", {"rig_capacity": capacity, "load_needed": check.load_needed})]


def _to_set(rig: Fact, at_brief: Finding) -> list[Told]:
    """What to hang, or what the gauge shows, when a block of just that strength breaks."""
    if rig["how"] == "lever":
        return [Told("Hang for it", "mass", attempt("hung_mass", (rig.id,), lambda: _to_hang(rig, at_brief)))]
    if rig["how"] == "jack":
        return [Told("Gauge shows then", "pressure", attempt("gauge_pressure", (rig.id,), lambda: _gauge(rig, at_brief)))]
    return []


def _to_hang(rig: Fact, force: Finding) -> Finding:
    own = rig.number("lever_own") or 0.0
    value = rigs.mass_to_hang(force.value, lever_ratio=rig.needed("lever_ratio"), lever_own=own)
    inputs: Inputs = {
        "F": force,
        "r": given(rig, "lever_ratio"),
        "c": given(rig, "lever_own") if "lever_own" in rig.values else Given(0.0),
    }
    notes = () if "lever_own" in rig.values else (Note("lever_own_left_out"),)
    too_heavy = (Note("lever_alone_breaks_it"),) if value < 0 else ()
    return Finding(rigs.MASS_TO_HANG, value, inputs, (*notes, *too_heavy))


def _gauge(rig: Fact, force: Finding) -> Finding:
    area = pressing.cylinder_area(rig.needed("ram_bore"))
    ram = Finding(pressing.CYLINDER_AREA, area, {"D": given(rig, "ram_bore"), "N": Given(1.0), "d": Given(0.0)})
    factor = rig.number("calibration")
    used = strength.UNCALIBRATED_JACK_FACTOR if factor is None else factor
    value = rigs.gauge_for_force(force.value, ram_area=area, jack_factor=used)
    k = Given(used, source="practice-jack") if factor is None else Given(used, (rig.head,), rig["calibration"].typed)
    notes = (Note("jack_not_calibrated", {"jack_factor": used}),) if factor is None else ()
    return Finding(rigs.GAUGE_FOR_FORCE, value, {"F": force, "A_r": ram, "k": k}, notes)


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("block_loading", "block", _loading),
    KindOfTest("block_split", "block", _split),
    KindOfTest("block_penetrometer", "block", _penetrometer),
    KindOfTest("rig_known_loads", "rig", _known_loads),
    KindOfTest("rig_load_wanted", "rig", _load_wanted),
)
