"""Sieve analysis: what stays on each sieve, what was lost, and shares of the whole when stones were taken off first.

Sieves stand coarsest first, as they stand in the stack. Masses are dry.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive, check_share, holds
from loamwright.formula import Formula, Term

Numbers = float | NDArray[np.float64]

# A stack weighed in grams sums in binary: one part in a thousand million is no grain of soil.
SUM_SLACK = 1e-9

RETAINED_TOTAL = Formula(
    "total_mass",
    "m_t",
    "kg",
    "sum(m_i) + m_pan",
    {"m_i": Term("retained_masses", "kg"), "m_pan": Term("pan_mass", "kg")},
    "astm-d6913",
)
PASSING = Formula(
    "passing",
    "P",
    "1",
    "1 - sum(m_i) / m_t",
    {"m_i": Term("retained_masses", "kg"), "m_t": Term("total_mass", "kg")},
    "astm-d6913",
)
SIEVING_LOSS = Formula(
    "sieving_loss",
    "x",
    "1",
    "(m_on - m_found) / m_on",
    {"m_on": Term("put_on_mass", "kg"), "m_found": Term("found_mass", "kg")},
    "astm-d6913",
)
WASHED_OUT = Formula(
    "washed_out",
    "f_w",
    "1",
    "(m_start - m_washed) / m_start",
    {"m_start": Term("start_mass", "kg"), "m_washed": Term("washed_mass", "kg")},
    "astm-d6913",
)
FINES_BY_WASHING = Formula(
    "fines_fraction",
    "F",
    "1",
    "(m_start - m_washed) / m_start",
    {"m_start": Term("start_mass", "kg"), "m_washed": Term("washed_mass", "kg")},
    "astm-d1140",
)
COARSE_SHARE = Formula(
    "coarse_share",
    "R",
    "1",
    "m_c / (m_c + m_r)",
    {"m_c": Term("coarse_mass", "kg"), "m_r": Term("rest_mass", "kg")},
    "derivation-phases",
)
PASSING_OF_WHOLE = Formula(
    "passing_of_whole",
    "P_w",
    "1",
    "P * (1 - R)",
    {"P": Term("passing", "1"), "R": Term("coarse_share", "1")},
    "derivation-blend",
)
PASSING_OF_SCREENED = Formula(
    "passing_of_screened",
    "P_s",
    "1",
    "P / P_screen",
    {"P": Term("passing", "1"), "P_screen": Term("passing_screen", "1")},
    "derivation-blend",
)
RETAINED_AT_CUT = Formula("coarse_share", "R", "1", "1 - P_cut", {"P_cut": Term("passing_screen", "1")}, "derivation-blend")


@dataclass(frozen=True, slots=True)
class Sieving:
    """What a stack of sieves says.

    Attributes
    ----------
    sizes : (k,) array
        Openings, coarsest first. [mm]
    retained : (k,) array
        Mass on each sieve alone. [kg]
    passing : (k,) array
        Share of the total mass finer than each sieve. [-]
    total_mass : float
        What the shares are of: the dry mass before washing and sieving, or all that was found where that was not weighed. [kg]
    loss : float or None
        Lost between pouring on and weighing off, of what was poured on; below zero where more was found; None where one of
        the two was not weighed. [-]
    washed_out : float or None
        Share of the start mass that went through the wash sieve; None where nothing was washed. [-]
    notes : tuple of Note
        "loss_not_known", "wash_not_weighed".
    """

    sizes: NDArray[np.float64]
    retained: NDArray[np.float64]
    passing: NDArray[np.float64]
    total_mass: float
    loss: float | None
    washed_out: float | None
    notes: tuple[Note, ...] = ()


def sieving_loss(put_on_mass: Numbers, *, found_mass: Numbers) -> Numbers:
    """Share of the soil that was lost between pouring it on the stack and weighing it off.

    ASTM D6913-17.

    Parameters
    ----------
    put_on_mass : float or (n,) array
        Dry mass poured on the stack, after washing where it was washed. [kg]
    found_mass : float or (n,) array
        Sum of all sieves and the pan. [kg]

    Returns
    -------
    float or (n,) array
        Loss of the mass poured on; below zero where more was found than poured on. [-]

    Raises
    ------
    InputError
        "not_positive" or "negative".

    References
    ----------
    [astm-d6913]

    Examples
    --------
    >>> round(sieving_loss(0.620, found_mass=0.617), 4)
    0.0048
    """
    check_positive(put_on_mass=put_on_mass)
    check_not_negative(found_mass=found_mass)
    return (put_on_mass - found_mass) / put_on_mass


def retained_on_each(cumulative_masses: ArrayLike) -> NDArray[np.float64]:
    """Mass on each sieve alone, from masses added up down the stack.

    Parameters
    ----------
    cumulative_masses : (k,) sequence
        Mass on each sieve and all coarser ones, coarsest first. [kg]

    Returns
    -------
    (k,) array
        Mass on each sieve alone. [kg]

    Raises
    ------
    InputError
        "no_values", "negative"; "cumulative_falls" where a finer sieve shows less than a coarser one.

    References
    ----------
    [astm-d6913]

    Examples
    --------
    >>> retained_on_each([0.0, 0.5, 0.75]).tolist()
    [0.0, 0.5, 0.25]
    """
    masses = _masses(cumulative_masses, "cumulative_masses")
    each = np.diff(masses, prepend=0.0)
    if bool((each < 0).any()):
        place = int(np.argmax(each < 0))
        raise InputError("cumulative_falls", before=float(masses[place - 1]), after=float(masses[place]), sieve=place + 1)
    return each


def sieve_analysis(
    retained_masses: ArrayLike,
    *,
    sieve_sizes: ArrayLike,
    pan_mass: float | None = None,
    start_mass: float | None = None,
    washed_mass: float | None = None,
) -> Sieving:
    """Shares passing a stack of sieves, dry or washed first.

    ASTM D6913-17, single-set sieving.

    Parameters
    ----------
    retained_masses : (k,) sequence
        Mass on each sieve alone, in the order of `sieve_sizes`. [kg]
    sieve_sizes : (k,) sequence
        Openings, in any order, each once. [mm]
    pan_mass : float, optional
        Mass in the pan; left out, the finest is what the others leave of the start mass. [kg]
    start_mass : float, optional
        Dry mass before washing and sieving; left out, the sum of all that was found. [kg]
    washed_mass : float, optional
        Dry mass after washing; what the water took counts as finer than the finest sieve. [kg]

    Returns
    -------
    Sieving
        Shares passing, coarsest sieve first; loss; what was washed out; notes.

    Raises
    ------
    InputError
        "no_values", "negative", "not_positive", "lengths_of_sieves", "sieve_twice"; "start_mass_missing" where neither pan
        nor start was weighed, or soil was washed without it; "washed_above_start"; "retained_above_start" where the sieves
        hold more than the start mass and there is no pan to tell the loss by.

    Notes
    -----
    P = 1 − Σ m_i / m_t. A loss is stated and not shared out: with a start mass it counts with the finest. Whether the loss
    is too great is for the caller: the limit is a figure of the standard, see data/grading.toml.

    References
    ----------
    [astm-d6913]

    Examples
    --------
    >>> found = sieve_analysis([0.2, 0.3], sieve_sizes=[2.0, 0.5], pan_mass=0.5)
    >>> found.passing.round(3).tolist(), found.total_mass
    ([0.8, 0.5], 1.0)
    """
    sizes, retained = _stack(sieve_sizes, retained_masses)
    found = float(retained.sum()) + (pan_mass or 0.0)
    if pan_mass is not None:
        check_not_negative(pan_mass=pan_mass)
    if start_mass is None and (pan_mass is None or washed_mass is not None):
        raise InputError("start_mass_missing")
    washed_out = None if washed_mass is None or start_mass is None else fines_by_washing(start_mass, washed_mass=washed_mass)
    total = found if start_mass is None else start_mass
    check_positive(total_mass=total)
    put_on = start_mass if washed_mass is None else washed_mass
    loss = None if put_on is None or pan_mass is None else float(sieving_loss(put_on, found_mass=found))
    return Sieving(sizes, retained, _passing(retained, total), total, loss, washed_out, _notes(loss, start_mass))


def fines_by_washing(start_mass: float, *, washed_mass: float) -> float:
    """Fines that went through a sieve with the wash water, by mass.

    ASTM D1140: soaked, washed over the 0.075 mm sieve until the water is clear, dried, weighed.

    Parameters
    ----------
    start_mass : float
        Dry soil before washing. [kg]
    washed_mass : float
        Dry soil left on the sieve. [kg]

    Returns
    -------
    float
        Mass washed out over the mass before. [-]

    Raises
    ------
    InputError
        "not_positive", "negative"; "washed_above_start" where more is left than was put on.

    References
    ----------
    [astm-d1140]

    Examples
    --------
    >>> round(fines_by_washing(0.500, washed_mass=0.380), 4)
    0.24
    """
    check_positive(start_mass=start_mass)
    check_not_negative(washed_mass=washed_mass)
    if washed_mass > start_mass:
        raise InputError("washed_above_start", washed_mass=washed_mass, start_mass=start_mass)
    return (start_mass - washed_mass) / start_mass


def _notes(loss: float | None, start_mass: float | None) -> tuple[Note, ...]:
    if loss is not None:
        return ()
    return (Note("loss_not_known_no_start"),) if start_mass is None else (Note("loss_not_known_no_pan"),)


def _passing(retained: NDArray[np.float64], total: float) -> NDArray[np.float64]:
    passing = 1.0 - np.cumsum(retained) / total
    if bool((passing < -SUM_SLACK).any()):
        raise InputError("retained_above_start", retained_mass=float(retained.sum()), start_mass=total)
    return np.where(passing < 0.0, 0.0, passing)  # only what binary sums leave below zero


def _stack(sieve_sizes: ArrayLike, retained_masses: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Sizes and masses, coarsest first."""
    sizes, retained = np.atleast_1d(np.asarray(sieve_sizes, dtype=np.float64)), _masses(retained_masses, "retained_masses")
    if sizes.size != retained.size:
        raise InputError("lengths_of_sieves", sieves=int(sizes.size), masses=int(retained.size))
    check_positive(sieve_sizes=sizes)
    order = np.argsort(-sizes, kind="stable")
    twice = sizes[order][:-1][np.diff(sizes[order]) == 0]
    if twice.size:
        raise InputError("sieve_twice", size=float(twice[0]))
    return sizes[order], retained[order]


