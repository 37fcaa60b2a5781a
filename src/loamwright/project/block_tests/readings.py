"""What all tests of blocks do with their readings: rows as inputs, reported figures, faults as questions, limits of methods."""

from collections.abc import Iterator, Mapping
from typing import Any

from loamwright import tables
from loamwright.errors import InputError, Note, check_between, check_not_negative
from loamwright.formula import Formula
from loamwright.project.finding import Finding, Result, attempt, given
from loamwright.project.state import Fact

Row = Mapping[str, Any]


def figure(key: str) -> float:
    """One figure of data/block_figures.toml, in the unit of its row."""
    return tables.figure("block_figures", key, required=("unit", "note"))


def wanted(fact: Fact, field: str) -> Any:
    """A field that this test cannot do without; `InputError` ("needed") where nothing was said."""
    if fact.get(field) is None:
        raise InputError("needed", kind=fact.kind, field=field, entry=fact.id)
    return fact[field]


def reported(fact: Fact, formula: Formula, field: str = "reported") -> Result:
    """A share as a laboratory reported it."""

    def compute() -> Finding:
        value = fact.needed(field)
        check_not_negative(**{formula.name: value})
        check_between(0.0, 1.0, **{formula.name: value})
        (symbol,) = formula.terms
        return Finding(formula, value, {symbol: given(fact, field)})

    return attempt(formula.name, (fact.id,), compute)


def other_than(fact: Fact, field: str, key: str, *, setting: str, share: float, shown: float = 1.0) -> Iterator[Note]:
    """A note where a setting was kept that lies further from the method's figure than a share of it.

    `setting` names it with the unit it is said in; `shown` turns the engine's unit into that one.
    """
    value = fact.number(field)
    method = figure(key)
    if value is not None and abs(value - method) > share * abs(method):
        yield Note("method_setting_other", {"setting": setting, "value": shown * value, "wanted": shown * method})
