"""From all observations back to the soil: Gauss–Newton to the best soil, Laplace for the spread about it.

Unknown are the soil's log-ratios (2) and the logarithms of its plasticity index, plastic limit and shrinkage (3), layer densities
(3), silt tilt, clay falling size, then for each jar its loose density and its own sampling offset (2), for each grading its
sampling offset (2). Jars share all but the last three, and what the settling model leaves out (jar_rows.py). All but the three
logarithms are counted in prior spreads from their prior centre; the three are held by the links to clay (links.py), so that what
a laboratory found of them is not bent by how they hang together. [model-jar] [model-consistency]

Narrow for now: one normal spread cannot follow a bent ridge. Where sand alone was found (a washed sample and nothing else), the
range of sand is about twice as wide as its error; with a jar or a whole grading beside it the ridge is gone.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.column import Soils
from loamwright.engine.soil.jar import JarReading
from loamwright.engine.soil.jar_rows import JarRows, LooseDensity, whitening
from loamwright.engine.soil.links import Found, of_consistency, of_grading, off_links, states_of, usual_logs
from loamwright.engine.soil.log_ratios import shares_of
from loamwright.engine.soil.observations import GradingFound
from loamwright.engine.soil.priors import setting, spread
from loamwright.errors import Note

Array = NDArray[np.float64]
Places = NDArray[np.intp]

SOIL = 5
SHARED = 10
PER_JAR = 3
PER_GRADING = 2
_STEP = 0.05
_SHORTER = (1.0, 0.5, 0.2, 0.05)
_ROUNDS = 25


@dataclass(frozen=True, slots=True)
class SoilFit:
    """A normal spread of a soil's two log-ratios and the logarithms of its consistency, with what the fit wants told.

    Attributes
    ----------
    centre : (5,) array
        Most likely log-ratios, and logarithms of plasticity index, plastic limit and linear shrinkage. [-]
    covariance : (5, 5) array
        Their covariance. [-]
    notes : tuple of Note
        "clay_still_floating", "jar_fits_badly", "guess_disagrees".
    """

    centre: Array
    covariance: Array
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class CentreOfClass:
    """A guess as the fit sees it: the entry it came from, the log-ratios of the class centre, and how far off each may be."""

    key: str
    log_ratios: Array
    spreads: Array


def fit(
    jars: Sequence[JarReading] = (),
    *,
    guesses: Sequence[CentreOfClass] = (),
    pail: LooseDensity | None = None,
    gradings: Sequence[GradingFound] = (),
    consistencies: Sequence[Found] = (),
) -> SoilFit:
    """The soil that agrees best with all observations and the prior, and how far it may be off.

    Parameters
    ----------
    jars : sequence of JarReading
        Jars of one source; their order is of no matter, here and below.
    guesses : sequence of CentreOfClass
        Guesses of the same source.
    pail : LooseDensity or None
        Loose density by pail, for jars whose own was not weighed.
    gradings : sequence of GradingFound
        Laboratory gradings.
    consistencies : sequence of LimitsFound, ShrinkageFound or FeelFound
        What limits, shrinkage and tests by hand said.

    Returns
    -------
    SoilFit
        Centre, covariance, notes.

    Notes
    -----
    The sum of squares is lowered by Gauss–Newton steps, shortened while they do not lower it; the covariance is the
    inverse of JᵀJ at the end (Laplace). Derivatives are central differences, taken only where a row depends on a parameter.

    References
    ----------
    [model-jar], [model-consistency]

    Examples
    --------
    >>> from loamwright.engine.soil.jar import BedHeight
    >>> jar = JarReading("e1", 50.0, 1250.0, 150.0, 20.0, (BedHeight(1.0, 24.0), BedHeight(30.0, 36.0)))
    >>> bool(0.3 < shares_of(fit([jar]).centre[:2])[0] < 0.7)
    True
    """
    problem = _Problem.of(jars, guesses, pail, gradings, consistencies)
    point = _lowest(problem, np.zeros(problem.size)) if problem.evidence else np.zeros(problem.size)
    jacobian = problem.jacobian(point)
    covariance: Any = np.linalg.inv(jacobian.T @ jacobian)
    soil: Array = covariance[:SOIL, :SOIL] * np.outer(problem.scale, problem.scale)
    return SoilFit(problem.soil(point[None])[0], soil, problem.notes(point, soil[:2, :2]))


def squared_distance(
    found: SoilFit,
    *,
    jars: Sequence[JarReading] = (),
    guesses: Sequence[CentreOfClass] = (),
    pail: LooseDensity | None = None,
    gradings: Sequence[GradingFound] = (),
    consistencies: Sequence[Found] = (),
) -> tuple[float, int]:
    """How far some observations lie from what a fit without them foretells, and of how many figures they are made.

    Parameters
    ----------
    found : SoilFit
        Fit of other observations of the same soil.
    jars, guesses, pail, gradings, consistencies
        The observations, as for `fit`.

    Returns
    -------
    tuple of float and int
        Square of the distance in spreads, chi-square of that many degrees where both are right.

    Notes
    -----
    Linear about the fit: rᵀ (I + J C Jᵀ)⁻¹ r, with residuals r, slopes J and the fit's own covariance C; what belongs to the
    observations alone (layer densities, sampling) is left as wide as its prior.

    References
    ----------
    [model-consistency]

    Examples
    --------
    >>> from loamwright.engine.soil.log_ratios import log_ratios
    >>> lean = fit(guesses=[CentreOfClass("e1", log_ratios((0.8, 0.15, 0.05)), np.array([0.3, 0.3]))])
    >>> distance, figures = squared_distance(lean, gradings=[GradingFound("e2", sand=0.2, clay=0.5)])
    >>> distance > 9.0, figures
    (True, 2)
    """
    problem = _Problem.of(jars, guesses, pail, gradings, consistencies)
    point, spreads = np.zeros(problem.size), np.eye(problem.size)
    point[:SOIL] = (found.centre - problem.centre) / problem.scale
    spreads[:SOIL, :SOIL] = found.covariance / np.outer(problem.scale, problem.scale)
    off = problem.residuals(point[None])[0, problem.size :]
    slopes = problem.jacobian(point)[problem.size :]
    foretold = np.eye(len(off)) + slopes @ spreads @ slopes.T
    return float(off @ np.linalg.solve(foretold, off)), len(off)


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
class _Problem:
    """All observations of one soil as rows of residuals over one vector of unknowns."""

    jars: tuple[JarRows, ...]
    guesses: tuple[CentreOfClass, ...]
    gradings: tuple[GradingFound, ...]
    consistencies: tuple[Found, ...]
    whitening: Array
    centre: Array
    scale: Array

    @staticmethod
    def of(
        jars: Sequence[JarReading],
        guesses: Sequence[CentreOfClass],
        pail: LooseDensity | None,
        gradings: Sequence[GradingFound],
        consistencies: Sequence[Found],
    ) -> "_Problem":
        rows = tuple(JarRows.of(jar, pail) for jar in sorted(jars, key=lambda jar: jar.key))
        ratios = np.array([setting("ilr_sand"), setting("ilr_silt")])
        return _Problem(
            rows,
            tuple(sorted(guesses, key=lambda guess: guess.key)),
            tuple(sorted(gradings, key=lambda found: found.key)),
            tuple(sorted(consistencies, key=lambda found: found.key)),
            whitening(rows) if rows else np.zeros((0, 0)),
            np.concatenate([ratios, usual_logs(shares_of(ratios)[2:])[0]]),
            np.array([spread("ilr_sand"), spread("ilr_silt"), 1.0, 1.0, 1.0]),
        )

    @property
    def size(self) -> int:
        return SHARED + PER_JAR * len(self.jars) + PER_GRADING * len(self.gradings)

    @property
    def evidence(self) -> bool:
        return bool(self.jars or self.guesses or self.gradings or self.consistencies)

    def soil(self, points: Array) -> Array:
        """(B, 5) log-ratios and logarithms of consistency of a batch of points."""
        found: Array = self.centre + points[:, :SOIL] * self.scale
        return found

    def _places(self, number: int, *, jar: bool) -> Places:
        """Columns of the vector that a jar (all shared ones and its own) or a grading (the soil's and its own) depends on."""
        if jar:
            own = np.arange(PER_JAR) + SHARED + PER_JAR * number
            return np.concatenate([[0, 1], np.arange(SOIL, SHARED), own])
        return np.concatenate([[0, 1], np.arange(PER_GRADING) + SHARED + PER_JAR * len(self.jars) + PER_GRADING * number])

    def soils(self, own: Array, number: int) -> Soils:
        """The soils of a batch as jar `number` holds them, from its own columns (B, 10)."""
        rows = self.jars[number]
        added = rows.jar.added
        sampling = own[:, 8:10] * spread("sampling_offset")
        layers = ("sand_layer_density", "silt_layer_density", f"clay_layer_density_{added}")
        centres, spreads = np.array([setting(key) for key in layers]), np.array([spread(key) for key in layers])
        diameter = f"clay_diameter_{added}"
        return Soils(
            shares_of(self.centre[:2] + own[:, :2] * self.scale[:2] + sampling),
            centres * np.exp(own[:, 2:5] * spreads),
            setting("silt_tilt") + own[:, 5] * spread("silt_tilt"),
            setting(diameter) * np.exp(own[:, 6] * spread(diameter)),
            rows.loose[0] * np.exp(own[:, 7] * rows.loose[1]),
        )

    def _off_jar(self, points: Array, number: int) -> Array:
        return self.jars[number].off(self.soils(points[:, self._places(number, jar=True)], number))

    def _off_grading(self, points: Array, number: int) -> Array:
        own = points[:, self._places(number, jar=False)]
        ratios = self.centre[:2] + own[:, :2] * self.scale[:2] + own[:, 2:] * spread("sampling_offset")
        return of_grading(self.gradings[number], shares_of(ratios))

    def _off_soil(self, points: Array) -> Array:
        """Rows of links, guesses, limits, shrinkages and hands: those that see nothing but the soil itself."""
        soil = self.soil(points)
        clay = shares_of(soil[:, :2])[:, 2]
        rows = [off_links(clay, soil[:, 2:])]
        rows += [(soil[:, :2] - guess.log_ratios) / guess.spreads for guess in self.guesses]
        states = states_of(soil[:, 2:])
        rows += [of_consistency(found, clay, states) for found in self.consistencies]
        return np.concatenate(rows, axis=1)

    def residuals(self, points: Array) -> Array:
        """The prior of all but the logarithms of consistency, then the links that hold these, then the observations."""
        rows = [points[:, self._own_prior()], self._off_soil(points)]
        rows += [self._off_grading(points, number) for number in range(len(self.gradings))]
        if self.jars:
            off = [self._off_jar(points, number) for number in range(len(self.jars))]
            rows.append(np.concatenate(off, axis=1) @ self.whitening.T)
        return np.concatenate(rows, axis=1)

    def _own_prior(self) -> Places:
        return np.concatenate([[0, 1], np.arange(SOIL, self.size)])

    def jacobian(self, point: Array) -> Array:
        """Slopes of all residuals."""
        rows = [np.eye(self.size)[self._own_prior()], self._slopes(point, np.arange(SOIL), self._off_soil)]
        for number in range(len(self.gradings)):
            off = partial(self._off_grading, number=number)
            rows.append(self._slopes(point, self._places(number, jar=False), off))
        of_jars = [
            self._slopes(point, self._places(number, jar=True), partial(self._off_jar, number=number))
            for number in range(len(self.jars))
        ]
        if of_jars:
            rows.append(self.whitening @ np.concatenate(of_jars))
        return np.concatenate(rows)

    def _slopes(self, point: Array, places: Places, off: Callable[[Array], Array]) -> Array:
        """Central differences of some rows over the columns they depend on; zero elsewhere."""
        steps = np.eye(self.size)[places] * _STEP
        both = off(np.concatenate([point + steps, point - steps]))
        slopes = np.zeros((both.shape[1], self.size))
        slopes[:, places] = (both[: len(places)] - both[len(places) :]).T / (2.0 * _STEP)
        return slopes

    def notes(self, point: Array, soil: Array) -> tuple[Note, ...]:
        """What the fit wants told; `soil` is the covariance of the soil's log-ratios."""
        notes: list[Note] = []
        if len(self.guesses) < self._voices:
            notes += self._odd_guesses(point, soil)
        if not self.jars:
            return tuple(notes)
        off = [self._off_jar(point[None], number)[0] for number in range(len(self.jars))]
        apart = np.split(self.whitening @ np.concatenate(off), np.cumsum([len(each) for each in off])[:-1])
        for number, (rows, residuals) in enumerate(zip(self.jars, apart, strict=True)):
            soils = self.soils(point[None, self._places(number, jar=True)], number)
            afloat = float(rows.column.settle(soils, minutes=rows.minutes).afloat[0, -1])
            if afloat > setting("afloat_question"):
                notes.append(Note("clay_still_floating", {"jar": rows.jar.key, "afloat": afloat}))
            if len(residuals) and float(np.max(residuals**2)) > setting("disagreement_question"):
                notes.append(Note("jar_fits_badly", {"jar": rows.jar.key, "worst": float(np.max(np.abs(residuals)))}))
        return tuple(notes)

    @property
    def _voices(self) -> int:
        return len(self.jars) + len(self.guesses) + len(self.gradings) + len(self.consistencies)

    def _odd_guesses(self, point: Array, soil: Array) -> list[Note]:
        """Guesses far from what all else says without them: residual over its own spread less the part it pulled itself."""
        notes = []
        for guess in self.guesses:
            off = self.soil(point[None])[0, :2] - guess.log_ratios
            distance = float(off @ np.linalg.solve(np.diag(guess.spreads**2) - soil, off))
            if distance > setting("guess_question"):
                notes.append(Note("guess_disagrees", {"guess": guess.key, "squared_distance": distance}))
        return notes
