"""Blending models: strength as a polynomial of shares that add up to one, alone or crossed with dose, water and pressure."""

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError, check_between

Degree = Literal["linear", "quadratic", "special cubic"]
_ORDERS: Mapping[str, int] = {"linear": 1, "quadratic": 2, "special cubic": 3}
ADDS_UP = 1e-4
"""How far shares may be from adding up to one: they are often written with few digits. [-]"""


def blending_terms(shares: ArrayLike, *, degree: Degree = "quadratic") -> Floats:
    """Columns of Scheffé's canonical polynomial: shares, products of two, products of three.

    Parameters
    ----------
    shares : (n, q) array
        Shares of q sources in each of n blends; each row adds up to one. [-]
    degree : {"linear", "quadratic", "special cubic"}
        How far products go.

    Returns
    -------
    (n, k) array
        Columns in the order of `blending_names`.

    Raises
    ------
    InputError
        "shares_do_not_add_up", "unknown_code".

    References
    ----------
    [scheffe-1958]

    Examples
    --------
    >>> blending_terms([[0.5, 0.5, 0.0]]).tolist()
    [[0.5, 0.5, 0.0, 0.25, 0.0, 0.0]]
    """
    x = np.atleast_2d(np.asarray(shares, dtype=float))
    if not (np.abs(x.sum(axis=1) - 1.0) <= ADDS_UP).all():
        raise InputError("shares_do_not_add_up", total=float(x.sum(axis=1)[np.argmax(np.abs(x.sum(axis=1) - 1.0))]))
    return np.stack([x[:, list(each)].prod(axis=1) for each in _products(x.shape[1], degree)], axis=1)


def blending_names(names: Sequence[str], *, degree: Degree = "quadratic") -> tuple[str, ...]:
    """Names of the columns: "x1", "x1 x2", ...

    >>> blending_names(["clay", "sand"])
    ('clay', 'sand', 'clay sand')
    """
    return tuple(" ".join(names[place] for place in each) for each in _products(len(names), degree))


def _products(sources: int, degree: str) -> list[tuple[int, ...]]:
    if degree not in _ORDERS:
        raise InputError("unknown_code", quantity="degree", value=degree, known=", ".join(_ORDERS))
    return [each for order in range(1, _ORDERS[degree] + 1) for each in combinations(range(sources), order)]


def crossed_terms(shares: ArrayLike, process: ArrayLike, *, degree: Degree = "quadratic") -> Floats:
    """Columns of a blending model with process variables: the blending columns, shares times variables, squares, products.

    Parameters
    ----------
    shares : (n, q) array
        Shares of q sources. [-]
    process : (n, p) array
        Process variables (dose, water, pressure), each scaled to run from -1 to 1. [-]
    degree : {"linear", "quadratic", "special cubic"}
        Of the blending part.

    Returns
    -------
    (n, k) array

    Raises
    ------
    InputError
        As `blending_terms`.

    References
    ----------
    [cornell-2002]

    Examples
    --------
    >>> crossed_terms([[0.5, 0.5]], [[1.0]], degree="linear").tolist()
    [[0.5, 0.5, 0.5, 0.5, 1.0]]
    """
    x, z = np.atleast_2d(np.asarray(shares, dtype=float)), np.atleast_2d(np.asarray(process, dtype=float))
    blend = blending_terms(x, degree=degree)
    crossed = [x[:, source] * z[:, each] for each in range(z.shape[1]) for source in range(x.shape[1])]
    squares = [z[:, each] ** 2 for each in range(z.shape[1])]
    products = [z[:, one] * z[:, other] for one, other in combinations(range(z.shape[1]), 2)]
    return np.column_stack([blend, *crossed, *squares, *products])


def pseudo_components(shares: ArrayLike, *, least: Sequence[float]) -> Floats:
    """Shares above their least, over what is left to share out: they run from 0 to 1 and add up to 1 again.

    Parameters
    ----------
    shares : (n, q) array
        Shares of the sources. [-]
    least : sequence of float, length q
        Least share of each; together below 1. [-]

    Returns
    -------
    (n, q) array

    Raises
    ------
    InputError
        "out_of_range" where the least shares leave nothing.

    References
    ----------
    [cornell-2002]

    Examples
    --------
    >>> pseudo_components([[0.65, 0.35]], least=[0.3, 0.0]).round(3).tolist()
    [[0.5, 0.5]]
    """
    low = np.asarray(least, dtype=float)
    check_between(0.0, 1.0 - ADDS_UP, least_shares=float(low.sum()))
    return np.asarray((np.asarray(shares, dtype=float) - low) / (1.0 - low.sum()))
