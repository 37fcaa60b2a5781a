"""Limits of salts, acid and organic matter as data: which there are, and what an extract can show against each."""

from typing import Literal, cast

from loamwright import tables, units
from loamwright.engine.soil.chemistry import Bound, Gate

Extract = Literal["water", "acid", "none"]
Standing = Literal["passed", "failed", "not_shown"]


def figure(key: str) -> float:
    """One figure of data/salt_figures.toml, in the unit of its row."""
    return tables.figure("salt_figures", key, required=("unit", "note"))


def rows(about: str) -> tuple[tables.Row, ...]:
    """Rows of the limits of one property, as their sources print them.

    >>> [(row["value"], row["unit"]) for row in rows("soil_ph")]
    [(5.3, '1')]
    """
    table = tables.load("salt_limits", required=("about", "bound", "value", "unit", "extract", "who", "says"))
    return tuple(row for row in table if row["about"] == about)


def gate(key: str) -> Gate:
    """One limit in the engine's unit.

    >>> gate("ufc-sulfate")
    Gate(key='ufc-sulfate', bound='most', value=0.001)
    """
    row = tables.load("salt_limits", required=("about", "bound", "value", "unit", "extract", "who", "says"))[key]
    value = float(row["value"]) if row["unit"] == "1" else units.unit(row["unit"]).to_engine(row["value"])
    return Gate(row.key, cast(Bound, row["bound"]), round(value, 12))


def gates(about: str) -> tuple[Gate, ...]:
    """All limits of one property in the engine's unit, in the order of the file."""
    return tuple(gate(row.key) for row in rows(about))


def stands_against(
    value: float, *, row: tables.Row, extract: Extract, water_per_soil: float | None = None, all_dissolved: bool = True
) -> Standing:
    """How a salt stands against one limit. A weak extract can fail a soil, never clear it: there may be more than it took up.

    Parameters
    ----------
    value : float
        Salt of dry soil by this extract. [-]
    row : Row
        Of data/salt_limits.toml.
    extract : {"water", "acid", "none"}
        How it was taken up.
    water_per_soil : float, optional
        Mass of water over mass of dry soil of a water extract. [-]
    all_dissolved : bool
        False where more may be left in the soil: the water was full of gypsum, or the strip at its end.

    Returns
    -------
    {"passed", "failed", "not_shown"}

    References
    ----------
    [derivation-salts]

    Examples
    --------
    >>> low = rows("sulfate")[1]
    >>> stands_against(0.0011, row=low, extract="water", water_per_soil=1.0)
    'not_shown'
    >>> stands_against(0.0011, row=low, extract="water", water_per_soil=10.0)
    'passed'
    >>> stands_against(0.0048, row=low, extract="water", water_per_soil=10.0)
    'failed'
    """
    limit = gate(row.key)
    inside = round(value, 12) <= limit.value if limit.bound == "most" else round(value, 12) >= limit.value
    if not inside:
        return "failed"
    if row["extract"] == "none":
        return "passed"
    enough = extract == "acid" or (
        row["extract"] != "acid"
        and extract == "water"
        and water_per_soil is not None
        and water_per_soil >= figure("full-extract")
    )
    return "passed" if enough and all_dissolved else "not_shown"
