"""Sizes, density, shrinkage and swell of a block."""

from collections.abc import Iterator, Sequence
from functools import partial
from math import pi

from loamwright.engine.bench import density, phases, pressing
from loamwright.engine.block import size
from loamwright.errors import InputError, Note, check_positive
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.block_tests.readings import Row, figure
from loamwright.project.blocks import block_press
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given, several, typed
from loamwright.project.state import Fact, State
from loamwright.project.worked import Column, KindOfTest, Table, Told, Worked, faults_asked

SIDES = (("lengths", "wanted_length"), ("widths", "wanted_width"), ("heights", "wanted_height"))
LABELS = {"lengths": "Length", "widths": "Width", "heights": "Height"}

ROUND_HOLES = Formula(
    "void_area",
    "A_v",
    "mm2",
    "pi / 4 * dot(n, d2)",
    {"n": Term("hole_counts", "1"), "d2": Term("squared_diameters", "mm2")},
    "derivation-block-size",
)
SQUARE_HOLES = Formula(
    "void_area",
    "A_v",
    "mm2",
    "dot(n, a)",
    {"n": Term("hole_counts", "1"), "a": Term("hole_areas", "mm2")},
    "derivation-block-size",
)
HOLES = Formula(
    "void_area",
    "A_v",
    "mm2",
    "A_r + A_s",
    {"A_r": Term("void_area", "mm2"), "A_s": Term("void_area", "mm2")},
    "derivation-block-size",
)
VOIDS = Formula(
    "void_volume",
    "V_v",
    "m3",
    "A_v * h / 1000000000 + V_f",
    {"A_v": Term("void_area", "mm2"), "h": Term("block_height", "mm"), "V_f": Term("void_volume", "m3")},
    "derivation-block-size",
)
MEAN_CHANGE = Formula("block_shrinkage", "s", "1", "mean(s_i)", {"s_i": Term("line_changes", "1")}, "derivation-block-size")
MEAN_SWELL = Formula("block_swell", "e", "1", "mean(e_i)", {"e_i": Term("line_changes", "1")}, "is-1725")


# --- sizes, areas, densities ---


def _sizes(state: State, fact: Fact) -> Worked:
    sides = {name: attempt("side_mean", (fact.id,), partial(_side, fact, name)) for name, _ in SIDES}
    told = [Told(LABELS[name], "length", found) for name, found in sides.items()]
    if any(isinstance(found, Withheld) for found in sides.values()):
        return Worked(tuple(told), questions=faults_asked(fact, *sides.values()))
    length, width, height = (found for found in sides.values() if isinstance(found, Finding))
    told += _areas(fact, length, width)
    told += _densities(fact, length, width, height)
    questions = (*faults_asked(fact, *(each.result for each in told)), *_uneven(fact), *_dense(fact, told))
    return Worked(tuple(told), (_table(state, fact),), says=tuple(_size_says(state, fact, told)), questions=questions)


def _side(fact: Fact, name: str) -> Finding:
    found = size.side([each.engine for each in fact[name]])
    return Finding(size.SIDE_MEAN, found.mean, {"x_i": several(fact, fact[name])}, found.notes)


def _wanted(state: State, fact: Fact, name: str, field: str) -> float | None:
    """The size wanted: as said, else the mould's; None for a height nobody wanted."""
    value = fact.number(field)
    if value is None and name != "heights":
        try:
            press = block_press(state, state.fact(fact["block"], "block"))
            value = press.number("mould_length" if name == "lengths" else "mould_width")
        except InputError:
            return None
    return value


def _offs(state: State, fact: Fact) -> Iterator[tuple[str, size.Side, float | None]]:
    """Each side with how far its mean is from the size wanted, None where none is known."""
    for name, field in SIDES:
        side, wanted = size.side([each.engine for each in fact[name]]), _wanted(state, fact, name, field)
        off = None if wanted is None or wanted <= 0 else size.size_off(side.mean, wanted_size=wanted)
        yield name, side, off


def _table(state: State, fact: Fact) -> Table:
    rows = tuple((LABELS[name], side.mean, side.spread, off) for name, side, off in _offs(state, fact))
    columns = (Column("Side"), Column("Mean", "length"), Column("Largest less smallest", "length"), Column("Off", "length"))
    return Table("Sides", columns, rows)


