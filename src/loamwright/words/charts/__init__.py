"""Charts: one declarative description each, for page, paper and phone, with a text description and the table of its numbers."""

from collections.abc import Callable, Mapping
from typing import Any

from loamwright.errors import InputError
from loamwright.project.state import State
from loamwright.words.charts.blends import frontier
from loamwright.words.charts.frame import Chart
from loamwright.words.charts.ladder import water_ladder
from loamwright.words.charts.soils import plasticity_of_sources, texture
from loamwright.words.charts.strength import cost_and_strength, strength_by_age, strength_by_mix
from loamwright.words.charts.tests import compaction_of_sources, grading_of_sources
from loamwright.words.numbers import Shown

LADDER = "ladder-"
_CHARTS: Mapping[str, Callable[[State, Shown], Chart | None]] = {
    "strength": strength_by_mix,
    "age": strength_by_age,
    "cost": cost_and_strength,
    "texture": texture,
    "plasticity": plasticity_of_sources,
    "grading": grading_of_sources,
    "compaction": compaction_of_sources,
    "frontier": frontier,
}


def names(state: State) -> tuple[str, ...]:
    """Names of all charts a project may have, whether or not they have something to show yet."""
    return (*_CHARTS, *(LADDER + fact.id for fact in state.all("blend")))


def chart(state: State, name: str, shown: Shown) -> Chart | None:
    """One chart by its name; None where it would say nothing yet.

    Raises
    ------
    InputError
        "not_found" for a name that is no chart's.
    """
    if name.startswith(LADDER):
        blend = state.fact(name.removeprefix(LADDER), "blend")
        return water_ladder(state, shown, blend.id)
    if name not in _CHARTS:
        raise InputError("not_found", kind="chart", id=name)
    return _CHARTS[name](state, shown)


def charts_for_phone(state: State, shown: Shown) -> dict[str, dict[str, Any]]:
    """Every chart that has something to show, by name, as the phone draws it without a network."""
    found = {name: chart(state, name, shown) for name in names(state)}
    return {name: each.as_json() for name, each in found.items() if each is not None}
