"""Grain sizes: sieves, hydrometer, pipette; each worked out, and joined into one curve of the soil."""

from collections.abc import Callable, Iterator
from functools import partial

from loamwright import tables
from loamwright.engine.soil import grading_curve, packing
from loamwright.engine.soil.grading_curve import (
    CLAY_FRACTION,
    CURVATURE,
    D10,
    D30,
    D60,
    FINES_FRACTION,
    SILT_AND_CLAY_FRACTION,
    UNIFORMITY,
)
from loamwright.engine.soil.packing import MEAN_DISTANCE
from loamwright.errors import InputError, Note
from loamwright.formula import Formula
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, number
from loamwright.project.gradings import (
    Curve,
    Joined,
    Sieved,
    joined,
    largest_size,
    limit,
    newest_sieving,
    passing_finding,
    portion,
    reaches,
    sieved,
    size_finding,
)
from loamwright.project.settlings import Read, Settled, settled
from loamwright.project.state import Fact, State
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, fault_asked

SHARES = (
    ("Clay, finer than 0.002 mm", "clay-size", CLAY_FRACTION),
    ("Silt and clay, finer than 0.063 mm", "silt-size", SILT_AND_CLAY_FRACTION),
    ("Fines, finer than 0.075 mm", "fines-size", FINES_FRACTION),
)
SIZES = (("D10", 0.10, D10), ("D30", 0.30, D30), ("D60", 0.60, D60))


# --- sieves ---


def _sieve(state: State, fact: Fact) -> Worked:
    found = sieved(state, fact)
    ratios = _ratios(fact, found)
    if found.curve is None:
        fault = found.fault or InputError("no_values", quantity="passing")
        held = Told("Share passing", "share", Withheld("passing", fault, (fact.id,)))
        return Worked((*ratios, held), notes=found.notes, questions=(fault_asked(fact, fault),))
    return Worked(
        (*ratios, *_shares(fact, found.curve), *_sizes(fact, found.curve), *_packing(fact, found.screened or found.curve)),
        (_sieve_table(found), *_packing_table(found.screened or found.curve)),
        (*found.notes, *_specimen(found)),
    )


def _ratios(fact: Fact, found: Sieved) -> Iterator[Told]:
    for label, finding in (
        ("Lost in sieving", found.loss),
        ("Washed out", found.washed_out),
        ("Stones taken off", found.stones),
    ):
        if finding is not None:
            yield Told(label, "share", finding)


def _sieve_table(found: Sieved) -> Table:
    """Every sieve with its mass and shares; a column of the screened soil only where stones were taken off."""
    assert found.curve is not None
    masses = dict(found.retained)
    columns = [Column("Opening", "length"), Column("On it", "mass"), Column("Passing, of the whole", "share")]
    screened = None if found.screened is None else dict(zip(found.screened.sizes, found.screened.passing, strict=True))
    if screened is not None:
        columns.append(Column("Passing, without the stones", "share"))
    rows: list[tuple[Cell, ...]] = []
    for size, share in zip(found.curve.sizes, found.curve.passing, strict=True):
        row: tuple[Cell, ...] = (size, masses.get(size), share)
        rows.append(row if screened is None else (*row, screened.get(size)))
    return Table("Share passing each sieve", tuple(columns), tuple(rows))


def _specimen(found: Sieved) -> Iterator[Note]:
    """Whether the specimen was large enough for its largest grains."""
    curve = found.screened or found.curve
    if found.total is None or curve is None or not _holds_share(curve, 0.99):
        return
    largest = grading_curve.size_at_passing(0.99, sizes=curve.sizes, passing=curve.passing)
    row = next((row for row in tables.load("sieve_samples") if row["largest_size"] >= largest), None)
    if row is not None and number(found.total) < row["least_mass"]:
        yield Note("specimen_small", {"mass": number(found.total), "least": row["least_mass"], "largest": row["largest_size"]})


def _holds_share(curve: Curve, share: float) -> bool:
    """Whether a share lies between the finest and the coarsest that were measured."""
    return len(curve.points) > 1 and curve.passing[-1] <= share <= curve.passing[0] and curve.passing[-1] < curve.passing[0]


# --- what any curve says ---


def _shares(fact: Fact, curve: Curve) -> Iterator[Told]:
    """Shares finer than the usual bounds, as far as the curve goes."""
    for label, key, formula in SHARES:
        if reaches(curve, limit(key)):
            yield Told(label, "share", _attempt(fact, formula, partial(passing_finding, curve, limit(key), formula)))


def _attempt(fact: Fact, formula: Formula, compute: Callable[[], Finding]) -> Result:
    return attempt(formula.name, (fact.id,), compute)


def _sizes(fact: Fact, curve: Curve) -> Iterator[Told]:
    """D10, D30, D60 and the two coefficients, or why there are none."""
    found = {label: _attempt(fact, formula, partial(size_finding, curve, share, formula)) for label, share, formula in SIZES}
    yield from (Told(label, "length", result) for label, result in found.items())
    yield Told("Uniformity coefficient", "", _coefficient(found, "D60", "D10"))
    yield Told("Curvature coefficient", "", _coefficient(found, "D60", "D30", "D10"))


