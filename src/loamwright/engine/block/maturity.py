"""Age and warmth together: time-temperature sum and equivalent age of cement, degree-days of lime."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

from loamwright import tables
from loamwright.errors import InputError, check_not_negative
from loamwright.formula import Formula, Term

GAS_CONSTANT = 8.314462618e-3
"""Molar gas constant. [kJ/(mol K)]"""
ZERO_CELSIUS = 273.15
COLDEST, HOTTEST = -50.0, 90.0
"""Temperatures outside this are not of a curing block. [°C]"""

MATURITY = Formula(
    "maturity",
    "M",
    "degC d",
    "dot(dT, t)",
    {"dT": Term("warmth_above_datum", "degC"), "t": Term("days", "d")},
    "astm-c1074",
    "Nurse and Saul",
)
EQUIVALENT_AGE = Formula(
    "equivalent_age",
    "t_e",
    "d",
    "dot(f, t)",
    {"f": Term("age_factors", "1"), "t": Term("days", "d")},
    "astm-c1074",
    "Arrhenius",
)
DEGREE_DAYS = Formula(
    "degree_days",
    "D",
    "degC d",
    "dot(dT, t)",
    {"dT": Term("warmth_above_datum", "degC"), "t": Term("days", "d")},
    "practice-cold",
)


@dataclass(frozen=True, slots=True)
class Spell:
    """A stretch of time at one mean temperature. [d], [°C]"""

    days: float
    temperature: float

    def __post_init__(self) -> None:
        check_not_negative(days=self.days)
        if not COLDEST <= self.temperature <= HOTTEST:
            raise InputError("out_of_range", quantity="temperature", value=self.temperature, least=COLDEST, most=HOTTEST)


def warmth_above(spells: Sequence[Spell], *, datum: float) -> tuple[float, ...]:
    """Degrees above a datum in each spell; none below it, for nothing sets there.

    Parameters
    ----------
    spells : sequence of Spell
    datum : float
        Temperature at which setting stops. [°C]

    Returns
    -------
    tuple of float
        [°C]

    References
    ----------
    [astm-c1074]

    Examples
    --------
    >>> warmth_above([Spell(2.0, 18.0), Spell(5.0, -3.0)], datum=0.0)
    (18.0, 0.0)
    """
    return tuple(max(0.0, each.temperature - datum) for each in spells)


def maturity(spells: Sequence[Spell], *, stabiliser: str = "cement") -> float:
    """Time-temperature sum of a cement block, by Nurse and Saul.

    Parameters
    ----------
    spells : sequence of Spell
        Of the whole cure so far.
    stabiliser : str, optional
        With a row "maturity" in data/ageing.toml.

    Returns
    -------
    float
        [°C d]

    Raises
    ------
    InputError
        "unknown_stabiliser".

    References
    ----------
    [astm-c1074]

    Examples
    --------
    >>> maturity([Spell(7.0, 20.0), Spell(7.0, 10.0)])
    210.0
    """
    return _sum(spells, warmth_above(spells, datum=_row("maturity", stabiliser)["datum_degc"]))


def equivalent_age(spells: Sequence[Spell], *, stabiliser: str = "cement") -> float:
    """Age at the reference temperature that would have set the cement as far.

    Parameters
    ----------
    spells : sequence of Spell
        Of the whole cure so far.
    stabiliser : str, optional
        With a row "maturity" in data/ageing.toml.

    Returns
    -------
    float
        [d]

    Raises
    ------
    InputError
        "unknown_stabiliser".

    References
    ----------
    [astm-c1074]

    Examples
    --------
    >>> round(equivalent_age([Spell(28.0, 20.0)]), 6), round(equivalent_age([Spell(28.0, 5.0)]), 1)
    (28.0, 11.6)
    """
    return _sum(spells, age_factors(spells, stabiliser=stabiliser))


def age_factors(spells: Sequence[Spell], *, stabiliser: str = "cement") -> tuple[float, ...]:
    """How many days at the reference temperature one day of each spell is worth; none below the datum.

    >>> age_factors([Spell(1.0, 20.0), Spell(1.0, -5.0)])
    (1.0, 0.0)
    """
    row = _row("maturity", stabiliser)
    reference = row["reference_degc"] + ZERO_CELSIUS
    over_gas = row["activation_kj_mol"] / GAS_CONSTANT

    def factor(temperature: float) -> float:
        if temperature <= row["datum_degc"]:
            return 0.0
        return exp(-over_gas * (1.0 / (temperature + ZERO_CELSIUS) - 1.0 / reference))

    return tuple(factor(each.temperature) for each in spells)


def degree_days(spells: Sequence[Spell], *, stabiliser: str = "lime") -> float:
    """Warmth a lime block has had: degrees above the base times days.

    Parameters
    ----------
    spells : sequence of Spell
        Of the whole cure so far.
    stabiliser : str, optional
        With a row "degree_days" in data/ageing.toml.

    Returns
    -------
    float
        [°C d]

    Raises
    ------
    InputError
        "unknown_stabiliser".

    References
    ----------
    [practice-cold]

    Examples
    --------
    >>> degree_days([Spell(10.0, 15.0), Spell(10.0, 2.0)])
    100.0
    """
    return _sum(spells, warmth_above(spells, datum=_row("degree_days", stabiliser)["base_degc"]))


def _sum(spells: Sequence[Spell], factors: Sequence[float]) -> float:
    return sum(factor * each.days for factor, each in zip(factors, spells, strict=True))


def _row(kind: str, stabiliser: str) -> tables.Row:
    rows = [row for row in tables.load("ageing", required=("kind", "stabiliser", "note")) if row["kind"] == kind]
    for row in rows:
        if row["stabiliser"] == stabiliser:
            return row
    raise InputError("unknown_stabiliser", stabiliser=stabiliser, known=", ".join(row["stabiliser"] for row in rows))
