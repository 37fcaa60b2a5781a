"""Weigh, the water ladder: blocks of a blend at three or four waters; the densest (dry) that came out clean sets the target."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from loamwright import tables
from loamwright.engine.bench import moisture, pressing, weigh_out
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project import blends, blocks
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

Edge = Literal["", "wettest", "driest"]
TOTAL = Formula(
    "total_dry_mass",
    "T",
    "kg",
    "S + C",
    {"S": Term("dry_soil_mass", "kg"), "C": Term("stabiliser_mass", "kg")},
    "derivation-dose",
)
USUAL_DENSITY = Formula(
    "dry_density", "rho_d", "kg/m3", "rho_usual", {"rho_usual": Term("dry_density", "kg/m3")}, "practice-block-density"
)
BLOCK_DRY_MASS = Formula(
    "dry_block_mass",
    "m_b",
    "kg",
    "rho_d * V",
    {"rho_d": Term("dry_density", "kg/m3"), "V": Term("block_volume", "m3")},
    "derivation-phases",
)
LADDER_SOIL = Formula(
    "moist_mass",
    "m",
    "kg",
    "m_b * (1 + s) * (1 + w)",
    {"m_b": Term("dry_block_mass", "kg"), "s": Term("spilled_share", "1"), "w": Term("water_content", "1")},
    "judgement-ladder",
)
MEAN_DENSITY = Formula(
    "dry_density", "rho_d", "kg/m3", "mean(rho_each)", {"rho_each": Term("dry_density", "kg/m3")}, "derivation-pressing"
)


def plan_figure(key: str) -> tuple[float, str]:
    """One figure of planning and the reference it comes from.

    >>> plan_figure("ladder-step")
    (0.02, 'judgement-ladder')
    """
    row = tables.load("plans")[f"figure-{key}"]
    return float(row["value"]), row.source


@dataclass(frozen=True, slots=True)
class Step:
    """One block of a ladder: moisture reached and dry density, or what is in the way of either."""

    fact: Fact
    water: Result
    dry_density: Result

    @property
    def clean(self) -> bool:
        """Whether it left the mould whole and clean."""
        return bool(self.fact["ejects"] == "clean")


@dataclass(frozen=True, slots=True)
class Ladder:
    """The ladder of a blend as it stands.

    Attributes
    ----------
    blend : Fact
    steps : tuple of Step
        The driest first; those whose moisture cannot be computed last.
    winner : Step or None
        The densest (dry) that came out clean; of equals the drier.
    edge : str
        "wettest" or "driest" where the winner has no neighbour on that side.
    enough : bool
        Whether three steps or more were pressed.
    next_water : float or None
        Moisture to press at next; None where the ladder is done, or a drier step is wanted than the soil is. [-]
    why : str
        Code for what comes next: "ladder_start", "ladder_next", "ladder_edge", "ladder_none_clean", "ladder_dry_first",
        "ladder_done".
    """

    blend: Fact
    steps: tuple[Step, ...]
    winner: Step | None
    edge: Edge
    enough: bool
    next_water: float | None
    why: str


def press_of(state: State, fact: Fact | None = None) -> Fact:
    """The press a fact names, else the bench's newest; `InputError` ("needed") where there is none."""
    if fact is not None and "press" in fact.values:
        return state.fact(fact["press"], "press")
    newest = state.latest("press")
    if newest is None:
        raise InputError("press_not_named", kind="" if fact is None else fact.kind)
    return newest


def block_volume(press: Fact, *, height: Given | None = None) -> Finding:
    """Volume of a block of this press at its wanted height, or at a measured one."""
    tall = height or given(press, "block_height")
    length, width = given(press, "mould_length"), given(press, "mould_width")
    assert isinstance(tall.value, float) and isinstance(length.value, float) and isinstance(width.value, float)
    value = pressing.block_volume(length.value, block_width=width.value, block_height=tall.value)
    return Finding(pressing.BLOCK_VOLUME, value, {"l": length, "b": width, "h": tall})


def _water(state: State, fact: Fact) -> Finding:
    """Moisture of the mix of a ladder block, of its dry mass."""
    soil_water = blends.soil_moisture(state, state.fact(fact["blend"], "blend"), by=fact.at)
    dry = blends.dry_soil(given(fact, "soil"), soil_water)
    notes: tuple[Note, ...] = ()
    stabiliser = Given(0.0)
    if "stabiliser_mass" in fact.values:
        stabiliser = given(fact, "stabiliser_mass")
    elif fact.get("stabiliser"):
        notes = (Note("ladder_stabiliser_not_weighed", {}),)
    assert isinstance(stabiliser.value, float)
    total = Finding(TOTAL, dry.value + stabiliser.value, {"S": dry, "C": stabiliser})
    value = moisture.mix_water_content(
        fact.needed("water"), total_dry_mass=total.value, dry_soil_mass=dry.value, soil_water_content=soil_water.value
    )
    inputs: dict[str, Given | Finding] = {"A": given(fact, "water"), "w": soil_water, "S": dry, "T": total}
    return Finding(moisture.MIX_WATER_CONTENT, value, inputs, notes)


