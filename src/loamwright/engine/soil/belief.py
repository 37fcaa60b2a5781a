"""What is believed of a source: joint draws of its properties, each with the observations it came from.

All observations of one source are combined at once, so agreeing readings narrow the spread and their order is of no matter.
A property that nobody observed is absent: the prior alone is never shown as if it were knowledge.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from loamwright import tables
from loamwright.engine.soil.draws import PARAMETERS, scores, uniforms
from loamwright.engine.soil.fit import CentreOfClass, LooseDensity, fit, log_ratios, shares_of
from loamwright.engine.soil.jar import JarReading, questions
from loamwright.engine.soil.observations import Guess, OversizeReading, PailWeighings, PanTest
from loamwright.engine.soil.priors import setting, spread
from loamwright.errors import InputError, Note, check_between, check_positive

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Property:
    """One property of a source.

    Attributes
    ----------
    values : (4000,) array
        Joint draws, read-only: draw i of every property of every source is one world.
    unit : str
        "1" for shares, "kg", "kg/m3".
    provenance : tuple of str
        Keys of the observations it rests on, sorted.
    notes : tuple of Note
        What a reader must know.
    """

    values: Array
    unit: str
    provenance: tuple[str, ...]
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of one source.

    Attributes
    ----------
    source : str
        The source.
    properties : mapping of str to Property
        Of sand, silt, clay, fines (mass shares of what passed the screen), loose_dry_density, pail_dry_mass, moisture
        (water over dry mass) and oversize (mass share kept by the screen), those that somebody observed.
    """

    source: str
    properties: Mapping[str, Property]

    def __getitem__(self, name: str) -> Property:
        return self.properties[name]

    def __contains__(self, name: str) -> bool:
        return name in self.properties


@dataclass(frozen=True, slots=True)
class Interval:
    """The middle of a belief and the range about it.

    Attributes
    ----------
    low, middle, high : float
        Lower end, median and upper end, in the unit of the draws.
    probability : float
        Share of the draws between the ends. [-]
    """

    low: float
    middle: float
    high: float
    probability: float


def interval(values: Array, probability: float) -> Interval:
    """The middle and the central range of draws.

    Parameters
    ----------
    values : (n,) array
        Draws.
    probability : float
        Share of the draws inside the range, above 0 and below 1. [-]

    Returns
    -------
    Interval
        Quantiles (1 − p)/2, 1/2 and (1 + p)/2, linear between draws.

    Raises
    ------
    InputError
        If there are no draws, or the probability is not between 0 and 1.

    References
    ----------
    [derivation-quantiles]

    Examples
    --------
    >>> found = interval(np.arange(101.0), 0.90)
    >>> round(found.low, 6), found.middle, round(found.high, 6)
    (5.0, 50.0, 95.0)
    """
    check_between(1e-6, 1.0 - 1e-6, probability=probability)
    check_positive(draws=len(values))
    low, middle, high = np.quantile(values, [(1.0 - probability) / 2.0, 0.5, (1.0 + probability) / 2.0])
    return Interval(float(low), float(middle), float(high), probability)


def guess_classes() -> Mapping[str, str]:
    """The classes a person may guess: label by key.

    References
    ----------
    [usda-texture-lut]

    Examples
    --------
    >>> guess_classes()["sandy_loam"]
    'sandy loam'
    """
    return MappingProxyType({row.key: row["label"] for row in _class_rows()})


@cache
def _class_rows() -> tables.Table:
    return tables.load("soil_guess_classes", required=("label", "sand", "silt", "clay"))


def centre_of(guess: Guess) -> CentreOfClass:
    """The log-ratios of a guessed class's centre.

    Parameters
    ----------
    guess : Guess
        The guess.

    Returns
    -------
    CentreOfClass
        Key and log-ratios.

    Raises
    ------
    InputError
        "unknown_class" where the data file has no such class.

    References
    ----------
    [usda-texture-lut]

    Examples
    --------
    >>> shares_of(centre_of(Guess("e1", "clay_loam")).log_ratios).round(2).tolist()
    [0.33, 0.34, 0.33]
    """
    try:
        row = _class_rows()[guess.soil_class]
    except KeyError:
        raise InputError("unknown_class", soil_class=guess.soil_class, known=", ".join(guess_classes())) from None
    return CentreOfClass(guess.key, log_ratios((row["sand"], row["silt"], row["clay"])))