def _masses(values: ArrayLike, name: str) -> NDArray[np.float64]:
    masses = np.atleast_1d(np.asarray(values, dtype=np.float64))
    if masses.size == 0:
        raise InputError("no_values", quantity=name)
    check_not_negative(**{name: masses})
    return masses


def passing_from_retained_shares(retained_shares: ArrayLike, *, pan_share: float, tolerance: float) -> NDArray[np.float64]:
    """Shares passing from reported shares on each sieve, if they are all of one whole.

    Parameters
    ----------
    retained_shares : (k,) sequence
        Reported share on each sieve alone, coarsest first. [-]
    pan_share : float
        Reported share in the pan. [-]
    tolerance : float
        How far from one the sum may lie for the rounding of the report. [-]

    Returns
    -------
    (k,) array
        Share passing each sieve. [-]

    Raises
    ------
    InputError
        "no_values", "negative"; "not_one_whole" where the shares do not sum to one.

    Notes
    -----
    P = 1 − Σ f_i / Σ f: within the tolerance the rounding of the report is shared out over all sizes.

    References
    ----------
    [astm-d6913]

    Examples
    --------
    >>> passing_from_retained_shares([0.2, 0.3], pan_share=0.5, tolerance=0.01).round(3).tolist()
    [0.8, 0.5]
    """
    shares = _masses(retained_shares, "retained_shares")
    check_not_negative(pan_share=pan_share)
    total = float(shares.sum()) + pan_share
    if abs(total - 1.0) > tolerance + SUM_SLACK:
        raise InputError("not_one_whole", total=total)
    return _passing(shares, total)  # of their own sum: the rounding of the report is shared out


