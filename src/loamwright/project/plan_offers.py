"""Weigh, trial plans offered: three sizes side by side, what each takes and can show, whether the rig can break its blocks."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from loamwright import tables
from loamwright.engine.bench import dose as dosing
from loamwright.engine.bench import moisture, strength
from loamwright.engine.blend.parts import SOURCE_DRY_MASS
from loamwright.engine.block import cure
from loamwright.engine.evidence import plans, power
from loamwright.engine.evidence.characteristic import normal_quantile
from loamwright.engine.evidence.plans import PlanRow, Wanted
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project import blends, dig, ladder
from loamwright.project import brief as briefs
from loamwright.project.finding import Finding, Given, Result, attempt, given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

SIZES = ("small", "usual", "official")
PLACES = ("place-1", "place-2")
"""Open places of a plan: which mixes they are is known once the first day's blocks are broken."""

LOAD_NEEDED = Formula(
    "load_needed", "F_n", "kN", "k * F", {"k": Term("rig_margin", "1"), "F": Term("force", "kN")}, "judgement-rig-margin"
)


# --- what a plan is made of --------------------------------------------------------------------------------------------


def cure_key(state: State, mix: Fact) -> str:
    """The stabiliser of a mix as the curing table names it."""
    return str(state.fact(mix["stabiliser"], "stabiliser")["type"]) if mix.get("stabiliser") else "none"


def days_of(size: str, mixes: Sequence[str]) -> list[tuple[str, ...]]:
    """Mixes (or open places) of each day: all of them first, then the two that are made again."""
    row = tables.load("plans")[size]
    again = tuple(mixes) if len(mixes) <= len(PLACES) else PLACES
    return [tuple(mixes)] * row["first_days"] + [again] * row["place_days"]


def _test_age(size: str, stabiliser: str) -> int:
    tests = cure.ages_to_test(stabiliser)
    if tables.load("plans")[size]["age"] == "screening":
        early = [test.age for test in tests if test.stage == "screening"]
        if early:
            return early[0]
    return cure.judging_age(stabiliser)


def wanted_blocks(state: State, size: str, mixes: Sequence[Fact]) -> tuple[Wanted, ...]:
    """What one batch is made for; of an open place, what fits every mix it may become."""
    row = tables.load("plans")[size]
    kinds = {cure_key(state, mix) for mix in mixes}
    age = max(_test_age(size, kind) for kind in kinds)
    soaked, dry = int(row["soaked"]), int(row["dry"])
    if row["by_rule"]:
        stick = briefs.yardstick(briefs.brief(state))
        count = stick.n or int(ladder.plan_figure("rule-n")[0])
        age = round(stick.age_days or age)
        soaked, dry = (count, 0) if stick.condition == "wet" else (0, count)
    if kinds == {"none"}:  # water takes a block apart that nothing holds together: it is broken dry
        soaked, dry = 0, soaked + dry
    wanted = (Wanted("soaked", age, soaked), Wanted("dry", age, dry), Wanted("spare", None, int(row["spare"])))
    return tuple(each for each in wanted if each.count)


def plan_rows(state: State, size: str, mixes: Sequence[Fact], *, seed: str) -> tuple[PlanRow, ...]:
    """The batches of a plan of this size, randomised by the seed.

    The order hangs on the seed and on which mix was written down first; not on ids, which differ in every notebook.
    """
    labels = {f"mix-{i}": mix for i, mix in enumerate(sorted(mixes, key=lambda mix: (mix.at, mix.id)), 1)}
    blocks = {label: wanted_blocks(state, size, [mix]) for label, mix in labels.items()}
    blocks |= dict.fromkeys(PLACES, wanted_blocks(state, size, mixes))
    rows = plans.trial_plan(days_of(size, list(labels)), blocks=blocks, seed=seed)
    return tuple(replace(row, mix=labels[row.mix].id) if row.mix in labels else row for row in rows)


# --- what one batch takes ----------------------------------------------------------------------------------------------


def target_water(state: State, blend: str) -> Finding | Given:
    """Moisture wanted: from the water ladder, else the usual one to start with."""
    return ladder.target_water(state, blend) or Given(judged("water-to-start"), source="itdg-note-2")


@dataclass(frozen=True, slots=True)
class BatchTakes:
    """What one batch of a mix takes: dry mix, dry soil, stabiliser, water to add, and damp soil by source. [kg]"""

    dry_mix: Finding
    dry_soil: Finding
    stabiliser: Finding
    water: Finding
    soil: Mapping[str, Finding]