def believe(
    source: str,
    *,
    project: str,
    jars: Sequence[JarReading] = (),
    guesses: Sequence[Guess] = (),
    pails: Sequence[PailWeighings] = (),
    pan_tests: Sequence[PanTest] = (),
    oversize: Sequence[OversizeReading] = (),
) -> Belief:
    """Everything observed of one source, as joint draws.

    Parameters
    ----------
    source, project : str
        Identifiers; they fix the draws.
    jars : sequence of JarReading
        Jars of the screened soil.
    guesses : sequence of Guess
        Named classes guessed.
    pails : sequence of PailWeighings
        Struck pails, all in one pail.
    pan_tests : sequence of PanTest
        Moisture tests.
    oversize : sequence of OversizeReading
        What the screen kept.

    Returns
    -------
    Belief
        Only the properties that were observed.

    Raises
    ------
    InputError
        "key_twice", "pails_differ", "unknown_class" or "bad_identifier"; observations are checked when made.

    Notes
    -----
    Log-ratios are normal about the fit (fit.py); pail mass log-normal; moisture normal, cut off at zero; oversize beta.
    A jar whose every height lies above the water says nothing and is left out (`questions` asks about it).
    A jar without its own loose density takes that of the pails where their volume is known. Without a pan test, pails are
    taken as air-dry, with the note "moisture_assumed", and moisture stays absent.

    References
    ----------
    [model-jar]

    Examples
    --------
    >>> belief = believe("pit", project="school", guesses=[Guess("e1", "sandy_loam")])
    >>> sorted(belief.properties), belief["clay"].provenance
    (['clay', 'fines', 'sand', 'silt'], ('e1',))
    """
    _check_keys(
        [each.key for each in jars],
        [each.key for each in guesses],
        [each.key for each in pails],
        [each.key for each in pan_tests],
        [each.key for each in oversize],
    )
    wet = _Moisture.of(pan_tests)
    full = _Pail.of(pails, wet)
    properties = {
        **_grading(source, project, jars, guesses, full),
        **_weighed(source, project, full, wet),
        **_oversize(source, project, oversize),
    }
    return Belief(source, MappingProxyType(properties))


def _check_keys(*groups: Sequence[str]) -> None:
    keys = [key for group in groups for key in group]
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        raise InputError("key_twice", keys=", ".join(twice))


def _property(values: Array, unit: str, provenance: Sequence[str], notes: Sequence[Note] = ()) -> Property:
    values.flags.writeable = False
    return Property(values, unit, tuple(sorted(provenance)), tuple(notes))


def _row(source: str, project: str, parameter: str) -> Array:
    row: Array = scores(source, project=project)[PARAMETERS.index(parameter)]
    return row


def _grading(
    source: str, project: str, jars: Sequence[JarReading], guesses: Sequence[Guess], full: "_Pail | None"
) -> dict[str, Property]:
    jars = [jar for jar in jars if jar.usable]
    if not jars and not guesses:
        return {}
    known = full.loose_density() if full is not None else None
    found = fit(jars, guesses=[centre_of(guess) for guess in guesses], pail=known)
    normal = np.stack([_row(source, project, "ilr_sand"), _row(source, project, "ilr_silt")])
    draws = shares_of((found.centre[:, None] + np.linalg.cholesky(found.covariance) @ normal).T)
    provenance = [jar.key for jar in jars] + [guess.key for guess in guesses]
    if full is not None and known is not None and any(jar.loose_dry_density is None for jar in jars):
        provenance += full.provenance
    notes = (*(note for jar in sorted(jars, key=lambda jar: jar.key) for note in questions(jar)), *found.notes)
    shares = {name: draws[:, place].copy() for place, name in enumerate(("sand", "silt", "clay"))}
    shares["fines"] = shares["silt"] + shares["clay"]
    return {name: _property(values, "1", provenance, notes) for name, values in shares.items()}


@dataclass(frozen=True, slots=True)
class _Moisture:
    """Pooled moisture: each test weighs as the inverse square of its spread."""

    centre: float
    spread: float
    provenance: tuple[str, ...]

    @staticmethod
    def of(tests: Sequence[PanTest]) -> "_Moisture":
        if not tests:
            return _Moisture(setting("moisture_untested"), spread("moisture_untested"), ())
        ordered = sorted(tests, key=lambda test: test.key)
        return _Moisture(*_pooled([_pan(test) for test in ordered]), tuple(test.key for test in ordered))

    def draws(self, source: str, project: str) -> Array:
        """Normal draws above zero: the part of the normal below zero is left out, not folded."""
        from scipy.special import ndtr, ndtri

        below = float(ndtr(-self.centre / self.spread))
        inside = uniforms(source, project=project)[PARAMETERS.index("moisture")]
        draws: Array = self.centre + self.spread * ndtri(below + inside * (1.0 - below))
        return draws


