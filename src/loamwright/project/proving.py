"""Make, a recipe that was kept: draft or proven, what is missing, the morning's readings and today's water."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from typing import Any

from loamwright.engine.bench import moisture
from loamwright.engine.soil.settling import water_density
from loamwright.engine.yard import morning as checking
from loamwright.engine.yard.morning import Check
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.notebook.entry import local_moment
from loamwright.notebook.fields import Amount
from loamwright.project import choosing, ladder, making
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Given, Result, Withheld, as_typed, attempt, given
from loamwright.project.judged import judged
from loamwright.project.making import Offered, Setup
from loamwright.project.state import Fact, State

WORST_MASS = Formula(
    "mass_error",
    "e",
    "1",
    "max(max(m_each) / m_wanted - 1, 1 - min(m_each) / m_wanted)",
    {"m_each": Term("green_mass", "kg"), "m_wanted": Term("green_mass", "kg")},
    "judgement-proving",
)
WORST_HEIGHT = Formula(
    "height_error",
    "dh",
    "mm",
    "max(max(h_each) - h_wanted, h_wanted - min(h_each))",
    {"h_each": Term("block_height", "mm"), "h_wanted": Term("block_height", "mm")},
    "judgement-proving",
)


@dataclass(frozen=True, slots=True)
class Proof:
    """One proving batch held against its recipe.

    Attributes
    ----------
    fact : Fact
    pressed_on : date
    mass_error, height_error : Result or None
        The worst of the weighed and measured blocks; None where none was. [-], [mm]
    missing : tuple of Note
        What keeps the recipe a draft; empty where the batch proves it.
    """

    fact: Fact
    pressed_on: date
    mass_error: Result | None
    height_error: Result | None
    missing: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class RecipeView:
    """A kept recipe as it stands.

    Attributes
    ----------
    fact : Fact
    shown : mapping
        Figures as they were told; empty where the recipe was kept without.
    setup : Setup or None
    now : Offered or None
        The same pails and bags with what the yard has now; None where it cannot be reckoned.
    fault : InputError or None
        Why not.
    proofs : tuple of Proof
        The newest last.
    missing : tuple of Note
        What keeps it a draft: a dose that is missed, open stop questions, then what its newest proving batch lacks.
    """

    fact: Fact
    shown: Mapping[str, Any]
    setup: Setup | None
    now: Offered | None
    fault: InputError | None
    proofs: tuple[Proof, ...]
    missing: tuple[Note, ...]

    @property
    def draft(self) -> bool:
        """Whether it still is a draft."""
        return bool(self.missing)


def recipe_view(state: State, recipe: str) -> RecipeView:
    """A kept recipe as it stands."""
    fact = state.fact(recipe, "recipe")
    return state.memo(("recipe", fact.id), lambda: _recipe_view(state, fact))


def _recipe_view(state: State, fact: Fact) -> RecipeView:
    shown = fact.get("shown")
    shown = shown if isinstance(shown, dict) else {}
    ready, now, fault = None, None, None
    try:
        ready = making.recipe_setup(state, fact)
        now = making.reckon(ready, sets=fact["sets"], half_bags=fact["half_bags"])
    except InputError as found:
        fault = found
    proofs = tuple(_proof(state, each, shown, fact) for each in state.where("proving_batch", "recipe", fact.id))
    proof = proofs[-1].missing if proofs else (Note("proving_none", {}),)
    missing = (*_other_mix(ready, now), *_stops(state, fact), *proof)
    return RecipeView(fact, shown, ready, now, fault, proofs, missing)


def _other_mix(ready: Setup | None, now: Offered | None) -> tuple[Note, ...]:
    """A recipe more than 5 % off its dose makes another mix than the one that was broken and chosen: no batch can prove it."""
    if ready is None or now is None or not making.misses_dose(ready, now):
        return ()
    reached, wanted = 100.0 * now.recipe.stabiliser_of_total, 100.0 * ready.dose.value
    return (Note("recipe_misses_dose", {"reached_pct": reached, "wanted_pct": wanted}),)


def _stops(state: State, fact: Fact) -> tuple[Note, ...]:
    try:
        mix = state.fact(state.fact(fact["choice"], "choice")["mix"], "mix")
        found = choosing.open_stops(state, mix)
    except InputError as fault:
        return (Note("recipe_without_choice", dict(fault.values)),)
    return (Note("recipe_stops_open", {"n": len(found)}),) if found else ()


# --- the proving batch -------------------------------------------------------------------------------------------------


def pressed_on(state: State, proof: Fact) -> date:
    """The day a proving batch was pressed: as typed, else the day it was first written."""
    if "on" in proof.values:
        return date.fromisoformat(proof["on"])
    return _day_of(state, proof.id)


def _day_of(state: State, entry: str) -> date:
    """The local day an entry was written: a proving batch is pressed with its first and looked at with its newest."""
    found = state.versions.entries[entry]
    return local_moment(found.at, found.offset).date()


def soak_day(pressed: date) -> date:
    """The day its soaked blocks are looked at."""
    return pressed + timedelta(days=int(ladder.plan_figure("proving-day")[0]))


def _proof(state: State, fact: Fact, shown: Mapping[str, Any], recipe: Fact) -> Proof:
    pressed = pressed_on(state, fact)
    mass = _worst(fact, "masses", WORST_MASS, "m", Given(_shown(shown, "green_block_kg"), (recipe.head,)))
    height = _worst(fact, "heights", WORST_HEIGHT, "h", Given(_shown(shown, "height_mm"), (recipe.head,)))
    missing = [] if fact.get("tally_exact") else [Note("proving_tally", {})]
    missing += _off(mass, "mass", 100.0) + _off(height, "height", 1.0) + _soak(state, fact, pressed)
    return Proof(fact, pressed, mass, height, tuple(missing))


def _shown(shown: Mapping[str, Any], name: str) -> float:
    value = shown.get(name)
    return float(value) if isinstance(value, (int, float)) else 0.0


def _worst(fact: Fact, field: str, formula: Formula, symbol: str, wanted: Given) -> Result | None:
    """The worst of the blocks measured, or None where none was; withheld where the recipe tells no figure."""
    if not fact.get(field):
        return None
    values = tuple(amount.engine for amount in fact[field])
    typed = "; ".join(amount.typed for amount in fact[field])

    def compute() -> Finding:
        aim = wanted.value
        assert isinstance(aim, float)
        if aim <= 0:
            raise InputError("recipe_tells_no_figure", field=field)
        high, low = max(values), min(values)
        worst = max(high / aim - 1, 1 - low / aim) if symbol == "m" else max(high - aim, aim - low)
        inputs: dict[str, Given | Finding] = {f"{symbol}_each": Given(values, (fact.head,), typed), f"{symbol}_wanted": wanted}
        return Finding(formula, worst, inputs)

    return attempt(formula.name, (fact.id,), compute)


def _off(worst: Result | None, what: str, factor: float) -> list[Note]:
    most, _ = ladder.plan_figure(f"proving-{what}")
    if worst is None:
        return [Note(f"proving_no_{what}", {})]
    if not isinstance(worst, Finding):
        return [Note(worst.fault.code, dict(worst.fault.values))]
    if worst.value > most * (1 + moisture.STEP_SLACK):
        return [Note(f"proving_{what}_off", {"worst": factor * worst.value, "most": factor * most})]
    return []


def _soak(state: State, fact: Fact, pressed: date) -> list[Note]:
    soaked, whole = fact.get("soaked"), fact.get("whole_after_soak")
    day = soak_day(pressed)
    if not soaked or whole is None:
        return [Note("proving_not_soaked", {"day": day})]
    looked = date.fromisoformat(fact["soaked_on"]) if "soaked_on" in fact.values else _day_of(state, fact.head)
    if looked < day:
        return [Note("proving_soak_early", {"day": day})]
    if whole < soaked:
        return [Note("proving_fell_apart", {"fell": soaked - whole, "soaked": soaked})]
    return []


# --- the morning -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PailReading:
    """One struck pail in the morning: its error as a finding, and the check."""

    source: str
    error: Finding
    check: Check


@dataclass(frozen=True, slots=True)
class MorningView:
    """The readings of one morning held against a recipe.

    Attributes
    ----------
    facts : tuple of Fact
        The checks it is made of, oldest first: what was read again counts as read last.
    scale : Result or None
        Error of the scale against water; None where it was not read. [-]
    scale_check : Check or None
    pails : tuple of PailReading
    pans : mapping of source to Result
        Moisture of the pan of each source that was tested. [-]
    today : Offered or None
        The recipe with today's moisture, source by source; a source without a pan counts as its newest pan test.
    notes : tuple of Note
        "scale_off", "pail_off", "soil_too_wet", "morning_no_pan", "morning_rain", "morning_hot", and what could not be read.
    """

    facts: tuple[Fact, ...]
    scale: Result | None
    scale_check: Check | None
    pails: tuple[PailReading, ...]
    pans: Mapping[str, Result]
    today: Offered | None
    notes: tuple[Note, ...]


def morning_view(state: State, *facts: Fact) -> MorningView:
    """The morning checks of one recipe worked out together; what was not read is left out, what cannot be is noted."""
    return state.memo(("morning", tuple(fact.id for fact in facts)), lambda: _morning_view(state, facts))


def _morning_view(state: State, facts: tuple[Fact, ...]) -> MorningView:
    recipe = state.fact(facts[-1]["recipe"], "recipe")
    scale, check = next((found for fact in reversed(facts) if (found := _scale(state, fact))[0] is not None), (None, None))
    notes: list[Note] = []
    if check is not None and not check.within:
        notes.append(Note("scale_off", {"error_pct": 100 * check.error, "tolerance_pct": 100 * check.tolerance}))
    pans = _pans(state, facts)
    weather = next((fact["weather"] for fact in reversed(facts) if "weather" in fact.values), "")
    try:
        ready = making.recipe_setup(state, recipe, hot=weather == "hot")
        stock = {
            **ready.stock,
            **{source: pan for source, pan in pans.items() if isinstance(pan, Finding) and source in ready.pails},
        }
        today = making.reckon(ready, sets=recipe["sets"], half_bags=recipe["half_bags"], stock=stock)
        pails, off = _pails(state, facts, recipe, ready, stock)
    except InputError as fault:
        return MorningView(facts, scale, check, (), pans, None, (*notes, Note(fault.code, dict(fault.values))))
    notes += [*off, *_without_pan(state, ready, pans), *today.recipe.notes]
    if weather == "rain":
        notes.append(Note("morning_rain", {}))
    if weather == "hot" and today.split is not None:
        notes.append(Note("morning_hot", {"heaps": today.split.heaps, "minutes": today.minutes.value}))
    return MorningView(facts, scale, check, pails, pans, today, tuple(notes))


def _without_pan(state: State, ready: Setup, pans: Mapping[str, Result]) -> tuple[Note, ...]:
    """Sources whose water is still that of an older pan test."""
    names = [state.fact(source, "source")["name"] for source in ready.pails if not isinstance(pans.get(source), Finding)]
    return (Note("morning_no_pan", {"names": ", ".join(names)}),) if names else ()


def _rows(state: State, facts: Sequence[Fact]) -> Iterator[tuple[Fact, str, Mapping[str, Amount]]]:
    """Every row of the checks: the entry it stands in, its source, its readings."""
    for fact in facts:
        for row in fact.get("pails", ()):
            yield fact, state.versions.entity(row["source"]), row


def _scale(state: State, fact: Fact) -> tuple[Result | None, Check | None]:
    if "water_volume" not in fact.values or "water_mass" not in fact.values:
        return None, None
    try:
        volume = state.volume(fact["water_volume"], state.at(fact))
        warmth = judged("water-temperature")
        check = checking.scale_check(fact.needed("water_mass"), water_volume=volume, water_temperature=warmth)
    except InputError as fault:
        return Withheld("scale_error", fault, (fact.id,)), None
    inputs: dict[str, Given | Finding] = {
        "R": given(fact, "water_mass"),
        "V": Given(volume, (fact.head,), fact["water_volume"].typed),
        "rho_w": Given(float(water_density(judged("water-temperature"))), source="astm-d7928"),
    }
    return Finding(checking.SCALE_ERROR, check.error, inputs), check


def _pans(state: State, facts: Sequence[Fact]) -> dict[str, Result]:
    """Moisture of each source by its own pan."""
    found: dict[str, Result] = {}
    for fact, source, row in _rows(state, facts):
        if "pan_wet" in row and "pan_dry" in row:
            found[source] = attempt("water_content", (fact.id,), partial(_pan, fact, row["pan_wet"], row["pan_dry"]))
    return found


def _pan(fact: Fact, wet: Amount, dry: Amount) -> Finding:
    value = moisture.water_content(wet.engine, dry_mass=dry.engine)
    in_wet, in_dry = (Given(each.engine, (fact.head,), as_typed(each)) for each in (wet, dry))
    return Finding(moisture.WATER_CONTENT, value, {"m_wet": in_wet, "m_dry": in_dry, "m_tare": Given(0.0)})


def _pails(
    state: State, facts: Sequence[Fact], recipe: Fact, ready: Setup, stock: Mapping[str, Finding]
) -> tuple[tuple[PailReading, ...], list[Note]]:
    """The newest pail of each source against the mass the recipe was made with, at today's moisture."""
    newest = {source: (fact, row["gross"]) for fact, source, row in _rows(state, facts) if "gross" in row}
    found: list[PailReading] = []
    notes: list[Note] = []
    for source, (fact, gross) in newest.items():
        if source not in ready.pails:
            continue
        try:
            each = _pail_reading(state, fact, gross, recipe, ready, stock, source)
        except InputError as fault:
            notes.append(Note(fault.code, dict(fault.values)))
            continue
        found.append(each)
        if not each.check.within:
            percents = {"error_pct": 100 * each.check.error, "tolerance_pct": 100 * each.check.tolerance}
            notes.append(Note("pail_off", {"source": state.fact(source, "source")["name"], **percents}))
    return tuple(found), notes