def batch_takes(state: State, mix: Fact, *, press: Fact, blocks: int) -> BatchTakes:
    """What a batch of so many blocks of a mix takes from this press."""
    blend = state.fact(mix["blend"], "blend")
    mass = ladder.block_dry_mass(state, blend.id, press)
    left, source = ladder.plan_figure("left-in-mixer")
    value = plans.batch_dry_mass(blocks, dry_block_mass=mass.value, left_in_mixer=left)
    total = Finding(plans.BATCH_DRY_MASS, value, {"n": Given(float(blocks)), "m_b": mass, "a": Given(left, source=source)})
    dose = blends.wanted_dose(mix)
    dry = Finding(
        dosing.DRY_SOIL_MASS, dosing.dry_soil_mass(total.value, stabiliser_of_total=dose.value), {"T": total, "p": dose}
    )
    stabiliser = Finding(
        dosing.STABILISER_MASS, dosing.stabiliser_mass(dry.value, stabiliser_of_total=dose.value), {"S": dry, "p": dose}
    )
    soil_water, wanted = blends.soil_moisture(state, blend), target_water(state, blend.id)
    assert isinstance(wanted.value, float)
    order = moisture.water_order(
        total.value, target_water_content=wanted.value, dry_soil_mass=dry.value, soil_water_content=soil_water.value
    )
    inputs: dict[str, Given | Finding] = {"omega": wanted, "T": total, "w": soil_water, "S": dry}
    water = Finding(moisture.WATER_TO_ADD, order.water_mass, inputs, order.notes)
    return BatchTakes(total, dry, stabiliser, water, _soil_by_source(state, blend, dry))


def damp_by_source(state: State, blend: Fact, moist_mass: float) -> dict[str, Finding]:
    """What to take from each pile for a mass of damp blended soil. [kg]"""
    return _soil_by_source(state, blend, blends.dry_soil(Given(moist_mass), blends.soil_moisture(state, blend)))


def _soil_by_source(state: State, blend: Fact, dry: Finding) -> dict[str, Finding]:
    shares, notes = blends.mass_shares(state, blend)
    found: dict[str, Finding] = {}
    for source, share in shares.items():
        weighed = tuple(fact.head for fact in state.where("pail_weighing", "source", source)[-1:])
        part = Finding(SOURCE_DRY_MASS, share * dry.value, {"f": Given(share, (*weighed, blend.head)), "S": dry}, notes)
        water = dig.moisture_or_usual(state, source)
        moist = moisture.moist_mass(part.value, water_content=water.value)
        found[source] = Finding(moisture.MOIST_MASS, moist, {"m_dry": part, "w": water})
    return found


# --- the three offers --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Offer:
    """One size of plan: its batches, what they take, what they can show.

    Attributes
    ----------
    size : str
        "small", "usual" or "official".
    rows : tuple of PlanRow
    soil : mapping of source to Result
        Damp soil to have at hand. [kg]
    stabiliser : mapping of stabiliser to Result
        [kg]
    water : Result
        Water to add. [kg]
    minutes : Result
        Time at the press. [min]
    difference : Result
        How much stronger a mix must be, as a share of the weaker, to be told with 80 % chance.
    notes : tuple of Note
    """

    size: str
    rows: tuple[PlanRow, ...]
    soil: Mapping[str, Result]
    stabiliser: Mapping[str, Result]
    water: Result
    minutes: Result
    difference: Result
    notes: tuple[Note, ...]

    @property
    def blocks(self) -> int:
        """Blocks of all batches, spares included: as many fillings of the mould."""
        return sum(len(row.fates) for row in self.rows)

    @property
    def days(self) -> int:
        """Days on which batches are made."""
        return len({row.day for row in self.rows})


def offers(state: State, mixes: Sequence[Fact], *, press: Fact, seed: str) -> tuple[Offer, ...]:
    """The three plans for these mixes; `InputError` ("no_mix_chosen") without one."""
    key = ("offers", tuple(mix.id for mix in mixes), press.id, seed)
    return state.memo(key, lambda: tuple(offer(state, size, mixes, press=press, seed=seed) for size in SIZES))


