"""Water against density under a published effort or under the press: points, air, optimum by named forms, stones put back."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from loamwright import tables
from loamwright.engine.bench import phases, pressing
from loamwright.engine.soil import compaction, compaction_curve
from loamwright.engine.soil.lines import SHARE
from loamwright.errors import InputError, Note, check_between, check_positive
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.finding import Band, Finding, Given, Result, Withheld, attempt, given, number
from loamwright.project.grains import grain_density
from loamwright.project.ladder import press_of
from loamwright.project.limit_findings import row_water
from loamwright.project.state import Fact, State
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, faults_asked

GRAVITY = Formula(
    "specific_gravity",
    "G_s",
    "1",
    f"rho_s / {phases.WATER_DENSITY:.0f}",
    {"rho_s": Term("grain_density", "kg/m3")},
    "derivation-phases",
)
REPORTED_WATER = Formula("optimum_water_content", "w_o", "1", "w", {"w": Term("optimum_water_content", "1")}, "laboratory-report")
REPORTED_DENSITY = Formula(
    "most_dry_density", "rho_m", "kg/m3", "rho", {"rho": Term("most_dry_density", "kg/m3")}, "laboratory-report"
)
MOST_WATER = 2.0
"""No soil is compacted with more water than this. [-]"""
FORMS: Mapping[compaction_curve.Form, str] = {
    "parabola": "parabola of least squares",
    "cubic": "cubic of least squares",
    "highest_point": "the densest point itself",
}


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a curve: its place in the table (from 1), water content [-] and dry density. [kg/m³]"""

    place: int
    water: float
    density: float


def _compaction(state: State, fact: Fact) -> Worked:
    if not fact.get("points"):
        return _as_reported(fact)
    points, asked = _points(state, fact)
    gravity, own, notes = _gravity(state, fact)
    beyond = _beyond(points, gravity)
    kept = [point for point in points if not (own and point in beyond)]
    optimum, most = _peak(fact, kept)
    effort = _effort(state, fact)
    told = [Told("Optimum water content", "share", optimum), Told("Greatest dry density", "density", most)]
    told += _filled(fact, optimum, most, gravity)
    told += _of_whole(fact, optimum, most, gravity)
    told += [] if effort is None else [effort]
    results = [each.result for each in told]
    return Worked(
        tuple(told),
        (_points_table(points, gravity), *_forms_table(kept)),
        (*notes, *_notes(fact)),
        tuple(_says(fact, optimum)),
        (*asked, *faults_asked(fact, *results), *_impossible(fact, beyond, own)),
    )


def _as_reported(fact: Fact) -> Worked:
    told = [
        Told("Optimum water content", "share", attempt("optimum_water_content", (fact.id,), lambda: _reported_water(fact))),
        Told("Greatest dry density", "density", attempt("most_dry_density", (fact.id,), lambda: _reported_density(fact))),
    ]
    return Worked(tuple(told), notes=tuple(_notes(fact)), questions=faults_asked(fact, *(each.result for each in told)))


def _reported_water(fact: Fact) -> Finding:
    value = fact.needed("reported_water")
    check_between(0.0, MOST_WATER, optimum_water_content=value)
    return Finding(REPORTED_WATER, value, {"w": given(fact, "reported_water")})


def _reported_density(fact: Fact) -> Finding:
    value = fact.needed("reported_density")
    check_positive(most_dry_density=value)
    return Finding(REPORTED_DENSITY, value, {"rho": given(fact, "reported_density")})


# --- points ---


def _points(state: State, fact: Fact) -> tuple[list[Point], list[Question]]:
    """The points that can be computed with; what is wrong with each of the others is asked."""
    found, asked = [], []
    for place, row in enumerate(fact["points"], 1):
        try:
            water = row_water(row, place=place)
            density = _density(state, fact, row, water, place)
        except InputError as fault:
            asked.append(Question(fault.code, "shake", (fact.id,), "impossible", {**fault.values, "row": place}))
            continue
        found.append(Point(place, water, density))
    return found, asked


def _density(state: State, fact: Fact, row: Any, water: float, place: int) -> float:
    if "dry_density" in row:
        density = float(row["dry_density"].engine)
        check_positive(dry_density=density)
        return density
    if "filled" not in row:
        raise InputError("point_without_density", row=place)
    mass = row["filled"].engine - (fact.number("mould_mass") or 0.0)
    if mass <= 0.0:
        raise InputError("mould_not_filled", row=place, filled=float(row["filled"].engine))
    return phases.dry_density(mass / _volume(state, fact, row), water_content=water)


def _volume(state: State, fact: Fact, row: Any) -> float:
    """Volume of one point: the mould, or the block as the press made it. [m³]"""
    if fact["effort"] == "press" and "height" in row:
        press = press_of(state, fact)
        return pressing.block_volume(
            press.needed("mould_length"), block_width=press.needed("mould_width"), block_height=row["height"].engine
        )
    return number(_mould_volume(state, fact))