def passing_of_whole(passing: Numbers, *, coarse_share: Numbers) -> Numbers:
    """Share of the whole soil, from a share of what was left when the coarse was taken off.

    Parameters
    ----------
    passing : float or (n,) array
        Share of the rest that is finer than a size. [-]
    coarse_share : float or (n,) array
        Share of the whole that was taken off before. [-]

    Returns
    -------
    float or (n,) array
        Share of the whole that is finer than the same size. [-]

    Raises
    ------
    InputError
        "out_of_range" or "not_a_share".

    Notes
    -----
    P_w = P (1 − R), for every size not above the one the coarse was taken off at.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> round(passing_of_whole(0.376, coarse_share=0.42), 3)
    0.218
    """
    check_between(0.0, 1.0, passing=passing)
    check_share(coarse_share=coarse_share)
    return passing * (1.0 - coarse_share)


def passing_of_screened(passing: Numbers, *, passing_screen: Numbers) -> Numbers:
    """Share of the screened soil, from a share of the whole: what taking the stones off does to the rest.

    Parameters
    ----------
    passing : float or (n,) array
        Share of the whole that is finer than a size. [-]
    passing_screen : float or (n,) array
        Share of the whole that passes the screen. [-]

    Returns
    -------
    float or (n,) array
        Share of the screened soil that is finer than the same size. [-]

    Raises
    ------
    InputError
        "out_of_range", "not_positive"; "finer_above_screen" for a size coarser than the screen.

    Notes
    -----
    P_s = P / P_screen. Ten per cent of stones taken off make 18 % of clay 20 %.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> round(passing_of_screened(0.18, passing_screen=0.9), 3)
    0.2
    """
    check_between(0.0, 1.0, passing=passing, passing_screen=passing_screen)
    check_positive(passing_screen=passing_screen)
    if not holds(np.asarray(passing) <= passing_screen):
        raise InputError("finer_above_screen", passing=float(np.max(passing)), passing_screen=float(np.min(passing_screen)))
    return passing / passing_screen


def coarse_share(coarse_mass: Numbers, *, rest_mass: Numbers) -> Numbers:
    """Share of a soil that was taken off as too coarse.

    Parameters
    ----------
    coarse_mass : float or (n,) array
        Dry mass taken off. [kg]
    rest_mass : float or (n,) array
        Dry mass of all the rest. [kg]

    Returns
    -------
    float or (n,) array
        Coarse over whole. [-]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> coarse_share(1.5, rest_mass=8.5)
    0.15
    """
    check_not_negative(coarse_mass=coarse_mass)
    check_positive(rest_mass=rest_mass)
    return coarse_mass / (coarse_mass + rest_mass)