def _dry_density(state: State, fact: Fact, water: Result) -> Finding:
    if isinstance(water, Withheld):
        raise water.fault
    volume = block_volume(press_of(state, fact), height=given(fact, "height"))
    value = pressing.green_dry_density(fact.needed("green_mass"), block_volume=volume.value, water_content=water.value)
    return Finding(pressing.GREEN_DRY_DENSITY, value, {"m": given(fact, "green_mass"), "V": volume, "w": water})


def step(state: State, fact: Fact) -> Step:
    """One ladder block, worked out."""
    water = attempt("mix_water_content", (fact.id,), lambda: _water(state, fact))
    return Step(fact, water, attempt("dry_density", (fact.id,), lambda: _dry_density(state, fact, water)))


def ladder(state: State, blend: str) -> Ladder:
    """The water ladder of a blend."""
    fact = state.fact(blend, "blend")
    return state.memo(("ladder", fact.id), lambda: _ladder(state, fact))


def _value(result: Result) -> float:
    return result.value if isinstance(result, Finding) else float("inf")


def _ladder(state: State, blend: Fact) -> Ladder:
    steps = sorted(
        (step(state, fact) for fact in state.where("ladder_block", "blend", blend.id)), key=lambda each: _value(each.water)
    )
    known = [each for each in steps if isinstance(each.water, Finding) and isinstance(each.dry_density, Finding)]
    clean = [each for each in known if each.clean]
    winner = max(clean, key=lambda each: (_value(each.dry_density), -_value(each.water)), default=None)
    enough = len(known) >= plan_figure("ladder-least")[0]
    edge: Edge = ""
    if winner is not None and enough:
        edge = "wettest" if winner is known[-1] else "driest" if winner is known[0] else ""
    why, wanted = _next(known, winner, edge, enough)
    soil_water = blends.soil_moisture(state, blend).value
    if wanted is not None and wanted <= soil_water:
        why, wanted = "ladder_dry_first", None
    return Ladder(blend, tuple(steps), winner, edge, enough, wanted, why)


def _next(known: list[Step], winner: Step | None, edge: Edge, enough: bool) -> tuple[str, float | None]:
    """What to press next: the first rung nobody pressed, then one beyond an edge that won, then nothing."""
    waters = [_value(each.water) for each in known]
    gap, _ = plan_figure("ladder-step")
    if not enough:
        rung, _ = plan_figure("ladder-start")
        while any(abs(water - rung) < gap / 2 for water in waters):
            rung += gap
        return ("ladder_next" if known else "ladder_start"), round(rung, 6)
    if winner is None:
        wetter = sum(each.fact["ejects"] in ("corners", "broke") for each in known) > len(known) / 2
        return "ladder_none_clean", round(waters[-1] + gap if wetter else waters[0] - gap, 2)
    if edge:
        return "ladder_edge", round(waters[-1] + gap if edge == "wettest" else waters[0] - gap, 2)
    return "ladder_done", None


def target_water(state: State, blend: str) -> Finding | None:
    """Moisture a batch of this blend should have: that of the ladder's winner; None until three steps were pressed.

    Where the winner stands at the edge of its ladder, a note says so.
    """
    found = ladder(state, blend)
    if found.winner is None or not found.enough or not isinstance(found.winner.water, Finding):
        return None
    notes = [Note(f"ladder_winner_{found.edge}", {})] if found.edge else []
    if found.winner.fact.get("stabiliser"):
        notes.append(Note("ladder_with_stabiliser", {}))
    water = found.winner.water
    return replace(water, notes=(*water.notes, *notes))


def expected_dry_density(state: State, blend: str) -> Finding:
    """Dry density to reckon a block of this blend with: mean of its trial blocks, else its ladder's winner, else a usual one."""
    each = [
        density
        for mix in state.where("mix", "blend", blend)
        for batch in state.where("batch", "mix", mix.id)
        for density in _of_batch(state, batch)
    ]
    if each:
        return mean_density(each)
    winner = ladder(state, blend).winner
    if winner is not None and isinstance(winner.dry_density, Finding):
        return winner.dry_density
    usual, source = plan_figure("dry-density")
    notes = (Note("dry_density_usual", {"usual": usual}),)
    return Finding(USUAL_DENSITY, usual, {"rho_usual": Given(usual, source=source)}, notes)


