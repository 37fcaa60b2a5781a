"""Normal scores of a source: draw i is the same world wherever and whenever it is computed.

The stream depends on scheme, project and source alone, never on readings or their order. Parameters take their
scores in one fixed order, a whole block of draws each, so a parameter added at the end changes no earlier score.
"""

import hashlib
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from loamwright.errors import InputError, check_positive

COUNT = 4000
SCHEME = "soil-1"
PARAMETERS = ("ilr_sand", "ilr_silt", "pail_dry_mass", "moisture", "oversize", "activity", "plastic_limit", "shrinkage")


def seed(source: str, *, project: str, scheme: str = SCHEME) -> int:
    """The seed of a source: SHA-256 of "scheme|project|source" read as a big-endian whole number.

    Examples
    --------
    >>> seed("pit", project="school") == seed("pit", project="school") != seed("pit", project="clinic")
    True
    """
    return int.from_bytes(hashlib.sha256(f"{scheme}|{project}|{source}".encode()).digest(), "big")


def uniforms(source: str, *, project: str, scheme: str = SCHEME, count: int = COUNT) -> NDArray[np.float64]:
    """Numbers between 0 and 1, one row a parameter: u = ((r >> 11) + 0.5) / 2⁵³ of raw PCG64 bits.

    Parameters
    ----------
    source, project, scheme : str
        Identifiers; together they fix the stream.
    count : int
        Draws per parameter, 4,000 everywhere in the product.

    Returns
    -------
    (8, count) array
        Rows in the order of `PARAMETERS`. [-]

    Raises
    ------
    InputError
        If source or project is empty or holds the separator "|", or count is not positive.

    References
    ----------
    [pcg-2014]

    Examples
    --------
    >>> uniforms("pit", project="school", count=3).shape
    (8, 3)
    """
    check_positive(count=count)
    for name, text in (("source", source), ("project", project), ("scheme", scheme)):
        if not text or "|" in text:
            raise InputError("bad_identifier", quantity=name, value=text)
    raw = np.random.PCG64(seed(source, project=project, scheme=scheme)).random_raw(len(PARAMETERS) * count)
    inside = ((raw >> np.uint64(11)).astype(np.float64) + 0.5) / 2.0**53
    return inside.reshape(len(PARAMETERS), count)


@lru_cache(maxsize=64)
def scores(source: str, *, project: str, scheme: str = SCHEME, count: int = COUNT) -> NDArray[np.float64]:
    """Standard normal scores, one row a parameter, by inverse normal of `uniforms`; read-only.

    Parameters
    ----------
    source, project, scheme : str
        Identifiers; together they fix the stream.
    count : int
        Draws per parameter.

    Returns
    -------
    (8, count) array
        Rows in the order of `PARAMETERS`. [-]

    Raises
    ------
    InputError
        As `uniforms`.

    Examples
    --------
    >>> bool(abs(scores("pit", project="school").mean()) < 0.05)
    True
    """
    from scipy.special import ndtri

    normal: NDArray[np.float64] = ndtri(uniforms(source, project=project, scheme=scheme, count=count))
    normal.flags.writeable = False
    return normal
