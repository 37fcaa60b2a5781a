"""The bench sheet: all a phone needs to work from the plan to the recipe without a network, in words, numbers and field lists."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date, datetime
from typing import Any

from loamwright import __version__
from loamwright.engine.bench import strength
from loamwright.errors import InputError
from loamwright.notebook.entry import instant
from loamwright.notebook.fields import Field
from loamwright.notebook.kinds import Kind
from loamwright.project import blocks, carried, carried_offers, cure, doubts, press, today, weigh
from loamwright.project.carried import MixAlong
from loamwright.project.judged import judged
from loamwright.project.loads import calibrated
from loamwright.project.state import Fact, State
from loamwright.units import all_units, as_table, units_of
from loamwright.words import batches, bench_told
from loamwright.words.asked_first import FIRST, SELDOM_UNITS, SOLE, usual_unit
from loamwright.words.asked_for import kinds_said
from loamwright.words.blocks import age_words
from loamwright.words.cautions import cautions_for
from loamwright.words.charts import charts_for_phone
from loamwright.words.duties import due_words
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, digits_of, percent
from loamwright.words.numbers import day as day_words
from loamwright.words.said import said
from loamwright.words.sentences import AS_WRITTEN, THREE_DIGITS, of_fault
from loamwright.words.showing import batch_number, entry_line, name_of, shown_units

Sheet = dict[str, Any]
# Kinds that are not written down by their fields alone: they open a project, or have a screen of their own with what they tell.
NEEDS_SERVER = ("project", "plan", "choice", "recipe", "answer", "clock_note", "batch")
JUDGED = ("sister-apart", "sisters-least", "clock-runs", "gauge-least", "gauge-most")
# What reading a field, or computing at the bench, can say: the phone puts the same sentences as the pages.
CODES = (
    *("no_number", "not_a_number", "divided_by_zero", "not_whole", "missing_field", "unit_missing", "unknown_unit"),
    *("unit_of_other_quantity", "unknown_choice", "not_a_date", "not_a_moment", "beyond_sense", "year_beyond_sense", "needed"),
    *("field_missing", "field_not_understood", "not_positive", "negative", "not_a_share", "out_of_range", "gauge_absurd"),
    *("half_needs_length", "unknown_basis", "densities_needed", "dry_not_above_tare", "wet_below_dry", "soil_above_total"),
    *("too_few", "denser_than_solids", "filled_not_above_tare", "not_overdosed", "same_source_twice", "rod_not_below_bore"),
    *("loose_below_pressed", "not_digits", "no_offset", "before_start", "mark_wrong_digit", "why_mark_wrong_digit"),
    *("mark_not_usual", "why_mark_not_usual", "mark_twice", "sister_green_mass_up", "sister_green_mass_down"),
    *("why_sister_green_mass_up", "why_sister_green_mass_down", "sister_ten_times", "why_sister_ten_times"),
    *("miss_as_near_as_the_scale", "miss_counts_as_the_mix", "miss_its_own_mix", "soil_holds_more_than_wanted"),
    *("scale_too_coarse", "scale_not_named", "hold_over", "jack_not_calibrated", "mould_area_used", "mould_width_used"),
    *("rig_not_named", "beam_is_stubby", "dissolved", "lever_own_left_out", "pressed_late"),
    *("envelope_not_understood", "unknown_kind", "newer_schema"),
)


def bench_sheet(state: State, *, now: datetime, bench: str, device: str = "") -> Sheet:
    """What a phone takes along of one project.

    Parameters
    ----------
    state : State
        The project as of now.
    now : datetime
        Local moment.
    bench : str
        Id of the bench that people, pails and presses are written to.
    device : str
        The phone; marks set aside for it are among the answer (`carried.set_marks_aside` gives them out).

    Returns
    -------
    dict
        Plain JSON. Masses in kg, lengths in mm, pressures in MPa, shares as fractions, moments as ISO texts; words beside them.
    """
    shown = shown_units(state)
    return {
        "as_of": {"iso": instant(now)[0], "words": f"{day_words(now.date(), None)}, {now:%H:%M}"},
        "project": {"id": state.project, "name": name_of(state, state.project)},
        "bench": bench,
        "version": __version__,
        "people": [str(fact["name"]) for fact in state.all("person")],
        "units": as_table(),
        "digits": {key: digits_of(unit) for key, unit in all_units().items()},
        "shown": {quantity: shown.unit(quantity).key for quantity in sorted({unit.quantity for unit in all_units().values()})},
        "kinds": {name: _kind(kind, shown) for name, kind in kinds_said().items()},
        "choices": _choices(state),
        "pails": [{"id": fact.id, "name": fact["name"]} for fact in state.all("container") if "volume" in fact.values],
        "scales": [_scale(fact) for fact in state.all("scale")],
        "presses": [_press(fact) for fact in state.all("press")],
        "press_last_used": carried.press_last_used(state),
        "rigs": [_rig(fact) for fact in state.all("rig")],
        "mixes": [_mix(state, fact, shown) for fact in state.all("mix")],
        "batches": [_batch(state, fact, now.date()) for fact in carried.in_hand(state, now.date())],
        "blocks": [_block(state, fact, now) for fact in blocks.known_blocks(state) if fact.id not in cure.broken(state)],
        "marks": list(carried.free_marks(state, device)) if device else [],
        "soak_hours": cure.soak_wanted(state),
        "planning": bench_told.planning_told(state, shown, now),
        "choosing": bench_told.choosing_told(state, shown, now),
        "recipes": bench_told.recipes_told(state, shown),
        "questions": bench_told.questions_told(state),
        "charts": charts_for_phone(state, shown),
        "due": [due_words(each, state, now.date(), _nowhere) for each in today.due_now(state, now.date())],
        "cautions": {name: cautions_for(name) for name in kinds_said() if cautions_for(name)},
        "judged": {key: judged(key) for key in JUDGED},
        "fixed": {
            "uncalibrated_jack": strength.UNCALIBRATED_JACK_FACTOR,
            "scale_step": judged("scale-step"),
            "water_to_start": judged("water-to-start"),
        },
        "sentences": {code: tr(said()[code]) for code in CODES},
        "as_written": sorted(AS_WRITTEN),
        "three_digits": sorted(THREE_DIGITS),
    }


def _nowhere(*parts: str) -> str:
    """No address: pages of the server are out of reach at the bench."""
    return parts[0] if parts else ""


# --- field lists ---


def _kind(kind: Kind, shown: Shown) -> Sheet:
    return {
        "label": kind.label,
        "verb": kind.verb,
        "schema": kind.schema,
        "bench": kind.bench,
        "asked": kind.asked and kind.name not in NEEDS_SERVER,
        "first": [each.name for each in kind.fields if each.required or each.name in FIRST.get(kind.name, ())],
        "sole": [each.name for each in kind.fields if each.name in SOLE],
        "fields": [_field(kind.name, each, shown) for each in kind.fields],
    }


def _field(kind: str, each: Field, shown: Shown) -> Sheet:
    said_of = asdict(each)
    said_of.update(options=dict(each.options), of=list(each.of), rows=[_field(kind, sub, shown) for sub in each.rows])
    if each.quantity:
        unit = usual_unit(kind, each.quantity, shown) or shown.unit(each.quantity).key
        offered = [one.key for one in units_of(each.quantity)]
        said_of["unit"] = unit
        said_of["units"] = [key for key in offered if key == unit or each.name in SELDOM_UNITS.get(key, (each.name,))]
    return said_of


def _choices(state: State) -> Mapping[str, list[Sheet]]:
    """Everything a field may name, by kind, newest last."""
    named = {of for kind in kinds_said().values() for each in kind.fields for of in _named_by(each)}
    return {kind: [{"id": fact.id, "name": name_of(state, fact.id)} for fact in state.all(kind)] for kind in sorted(named)}


def _named_by(each: Field) -> set[str]:
    return {*each.of, *(of for sub in each.rows for of in sub.of)}


# --- what stands on the bench ---


def _numbers(fact: Fact, *names: str) -> Sheet:
    return {name: fact.number(name) for name in names}


def _scale(fact: Fact) -> Sheet:
    return {"id": fact.id, "name": fact["name"], **_numbers(fact, "step")}


def _press(fact: Fact) -> Sheet:
    lengths = ("mould_length", "mould_width", "block_height", "bore", "rod", "gauge_wanted")
    return {
        "id": fact.id,
        "name": fact["name"],
        "how": fact["how"],
        "cylinders": fact.get("cylinders") or 1,
        **_numbers(fact, *lengths),
    }


def _rig(fact: Fact) -> Sheet:
    return {
        "id": fact.id,
        "name": fact["name"],
        "how": fact["how"],
        "calibrated": calibrated(fact),
        **_numbers(fact, "ram_bore", "calibration", "lever_ratio", "lever_own"),
    }


# --- mixes and batches ---


def _mix(state: State, fact: Fact, shown: Shown) -> Sheet:
    named: Sheet = {"id": fact.id, "name": name_of(state, fact.id)}
    try:
        return {**named, **_of_mix(state, carried.mix_along(state, fact), shown)}
    except InputError as fault:
        return {**named, "fault": of_fault(fault)}


def _of_mix(state: State, mix: MixAlong, shown: Shown) -> Sheet:
    piles = [{"name": name_of(state, source), "of_damp": part} for source, part in mix.piles.items()]
    return {
        "dose": mix.dose.value,
        "dose_words": percent(mix.dose.value, 1),
        "has_stabiliser": bool(mix.fact.get("stabiliser")),
        "stabiliser": _stabiliser(state, mix.fact),
        "soil_water": mix.soil_water.value,
        "soil_water_words": shown.value(mix.soil_water.value, "share"),
        "target_water": mix.target_water,
        "target_water_text": f"{100 * mix.target_water:.3g}",
        "stood_on": list(mix.entries),
        "piles": piles if len(piles) > 1 else [],
        "fills": _fills(mix.fills),
        "densities": dict(mix.densities),
        "soil_per_block": dict(carried_offers.soil_per_block(state, mix.fact)),
    }


def _stabiliser(state: State, mix: Fact) -> str:
    """ "cement", "lime" or "none"."""
    stabiliser = state.find(mix["stabiliser"], "stabiliser") if mix.get("stabiliser") else None
    return "none" if stabiliser is None or stabiliser.fault is not None else str(stabiliser["type"])


def _fills(found: Mapping[str, tuple[float, float]]) -> Sheet:
    return {machine: {"dry_density": density, "height": height} for machine, (density, height) in found.items()}


def _batch(state: State, fact: Fact, today: date) -> Sheet:
    named: Sheet = {
        "id": fact.id,
        "name": name_of(state, fact.id),
        "number": batch_number(state, fact),
        "mix": state.versions.entity(fact["mix"]),
        "targets": fact.get("targets"),
        "pressed": len(state.where("block", "batch", fact.id)),
        "spoiled": len(state.where("spoiled", "batch", fact.id)),
        "over": press.is_over(state, fact, today),
    }
    try:
        return {**named, **_of_batch(state, weigh.batch_view(state, fact.id))}
    except InputError as fault:
        return {**named, "fault": of_fault(fault)}


def _of_batch(state: State, view: weigh.BatchView) -> Sheet:
    fact = view.fact
    weighed = {"soil": view.soil, "stabiliser": view.stabiliser, "water": view.water}
    shown = shown_units(state)
    return {
        "scale_step": view.scale_step,
        "soil_wanted": fact.needed("soil_wanted"),
        "target_water": view.target_water,
        "dose": view.dose.value,
        "soil_water": _soil_water(view),
        "has_stabiliser": bool(view.mix.get("stabiliser")),
        "stabiliser": blocks.stabiliser_type(state, fact.id),
        "weighed": {
            what: [
                {"id": each.id, "net": _net(each), "words": batches.weighing_line(each, shown), "undo": _undo(state, each.id)}
                for each in part.facts
            ]
            for what, part in weighed.items()
        },
        "air_temperature": weigh.air_temperature(fact),
        "stabiliser_in": None if view.stabiliser_in is None else view.stabiliser_in.isoformat(),
        "marks": [{"mark": mark, "fate": fate} for mark, fate in carried.planned_marks(state, fact)],
        "planned": "plan" in fact.values,
        "press": carried.press_of_batch(state, fact),
        "fills": _fills(carried.fill_of_batch(state, fact)),
    }


def _undo(state: State, entity: str) -> Sheet | None:
    found = carried.undoing(state, entity)
    return None if found is None else asdict(found)


def _soil_water(view: weigh.BatchView) -> float:
    return float(view.dry_soil.inputs["w"].value)  # type: ignore[arg-type]


def _net(fact: Fact) -> float:
    return fact.needed("mass") - (fact.number("tare") or 0.0)


# --- blocks that wait ---


def _block(state: State, fact: Fact, now: datetime) -> Sheet:
    batch = state.fact(fact["batch"], "batch")
    condition = cure.condition_wanted(state, fact)
    soak = cure.soaks(state).get(fact.id)
    group = _group_of(state).get(fact.id)
    return {
        "id": fact.id,
        "mark": fact["mark"].strip(),
        "batch": batch.id,
        "of": name_of(state, batch.id),
        "press": state.versions.entity(fact["press"]) if fact.get("press") else "",
        "green_mass": fact.number("green_mass"),
        "height": fact.number("height"),
        "condition": {"wet": "soaked", "dry": "dry"}.get(condition, ""),
        "age_words": age_words(state, fact, now.date()),
        "break_on": None if group is None else group.break_on.isoformat(),
        "break_words": "" if group is None else day_words(group.break_on, now.date()),
        "soak_on": None if group is None or group.soak_on is None else group.soak_on.isoformat(),
        "soak_words": "" if group is None or group.soak_on is None else day_words(group.soak_on, now.date()),
        "in_water_since": None if soak is None else state.moment(soak).isoformat(),
        "bent": bool(state.where("bend", "block", fact.id)),
        "tests": [_test(state, each, shown_units(state)) for each in doubts.tests_of(state, fact.id)],
        "undo": _undo(state, fact.id),
    }


def _test(state: State, fact: Fact, shown: Shown) -> Sheet:
    words = entry_line(state, fact.head, shown)
    return {"id": fact.id, "words": words, "piece": fact.get("piece", ""), "undo": _undo(state, fact.id)}


def _group_of(state: State) -> Mapping[str, cure.ToBreak]:
    return state.memo("to_break_by_block", lambda: {block.id: group for group in cure.to_break(state) for block in group.blocks})
