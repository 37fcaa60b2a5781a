"""What struck pails, pan tests and the screen say of a source, as draws."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.draws import PARAMETERS, uniforms
from loamwright.engine.soil.jar_rows import LooseDensity
from loamwright.engine.soil.observations import OversizeReading, PailWeighings, PanTest
from loamwright.engine.soil.priors import setting, spread
from loamwright.engine.soil.properties import Property, property_of, score_row
from loamwright.errors import InputError, Note

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Moisture:
    """Pooled moisture: each test weighs as the inverse square of its spread."""

    centre: float
    spread: float
    provenance: tuple[str, ...]

    @staticmethod
    def of(tests: Sequence[PanTest]) -> "Moisture":
        """Of all pan tests; of none, what is taken for air-dry soil."""
        if not tests:
            return Moisture(setting("moisture_untested"), spread("moisture_untested"), ())
        ordered = sorted(tests, key=lambda test: test.key)
        return Moisture(*_pooled([_pan(test) for test in ordered]), tuple(test.key for test in ordered))

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
class FullPail:
    """Pooled logarithm of the moist mass of one struck pail, with the moisture it is freed of."""

    log_mass: float
    spread: float
    volume: float | None
    moisture: Moisture
    pail_keys: tuple[str, ...]

    @staticmethod
    def of(pails: Sequence[PailWeighings], moisture: Moisture) -> "FullPail | None":
        """Of all weighings in one pail; None where there are none."""
        if not pails:
            return None
        ordered = sorted(pails, key=lambda pail: pail.key)
        volumes = {pail.pail_volume for pail in ordered}
        if len(volumes) > 1:
            raise InputError("pails_differ", volumes=sorted(map(str, volumes)))
        log_mass, log_spread = _pooled([_struck(pail) for pail in ordered])
        return FullPail(log_mass, log_spread, ordered[0].pail_volume, moisture, tuple(pail.key for pail in ordered))

    @property
    def provenance(self) -> tuple[str, ...]:
        """Keys of weighings and pan tests."""
        return self.pail_keys + self.moisture.provenance

    def loose_density(self) -> LooseDensity | None:
        """Dry mass over struck volume; None where the pail's volume is not known."""
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


def weighed(source: str, *, project: str, full: FullPail | None, wet: Moisture) -> dict[str, Property]:
    """Dry mass of the pail, loose density and moisture, as far as they were weighed.

    Parameters
    ----------
    source, project : str
        Identifiers; they fix the draws.
    full : FullPail or None
        Pooled pails.
    wet : Moisture
        Pooled pan tests.

    Returns
    -------
    dict of str to Property
        Of pail_dry_mass [kg], loose_dry_density [kg/m³], moisture [-].

    References
    ----------
    [model-jar]
    """
    if full is None and not wet.provenance:
        return {}
    moisture = wet.draws(source, project)
    properties: dict[str, Property] = {}
    if full is not None:
        dry = np.exp(full.log_mass + full.spread * score_row(source, project=project, parameter="pail_dry_mass")) / (
            1.0 + moisture
        )
        assumed = () if wet.provenance else (Note("moisture_assumed", {"moisture": wet.centre, "spread": wet.spread}),)
        properties["pail_dry_mass"] = property_of(dry, "kg", full.provenance, assumed)
        if full.volume is not None:
            properties["loose_dry_density"] = property_of(dry / full.volume, "kg/m3", full.provenance, assumed)
    if wet.provenance:
        properties["moisture"] = property_of(moisture, "1", wet.provenance)
    return properties


def stones(source: str, *, project: str, readings: Sequence[OversizeReading]) -> dict[str, Property]:
    """Share kept by the screen: stones kept out of stones counted, binomial with half a stone added on either side.

    Parameters
    ----------
    source, project : str
        Identifiers; they fix the draws.
    readings : sequence of OversizeReading
        What the screen kept.

    Returns
    -------
    dict of str to Property
        Of oversize, beta draws [-]; empty without a reading.

    References
    ----------
    [model-jar]
    """
    from scipy.special import betaincinv

    if not readings:
        return {}
    kept = total = 0.0
    for reading in sorted(readings, key=lambda each: each.key):
        kept, total = kept + reading.retained_mass, total + reading.total_mass
    grains = setting("oversize_grains")
    inside = uniforms(source, project=project)[PARAMETERS.index("oversize")]
    draws: Array = betaincinv(grains * kept + 0.5, grains * (total - kept) + 0.5, inside)
    return {"oversize": property_of(draws, "1", [reading.key for reading in readings])}
