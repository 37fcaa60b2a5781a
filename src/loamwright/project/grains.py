"""Density of a soil's grains: as typed with a test, from its own pycnometer, or the usual figure, which is then said."""

from loamwright import tables
from loamwright.engine.soil import water_tests
from loamwright.engine.soil.settling import water_density
from loamwright.errors import InputError, Note
from loamwright.project.finding import Finding, Given, given, number
from loamwright.project.state import Fact, State


def grain_density(state: State, fact: Fact) -> tuple[Given | Finding, tuple[Note, ...]]:
    """Density of the grains for a test of a soil, with a note where it is only usual. [kg/m³]"""
    if "grain_density" in fact.values:
        return given(fact, "grain_density"), ()
    own = newest_grain_density(state, fact["source"])
    if own is not None:
        return own, ()
    usual = tables.figure("grading", "grain-density-usual")
    return Given(usual, source="practice-grain-density"), (Note("grain_density_usual", {"density": usual}),)


def newest_grain_density(state: State, source: str) -> Given | Finding | None:
    """What the newest pycnometer test of a soil that can be computed with says, or None. [kg/m³]"""
    for fact in reversed(state.where("pycnometer", "source", source)):
        try:
            return of_pycnometer(fact)
        except InputError:
            continue
    return None


def of_pycnometer(fact: Fact) -> Given | Finding:
    """Density of the grains by one pycnometer test: as reported, or from its weighings."""
    return given(fact, "reported") if "reported" in fact.values else density_of(specific_gravity(fact))


def density_of(gravity: Finding) -> Finding:
    """Density of the grains from their specific gravity at 20 °C."""
    water = water_at(water_tests.REPORT_TEMPERATURE)
    inputs: dict[str, Given | Finding] = {"G_s": gravity, "rho_20": water}
    return Finding(water_tests.GRAIN_DENSITY, gravity.value * number(water), inputs)


def specific_gravity(fact: Fact) -> Finding:
    """Specific gravity at 20 °C from the weighings of a pycnometer.

    `InputError` "temperature_missing_pycnometer" without the temperature of the test: water's density hangs on it.
    """
    if "temperature" not in fact.values:
        raise InputError("temperature_missing_pycnometer")
    degrees = fact.needed("temperature")
    filled = _filled(fact, degrees)
    value = water_tests.specific_gravity(
        fact.needed("dry"),
        filled_pycnometer=number(filled),
        pycnometer_with_soil=fact.needed("with_soil"),
        temperature=degrees,
    )
    inputs: dict[str, Given | Finding] = {
        "m_s": given(fact, "dry"),
        "m_pw": filled,
        "m_pws": given(fact, "with_soil"),
        "rho_T": water_at(degrees),
        "rho_20": water_at(water_tests.REPORT_TEMPERATURE),
    }
    return Finding(water_tests.SPECIFIC_GRAVITY, float(value), inputs)


def _filled(fact: Fact, degrees: float) -> Given | Finding:
    """The bottle full of water as it would weigh at the temperature of the test."""
    at = fact.number("filled_at")
    if at is None or at == degrees:
        return given(fact, "filled")
    value = water_tests.filled_pycnometer(
        fact.needed("filled"), empty_pycnometer=fact.needed("empty"), calibrated_at=at, temperature=degrees
    )
    inputs: dict[str, Given | Finding] = {
        "m_c": given(fact, "filled"),
        "m_p": given(fact, "empty"),
        "rho_T": water_at(degrees),
        "rho_c": water_at(at),
    }
    return Finding(water_tests.PYCNOMETER_FILLED, float(value), inputs)


def water_at(temperature: float) -> Given:
    """Density of water at a temperature, as an input. [kg/m³]"""
    return Given(float(water_density(temperature)), source="astm-d7928")