def _mould_volume(state: State, fact: Fact) -> Given:
    if "mould_volume" in fact.values:
        value = state.volume(fact["mould_volume"], state.at(fact))
        check_positive(mould_volume=value)
        return Given(value, (fact.head,), fact["mould_volume"].typed)
    if fact["effort"] in ("press", "other"):
        raise InputError("needed", kind=fact.kind, field="mould_volume", entry=fact.id)
    row = compaction.efforts()[fact["effort"]]
    return Given(row["mould_volume"], source=row.source)


def _gravity(state: State, fact: Fact) -> tuple[Finding, bool, tuple[Note, ...]]:
    """Specific gravity of the grains, whether it was measured, and the note where it was not."""
    density, notes = grain_density(state, fact)
    return Finding(GRAVITY, number(density) / phases.WATER_DENSITY, {"rho_s": density}), not notes, notes


def _beyond(points: Sequence[Point], gravity: Finding) -> list[Point]:
    """Points to the right of the zero-air-voids line."""
    places = compaction.impossible_points(
        [point.density for point in points],
        water_contents=[point.water for point in points],
        specific_gravity=gravity.value,
    )
    return [points[place] for place in places]


def _impossible(fact: Fact, beyond: Sequence[Point], own: bool) -> Iterator[Question]:
    """A point with less than no air cannot be; where the grains were not weighed, only the usual grains say so."""
    if beyond:
        values = {"points": tuple(point.place for point in beyond)}
        if own:
            yield Question("point_without_air", "shake", (fact.id,), "impossible", values)
        else:
            yield Question("point_without_air_perhaps", "shake", (fact.id,), "unlikely", values)


# --- the curve ---


def _peak(fact: Fact, points: Sequence[Point]) -> tuple[Result, Result]:
    """Optimum and greatest density by the parabola; the other forms stand beside it in a table."""
    about = (fact.id,)
    try:
        found = compaction_curve.compaction_peak(
            [point.density for point in points], water_contents=[point.water for point in points]
        )
    except InputError as fault:
        return Withheld("optimum_water_content", fault, about), Withheld("most_dry_density", fault, about)
    a, b, c = (Given(each, (fact.head,)) for each in found.coefficients)
    water = Finding(
        compaction_curve.OPTIMUM,
        found.optimum_water_content,
        {"b": b, "c": c},
        (Note("curve_by_parabola", {"points": len(points)}), *found.notes),
        _band(found.optimum_water_content, found.water_half_width),
    )
    most = Finding(
        compaction_curve.MOST,
        found.most_dry_density,
        {"a": a, "b": b, "c": c, "w_o": water},
        (),
        _band(found.most_dry_density, found.density_half_width),
    )
    return water, most


def _band(value: float, half: float | None) -> Band | None:
    return None if half is None else Band(max(0.0, value - half), value + half, SHARE)


def _forms_table(points: Sequence[Point]) -> Iterator[Table]:
    """What other readings of the same points say, so that nobody takes one form for the soil."""
    rows: list[tuple[Cell, ...]] = []
    for form, called in FORMS.items():
        try:
            found = compaction_curve.compaction_peak(
                [point.density for point in points],
                water_contents=[point.water for point in points],
                form=form,
            )
        except InputError:
            continue
        rows.append(
            (
                called,
                found.optimum_water_content,
                found.water_half_width,
                found.most_dry_density,
                found.density_half_width,
                found.residual_sd,
            )
        )
    columns = (
        Column("Read as"),
        Column("Optimum", "share"),
        Column("give or take", "share"),
        Column("Greatest dry density", "density"),
        Column("give or take", "density"),
        Column("Points off the curve by", "density"),
    )
    if rows:
        yield Table("The same points by three forms, 90 % either way", columns, tuple(rows))


def _points_table(points: Sequence[Point], gravity: Finding) -> Table:
    columns = (
        Column("Point"),
        Column("Water content", "share"),
        Column("Dry density", "density"),
        Column("Without any air", "density"),
        Column("Voids filled with water", "share"),
    )
    return Table("Points", columns, tuple(_point_row(point, gravity.value) for point in points))


def _point_row(point: Point, gravity: float) -> tuple[Cell, ...]:
    without_air = compaction.zero_air_density(point.water, specific_gravity=gravity)
    filled: float | None = None
    if point.density < phases.WATER_DENSITY * gravity:
        filled = compaction.water_filled(point.density, water_content=point.water, specific_gravity=gravity)
    return (str(point.place), point.water, point.density, without_air, filled)


def _filled(fact: Fact, optimum: Result, most: Result, gravity: Finding) -> Iterator[Told]:
    """How much of the voids the water fills at the top of the curve."""
    if not (isinstance(optimum, Finding) and isinstance(most, Finding)):
        return

    def compute() -> Finding:
        ratio = phases.void_ratio(most.value, specific_gravity=gravity.value)
        voids = Finding(phases.VOID_RATIO, ratio, {"G_s": gravity, "rho_d": most})
        value = phases.saturation(optimum.value, specific_gravity=gravity.value, void_ratio=ratio)
        return Finding(phases.SATURATION, value, {"w": optimum, "G_s": gravity, "e": voids})

    yield Told("Voids filled with water at the top", "share", attempt("saturation", (fact.id,), compute))