def offer(state: State, size: str, mixes: Sequence[Fact], *, press: Fact, seed: str) -> Offer:
    """One size of plan for these mixes."""
    if not mixes:
        raise InputError("no_mix_chosen")
    if size not in SIZES:
        raise InputError("unknown_choice", label="Size", typed=size, allowed=", ".join(SIZES))
    rows = plan_rows(state, size, mixes, seed=seed)
    needs = _Needs(state, mixes, press, rows)
    sources = sorted({source for mix in mixes for source in blends.parts_of(state.fact(mix["blend"], "blend"))})
    stabilisers = sorted({mix["stabiliser"] for mix in mixes if mix.get("stabiliser")})
    return Offer(
        size=size,
        rows=rows,
        soil={source: needs.total(partial(needs.soil, source=source)) for source in sources},
        stabiliser={each: needs.total(partial(needs.stabiliser, wanted=each)) for each in stabilisers},
        water=needs.total(lambda mix: needs.takes(mix).water),
        minutes=attempt("press_minutes", (press.id,), lambda: _minutes(rows, press)),
        difference=attempt("difference_shown", (), lambda: _difference(rows, mixes)),
        notes=_offer_notes(state, size, mixes),
    )


class _Needs:
    """Totals over the batches of a plan; an open place is reckoned as the neediest of the mixes it may become."""

    def __init__(self, state: State, mixes: Sequence[Fact], press: Fact, rows: Sequence[PlanRow]) -> None:
        self._state, self._press = state, press
        self._mixes = {mix.id: mix for mix in mixes}
        self._rows = rows
        self._size = {row.mix: len(row.fates) for row in rows}
        self._kept: dict[str, BatchTakes] = {}

    def takes(self, mix: Fact) -> BatchTakes:
        if mix.id not in self._kept:
            blocks = self._size.get(mix.id) or max(self._size.values())
            self._kept[mix.id] = batch_takes(self._state, mix, press=self._press, blocks=blocks)
        return self._kept[mix.id]

    def soil(self, mix: Fact, *, source: str) -> Finding | None:
        return self.takes(mix).soil.get(source)

    def stabiliser(self, mix: Fact, *, wanted: str) -> Finding | None:
        return self.takes(mix).stabiliser if mix.get("stabiliser") == wanted else None

    def total(self, one: Callable[[Fact], Finding | None]) -> Result:
        return attempt("mass", tuple(sorted(self._mixes)), lambda: self._total(one))

    def _total(self, one: Callable[[Fact], Finding | None]) -> Finding:
        each = {mix.id: found for mix in self._mixes.values() if (found := one(mix)) is not None}
        greatest = max(each, key=lambda mix: (each[mix].value, mix))
        counted: dict[str, int] = {}
        for row in self._rows:
            mix = row.mix if row.mix in self._mixes else greatest
            if mix in each:
                counted[mix] = counted.get(mix, 0) + 1
        inputs: dict[str, Given | Finding] = {}
        for i, mix in enumerate(counted, 1):
            inputs |= {f"b_{i}": Given(float(counted[mix])), f"x_{i}": each[mix]}
        value = sum(count * each[mix].value for mix, count in counted.items())
        return Finding(plans.total_formula(len(counted)), value, inputs)


def _minutes(rows: Sequence[PlanRow], press: Fact) -> Finding:
    rate = given(press, "rate")
    blocks = sum(len(row.fates) for row in rows)
    assert isinstance(rate.value, float)
    if rate.value <= 0:
        raise InputError("not_positive", quantity="press_rate", value=rate.value)
    return Finding(plans.PRESS_MINUTES, blocks / rate.value, {"n": Given(float(blocks)), "q": rate})


def _difference(rows: Sequence[PlanRow], mixes: Sequence[Fact]) -> Finding:
    if len(mixes) < 2:
        raise InputError("one_mix_only")
    counts = {row.mix: sum(other.mix == row.mix for other in rows) for row in rows}
    open_places = sum(row.mix == PLACES[0] for row in rows)
    # An open place becomes one of the mixes of the first day, so its batches are counted together.
    batches = open_places + max((count for mix, count in counts.items() if mix not in PLACES), default=0)
    fates = [fate.fate for fate in rows[-1].fates]
    blocks = fates.count("soaked") or fates.count("dry")
    table = tables.load("evidence")
    between, within = table["batch_spread"], table["block_spread"]
    shown = power.ln_difference_shown(
        batches, blocks_per_batch=blocks, batch_spread=between["value"], block_spread=within["value"]
    )
    ln = Finding(
        power.LN_DIFFERENCE_SHOWN,
        shown,
        {
            "k": _power_factor(),
            "tau": Given(between["value"], source=between.source),
            "sigma": Given(within["value"], source=within.source),
            "B": Given(float(batches)),
            "n": Given(float(blocks)),
        },
    )
    value = power.difference_shown(batches, blocks_per_batch=blocks, batch_spread=between["value"], block_spread=within["value"])
    return Finding(power.DIFFERENCE_SHOWN, value, {"D": ln})


