"""Published bands for grading curves and areas of the plasticity chart, and the chance of lying in them."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from loamwright import tables
from loamwright.engine.blend.grading import EDGE
from loamwright.errors import InputError


@dataclass(frozen=True, slots=True)
class GradingEnvelope:
    """A band for the grading curve.

    Attributes
    ----------
    key, document, source, standing : str
    sizes : tuple of float
        Rising. [mm]
    least, most : tuple of float
        Share passing at each size. [-]
    at_sizes_only : bool
        Whether the source states limits at single sieves, so that nothing is asked between them.
    """

    key: str
    document: str
    source: str
    standing: str
    sizes: tuple[float, ...]
    least: tuple[float, ...]
    most: tuple[float, ...]
    at_sizes_only: bool = False

    def holds(self, size: float) -> bool:
        """Whether the band asks anything at a size. [mm]"""
        return size in self.sizes if self.at_sizes_only else self.sizes[0] <= size <= self.sizes[-1]

    def at(self, size: float) -> tuple[float, float]:
        """Least and most share passing a size; between two sizes of the band a line on a log axis. [-]

        >>> grading_envelopes()[0].at(0.06)
        (0.24, 0.6)
        """
        logs = np.log(self.sizes)
        low, high = (float(np.interp(np.log(size), logs, bound)) for bound in (self.least, self.most))
        return low, high


@dataclass(frozen=True, slots=True)
class PlasticityArea:
    """An area of the plasticity chart, bulging outwards everywhere.

    Attributes
    ----------
    key, document, source, standing : str
    corners : tuple of (float, float)
        Liquid limit and plasticity index, in order round it. [-]
    """

    key: str
    document: str
    source: str
    standing: str
    corners: tuple[tuple[float, float], ...]


def _rows(kind: str) -> list[tables.Row]:
    return [row for row in tables.load("envelopes", required=("kind", "document")) if row["kind"] == kind]


def grading_envelopes() -> tuple[GradingEnvelope, ...]:
    """Every band of the data file, in file order.

    >>> [each.sizes[0] for each in grading_envelopes()]
    [0.002, 0.002, 0.075, 0.075, 0.002]
    """
    return (*(_band(row) for row in _rows("grading")), *(_power_band(row) for row in _rows("power")))


def _band(row: tables.Row) -> GradingEnvelope:
    bounds = (tuple(row["sizes"]), tuple(row["least"]), tuple(row["most"]))
    return GradingEnvelope(row.key, row["document"], row.source, row.standing, *bounds, bool(row.get("at_sizes_only")))


def _power_band(row: tables.Row) -> GradingEnvelope:
    """Between two power curves (d/D)^n of one largest grain: the greater exponent is the coarser curve."""
    sizes = tuple(row["sizes"])
    least, most = (
        tuple((size / row["largest"]) ** power for size in sizes) for power in (max(row["powers"]), min(row["powers"]))
    )
    return GradingEnvelope(row.key, row["document"], row.source, row.standing, sizes, least, most)


def plasticity_areas() -> tuple[PlasticityArea, ...]:
    """Every area of the data file, in file order.

    >>> len(plasticity_areas()[0].corners)
    4
    """
    return tuple(
        PlasticityArea(row.key, row["document"], row.source, row.standing, tuple((x, y) for x, y in row["corners"]))
        for row in _rows("plasticity")
    )


def chance_in_envelope(passing: Mapping[float, ArrayLike], *, envelope: GradingEnvelope) -> float:
    """Chance that a curve lies in a band at every size where it is known.

    Parameters
    ----------
    passing : mapping of size to (n,) array
        Draws of the share passing at a few sizes [mm]; sizes between those of the band are held against a line between them on
        a log axis, unless the band is stated at single sieves only.
    envelope : GradingEnvelope

    Returns
    -------
    float
        Share of the draws inside. [-]

    Raises
    ------
    InputError
        "no_draws" where no size of the curve lies within the band's sizes.

    References
    ----------
    [derivation-chance]

    Examples
    --------
    >>> band = grading_envelopes()[0]
    >>> chance_in_envelope({0.002: np.array([0.05, 0.20]), 0.06: np.array([0.30, 0.30])}, envelope=band)
    0.5
    """
    sizes = [size for size in passing if envelope.holds(size)]
    if not sizes:
        raise InputError("no_draws")
    inside = np.ones(np.size(passing[sizes[0]]), dtype=bool)
    for size in sizes:
        low, high = envelope.at(size)
        values = np.atleast_1d(np.asarray(passing[size], dtype=float))
        inside &= (values >= low - EDGE) & (values <= high + EDGE)
    return float(inside.mean())


def chance_in_area(liquid_limit: ArrayLike, *, plasticity_index: ArrayLike, area: PlasticityArea) -> float:
    """Chance that limits lie in an area of the plasticity chart, its edge included.

    Parameters
    ----------
    liquid_limit, plasticity_index : (n,) array
        Draws. [-]
    area : PlasticityArea

    Returns
    -------
    float
        Share of the draws inside. [-]

    Raises
    ------
    InputError
        "no_draws".

    References
    ----------
    [derivation-chance]

    Examples
    --------
    >>> chance_in_area([0.35, 0.60], plasticity_index=[0.12, 0.30], area=plasticity_areas()[0])
    0.5
    """
    x, y = (np.atleast_1d(np.asarray(each, dtype=float)) for each in (liquid_limit, plasticity_index))
    if not x.size:
        raise InputError("no_draws")
    ends = (*area.corners[1:], area.corners[0])
    sides = [(x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) for (x0, y0), (x1, y1) in zip(area.corners, ends, strict=True)]
    tiny = 1e-12
    return float((np.all(np.array(sides) <= tiny, axis=0) | np.all(np.array(sides) >= -tiny, axis=0)).mean())
