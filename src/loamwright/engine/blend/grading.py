"""Combined grading of several materials: percentages passing weighted by share, and what stays on each sieve."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.engine.blend.parts import Numbers
from loamwright.errors import InputError, check_not_negative
from loamwright.formula import Formula, Term

# Shares typed to a few decimals must still sum to one; a missing material does not slip through this.
SUM_MISS = 1e-6
EDGE = 1e-9
"""A curve on the very edge of a band lies in it. [-]"""

PASSING_CONTRIBUTION = Formula(
    "contributed_passing",
    "c_i",
    "1",
    "f * P",
    {"f": Term("mass_share", "1"), "P": Term("passing", "1")},
    "derivation-blend",
)
COMBINED_PASSING = Formula(
    "combined_passing",
    "P",
    "1",
    "sum(contributed)",
    {"contributed": Term("contributed_passing", "1")},
    "derivation-blend",
)
INDIVIDUAL_RETAINED = Formula(
    "individual_retained",
    "R",
    "1",
    "P_above - P",
    {"P_above": Term("passing", "1"), "P": Term("passing", "1")},
    "derivation-blend",
)


def _checked_passing(passing: ArrayLike, name: str) -> NDArray[np.float64]:
    values = np.atleast_1d(np.asarray(passing, dtype=np.float64))
    if values.size == 0:
        raise InputError("no_values", quantity=name)
    if not bool(((values >= 0.0) & (values <= 1.0)).all()):
        raise InputError("out_of_range", quantity=name, value=values.tolist(), least=0.0, most=1.0)
    if bool((np.diff(values) > 0).any()):
        raise InputError("passing_rises", quantity=name, passing=values.tolist())
    return values


def _check_shares(shares: Mapping[str, Numbers]) -> None:
    if not shares:
        raise InputError("no_parts")
    check_not_negative(**{f"share of {name}": share for name, share in shares.items()})
    total = sum(shares[name] for name in sorted(shares))
    if not np.all(np.abs(np.asarray(total) - 1.0) <= SUM_MISS):
        raise InputError("shares_do_not_sum_to_one", total=total)


def contributed_passing(
    passing: Mapping[str, Sequence[float] | NDArray[np.float64]], *, shares: Mapping[str, float]
) -> dict[str, NDArray[np.float64]]:
    """What each material adds to the combined passing on each sieve.

    Parameters
    ----------
    passing : mapping of material to (k,) sequence
        Share of each material passing each sieve, coarsest sieve first. [-]
    shares : mapping of material to float
        Share of each material in the blend, of mass (or of volume, if the grain densities are alike); sum one. [-]

    Returns
    -------
    dict of material to (k,) array
        share times passing. [-]

    Raises
    ------
    InputError
        "no_parts", "source_missing", "negative", "shares_do_not_sum_to_one", "out_of_range", "passing_rises",
        "no_values", or "sieves_differ" if the materials have different numbers of sieves.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> parts = contributed_passing({"dust": [0.9], "sand": [0.03]}, shares={"dust": 0.1, "sand": 0.9})
    >>> {name: round(float(values[0]), 3) for name, values in parts.items()}
    {'dust': 0.09, 'sand': 0.027}
    """
    _check_shares(shares)
    missing = sorted(set(shares) - set(passing))
    if missing:
        raise InputError("source_missing", quantity="passing", missing=", ".join(missing))
    curves = {name: _checked_passing(passing[name], f"passing of {name}") for name in shares}
    lengths = {name: curve.size for name, curve in curves.items()}
    if len(set(lengths.values())) > 1:
        raise InputError("sieves_differ", lengths=lengths)
    return {name: shares[name] * curve for name, curve in curves.items()}


def combined_passing(
    passing: Mapping[str, Sequence[float] | NDArray[np.float64]], *, shares: Mapping[str, float]
) -> NDArray[np.float64]:
    """Share of a blend passing each sieve.

    Method A of Iowa DOT IM 531: for materials whose grain densities differ by less than 0.25.

    Parameters
    ----------
    passing : mapping of material to (k,) sequence
        Share of each material passing each sieve, coarsest sieve first. [-]
    shares : mapping of material to float
        Share of each material in the blend; sum one. [-]

    Returns
    -------
    (k,) array
        Share of the blend passing each sieve. [-]

    Raises
    ------
    InputError
        As `contributed_passing`.

    Notes
    -----
    P = Σ f_i·P_i. With unlike grain densities use shares of mass with passings by mass.

    References
    ----------
    [iowa-im531], [derivation-blend]

    Examples
    --------
    >>> combined_passing({"a": [1.0, 0.65], "b": [1.0, 1.0]}, shares={"a": 0.4, "b": 0.6}).round(3).tolist()
    [1.0, 0.86]
    """
    contributed = contributed_passing(passing, shares=shares)
    combined: NDArray[np.float64] = np.sum([contributed[name] for name in sorted(contributed)], axis=0)
    return combined


def individual_retained(passing: Sequence[float] | NDArray[np.float64]) -> NDArray[np.float64]:
    """Share that stays on each sieve, from the share passing each sieve.

    Parameters
    ----------
    passing : (k,) sequence
        Share passing, coarsest sieve first. [-]

    Returns
    -------
    (k,) array
        Share retained on each sieve; what passes the last one (the pan) is the last `passing`. [-]

    Raises
    ------
    InputError
        "no_values", "out_of_range", "passing_rises".

    Notes
    -----
    R_1 = 1 − P_1, R_j = P_(j−1) − P_j.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> individual_retained([1.0, 0.75, 0.25]).tolist()
    [0.0, 0.25, 0.5]
    """
    values = _checked_passing(passing, "passing")
    retained: NDArray[np.float64] = np.concatenate(([1.0], values[:-1])) - values
    return retained


def within_band(
    passing: Sequence[float] | NDArray[np.float64], *, least: Sequence[float], most: Sequence[float]
) -> NDArray[np.bool_]:
    """Whether a grading lies within a band at each sieve, both ends allowed.

    Parameters
    ----------
    passing, least, most : (k,) sequence
        Share passing, and the band's lower and upper share, coarsest sieve first. [-]

    Returns
    -------
    (k,) array of bool

    Raises
    ------
    InputError
        As `individual_retained`; "sieves_differ".

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> within_band([1.0, 0.5], least=[1.0, 0.6], most=[1.0, 0.8]).tolist()
    [True, False]
    """
    values = _checked_passing(passing, "passing")
    lower, upper = _checked_passing(least, "least"), _checked_passing(most, "most")
    if not values.size == lower.size == upper.size:
        raise InputError("sieves_differ", lengths={"passing": values.size, "least": lower.size, "most": upper.size})
    inside: NDArray[np.bool_] = (values >= lower) & (values <= upper)
    return inside


def shares_within(passing: Mapping[str, ArrayLike], *, least: ArrayLike, most: ArrayLike) -> Mapping[str, float] | None:
    """Shares by mass whose combined grading keeps farthest from both edges of a band; None where no shares lie inside.

    A linear program (HiGHS): shares add up to one, and the least distance to an edge that does not stand at 0 or 1 is made as
    great as it can be.

    Parameters
    ----------
    passing : mapping of source to (n,) array
        Share of each source passing each sieve. [-]
    least, most : (n,) array
        The band. [-]

    Returns
    -------
    mapping of source to float, or None

    Raises
    ------
    InputError
        "no_parts"; "draws_differ" for curves or bands of different lengths.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> found = shares_within({"coarse": [0.2], "fine": [1.0]}, least=[0.4], most=[0.6])
    >>> {source: round(share, 4) for source, share in found.items()}
    {'coarse': 0.625, 'fine': 0.375}
    """
    from scipy.optimize import linprog

    if not passing:
        raise InputError("no_parts")
    curves = [np.asarray(each, dtype=float) for each in passing.values()]
    low, high = np.asarray(least, dtype=float), np.asarray(most, dtype=float)
    if {each.shape for each in (*curves, low)} != {high.shape}:
        raise InputError("draws_differ", quantity="passing", shapes=sorted({each.shape for each in (*curves, low, high)}))
    columns = np.stack(curves, axis=1)
    low_room, high_room = (((each > 0.0) & (each < 1.0)).astype(float) for each in (low, high))
    rows = np.vstack([np.column_stack([-columns, low_room]), np.column_stack([columns, high_room])])
    found = linprog(
        [0.0] * len(curves) + [-1.0],
        A_ub=rows,
        b_ub=np.concatenate([-low, high]) + EDGE,
        A_eq=[[1.0] * len(curves) + [0.0]],
        b_eq=[1.0],
        bounds=[(0.0, 1.0)] * (len(curves) + 1),
    )
    return dict(zip(passing, found.x[:-1].tolist(), strict=True)) if found.x is not None else None
