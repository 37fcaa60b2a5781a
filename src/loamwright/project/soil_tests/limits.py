"""Limits of the fines by cup, cone and threads; shrinkage of bar, box and pat."""

from collections.abc import Iterator, Sequence

from loamwright import tables
from loamwright.engine.soil import consistency, plasticity, shrinkage
from loamwright.errors import Note
from loamwright.project import dig
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given, number
from loamwright.project.limit_findings import (
    BOX,
    Limits,
    Liquid,
    Rows,
    bar,
    box,
    box_length,
    cone,
    cracks,
    cup,
    figure,
    index_of,
    limits_of,
    pat,
    reported_beside,
    threads,
)
from loamwright.project.state import Fact, State
from loamwright.project.swell_findings import STANDINGS, criteria_says, criteria_table
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, faults_asked

BOX_SECTION = 40.0
"""Width and depth of the box the classic tables are made for. [mm] [practice-shrinkage-box]"""
SAME_SIZE = 0.5
"""Sizes of a box that differ by less are the same. [mm]"""


def _asked(fact: Fact, *results: Result | None) -> tuple[Question, ...]:
    """What is in the way of results, each once; a soil without plasticity is a finding and no fault."""
    return tuple(question for question in faults_asked(fact, *results) if question.code != "not_plastic")


# --- liquid limit ---


def _cup(state: State, fact: Fact) -> Worked:
    found = cup(fact)
    told = [Told("Liquid limit", "share", found.limit)]
    if found.flow is not None:
        told.append(Told("Flow index", "share", found.flow))
    trials = _trials(found.rows, "Blows", "", found.rows.column("blows"))
    return _of_liquid(state, fact, found, told, trials, _risen(fact, found))


def _cone(state: State, fact: Fact) -> Worked:
    found = cone(fact)
    told = [Told("Liquid limit", "share", found.limit)]
    trials = _trials(found.rows, "Sank", "length", found.rows.column("penetration"))
    return _of_liquid(state, fact, found, told, trials, _fallen(fact, found))


def _of_liquid(
    state: State, fact: Fact, found: Liquid, told: list[Told], trials: tuple[Table, ...], against: Iterator[Question]
) -> Worked:
    """A liquid limit, with the plasticity index where it is the one that counts and a plastic limit is known."""
    limits = limits_of(state, fact["source"])
    index = index_of(limits) if limits.liquid_from == fact.id else None
    if index is not None:
        told.append(Told("Plasticity index", "share", index))
    plastic_from = state.find(limits.plastic_from) if limits.plastic_from else None
    threads_ask = plastic_from is not None and plastic_from.kind == "plastic_threads"
    swapped = () if threads_ask else _swapped(limits, index)
    questions = (*found.rows.questions, *_asked(fact, found.limit), *against, *swapped)
    return Worked(tuple(told), trials, reported_beside(fact, found.limit), questions=questions)


def _trials(rows: Rows, label: str, quantity: str, values: Sequence[float]) -> tuple[Table, ...]:
    if not rows.rows:
        return ()
    columns = (Column("Trial"), Column(label, quantity), Column("Water content", "share"))
    return (Table("Trials", columns, tuple(zip(map(str, rows.places), values, rows.waters, strict=True))),)


def _risen(fact: Fact, found: Liquid) -> Iterator[Question]:
    """Trials wetter than one with fewer blows by more than scatter: computed with, and asked."""
    if found.rising:
        yield Question("flow_curve_rises", "shake", (fact.id,), "unlikely", {"blows": found.rising})


def _fallen(fact: Fact, found: Liquid) -> Iterator[Question]:
    """Trials of the cone that are drier than a shallower one by more than scatter: computed with, and asked."""
    if found.rising:
        yield Question("cone_line_falls", "shake", (fact.id,), "unlikely", {"penetrations": found.rising})


# --- plastic limit ---


def _threads(state: State, fact: Fact) -> Worked:
    plastic, rows = threads(fact)
    limits = limits_of(state, fact["source"])
    told = [Told("Plastic limit", "share", plastic)]
    says: list[Note] = []
    index = None
    if fact.get("none_rolled"):
        says.append(Note("not_plastic", {}))
    elif limits.plastic_from == fact.id:  # an older test of threads keeps to itself
        index = index_of(limits)
        told += _of_index(state, fact, limits, index)
        says += [*_index_says(limits, index), *_activity_says(told)]
    if isinstance(plastic, Finding) and limits.liquid is None:
        says.append(Note("other_limit_needed", {}))
    columns = (Column("Thread"), Column("Water content", "share"))
    table = (Table("Threads", columns, tuple(zip(map(str, rows.places), rows.waters, strict=True))),) if rows.rows else ()
    questions = (*rows.questions, *_asked(fact, plastic), *_swapped(limits, index), *_rolled_after_all(fact))
    notes = reported_beside(fact, plastic)
    source = fact["source"]
    return Worked(tuple(told), (*table, *criteria_table(state, source)), notes, (*says, *criteria_says(state, source)), questions)


