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


def of_grading(found: GradingFound, shares: Array) -> Array:
    """How far B soils lie from a grading, in spreads of its method: (B, 1 to 2) array."""
    clay = spread(f"grading_{found.method}_clay") if found.clay is not None or found.silt is not None else np.inf
    rows = []
    if found.coarse is not None:
        rows.append((shares[:, 0] - found.coarse) / spread(f"grading_{found.method}_sand"))
    if found.clay is not None:
        rows.append((shares[:, 2] - found.clay) / clay)
    if found.silt is not None and (found.coarse is None or found.clay is None):
        rows.append((shares[:, 1] - found.silt) / clay)
    return np.stack(rows, axis=1)


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
