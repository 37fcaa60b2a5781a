"""Curves of densest packing, and how far a grading lies from them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.engine.soil.grading_curve import checked_curve
from loamwright.errors import InputError, check_between, check_positive
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]
POWER_CURVE = Formula(
    "power_curve",
    "p",
    "1",
    "(d / D)**n",
    {"d": Term("diameter", "mm"), "D": Term("largest_size", "mm"), "n": Term("exponent", "1")},
    "fuller-thompson-1907",
)
MEAN_DISTANCE = Formula(
    "mean_distance",
    "e",
    "1",
    "sum(e_i) / len(e_i)",
    {"e_i": Term("distances", "1")},
    "derivation-grading-distance",
)


@dataclass(frozen=True, slots=True)
class Distance:
    """How far a curve lies from a power curve, over its points finer than the largest size.

    Attributes
    ----------
    mean : float
        Mean of the absolute differences in share passing. [-]
    differences : (k,) array
        Curve less power curve at each of those sizes: above zero where the soil is finer. [-]
    sizes : (k,) array
        Those sizes, coarsest first. [mm]
    """

    mean: float
    differences: NDArray[np.float64]
    sizes: NDArray[np.float64]


def power_curve(diameter: Numbers, *, largest_size: float, exponent: float) -> Numbers:
    """Share passing of a densest-packing curve: Fuller with exponent 0.5, Talbot with any.

    Parameters
    ----------
    diameter : float or (n,) array
        Size, not above the largest. [mm]
    largest_size : float
        Size that all of the soil passes. [mm]
    exponent : float
        0.5 for concrete, less for soils whose clay must fill and bind. [-]

    Returns
    -------
    float or (n,) array
        Share finer. [-]

    Raises
    ------
    InputError
        "not_positive"; "out_of_range" for a size above the largest or an exponent above 1.

    Notes
    -----
    p = (d / D)^n.

    References
    ----------
    [fuller-thompson-1907], [talbot-richart-1923]

    Examples
    --------
    >>> round(power_curve(0.075, largest_size=5.0, exponent=0.25), 3)
    0.35
    """
    check_positive(diameter=diameter, largest_size=largest_size, exponent=exponent)
    check_between(0.0, largest_size, diameter=diameter)
    check_between(0.0, 1.0, exponent=exponent)
    return (diameter / largest_size) ** exponent


def distance_from_power_curve(passing: ArrayLike, *, sizes: ArrayLike, largest_size: float, exponent: float) -> Distance:
    """How far a grading lies from a power curve, at the sizes that were measured.

    Parameters
    ----------
    passing : (k,) sequence
        Share finer than each size. [-]
    sizes : (k,) sequence
        Sizes of the curve; those not finer than the largest size are left out. [mm]
    largest_size : float
        Size that all of the soil passes. [mm]
    exponent : float
        Exponent of the power curve. [-]

    Returns
    -------
    Distance

    Raises
    ------
    InputError
        As `checked_curve`; "curve_too_short" where no size is finer than the largest.

    Notes
    -----
    Mean absolute difference in share passing: plain, and in the unit of the chart. It hangs on which sieves were used, so
    compare soils measured with the same set.

    References
    ----------
    [derivation-grading-distance]

    Examples
    --------
    >>> found = distance_from_power_curve([1.0, 0.6], sizes=[4.0, 1.0], largest_size=4.0, exponent=0.5)
    >>> round(found.mean, 3), found.differences.round(3).tolist()
    (0.1, [0.1])
    """
    diameters, shares = checked_curve(sizes, passing)
    finer = diameters < largest_size
    if not bool(finer.any()):
        raise InputError("curve_too_short", points=int(diameters.size))
    diameters, shares = diameters[finer][::-1], shares[finer][::-1]
    differences = shares - power_curve(diameters, largest_size=largest_size, exponent=exponent)
    return Distance(float(np.abs(differences).mean()), differences, diameters)
