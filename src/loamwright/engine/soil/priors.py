"""Priors, error sizes and question limits of soil observations, read from data/soil_observations.toml."""

from functools import cache

from loamwright import tables


def setting(key: str) -> float:
    """The centre of one row of data/soil_observations.toml.

    >>> setting("sand_limit")
    0.06
    """
    return float(_settings()[key][0])


def spread(key: str) -> float:
    """The standard deviation of one row of data/soil_observations.toml.

    >>> spread("guess")
    0.8
    """
    return float(_settings()[key][1])


@cache
def _settings() -> dict[str, tuple[float, float]]:
    rows = tables.load("soil_observations", required=("meaning", "value", "spread", "unit"))
    return {row.key: (row["value"], row["spread"]) for row in rows}
