"""A grading curve read at a size or at a share, its coefficients, and two curves joined.

Between two points a curve is straight in share passing over the logarithm of size: that is how it is drawn on the usual paper.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.errors import InputError, Note, check_between, check_positive, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]
_SIZE_TERMS = {
    "d_f": Term("finer_size", "mm"),
    "d_c": Term("coarser_size", "mm"),
    "P": Term("passing", "1"),
    "P_f": Term("passing_finer", "1"),
    "P_c": Term("passing_coarser", "1"),
}
_SIZE_EXPRESSION = "d_f * (d_c / d_f)**((P - P_f) / (P_c - P_f))"
SIZE_AT_PASSING = Formula("size_at_passing", "D", "mm", _SIZE_EXPRESSION, _SIZE_TERMS, "derivation-interpolation")
D10 = Formula("d10", "D_10", "mm", _SIZE_EXPRESSION, _SIZE_TERMS, "derivation-interpolation")
D30 = Formula("d30", "D_30", "mm", _SIZE_EXPRESSION, _SIZE_TERMS, "derivation-interpolation")
D60 = Formula("d60", "D_60", "mm", _SIZE_EXPRESSION, _SIZE_TERMS, "derivation-interpolation")
_SHARE_TERMS = {
    "d": Term("diameter", "mm"),
    "d_f": Term("finer_size", "mm"),
    "d_c": Term("coarser_size", "mm"),
    "P_f": Term("passing_finer", "1"),
    "P_c": Term("passing_coarser", "1"),
}
_SHARE_EXPRESSION = "P_f + (P_c - P_f) * log(d / d_f) / log(d_c / d_f)"
PASSING_AT_SIZE = Formula("passing_at_size", "P", "1", _SHARE_EXPRESSION, _SHARE_TERMS, "derivation-interpolation")
CLAY_FRACTION = Formula("clay_fraction", "P_clay", "1", _SHARE_EXPRESSION, _SHARE_TERMS, "iso-14688")
SILT_AND_CLAY_FRACTION = Formula("silt_and_clay_fraction", "P_silt", "1", _SHARE_EXPRESSION, _SHARE_TERMS, "iso-14688")
FINES_FRACTION = Formula("fines_fraction", "P_fines", "1", _SHARE_EXPRESSION, _SHARE_TERMS, "astm-d2487")
UNIFORMITY = Formula(
    "uniformity_coefficient", "C_u", "1", "D_60 / D_10", {"D_60": Term("d60", "mm"), "D_10": Term("d10", "mm")}, "astm-d2487"
)
CURVATURE = Formula(
    "curvature_coefficient",
    "C_c",
    "1",
    "D_30**2 / (D_10 * D_60)",
    {"D_30": Term("d30", "mm"), "D_10": Term("d10", "mm"), "D_60": Term("d60", "mm")},
    "astm-d2487",
)


@dataclass(frozen=True, slots=True)
class Bracket:
    """The two points of a curve between which a size or share lies.

    Attributes
    ----------
    finer_size, coarser_size : float
        [mm]
    passing_finer, passing_coarser : float
        Share finer than each. [-]
    """

    finer_size: float
    coarser_size: float
    passing_finer: float
    passing_coarser: float


@dataclass(frozen=True, slots=True)
class JoinedCurve:
    """A sieve curve and a sedimentation curve made one.

    Attributes
    ----------
    sizes : (k,) array
        Coarsest first. [mm]
    passing : (k,) array
        Share of the whole finer than each. [-]
    fine_points : int
        How many of the points come from sedimentation: the last ones.
    notes : tuple of Note
        "fine_points_left_out": sedimentation points not finer than the finest sieve, where the sieve is the better witness.
    """

    sizes: NDArray[np.float64]
    passing: NDArray[np.float64]
    fine_points: int
    notes: tuple[Note, ...] = ()


def checked_curve(sizes: ArrayLike, passing: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points of a curve, finest first, if they can be a grading.

    Parameters
    ----------
    sizes : (k,) sequence
        In any order, each once. [mm]
    passing : (k,) sequence
        Share finer than each. [-]

    Returns
    -------
    tuple of (k,) arrays
        Sizes and shares, finest first.

    Raises
    ------
    InputError
        "no_values", "lengths_of_sieves", "not_positive", "out_of_range", "sieve_twice"; "curve_wrong_way" where more is
        finer than the finer of two sizes than is finer than the coarser.

    References
    ----------
    [derivation-interpolation]

    Examples
    --------
    >>> [points.tolist() for points in checked_curve([2.0, 0.5], [1.0, 0.4])]
    [[0.5, 2.0], [0.4, 1.0]]
    """
    diameters = np.atleast_1d(np.asarray(sizes, dtype=np.float64))
    shares = np.atleast_1d(np.asarray(passing, dtype=np.float64))
    if diameters.size == 0:
        raise InputError("no_values", quantity="sizes")
    if diameters.size != shares.size:
        raise InputError("lengths_of_sieves", sieves=int(diameters.size), masses=int(shares.size))
    check_positive(sizes=diameters)
    check_between(0.0, 1.0, passing=shares)
    order = np.argsort(diameters, kind="stable")
    diameters, shares = diameters[order], shares[order]
    if bool((np.diff(diameters) == 0).any()):
        raise InputError("sieve_twice", size=float(diameters[1:][np.diff(diameters) == 0][0]))
    falls = np.flatnonzero(np.diff(shares) < 0)
    if falls.size:
        finer = int(falls[0])
        raise InputError(
            "curve_wrong_way",
            finer_size=float(diameters[finer]),
            passing_finer=float(shares[finer]),
            coarser_size=float(diameters[finer + 1]),
            passing_coarser=float(shares[finer + 1]),
        )
    return diameters, shares


