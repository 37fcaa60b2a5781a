"""Candidates of a plan: blends in whole parts within their limits, crossed with levels of dose, water and pressure."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import product

import numpy as np

from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError, check_between

MOST = 20_000
"""Candidates a plan is looked for among; more would take longer than a person waits."""


def whole_part_blends(
    sources: int, *, parts: int, least: Sequence[int] = (), most: Sequence[int] = ()
) -> tuple[tuple[int, ...], ...]:
    """Every blend of so many sources in whole parts that add up to a total.

    Parameters
    ----------
    sources : int
        Number of sources, 1 to 6. [-]
    parts : int
        Parts in all, 1 to 24. [-]
    least, most : sequence of int, optional
        Least and most parts of each source; none where not given. [-]

    Returns
    -------
    tuple of tuple of int
        In rising order.

    Raises
    ------
    InputError
        "out_of_range"; "no_blend_left" where the limits leave none.

    References
    ----------
    [scheffe-1958] (the simplex lattice)

    Examples
    --------
    >>> whole_part_blends(2, parts=3)
    ((0, 3), (1, 2), (2, 1), (3, 0))
    """
    check_between(1, 6, sources=sources)
    check_between(1, 24, parts=parts)
    low = tuple(least) or (0,) * sources
    high = tuple(most) or (parts,) * sources
    found = tuple(_filled(parts, low, high))
    if not found:
        raise InputError("no_blend_left", parts=parts)
    return found


def _filled(parts: int, low: Sequence[int], high: Sequence[int]) -> list[tuple[int, ...]]:
    if len(low) == 1:
        return [(parts,)] if low[0] <= parts <= high[0] else []
    return [
        (first, *rest) for first in range(low[0], min(high[0], parts) + 1) for rest in _filled(parts - first, low[1:], high[1:])
    ]


def crossed(blends: Sequence[Sequence[int]], levels: Mapping[str, Sequence[float]]) -> tuple[Floats, Floats]:
    """Every blend at every combination of levels.

    Parameters
    ----------
    blends : sequence of sequence of int
        Blends in parts.
    levels : mapping of str to sequence of float
        Levels of each process variable in its own unit, two or more different ones; an empty mapping for blends alone.

    Returns
    -------
    shares : (m, q) array
        Shares of the sources. [-]
    process : (m, p) array
        Process variables scaled so that their lowest level is -1 and their highest 1. [-]

    Raises
    ------
    InputError
        "levels_alike", "too_many_candidates".

    References
    ----------
    [cornell-2002]

    Examples
    --------
    >>> shares, process = crossed([(1, 1)], {"dose": [0.25, 0.5, 0.75]})
    >>> shares.tolist()[0], process.ravel().tolist()
    ([0.5, 0.5], [-1.0, 0.0, 1.0])
    """
    scaled = [_scaled(name, each) for name, each in levels.items()]
    count = len(blends)
    for each in scaled:
        count *= len(each)
    if count > MOST:
        raise InputError("too_many_candidates", n=count, most=MOST)
    rows = [(_shares(blend), combination) for blend in blends for combination in product(*scaled)]
    shares = np.array([row[0] for row in rows])
    process = np.array([row[1] for row in rows]).reshape(len(rows), len(scaled))
    return shares, process


def _shares(blend: Sequence[int]) -> list[float]:
    total = sum(blend)
    return [float(Fraction(part, total)) for part in blend]


def _scaled(name: str, levels: Sequence[float]) -> list[float]:
    low, high = min(levels), max(levels)
    if not high > low:
        raise InputError("levels_alike", variable=name, level=low)
    return [2.0 * (each - low) / (high - low) - 1.0 for each in levels]
