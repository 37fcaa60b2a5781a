"""From jars and guesses back to the soil: Gauss–Newton to the best soil, Laplace for the spread about it.

Everything unknown is counted in prior spreads from its prior centre, so the prior of the whole vector is the unit normal:
soil log-ratios (2), layer densities (3), silt tilt, clay falling size, then for each jar its loose density and its own
sampling offset (2). Jars share all but the last three. [model-jar]
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.column import Column, Soils
from loamwright.engine.soil.jar import JarReading
from loamwright.engine.soil.priors import setting, spread
from loamwright.errors import Note, check_positive

Array = NDArray[np.float64]

SHARED = 7
PER_JAR = 3
_STEP = 0.05
_SHORTER = (1.0, 0.5, 0.2, 0.05)
_ROUNDS = 25

# Columns are the clr directions of the two log-ratios: sand against fines, silt against clay.
BASIS = np.array([[np.sqrt(2 / 3), 0.0], [-np.sqrt(1 / 6), np.sqrt(1 / 2)], [-np.sqrt(1 / 6), -np.sqrt(1 / 2)]])


@dataclass(frozen=True, slots=True)
class LogRatios:
    """A normal spread of a soil's two log-ratios, with what the fit wants told.

    Attributes
    ----------
    centre : (2,) array
        Most likely log-ratios. [-]
    covariance : (2, 2) array
        Their covariance. [-]
    notes : tuple of Note
        "clay_still_floating", "jar_fits_badly", "guess_disagrees".
    """

    centre: Array
    covariance: Array
    notes: tuple[Note, ...]


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
class CentreOfClass:
    """A guess as the fit sees it: the entry it came from and the log-ratios of the class centre."""

    key: str
    log_ratios: Array


def log_ratios(shares: Sequence[float] | Array) -> Array:
    """The two isometric log-ratios of sand, silt and clay.

    Parameters
    ----------
    shares : (3,) or (n, 3) array
        Sand, silt, clay, all above zero; only their ratios matter. [-]

    Returns
    -------
    (2,) or (n, 2) array
        √(2/3) ln(sand/√(silt clay)) and √(1/2) ln(silt/clay). [-]

    Raises
    ------
    InputError
        If a share is not positive.

    References
    ----------
    [egozcue-2003]

    Examples
    --------
    >>> log_ratios((1, 1, 1)).tolist()
    [0.0, 0.0]
    """
    array = np.asarray(shares, dtype=float)
    check_positive(shares=array)
    ratios: Array = np.log(array) @ BASIS
    return ratios


def shares_of(ratios: Array) -> Array:
    """Sand, silt and clay from the two log-ratios; the shares sum to 1.

    Parameters
    ----------
    ratios : (2,) or (n, 2) array
        Isometric log-ratios. [-]

    Returns
    -------
    (3,) or (n, 3) array
        Shares. [-]

    References
    ----------
    [egozcue-2003]

    Examples
    --------
    >>> shares_of(log_ratios((0.5, 0.3, 0.2))).round(3).tolist()
    [0.5, 0.3, 0.2]
    """
    logs = ratios @ BASIS.T
    parts = np.exp(logs - logs.max(axis=-1, keepdims=True))
    shares: Array = parts / parts.sum(axis=-1, keepdims=True)
    return shares


def fit(jars: Sequence[JarReading], *, guesses: Sequence[CentreOfClass] = (), pail: LooseDensity | None = None) -> LogRatios:
    """The soil that agrees best with all jars, all guesses and the prior, and how far it may be off.

    Parameters
    ----------
    jars : sequence of JarReading
        Jars of one source; their order is of no matter.
    guesses : sequence of CentreOfClass
        Guesses of the same source.
    pail : LooseDensity or None
        Loose density by pail, for jars whose own was not weighed.

    Returns
    -------
    LogRatios
        Centre, covariance, notes.

    Notes
    -----
    The sum of squares is lowered by Gauss–Newton steps, shortened while they do not lower it; the covariance is the
    inverse of JᵀJ at the end (Laplace). Derivatives are central differences of the forward model.

    References
    ----------
    [model-jar]

    Examples
    --------
    >>> from loamwright.engine.soil.jar import BedHeight
    >>> jar = JarReading("e1", 50.0, 1250.0, 150.0, 20.0, (BedHeight(1.0, 24.0), BedHeight(30.0, 36.0)))
    >>> bool(0.3 < shares_of(fit([jar]).centre)[0] < 0.7)
    True
    """
    problem = _Problem.of(sorted(jars, key=lambda jar: jar.key), sorted(guesses, key=lambda guess: guess.key), pail)
    point = np.zeros(problem.size)
    if problem.evidence:
        point = _lowest(problem, point)
    jacobian = problem.jacobian(point)
    covariance: Any = np.linalg.inv(jacobian.T @ jacobian)
    scale = np.array([spread("ilr_sand"), spread("ilr_silt")])
    soil: Array = covariance[:2, :2] * np.outer(scale, scale)
    return LogRatios(problem.soil_ratios(point[None])[0], soil, problem.notes(point, soil))


def _lowest(problem: "_Problem", point: Array) -> Array:
    """Gauss–Newton with shortened steps; stops when a step gains next to nothing."""
    current = problem.residuals(point[None])[0]
    for _ in range(_ROUNDS):
        jacobian = problem.jacobian(point)
        step = -np.linalg.solve(jacobian.T @ jacobian, jacobian.T @ current)
        trials = point + np.outer(_SHORTER, step)
        residuals = problem.residuals(trials)
        costs = np.einsum("bi,bi->b", residuals, residuals)
        best = int(np.argmin(costs))
        gain = float(current @ current - costs[best])
        if gain <= 0.0:
            break
        point, current = trials[best], residuals[best]
        if gain < 1e-4:
            break
    return point


@dataclass(frozen=True, slots=True)
class _JarRows:
    """One jar inside the problem: its column, its times, what was read and how well."""

    jar: JarReading
    column: Column
    minutes: Array
    heights: Array
    whitening: Array
    boundaries: Array
    boundary_spreads: Array
    loose: tuple[float, float]

    @staticmethod
    def of(jar: JarReading, pail: LooseDensity | None) -> "_JarRows":
        beds = jar.bed_heights
        heights = np.array([bed.height for bed in beds])
        boundaries = np.array([np.nan if height is None else height for height in jar.boundary_heights])
        return _JarRows(
            jar,
            Column.of(jar),
            np.array([bed.minutes for bed in beds] + [jar.last_minutes]),
            heights,
            _whitening(np.array([bed.minutes for bed in beds]), heights),
            boundaries,
            np.hypot(spread("boundary_error"), spread("boundary_misfit") * boundaries),
            _loose_density(jar, pail),
        )

    def residuals(self, soils: Soils) -> Array:
        settled = self.column.settle(soils, minutes=self.minutes)
        rows = [(settled.heights[:, :-1] - self.heights) @ self.whitening.T]
        seen = ~np.isnan(self.boundaries)
        rows.append((settled.boundaries[:, seen] - self.boundaries[seen]) / self.boundary_spreads[seen])
        if self.jar.water_above == "clear":  # cloudy water says little: a trace of clay clouds it
            rows.append(settled.afloat[:, -1:] / spread("clear_water"))
        return np.concatenate(rows, axis=1)


def _whitening(minutes: Array, heights: Array) -> Array:
    """Turns height errors into independent unit ones.

    Reading errors are independent; what the model leaves out is shared by readings near in time, and is most while sand falls.
    """
    if not len(heights):
        return np.zeros((0, 0))
    logs = np.log(minutes)
    day = np.clip(logs / np.log(1440.0), 0.0, 1.0)
    misfit = heights * (spread("height_misfit") * (1.0 - day) + spread("height_misfit_day") * day)
    apart = np.abs(logs[:, None] - logs[None, :]) / setting("height_misfit_length")
    covariance = np.outer(misfit, misfit) * np.exp(-apart) + np.eye(len(heights)) * spread("height_error") ** 2
    whitening: Array = np.linalg.inv(np.linalg.cholesky(covariance))
    return whitening


def _loose_density(jar: JarReading, pail: LooseDensity | None) -> tuple[float, float]:
    """Centre and log spread of the loose density in the jar; misreading the fill acts like another density."""
    filling = spread("height_error") / jar.fill_height
    if jar.loose_dry_density is not None:
        return jar.loose_dry_density, float(np.hypot(spread("loose_density_in_jar"), filling))
    if pail is not None:
        return pail.centre, float(np.hypot(np.hypot(spread("loose_density_from_pail"), pail.log_spread), filling))
    return setting("loose_density_unknown"), float(np.hypot(spread("loose_density_unknown"), filling))


@dataclass(frozen=True, slots=True)
class _Problem:
    jars: tuple[_JarRows, ...]
    guesses: tuple[CentreOfClass, ...]
    size: int

    @staticmethod
    def of(jars: Sequence[JarReading], guesses: Sequence[CentreOfClass], pail: LooseDensity | None) -> "_Problem":
        rows = tuple(_JarRows.of(jar, pail) for jar in jars)
        return _Problem(rows, tuple(guesses), SHARED + PER_JAR * len(jars))

    @property
    def evidence(self) -> bool:
        return bool(self.jars or self.guesses)

    def soil_ratios(self, points: Array) -> Array:
        centre = np.array([setting("ilr_sand"), setting("ilr_silt")])
        ratios: Array = centre + points[:, :2] * np.array([spread("ilr_sand"), spread("ilr_silt")])
        return ratios

    def soils(self, points: Array, number: int) -> Soils:
        """The soils of a batch of points as jar `number` holds them."""
        rows = self.jars[number]
        added = rows.jar.added
        loose, offset, second = (points[:, SHARED + PER_JAR * number + place] for place in range(PER_JAR))
        sampling = np.stack([offset, second], axis=1) * spread("sampling_offset")
        layers = ("sand_layer_density", "silt_layer_density", f"clay_layer_density_{added}")
        centres, spreads = np.array([setting(key) for key in layers]), np.array([spread(key) for key in layers])
        diameter = f"clay_diameter_{added}"
        return Soils(
            shares_of(self.soil_ratios(points) + sampling),
            centres * np.exp(points[:, 2:5] * spreads),
            setting("silt_tilt") + points[:, 5] * spread("silt_tilt"),
            setting(diameter) * np.exp(points[:, 6] * spread(diameter)),
            rows.loose[0] * np.exp(loose * rows.loose[1]),
        )

    def residuals(self, points: Array) -> Array:
        rows = [points]
        ratios = self.soil_ratios(points)
        rows += [(ratios - guess.log_ratios) / spread("guess") for guess in self.guesses]
        rows += [jar.residuals(self.soils(points, number)) for number, jar in enumerate(self.jars)]
        return np.concatenate(rows, axis=1)

    def jacobian(self, point: Array) -> Array:
        steps = np.eye(self.size) * _STEP
        both = self.residuals(np.concatenate([point + steps, point - steps]))
        slopes: Array = (both[: self.size] - both[self.size :]).T / (2.0 * _STEP)
        return slopes

    def notes(self, point: Array, soil: Array) -> tuple[Note, ...]:
        """What the fit wants told; `soil` is the covariance of the soil's log-ratios."""
        told = setting("disagreement_question")
        notes: list[Note] = []
        for guess in self.guesses if self.jars else ():
            off = self.soil_ratios(point[None])[0] - guess.log_ratios
            # Against what all else says without this guess: residual over its own spread less the part it pulled itself.
            distance = float(off @ np.linalg.solve(np.eye(2) * spread("guess") ** 2 - soil, off))
            if distance > setting("guess_question"):
                notes.append(Note("guess_disagrees", {"guess": guess.key, "squared_distance": distance}))
        for number, rows in enumerate(self.jars):
            soils = self.soils(point[None], number)
            residuals = rows.residuals(soils)[0]
            afloat = float(rows.column.settle(soils, minutes=rows.minutes).afloat[0, -1])
            if afloat > setting("afloat_question"):
                notes.append(Note("clay_still_floating", {"jar": rows.jar.key, "afloat": afloat}))
            if len(residuals) and float(np.max(residuals**2)) > told:
                notes.append(Note("jar_fits_badly", {"jar": rows.jar.key, "worst": float(np.max(np.abs(residuals)))}))
        return tuple(notes)
