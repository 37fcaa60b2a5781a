"""Expansiveness by every published criterion, side by side: they disagree, and an average of them would mean nothing."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from loamwright import tables
from loamwright.errors import InputError, holds

GRADES = ("very_low", "low", "medium", "high", "very_high")
"""Names of the grades in their order; every criterion uses some of them."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one criterion says of one measured value.

    Attributes
    ----------
    criterion : str
        Key of its row in data/expansiveness.toml.
    document : str
        The document and table, in words; a message key.
    measure : str
        Glossary name of what it goes by.
    value : float
        What was measured. [-]
    grades : tuple of str
        Every grade whose range holds the value, from the lowest up: two where the ranges overlap, none outside the table.
    source, standing : str
        Where the criterion comes from and how its figures are known.
    """

    criterion: str
    document: str
    measure: str
    value: float
    grades: tuple[str, ...]
    source: str
    standing: str


@dataclass(frozen=True, slots=True)
class Expansiveness:
    """All criteria that what was measured allows.

    Attributes
    ----------
    verdicts : tuple of Verdict
        In the order of the data file.
    lowest, highest : str
        The mildest and the worst grade that any criterion allows; empty where none says anything.
    disagree : bool
        Whether no single grade is allowed by every criterion that says something.
    """

    verdicts: tuple[Verdict, ...]
    lowest: str
    highest: str
    disagree: bool


def expansiveness(measured: Mapping[str, float]) -> Expansiveness:
    """Grades by every published criterion whose measure is known; nothing is averaged.

    Parameters
    ----------
    measured : mapping of str to float
        By glossary name: free_swell_index, liquid_limit, plasticity_index, shrinkage_limit, expansion_index, colloids (grains
        under 0.001 mm), volume_change (from air-dry to wet), swell_potential. What else is in it is passed over. [-]

    Returns
    -------
    Expansiveness
        See its fields.

    Raises
    ------
    InputError
        "not_finite".

    References
    ----------
    [astm-d4829], [is-1498], [holtz-gibbs-1956], [chen-1975], [seed-1962]

    Examples
    --------
    >>> found = expansiveness({"plasticity_index": 0.27})
    >>> found.lowest, found.highest, found.disagree
    ('medium', 'high', True)
    >>> [(each.criterion, each.grades) for each in found.verdicts][:2]
    [('is_1498_index', ('high',)), ('holtz_gibbs_index', ('medium', 'high'))]
    """
    for name, value in measured.items():
        if not holds(abs(value) < float("inf")):
            raise InputError("not_finite", quantity=name)
    rows = [row for row in criteria() if row["measure"] in measured]
    verdicts = tuple(_verdict(row, measured[row["measure"]]) for row in rows)
    said = [{GRADES.index(grade) for grade in each.grades} for each in verdicts if each.grades]
    every = [rank for ranks in said for rank in ranks]
    shared = set.intersection(*said) if said else set()
    return Expansiveness(
        verdicts,
        GRADES[min(every)] if every else "",
        GRADES[max(every)] if every else "",
        bool(said) and not shared,
    )


def criteria() -> tables.Table:
    """Every published criterion, from data/expansiveness.toml.

    >>> len(criteria().rows) > 10
    True
    """
    return tables.load("expansiveness", required=("document", "measure", "classes"))


def _verdict(row: tables.Row, value: float) -> Verdict:
    read = float(f"{value:.9g}")  # a share computed from per cent may lie a billionth beside the edge it stands on
    if row.get("whole"):
        read = float(int(read + 0.5))
    grades = tuple(each["grade"] for each in row["classes"] if _holds(each, read))
    order = tuple(sorted(grades, key=GRADES.index))
    return Verdict(row.key, row["document"], row["measure"], value, order, row.source, row.standing)


def _holds(each: Mapping[str, Any], value: float) -> bool:
    """Whether a range holds a value: its lower edge counts, its upper one only where the row says so."""
    if each.get("to_included"):
        return bool(each["from"] <= value <= each["to"])
    return bool(each["from"] <= value < each["to"])
