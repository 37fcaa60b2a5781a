"""Brushing, frost, spray, drip, abrasion, dip, drop."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from loamwright.engine.bench import moisture
from loamwright.engine.block import brushing, erosion, size
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.block_tests.readings import Row, figure, other_than, reported, wanted
from loamwright.project.blocks import mix_water, stabiliser_type
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given, number, typed
from loamwright.project.state import Fact, State
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, faults_asked

Inputs = Mapping[str, Given | Finding]

LOSS_AS_REPORTED = Formula("brushing_loss", "L", "1", "L_r", {"L_r": Term("brushing_loss", "1")}, "laboratory-report")
CAME_OFF = Formula(
    "weighed_loss",
    "L",
    "1",
    "m_o / m_0",
    {"m_o": Term("dry_mass", "kg"), "m_0": Term("block_mass_before", "kg")},
    "derivation-phases",
)
PIT = Formula("pit_depth", "d", "mm", "d_r", {"d_r": Term("pit_depth", "mm")}, "une-41410", "Annex D")


# --- cycles and brush ---


def _brushing(state: State, fact: Fact) -> Worked:
    loss = _loss(state, fact)
    told = [Told("Loss by brushing", "share", loss)]
    if "volume_before" in fact.values or "volume_after" in fact.values:
        told.append(Told("Change of volume", "share", attempt("cycle_volume_change", (fact.id,), lambda: _volume(fact))))
    results = [each.result for each in told]
    limits = _limits(fact, loss)
    notes = (*brushing.cycle_notes(fact["cycles"]), *_cycle_settings(fact))
    says = (*_volume_says(results), *_limit_says(fact, loss))
    questions = (*faults_asked(fact, *results), *_gained(fact))
    return Worked(tuple(told), (*limits, *_losses(fact)), notes, says, questions)


def _loss(state: State, fact: Fact) -> Result:
    if "final_dry_mass" not in fact.values and "reported" in fact.values:
        return reported(fact, LOSS_AS_REPORTED)
    return attempt("brushing_loss", (fact.id,), lambda: _brushed(state, fact))


def _brushed(state: State, fact: Fact) -> Finding:
    original = _original(state, fact)
    final = _final(state, fact)
    value = brushing.brushing_loss(original.value, corrected_dry_mass=final.value)
    return Finding(brushing.BRUSHING_LOSS, value, {"m_0": original, "m_c": final})


def _original(state: State, fact: Fact) -> Finding:
    """Dry mass as pressed: the block's own mass and its batch's moisture where nobody weighed the specimen."""
    block = state.fact(fact["block"], "block")
    mass = given(fact, "moulded_mass") if "moulded_mass" in fact.values else given(block, "green_mass")
    water = given(fact, "moulded_water") if "moulded_water" in fact.values else mix_water(state, block["batch"])
    value = moisture.dry_mass(number(mass), water_content=number(water))
    return Finding(moisture.DRY_MASS, value, {"m": mass, "w": water})


def _final(state: State, fact: Fact) -> Finding:
    dry = fact.needed("final_dry_mass")
    bound, notes = _bound(state, fact)
    if dry == 0:
        nothing = Given(0.0, (fact.head,), "nothing left")
        return Finding(brushing.CORRECTED_DRY_MASS, 0.0, {"m_f": nothing, "r": bound}, notes)
    value = brushing.corrected_dry_mass(dry, bound_water=number(bound))
    return Finding(brushing.CORRECTED_DRY_MASS, value, {"m_f": given(fact, "final_dry_mass"), "r": bound}, notes)


def _bound(state: State, fact: Fact) -> tuple[Given, tuple[Note, ...]]:
    """Water that the stabiliser bound: by road group; none without stabiliser."""
    kind = fact.get("stabiliser") or stabiliser_type(state, state.fact(fact["block"], "block")["batch"])
    if kind == "none":
        return Given(0.0), ()
    if "soil_group" not in fact.values:
        raise InputError("soil_group_missing")
    value = brushing.bound_water(fact["soil_group"][:3])
    notes = () if kind == "cement" else (Note("bound_water_of_cement", {"bound": value}),)
    return Given(value, (fact.head,), source="astm-d559"), notes


def _volume(fact: Fact) -> Finding:
    value = brushing.cycle_volume_change(fact.needed("volume_before"), volume_after=fact.needed("volume_after"))
    inputs = {"V_0": given(fact, "volume_before"), "V_1": given(fact, "volume_after")}
    return Finding(brushing.CYCLE_VOLUME_CHANGE, value, inputs)


def _volume_says(results: Sequence[Result]) -> Iterator[Note]:
    most = figure("volume-change-most")
    for each in results:
        if isinstance(each, Finding) and each.formula.name == "cycle_volume_change" and abs(each.value) > most:
            yield Note("volume_changed_much", {"change": each.value, "most": most})


def _limits(fact: Fact, loss: Result) -> tuple[Table, ...]:
    if isinstance(loss, Withheld) or "soil_group" not in fact.values:
        return ()
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (each.document, each.soils, each.most, "within" if each.passes else "above", each.standing)
        for each in brushing.loss_limits(loss.value, group=fact["soil_group"])
    )
    columns = (Column("Document"), Column("For"), Column("At most", "share"), Column("This block"), Column("Known from"))
    return (Table("Limits", columns, rows),)


def _limit_says(fact: Fact, loss: Result) -> Iterator[Note]:
    if isinstance(loss, Withheld) or "soil_group" not in fact.values:
        return
    for each in brushing.loss_limits(loss.value, group=fact["soil_group"]):
        if each.source == "pca-eb052":
            values = {"loss": loss.value, "most": each.most, "soils": each.soils}
            yield Note("loss_within" if each.passes else "loss_above", values)


def _cycle_settings(fact: Fact) -> Iterator[Note]:
    coldest = fact.number("coldest")
    if coldest is not None and coldest > figure("frost-coldest"):
        yield Note("frost_not_cold", {"coldest": coldest, "wanted": figure("frost-coldest")})


def _losses(fact: Fact) -> tuple[Table, ...]:
    rows = sorted(fact.get("weighings", ()), key=lambda row: row["cycle"])
    if not rows:
        return ()
    cells: tuple[tuple[Cell, ...], ...] = tuple((float(row["cycle"]), row["mass"].engine) for row in rows)
    return (Table("Weighings", (Column("Cycle"), Column("Mass", "mass")), cells),)


def _gained(fact: Fact) -> Iterator[Question]:
    """A brushed block that became heavier from one cycle to a later one: its water was not the same."""
    masses = [row["mass"].engine for row in sorted(fact.get("weighings", ()), key=lambda row: row["cycle"])]
    if any(later > 1.02 * earlier for earlier, later in pairwise(masses)):
        yield Question("heavier_between_cycles", "break", (fact.id,), "unlikely")


# --- spray ---


def _spray(state: State, fact: Fact) -> Worked:
    rate = attempt("erosion_rate", (fact.id,), lambda: _rate(fact))
    told = [Told("Erosion, mm/h", "", rate)]
    says: list[Note] = []
    if isinstance(rate, Finding):
        index = attempt("erodibility_index", (fact.id,), lambda: _spray_index(fact, rate))
        told.append(Told("Erodibility index", "", index))
        if isinstance(index, Finding):
            values = {"index": int(index.value), "rate": rate.value}
            says.append(Note("spray_fails" if _fails(index, "spray") else "spray_says", values))
    says += _damp_says(fact)
    rows: tuple[tuple[Cell, ...], ...] = tuple((row["after"].engine, row["depth"].engine) for row in _in_time(fact))
    table = Table("Depths", (Column("After", "duration"), Column("Depth", "length")), rows)
    notes = (*_spray_time(fact), *other_than(fact, "distance", "spray-distance", setting="nozzle to face in mm", share=0.05))
    questions = (*faults_asked(fact, *(each.result for each in told)), *_shallower(fact))
    return Worked(tuple(told), (table,), notes, tuple(says), questions)


def _in_time(fact: Fact) -> list[Row]:
    return sorted(fact["readings"], key=lambda row: row["after"].engine)


def _rate(fact: Fact) -> Finding:
    """By the last reading: that at the hour, or when it was through."""
    last = max(fact["readings"], key=lambda row: row["after"].engine)
    value = erosion.erosion_rate(last["depth"].engine, spray_minutes=last["after"].engine)
    return Finding(erosion.EROSION_RATE, value, {"d": typed(fact, last["depth"]), "t": typed(fact, last["after"])})


def _spray_index(fact: Fact, rate: Finding) -> Finding:
    pressure = fact.number("pressure")
    found = erosion.erodibility_index(rate.value, spray_pressure=erosion.SPRAY_PRESSURE if pressure is None else pressure)
    notes = found.notes if pressure is not None else (Note("spray_pressure_not_said"),)
    inputs: Inputs = {"I_t": Given(float(found.index), rate.entries(), source="nzs-4298")}
    return Finding(erosion.ERODIBILITY_INDEX, float(found.index), inputs, notes)


def _fails(index: Finding, method: str) -> bool:
    """Whether an index is the one that its table calls failed."""
    rows = erosion.indices(method)
    return any(row["fails"] and row["index"] == index.value for row in rows)


def _spray_time(fact: Fact) -> Iterator[Note]:
    minutes = max(row["after"].engine for row in fact["readings"])
    if minutes < 0.95 * erosion.SPRAY_MINUTES and not fact.get("through"):
        yield Note("spray_short", {"minutes": minutes, "wanted": erosion.SPRAY_MINUTES})


def _shallower(fact: Fact) -> Iterator[Question]:
    depths = [row["depth"].engine for row in _in_time(fact)]
    if any(later < earlier for earlier, later in pairwise(depths)):
        yield Question("pit_shallower", "break", (fact.id,), "unlikely")


def _damp_says(fact: Fact) -> Iterator[Note]:
    depth, most = fact.number("damp_depth"), figure("damp-most")
    if depth is not None and depth >= most:
        yield Note("damp_deep", {"depth": depth, "most": most})


# --- drip ---


def _drip(state: State, fact: Fact) -> Worked:
    if fact["method"] == "steady":
        return _steady(fact)
    index = attempt("drip_index", (fact.id,), lambda: _drip_index(fact))
    says = [*_damp_says(fact)]
    if isinstance(index, Finding):
        values = {"index": int(index.value), "pit": fact.needed("pit")}
        says.insert(0, Note("drip_fails" if _fails(index, "drip") else "drip_says", values))
    notes = (*_drip_time(fact), *other_than(fact, "fall", "drip-fall", setting="fall of the drops in mm", share=0.05))
    return Worked((Told("Drip index", "", index),), notes=notes, says=tuple(says), questions=faults_asked(fact, index))


def _drip_index(fact: Fact) -> Finding:
    found = erosion.drip_index(fact.needed("pit"))
    value = Given(float(found.index), (fact.head,), source="nzs-4298")
    return Finding(erosion.DRIP_INDEX, float(found.index), {"I_t": value}, found.notes)


def _drip_time(fact: Fact) -> Iterator[Note]:
    took, least, most = fact.number("took"), figure("drip-least"), figure("drip-longest")
    if took is not None and not least <= took <= most:
        yield Note("drip_time_other", {"minutes": took, "least": least, "most": most})


def _steady(fact: Fact) -> Worked:
    erosion.drip_index(fact.needed("pit"))
    pit, most = fact.needed("pit"), figure("steady-drip-most")
    depth = Finding(PIT, pit, {"d_r": given(fact, "pit")})
    says = Note("steady_drip_fails" if pit > most else "steady_drip_within", {"pit": pit, "most": most})
    return Worked((Told("Pit", "length", depth),), says=(says, *_damp_says(fact)))


# --- brushed dry, dipped, dropped ---


def _abrasion(state: State, fact: Fact) -> Worked:
    coefficient = attempt("abrasion_coefficient", (fact.id,), lambda: _abraded(fact))
    loss = attempt("weighed_loss", (fact.id,), lambda: _weighed(fact))
    told = (Told("Abrasion coefficient, cm²/g", "", coefficient), Told("Mass lost", "share", loss))
    notes = (
        *other_than(fact, "load", "brush-load", setting="load on the brush in kg", share=0.05),
        *_strokes(fact),
    )
    return Worked(told, notes=notes, questions=faults_asked(fact, coefficient, loss))


def _abraded(fact: Fact) -> Finding:
    area = size.gross_area(fact.needed("brushed_length"), block_width=fact.needed("brushed_width"))
    brushed = Finding(size.GROSS_AREA, area, {"l": given(fact, "brushed_length"), "b": given(fact, "brushed_width")})
    value = erosion.abrasion_coefficient(
        area, block_mass_before=fact.needed("mass_before"), block_mass_after=fact.needed("mass_after")
    )
    inputs: Inputs = {"S": brushed, "m_0": given(fact, "mass_before"), "m_1": given(fact, "mass_after")}
    return Finding(erosion.ABRASION_COEFFICIENT, value, inputs)


def _weighed(fact: Fact) -> Finding:
    value = brushing.weighed_loss(fact.needed("mass_before"), block_mass_after=fact.needed("mass_after"))
    return Finding(brushing.WEIGHED_LOSS, value, {"m_0": given(fact, "mass_before"), "m_1": given(fact, "mass_after")})


def _strokes(fact: Fact) -> Iterator[Note]:
    strokes = fact.get("strokes")
    if strokes is not None and strokes != figure("brush-strokes"):
        yield Note("method_setting_other", {"setting": "number of strokes", "value": strokes, "wanted": figure("brush-strokes")})


def _dip(state: State, fact: Fact) -> Worked:
    loss = attempt("weighed_loss", (fact.id,), lambda: _dipped(fact))
    told = (Told("Lost in the water", "share", loss),)
    notes = (
        Note("dip_for_plain_earth"),
        *other_than(fact, "after", "dip-minutes", setting="time in the water in min", share=0.1),
    )
    return Worked(told, notes=notes, says=tuple(_dip_says(loss)), questions=faults_asked(fact, loss))


def _dip_says(loss: Result) -> Iterator[Note]:
    if isinstance(loss, Finding):
        values = {"loss": loss.value, "exposed": figure("dip-exposed-most"), "inner": figure("dip-inner-most")}
        yield Note("dip_says", values)


def _dipped(fact: Fact) -> Finding:
    if "mass_after" in fact.values:
        return _weighed(fact)
    before, off = fact.needed("mass_before"), wanted(fact, "came_off").engine
    value = brushing.weighed_loss(before, block_mass_after=before - off)
    return Finding(CAME_OFF, value, {"m_o": given(fact, "came_off"), "m_0": given(fact, "mass_before")})


def _drop(state: State, fact: Fact) -> Worked:
    told = []
    if "mass" in fact.values and "largest_piece" in fact.values:
        told.append(Told("Largest piece", "share", attempt("kept_share", (fact.id,), lambda: _kept(fact))))
    results = [each.result for each in told]
    notes = tuple(_drop_height(fact))
    questions = (*faults_asked(fact, *results), *_drop_odd(fact))
    return Worked(tuple(told), notes=notes, says=tuple(_drop_says(fact, results)), questions=questions)


def _kept(fact: Fact) -> Finding:
    value = erosion.kept_share(fact.needed("largest_piece"), block_mass=fact.needed("mass"))
    return Finding(erosion.KEPT_SHARE, value, {"m_p": given(fact, "largest_piece"), "m": given(fact, "mass")})


def _drop_height(fact: Fact) -> Iterator[Note]:
    height = fact.needed("height")
    if abs(height - erosion.DROP_HEIGHT) > 0.05 * erosion.DROP_HEIGHT:
        values = {"setting": "height of the drop in mm", "value": height, "wanted": erosion.DROP_HEIGHT}
        yield Note("method_setting_other", values)


def _drop_says(fact: Fact, results: Sequence[Result]) -> Iterator[Note]:
    corner = fact.number("corner")
    halved = any(isinstance(each, Finding) and each.value < figure("halves-share") for each in results)
    if fact["did"] in ("halves", "rubble") or halved:
        yield Note("drop_fails")
    elif fact["did"] == "corner" and corner is None:
        yield Note("drop_corner_not_measured", {"most": figure("corner-most")})
    elif corner is not None and corner > figure("corner-most"):
        yield Note("drop_corner_fails", {"corner": corner, "most": figure("corner-most")})
    else:
        yield Note("drop_passes")


def _drop_odd(fact: Fact) -> Iterator[Question]:
    if fact["did"] == "whole" and "corner" in fact.values:
        yield Question("whole_with_corner_lost", "break", (fact.id,), "unlikely")


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("block_brushing", "block", _brushing),
    KindOfTest("block_freezing", "block", _brushing),
    KindOfTest("block_spray", "block", _spray),
    KindOfTest("block_drip", "block", _drip),
    KindOfTest("block_abrasion", "block", _abrasion),
    KindOfTest("block_dip", "block", _dip),
    KindOfTest("block_drop", "block", _drop),
)
