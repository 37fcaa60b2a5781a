"""Numbers, units, days and spans of time as people read them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from loamwright import units
from loamwright.notebook.fields import Amount
from loamwright.words.language import later, tr, trn

THIN = "\u202f"  # narrow, and never the end of a line
MINUS = "−"
_DEFAULTS: Mapping[str, str] = {
    "mass": "kg",
    "length": "mm",
    "pressure": "MPa",
    "volume": "l",
    "force": "kN",
    "density": "kg_m3",
    "share": "pct",
    "duration": "min",
    "temperature": "degC",
    "rate": "per_h",
}
SMALL = 1.0  # a length below one of its units is shown with two digits that say something
_FOLLOWS: Mapping[str, Mapping[str, str]] = {
    "lb": {"volume": "gal", "density": "lb_ft3", "force": "lbf", "temperature": "degF"},
    "kg": {},
}
_ENGINE_QUANTITY: Mapping[str, str] = {
    "kg": "mass",
    "mm": "length",
    "MPa": "pressure",
    "kN": "force",
    "kg/m3": "density",
    "m3": "volume",
    "degC": "temperature",
    "min": "duration",
}
_DIGITS: Mapping[str, int] = {
    "kg": 2, "g": 0, "t": 2, "lb": 2, "oz": 1, "mm": 0, "cm": 1, "m": 2, "km": 1, "in": 2, "ft": 2, "mi": 1,
    "MPa": 2, "kPa": 0, "psi": 0, "bar": 0, "kgf_cm2": 1, "kN": 1, "N": 0, "lbf": 0, "kgf": 0, "l": 1, "gal": 1,
    "kg_m3": 0, "kg_l": 3, "lb_ft3": 1, "ft3": 2, "pct": 1, "degC": 0, "degF": 0, "min": 0, "per_h": 0,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Shown:
    """The units a person chose to see, by quantity."""

    chosen: Mapping[str, str] = field(default_factory=dict)

    def unit(self, quantity: str) -> units.Unit:
        """The unit this quantity is shown in."""
        followed = _FOLLOWS.get(self.chosen.get("mass", "kg"), {})
        return units.unit(self.chosen.get(quantity) or followed.get(quantity) or _DEFAULTS[quantity])

    def value(self, engine_value: float, quantity: str, *, digits: int | None = None, unit: str = "") -> str:
        """A value of the engine with its unit, such as "2.45 MPa"; `unit` overrides the person's choice.

        >>> Shown({"pressure": "psi"}).value(2.0684, "pressure").replace(THIN, " ")
        '300 psi'
        """
        chosen = units.unit(unit) if unit else self.unit(quantity)
        shown = chosen.from_engine(engine_value)
        if digits is None and quantity == "length" and 0 < abs(shown) < SMALL:
            return with_unit(f"{shown:.2g}", chosen.label)  # a grain, not a block
        return with_unit(number(shown, _digits(chosen, digits)), chosen.label)

    def of_engine(self, engine_value: float, engine_unit: str, *, digits: int | None = None) -> str:
        """A value by the unit a formula carries ("kg", "MPa", "1"); shares and plain numbers as they are.

        >>> Shown().of_engine(0.0627, "1")
        '0.0627'
        """
        quantity = _ENGINE_QUANTITY.get(engine_unit)
        if quantity is None:
            text = f"{engine_value:.3g}" if digits is None else number(engine_value, digits)
            return text if engine_unit == "1" else with_unit(text, engine_unit)
        return self.value(engine_value, quantity, digits=digits)

    def band(self, low: float, high: float, quantity: str, *, digits: int | None = None) -> str:
        """A range with one unit, such as "11 to 19 %"."""
        chosen = self.unit(quantity)
        places = _digits(chosen, digits)
        low_text, high_text = (number(chosen.from_engine(end), places) for end in (low, high))
        ends = tr("{low} to {high}", low=low_text, high=high_text)
        return with_unit(ends, chosen.label)


def digits_of(unit: units.Unit) -> int:
    """Decimals a unit is shown with."""
    return _DIGITS.get(unit.key, 2)


def _digits(chosen: units.Unit, digits: int | None) -> int:
    return digits_of(chosen) if digits is None else digits


def number(value: float, digits: int) -> str:
    """A number with so many decimals; a true minus sign, never a "-0".

    >>> number(-0.001, 2), number(1234.5, 0)
    ('0.00', '1234')
    """
    if not math.isfinite(value):
        return tr("not a number")
    text = f"{value:.{digits}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return text.replace("-", MINUS)


def with_unit(text: str, label: str) -> str:
    """A number and its unit with a thin space between, so that they stay on one line."""
    return f"{text}{THIN}{label}" if label else text


def percent(share: float, digits: int = 1) -> str:
    """A share as a percentage, such as "6.3 %"."""
    return with_unit(number(100 * share, digits), "%")


def typed(amount: Amount) -> str:
    """A quantity as it was typed, with its unit."""
    return amount.typed if amount.unit == "1" or amount.container else with_unit(amount.typed, units.unit(amount.unit).label)


def to_step(value: float, step: float) -> str:
    """A value at the resolution of a scale, both in one unit: no more decimals than the scale shows.

    >>> to_step(1.4399, 0.005), to_step(23.2, 1.0)
    ('1.440', '23')
    """
    places = 0 if step >= 1 else max(0, -math.floor(math.log10(step) + 1e-9))
    return number(round(value / step) * step, places)


_MONTHS = (
    later("January"), later("February"), later("March"), later("April"), later("May"), later("June"),
    later("July"), later("August"), later("September"), later("October"), later("November"), later("December"),
)  # fmt: skip
_WEEKDAYS = (
    later("Monday"), later("Tuesday"), later("Wednesday"), later("Thursday"), later("Friday"), later("Saturday"), later("Sunday"),
)  # fmt: skip


def day(when: date, today: date | None = None) -> str:
    """A day as a person would say it: today, tomorrow, Thursday 4 March, 4 March 2027.

    >>> day(date(2026, 3, 5), date(2026, 3, 4)), day(date(2026, 4, 1), date(2026, 3, 4))
    ('tomorrow', '1 April')
    """
    month = tr(_MONTHS[when.month - 1])
    if today is not None:
        apart = (when - today).days
        if apart in (-1, 0, 1):
            return (tr("yesterday"), tr("today"), tr("tomorrow"))[apart + 1]
        if 1 < apart < 7:
            return tr("{weekday} {day} {month}", weekday=tr(_WEEKDAYS[when.weekday()]), day=when.day, month=month)
        if when.year == today.year:
            return tr("{day} {month}", day=when.day, month=month)
    return tr("{day} {month} {year}", day=when.day, month=month, year=when.year)


def span(minutes: float) -> str:
    """A span of time: 45 s, 12 min, 1 h 20 min, 3 d.

    >>> span(0.75), span(80), span(4320)
    ('45\\u202fs', '1\\u202fh 20\\u202fmin', '3\\u202fd')
    """
    if minutes < 1:
        return with_unit(f"{minutes * 60:.0f}", "s")
    if minutes < 60:
        return with_unit(f"{minutes:.0f}", "min")
    if minutes < 2880:
        hours, rest = divmod(round(minutes), 60)
        return with_unit(str(hours), "h") + (f" {with_unit(str(rest), 'min')}" if rest else "")
    return with_unit(f"{minutes / 1440:.0f}", "d")


def count(how_many: int, one: str, several: str = "") -> str:
    """A count with its noun: "1 block", "3 blocks".

    >>> count(1, "block"), count(3, "batch", "batches")
    ('1 block', '3 batches')
    """
    return trn(f"{{n}} {one}", f"{{n}} {several or one + 's'}", how_many)
