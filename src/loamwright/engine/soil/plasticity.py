"""Plasticity of the fines: the index, and the two lines of the chart by which fine soils are told apart."""

from loamwright.errors import check_between, check_not_negative
from loamwright.formula import Formula, Term

PLASTICITY_INDEX = Formula(
    "plasticity_index",
    "I_p",
    "1",
    "w_L - w_P",
    {"w_L": Term("liquid_limit", "1"), "w_P": Term("plastic_limit", "1")},
    "astm-d2487",
    "plasticity index",
)
A_LINE = Formula(
    "a_line",
    "I_A",
    "1",
    "max(0.04, 0.73 * (w_L - 0.20))",
    {"w_L": Term("liquid_limit", "1")},
    "astm-d2487",
    "plasticity chart",
)
U_LINE = Formula(
    "u_line",
    "I_U",
    "1",
    "max(0.07, 0.9 * (w_L - 0.08))",
    {"w_L": Term("liquid_limit", "1")},
    "astm-d2487",
    "plasticity chart",
)
A_LINE_FROM = 0.04
"""Liquid limit from which the A-line is drawn: there its plasticity index is the liquid limit itself. [-]"""
U_LINE_FROM = 0.16
"""Liquid limit at which the U-line stands upright up to its first slope. [-]"""

MOST = 10.0
"""A liquid limit above which nothing is soil: pure swelling clay reaches about 7. [-]"""


def plasticity_index(liquid_limit: float, *, plastic_limit: float) -> float:
    """Span of water content in which the fines are plastic.

    Parameters
    ----------
    liquid_limit, plastic_limit : float
        Water content at either limit, of dry mass. [-]

    Returns
    -------
    float
        Liquid limit less plastic limit. [-]

    Raises
    ------
    InputError
        "negative"; "out_of_range" for a plastic limit above the liquid limit.

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> round(plasticity_index(0.48, plastic_limit=0.21), 4)
    0.27
    """
    check_not_negative(liquid_limit=liquid_limit)
    check_between(0.0, liquid_limit, plastic_limit=plastic_limit)
    return liquid_limit - plastic_limit


def a_line(liquid_limit: float) -> float:
    """Plasticity index of the A-line: above it clays, below it silts.

    Parameters
    ----------
    liquid_limit : float
        Water content at the liquid limit. [-]

    Returns
    -------
    float
        0.04 up to a liquid limit of 0.255, then 0.73 times what the liquid limit is above 0.20. [-]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> round(a_line(0.50), 4), a_line(0.20)
    (0.219, 0.04)
    """
    check_not_negative(liquid_limit=liquid_limit)
    return max(0.04, 0.73 * (liquid_limit - 0.20))


def u_line(liquid_limit: float) -> float:
    """Plasticity index of the U-line, above which no natural soil is expected: a point there is looked at again.

    Parameters
    ----------
    liquid_limit : float
        Water content at the liquid limit, 0.16 or more: the line stands upright there. [-]

    Returns
    -------
    float
        At least 0.07, then 0.9 times what the liquid limit is above 0.08. [-]

    Raises
    ------
    InputError
        "out_of_range" below 0.16 or above 10.

    References
    ----------
    [astm-d2487]

    Examples
    --------
    >>> round(u_line(0.50), 4), round(u_line(0.16), 4)
    (0.378, 0.072)
    """
    check_between(U_LINE_FROM, MOST, liquid_limit=liquid_limit)
    return max(0.07, 0.9 * (liquid_limit - 0.08))
