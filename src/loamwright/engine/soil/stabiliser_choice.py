"""Which stabilisers tables of road building allow for a soil, and how much cement they try first.

Every figure is a row of data/stabiliser_choice.toml, data/cement_first_trial.toml or data/cement_ranges.toml. The tables are of
pavement layers: a guide for where to begin with blocks, not a limit for them.
"""

from dataclasses import dataclass
from typing import Any

from loamwright import tables, units
from loamwright.errors import InputError, check_between
from loamwright.formula import Formula, Term

CEMENT_INDEX_LIMIT = Formula(
    "cement_index_limit",
    "I_c",
    "1",
    "0.20 + 0.50 - F",
    {"F": Term("fines_fraction", "1")},
    "ufc-3-250-11-2020",
    "table 2-3, as the copy of 2020 prints it",
)
CEMENT_INDEX_LIMIT_OLDER = Formula(
    "cement_index_limit",
    "I_c",
    "1",
    "0.20 + (0.50 - F) / 4",
    {"F": Term("fines_fraction", "1")},
    "tm-5-822-14",
)
CEMENT_OF_WHOLE = Formula(
    "cement_of_whole",
    "A",
    "1",
    "B * C",
    {"B": Term("passing_0_425", "1"), "C": Term("cement_of_fraction", "1")},
    "ufc-3-250-11-2020",
    "paragraph 3-1.4.1",
)


def cement_index_limit(fines: float) -> float:
    """Highest plasticity index of a sand or gravel with fines for cement, as the manual's copy of 2020 prints it.

    Parameters
    ----------
    fines : float
        Share passing 0.075 mm. [-]

    Returns
    -------
    float
        [-]

    Raises
    ------
    InputError
        "out_of_range" outside 0 to 0.5: with more, fine soils have limits of their own.

    References
    ----------
    [ufc-3-250-11-2020]

    Examples
    --------
    >>> round(cement_index_limit(0.25), 4)
    0.45
    """
    check_between(0.0, 0.5, fines=fines)
    return 0.20 + 0.50 - fines


def cement_index_limit_older(fines: float) -> float:
    """The same limit as older editions have it: far stricter, so it decides.

    Parameters
    ----------
    fines : float
        Share passing 0.075 mm. [-]

    Returns
    -------
    float
        [-]

    Raises
    ------
    InputError
        "out_of_range" outside 0 to 0.5.

    References
    ----------
    [tm-5-822-14]

    Examples
    --------
    >>> round(cement_index_limit_older(0.25), 4)
    0.2625
    """
    check_between(0.0, 0.5, fines=fines)
    return 0.20 + (0.50 - fines) / 4.0


@dataclass(frozen=True, slots=True)
class Suitable:
    """Which stabilisers the manual's table allows.

    Attributes
    ----------
    area : str
        Its area of soils: "1A" to "1C" sands, "2A" to "2C" gravels, "3" fine soils.
    cement, lime, lime_cement_fly_ash, bitumen : bool
    cement_index_limit : float or None
        The stricter of the two printed limits of the plasticity index for cement; None where the table sets none. [-]
    """

    area: str
    cement: bool
    lime: bool
    lime_cement_fly_ash: bool
    bitumen: bool
    cement_index_limit: float | None


def suitable(symbol: str, *, fines: float, plasticity_index: float, liquid_limit: float, passing_4_75: float) -> Suitable:
    """What may stabilise a soil of a unified group.

    Parameters
    ----------
    symbol : str
        Group such as "SC" or "CL-ML".
    fines : float
        Share passing 0.075 mm. [-]
    plasticity_index, liquid_limit : float
        Of the fines; 0 where not plastic. [-]
    passing_4_75 : float
        Share passing 4.75 mm. [-]

    Returns
    -------
    Suitable

    Raises
    ------
    InputError
        "group_not_known"; "out_of_range".

    References
    ----------
    [ufc-3-250-11-2020]

    Examples
    --------
    >>> found = suitable("SC", fines=0.25, plasticity_index=0.09, liquid_limit=0.20, passing_4_75=0.93)
    >>> found.area, found.cement, found.lime, found.bitumen
    ('1C', True, False, True)
    """
    check_between(0.0, 1.0, fines=fines, passing_4_75=passing_4_75)
    check_between(0.0, 10.0, plasticity_index=plasticity_index, liquid_limit=liquid_limit)
    row = _area(symbol)
    most = _cement_limit(row, min(fines, 0.5))
    index = round(plasticity_index, 9)
    return Suitable(
        area=row.key,
        cement=(most is None or index <= most)
        and passing_4_75 >= row["cement_passing_least"]
        and liquid_limit < row["cement_liquid_below"],
        lime=row["lime"] and index >= row["lime_index_least"] and fines >= row["lime_fines_least"],
        lime_cement_fly_ash=row["fly_ash"] and index <= row["fly_ash_index_most"],
        bitumen=row["bitumen"] and index <= row["bitumen_index_most"] and fines <= row["bitumen_fines_most"],
        cement_index_limit=most,
    )


