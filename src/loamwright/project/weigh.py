"""Weigh: a batch from opened to wetted; targets as plain orders, what was really weighed, whether a miss matters."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from loamwright import __version__
from loamwright.engine.bench import dose as dosing
from loamwright.engine.bench import hold as holding
from loamwright.engine.bench import moisture, weigh_out
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.notebook.canonical import canonical
from loamwright.notebook.entry import Entry
from loamwright.project import blends
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Given, given, number
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

SUM = Formula("mass", "m", "kg", "sum(m_each)", {"m_each": Term("mass", "kg")}, "derivation-dose")


@dataclass(frozen=True, slots=True)
class Weighed:
    """What has gone into a batch of one material so far: net mass in kg, its weighings, and the sum as a finding."""

    mass: float
    facts: tuple[Fact, ...]
    finding: Finding | None


@dataclass(frozen=True, slots=True)
class BatchView:
    """A batch as it stands.

    Attributes
    ----------
    fact, mix : Fact
        The batch and its mix.
    scale_step : float
        Step of the scale it is weighed on. [kg]
    dose : Finding
        Wanted dose of the total dry mix.
    soil, stabiliser, water : Weighed
        What has gone in.
    dry_soil, stabiliser_wanted, water_wanted : Finding
        From the soil as weighed (as wanted, before any was).
    stabiliser_order, water_order : float or None
        Plain numbers at the scale's step; None for water when the soil holds more than wanted. [kg]
    achieved : Finding or None
        Dose really reached, once stabiliser is in.
    conventions : EveryConvention or None
        The same in every convention.
    miss : DoseMiss or None
    remedy : Remedy or None
        Soil to add after an overdose, while no water is in.
    mix_water : Finding or None
        Moisture really reached, once water is in.
    stabiliser_in : datetime or None
        When stabiliser met the soil, as tapped.
    notes : tuple of Note
    """

    fact: Fact
    mix: Fact
    scale_step: float
    dose: Finding
    target_water: float
    soil: Weighed
    stabiliser: Weighed
    water: Weighed
    dry_soil: Finding
    stabiliser_wanted: Finding
    stabiliser_order: float
    water_wanted: Finding
    water_order: float | None
    achieved: Finding | None
    conventions: dosing.EveryConvention | None
    miss: weigh_out.DoseMiss | None
    remedy: weigh_out.Remedy | None
    mix_water: Finding | None
    stabiliser_in: datetime | None
    notes: tuple[Note, ...]


def scale_step(state: State, batch: Fact) -> tuple[float, tuple[Note, ...]]:
    """Step of the batch's scale in kg, or a kitchen scale's with a note."""
    if "scale" in batch.values:
        return state.fact(batch["scale"], "scale").needed("step"), ()
    step = judged("scale-step")
    return step, (Note("scale_not_named", {"step_g": step * 1000}),)


def weighed(state: State, batch: str, what: str) -> Weighed:
    """The weighings of one material of a batch, containers taken off."""
    facts = tuple(fact for fact in state.where("weighing", "batch", batch) if fact["what"] == what)
    nets = tuple(fact.needed("mass") - (fact.number("tare") or 0.0) for fact in facts)
    if not facts:
        return Weighed(0.0, (), None)
    typed = " + ".join(fact["mass"].typed for fact in facts)
    total = sum(nets)
    return Weighed(total, facts, Finding(SUM, total, {"m_each": Given(nets, tuple(fact.head for fact in facts), typed)}))


def batch_view(state: State, batch_id: str) -> BatchView:
    """Everything about one batch; `InputError` where what it stands on cannot be computed with."""
    return state.memo(("batch", state.versions.entity(batch_id)), lambda: _batch_view(state, state.fact(batch_id, "batch")))


def _batch_view(state: State, fact: Fact) -> BatchView:
    mix = state.fact(fact["mix"], "mix")
    step, notes = scale_step(state, fact)
    soil, stabiliser, water = (weighed(state, fact.id, what) for what in ("soil", "stabiliser", "water"))
    weighed_by = max((each.at for part in (soil, stabiliser, water) for each in part.facts), default=fact.at)
    soil_water = blends.soil_moisture(state, state.fact(mix["blend"], "blend"), by=max(weighed_by, fact.at))
    moist = soil.finding or given(fact, "soil_wanted")
    dry = blends.dry_soil(moist, soil_water)
    dose = blends.wanted_dose(mix)
    wanted = Finding(
        dosing.STABILISER_MASS,
        dosing.stabiliser_mass(dry.value, stabiliser_of_total=dose.value),
        {"S": dry, "p": dose},
    )
    in_mix = stabiliser.mass if stabiliser.facts else wanted.value
    omega = _omega(fact)
    target = number(omega)
    order = moisture.water_order(
        dry.value + in_mix,
        target_water_content=target,
        dry_soil_mass=dry.value,
        soil_water_content=soil_water.value,
    )
    total = Finding(_TOTAL, dry.value + in_mix, {"S": dry, "C": stabiliser.finding or wanted})
    water_wanted = Finding(
        moisture.WATER_TO_ADD, order.water_mass, {"omega": omega, "T": total, "w": soil_water, "S": dry}, order.notes
    )
    miss = _miss(stabiliser, soil, dry.value, dose.value, step)
    return BatchView(
        fact=fact,
        mix=mix,
        scale_step=step,
        dose=dose,
        target_water=target,
        soil=soil,
        stabiliser=stabiliser,
        water=water,
        dry_soil=dry,
        stabiliser_wanted=wanted,
        stabiliser_order=weigh_out.to_scale_step(wanted.value, scale_step=step),
        water_wanted=water_wanted,
        water_order=None if order.notes else weigh_out.to_scale_step(order.water_mass, scale_step=step),
        achieved=_achieved(stabiliser, soil, dry),
        conventions=_conventions(state, mix, stabiliser, soil, dry.value),
        miss=miss,
        remedy=_remedy(miss, stabiliser, water, dry.value, dose.value, soil_water.value),
        mix_water=_mix_water(water, total, soil_water, dry),
        stabiliser_in=_stabiliser_in(state, fact.id),
        notes=(*notes, *soil_water.all_notes(), *order.notes, *(miss.notes if miss else ())),
    )


def _omega(fact: Fact) -> Given:
    """Moisture wanted of the dry mix: as the batch says, else the usual one to start with."""
    if "water_wanted" in fact.values:
        return given(fact, "water_wanted")
    return Given(judged("water-to-start"), source="itdg-note-2")


_TOTAL = Formula(
    "total_dry_mass",
    "T",
    "kg",
    "S + C",
    {"S": Term("dry_soil_mass", "kg"), "C": Term("stabiliser_mass", "kg")},
    "derivation-dose",
)


def _miss(stabiliser: Weighed, soil: Weighed, dry: float, dose: float, step: float) -> weigh_out.DoseMiss | None:
    if not (stabiliser.facts and soil.facts):
        return None
    return weigh_out.dose_miss(stabiliser.mass, dry_soil_mass=dry, stabiliser_of_total=dose, scale_step=step)


def _achieved(stabiliser: Weighed, soil: Weighed, dry: Finding) -> Finding | None:
    if stabiliser.finding is None or not soil.facts:
        return None
    value = dosing.stabiliser_of_total(stabiliser.mass, dry_soil_mass=dry.value)
    return Finding(dosing.STABILISER_OF_TOTAL, value, {"C": stabiliser.finding, "S": dry})


def _conventions(state: State, mix: Fact, stabiliser: Weighed, soil: Weighed, dry: float) -> dosing.EveryConvention | None:
    if not (stabiliser.facts and soil.facts):
        return None
    densities = blends.loose_densities(state, mix)
    return dosing.achieved_dose(stabiliser.mass, dry_soil_mass=dry, **densities)


def _remedy(
    miss: weigh_out.DoseMiss | None, stabiliser: Weighed, water: Weighed, dry: float, dose: float, soil_water: float
) -> weigh_out.Remedy | None:
    if miss is None or miss.kind == "as_near_as_the_scale" or miss.excess_mass <= 0 or water.facts or dose <= 0:
        return None
    return weigh_out.overdose_remedy(stabiliser.mass, dry_soil_mass=dry, stabiliser_of_total=dose, soil_water_content=soil_water)


def _mix_water(water: Weighed, total: Finding, soil_water: Finding, dry: Finding) -> Finding | None:
    if water.finding is None:
        return None
    value = moisture.mix_water_content(
        water.mass, total_dry_mass=total.value, dry_soil_mass=dry.value, soil_water_content=soil_water.value
    )
    return Finding(moisture.MIX_WATER_CONTENT, value, {"A": water.finding, "w": soil_water, "S": dry, "T": total})


def _stabiliser_in(state: State, batch: str) -> datetime | None:
    taps = state.where("stabiliser_in", "batch", batch)
    return state.moment(taps[0]) if taps else None


def hold_now(state: State, view: BatchView, now: datetime) -> holding.Hold | None:
    """How long the stabiliser has been in, and how long it still may; None before it is, and on a later day."""
    if view.stabiliser_in is None or now - view.stabiliser_in > timedelta(hours=judged("clock-runs")):
        return None
    return holding.hold(view.stabiliser_in, at=max(now, view.stabiliser_in), air_temperature=air_temperature(view.fact))


def air_temperature(batch: Fact) -> float | None:
    """Air where a batch stood, or None where nobody said or no air is like that (it is asked about). [°C]"""
    found = batch.number("air_temperature")
    return found if found is not None and holding.LEAST_AIR_TEMPERATURE <= found <= holding.MOST_AIR_TEMPERATURE else None


def hold_limit(batch: Fact) -> float:
    """How long a cement mix of this batch may wait for the press; on no temperature as on a day that is not hot. [min]"""
    air = air_temperature(batch)
    return holding.HOLD_LIMIT_MINUTES if air is None else holding.hold_limit_minutes(air)


def told_targets(view: BatchView) -> dict[str, Any]:
    """The targets as they are shown when a batch is opened, to be kept in its entry."""
    return {
        "soil_kg": view.fact.needed("soil_wanted"),
        "dry_soil_kg": view.dry_soil.value,
        "soil_water_content": view.dry_soil.inputs["w"].value,
        "stabiliser_of_total": view.dose.value,
        "stabiliser_kg": view.stabiliser_order,
        "water_kg": view.water_order,
        "target_water_content": view.target_water,
        "scale_step_kg": view.scale_step,
        "stood_on": list(view.water_wanted.entries()),
    }


def open_batch_body(state: State, body: dict[str, Any], entry_id: str, at: str) -> dict[str, Any]:
    """The body of a batch with the targets a person is told in it."""
    trial = Fact(entry_id, [Entry(entry_id, state.project, "batch", 1, at, 0, "", "", canonical(body))], 1)
    if trial.fault is not None:
        return body
    try:
        view = _batch_view(state, trial)
    except InputError:
        return body  # the batch is kept all the same; its page says what is missing
    return {**body, "targets": {**told_targets(view), "version": __version__}}


def questions(state: State) -> tuple[Question, ...]:
    """What does not fit among batches and weighings."""
    found: list[Question] = []
    for fact in state.all("batch"):
        try:
            view = batch_view(state, fact.id)
        except InputError as fault:
            found.append(Question(fault.code, "weigh", (fact.id,), "impossible", dict(fault.values)))
            continue
        if view.miss is not None and view.miss.kind == "its_own_mix":
            found.append(_miss_question(fact, view))
        if view.soil.facts and not _near(view.soil.mass, fact.needed("soil_wanted")):
            values = {"weighed": view.soil.mass, "wanted": fact.needed("soil_wanted")}
            found.append(Question("soil_far_from_wanted", "weigh", (fact.id,), "unlikely", values))
    return tuple(found)


def _near(mass: float, wanted: float) -> bool:
    times = judged("mass-apart")
    return wanted > 0 and 1 / times < mass / wanted < times


def _miss_question(fact: Fact, view: BatchView) -> Question:
    wanted_pct = 100 * view.dose.value
    achieved_pct = 100 * (view.achieved.value if view.achieved else 0.0)
    about = tuple(sorted((fact.id, *(each.id for each in view.stabiliser.facts))))
    return Question("dose_missed", "weigh", about, "unlikely", {"wanted_pct": wanted_pct, "achieved_pct": achieved_pct})


def due(state: State, today: date) -> tuple[Due, ...]:
    """Batches that are open: soil, stabiliser or water still to go in."""
    found: list[Due] = []
    for fact in state.all("batch"):
        what = next_weighing(state, fact)
        if what and not state.where("block", "batch", fact.id):
            found.append(Due(f"weigh_{what}", "weigh", fact.id))
    return tuple(found)


def next_weighing(state: State, batch: Fact) -> str:
    """What goes in next: soil, stabiliser, water, or nothing."""
    mix = state.find(batch["mix"], "mix")
    wants = ["soil", "stabiliser", "water"]
    if mix is not None and not mix.get("stabiliser"):
        wants.remove("stabiliser")
    for what in wants:
        if not weighed(state, batch.id, what).facts:
            return what
    return ""
