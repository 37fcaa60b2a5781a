"""Shake, limits: what is found of the fines of each source, and where the two limits of a report cannot both be right."""

from dataclasses import dataclass
from datetime import date

from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding
from loamwright.project.limit_findings import index_of, limits_of
from loamwright.project.state import Fact, State


@dataclass(frozen=True, slots=True)
class SoilLimits:
    """The newest limits of one source: liquid limit as a share of dry mass, plasticity index with its working."""

    source: str
    liquid_limit: float
    plasticity_index: Finding


def limits(state: State) -> tuple[SoilLimits, ...]:
    """The newest limits that can be computed with of every source whose fines are plastic, in the order of sources."""
    return state.memo("limits", lambda: tuple(each for fact in state.all("source") if (each := _of_source(state, fact))))


def _of_source(state: State, source: Fact) -> SoilLimits | None:
    held = limits_of(state, source.id)
    index = index_of(held)
    if held.liquid is None or not isinstance(index, Finding):
        return None
    return SoilLimits(source.id, held.liquid.value, index)


def questions(state: State) -> tuple[Question, ...]:
    """Limits that cannot both be right."""
    found: list[Question] = []
    for fact in state.all("limits"):
        liquid, plastic = fact.number("liquid_limit"), fact.number("plastic_limit")
        if liquid is not None and plastic is not None and plastic > liquid:
            values = {"liquid": float(f"{liquid:.6g}"), "plastic": float(f"{plastic:.6g}")}
            found.append(Question("limits_swapped", "shake", (fact.id,), "impossible", values))
    return tuple(found)


def due(state: State, today: date) -> tuple[Due, ...]:
    """Nothing: a blend can be tried without limits."""
    return ()
