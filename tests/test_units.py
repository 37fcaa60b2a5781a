"""Every display unit against the units library pint, and conversions there and back."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright import units

ORACLE: pint.UnitRegistry[float] = pint.UnitRegistry()
# Engine units as pint writes them, and our keys where pint has another word. Gallon, quart and cup are the US liquid ones.
ENGINE = {
    "mass": "kg",
    "length": "mm",
    "volume": "m^3",
    "pressure": "MPa",
    "force": "kN",
    "density": "kg/m^3",
    "share": "dimensionless",
    "duration": "minute",
    "rate": "1/minute",
    "temperature": "degC",
}
WORDS = {
    "t": "metric_ton",
    "in": "inch",
    "ft": "foot",
    "mi": "mile",
    "l": "liter",
    "ml": "milliliter",
    "m3": "m^3",
    "gal": "gallon",
    "qt": "quart",
    "ft3": "foot^3",
    "yd3": "yard^3",
    "kgf_cm2": "kgf/cm^2",
    "kgf": "kilogram_force",
    "tf": "1000 * kilogram_force",
    "lbf": "pound_force",
    "kg_m3": "kg/m^3",
    "kg_l": "kg/liter",
    "lb_ft3": "pound/foot^3",
    "fraction": "dimensionless",
    "pct": "percent",
    "min": "minute",
    "s": "second",
    "h": "hour",
    "d": "day",
    "per_min": "1/minute",
    "per_h": "1/hour",
}
UNITS = list(units.all_units().values())
KEYS = [each.key for each in UNITS]


def by_pint(number: float, unit: units.Unit) -> float:
    word, engine = WORDS.get(unit.key, unit.key), ENGINE[unit.quantity]
    if unit.quantity == "temperature":
        return float(ORACLE.Quantity(number, word).to(engine).magnitude)
    return float((number * ORACLE(word)).to(engine).magnitude)


@pytest.mark.parametrize("unit", UNITS, ids=KEYS)
def test_a_unit_is_what_pint_says(unit: units.Unit) -> None:
    # 1e-12: both sides are exact definitions; what is left is the rounding of doubles.
    for number in (1.0, 37.5, 0.0):
        assert unit.to_engine(number) == pytest.approx(by_pint(number, unit), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("unit", UNITS, ids=KEYS)
@given(number=st.floats(-1e9, 1e9))
def test_there_and_back(unit: units.Unit, number: float) -> None:
    assert unit.from_engine(unit.to_engine(number)) == pytest.approx(number, rel=1e-12, abs=1e-9)


def test_every_quantity_has_one_engine_unit_and_no_label_twice() -> None:
    for quantity in ENGINE:
        found = units.units_of(quantity)
        assert [(each.factor, each.offset) for each in found].count((1.0, 0.0)) == 1, quantity
        assert len({each.label for each in found}) == len(found), quantity
    assert {each.quantity for each in UNITS} == set(ENGINE)


def test_known_figures() -> None:
    # NIST Handbook 44, appendix C: 1 lb = 0.453 592 37 kg, 1 in = 25.4 mm, 1 US gallon = 3.785 411 784 l (exact).
    assert units.unit("lb").to_engine(1) == 0.45359237
    assert units.unit("in").to_engine(1) == 25.4
    assert units.unit("gal").to_engine(1) == pytest.approx(3.785411784e-3, rel=1e-15)
    # 1 kgf = 9.80665 N by definition of standard gravity, so 1 kgf/cm2 = 0.0980665 MPa.
    assert units.unit("kgf_cm2").to_engine(1) == pytest.approx(0.0980665, rel=1e-15)
    # 32 °F is the ice point, 212 °F the steam point.
    assert units.unit("degF").to_engine(32) == pytest.approx(0.0, abs=1e-12)
    assert units.unit("degF").to_engine(212) == pytest.approx(100.0, rel=1e-12)


@given(st.integers(0, 10**6), st.integers(0, 999))
def test_a_comma_and_a_point_mean_the_same(whole: int, thousandths: int) -> None:
    assert units.parse_number(f"{whole},{thousandths:03d}") == units.parse_number(f"{whole}.{thousandths:03d}")


@given(st.integers(0, 1000), st.integers(0, 1000), st.integers(1, 64))
def test_fractions(whole: int, top: int, under: int) -> None:
    assert units.parse_number(f"{whole} {top}/{under}") == pytest.approx(whole + top / under, rel=1e-15)
