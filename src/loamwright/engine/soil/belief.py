"""What is believed of a source: joint draws of its properties, each with the observations it came from.

All observations of one source are combined at once, so agreeing readings narrow the spread and their order is of no matter.
A property that nobody observed is absent: the prior alone is never shown as if it were knowledge.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loamwright import tables
from loamwright.engine.soil.fit import CentreOfClass, SoilFit, fit
from loamwright.engine.soil.jar import JarReading, questions
from loamwright.engine.soil.links import LINKS, Found, consistency, link_spreads, observed_directly, states_of
from loamwright.engine.soil.log_ratios import log_ratios, shares_of
from loamwright.engine.soil.observations import (
    FeelFound,
    GradingFound,
    Guess,
    LimitsFound,
    OversizeReading,
    PailWeighings,
    PanTest,
    ShrinkageFound,
)
from loamwright.engine.soil.priors import spread
from loamwright.engine.soil.properties import Property as Property
from loamwright.engine.soil.properties import property_of, score_row
from loamwright.engine.soil.weighings import FullPail, Moisture, stones, weighed
from loamwright.errors import InputError, Note, check_between, check_positive

Array = NDArray[np.float64]

GRADING = ("sand", "silt", "clay", "fines")


class Keyed(Protocol):
    """An observation with the entry it came from."""

    @property
    def key(self) -> str:
        """The entry."""


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of one source.

    Attributes
    ----------
    source : str
        The source.
    properties : mapping of str to Property
        Of sand, silt, clay, fines (mass shares of what passed the screen), plasticity_index, liquid_limit, linear_shrinkage,
        loose_dry_density, pail_dry_mass, moisture (water over dry mass) and oversize (mass share kept by the screen), those
        that somebody observed or that follow from them.
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
    return tables.load("soil_guess_classes", required=("label", "sand", "silt", "clay", "spread_sand", "spread_silt"))


def centre_of(guess: Guess) -> CentreOfClass:
    """The log-ratios of a guessed class's centre.

    Parameters
    ----------
    guess : Guess
        The guess.

    Returns
    -------
    CentreOfClass
        Key, log-ratios, and spreads: what hands may be off, and how far soils of the class lie from its centre.

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
    within = np.array([row["spread_sand"], row["spread_silt"]])
    return CentreOfClass(guess.key, log_ratios((row["sand"], row["silt"], row["clay"])), np.hypot(spread("guess"), within))


