"""Jars inside the fit: what each soil would show, against what was read, freed of how errors hang together.

Reading errors are independent. What the settling model leaves out (the shape of grains, fines in pores, a gel that sinks) is
alike for readings near in time, and belongs to the soil: jars of one soil share it. So the heights of all jars are turned into
independent unit errors together, not jar by jar. [model-jar]
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.column import Column, Soils
from loamwright.engine.soil.jar import JarReading
from loamwright.engine.soil.priors import setting, spread

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LooseDensity:
    """Loose dry density of the source from its pails.

    Attributes
    ----------
    centre : float
        Dry mass over struck volume. [kg/m³]
    log_spread : float
        Standard deviation of its logarithm. [-]
    """

    centre: float
    log_spread: float


@dataclass(frozen=True, slots=True)
class JarRows:
    """One jar: its column, its times, what was read.

    Attributes
    ----------
    jar : JarReading
        The jar.
    column : Column
        Its water column.
    minutes : (R + 1,) array
        Times of the bed heights, then the last time of any reading. [min]
    heights : (R,) array
        Bed heights read. [mm]
    boundaries : (2,) array
        Where sand and silt end by eye, NaN where not seen. [mm]
    loose : tuple of float
        Centre and log spread of the loose density in the jar. [kg/m³], [-]
    """

    jar: JarReading
    column: Column
    minutes: Array
    heights: Array
    boundaries: Array
    loose: tuple[float, float]

    @staticmethod
    def of(jar: JarReading, pail: LooseDensity | None) -> "JarRows":
        """The rows of a jar; `pail` stands in where the jar's own loose density was not weighed."""
        beds = jar.bed_heights
        return JarRows(
            jar,
            Column.of(jar),
            np.array([bed.minutes for bed in beds] + [jar.last_minutes]),
            np.array([bed.height for bed in beds]),
            np.array([np.nan if height is None else height for height in jar.boundary_heights]),
            _loose_density(jar, pail),
        )

    def off(self, soils: Soils) -> Array:
        """(B, rows) how far B soils lie from what was read: heights and boundaries in mm, then clear water in spreads."""
        settled = self.column.settle(soils, minutes=self.minutes)
        seen = ~np.isnan(self.boundaries)
        rows = [settled.heights[:, :-1] - self.heights, settled.boundaries[:, seen] - self.boundaries[seen]]
        if self.jar.water_above == "clear":  # cloudy water says little: a trace of clay clouds it
            rows.append(settled.afloat[:, -1:] / spread("clear_water"))
        return np.concatenate(rows, axis=1)


@dataclass(frozen=True, slots=True)
class _Errors:
    """Of each row: own error, misfit, kind (0 height, 1 sand and 2 silt boundary, 3 clear water), log time."""

    own: Array
    misfit: Array
    kind: Array
    log_minutes: Array

    @staticmethod
    def of(rows: JarRows) -> "_Errors":
        seen = np.flatnonzero(~np.isnan(rows.boundaries))
        clear = int(rows.jar.water_above == "clear")
        count, eyes = len(rows.heights), len(seen)
        logs = np.log(rows.minutes[:-1])
        day = np.clip(logs / np.log(1440.0), 0.0, 1.0)
        share = spread("height_misfit") * (1.0 - day) + spread("height_misfit_day") * day
        return _Errors(
            np.concatenate([np.full(count, spread("height_error")), np.full(eyes, spread("boundary_error")), np.ones(clear)]),
            np.concatenate([rows.heights * share, rows.boundaries[seen] * spread("boundary_misfit"), np.zeros(clear)]),
            np.concatenate([np.zeros(count), seen + 1.0, np.full(clear, 3.0)]),
            np.concatenate([logs, np.zeros(eyes + clear)]),
        )


def whitening(jars: Sequence[JarRows]) -> Array:
    """The matrix that turns the errors of all rows of all jars, one jar after another, into independent unit ones.

    Parameters
    ----------
    jars : sequence of JarRows
        Jars of one soil.

    Returns
    -------
    (rows, rows) array
        Inverse of the lower Cholesky factor of their covariance. [1/mm]

    References
    ----------
    [model-jar]
    """
    each = [_Errors.of(rows) for rows in jars]
    own, misfit, kind, logs = (
        np.concatenate([getattr(errors, name) for errors in each]) for name in ("own", "misfit", "kind", "log_minutes")
    )
    number = np.repeat(np.arange(len(each)), [len(errors.own) for errors in each])
    alike = np.exp(-np.abs(logs[:, None] - logs) / setting("height_misfit_length")) * (kind[:, None] == kind)
    alike *= np.where(number[:, None] == number, 1.0, setting("misfit_shared"))
    covariance = np.outer(misfit, misfit) * alike + np.diag(own**2)
    found: Array = np.linalg.inv(np.linalg.cholesky(covariance))
    return found


def _loose_density(jar: JarReading, pail: LooseDensity | None) -> tuple[float, float]:
    """Centre and log spread of the loose density in the jar; misreading the fill acts like another density."""
    filling = spread("height_error") / jar.fill_height
    if jar.loose_dry_density is not None:
        return jar.loose_dry_density, float(np.hypot(spread("loose_density_in_jar"), filling))
    if pail is not None:
        return pail.centre, float(np.hypot(np.hypot(spread("loose_density_from_pail"), pail.log_spread), filling))
    return setting("loose_density_unknown"), float(np.hypot(spread("loose_density_unknown"), filling))
