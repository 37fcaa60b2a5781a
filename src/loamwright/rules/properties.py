"""What a rule can ask of: properties with their subject and quantity, and the units that only rules write."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from loamwright import tables, units
from loamwright.errors import InputError
from loamwright.units import Unit

OF_CLASS = "pct_of_class"
"""A limit given as per cent of the mean that the declared grade asks for."""

MIX_SUBJECTS = ("block", "mix")
"""What a verdict on a mix is about; soil, lot, wall and air are asked apart."""


@dataclass(frozen=True, slots=True)
class Property:
    """One property a clause can be about.

    Attributes
    ----------
    key : str
        Its name in rule files.
    subject : str
        What it is measured on: "block", "mix", "soil", "lot", "wall", "cement" or "air".
    quantity : str
        What its numbers are, as in the unit files.
    finding : str
        Glossary name of the result of a test that shows it; empty where no test of the product does.
    condition : str
        The condition it is always measured in, such as "spray"; empty where there are several or none.
    """

    key: str
    subject: str
    quantity: str
    finding: str
    condition: str = ""


@cache
def properties() -> Mapping[str, Property]:
    """Every property by its key.

    >>> properties()["clay_content"].subject
    'soil'
    """
    rows = tables.load("rule_properties", required=("subject", "quantity"))
    return {
        row.key: Property(row.key, row["subject"], row["quantity"], row.get("finding", ""), row.get("condition", ""))
        for row in rows
    }


@cache
def _rule_units() -> Mapping[str, Unit]:
    rows = tables.load("rule_units", required=("quantity", "label", "factor"))
    return {row.key: Unit(row.key, row["quantity"], row["label"], row["factor"], 0.0) for row in rows}


def unit(key: str) -> Unit:
    """The unit with this key, of the product or of rules alone; `InputError` ("unknown_unit") where there is none.

    >>> unit("mg_kg").to_engine(3000.0)
    0.003
    """
    return _rule_units().get(key) or units.unit(key)


def units_like(key: str) -> tuple[Unit, ...]:
    """Every unit of the same quantity as this one, itself first; a share of a class stands alone.

    >>> [each.key for each in units_like("psi")][:2]
    ['psi', 'MPa']
    """
    if key == OF_CLASS:
        return ()
    own = unit(key)
    all_of_them = (*units.all_units().values(), *_rule_units().values())
    return (own, *(each for each in all_of_them if each.quantity == own.quantity and each.key != key))


def subject_of(name: str, stated: str | None = None) -> str:
    """What a property is measured on: as the rule file states it, else as the table has it.

    Raises
    ------
    InputError
        "rule_subject_missing" for a property that the table does not know and whose row names no subject.
    """
    if stated:
        return stated
    if name not in properties():
        raise InputError("rule_subject_missing", property=name)
    return properties()[name].subject