def _areas(fact: Fact, length: Finding, width: Finding) -> Iterator[Told]:
    inputs = {"l": length, "b": width}
    gross = Finding(size.GROSS_AREA, size.gross_area(length.value, block_width=width.value), inputs)
    yield Told("Gross area, mm²", "", gross)
    if not fact.get("holes"):
        return
    holes = attempt("void_area", (fact.id,), lambda: _holes(fact))
    if isinstance(holes, Withheld):
        yield Told("Holes, mm²", "", holes)
        return
    yield Told("Net area, mm²", "", attempt("net_area", (fact.id,), lambda: _net_area(length, width, holes)))
    yield Told("Holes over face", "share", attempt("void_share", (fact.id,), lambda: _void_share(gross, holes)))


def _net_area(length: Finding, width: Finding, holes: Finding) -> Finding:
    value = size.net_area(length.value, block_width=width.value, void_area=holes.value)
    return Finding(size.NET_AREA, value, {"l": length, "b": width, "A_v": holes})


def _void_share(gross: Finding, holes: Finding) -> Finding:
    value = size.void_share(holes.value, gross_area=gross.value)
    return Finding(size.VOID_SHARE, value, {"A_v": holes, "A": gross})


def _holes(fact: Fact) -> Finding:
    rounds = [row for row in fact["holes"] if row["shape"] == "round"]
    squares = [row for row in fact["holes"] if row["shape"] == "square"]
    for row in fact["holes"]:
        check_positive(across=row["across"].engine, count=float(row.get("count", 1)))
    found = [_round_holes(fact, rounds)] if rounds else []
    found += [_square_holes(fact, squares)] if squares else []
    if len(found) == 1:
        return found[0]
    return Finding(HOLES, found[0].value + found[1].value, {"A_r": found[0], "A_s": found[1]})


def _counts(rows: Sequence[Row]) -> tuple[float, ...]:
    return tuple(float(row.get("count", 1)) for row in rows)


def _round_holes(fact: Fact, rows: Sequence[Row]) -> Finding:
    counts, squared = _counts(rows), tuple(row["across"].engine ** 2 for row in rows)
    value = pi / 4 * sum(count * each for count, each in zip(counts, squared, strict=True))
    return Finding(ROUND_HOLES, value, {"n": Given(counts, (fact.head,)), "d2": Given(squared, (fact.head,))})


def _square_holes(fact: Fact, rows: Sequence[Row]) -> Finding:
    if any("along" not in row for row in rows):
        raise InputError("needed", kind=fact.kind, field="other side", entry=fact.id)
    counts, areas = _counts(rows), tuple(row["across"].engine * row["along"].engine for row in rows)
    value = sum(count * each for count, each in zip(counts, areas, strict=True))
    check_positive(void_area=value)
    return Finding(SQUARE_HOLES, value, {"n": Given(counts, (fact.head,)), "a": Given(areas, (fact.head,))})


def _densities(fact: Fact, length: Finding, width: Finding, height: Finding) -> Iterator[Told]:
    volume = attempt("net_volume", (fact.id,), lambda: _net_volume(fact, length, width, height))
    yield Told("Volume", "volume", volume)
    if isinstance(volume, Withheld):
        return
    bulk = None
    if "mass" in fact.values:
        bulk = attempt("bulk_density", (fact.id,), lambda: _bulk(fact, volume))
        yield Told("Density as measured", "density", bulk)
    if "dry_mass" in fact.values:
        yield Told("Dry density", "density", attempt("dry_density", (fact.id,), lambda: _dry(fact, volume)))
    elif "moisture" in fact.values and isinstance(bulk, Finding):
        yield Told("Dry density", "density", attempt("dry_density", (fact.id,), lambda: _dry_by_moisture(fact, bulk)))


def _net_volume(fact: Fact, length: Finding, width: Finding, height: Finding) -> Finding:
    gross = pressing.block_volume(length.value, block_width=width.value, block_height=height.value)
    whole = Finding(pressing.BLOCK_VOLUME, gross, {"l": length, "b": width, "h": height})
    if not fact.get("holes") and "frog" not in fact.values:
        return whole
    holes = _holes(fact) if fact.get("holes") else Given(0.0)
    frog = given(fact, "frog") if "frog" in fact.values else Given(0.0)
    area = holes.value if isinstance(holes, Finding) else 0.0
    voids = area * height.value / 1e9 + (fact.number("frog") or 0.0)
    found = Finding(VOIDS, voids, {"A_v": holes, "h": height, "V_f": frog})
    return Finding(size.NET_VOLUME, size.net_volume(gross, void_volume=voids), {"V": whole, "V_v": found})


def _bulk(fact: Fact, volume: Finding) -> Finding:
    value = density.bulk_density(fact.needed("mass"), volume=volume.value)
    return Finding(density.BULK_DENSITY, value, {"m": given(fact, "mass"), "V": volume})


