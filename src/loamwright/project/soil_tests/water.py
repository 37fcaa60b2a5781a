"""Water in the soil by oven, how loosely it lies, how damp sand bulks, how heavy its grains are."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from loamwright import tables
from loamwright.engine.bench import density, moisture
from loamwright.engine.soil import water_tests
from loamwright.errors import InputError, Note, check_between, check_positive
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.dig import last_moisture, moisture_or_usual, seen_stops
from loamwright.project.finding import Finding, Given, Result, Withheld, as_typed, attempt, given, number, typed
from loamwright.project.grains import density_of, specific_gravity
from loamwright.project.state import Fact, State
from loamwright.project.worked import Column, KindOfTest, Table, Told, Worked, faults_asked

Input = Given | Finding

MEAN_FILLED = Formula("filled_mass", "m", "kg", "mean(m_each)", {"m_each": Term("filled_mass", "kg")}, "practice-struck-pail")
LOOSE_AS_REPORTED = Formula(
    "loose_dry_density", "rho_l", "kg/m3", "rho", {"rho": Term("loose_dry_density", "kg/m3")}, "derivation-phases"
)
TAMPED = Formula(
    "tamped_dry_density",
    "rho_t",
    "kg/m3",
    density.LOOSE_DRY_DENSITY.expression,
    density.LOOSE_DRY_DENSITY.terms,
    "practice-struck-pail",
)
TAMPED_AS_REPORTED = Formula(
    "tamped_dry_density", "rho_t", "kg/m3", "rho", {"rho": Term("tamped_dry_density", "kg/m3")}, "derivation-phases"
)
WATER_AS_REPORTED = Formula("water_content", "w", "1", "w_r", {"w_r": Term("water_content", "1")}, "derivation-phases")
GRAINS_AS_REPORTED = Formula(
    "grain_density", "rho_s", "kg/m3", "rho", {"rho": Term("grain_density", "kg/m3")}, "derivation-phases"
)


def limit(key: str) -> float:
    """One figure of data/soil_water.toml, in the unit of its row."""
    return tables.figure("soil_water", key, required=("unit", "note"))


# --- water content by oven ---


def _oven(state: State, fact: Fact) -> Worked:
    if not fact.get("tins"):
        result = _taken(fact, "reported", WATER_AS_REPORTED)
        return Worked((Told("Water content", "share", result),), questions=faults_asked(fact, result))
    rows = fact["tins"]
    found = water_tests.tins(
        [row["wet"].engine for row in rows],
        dry_masses=[row["dry"].engine for row in rows],
        tare_masses=[_tare(row) for row in rows],
    )
    each = [_tin(fact, row, value) for row, value in zip(rows, found.water_contents.tolist(), strict=True)]
    mean = each[0] if len(each) == 1 else _mean_of_tins(each, found.mean)
    table = Table("Tins", (Column("Tin"), Column("Water content", "share")), tuple(enumerate(found.water_contents.tolist(), 1)))
    notes = (*_oven_notes(state, fact), *_sample_notes(fact, rows), *_dry_notes(fact, rows))
    return Worked((Told("Water content", "share", mean),), (table,), notes, questions=tuple(_apart(fact, found.apart)))


def _tare(row: Mapping[str, Any]) -> float:
    return row["tare"].engine if "tare" in row else 0.0


def _tin(fact: Fact, row: Mapping[str, Any], value: float) -> Finding:
    tare = typed(fact, row["tare"]) if "tare" in row else Given(0.0)
    inputs = {"m_wet": typed(fact, row["wet"]), "m_dry": typed(fact, row["dry"]), "m_tare": tare}
    return Finding(moisture.WATER_CONTENT, value, inputs)


def _mean_of_tins(each: Sequence[Finding], mean: float) -> Finding:
    entries = tuple(sorted({entry for finding in each for entry in finding.entries()}))
    values = Given(tuple(finding.value for finding in each), entries)
    return Finding(water_tests.MEAN_WATER_CONTENT, mean, {"w_i": values})


def _apart(fact: Fact, apart: float | None) -> Iterator[Question]:
    most = limit("tins-apart-most")
    if apart is not None and apart > most:
        yield Question("tins_apart", "shake", (fact.id,), "unlikely", {"apart": apart, "most": most})


def _oven_notes(state: State, fact: Fact) -> Iterator[Note]:
    """Whether the oven was as hot as this soil asks for."""
    degrees = fact.number("oven")
    if degrees is None:
        yield Note("oven_not_said")
        return
    gentle = limit("gentle-most")
    tender = {"crystals", "smell"} & set(seen_stops(state, fact["source"]))
    if tender and degrees > gentle:
        yield Note("oven_too_hot_for_soil", {"degrees": degrees, "gentle": gentle})
    elif not tender and degrees < limit("oven-least"):
        yield Note("oven_gentle" if degrees <= gentle else "oven_cool", {"degrees": degrees, "least": limit("oven-least")})
    elif degrees > limit("oven-most"):
        yield Note("oven_hot", {"degrees": degrees, "most": limit("oven-most")})


def _sample_notes(fact: Fact, rows: Sequence[Mapping[str, Any]]) -> Iterator[Note]:
    """Whether each tin held enough for its largest grains."""
    largest = fact.number("largest_size")
    if largest is None:
        return
    row = next((row for row in tables.load("moisture_samples") if row["largest_size"] >= largest), None)
    least = min(tin["wet"].engine - _tare(tin) for tin in rows)
    if row is not None and least < row["least_mass"]:
        values = {"mass": least, "least": row["least_mass"], "fine": row["least_mass_fine"], "largest": row["largest_size"]}
        yield Note("tin_small", values)


def _dry_notes(fact: Fact, rows: Sequence[Mapping[str, Any]]) -> Iterator[Note]:
    """Whether the tins were dry: two weighings, or a night in the oven."""
    weighed = [row for row in rows if "before" in row]
    hours = _hours(fact, "between")
    if weighed and hours is not None:
        rates = [
            float(water_tests.drying_rate(row["before"].engine, mass_after=row["dry"].engine, tare_mass=_tare(row), hours=hours))
            for row in weighed
        ]
        yield from _rate_notes(max(rates, key=abs))
    elif weighed:
        yield Note("between_not_said")
    elif (_hours(fact, "dried_for") or 0.0) < limit("overnight-least"):
        yield Note("constant_mass_not_shown", {"hours": limit("overnight-least")})


def _rate_notes(rate: float) -> Iterator[Note]:
    most = limit("constant-rate-most")
    if rate > most:
        yield Note("tin_not_dry", {"rate": rate, "most": most})
    elif rate < -most:
        yield Note("tin_rose", {"rate": -rate, "most": most})


def _hours(fact: Fact, name: str) -> float | None:
    minutes = fact.number(name)
    return None if minutes is None else minutes / 60.0


# --- loose and tamped density ---


def _bulk(state: State, fact: Fact) -> Worked:
    loose = _lying(state, fact, "loose", density.LOOSE_DRY_DENSITY, LOOSE_AS_REPORTED)
    tamped = _lying(state, fact, "tamped", TAMPED, TAMPED_AS_REPORTED)
    results = [Told("Loose, dry", "density", loose)] if loose else []
    results += [Told("Tamped, dry", "density", tamped)] if tamped else []
    if not results:
        raise InputError("no_values", quantity="loose")
    ratio = None
    if isinstance(loose, Finding) and isinstance(tamped, Finding):
        ratio = attempt("tamped_to_loose", (fact.id,), partial(_ratio, loose, tamped))
        results.append(Told("Tamped over loose", "", ratio))
    about = [each for each in (loose, tamped, ratio) if each is not None]
    return Worked(tuple(results), notes=tuple(_bulk_notes(fact)), questions=faults_asked(fact, *about))


def _bulk_notes(fact: Fact) -> Iterator[Note]:
    few = [name for name in ("loose", "tamped") if 0 < len(fact.get(name, ())) < density.USUAL_WEIGHINGS]
    if few:
        yield Note("fewer_than_three_weighings", {"count": min(len(fact[name]) for name in few)})


def _lying(state: State, fact: Fact, how: str, formula: Formula, reported: Formula) -> Result | None:
    """Dry density of the soil as it lies, loose or tamped; None where neither weighed nor reported."""
    if fact.get(how):
        return attempt(formula.name, (fact.id,), lambda: _of_measure(state, fact, how, formula))
    return _taken(fact, f"{how}_reported", reported) if f"{how}_reported" in fact.values else None


def _of_measure(state: State, fact: Fact, how: str, formula: Formula) -> Finding:
    if "volume" not in fact.values:
        raise InputError("needed", kind=fact.kind, field="volume", entry=fact.id)
    volume = state.volume(fact["volume"], state.at(fact))
    masses = tuple(amount.engine for amount in fact[how])
    mean = Finding(
        MEAN_FILLED,
        sum(masses) / len(masses),
        {"m_each": Given(masses, (fact.head,), "; ".join(amount.typed for amount in fact[how]))},
    )
    tare = given(fact, "tare") if "tare" in fact.values else Given(0.0)
    water: Input = given(fact, "moisture") if "moisture" in fact.values else _moisture(state, fact)
    value = density.loose_dry_density(mean.value, tare_mass=number(tare), pail_volume=volume, water_content=number(water))
    inputs: dict[str, Input] = {"m": mean, "m_tare": tare, "w": water, "V": Given(volume, (fact.head,), as_typed(fact["volume"]))}
    return Finding(formula, value, inputs)


def _moisture(state: State, fact: Fact) -> Finding:
    """The pan test in force then, else the newest oven test made by then, else the usual figure, which is said."""
    if isinstance(last_moisture(state, fact["source"], by=fact.at), Finding):
        return moisture_or_usual(state, fact["source"], by=fact.at)
    ovens = [test for test in state.where("oven_moisture", "source", fact["source"]) if test.at <= fact.at]
    for test in reversed(ovens):
        try:
            found = _oven(state, test).finding("water_content")
        except InputError:
            continue
        if found is not None:
            return found
    return moisture_or_usual(state, fact["source"], by=fact.at)


def _ratio(loose: Finding, tamped: Finding) -> Finding:
    value = water_tests.tamped_to_loose(tamped.value, loose_dry_density=loose.value)
    return Finding(water_tests.TAMPED_TO_LOOSE, float(value), {"rho_t": tamped, "rho_l": loose})


def _taken(fact: Fact, field: str, formula: Formula) -> Result:
    """A figure as a laboratory reported it."""

    def compute() -> Finding:
        value = fact.needed(field)
        if formula.unit == "1":
            check_between(0.0, moisture.LARGEST_WATER_CONTENT, **{formula.name: value})
        else:
            check_positive(**{formula.name: value})
        (symbol,) = formula.terms
        return Finding(formula, value, {symbol: given(fact, field)})

    return attempt(formula.name, (fact.id,), compute)


# --- bulking of damp sand ---


def _bulking(state: State, fact: Fact) -> Worked:
    found = attempt("bulking", (fact.id,), lambda: _bulks(fact))
    if isinstance(found, Withheld):
        return Worked((Told("Bulking", "share", found),), questions=faults_asked(fact, found))
    short = Finding(water_tests.SHORTFALL, float(water_tests.volume_shortfall(found.value)), {"b": found})
    told = (Told("Bulking", "share", found), Told("Missing from a pail of it", "share", short))
    says = (Note("bulking_says", {"factor": 1.0 + found.value, "short": short.value}),) if found.value > 0 else ()
    return Worked(told, says=says, questions=tuple(_bulks_much(fact, found.value)))


def _bulks(fact: Fact) -> Finding:
    value = water_tests.bulking(fact.needed("damp"), flooded_height=fact.needed("flooded"))
    return Finding(water_tests.BULKING, float(value), {"h_damp": given(fact, "damp"), "h_wet": given(fact, "flooded")})


def _bulks_much(fact: Fact, value: float) -> Iterator[Question]:
    most = limit("bulking-usual-most")
    if value > most:
        yield Question("bulking_strange", "shake", (fact.id,), "unlikely", {"bulking": value, "most": most})


# --- density of the grains ---


def _pycnometer(state: State, fact: Fact) -> Worked:
    if "reported" in fact.values:
        result = _taken(fact, "reported", GRAINS_AS_REPORTED)
        return Worked((Told("Density of the grains", "density", result),), questions=faults_asked(fact, result))
    gravity = attempt("specific_gravity", (fact.id,), lambda: specific_gravity(fact))
    if isinstance(gravity, Withheld):
        return Worked((Told("Specific gravity at 20 °C", "", gravity),), questions=faults_asked(fact, gravity))
    told = (
        Told("Specific gravity at 20 °C", "", gravity),
        Told("Density of the grains", "density", density_of(gravity)),
    )
    notes = () if "filled_at" in fact.values else (Note("filled_at_same_temperature"),)
    return Worked(told, notes=notes, questions=tuple(_gravity_strange(fact, gravity.value)))


def _gravity_strange(fact: Fact, value: float) -> Iterator[Question]:
    least, most = limit("gravity-least"), limit("gravity-most")
    if not least <= value <= most:
        values = {"gravity": value, "least": least, "most": most}
        yield Question("gravity_strange", "shake", (fact.id,), "unlikely", values)


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("oven_moisture", "source", _oven),
    KindOfTest("bulk_density", "source", _bulk),
    KindOfTest("bulking", "source", _bulking),
    KindOfTest("pycnometer", "source", _pycnometer),
)
