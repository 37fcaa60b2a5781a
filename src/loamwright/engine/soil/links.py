"""Broad links from the clay of a soil to its consistency, and what gradings, limits, shrinkage and hands say of either.

Plasticity index = activity × clay; plastic limit about that of the A-line at the same index; liquid limit = the two together;
linear shrinkage about index / 2.13. Each link has a wide spread of its own, a row of data/soil_observations.toml, so a jar alone
says little of the limits and a limit alone little of the clay. [model-consistency]

Narrow for now: limits are of what passed 0.425 mm and clay is of what passed the screen; coarse sand between the two is part
of the spread of activity.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.observations import FeelFound, GradingFound, LimitsFound, ShrinkageFound
from loamwright.engine.soil.priors import feel_grades, setting, spread
from loamwright.engine.soil.shrinkage import INDEX_PER_SHRINKAGE

Array = NDArray[np.float64]

LINKS = ("activity", "plastic_limit", "shrinkage")
Found = LimitsFound | ShrinkageFound | FeelFound


@dataclass(frozen=True, slots=True)
class Consistency:
    """Consistency of B soils.

    Attributes
    ----------
    plasticity_index, plastic_limit, liquid_limit, linear_shrinkage : (B,) array
        Water over dry mass, or length lost over length. [-]
    """

    plasticity_index: Array
    plastic_limit: Array
    liquid_limit: Array
    linear_shrinkage: Array


def consistency(clay: Array, *, links: Array) -> Consistency:
    """Limits and shrinkage of soils from their clay and how each stands to the usual links.

    Parameters
    ----------
    clay : (B,) array
        Mass share of clay. [-]
    links : (B, 3) array
        Logarithms of activity, plastic limit and shrinkage against the centres of their links. [-]

    Returns
    -------
    Consistency
        Index, limits, shrinkage.

    References
    ----------
    [model-consistency]

    Examples
    --------
    >>> found = consistency(np.array([0.25]), links=np.zeros((1, 3)))
    >>> [float(each[0].round(3)) for each in (found.plasticity_index, found.liquid_limit, found.linear_shrinkage)]
    [0.2, 0.474, 0.094]
    """
    index = setting("activity") * np.exp(links[:, 0]) * clay
    on_line = setting("a_line_foot") + index / setting("a_line_slope") - index
    plastic = setting("plastic_limit") * on_line * np.exp(links[:, 1])
    shrinkage = setting("shrinkage") * index / INDEX_PER_SHRINKAGE * np.exp(links[:, 2])
    return Consistency(index, plastic, index + plastic, shrinkage)


def link_spreads() -> Array:
    """Spreads of the logarithms of the links, in the order of `LINKS`. [-]"""
    return np.array([spread(name) for name in LINKS])


def states_of(logs: Array) -> Consistency:
    """Consistency of soils from logarithms of plasticity index, plastic limit and shrinkage.

    Parameters
    ----------
    logs : (B, 3) array
        The three logarithms. [-]

    Returns
    -------
    Consistency
        Index, limits, shrinkage.

    References
    ----------
    [model-consistency]
    """
    index, plastic, shrinkage = np.exp(logs).T
    return Consistency(index, plastic, index + plastic, shrinkage)


def usual_logs(clay: Array) -> Array:
    """(B, 3) logarithms of plasticity index, plastic limit and shrinkage that usually go with this clay."""
    usual = consistency(clay, links=np.zeros((len(clay), len(LINKS))))
    return np.log(np.stack([usual.plasticity_index, usual.plastic_limit, usual.linear_shrinkage], axis=1))


def off_links(clay: Array, logs: Array) -> Array:
    """(B, 3) how far soils lie from the links, in their spreads: each link starts from the one before it."""
    states = states_of(logs)
    given = consistency(clay, links=np.stack([logs[:, 0] - usual_logs(clay)[:, 0], *np.zeros((2, len(clay)))], axis=1))
    off = np.log(
        np.stack(
            [
                states.plasticity_index / (setting("activity") * clay),
                states.plastic_limit / given.plastic_limit,
                states.linear_shrinkage / given.linear_shrinkage,
            ],
            axis=1,
        )
    )
    scaled: Array = off / link_spreads()
    return scaled


def of_grading(found: GradingFound, shares: Array) -> Array:
    """How far B soils lie from a grading, in spreads of its method: (B, 1 to 3) array.

    Sand ends at 0.06 mm here and at 0.063 or 0.075 mm in the laboratory: a little of it is found among the silt.
    """
    rows = []
    if found.coarse is not None:
        error = np.hypot(spread(f"grading_{found.method}_sand"), spread("grading_sand_lost") * found.coarse)
        rows.append((shares[:, 0] * (1.0 - setting("grading_sand_lost")) - found.coarse) / error)
    if found.clay is not None:
        rows.append((shares[:, 2] - found.clay) / _sedimentation_error(found, found.clay))
    if found.silt is not None and (found.coarse is None or found.clay is None):
        rows.append(
            (shares[:, 1] + shares[:, 0] * setting("grading_sand_lost") - found.silt) / _sedimentation_error(found, found.silt)
        )
    return np.stack(rows, axis=1)


def _sedimentation_error(found: GradingFound, share: float) -> float:
    return float(np.hypot(spread(f"grading_{found.method}_clay"), spread("grading_clay_part") * share))


def of_consistency(found: Found, clay: Array, states: Consistency) -> Array:
    """How far B soils lie from limits, a shrinkage or a test by hand, in spreads: (B, 1 to 2) array."""
    match found:
        case LimitsFound():
            rows = [(states.liquid_limit - found.liquid_limit) / spread("liquid_limit_error")]
            if found.plastic_limit is not None:
                rows.append((states.plastic_limit - found.plastic_limit) / spread("plastic_limit_error"))
        case ShrinkageFound():
            error = np.hypot(spread("linear_shrinkage_error"), spread("linear_shrinkage_part") * found.linear_shrinkage)
            rows = [(states.linear_shrinkage - found.linear_shrinkage) / error]
        case FeelFound():
            grade = feel_grades()[found.test, found.grade]
            value = clay if grade.about == "clay" else states.plasticity_index
            rows = [np.log(value / grade.centre) / grade.log_spread]
    return np.stack(rows, axis=1)


def observed_directly(gradings: Sequence[GradingFound], consistencies: Sequence[Found]) -> dict[str, tuple[str, ...]]:
    """Which properties were observed themselves by these records, with the keys of those that did."""
    seen: dict[str, list[str]] = {}
    for grading in gradings:
        named = [name for name in ("sand", "silt", "clay", "fines") if getattr(grading, name) is not None]
        if grading.coarse is not None:
            named += ["sand", "fines"]
        if grading.coarse is not None and grading.clay is not None:
            named.append("silt")
        for name in dict.fromkeys(named):
            seen.setdefault(name, []).append(grading.key)
    for found in consistencies:
        for name in _names(found):
            seen.setdefault(name, []).append(found.key)
    return {name: tuple(sorted(keys)) for name, keys in seen.items()}


def _names(found: Found) -> tuple[str, ...]:
    match found:
        case LimitsFound(plastic_limit=None):
            return ("liquid_limit",)
        case LimitsFound():
            return ("liquid_limit", "plasticity_index")
        case ShrinkageFound():
            return ("linear_shrinkage",)
        case FeelFound():
            return (feel_grades()[found.test, found.grade].about,)
