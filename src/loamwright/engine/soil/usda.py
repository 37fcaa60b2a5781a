"""Texture classes of the USDA from sand, silt and clay, for one soil or a million rows by the same rules."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright import tables
from loamwright.errors import InputError, check_between, check_not_negative, check_share

CLASSES = (
    "sand",
    "loamy sand",
    "sandy loam",
    "loam",
    "silt loam",
    "silt",
    "sandy clay loam",
    "clay loam",
    "silty clay loam",
    "sandy clay",
    "silty clay",
    "clay",
)
"""The twelve classes; a code is a place in this list."""
NO_CLASS = -1
"""Code of a row that is no soil: a share missing, below zero, or a sum that is not one."""
ADDS_UP = 0.005
"""How far the three shares may be from adding up to one: a laboratory rounds each to whole or half per cents. [-]"""
DIGITS = 9
"""Per cents are compared to so many decimals, so that 0.27 typed as 27 % lies on the line at 27."""

Codes = NDArray[np.int8]


def texture_codes(sand: ArrayLike, *, silt: ArrayLike, clay: ArrayLike) -> Codes:
    """Class of every row.

    Parameters
    ----------
    sand, silt, clay : (n,) array or float
        Mass shares of what is finer than 2 mm; sand ends at 0.05 mm, silt at 0.002 mm. [-]

    Returns
    -------
    (n,) array of int8
        Place in `CLASSES`; -1 where the row is no soil.

    References
    ----------
    [usda-texture]

    Examples
    --------
    >>> [CLASSES[code] for code in texture_codes([0.60, 0.20], silt=[0.20, 0.20], clay=[0.20, 0.60])]
    ['sandy clay loam', 'clay']
    """
    sands, silts, clays = (np.round(100.0 * np.atleast_1d(np.asarray(each, dtype=float)), DIGITS) for each in (sand, silt, clay))
    codes = np.full(np.broadcast_shapes(sands.shape, silts.shape, clays.shape), CLASSES.index("clay"), dtype=np.int8)
    heavy = silts + 1.5 * clays
    very = silts + 2.0 * clays
    low, middle, high = clays < 7, (clays >= 7) & (clays < 27), clays >= 40
    rules = {  # the later ones are drawn over nothing: no two hold at once
        "sand": heavy < 15,
        "loamy sand": (heavy >= 15) & (very < 30),
        "sandy loam": (very >= 30) & (((clays >= 7) & (clays < 20) & (sands > 52)) | (low & (silts < 50))),
        "loam": middle & (silts >= 28) & (silts < 50) & (sands <= 52),
        "silt loam": ((silts >= 50) & (clays >= 12) & (clays < 27)) | ((silts >= 50) & (silts < 80) & (clays < 12)),
        "silt": (silts >= 80) & (clays < 12),
        "sandy clay loam": (clays >= 20) & (clays < 35) & (silts < 28) & (sands > 45),
        "clay loam": (clays >= 27) & (clays < 40) & (sands > 20) & (sands <= 45),
        "silty clay loam": (clays >= 27) & (clays < 40) & (sands <= 20),
        "sandy clay": (clays >= 35) & (sands > 45),
        "silty clay": high & (silts >= 40),
    }
    for name, holds in rules.items():
        codes[holds] = CLASSES.index(name)
    with np.errstate(invalid="ignore"):
        soil = (np.abs(sands + silts + clays - 100.0) <= 100.0 * ADDS_UP) & (np.minimum(np.minimum(sands, silts), clays) >= 0)
    codes[~soil] = NO_CLASS
    return codes


def texture(sand: float, *, silt: float, clay: float) -> str:
    """Class of one soil.

    Parameters
    ----------
    sand, silt, clay : float
        Mass shares of what is finer than 2 mm. [-]

    Returns
    -------
    str
        One of `CLASSES`.

    Raises
    ------
    InputError
        "out_of_range" for a share outside 0 to 1, "texture_does_not_add_up".

    References
    ----------
    [usda-texture]

    Examples
    --------
    >>> texture(0.41, silt=0.31, clay=0.28)
    'clay loam'
    """
    check_between(0.0, 1.0, sand=sand, silt=silt, clay=clay)
    code = int(texture_codes(sand, silt=silt, clay=clay)[0])
    if code == NO_CLASS:
        raise InputError("texture_does_not_add_up", total=sand + silt + clay)
    return CLASSES[code]


_AWAY = np.array([[1, -1, 0], [-1, 1, 0], [1, 0, -1], [-1, 0, 1], [0, 1, -1], [0, -1, 1]], dtype=float)
"""The six ways in which some of one fraction can be counted to another: sand, silt, clay."""


def textures_near(sand: float, *, silt: float, clay: float, within: float) -> tuple[str, ...]:
    """The class of one soil, and those it would have if a little of one fraction were counted to another.

    Near a line the class hangs on how a report was rounded, and on whose side of the line the line itself is taken to be.

    Parameters
    ----------
    sand, silt, clay : float
        Mass shares of what is finer than 2 mm. [-]
    within : float
        How much may change places; half a per cent for shares given in whole per cents. [-]

    Returns
    -------
    tuple of str
        The class by `texture` first, then the others in the order of `CLASSES`.

    Raises
    ------
    InputError
        As `texture`; "negative".

    References
    ----------
    [usda-texture]

    Examples
    --------
    >>> textures_near(0.40, silt=0.33, clay=0.27, within=0.005)
    ('clay loam', 'loam')
    """
    check_not_negative(within=within)
    own = texture(sand, silt=silt, clay=clay)
    around = np.array([sand, silt, clay]) + within * _AWAY
    around = around[(around >= 0).all(axis=1)]
    codes = texture_codes(around[:, 0], silt=around[:, 1], clay=around[:, 2])
    others = sorted({int(code) for code in codes} - {CLASSES.index(own), NO_CLASS})
    return (own, *(CLASSES[code] for code in others))


def without_gravel(gravel: float, *, sand: float, silt: float, clay: float) -> tuple[float, float, float]:
    """Sand, silt and clay as shares of what is finer than 2 mm.

    Parameters
    ----------
    gravel, sand, silt, clay : float
        Mass shares of the whole soil. [-]

    Returns
    -------
    tuple of float
        Sand, silt and clay. [-]

    Raises
    ------
    InputError
        "out_of_range"; "all_gravel".

    References
    ----------
    [usda-texture]

    Examples
    --------
    >>> [round(each, 3) for each in without_gravel(0.20, sand=0.10, silt=0.30, clay=0.40)]
    [0.125, 0.375, 0.5]
    """
    check_between(0.0, 1.0, gravel=gravel, sand=sand, silt=silt, clay=clay)
    fine = sand + silt + clay
    if fine <= 0:
        raise InputError("all_gravel", gravel=gravel)
    return sand / fine, silt / fine, clay / fine


def name_with_gravel(class_name: str, *, gravel: float) -> str:
    """A class with the word for its gravel.

    Parameters
    ----------
    class_name : str
        One of `CLASSES`.
    gravel : float
        Share of the whole soil coarser than 2 mm, below 1; by mass for want of the volume. [-]

    Returns
    -------
    str

    Raises
    ------
    InputError
        "not_a_share".

    Notes
    -----
    The Soil Survey Manual means shares of volume; the mass stands in for it. The words are rows of data/gravel_words.toml.

    References
    ----------
    [usda-texture]

    Examples
    --------
    >>> name_with_gravel("clay", gravel=0.20)
    'gravelly clay'
    """
    check_share(gravel=gravel)
    words = [row["word"] for row in tables.load("gravel_words", required=("least", "word")) if gravel >= row["least"]]
    return f"{words[-1]} {class_name}" if words else class_name


def whole_triangle() -> Mapping[str, int]:
    """How many of the 5,151 soils of whole per cents lie in each class.

    >>> whole_triangle()["silt"], sum(whole_triangle().values())
    (186, 5151)
    """
    sand, silt = np.meshgrid(np.arange(101), np.arange(101), indexing="ij")
    inside = sand + silt <= 100
    sands, silts = sand[inside], silt[inside]
    codes = texture_codes(sands / 100, silt=silts / 100, clay=(100 - sands - silts) / 100)
    return {name: int((codes == place).sum()) for place, name in enumerate(CLASSES)}