def _cement_limit(row: tables.Row, fines: float) -> float | None:
    if row["cement_by_fines"]:
        return round(min(cement_index_limit(fines), cement_index_limit_older(fines)), 9)
    most: float | None = row.get("cement_index_most")
    return most


def _area(symbol: str) -> tables.Row:
    """The row of the table that holds a group."""
    table = tables.load("stabiliser_choice", required=("groups", "lime", "fly_ash", "bitumen", "cement_by_fines"))
    for row in table:
        if symbol in row["groups"]:
            return row
    raise InputError("group_not_known", group=symbol, known=", ".join(group for row in table for group in row["groups"]))


def first_trial_cement(symbol: str) -> float:
    """Cement of a first trial by unified group; tests are made of it and of 2 % more and less.

    Parameters
    ----------
    symbol : str
        Group such as "SC".

    Returns
    -------
    float
        Cement over dry soil. [-]

    Raises
    ------
    InputError
        "group_not_known".

    References
    ----------
    [ufc-3-250-11-2020]

    Examples
    --------
    >>> first_trial_cement("CH")
    0.11
    """
    table = tables.load("cement_first_trial", required=("groups", "cement"))
    for row in table:
        if symbol in row["groups"]:
            return float(row["cement"])
    raise InputError("group_not_known", group=symbol, known=", ".join(group for row in table for group in row["groups"]))


@dataclass(frozen=True, slots=True)
class CementRange:
    """Cement by road group: least and most, and what the first density test is made with; over dry soil. [-]"""

    least: float
    most: float
    first: float


def cement_range(group: str) -> CementRange:
    """Usual cement of soil-cement by road group.

    Parameters
    ----------
    group : str
        Group such as "A-4"; "A-2-6" is read as "A-2", "A-7-6" as "A-7".

    Returns
    -------
    CementRange

    Raises
    ------
    InputError
        "group_not_known".

    References
    ----------
    [pca-soil-cement]

    Examples
    --------
    >>> cement_range("A-7-6")
    CementRange(least=0.1, most=0.16, first=0.13)
    """
    table = tables.load("cement_ranges", required=("least", "most", "first"))
    row: Any = next((row for row in table if group == row.key or group.startswith(f"{row.key}-")), None)
    if row is None:
        raise InputError("group_not_known", group=group, known=", ".join(row.key for row in table))
    return CementRange(float(row["least"]), float(row["most"]), float(row["first"]))


def cement_of_whole(cement_of_fraction: float, *, passing_0_425: float) -> float:
    """Cement on the whole soil, where it was found on what passes 0.425 mm alone.

    Parameters
    ----------
    cement_of_fraction : float
        Cement over that fraction. [-]
    passing_0_425 : float
        Share of the soil passing 0.425 mm. [-]

    Returns
    -------
    float
        Cement over the whole dry soil. [-]

    Raises
    ------
    InputError
        "out_of_range".

    References
    ----------
    [ufc-3-250-11-2020]

    Examples
    --------
    >>> round(cement_of_whole(0.08, passing_0_425=0.6), 4)
    0.048
    """
    check_between(0.0, 1.0, cement_of_fraction=cement_of_fraction, passing_0_425=passing_0_425)
    return cement_of_fraction * passing_0_425


def pavement_strength(layer: str) -> float:
    """Least unconfined strength of a stabilised pavement layer: cement at 7 days, lime at 28; no limit for blocks.

    Parameters
    ----------
    layer : str
        Such as "base flexible" or "subbase rigid".

    Returns
    -------
    float
        [MPa]

    Raises
    ------
    InputError
        "layer_not_known".

    References
    ----------
    [ufc-3-250-11-2020]

    Examples
    --------
    >>> round(pavement_strength("base flexible"), 2)
    5.17
    """
    table = tables.load("pavement_strength", required=("layer", "least", "unit"))
    for row in table:
        if row["layer"] == layer:
            return units.unit(row["unit"]).to_engine(row["least"])
    raise InputError("layer_not_known", layer=layer, known=", ".join(row["layer"] for row in table))
