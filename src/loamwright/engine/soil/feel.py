"""Tests by hand: the grade a length belongs to. What a grade suggests is data, not a class."""

from collections.abc import Sequence
from statistics import fmean

from loamwright import tables
from loamwright.errors import InputError, check_not_negative
from loamwright.formula import Formula, Term

MEAN_LENGTH = Formula("mean_length", "l", "mm", "mean(l_i)", {"l_i": Term("piece_lengths", "mm")}, "practice-feel")
THINNEST = Formula("thinnest_thread", "d", "mm", "min(d_i)", {"d_i": Term("thread_diameters", "mm")}, "practice-feel")


def grades() -> tables.Table:
    """All grades of all tests by hand: what is seen, what it says, what it suggests."""
    return tables.load("feel_tests", required=("test", "says", "suggests"))


def grade_of_length(length: float, *, test: str) -> tables.Row:
    """The grade a measured length belongs to.

    Parameters
    ----------
    length : float
        Length of a ribbon or roll, or thickness of a thread. [mm]
    test : str
        "thread", "ribbon" or "cigar".

    Returns
    -------
    Row
        With the columns `says` and `suggests`.

    Raises
    ------
    InputError
        "negative"; "length_beyond_test" where no hand makes such a piece.

    References
    ----------
    [practice-feel]

    Examples
    --------
    >>> grade_of_length(70.0, test="cigar")["suggests"], grade_of_length(150.0, test="cigar")["suggests"]
    ('some clay', 'very clayey')
    """
    check_not_negative(length=length)
    for row in grades():
        if row["test"] == test and "least" in row.columns and row["least"] <= length < row["below"]:
            return row
    raise InputError("length_beyond_test", length=length)


def mean_length(piece_lengths: Sequence[float]) -> float:
    """Mean of the pieces.

    Parameters
    ----------
    piece_lengths : sequence of float
        At least one. [mm]

    Returns
    -------
    float
        [mm]

    Raises
    ------
    InputError
        "no_values", "negative".

    References
    ----------
    [practice-feel]

    Examples
    --------
    >>> mean_length([60.0, 70.0, 80.0])
    70.0
    """
    _check_pieces(piece_lengths, "piece_lengths")
    return fmean(piece_lengths)


def thinnest_thread(thread_diameters: Sequence[float]) -> float:
    """Thinnest thread that was rolled: the soil could be rolled that far at its best water.

    Parameters
    ----------
    thread_diameters : sequence of float
        Thickness of each thread before it broke, at least one. [mm]

    Returns
    -------
    float
        [mm]

    Raises
    ------
    InputError
        "no_values", "negative".

    References
    ----------
    [practice-feel]

    Examples
    --------
    >>> thinnest_thread([3.0, 2.0, 2.5])
    2.0
    """
    _check_pieces(thread_diameters, "thread_diameters")
    return min(thread_diameters)


def _check_pieces(values: Sequence[float], name: str) -> None:
    if not values:
        raise InputError("no_values", quantity=name)
    for value in values:
        check_not_negative(**{name: value})