def bracket_of_passing(share: float, *, sizes: ArrayLike, passing: ArrayLike) -> Bracket:
    """The two points of a curve between which a share passing lies; on a level stretch, the finer end of it.

    Parameters
    ----------
    share : float
        Share passing that is looked for, such as 0.10. [-]
    sizes : (k,) sequence
        Sizes of the curve. [mm]
    passing : (k,) sequence
        Share finer than each. [-]

    Returns
    -------
    Bracket

    Raises
    ------
    InputError
        As `checked_curve`; "share_below_curve" where even the finest size passes more, "share_above_curve" where the coarsest
        passes less: nothing is drawn on beyond what was measured.

    References
    ----------
    [derivation-interpolation]

    Examples
    --------
    >>> bracket_of_passing(0.6, sizes=[2.0, 0.5], passing=[1.0, 0.4]).coarser_size
    2.0
    """
    diameters, shares = checked_curve(sizes, passing)
    if share < shares[0]:
        raise InputError("share_below_curve", share=share, size=float(diameters[0]), passing=float(shares[0]))
    if share > shares[-1]:
        raise InputError("share_above_curve", share=share, size=float(diameters[-1]), passing=float(shares[-1]))
    above = int(np.searchsorted(shares, share, side="left"))
    below = above - 1
    if above == 0:  # just the share of the finest point: the next that is coarser and passes more makes the bracket
        below, above = 0, int(np.searchsorted(shares, share, side="right"))
    if above == shares.size:  # one point, or a curve that is level from end to end
        raise InputError("curve_too_short", points=int(shares.size))
    return Bracket(float(diameters[below]), float(diameters[above]), float(shares[below]), float(shares[above]))


def size_at_passing(share: Numbers, *, sizes: ArrayLike, passing: ArrayLike) -> Numbers:
    """Size than which a share of the soil is finer: D10, D30, D60 and any other.

    Parameters
    ----------
    share : float or (n,) array
        Share passing, such as 0.10 for D10. [-]
    sizes : (k,) sequence
        Sizes of the curve. [mm]
    passing : (k,) sequence
        Share finer than each. [-]

    Returns
    -------
    float or (n,) array
        Size. [mm]

    Raises
    ------
    InputError
        As `bracket_of_passing`.

    Notes
    -----
    Log-linear: straight in share over the logarithm of size. A figure read off a curve drawn by hand differs by some per cent.

    References
    ----------
    [derivation-interpolation]

    Examples
    --------
    >>> round(size_at_passing(0.7, sizes=[2.0, 0.5], passing=[1.0, 0.4]), 3)
    1.0
    """
    shares = np.asarray(share, dtype=np.float64)
    found = [_size(float(each), bracket_of_passing(float(each), sizes=sizes, passing=passing)) for each in shares.ravel()]
    return found[0] if shares.ndim == 0 else np.array(found).reshape(shares.shape)


def _size(share: float, between: Bracket) -> float:
    along = (share - between.passing_finer) / (between.passing_coarser - between.passing_finer)
    return float(between.finer_size * (between.coarser_size / between.finer_size) ** along)


def bracket_of_size(diameter: float, *, sizes: ArrayLike, passing: ArrayLike) -> Bracket:
    """The two points of a curve between which a size lies.

    Parameters
    ----------
    diameter : float
        Size that is looked for. [mm]
    sizes : (k,) sequence
        Sizes of the curve. [mm]
    passing : (k,) sequence
        Share finer than each. [-]

    Returns
    -------
    Bracket

    Raises
    ------
    InputError
        As `checked_curve`; "size_off_curve" outside the sizes that were measured, "curve_too_short" for one point.

    References
    ----------
    [derivation-interpolation]

    Examples
    --------
    >>> bracket_of_size(1.0, sizes=[2.0, 0.5], passing=[1.0, 0.4]).passing_finer
    0.4
    """
    diameters, shares = checked_curve(sizes, passing)
    if diameters.size < 2:
        raise InputError("curve_too_short", points=int(diameters.size))
    if not diameters[0] <= diameter <= diameters[-1]:
        raise InputError("size_off_curve", size=diameter, finest=float(diameters[0]), coarsest=float(diameters[-1]))
    above = max(1, int(np.searchsorted(diameters, diameter, side="left")))
    return Bracket(float(diameters[above - 1]), float(diameters[above]), float(shares[above - 1]), float(shares[above]))