def believe(
    source: str,
    *,
    project: str,
    jars: Sequence[JarReading] = (),
    guesses: Sequence[Guess] = (),
    pails: Sequence[PailWeighings] = (),
    pan_tests: Sequence[PanTest] = (),
    oversize: Sequence[OversizeReading] = (),
    gradings: Sequence[GradingFound] = (),
    limits: Sequence[LimitsFound] = (),
    shrinkages: Sequence[ShrinkageFound] = (),
    feels: Sequence[FeelFound] = (),
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
    gradings : sequence of GradingFound
        Gradings by sieve, washing, hydrometer or pipette.
    limits : sequence of LimitsFound
        Liquid and plastic limits.
    shrinkages : sequence of ShrinkageFound
        Linear shrinkage of bars or boxes.
    feels : sequence of FeelFound
        Tests by hand.

    Returns
    -------
    Belief
        Only the properties that were observed, or that follow from those: the latter bear the note "property_implied".

    Raises
    ------
    InputError
        "key_twice", "pails_differ", "unknown_class" or "bad_identifier"; observations are checked when made.

    Notes
    -----
    Log-ratios and the links of clay to consistency (links.py) are normal about the fit (fit.py); pail mass log-normal;
    moisture normal, cut off at zero; oversize beta.
    A jar whose every height lies above the water says nothing and is left out (`questions` asks about it).
    A jar without its own loose density takes that of the pails where their volume is known. Without a pan test, pails are
    taken as air-dry, with the note "moisture_assumed", and moisture stays absent.

    References
    ----------
    [model-jar], [model-consistency]

    Examples
    --------
    >>> belief = believe("pit", project="school", guesses=[Guess("e1", "sandy_loam")])
    >>> [name for name in belief.properties if not belief[name].notes], belief["clay"].provenance
    (['sand', 'silt', 'clay', 'fines'], ('e1',))
    >>> [note.code for note in belief["liquid_limit"].notes]
    ['property_implied']
    """
    consistencies: tuple[Found, ...] = (*limits, *shrinkages, *feels)
    _check_keys(jars, guesses, pails, pan_tests, oversize, gradings, consistencies)
    wet = Moisture.of(pan_tests)
    full = FullPail.of(pails, wet)
    usable = tuple(jar for jar in jars if jar.usable)
    seen = _Seen(usable, tuple(guesses), tuple(gradings), consistencies, full)
    properties = {
        **_soil(source, project, seen),
        **weighed(source, project=project, full=full, wet=wet),
        **stones(source, project=project, readings=oversize),
    }
    return Belief(source, MappingProxyType(properties))


def _check_keys(*groups: Sequence[Keyed]) -> None:
    keys = [each.key for group in groups for each in group]
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        raise InputError("key_twice", keys=", ".join(twice))


@dataclass(frozen=True, slots=True)
class _Seen:
    """Everything observed of the soil itself, and the pails that stand in for its loose density."""

    jars: tuple[JarReading, ...]
    guesses: tuple[Guess, ...]
    gradings: tuple[GradingFound, ...]
    consistencies: tuple[Found, ...]
    full: FullPail | None

    @property
    def keys(self) -> tuple[str, ...]:
        """What the soil's properties rest on."""
        named = (*self.jars, *self.guesses, *self.gradings, *self.consistencies)
        unweighed = any(jar.loose_dry_density is None for jar in self.jars)
        stand_in = self.full.provenance if self.full is not None and self.full.volume is not None and unweighed else ()
        return tuple(sorted({*(each.key for each in named), *stand_in}))

    @property
    def direct(self) -> frozenset[str]:
        """Properties that somebody observed themselves; all others follow from these."""
        by_jar = GRADING if self.jars or self.guesses else ()
        return frozenset((*by_jar, *observed_directly(self.gradings, self.consistencies)))

    def fit(self) -> SoilFit:
        return fit(
            self.jars,
            guesses=[centre_of(guess) for guess in self.guesses],
            pail=None if self.full is None else self.full.loose_density(),
            gradings=self.gradings,
            consistencies=self.consistencies,
        )


def _soil(source: str, project: str, seen: _Seen) -> dict[str, Property]:
    """Shares, limits and shrinkage as joint draws."""
    if not (seen.jars or seen.guesses or seen.gradings or seen.consistencies):
        return {}
    found = seen.fit()
    jars = sorted(seen.jars, key=lambda jar: jar.key)
    notes = (*(note for jar in jars for note in questions(jar)), *found.notes)
    return {
        name: property_of(values, "1", seen.keys, (*notes, *_implied(name, seen)))
        for name, values in _draws(source, project, found, linked=not seen.consistencies).items()
    }


def _draws(source: str, project: str, found: SoilFit, *, linked: bool) -> dict[str, Array]:
    """Joint draws; where nothing of the consistency was observed it follows from each draw's own clay (`linked`)."""
    normal = np.stack([score_row(source, project=project, parameter=name) for name in ("ilr_sand", "ilr_silt", *LINKS)])
    points = found.centre[:, None] + np.linalg.cholesky(found.covariance) @ normal
    shares = shares_of(points[:2].T)
    sand, silt, clay = (shares[:, place].copy() for place in range(3))
    states = consistency(clay, links=normal[2:].T * link_spreads()) if linked else states_of(points[2:].T)
    return {
        "sand": sand,
        "silt": silt,
        "clay": clay,
        "fines": silt + clay,
        "plasticity_index": states.plasticity_index,
        "liquid_limit": states.liquid_limit,
        "linear_shrinkage": states.linear_shrinkage,
    }


def _implied(name: str, seen: _Seen) -> tuple[Note, ...]:
    if name in seen.direct:
        return ()
    return (Note("property_implied", {"property": name, "by": seen.keys}),)
