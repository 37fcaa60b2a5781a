"""Usual values and limits of questions, by key, read from data/judgements.toml."""

from functools import cache

from loamwright import tables


@cache
def judged(key: str) -> float:
    """One figure of judgement or common practice, in the unit of its row.

    >>> judged("strength-most")
    15.0
    """
    return tables.figure("judgements", key, required=("unit", "note"))