def _pail_reading(
    state: State, fact: Fact, gross: Amount, recipe: Fact, ready: Setup, stock: Mapping[str, Finding], source: str
) -> PailReading:
    shown = recipe.get("shown")
    made_with = shown.get("pail_dry_kg", {}) if isinstance(shown, dict) else {}
    mass = float(made_with.get(source, ready.pails[source].value))
    net = gross.engine - (state.tare(ready.container.id, state.at(fact)) or 0.0)
    check = checking.pail_check(net, pail_dry_mass=mass, water_content=stock[source].value)
    inputs: dict[str, Given | Finding] = {
        "R": Given(net, (fact.head,), gross.typed),
        "m": Given(mass, (recipe.head,)),
        "w": stock[source],
    }
    return PailReading(source, Finding(checking.PAIL_ERROR, check.error, inputs), check)


def last_morning(state: State, recipe: Fact, today: date) -> MorningView | None:
    """This morning's checks of a recipe, or None where there was none yet."""
    found = [fact for fact in state.where("morning_check", "recipe", recipe.id) if state.moment(fact).date() == today]
    return morning_view(state, *found) if found else None


# --- asking ------------------------------------------------------------------------------------------------------------


def questions(state: State) -> tuple[Question, ...]:
    """Recipes that cannot be reckoned any more, bags that changed, and proving batches whose readings make no sense."""
    found: list[Question] = []
    for fact in state.all("recipe"):
        view = recipe_view(state, fact.id)
        if view.fault is not None:
            found.append(Question(view.fault.code, "make", (fact.id,), "impossible", dict(view.fault.values)))
            continue
        told, bag = _shown(view.shown, "bag_kg"), view.setup.yard.bag_mass if view.setup else 0.0
        if told and abs(bag / told - 1) > judged("bag-miss") and view.now is not None:
            values = {
                "told": told,
                "now": bag,
                "told_pct": 100 * _shown(view.shown, "stabiliser_of_total"),
                "now_pct": 100 * view.now.dose.value,
            }
            found.append(Question("bag_changed", "make", (fact.id,), "unlikely", values))
        found += [
            Question("proving_counts", "make", (proof.fact.id,))
            for proof in view.proofs
            if (proof.fact.get("whole_after_soak") or 0) > (proof.fact.get("soaked") or 0)
        ]
    return tuple(found)


def due(state: State, today: date) -> tuple[Due, ...]:
    """The newest recipe's proving batch, its soak on day 7, and the morning check once it is proven."""
    fact = state.latest("recipe")
    if fact is None:
        return ()
    view = recipe_view(state, fact.id)
    if not view.proofs:
        return (Due("make_proving", "make", fact.id),)
    if any(note.code in ("proving_not_soaked", "proving_soak_early") for note in view.proofs[-1].missing):
        return (Due("proving_soak", "make", fact.id, on=soak_day(view.proofs[-1].pressed_on)),)
    if not view.draft and last_morning(state, fact, today) is None:
        return (Due("morning_check", "make", fact.id),)
    return ()
