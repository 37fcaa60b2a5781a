"""Loads: from what a rig shows (its load, the gauge of a jack, a bucket on a lever) to the force on the block."""

from collections.abc import Mapping
from dataclasses import dataclass

from loamwright.engine.bench import pressing, strength
from loamwright.engine.bench.phases import STANDARD_GRAVITY
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term
from loamwright.project.blocks import check_gauge
from loamwright.project.finding import Finding, Given, given
from loamwright.project.state import Fact, State

READINGS = ("load", "gauge", "bucket")

LOAD_READ = Formula(
    "force", "F", "kN", "F_read * k", {"F_read": Term("force", "kN"), "k": Term("jack_factor", "1")}, "practice-jack"
)
LEVER_RATIO_FORCE = Formula(
    "force",
    "F",
    "kN",
    f"{STANDARD_GRAVITY} / 1000 * (r * W + c)",
    {"r": Term("lever_ratio", "1"), "W": Term("hung_mass", "kg"), "c": Term("lever_own", "kg")},
    "derivation-strength",
)


@dataclass(frozen=True, slots=True)
class Load:
    """The force on a block at failure.

    Attributes
    ----------
    value : Finding or Given
        Force. [kN]
    screening : bool
        From a jack nobody checked against a known load: it cannot meet a brief.
    notes : tuple of Note
        "rig_not_named".
    """

    value: Finding | Given
    screening: bool
    notes: tuple[Note, ...] = ()


def reading_of(fact: Fact) -> tuple[str, float] | None:
    """Which reading a test was kept with, and its number in the engine's unit; None where none was."""
    return next(((name, float(value)) for name in READINGS if (value := fact.number(name)) is not None), None)


def load(state: State, fact: Fact) -> Load:
    """Force of a crushing or bending test.

    Raises
    ------
    InputError
        "needed" where reading, rig or ram is missing; "gauge_absurd", "out_of_range", "negative", "not_positive".
    """
    read = reading_of(fact)
    if read is None:
        raise InputError("needed", kind=fact.kind, field="load", entry=fact.id)
    rig = state.fact(fact["rig"], "rig") if fact.get("rig") else None
    if read[0] == "load":
        return _direct(fact, rig)
    if rig is None:
        raise InputError("needed", kind=fact.kind, field="rig", entry=fact.id)
    return _jack(fact, rig) if read[0] == "gauge" else _lever(fact, rig)


def calibrated(rig: Fact) -> bool:
    """Whether a rig's load can be trusted: a jack needs a check against a known load."""
    return rig["how"] != "jack" or rig.get("calibration") is not None


def _factor(rig: Fact) -> tuple[float, Given, tuple[Note, ...]]:
    if rig.get("calibration") is not None:
        value = rig.needed("calibration")
        check_between(strength.LEAST_JACK_FACTOR, strength.MOST_JACK_FACTOR, jack_factor=value)
        return value, Given(value, (rig.head,), rig["calibration"].typed), ()
    value = strength.UNCALIBRATED_JACK_FACTOR
    return value, Given(value, source="practice-jack"), (Note("jack_not_calibrated", {"jack_factor": value}),)


def _direct(fact: Fact, rig: Fact | None) -> Load:
    check_not_negative(force=fact.needed("load"))
    read = given(fact, "load")
    if rig is None:
        return Load(read, False, (Note("rig_not_named"),))
    if calibrated(rig) and rig.get("calibration") is None:
        return Load(read, False)
    value, factor, notes = _factor(rig)
    found = Finding(LOAD_READ, fact.needed("load") * value, {"F_read": read, "k": factor}, notes)
    return Load(found, not calibrated(rig))


def _jack(fact: Fact, rig: Fact) -> Load:
    gauge, bore = fact.needed("gauge"), rig.needed("ram_bore")
    check_gauge(gauge)
    inputs: Mapping[str, Given] = {"D": given(rig, "ram_bore"), "N": Given(1.0), "d": Given(0.0)}
    area = Finding(pressing.CYLINDER_AREA, pressing.cylinder_area(bore), inputs)
    value, factor, notes = _factor(rig)
    force = strength.jack_force(gauge, ram_area=area.value, jack_factor=value)
    found = Finding(strength.JACK_FORCE, force, {"p_g": given(fact, "gauge"), "A_r": area, "k": factor}, notes)
    return Load(found, not calibrated(rig))


def _lever(fact: Fact, rig: Fact) -> Load:
    hung, ratio, own = fact.needed("bucket"), rig.needed("lever_ratio"), rig.number("lever_own") or 0.0
    check_not_negative(hung_mass=hung, lever_own=own)
    check_positive(lever_ratio=ratio)
    inputs = {
        "r": given(rig, "lever_ratio"),
        "W": given(fact, "bucket"),
        "c": given(rig, "lever_own") if "lever_own" in rig.values else Given(0.0),
    }
    notes = () if "lever_own" in rig.values else (Note("lever_own_left_out"),)
    return Load(Finding(LEVER_RATIO_FORCE, STANDARD_GRAVITY / 1000.0 * (ratio * hung + own), inputs, notes), False)