def _of_index(state: State, fact: Fact, limits: Limits, index: Result | None) -> list[Told]:
    """Plasticity index and what follows from it."""
    if index is None:
        return []
    told = [Told("Plasticity index", "share", index)]
    if not isinstance(index, Finding) or not index.value > 0.0:
        return told
    liquid, plastic = limits.liquid, limits.plastic
    assert liquid is not None and plastic is not None
    found = dig.last_moisture(state, fact["source"])
    if isinstance(found, Finding):
        told += _as_it_lies(fact, found, liquid, plastic, index)
    if limits.flow is not None:
        told.append(Told("Toughness index", "", _toughness(fact, index, limits.flow)))
    clay = _clay(state, fact)
    if clay is not None:
        told.append(Told("Activity of the clay", "", _activity(fact, index, clay)))
    return told


def _as_it_lies(fact: Fact, water: Finding, liquid: Finding, plastic: Finding, index: Finding) -> list[Told]:
    def liquidity() -> Finding:
        value = consistency.liquidity_index(water.value, plastic_limit=plastic.value, plasticity_index=index.value)
        return Finding(consistency.LIQUIDITY_INDEX, value, {"w": water, "w_P": plastic, "I_p": index})

    def firmness() -> Finding:
        value = consistency.consistency_index(water.value, liquid_limit=liquid.value, plasticity_index=index.value)
        return Finding(consistency.CONSISTENCY_INDEX, value, {"w": water, "w_L": liquid, "I_p": index})

    return [
        Told("Liquidity index, as it lies", "", attempt("liquidity_index", (fact.id,), liquidity)),
        Told("Consistency index, as it lies", "", attempt("consistency_index", (fact.id,), firmness)),
    ]


def _toughness(fact: Fact, index: Finding, flow: Finding) -> Result:
    def compute() -> Finding:
        value = consistency.toughness_index(index.value, flow_index=flow.value)
        return Finding(consistency.TOUGHNESS_INDEX, value, {"I_p": index, "F": flow})

    return attempt("toughness_index", (fact.id,), compute)


def _clay(state: State, fact: Fact) -> Given | Finding | None:
    """Share of clay as given with the threads, else from the newest grading of this soil that reached it."""
    if "clay" in fact.values:
        return given(fact, "clay")
    from loamwright.project.soil_tests import SOIL_TESTS, grading

    tests = [each for test in grading.TESTS for each in state.where(test.kind, test.about, fact["source"])]
    for test in sorted(tests, key=state.at, reverse=True):
        found = SOIL_TESTS.worked(state, test).finding("clay_fraction")
        if found is not None:
            return found
    return None


def _activity(fact: Fact, index: Finding, clay: Given | Finding) -> Result:
    def compute() -> Finding:
        assert isinstance(clay.value, float)
        value = consistency.activity(index.value, clay=clay.value)
        # a grading is of the whole soil, the limits of what passed 0.425 mm
        notes = (Note("activity_of_whole", {}),) if isinstance(clay, Finding) else ()
        return Finding(consistency.ACTIVITY, value, {"I_p": index, "C": clay}, notes)

    return attempt("activity", (fact.id,), compute)


def _activity_says(told: Sequence[Told]) -> Iterator[Note]:
    for each in told:
        if isinstance(each.result, Finding) and each.result.formula.name == "activity":
            kind = consistency.activity_class(each.result.value)
            if kind == "active":
                yield Note("activity_active", {"activity": each.result.value})
            else:
                yield Note("activity_inactive" if kind == "inactive" else "activity_normal", {"activity": each.result.value})


def _index_says(limits: Limits, index: Result | None) -> Iterator[Note]:
    """Where the point lies on the plasticity chart."""
    if not isinstance(index, Finding) or limits.liquid is None:
        return
    liquid = limits.liquid.value
    if liquid >= plasticity.U_LINE_FROM and index.value > plasticity.u_line(liquid):
        yield Note("above_u_line", {"line": plasticity.u_line(liquid)})
    above = index.value >= plasticity.a_line(liquid)
    yield Note("above_a_line" if above else "below_a_line", {"line": plasticity.a_line(liquid)})


def _swapped(limits: Limits, index: Result | None) -> Iterator[Question]:
    if isinstance(index, Withheld) and index.fault.code == "limits_swapped" and len(index.about) > 1:
        values = {name: float(f"{value:.6g}") for name, value in index.fault.values.items() if isinstance(value, float)}
        yield Question(index.fault.code, "shake", index.about, "impossible", values)


def _rolled_after_all(fact: Fact) -> Iterator[Question]:
    if fact.get("none_rolled") and (fact.get("threads") or "reported" in fact.values):
        yield Question("threads_rolled_after_all", "shake", (fact.id,), "unlikely")


# --- shrinkage ---