def _power_factor() -> Finding:
    table = tables.load("evidence")
    apart, chance = table["apart_probability"], table["power"]
    inputs: dict[str, Given | Finding] = {
        "z_apart": Given(normal_quantile(apart["value"]), source=apart.source),
        "z_power": Given(normal_quantile(chance["value"]), source=chance.source),
    }
    return Finding(power.POWER_FACTOR, power.power_factor(), inputs)


def _offer_notes(state: State, size: str, mixes: Sequence[Fact]) -> tuple[Note, ...]:
    notes = [Note(f"plan_{size}", {})]
    if len(mixes) > len(PLACES) and size != "small":
        notes.append(Note(f"plan_places_{size}", {}))
    if size == "official":
        stick = briefs.yardstick(briefs.brief(state))
        if stick.n is None:
            notes.append(Note("rule_n_not_known", {"n": int(ladder.plan_figure("rule-n")[0])}))
    return tuple(notes)


# --- the rig -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RigVerdict:
    """Whether the rig can break these blocks.

    Attributes
    ----------
    rig : Fact or None
    load_needed : Finding or None
        Load the rig should reach: twice the brief times the area. [kN]
    enough : bool or None
        None where it cannot be said.
    notes : tuple of Note
        What is missing or weak: "rig_none", "rig_no_brief", "rig_no_capacity", "rig_too_weak", "rig_near_its_limit",
        "rig_not_checked", "rig_scrap_first"; "rig_enough".
    """

    rig: Fact | None
    load_needed: Finding | None
    enough: bool | None
    notes: tuple[Note, ...]


def rig_verdict(state: State, press: Fact) -> RigVerdict:
    """Capacity against twice the brief on this press's face, calibration, and scrap blocks broken first."""
    rig = state.latest("rig")
    needed = _load_needed(state, press)
    notes: list[Note] = [] if needed is not None else [Note("rig_no_brief", {})]
    if rig is None:
        return RigVerdict(None, needed, None, (*notes, Note("rig_none", {})))
    capacity = rig.number("capacity")
    enough: bool | None = None
    if capacity is None:
        notes.append(Note("rig_no_capacity", {"rig": rig["name"]}))
    elif needed is not None and capacity > 0:
        load = needed.inputs["F"].value
        assert isinstance(load, float)
        check = strength.rig_check(capacity, load_at_brief=load)
        enough = check.enough
        notes += check.notes or [Note("rig_enough", {"rig_capacity": capacity, "load_needed": check.load_needed})]
    if rig["how"] == "jack" and "calibration" not in rig.values:
        notes.append(Note("rig_not_checked", {"rig": rig["name"]}))
    scrap = int(ladder.plan_figure("scrap-blocks")[0])
    broken = len(state.where("crush", "rig", rig.id)) + len(state.where("bend", "rig", rig.id))
    if broken < scrap:
        notes.append(Note("rig_scrap_first", {"left": scrap - broken}))
    return RigVerdict(rig, needed, enough, tuple(notes))


def _load_needed(state: State, press: Fact) -> Finding | None:
    brief = briefs.brief(state)
    wanted = briefs.yardstick(brief).mean_least
    if wanted is None or wanted <= 0 or brief.fact is None:
        return None
    length, width = given(press, "mould_length"), given(press, "mould_width")
    assert isinstance(length.value, float) and isinstance(width.value, float)
    load = strength.load_to_crush(wanted, block_length=length.value, block_width=width.value)
    at_brief = Finding(strength.LOAD_TO_CRUSH, load, {"f_c": Given(wanted, (brief.fact.head,)), "l": length, "b": width})
    margin = Given(strength.RIG_MARGIN, source="judgement-rig-margin")
    return Finding(LOAD_NEEDED, strength.RIG_MARGIN * load, {"k": margin, "F": at_brief})
