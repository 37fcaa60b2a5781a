"""A reading that cannot be right: the slip that would explain it, computed; beyond belief it is left out until settled."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log
from statistics import median

from loamwright import tables, units
from loamwright.engine.bench import pressing, strength
from loamwright.engine.block import slips
from loamwright.errors import InputError
from loamwright.notebook.fields import Amount
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, number
from loamwright.project.loads import READINGS
from loamwright.project.state import Fact, State

FACE = ("l", "b")
LEAST_PEERS = 2


@dataclass(frozen=True, slots=True)
class Typed:
    """The reading of one test as it was typed, and what an engine can tell of its slips."""

    amount: Amount
    reading: slips.Reading


def figure(key: str) -> float:
    """One figure of data/block_figures.toml, in the unit of its row."""
    return tables.figure("block_figures", key, required=("unit", "note"))


def typed_reading(state: State, fact: Fact, finding: Finding) -> Typed | None:
    """What was typed for a test; None for a bucket on a lever and for a unit nothing is known of."""
    name = next((each for each in READINGS if fact.get(each) is not None), "")
    if name not in ("load", "gauge"):
        return None
    amount: Amount = fact[name]
    ram, factor = _ram(state, fact)
    sides = [number(finding.inputs[symbol]) for symbol in FACE if symbol in finding.inputs]
    face = sides[0] * sides[1] if fact.kind == "crush" and len(sides) == len(FACE) else 0.0
    return Typed(amount, slips.Reading(name, amount.unit, face, ram, factor))


def _ram(state: State, fact: Fact) -> tuple[float, float]:
    """Ram area of the rig and its factor; no area where there is no jack, or nobody measured its bore. [mm²]"""
    rig = state.find(fact["rig"], "rig") if fact.get("rig") else None
    if rig is None or rig.fault is not None:
        return 0.0, 1.0
    try:
        area = pressing.cylinder_area(rig.needed("ram_bore"))
    except InputError:
        return 0.0, 1.0
    return area, rig.number("calibration") or strength.UNCALIBRATED_JACK_FACTOR


def likeliest(
    typed: Typed, *, kind: str, found: float, between: tuple[float, float] | None = None, peers: Sequence[float] = ()
) -> slips.Slip | None:
    """The slip that brings a strength into a range, nearest to the other blocks of its mix or to usual ones; None: none does."""
    expected = median(peers) if len(peers) >= LEAST_PEERS and median(peers) > 0 else figure(f"usual-{kind}")
    believed = (figure(f"believed-least-{kind}"), figure(f"believed-most-{kind}"))
    least, most = believed if between is None else (max(believed[0], between[0]), min(believed[1], between[1]))
    if most < least:
        return None
    offered = slips.slips(found, reading=typed.reading, least_strength=least, most_strength=most, expected_strength=expected)
    return offered[0] if offered else None


def fault_of(slip: slips.Slip, *, typed: Typed, mark: str, found: float) -> InputError:
    """What is said of a strength that one slip would explain."""
    value, unit = typed.amount.typed, units.unit(typed.amount.unit).label
    right = slip.strength
    match slip.name:
        case "other_unit":
            return InputError(
                "slip_other_unit", mark=mark, strength=found, typed=value, unit=unit, other=slip.other, corrected=right
            )
        case "gauge_as_load":
            return InputError(
                "slip_gauge_as_load", mark=mark, strength=found, typed=value, unit=unit, other=slip.other, corrected=right
            )
        case "gauge_as_stress":
            return InputError("slip_gauge_as_stress", mark=mark, strength=found, typed=value, unit=unit, corrected=right)
    area, size = slip.area_unit, slip.area
    if slip.name == "ram_area_twice":
        return InputError(
            "slip_ram_area_twice", mark=mark, strength=found, typed=value, unit=unit, area=size, area_unit=area, corrected=right
        )
    return InputError(
        "slip_face_twice", mark=mark, strength=found, typed=value, unit=unit, area=size, area_unit=area, corrected=right
    )


def check_believable(state: State, fact: Fact, *, mark: str, finding: Finding) -> None:
    """Raise `InputError` for a strength no block of earth has, unless somebody said that it stands.

    Raises
    ------
    InputError
        The code of the slip that would explain it, or "strength_beyond_belief".
    """
    if finding.value <= figure(f"beyond-{fact.kind}"):
        return
    typed = typed_reading(state, fact, finding)
    slip = None if typed is None else likeliest(typed, kind=fact.kind, found=finding.value)
    if typed is None or slip is None:
        fault = InputError("strength_beyond_belief", mark=mark, strength=finding.value)
    else:
        fault = fault_of(slip, typed=typed, mark=mark, found=finding.value)
    if not state.answered(fault.code, (fact.id,)):
        raise fault


def sharper(state: State, question: Question, test: Fact, *, finding: Finding, peers: Sequence[float]) -> Question:
    """A question about a strength with the slip that would explain it computed, or the question as it is where none does."""
    if any(state.answered(question.code, (each,)) for each in question.about):
        return question
    typed = typed_reading(state, test, finding)
    if typed is None or finding.value <= 0:
        return question
    slip = likeliest(typed, kind=test.kind, found=finding.value, peers=peers)
    if slip is None:
        return question
    fault = fault_of(slip, typed=typed, mark=str(question.values["mark"]), found=finding.value)
    return replace(question, code=fault.code, values=dict(fault.values))


@dataclass(frozen=True, slots=True)
class Side:
    """One of two strengths that do not fit: its test, its strength, and the range in which it would fit the other. [MPa]"""

    test: Fact
    finding: Finding
    between: tuple[float, float]


def ratio_with_slip(state: State, question: Question, sides: Sequence[Side]) -> Question:
    """A question about two strengths of one block with the slip of one of them that would make them fit, if there is one."""
    if state.answered(question.code, question.about):
        return question
    found: list[tuple[float, Side, Typed, slips.Slip]] = []
    for side in sides:
        typed = typed_reading(state, side.test, side.finding)
        kind, value = side.test.kind, side.finding.value
        slip = None if typed is None else likeliest(typed, kind=kind, found=value, between=side.between)
        if typed is not None and slip is not None:
            found.append((abs(log(slip.strength / figure(f"usual-{kind}"))), side, typed, slip))
    if not found:
        return question
    _, side, typed, slip = min(found, key=lambda each: each[0])
    return _ratio_question(question, slip, side=side, typed=typed)


def _ratio_question(question: Question, slip: slips.Slip, *, side: Side, typed: Typed) -> Question:
    values = {
        **question.values,
        "test": "crushing" if side.test.kind == "crush" else "bending",
        "strength": side.finding.value,
        "typed": typed.amount.typed,
        "unit": units.unit(typed.amount.unit).label,
        "other": slip.other,
        "area": slip.area,
        "area_unit": slip.area_unit,
        "corrected": slip.strength,
    }
    verb, about, grade = question.verb, question.about, question.grade
    if slip.name == "other_unit":
        return Question("ratio_slip_unit", verb, about, grade, values)
    return Question("ratio_slip_area" if slip.area > 0 else "ratio_slip_gauge", verb, about, grade, values)
