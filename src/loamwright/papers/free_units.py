"""Units as people write them at the head of a column: our own keys and labels first, other spellings by a kept units library."""

import re
from functools import cache
from typing import TYPE_CHECKING, Any

from loamwright import units
from loamwright.errors import InputError
from loamwright.units import Unit

if TYPE_CHECKING:
    import pint

_ENGINE = {
    "mass": "kilogram",
    "length": "millimeter",
    "volume": "meter**3",
    "pressure": "megapascal",
    "force": "kilonewton",
    "density": "kilogram/meter**3",
    "share": "dimensionless",
    "duration": "minute",
    "rate": "1/minute",
    "temperature": "degree_Celsius",
}
_LONGEST = 40
_TOWER = re.compile(r"\d\s*(\d|\*\*|\^)")


def read_unit(text: str, quantity: str) -> Unit:
    """The unit of ours that a text means.

    Raises
    ------
    InputError
        "unit_not_read" where nobody knows it, "unit_measures_other" where it measures something else, "unit_not_ours" where it
        is of the quantity but is none of ours: a number in it would have to be changed, and what was typed is kept as it was.

    Examples
    --------
    >>> [read_unit(text, "pressure").key for text in ("PSI", "N/mm^2", "megapascals")]
    ['psi', 'MPa', 'MPa']
    """
    listed = units.units_of(quantity)
    spoken = text.strip().casefold()
    for own in listed:
        if spoken in (own.key.casefold(), own.label.casefold()):
            return own
    allowed = ", ".join(own.label for own in listed)
    low, high = _in_engine(text, quantity, allowed)
    for own in listed:
        if _same(own.to_engine(0.0), low) and _same(own.to_engine(1.0), high):
            return own
    raise InputError("unit_not_ours", unit=text, allowed=allowed)


def _same(ours: float, theirs: float) -> bool:
    return abs(ours - theirs) <= 1e-9 * max(abs(ours), abs(theirs), 1e-12)


def _in_engine(text: str, quantity: str, allowed: str) -> tuple[float, float]:
    """0 and 1 of a spelled unit in the engine's unit."""
    import pint

    registry = _registry()
    try:
        spelled = registry.Unit(_checked(text, allowed).replace("²", "**2").replace("³", "**3").replace("^", "**"))
        engine = _ENGINE[quantity]
        return (
            float(registry.Quantity(0.0, spelled).to(engine).magnitude),
            float(registry.Quantity(1.0, spelled).to(engine).magnitude),
        )
    except pint.DimensionalityError:
        raise InputError("unit_measures_other", unit=text, allowed=allowed) from None
    except InputError:
        raise
    except Exception as fault:  # the library parses expressions and fails in many ways on what is none
        raise InputError("unit_not_read", unit=text[:_LONGEST], allowed=allowed) from fault


def _checked(text: str, allowed: str) -> str:
    """A text that is short and has no tower of powers in it, which the library would work out."""
    if len(text) > _LONGEST or _TOWER.search(text):
        raise InputError("unit_not_read", unit=text[:_LONGEST], allowed=allowed)
    return text.strip()


@cache
def _registry() -> "pint.UnitRegistry[Any]":
    import pint

    return pint.UnitRegistry()
