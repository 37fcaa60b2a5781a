"""Soil in still water: grades of the crumb test, how fast a dried ball falls apart."""

from collections.abc import Sequence

from loamwright import tables
from loamwright.errors import InputError, check_between, check_positive


def crumb_grade(grades: Sequence[int]) -> int:
    """Grade of a crumb that was looked at several times: the worst it reached.

    ASTM D6572, looked at after 2 min, 1 h and 6 h.

    Parameters
    ----------
    grades : sequence of int
        1 no cloud, 2 slight, 3 moderate, 4 strong.

    Returns
    -------
    int
        1 to 4.

    Raises
    ------
    InputError
        "too_few_values" for none; "out_of_range".

    References
    ----------
    [astm-d6572]

    Examples
    --------
    >>> crumb_grade([1, 2, 3])
    3
    """
    if not grades:
        raise InputError("too_few_values", have=0, need=1)
    for grade in grades:
        check_between(1, len(crumb_grades().rows), crumb_grade=grade)
    return max(grades)


def crumb_grades() -> tables.Table:
    """Grades of the crumb test with what they say, from data/crumb_grades.toml.

    >>> [row["says"] for row in crumb_grades()][0]
    'not dispersive'
    """
    return tables.load("crumb_grades", required=("grade", "looks", "says"))


def slake_class(minutes_to_half: float | None, *, left_after_dips: float | None = None) -> int | None:
    """Class of a dried piece of soil in water: how fast it loses half of itself, else what is left of it after five dips.

    Herrick and others (2001), 1 to 6.

    Parameters
    ----------
    minutes_to_half : float or None
        Time until half had fallen off; None where half still stood after 5 min. [min]
    left_after_dips : float or None
        Share left after dipping it five times, where half still stood. [-]

    Returns
    -------
    int or None
        1 falls apart within 5 s, 6 stays whole; None where it stood and was not dipped.

    Raises
    ------
    InputError
        "not_positive"; "out_of_range" for the share.

    References
    ----------
    [herrick-2001]

    Examples
    --------
    >>> slake_class(0.05), slake_class(0.3), slake_class(None, left_after_dips=0.8), slake_class(None)
    (1, 2, 6, None)
    """
    rows = tables.load("slake_classes", required=("within_minutes", "left_least"))
    if minutes_to_half is not None:
        check_positive(minutes_to_half=minutes_to_half)
        for row in rows:
            if minutes_to_half <= row["within_minutes"]:
                return int(row["grade"])
    if left_after_dips is None:
        return None
    check_between(0.0, 1.0, left_after_dips=left_after_dips)
    return max(int(row["grade"]) for row in rows if left_after_dips >= row["left_least"])
