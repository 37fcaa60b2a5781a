"""What a blend holds, with its spread: grading on any sieve set, limits and shrinkage, of any number of sources.

Exact by mass of dry soil: shares passing a sieve, gravel, sand, silt, clay, fines, salts. Nearly so: linear shrinkage (by mass).
A first guess only: liquid limit, plastic limit and plasticity index, each source weighed by what it brings of the part that is
tested. A stone dust is a source like any other: its plasticity is nil and it still brings fines.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.engine.blend.criteria import carrier_of
from loamwright.engine.blend.judging import row_of
from loamwright.engine.blend.offers import Spread, spread
from loamwright.engine.blend.parts import Numbers, mass_shares
from loamwright.engine.blend.properties import mixing_rule
from loamwright.engine.blend.search import Array, Ground, blended
from loamwright.errors import InputError, Note, check_between, check_positive

WHOLE = 1.0 - 1e-9
"""A curve whose coarsest sieve everything passes goes on at one. [-]"""


@dataclass(frozen=True, slots=True)
class SourceCurve:
    """Grading of one source on its own sieves.

    Attributes
    ----------
    sizes : (k,) array
        Rising. [mm]
    passing : (k, n) array
        Share finer than each size, in each of n worlds; one column where the curve is taken as certain. [-]
    """

    sizes: Array
    passing: Array

    @staticmethod
    def of(sizes: ArrayLike, passing: ArrayLike) -> "SourceCurve":
        """A curve from points in any order; shares as (k,) numbers or (k, n) draws.

        Raises
        ------
        InputError
            "no_values", "lengths_of_sieves", "not_positive", "sieve_twice", "out_of_range", "passing_rises".
        """
        diameters = np.atleast_1d(np.asarray(sizes, dtype=np.float64))
        shares = np.asarray(passing, dtype=np.float64)
        shares = shares[:, None] if shares.ndim == 1 else shares
        if diameters.size == 0:
            raise InputError("no_values", quantity="sizes")
        if shares.ndim != 2 or shares.shape[0] != diameters.size:
            raise InputError("lengths_of_sieves", sieves=int(diameters.size), masses=int(np.shape(shares)[0]))
        check_positive(sizes=diameters)
        check_between(0.0, 1.0, passing=shares)
        order = np.argsort(diameters, kind="stable")
        diameters, shares = diameters[order], shares[order]
        twice = diameters[1:][np.diff(diameters) == 0]
        if twice.size:
            raise InputError("sieve_twice", size=float(twice[0]))
        if bool((np.diff(shares, axis=0) < -1e-12).any()):
            raise InputError("passing_rises", quantity="passing", passing=np.median(shares, axis=1)[::-1].round(4).tolist())
        return SourceCurve(diameters, shares)

    def reaches(self, size: float) -> bool:
        """Whether the share passing a size is known: between the sieves, or above one that everything passes. [mm]"""
        return bool(self.sizes[0] <= size and (size <= self.sizes[-1] or (self.passing[-1] >= WHOLE).all()))

    def at(self, size: float) -> Array:
        """Share passing a size in every world, straight between two sieves over the logarithm of size; "size_off_curve". [-]

        >>> SourceCurve.of([0.1, 10.0], [0.2, 1.0]).at(1.0).round(3).tolist()
        [0.6]
        """
        if not self.reaches(size):
            raise InputError("size_off_curve", size=size, finest=float(self.sizes[0]), coarsest=float(self.sizes[-1]))
        logs = np.log(self.sizes)
        place = float(np.interp(np.log(size), logs, np.arange(len(logs))))
        finer = min(int(place), len(logs) - 1)
        coarser = min(finer + 1, len(logs) - 1)
        found: Array = self.passing[finer] + (place - finer) * (self.passing[coarser] - self.passing[finer])
        return found


def common_sizes(curves: Mapping[str, SourceCurve]) -> tuple[float, ...]:
    """Every sieve of any source that the curves of all of them reach, rising. [mm]

    >>> common_sizes({"a": SourceCurve.of([0.075, 2.0], [0.1, 1.0]), "b": SourceCurve.of([0.002, 0.06, 5.0], [0.2, 0.5, 1.0])})
    (0.075, 2.0, 5.0)
    """
    every = sorted({float(size) for curve in curves.values() for size in curve.sizes})
    return tuple(size for size in every if all(curve.reaches(size) for curve in curves.values()))


@dataclass(frozen=True, slots=True)
class BlendCurve:
    """Grading of a blend.

    Attributes
    ----------
    sizes : tuple of float
        Rising. [mm]
    passing : tuple of Spread
        Share finer than each size. [-]
    draws : (k, n) array
        The same world by world. [-]
    """

    sizes: tuple[float, ...]
    passing: tuple[Spread, ...]
    draws: Array


def blend_curve(
    parts: Mapping[str, int],
    *,
    pail_dry_mass: Mapping[str, Numbers],
    curves: Mapping[str, SourceCurve],
    sizes: Sequence[float] | None = None,
) -> BlendCurve:
    """Grading of a blend of any number of sources, each measured on sieves of its own.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume. [-]
    pail_dry_mass : mapping of source to float or (n,) array
        Dry mass of one part of each. [kg]
    curves : mapping of source to SourceCurve
    sizes : sequence of float, optional
        Sieves wanted; all that every curve reaches where left out. [mm]

    Returns
    -------
    BlendCurve

    Raises
    ------
    InputError
        As `mass_shares`; "source_missing", "size_off_curve", "draws_differ"; "no_common_sieve" where no size is known of all.

    Notes
    -----
    P(d) = Σ f_i·P_i(d): exact, as what passes is a mass. Between two sieves of a source its curve is taken straight over the
    logarithm of size.

    References
    ----------
    [derivation-blend], [derivation-interpolation]

    Examples
    --------
    >>> curves = {"dust": SourceCurve.of([0.075, 4.75], [0.20, 1.0]),
    ...           "sand": SourceCurve.of([0.075, 0.6, 4.75], [0.02, 0.5, 1.0])}
    >>> found = blend_curve({"dust": 1, "sand": 3}, pail_dry_mass={"dust": 30.0, "sand": 30.0}, curves=curves)
    >>> found.sizes, round(found.passing[0].median, 4)
    ((0.075, 0.6, 4.75), 0.065)
    """
    shares = mass_shares(parts, pail_dry_mass=pail_dry_mass)
    missing = sorted(set(parts) - set(curves))
    if missing:
        raise InputError("source_missing", quantity="passing", missing=", ".join(missing))
    used = {source: curves[source] for source in parts}
    chosen = common_sizes(used) if sizes is None else tuple(sorted(float(size) for size in sizes))
    if not chosen:
        raise InputError("no_common_sieve")
    lengths = {np.size(share) for share in shares.values()} | {curve.passing.shape[1] for curve in used.values()}
    if len(lengths - {1}) > 1:
        raise InputError("draws_differ", quantity="passing", shapes=sorted(lengths - {1}))
    draws = np.zeros((len(chosen), max(lengths)))
    for source, curve in used.items():
        draws += np.asarray(shares[source]) * np.stack([curve.at(size) for size in chosen])
    return BlendCurve(chosen, tuple(spread(row) for row in draws), draws)


@dataclass(frozen=True, slots=True)
class Held:
    """One property of a blend.

    Attributes
    ----------
    spread : Spread
    draws : (n,) array
        World by world.
    rule : str
        "linear", "roughly linear" or "by the tested part".
    notes : tuple of Note
        "roughly_linear", or "weighed_by_fines" naming what each source was weighed by.
    """

    spread: Spread
    draws: NDArray[np.float64]
    rule: str
    notes: tuple[Note, ...]


def blend_held(parts: Mapping[str, int], *, ground: Ground) -> dict[str, Held]:
    """Everything the ground knows of its sources, for one blend, each with how it mixes.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume, of any number of sources. [-]
    ground : Ground

    Returns
    -------
    dict of property to Held

    Raises
    ------
    InputError
        "no_parts", "not_whole", "not_positive", "source_missing", "unknown_property"; "not_linear" for a property of which only a
        test of the blend tells, such as strength; "not_known_of_every_source" for limits without fines to weigh them by.

    References
    ----------
    [derivation-blend], [fm-5-410], [practice-blend]

    Examples
    --------
    >>> ground = Ground.of({"dust": 30.0, "clay": 20.0},
    ...     {"fines": {"dust": 0.15, "clay": 0.80}, "plasticity_index": {"dust": 0.0, "clay": 0.24}})
    >>> found = blend_held({"dust": 2, "clay": 1}, ground=ground)
    >>> round(found["fines"].spread.median, 4), round(found["plasticity_index"].spread.median, 4)
    (0.3125, 0.1536)
    >>> found["plasticity_index"].notes[0].code
    'weighed_by_fines'
    """
    row = row_of(parts, ground)
    return {name: _held(name, row, ground) for name in ground.held}


def _held(name: str, row: Array, ground: Ground) -> Held:
    carrier = carrier_of(name, known=ground.held)
    rule = "linear" if name.startswith("passing_") else mixing_rule(name)
    notes: tuple[Note, ...] = ()
    if carrier is not None:
        rule, notes = "by the tested part", (Note("weighed_by_fines", {"property": name, "carrier": carrier}),)
    elif rule == "not linear":
        raise InputError("not_linear", property=name)
    elif rule == "roughly linear":
        notes = (Note("roughly_linear", {"property": name}),)
    draws = blended(row, ground, name)[0]
    return Held(spread(draws), draws, rule, notes)
