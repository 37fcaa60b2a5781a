"""Draws of what soils and blends hold, thinned to as many as a drawing can show; draw i is one world, as everywhere."""

from dataclasses import dataclass

import numpy as np

from loamwright.engine.blend.parts import blend_property
from loamwright.errors import InputError
from loamwright.project import blending, blends, quantiles, shake
from loamwright.project.finding import Finding
from loamwright.project.state import Fact, State

HELD = ("sand", "silt", "clay")
SHOWN = 80
"""Draws of one soil in a drawing: enough for a soft edge, few enough for a phone."""


@dataclass(frozen=True, slots=True)
class Cloud:
    """One soil or blend in the texture triangle.

    Attributes
    ----------
    entity : str
        The source or blend.
    kind : "source" or "blend"
    middle : mapping of property to Finding
        Median of sand, silt, clay, each with its 90 % range. [-]
    draws : tuple of (sand, silt, clay)
        Every k-th of the joint draws; each sums to 1. [-]
    """

    entity: str
    kind: str
    middle: dict[str, Finding]
    draws: tuple[tuple[float, float, float], ...]


def clouds(state: State) -> tuple[Cloud, ...]:
    """Every source that something is known of, then every kept blend of such sources; at most eight in all, blends the newest."""
    return state.memo("clouds", lambda: _clouds(state))


MOST_SOURCES, MOST_BLENDS = 5, 3


def _clouds(state: State) -> tuple[Cloud, ...]:
    found: list[Cloud] = []
    for source in blending.ready(state)[:MOST_SOURCES]:
        held = shake.graded(state, source)
        assert held is not None
        found.append(_cloud(source, "source", {name: held[name].values for name in HELD}))
    return (*found, *_of_blends(state))


def _of_blends(state: State) -> tuple[Cloud, ...]:
    found: list[Cloud] = []
    for fact in reversed(state.all("blend")):
        cloud = _of_blend(state, fact)
        if cloud is not None and len(found) < MOST_BLENDS:
            found.append(cloud)
    return tuple(found)


def _of_blend(state: State, fact: Fact) -> Cloud | None:
    try:
        parts = {state.versions.entity(source): count for source, count in blends.parts_of(fact).items()}
        ground = blending.ground(state, tuple(parts))
        if len(parts) < 2:
            return None
        held = {
            name: np.atleast_1d(
                np.asarray(
                    blend_property(parts, pail_dry_mass=ground.masses, source_property=ground.held[name]), dtype=np.float64
                )
            )
            for name in HELD
        }
    except InputError:
        return None
    return _cloud(fact.id, "blend", held)


def _cloud(entity: str, kind: str, held: dict[str, quantiles.Array]) -> Cloud:
    count = len(held["clay"])
    picked = np.arange(0, count, max(1, count // SHOWN))[:SHOWN]
    draws = tuple(
        (float(sand), float(silt), float(clay)) for sand, silt, clay in zip(*(held[name][picked] for name in HELD), strict=True)
    )
    middle = {name: quantiles.middle_of(values, name=name) for name, values in held.items()}
    return Cloud(entity, kind, middle, draws)
