"""Tests that may come next: what each looks at, how far off it is, what it costs (data/next_tests.toml)."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from loamwright import tables
from loamwright.engine.soil.priors import spread
from loamwright.engine.soil.properties import Property

Array = NDArray[np.float64]

HOURS_PER_DAY = 24.0


@dataclass(frozen=True, slots=True)
class Look:
    """One property a test looks at.

    Attributes
    ----------
    property : str
        Name of the property.
    error : float
        Standard deviation of the test's figure, or of its logarithm. [-]
    log : bool
        Whether the error is one of the logarithm.
    """

    property: str
    error: float
    log: bool

    def of(self, properties: Mapping[str, Property]) -> Array:
        """Draws of what the test would show without its error."""
        values = properties[self.property].values
        return np.log(values) if self.log else values


@dataclass(frozen=True, slots=True)
class ComingTest:
    """One test a person may make.

    Attributes
    ----------
    key, label : str
        Its key, and what to do in words.
    looks_at : tuple of Look
        What it looks at.
    hours : float
        Until its figure is there. [h]
    cost : float
        Effort and price, each a rank to 5, and days of waiting, added. [-]
    after, instead_of : str or None
        A test that must have been made before; a test that makes this one needless.
    """

    key: str
    label: str
    looks_at: tuple[Look, ...]
    hours: float
    cost: float
    after: str | None
    instead_of: str | None

    @property
    def by_hand(self) -> bool:
        """Whether it gives a grade rather than a figure: a hint, that settles nothing."""
        return all(look.log for look in self.looks_at)

    def fits(self, properties: Mapping[str, Property], done: frozenset[str]) -> bool:
        """Whether it can be made next: all it looks at is believed in, and what was made allows it."""
        known = all(look.property in properties for look in self.looks_at)
        allowed = self.after is None or self.after in done
        return known and allowed and self.key not in done and (self.instead_of is None or self.instead_of not in done)


@cache
def coming_tests() -> tuple[ComingTest, ...]:
    """All tests that may come next, in the order of the data file.

    >>> [each.key for each in coming_tests()][:3]
    ['guess', 'thread', 'ribbon']
    """
    rows = tables.load("next_tests", required=("label", "looks_at", "effort", "hours", "price"))
    return tuple(_test(row) for row in rows)


def _test(row: tables.Row) -> ComingTest:
    looks = tuple(Look(each["property"], spread(each["error"]), each["log"]) for each in row["looks_at"])
    cost = row["effort"] + row["price"] + row["hours"] / HOURS_PER_DAY
    return ComingTest(row.key, row["label"], looks, row["hours"], cost, row.get("after"), row.get("instead_of"))
