"""Shares of sand, silt and clay as two log-ratios, in which errors are near normal and shares stay shares."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from loamwright.errors import check_positive

Array = NDArray[np.float64]

# Columns are the clr directions of the two log-ratios: sand against fines, silt against clay.
BASIS = np.array([[np.sqrt(2 / 3), 0.0], [-np.sqrt(1 / 6), np.sqrt(1 / 2)], [-np.sqrt(1 / 6), -np.sqrt(1 / 2)]])


def log_ratios(shares: Sequence[float] | Array) -> Array:
    """The two isometric log-ratios of sand, silt and clay.

    Parameters
    ----------
    shares : (3,) or (n, 3) array
        Sand, silt, clay, all above zero; only their ratios matter. [-]

    Returns
    -------
    (2,) or (n, 2) array
        √(2/3) ln(sand/√(silt clay)) and √(1/2) ln(silt/clay). [-]

    Raises
    ------
    InputError
        If a share is not positive.

    References
    ----------
    [egozcue-2003]

    Examples
    --------
    >>> log_ratios((1, 1, 1)).tolist()
    [0.0, 0.0]
    """
    array = np.asarray(shares, dtype=float)
    check_positive(shares=array)
    ratios: Array = np.log(array) @ BASIS
    return ratios


def shares_of(ratios: Array) -> Array:
    """Sand, silt and clay from the two log-ratios; the shares sum to 1.

    Parameters
    ----------
    ratios : (2,) or (n, 2) array
        Isometric log-ratios. [-]

    Returns
    -------
    (3,) or (n, 3) array
        Shares. [-]

    References
    ----------
    [egozcue-2003]

    Examples
    --------
    >>> shares_of(log_ratios((0.5, 0.3, 0.2))).round(3).tolist()
    [0.5, 0.3, 0.2]
    """
    logs = ratios @ BASIS.T
    parts = np.exp(logs - logs.max(axis=-1, keepdims=True))
    shares: Array = parts / parts.sum(axis=-1, keepdims=True)
    return shares