def _coefficient(found: dict[str, Result], *wanted: str) -> Result:
    """D60/D10, or D30²/(D10 D60) where D30 is wanted too."""
    formula = CURVATURE if "D30" in wanted else UNIFORMITY
    sizes: dict[str, Finding] = {}
    for name in wanted:
        result = found[name]
        if isinstance(result, Withheld):
            return Withheld(formula.name, result.fault, result.about)
        sizes[name] = result
    inputs = {f"{name[0]}_{name[1:]}": size for name, size in sizes.items()}
    d60, d10 = sizes["D60"].value, sizes["D10"].value
    if "D30" in sizes:
        return Finding(formula, float(grading_curve.curvature_coefficient(sizes["D30"].value, d10=d10, d60=d60)), inputs)
    return Finding(formula, float(grading_curve.uniformity_coefficient(d60, d10=d10)), inputs)


def _packing(fact: Fact, curve: Curve) -> Iterator[Told]:
    """Mean distance from the densest-packing curve that lies nearest."""
    yield Told("Distance from the nearest packing curve", "share", _attempt(fact, MEAN_DISTANCE, lambda: _nearest(curve)))


def _nearest(curve: Curve) -> Finding:
    largest = largest_size(curve)
    distances = [(_distance(curve, largest, row["exponent"]), row) for row in tables.load("packing_curves")]
    nearest, row = min(distances, key=lambda pair: pair[0].mean)
    entries = tuple(sorted({entry for point in curve.points for entry in _entries(point.passing)}))
    each = Given(tuple(abs(difference) for difference in nearest.differences.tolist()), entries)
    notes = (Note("packing_nearest", {"exponent": row["exponent"], "meant_for": row["meant_for"], "largest": largest}),)
    return Finding(MEAN_DISTANCE, nearest.mean, {"e_i": each}, notes)


def _distance(curve: Curve, largest: float, exponent: float) -> packing.Distance:
    return packing.distance_from_power_curve(curve.passing, sizes=curve.sizes, largest_size=largest, exponent=exponent)


def _entries(value: Given | Finding) -> tuple[str, ...]:
    return value.entries() if isinstance(value, Finding) else value.entries


def _packing_table(curve: Curve) -> Iterator[Table]:
    """How far the curve lies from each packing curve: on average, and where it is farthest."""
    try:
        largest = largest_size(curve)
        rows = tuple(_packing_row(curve, largest, row["exponent"], row["meant_for"]) for row in tables.load("packing_curves"))
    except InputError:  # said where the distance is told
        return
    columns = (
        Column("Packing curve for"),
        Column("Exponent"),
        Column("Distance on average", "share"),
        Column("Farthest off", "share"),
        Column("at", "length"),
    )
    yield Table("Against densest-packing curves", columns, rows)


def _packing_row(curve: Curve, largest: float, exponent: float, meant_for: str) -> tuple[Cell, ...]:
    found = _distance(curve, largest, exponent)
    pairs = zip(found.differences.tolist(), found.sizes.tolist(), strict=True)
    farthest, size = max(pairs, key=lambda pair: abs(pair[0]))
    return meant_for, exponent, found.mean, farthest, size


# --- hydrometer and pipette ---


def _sedimentation(state: State, fact: Fact) -> Worked:
    found = settled(state, fact)
    if found.fault is not None:
        held = Told(SHARES[0][0], "share", Withheld(CLAY_FRACTION.name, found.fault, (fact.id,)))
        return Worked((held,), notes=found.notes, questions=(fault_asked(fact, found.fault),))
    both = joined(state, fact)
    questions = (*found.questions, *_join_questions(fact, both))
    alone = portion(found)
    if both.curve is None:
        told = (*_shares(fact, alone), *(_sizes(fact, alone) if found.of_whole else ()))
        return Worked(told, tuple(_settling_tables(found)), (*found.notes, *_why_alone(state, fact, found)), questions=questions)
    curve = both.curve
    results = (*_shares(fact, curve), *_sizes(fact, curve), *_packing(fact, curve))
    return Worked(
        results, (*_settling_tables(found), _curve_table(curve), *_packing_table(curve)), curve.notes, questions=questions
    )


def _why_alone(state: State, fact: Fact, found: Settled) -> Iterator[Note]:
    """What the shares are of, where they were not joined with a sieving."""
    if not found.of_whole:
        yield Note("shares_of_portion" if newest_sieving(state, fact["source"]) else "shares_of_portion_no_sieving")


def _join_questions(fact: Fact, both: Joined) -> Iterator[Question]:
    if both.fault is not None:
        yield fault_asked(fact, both.fault)
    if both.step:
        size, share, sieve, passing = both.step
        values = {"size": size, "share": share, "sieve": sieve, "passing": passing}
        yield Question("curves_step", "shake", (fact.id,), "unlikely", values)


def _settling_tables(found: Settled) -> Iterator[Table]:
    """Each reading with the size and share it gives, in order of time; nothing for sizes a laboratory reported."""
    if not found.reads:
        return
    columns = (
        Column("After", "duration"),
        Column("Corrected reading"),
        Column("Size", "length"),
        Column("Finer, of what was in the cylinder", "share"),
    )
    yield Table("Readings worked out", columns, tuple(_reading_row(each) for each in found.reads))


def _reading_row(each: Read) -> tuple[Cell, ...]:
    size = None if each.size is None else each.size.value
    return each.minutes, each.corrected, size, None if each.finer is None else each.finer.value


def _curve_table(curve: Curve) -> Table:
    columns = (Column("Size", "length"), Column("Passing, of the whole", "share"))
    return Table("The whole curve", columns, tuple(zip(curve.sizes, curve.passing, strict=True)))


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("sieve", "source", _sieve),
    KindOfTest("hydrometer", "source", _sedimentation),
    KindOfTest("pipette", "source", _sedimentation),
)
