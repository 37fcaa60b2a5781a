"""Whether a number can be a reading at all: slips of many powers of ten are kept and shown, and drown no sum."""

from collections.abc import Mapping
from functools import cache

from loamwright import tables, units
from loamwright.errors import InputError


@cache
def _ranges() -> Mapping[str, tuple[float, float]]:
    rows = tables.load("sense", required=("least", "most", "unit"))
    return {row.key: (row["least"], row["most"]) for row in rows}


def check_sense(quantity: str, engine: float, *, label: str, typed: str, unit: str) -> None:
    """Raise `InputError` ("beyond_sense") for a number outside the widest range of its quantity; zero is let through.

    Parameters
    ----------
    quantity : str
        A quantity of the units, or "count" for plain numbers and containers full.
    engine : float
        In the engine's unit; `least` and `most` are said in the unit it was typed in.
    label, typed, unit : str
        Of the field, for the sentence.

    Examples
    --------
    >>> check_sense("mass", 12.5, label="Wet", typed="12.5", unit="kg")
    >>> check_sense("mass", 1e308, label="Wet", typed="1e308", unit="kg")
    Traceback (most recent call last):
    loamwright.errors.InputError: beyond_sense: label='Wet', typed='1e308 kg', least='0.000001 kg', most='1,000,000,000 kg'
    """
    least, most = _ranges()[quantity]
    size = abs(engine)
    if least <= size <= most or size == 0:
        return
    known = units.all_units().get(unit)

    def told(value: float) -> str:
        back = value if known is None else known.from_engine(value)
        number = f"{float(f'{back:.3g}'):,.10f}".rstrip("0").rstrip(".")
        return f"{number} {'' if known is None else known.label}".strip()

    shown = typed if len(typed) <= 40 else f"{typed[:40]}…"
    whole = f"{shown} {'' if known is None else known.label}".strip()
    raise InputError("beyond_sense", label=label, typed=whole, least=told(least), most=told(most))


def check_year(day: str, *, label: str) -> None:
    """Raise `InputError` ("year_beyond_sense") for a day (its text) outside the years the work can be in."""
    least, most = _ranges()["year"]
    if not least <= int(day[:4]) <= most:
        raise InputError("year_beyond_sense", label=label, typed=day, least=f"{least:.0f}", most=f"{most:.0f}")