def passing_at_size(diameter: Numbers, *, sizes: ArrayLike, passing: ArrayLike) -> Numbers:
    """Share of a soil that is finer than a size between those measured.

    Parameters
    ----------
    diameter : float or (n,) array
        Size. [mm]
    sizes : (k,) sequence
        Sizes of the curve. [mm]
    passing : (k,) sequence
        Share finer than each. [-]

    Returns
    -------
    float or (n,) array
        Share finer. [-]

    Raises
    ------
    InputError
        As `bracket_of_size`.

    Notes
    -----
    Log-linear, as `size_at_passing`.

    References
    ----------
    [derivation-interpolation]

    Examples
    --------
    >>> round(passing_at_size(1.0, sizes=[2.0, 0.5], passing=[1.0, 0.4]), 3)
    0.7
    """
    wanted = np.asarray(diameter, dtype=np.float64)
    found = [_share(float(each), bracket_of_size(float(each), sizes=sizes, passing=passing)) for each in wanted.ravel()]
    return found[0] if wanted.ndim == 0 else np.array(found).reshape(wanted.shape)


def _share(diameter: float, between: Bracket) -> float:
    along = np.log(diameter / between.finer_size) / np.log(between.coarser_size / between.finer_size)
    return float(between.passing_finer + (between.passing_coarser - between.passing_finer) * along)


def uniformity_coefficient(d60: Numbers, *, d10: Numbers) -> Numbers:
    """How wide a grading is: D60 over D10.

    ASTM D2487-17.

    Parameters
    ----------
    d60, d10 : float or (n,) array
        Sizes than which 60 % and 10 % are finer. [mm]

    Returns
    -------
    float or (n,) array
        C_u, 1 or more. [-]

    Raises
    ------
    InputError
        "not_positive"; "sizes_swapped" where D10 is above D60.

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> round(uniformity_coefficient(0.4242, d10=0.1442), 2)
    2.94
    """
    check_positive(d60=d60, d10=d10)
    if not holds(np.asarray(d10) <= d60):
        raise InputError("sizes_swapped", d10=d10, d60=d60)
    return d60 / d10


def curvature_coefficient(d30: Numbers, *, d10: Numbers, d60: Numbers) -> Numbers:
    """Whether the middle of a grading is there: D30² over D10 D60.

    ASTM D2487-17.

    Parameters
    ----------
    d30, d10, d60 : float or (n,) array
        Sizes than which 30, 10 and 60 % are finer. [mm]

    Returns
    -------
    float or (n,) array
        C_c; 1 to 3 in a well-graded sand. [-]

    Raises
    ------
    InputError
        "not_positive"; "sizes_swapped".

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> round(curvature_coefficient(0.272, d10=0.1442, d60=0.4242), 2)
    1.21
    """
    check_positive(d30=d30)
    uniformity_coefficient(d60, d10=d10)
    return d30**2 / (d10 * d60)


def joined_curve(passing: ArrayLike, *, sizes: ArrayLike, fine_passing: ArrayLike, fine_sizes: ArrayLike) -> JoinedCurve:
    """One curve from sieves and sedimentation, both as shares of one whole.

    Parameters
    ----------
    passing : (k,) sequence
        Share of the whole that passes each sieve. [-]
    sizes : (k,) sequence
        Openings of the sieves. [mm]
    fine_passing : (m,) sequence
        Share of the whole finer than each size of the sedimentation. [-]
    fine_sizes : (m,) sequence
        Sizes of the sedimentation. [mm]

    Returns
    -------
    JoinedCurve

    Raises
    ------
    InputError
        As `checked_curve`; "no_fine_points" where no sedimentation size is finer than the finest sieve;
        "curves_do_not_meet" where more settled as fine than passes the finest sieve: shares of two wholes, or a slip.

    Notes
    -----
    Above the finest sieve the sieves count, below it the sedimentation. Nothing is shifted to make the two meet.

    References
    ----------
    [derivation-interpolation]

    Examples
    --------
    >>> found = joined_curve([1.0, 0.5], sizes=[2.0, 0.075], fine_passing=[0.4, 0.2], fine_sizes=[0.02, 0.002])
    >>> found.sizes.tolist(), found.fine_points
    ([2.0, 0.075, 0.02, 0.002], 2)
    """
    coarse_sizes, coarse = checked_curve(sizes, passing)
    small_sizes, small = checked_curve(fine_sizes, fine_passing)
    keep = small_sizes < coarse_sizes[0]
    if not bool(keep.any()):
        raise InputError("no_fine_points", finest=float(coarse_sizes[0]), coarsest=float(small_sizes[0]))
    if small[keep][-1] > coarse[0]:
        raise InputError(
            "curves_do_not_meet",
            size=float(small_sizes[keep][-1]),
            share=float(small[keep][-1]),
            sieve=float(coarse_sizes[0]),
            passing=float(coarse[0]),
        )
    left_out = int((~keep).sum())
    notes = (Note("fine_points_left_out", {"count": left_out, "sieve": float(coarse_sizes[0])}),) if left_out else ()
    both = np.concatenate((small_sizes[keep], coarse_sizes))[::-1], np.concatenate((small[keep], coarse))[::-1]
    return JoinedCurve(*both, int(keep.sum()), notes)