def _dry(fact: Fact, volume: Finding) -> Finding:
    value = size.block_dry_density(fact.needed("dry_mass"), net_volume=volume.value)
    mass = fact.number("mass")
    if mass is not None and mass < fact.needed("dry_mass"):
        raise InputError("dry_above_mass", dry_mass=fact.needed("dry_mass"), mass=mass)
    return Finding(size.BLOCK_DRY_DENSITY, value, {"m_dry": given(fact, "dry_mass"), "V": volume})


def _dry_by_moisture(fact: Fact, bulk: Finding) -> Finding:
    value = phases.dry_density(bulk.value, water_content=fact.needed("moisture"))
    return Finding(phases.DRY_DENSITY, value, {"rho": bulk, "w": given(fact, "moisture")})


def _uneven(fact: Fact) -> Iterator[Question]:
    most = figure("side-spread-most")
    for name, _ in SIDES:
        spread = size.side([each.engine for each in fact[name]]).spread
        if spread is not None and spread > most:
            values = {"side": LABELS[name].lower(), "spread": spread, "most": most}
            yield Question("side_uneven", "break", (fact.id,), "unlikely", values)


def _dense(fact: Fact, told: Sequence[Told]) -> Iterator[Question]:
    least, most = figure("density-least"), figure("density-most")
    found = [each.result for each in told if each.quantity == "density" and isinstance(each.result, Finding)]
    odd = next((each for each in found if not least <= each.value <= most), None)
    if odd is not None:
        values = {"density": odd.value, "least": least, "most": most}
        yield Question("cured_density_strange", "break", (fact.id,), "unlikely", values)


def _size_says(state: State, fact: Fact, told: Sequence[Told]) -> Iterator[Note]:
    tolerance = fact.number("tolerance") or figure("tolerance")
    for name, _, off in _offs(state, fact):
        if off is not None and abs(off) > tolerance:
            yield Note("size_out_of_tolerance", {"side": LABELS[name].lower(), "off": off, "tolerance": tolerance})
    share = next((each.result for each in told if each.label == "Holes over face"), None)
    if isinstance(share, Finding) and share.value > figure("void-share-most"):
        yield Note("block_is_hollow", {"share": share.value, "most": figure("void-share-most")})


# --- length before and after ---


def _length_change(state: State, fact: Fact) -> Worked:
    dried = fact["what"] == "dried"
    found = attempt("block_shrinkage" if dried else "block_swell", (fact.id,), lambda: _mean_change(fact, dried=dried))
    label = "Shrinkage on drying" if dried else "Swell on soaking"
    if isinstance(found, Withheld):
        return Worked((Told(label, "share", found),), questions=faults_asked(fact, found))
    rows = tuple((row["before"].engine, row["after"].engine, _change(fact, row, dried=dried).value) for row in fact["lines"])
    columns = (Column("Before", "length"), Column("After", "length"), Column(label, "share"))
    questions = tuple(_changed_much(fact, found))
    says = tuple(_swell_says(found)) if not dried else ()
    return Worked((Told(label, "share", found),), (Table("Lines", columns, rows),), says=says, questions=questions)


def _change(fact: Fact, row: Row, *, dried: bool) -> Finding:
    inputs = {"l_0": typed(fact, row["before"]), "l_1": typed(fact, row["after"])}
    kernel = size.block_shrinkage if dried else size.block_swell
    formula = size.BLOCK_SHRINKAGE if dried else size.BLOCK_SWELL
    return Finding(formula, kernel(row["before"].engine, length_after=row["after"].engine), inputs)


def _mean_change(fact: Fact, *, dried: bool) -> Finding:
    each = [_change(fact, row, dried=dried) for row in fact["lines"]]
    if len(each) == 1:
        return each[0]
    values = tuple(found.value for found in each)
    formula, symbol = (MEAN_CHANGE, "s_i") if dried else (MEAN_SWELL, "e_i")
    return Finding(formula, sum(values) / len(values), {symbol: Given(values, (fact.head,))})


def _changed_much(fact: Fact, found: Result) -> Iterator[Question]:
    most = figure("length-change-most")
    if isinstance(found, Finding) and abs(found.value) > most:
        yield Question("length_change_strange", "break", (fact.id,), "unlikely", {"change": found.value, "most": most})


def _swell_says(found: Finding) -> Iterator[Note]:
    most = figure("swell-most")
    yield Note("block_swells" if found.value > most else "block_swells_little", {"swell": found.value, "most": most})


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("block_sizes", "block", _sizes),
    KindOfTest("block_length_change", "block", _length_change),
)
