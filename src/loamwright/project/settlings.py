"""Hydrometer and pipette worked out: each reading as a size and a share of what was in the cylinder, with its working."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from loamwright import tables
from loamwright.engine.soil import hydrometer
from loamwright.engine.soil import sedimentation_tests as tests
from loamwright.engine.soil.grading_curve import checked_curve
from loamwright.engine.soil.settling import (
    GRAVITY,
    settled_diameter,
    water_density,
    water_viscosity,
)
from loamwright.errors import InputError, Note
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Given, as_typed, given, number, typed
from loamwright.project.grains import grain_density
from loamwright.project.state import Fact, State

Input = Given | Finding


@dataclass(frozen=True, slots=True)
class Read:
    """One reading worked out; size, corrected reading and share are None where something is in the way.

    Attributes
    ----------
    minutes : float
        Since the cylinder was set down. [min]
    size : Finding or None
        Grain that has just fallen past the depth. [mm]
    finer : Finding or None
        Share of what was in the cylinder that is finer. [-]
    corrected : float or None
        Corrected reading; None for a pipette. [-]
    """

    minutes: float
    size: Finding | None
    finer: Finding | None
    corrected: float | None = None


@dataclass(frozen=True, slots=True)
class Settled:
    """A sedimentation worked out.

    Attributes
    ----------
    points : tuple of (size, finer)
        Coarsest first. [mm], [-]
    of_whole : bool
        Whether the shares are of the whole soil already, as reported.
    cut : Given or None
        Sieve that the portion in the cylinder had passed. [mm]
    reads : tuple of Read
        Every reading in order of time; empty for reported sizes.
    notes : tuple of Note
    questions : tuple of Question
    fault : InputError or None
        What is in the way of any point.
    """

    points: tuple[tuple[Input, Input], ...]
    of_whole: bool = False
    cut: Given | None = None
    reads: tuple[Read, ...] = ()
    notes: tuple[Note, ...] = ()
    questions: tuple[Question, ...] = ()
    fault: InputError | None = None


@dataclass(frozen=True, slots=True)
class Cylinder:
    """What is the same for all readings of a test."""

    fact: Fact
    grains: Input
    dry_mass: Given
    volume: Given
    notes: tuple[Note, ...]


def settled(state: State, fact: Fact) -> Settled:
    """One hydrometer or pipette test worked out; what is in the way of it all is its `fault`."""
    found: Settled = state.memo(("settled", fact.id), lambda: _settled(state, fact))
    return found


def _settled(state: State, fact: Fact) -> Settled:
    try:
        found = _measured(state, fact) if _rows(fact) else _reported(fact)
        if found.points:
            checked_curve([number(size) for size, _ in found.points], [number(finer) for _, finer in found.points])
        return found
    except InputError as fault:
        return Settled((), fault=fault)


def _rows(fact: Fact) -> tuple[Mapping[str, Any], ...]:
    return tuple(fact.get("readings") or fact.get("samples") or ())


def _cut(fact: Fact) -> Given | None:
    return given(fact, "cut") if "cut" in fact.values else None


def _reported(fact: Fact) -> Settled:
    """Sizes and shares as a laboratory printed them."""
    if not fact.get("reported"):
        raise InputError("no_readings")
    if "reported_of" not in fact.values:
        raise InputError("reported_of_missing")
    rows = sorted(fact["reported"], key=lambda row: -row["size"].engine)
    points = tuple((typed(fact, row["size"]), typed(fact, row["finer"])) for row in rows)
    return Settled(points, fact["reported_of"] == "whole", _cut(fact))


def _measured(state: State, fact: Fact) -> Settled:
    cylinder = _cylinder(state, fact)
    read, notes = _reader(fact, cylinder)
    rows = sorted(_rows(fact), key=lambda row: row["after"].engine)
    if not any(_temperature(fact, row) for row in rows):
        raise InputError("temperature_missing")
    reads: list[Read] = []
    questions: list[Question] = []
    for row in rows:
        try:
            reads.append(read(row))
        except InputError as fault:
            reads.append(Read(row["after"].engine, None, None))
            questions.append(Question(fault.code, "shake", (fact.id,), "impossible", dict(fault.values)))
    points = tuple((each.size, each.finer) for each in reads if each.size is not None and each.finer is not None)
    return Settled(points, False, _cut(fact), tuple(reads), (*cylinder.notes, *notes), _once(questions))


def _once(questions: Iterable[Question]) -> tuple[Question, ...]:
    """One question of each kind: the first reading it is about stands for the others."""
    return tuple({each.code: each for each in reversed(list(questions))}.values())[::-1]


def _cylinder(state: State, fact: Fact) -> Cylinder:
    grains, notes = grain_density(state, fact)
    if "suspension_volume" in fact.values:
        value = state.volume(fact["suspension_volume"], state.at(fact))
        volume = Given(value, (fact.head,), as_typed(fact["suspension_volume"]))
    elif fact.kind == "hydrometer":
        volume = Given(tables.figure("grading", "suspension-volume"), source="astm-d422")
    else:
        raise InputError("needed", kind=fact.kind, field="suspension_volume", entry=fact.id)
    dry = given(fact, "dry_mass")
    return Cylinder(fact, grains, dry, volume, (*notes, *_thick(number(dry), number(volume))))


def _thick(dry_mass: float, volume: float) -> tuple[Note, ...]:
    most = tables.figure("grading", "suspension-most")
    concentration = dry_mass / volume if volume > 0 else 0.0
    return (Note("suspension_thick", {"grams": concentration, "most": most}),) if concentration > most else ()


def _reader(fact: Fact, cylinder: Cylinder) -> tuple[Callable[[Mapping[str, Any]], Read], tuple[Note, ...]]:
    """How one row of this test is read, and what was assumed for all of them."""
    if fact.kind == "pipette":
        volume = given(fact, "pipette_volume")
        agent = given(fact, "agent") if "agent" in fact.values else Given(0.0)
        notes = () if "agent" in fact.values else (Note("agent_not_weighed"),)
        return lambda row: _by_pipette(cylinder, row, volume, agent), notes
    if "instrument" not in fact.values:
        raise InputError("needed", kind=fact.kind, field="instrument", entry=fact.id)
    if "blank" not in fact.values:
        raise InputError("blank_missing")
    notes = () if "meniscus" in fact.values else (Note("meniscus_not_given"),)
    by = _by_152h if fact["instrument"] == "152h" else _by_151h
    return lambda row: by(cylinder, row), notes


def _temperature(fact: Fact, row: Mapping[str, Any]) -> Given | None:
    if "temperature" in row:
        return typed(fact, row["temperature"])
    return given(fact, "temperature") if "temperature" in fact.values else None


def _known_temperature(fact: Fact, row: Mapping[str, Any]) -> Given:
    found = _temperature(fact, row)
    if found is None:
        raise InputError("temperature_missing")
    return found


def _density(temperature: float) -> Given:
    return Given(float(water_density(temperature)), source="astm-d7928")


def _size(cylinder: Cylinder, row: Mapping[str, Any], depth: Input, temperature: float) -> Finding:
    """The grain that has just fallen past a depth."""
    grains, after = number(cylinder.grains), typed(cylinder.fact, row["after"])
    value = settled_diameter(number(depth), minutes=number(after), temperature=temperature, grain_density=grains)
    factor = Finding(
        hydrometer.DIAMETER_FACTOR,
        float(hydrometer.diameter_factor(temperature, grain_density=grains)),
        {
            "mu": Given(float(water_viscosity(temperature)), source="iapws-sr6"),
            "rho_s": cylinder.grains,
            "rho_w": _density(temperature),
            "g": Given(GRAVITY),
        },
    )
    return Finding(hydrometer.SETTLED_DIAMETER, float(value), {"K": factor, "z": depth, "t": after})


def _meniscus(fact: Fact) -> Given:
    return Given(fact["meniscus"].number, (fact.head,), fact["meniscus"].typed) if "meniscus" in fact.values else Given(0.0)


def _corrected(fact: Fact, row: Mapping[str, Any], temperature: float, unit: float) -> Finding:
    """Reading freed of dispersant, meniscus and temperature: the blank has all three in it, at its own temperature."""
    reading, blank = typed(fact, row["reading"]), typed(fact, fact["blank"])
    warmer = _warmer(fact, temperature, unit)
    value = hydrometer.corrected_reading(number(reading), blank_reading=number(blank), temperature_correction=number(warmer))
    return Finding(hydrometer.CORRECTED_READING, float(value), {"R": reading, "F_T": warmer, "F_z": blank})


def _warmer(fact: Fact, temperature: float, unit: float) -> Input:
    if "temperature_correction" in fact.values:
        return typed(fact, fact["temperature_correction"])
    at = fact.number("blank_temperature")
    if at is None or at == temperature:
        return Given(0.0)
    value = float(hydrometer.temperature_correction(temperature, reference_temperature=at, density_per_unit=unit))
    inputs = {"rho_ref": _density(at), "rho_T": _density(temperature), "u": Given(unit)}
    return Finding(hydrometer.TEMPERATURE_CORRECTION, value, inputs)


def _by_152h(cylinder: Cylinder, row: Mapping[str, Any]) -> Read:
    fact, degrees = cylinder.fact, number(_known_temperature(cylinder.fact, row))
    reading, meniscus = typed(fact, row["reading"]), _meniscus(fact)
    value = float(hydrometer.effective_depth_152h(number(reading), meniscus=number(meniscus)))
    depth = Finding(hydrometer.DEPTH_152H, value, {"R": reading, "c_m": meniscus})
    corrected = _corrected(fact, row, degrees, hydrometer.DENSITY_PER_UNIT_152H)
    grains = number(cylinder.grains)
    finer = tests.finer_by_152h(
        corrected.value, grain_density=grains, dry_mass=number(cylinder.dry_mass), suspension_volume=number(cylinder.volume)
    )
    factor = Finding(
        hydrometer.CORRECTION_FACTOR, float(hydrometer.hydrometer_correction_factor(grains)), {"rho_s": cylinder.grains}
    )
    inputs: dict[str, Input] = {"a": factor, "R_c": corrected, "V": cylinder.volume, "m_dry": cylinder.dry_mass}
    share = Finding(tests.FINER_152H, float(finer), inputs)
    return Read(row["after"].engine, _size(cylinder, row, depth, degrees), share, corrected.value)


def _by_151h(cylinder: Cylinder, row: Mapping[str, Any]) -> Read:
    fact, degrees = cylinder.fact, number(_known_temperature(cylinder.fact, row))
    reading, meniscus = typed(fact, row["reading"]), _meniscus(fact)
    value = float(hydrometer.effective_depth_151h(number(reading), meniscus=number(meniscus)))
    depth = Finding(hydrometer.DEPTH_151H, value, {"R": reading, "c_m": meniscus})
    scale_water = _density(hydrometer.SCALE_TEMPERATURE)
    corrected = _corrected(fact, row, degrees, number(scale_water))
    finer = tests.finer_by_151h(
        corrected.value,
        temperature=degrees,
        grain_density=number(cylinder.grains),
        dry_mass=number(cylinder.dry_mass),
        suspension_volume=number(cylinder.volume),
    )
    inputs: dict[str, Input] = {
        "rho_20": scale_water,
        "R_c": corrected,
        "rho_s": cylinder.grains,
        "rho_w": _density(degrees),
        "V": cylinder.volume,
        "m_dry": cylinder.dry_mass,
    }
    share = Finding(tests.FINER_151H, float(finer), inputs)
    return Read(row["after"].engine, _size(cylinder, row, depth, degrees), share, corrected.value)


def _by_pipette(cylinder: Cylinder, row: Mapping[str, Any], volume: Given, agent: Given) -> Read:
    fact, degrees = cylinder.fact, number(_known_temperature(cylinder.fact, row))
    residue = typed(fact, row["residue"])
    finer = tests.finer_by_pipette(
        number(residue),
        agent_mass=number(agent),
        pipette_volume=number(volume),
        dry_mass=number(cylinder.dry_mass),
        suspension_volume=number(cylinder.volume),
    )
    inputs = {"m_r": residue, "m_a": agent, "v": volume, "V": cylinder.volume, "m_dry": cylinder.dry_mass}
    share = Finding(tests.FINER_BY_PIPETTE, float(finer), inputs)
    return Read(row["after"].engine, _size(cylinder, row, typed(fact, row["depth"]), degrees), share)