def _pan(test: PanTest) -> tuple[float, float]:
    """Water content and its standard deviation, √((scale step / dry)² + 0.005²)."""
    content = (test.wet_mass - test.dry_mass) / test.dry_mass
    return content, float(np.hypot(test.scale_step / test.dry_mass, spread("pan_test")))


def _pooled(pairs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    weights = np.array([each[1] ** -2.0 for each in pairs])
    centres = np.array([each[0] for each in pairs])
    return float(weights @ centres / weights.sum()), float(weights.sum() ** -0.5)


@dataclass(frozen=True, slots=True)
class _Pail:
    """Pooled logarithm of the moist mass of one struck pail, with the moisture it is freed of."""

    log_mass: float
    spread: float
    volume: float | None
    moisture: _Moisture
    pail_keys: tuple[str, ...]

    @staticmethod
    def of(pails: Sequence[PailWeighings], moisture: _Moisture) -> "_Pail | None":
        if not pails:
            return None
        ordered = sorted(pails, key=lambda pail: pail.key)
        volumes = {pail.pail_volume for pail in ordered}
        if len(volumes) > 1:
            raise InputError("pails_differ", volumes=sorted(map(str, volumes)))
        log_mass, log_spread = _pooled([_struck(pail) for pail in ordered])
        return _Pail(log_mass, log_spread, ordered[0].pail_volume, moisture, tuple(pail.key for pail in ordered))

    @property
    def provenance(self) -> tuple[str, ...]:
        return self.pail_keys + self.moisture.provenance

    def loose_density(self) -> LooseDensity | None:
        if self.volume is None:
            return None
        wet = 1.0 + self.moisture.centre
        log_spread = float(np.hypot(self.spread, self.moisture.spread / wet))
        return LooseDensity(float(np.exp(self.log_mass)) / wet / self.volume, log_spread)


def _struck(pail: PailWeighings) -> tuple[float, float]:
    """Log of the mean mass and its spread: such that 90 % of draws lie within mean ± t s/√n, and never under the floor."""
    from scipy.special import ndtri, stdtrit

    masses = np.array(pail.net_masses, dtype=float)
    mean, count = float(masses.mean()), len(masses)
    if count == 1:
        return float(np.log(mean)), spread("pail_once")
    half_width = float(stdtrit(count - 1, 0.95)) * float(masses.std(ddof=1)) / np.sqrt(count)
    return float(np.log(mean)), max(half_width / float(ndtri(0.95)) / mean, spread("pail_floor"))


def _weighed(source: str, project: str, full: "_Pail | None", wet: _Moisture) -> dict[str, Property]:
    if full is None and not wet.provenance:
        return {}
    moisture = wet.draws(source, project)
    properties: dict[str, Property] = {}
    if full is not None:
        dry = np.exp(full.log_mass + full.spread * _row(source, project, "pail_dry_mass")) / (1.0 + moisture)
        assumed = () if wet.provenance else (Note("moisture_assumed", {"moisture": wet.centre, "spread": wet.spread}),)
        properties["pail_dry_mass"] = _property(dry, "kg", full.provenance, assumed)
        if full.volume is not None:
            properties["loose_dry_density"] = _property(dry / full.volume, "kg/m3", full.provenance, assumed)
    if wet.provenance:
        properties["moisture"] = _property(moisture, "1", wet.provenance)
    return properties


def _oversize(source: str, project: str, readings: Sequence[OversizeReading]) -> dict[str, Property]:
    """Beta draws: stones kept out of stones counted, as a binomial share with half a stone added on either side."""
    from scipy.special import betaincinv

    if not readings:
        return {}
    kept = total = 0.0
    for reading in sorted(readings, key=lambda each: each.key):
        kept, total = kept + reading.retained_mass, total + reading.total_mass
    grains = setting("oversize_grains")
    inside = uniforms(source, project=project)[PARAMETERS.index("oversize")]
    draws: Array = betaincinv(grains * kept + 0.5, grains * (total - kept) + 0.5, inside)
    return {"oversize": _property(draws, "1", [reading.key for reading in readings])}