def _of_whole(fact: Fact, optimum: Result, most: Result, gravity: Finding) -> Iterator[Told]:
    """Optimum and density of the whole soil, stones put back in."""
    if "coarse" not in fact.values or not (isinstance(optimum, Finding) and isinstance(most, Finding)):
        return
    share = given(fact, "coarse")

    def water() -> Finding:
        own = "coarse_water" in fact.values
        stones = given(fact, "coarse_water") if own else Given(_figure("coarse-water"), source="judgement-compaction")
        value = compaction.corrected_water(optimum.value, coarse_share=number(share), coarse_water=number(stones))
        return Finding(compaction.CORRECTED_WATER, value, {"C": share, "w_f": optimum, "w_s": stones})

    def density() -> Finding:
        heavy: Finding = gravity
        if "coarse_density" in fact.values:
            stones = given(fact, "coarse_density")
            heavy = Finding(GRAVITY, number(stones) / phases.WATER_DENSITY, {"rho_s": stones})
        value = compaction.corrected_density(most.value, coarse_share=number(share), coarse_gravity=heavy.value)
        return Finding(compaction.CORRECTED_DENSITY, value, {"C": share, "rho_f": most, "G_c": heavy})

    yield Told("Optimum of the whole soil, stones in", "share", attempt("corrected_water", (fact.id,), water))
    yield Told("Greatest dry density, stones in", "density", attempt("corrected_density", (fact.id,), density))


# --- the effort ---


def _effort(state: State, fact: Fact) -> Told | None:
    """Work of the rammer, or pressure of the press where its gauge was read."""
    if fact["effort"] == "press":
        if "gauge" not in fact.values:
            return None
        return Told("Pressure on the soil", "pressure", attempt("soil_pressure", (fact.id,), lambda: _pressure(state, fact)))
    return Told("Work of the rammer, kJ/m³", "", attempt("compaction_effort", (fact.id,), lambda: _work(state, fact)))


def _pressure(state: State, fact: Fact) -> Finding:
    press = press_of(state, fact)
    cylinders, rod = float(press.get("cylinders") or 1), press.number("rod") or 0.0
    value = pressing.soil_pressure_from_gauge(
        fact.needed("gauge"),
        bore=press.needed("bore"),
        mould_length=press.needed("mould_length"),
        mould_width=press.needed("mould_width"),
        cylinders=int(cylinders),
        rod_diameter=rod,
    )
    inputs: dict[str, Given | Finding] = {
        "p_g": given(fact, "gauge"),
        "D": given(press, "bore"),
        "N": Given(cylinders, (press.head,)),
        "d": Given(rod, (press.head,)),
        "l": given(press, "mould_length"),
        "b": given(press, "mould_width"),
    }
    return Finding(pressing.SOIL_PRESSURE_FROM_GAUGE, value, inputs)


def _work(state: State, fact: Fact) -> Finding:
    inputs = {**_rammer(fact), "V": _mould_volume(state, fact)}
    values = {symbol: number(each) for symbol, each in inputs.items()}
    value = compaction.compaction_effort(
        values["m_r"], rammer_drop=values["h"], blows_per_layer=values["n_b"], layers=values["n_l"], mould_volume=values["V"]
    )
    return Finding(compaction.EFFORT, value, inputs)


def _rammer(fact: Fact) -> dict[str, Given | Finding]:
    if fact["effort"] != "other":
        row = compaction.efforts()[fact["effort"]]
        columns = {"m_r": "rammer_mass", "h": "drop", "n_b": "blows", "n_l": "layers"}
        return {symbol: Given(float(row[column]), source=row.source) for symbol, column in columns.items()}
    return {
        "m_r": given(fact, "rammer"),
        "h": given(fact, "drop"),
        "n_b": _counted(fact, "blows"),
        "n_l": _counted(fact, "layers"),
    }


def _counted(fact: Fact, field: str) -> Given:
    if field not in fact.values:
        raise InputError("needed", kind=fact.kind, field=field, entry=fact.id)
    return Given(float(fact[field]), (fact.head,), str(fact[field]))


def _notes(fact: Fact) -> Iterator[Note]:
    coarse, most = fact.number("coarse"), _figure("coarse-most")
    if coarse is not None and coarse > most:
        yield Note("stones_many", {"stones": coarse, "most": most})
    if fact["effort"] == "press" and "gauge" not in fact.values:
        yield Note("press_effort_unknown", {})


def _says(fact: Fact, optimum: Result) -> Iterator[Note]:
    if not isinstance(optimum, Finding):
        return
    if fact["effort"] == "press":
        yield Note("press_curve_says", {"water": optimum.value})
    else:
        yield Note("rammer_curve_says", {"water": optimum.value})


def _figure(key: str) -> float:
    return tables.figure("compaction", key, required=("unit", "note"))


TESTS: tuple[KindOfTest, ...] = (KindOfTest("compaction", "source", _compaction),)