def mean_density(each: Sequence[Finding]) -> Finding:
    """Mean of dry densities. [kg/m³]"""
    values = tuple(density.value for density in each)
    entries = tuple(sorted({entry for density in each for entry in density.entries()}))
    return Finding(MEAN_DENSITY, sum(values) / len(values), {"rho_each": Given(values, entries)})


def _of_batch(state: State, batch: Fact) -> list[Finding]:
    """Dry densities of the blocks of one batch, those that can be computed."""
    found = [blocks.dry_density(state, fact) for fact in state.where("block", "batch", batch.id)]
    return [each for each in found if isinstance(each, Finding)]


def block_dry_mass(state: State, blend: str, press: Fact) -> Finding:
    """Dry mass of one block of this blend from this press."""
    density, volume = expected_dry_density(state, blend), block_volume(press)
    return Finding(BLOCK_DRY_MASS, density.value * volume.value, {"rho_d": density, "V": volume})


@dataclass(frozen=True, slots=True)
class StepOrder:
    """What to weigh for the next block: soil and water as findings and as the scale shows them; water None if too much is in."""

    soil: Finding
    water: Finding
    scale_step: float
    soil_order: float
    water_order: float | None


def next_order(state: State, found: Ladder, *, press: Fact, wanted: float) -> StepOrder:
    """Soil and water to weigh for a block at the wanted moisture, without stabiliser."""
    soil_water = blends.soil_moisture(state, found.blend)
    spill, source = plan_figure("ladder-spill")
    mass = block_dry_mass(state, found.blend.id, press)
    value = mass.value * (1 + spill) * (1 + soil_water.value)
    soil = Finding(LADDER_SOIL, value, {"m_b": mass, "s": Given(spill, source=source), "w": soil_water})
    scale = state.latest("scale")
    size = judged("scale-step") if scale is None else scale.needed("step")
    ordered = weigh_out.to_scale_step(soil.value, scale_step=size)
    dry = blends.dry_soil(Given(ordered), soil_water)
    order = moisture.water_order(
        dry.value, target_water_content=wanted, dry_soil_mass=dry.value, soil_water_content=soil_water.value
    )
    inputs: dict[str, Given | Finding] = {"omega": Given(wanted, source="judgement-ladder"), "T": dry, "w": soil_water, "S": dry}
    water = Finding(moisture.WATER_TO_ADD, order.water_mass, inputs, order.notes)
    return StepOrder(
        soil, water, size, ordered, None if order.notes else weigh_out.to_scale_step(order.water_mass, scale_step=size)
    )


def blends_of_interest(state: State) -> list[Fact]:
    """Blends that a mix is of, or that have a ladder begun."""
    used = ("mix", "ladder_block")
    return [fact for fact in state.all("blend") if any(state.where(kind, "blend", fact.id) for kind in used)]


def questions(state: State) -> tuple[Question, ...]:
    """Ladder blocks that cannot be computed with, and dry densities no pressed soil has."""
    found: list[Question] = []
    for fact in state.all("ladder_block"):
        each = step(state, fact)
        bad = next((result for result in (each.water, each.dry_density) if isinstance(result, Withheld)), None)
        if bad is not None:
            found.append(Question(bad.fault.code, "weigh", (fact.id,), "impossible", dict(bad.fault.values)))
        elif not judged("ladder-density-least") <= _value(each.dry_density) <= judged("ladder-density-most"):
            limits = {"least": judged("ladder-density-least"), "most": judged("ladder-density-most")}
            values = {"density": _value(each.dry_density), **limits}
            found.append(Question("ladder_density_strange", "weigh", (fact.id,), "unlikely", values))
    return tuple(found)


def due(state: State, today: date) -> tuple[Due, ...]:
    """Ladders to begin before the first batch of their blend, and ladders that want one more step."""
    found: list[Due] = []
    for blend in blends_of_interest(state):
        try:
            each = ladder(state, blend.id)
        except InputError:
            continue  # a blend that cannot be read is asked about where blends are
        if each.why == "ladder_done" or (not each.steps and _has_batch(state, blend)):
            continue
        water = None if each.next_water is None else 100 * each.next_water
        found.append(Due(each.why, "weigh", blend.id, values={"water_pct": water}))
    return tuple(found)


def _has_batch(state: State, blend: Fact) -> bool:
    return any(state.where("batch", "mix", mix.id) for mix in state.where("mix", "blend", blend.id))
