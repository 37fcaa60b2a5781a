"""Priors, error sizes and question limits of soil observations, read from data/soil_observations.toml."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

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
    0.6
    """
    return float(_settings()[key][1])


@cache
def _settings() -> dict[str, tuple[float, float]]:
    return {row.key: (row["value"], row["spread"]) for row in _rows()}


def _rows() -> tables.Table:
    return tables.load("soil_observations", required=("meaning", "value", "spread", "unit"))


@dataclass(frozen=True, slots=True)
class Grade:
    """What one grade of a test by hand says: a log-normal about the centre of one property.

    Attributes
    ----------
    label : str
        What was seen, in words.
    about : str
        "clay" or "plasticity_index".
    centre : float
        Middle of what it says. [-]
    log_spread : float
        Standard deviation of its logarithm. [-]
    """

    label: str
    about: str
    centre: float
    log_spread: float


@cache
def feel_grades() -> Mapping[tuple[str, str], Grade]:
    """Every grade of every test by hand, by test and grade.

    >>> feel_grades()["thread", "to_3mm"].label
    'rolls to 3 mm, then breaks'
    """
    rows = [row for row in _rows() if "grade" in row.columns]
    return MappingProxyType(
        {(row["test"], row["grade"]): Grade(row["label"], row["about"], row["value"], row["spread"]) for row in rows}
    )