def _bar(state: State, fact: Fact) -> Worked:
    found = bar(fact)
    told = [Told("Linear shrinkage", "share", found)]
    if isinstance(found, Finding):
        value = shrinkage.plasticity_from_shrinkage(found.value)
        guess = Finding(shrinkage.INDEX_FROM_SHRINKAGE, value, {"L_S": found}, (Note("index_guessed", {}),))
        told.append(Told("Plasticity index, guessed from it", "share", guess))
    questions = (*_asked(fact, found), *_much(fact, found))
    return Worked(tuple(told), notes=reported_beside(fact, found), questions=questions)


def _much(fact: Fact, found: Result) -> Iterator[Question]:
    most = figure("shrinkage-most")
    if isinstance(found, Finding) and found.value > most:
        yield Question("shrinkage_strange", "shake", (fact.id,), "unlikely", {"shrinkage": found.value, "most": most})


def _box(state: State, fact: Fact) -> Worked:
    found = box(fact)
    questions = (*_asked(fact, found), *_much(fact, found))
    told = (Told("Linear shrinkage", "share", found),)
    if not isinstance(found, Finding):
        return Worked(told, questions=questions)
    classic, notes = _is_classic(fact), tuple(_box_notes(fact))
    if not classic:
        return Worked(told, notes=(*notes, Note("box_not_classic", {})), says=tuple(_window(found)), questions=questions)
    steps = shrinkage.cement_steps(fact.needed("gap") + sum(cracks(fact)))
    return Worked(told, (_steps_table(steps),), notes, (*_window(found), *_steps_says(steps)), questions)


def _is_classic(fact: Fact) -> bool:
    """Whether the box is the one the tables are made for: 600 x 40 x 40 mm."""
    sizes = [fact.number(name) or BOX_SECTION for name in ("width", "depth")]
    return abs(number(box_length(fact)) - BOX) < SAME_SIZE and all(abs(size - BOX_SECTION) < SAME_SIZE for size in sizes)


def _box_notes(fact: Fact) -> Iterator[Note]:
    minutes = fact.number("dried_for")
    if "dried" in fact.values and minutes is not None:
        wanted = figure(f"box-days-{fact['dried']}")
        if minutes < wanted * 24 * 60:
            yield Note("box_dried_short", {"days": minutes / 24 / 60, "wanted": wanted})
    if cracks(fact):
        yield Note("cracks_counted", {"count": len(cracks(fact))})


def _steps_table(steps: Sequence[shrinkage.CementStep]) -> Table:
    columns = (
        Column("Table"),
        Column("Gap from", "length"),
        Column("to", "length"),
        Column("Soil to one cement, loose volumes"),
        Column("Cement of loose soil", "share"),
        Column("Its figures are"),
    )
    return Table("What the classic tables of this box say", columns, tuple(_step_row(step) for step in steps))


def _step_row(step: shrinkage.CementStep) -> tuple[Cell, ...]:
    return (_document(step), step.gap_from, step.gap_to, step.soil_parts, step.per_loose_soil, STANDINGS[step.standing])


def _steps_says(steps: Sequence[shrinkage.CementStep]) -> Iterator[Note]:
    known = {step.soil_parts for step in steps if step.soil_parts is not None}
    silent = [step for step in steps if step.soil_parts is None]
    if not known:
        yield Note("box_tables_silent", {})
    elif len(known) > 1:
        yield Note("box_tables_differ", {})
    if known and silent:
        inside = any(step.below_most for step in silent)
        yield Note("box_table_hole" if inside else "box_table_ends", {"document": _document(silent[0])})
    yield Note("box_tables_standing", {})


def _document(step: shrinkage.CementStep) -> str:
    return str(tables.load("shrinkage_steps")[step.table]["document"])


def _window(found: Finding) -> Iterator[Note]:
    least, most = figure("box-window-least"), figure("box-window-most")
    if not least <= found.value <= most:
        values = {"shrinkage": found.value, "least": least, "most": most}
        yield Note("shrinks_little" if found.value < least else "shrinks_much", values)


def _pat(state: State, fact: Fact) -> Worked:
    limit, more = pat(fact)
    told = [Told("Shrinkage limit", "share", limit)]
    labels = {"shrinkage_ratio": ("Shrinkage ratio", ""), "volumetric_shrinkage": ("Shrinkage by volume", "share")}
    told += [Told(*labels[each.formula.name], each) for each in more]
    source = fact["source"]
    notes = reported_beside(fact, limit)
    return Worked(tuple(told), criteria_table(state, source), notes, criteria_says(state, source), _asked(fact, limit))


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("cup_limit", "source", _cup),
    KindOfTest("cone_limit", "source", _cone),
    KindOfTest("plastic_threads", "source", _threads),
    KindOfTest("shrinkage_bar", "source", _bar),
    KindOfTest("shrinkage_box", "source", _box),
    KindOfTest("shrinkage_dish", "source", _pat),
)
