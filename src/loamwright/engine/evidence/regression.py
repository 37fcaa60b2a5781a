"""Least squares: a line, a polynomial, a blending model; with the spread of each coefficient."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError


@dataclass(frozen=True, slots=True)
class Regression:
    """A fit.

    Attributes
    ----------
    coefficients, errors : (k,) array
        Coefficients and their standard errors, in the order of the columns.
    residual_sd : float
        Standard deviation about the fit, in the unit of the results.
    ss_residual : float
        Sum of squares about the fit.
    df : int
        Degrees of freedom about the fit. [-]
    r2, r2_uncentred : float
        Share of the sum of squares explained, about the mean and about zero. [-]
    f : float
        Explained over residual mean square, about the mean. [-]
    """

    coefficients: Floats
    errors: Floats
    residual_sd: float
    ss_residual: float
    df: int
    r2: float
    r2_uncentred: float
    f: float


def least_squares(columns: ArrayLike, results: Sequence[float]) -> Regression:
    """Fit by least squares, by QR of columns scaled to length one, which keeps the digits the data allow.

    Parameters
    ----------
    columns : (n, k) array
        One column a coefficient; a constant is a column of ones.
    results : sequence of float, length n
        What was measured.

    Returns
    -------
    Regression
        See its fields; with as many results as coefficients the spread is not known and is given as NaN.

    Raises
    ------
    InputError
        "too_few_values" for fewer results than coefficients, "columns_alike" where the columns do not tell the coefficients
        apart, "not_finite".

    References
    ----------
    [nist-strd]

    Examples
    --------
    >>> fit = least_squares([[1, 0], [1, 1], [1, 2]], [1.0, 3.1, 4.9])
    >>> fit.coefficients.round(2).tolist(), fit.df
    ([1.05, 1.95], 1)
    """
    x, y = np.asarray(columns, dtype=float), np.asarray(results, dtype=float)
    if x.ndim != 2 or len(x) != len(y) or len(x) < x.shape[1]:
        raise InputError("too_few_values", have=len(y), need=x.shape[1] if x.ndim == 2 else 1)
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise InputError("not_finite", quantity="result")
    lengths = np.linalg.norm(x, axis=0)
    if not (lengths > 0).all():
        raise InputError("columns_alike")
    return _fitted(x, y, lengths)


def _fitted(x: Floats, y: Floats, lengths: Floats) -> Regression:
    q, r = np.linalg.qr(x / lengths)
    if np.abs(np.diag(r)).min() < 1e-13:
        raise InputError("columns_alike")
    scaled = np.linalg.solve(r, q.T @ y)
    scaled = scaled + np.linalg.solve(r, q.T @ (y - (x / lengths) @ scaled))  # one step of refinement
    residuals = y - (x / lengths) @ scaled
    df = len(y) - x.shape[1]
    ss = float(residuals @ residuals)
    variance = ss / df if df else float("nan")
    inverse = np.linalg.inv(r)
    about_mean, about_zero = float(((y - y.mean()) ** 2).sum()), float(y @ y)
    explained = about_mean - ss
    between = x.shape[1] - 1
    return Regression(
        coefficients=scaled / lengths,
        errors=np.sqrt(variance * (inverse**2).sum(axis=1)) / lengths,
        residual_sd=variance**0.5,
        ss_residual=ss,
        df=df,
        r2=explained / about_mean if about_mean else 0.0,
        r2_uncentred=1.0 - ss / about_zero if about_zero else 0.0,
        f=explained / between / variance if between and variance else float("inf"),
    )


def with_constant(columns: ArrayLike) -> Floats:
    """The columns with one of ones before them.

    >>> with_constant([[2.0], [3.0]]).tolist()
    [[1.0, 2.0], [1.0, 3.0]]
    """
    x = np.asarray(columns, dtype=float)
    return np.column_stack([np.ones(len(x)), x])


def powers(values: Sequence[float], *, degree: int) -> Floats:
    """Columns of a polynomial, from the constant up.

    >>> powers([2.0], degree=3).tolist()
    [[1.0, 2.0, 4.0, 8.0]]
    """
    return np.vander(np.asarray(values, dtype=float), degree + 1, increasing=True)


def pure_error_sd(columns: ArrayLike, results: Sequence[float]) -> float:
    """Standard deviation between results of equal rows: what no model of these columns can explain.

    Parameters
    ----------
    columns : (n, k) array
    results : sequence of float, length n

    Returns
    -------
    float
        In the unit of the results.

    Raises
    ------
    InputError
        "too_few_values" where no row repeats.

    References
    ----------
    [cornell-2002]

    Examples
    --------
    >>> round(pure_error_sd([[1.0], [1.0], [2.0]], [2.0, 2.2, 9.0]), 6)
    0.141421
    """
    x, y = np.asarray(columns, dtype=float), np.asarray(results, dtype=float)
    _, place = np.unique(x, axis=0, return_inverse=True)
    groups = [y[place.ravel() == each] for each in range(int(place.max()) + 1)]
    df = sum(len(each) - 1 for each in groups)
    if df < 1:
        raise InputError("too_few_values", have=len(y), need=len(groups) + 1)
    return float((sum(float(((each - each.mean()) ** 2).sum()) for each in groups) / df) ** 0.5)
