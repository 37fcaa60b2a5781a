"""Limits and shrinkage of one soil as findings: from trials, threads, bars and pats, or as a laboratory reported them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import log10
from typing import Any

from loamwright import tables
from loamwright.engine.bench import moisture
from loamwright.engine.soil import consistency, lines, liquid_limit, plasticity, shrinkage
from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.finding import Band, Finding, Given, Result, Withheld, as_typed, attempt, given, number
from loamwright.project.state import Fact, State

REPORTED_LIQUID = Formula("liquid_limit", "w_L", "1", "w", {"w": Term("liquid_limit", "1")}, "laboratory-report")
REPORTED_PLASTIC = Formula("plastic_limit", "w_P", "1", "w", {"w": Term("plastic_limit", "1")}, "laboratory-report")
REPORTED_SHRINKAGE = Formula("linear_shrinkage", "L_S", "1", "L", {"L": Term("linear_shrinkage", "1")}, "laboratory-report")
REPORTED_SHRINKAGE_LIMIT = Formula("shrinkage_limit", "w_S", "1", "w", {"w": Term("shrinkage_limit", "1")}, "laboratory-report")
MOULD, BOX = 140.0, 600.0
"""Length of a bar's mould and of the long box where nobody says otherwise. [mm] [bs-1377-2], [practice-shrinkage-box]"""


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of a table whose water content is known: their place (from 1), values and water; what kept the others out."""

    places: tuple[int, ...]
    rows: tuple[Mapping[str, Any], ...]
    waters: tuple[float, ...]
    questions: tuple[Question, ...]

    def column(self, name: str) -> tuple[float, ...]:
        """One column of the rows that count, in engine units."""
        return tuple(row[name].engine for row in self.rows)


def waters(fact: Fact, field: str, check: Callable[[Mapping[str, Any], float], None] = lambda row, water: None) -> Rows:
    """The rows of a field with their water content; one that cannot be computed with is asked about and spoils no other."""
    places, kept, found, asked = [], [], [], []
    for place, row in enumerate(fact.get(field, ()), 1):
        try:
            water = row_water(row, place=place)
            check(row, water)
        except InputError as fault:
            asked.append(Question(fault.code, "shake", (fact.id,), "impossible", {**fault.values, "row": place}))
            continue
        places.append(place)
        kept.append(row)
        found.append(water)
    return Rows(tuple(places), tuple(kept), tuple(found), tuple(asked))


def row_water(row: Mapping[str, Any], *, place: int) -> float:
    """Water content of one tin, as weighed or as it was given; `InputError` ("row_without_water") where neither is there."""
    if "wet" in row and "dry" in row:
        tare = row["tare"].engine if "tare" in row else 0.0
        return moisture.water_content(row["wet"].engine, dry_mass=row["dry"].engine, tare_mass=tare)
    if "water" not in row:
        raise InputError("row_without_water", row=place)
    water = float(row["water"].engine)
    check_between(0.0, plasticity.MOST, water_content=water)
    return water


def reported(fact: Fact, formula: Formula, *, field: str = "reported", most: float = plasticity.MOST) -> Finding:
    """A share as a laboratory reported it; `InputError` ("needed") where it is not there, "out_of_range" where it cannot be."""
    value = fact.needed(field)
    check_between(0.0, most, **{formula.name: value})
    (symbol,) = formula.terms
    return Finding(formula, value, {symbol: given(fact, field)})


# --- liquid limit ---


@dataclass(frozen=True, slots=True)
class Liquid:
    """A liquid limit with what it stands on.

    Attributes
    ----------
    limit : Finding or Withheld
    flow : Finding or None
        Flow index of the cup, where there is a curve.
    rows : Rows
        The trials.
    rising : tuple of float
        Blows of trials wetter than one with fewer blows, or penetrations (mm) of trials drier than a shallower one.
    """

    limit: Result
    flow: Finding | None
    rows: Rows
    rising: tuple[float, ...] = ()


def cup(fact: Fact) -> Liquid:
    """Liquid limit of the cup: by the flow curve, by one point, or as reported."""
    rows = waters(fact, "trials", lambda row, water: liquid_limit.check_blows(row["blows"].engine))
    if not fact.get("trials"):
        return Liquid(attempt("liquid_limit", (fact.id,), lambda: reported(fact, REPORTED_LIQUID)), None, rows)
    if len(rows.waters) == 1:
        return Liquid(attempt("liquid_limit", (fact.id,), lambda: _one_point(fact, rows)), None, rows)
    try:
        found = liquid_limit.liquid_limit_flow_curve(rows.waters, blows=rows.column("blows"))
    except InputError as fault:
        return Liquid(Withheld("liquid_limit", fault, (fact.id,)), None, rows)
    index = _flow_index(fact, rows, found)
    return Liquid(_flow_limit(fact, rows, found, index), index, rows, found.rising)


def _one_point(fact: Fact, rows: Rows) -> Finding:
    (blows,) = rows.column("blows")
    found = liquid_limit.liquid_limit_one_point(rows.waters[0], blows=blows)
    inputs = {"w": Given(rows.waters[0], (fact.head,)), "N": Given(blows, (fact.head,), f"{blows:g}")}
    return Finding(liquid_limit.ONE_POINT, found.liquid_limit, inputs, found.notes)


def _log_blows(rows: Rows) -> tuple[float, ...]:
    return tuple(log10(count) for count in rows.column("blows"))


def _flow_index(fact: Fact, rows: Rows, found: liquid_limit.FlowLimit) -> Finding:
    u = Given(lines.deviations(_log_blows(rows)), (fact.head,))
    v = Given(lines.deviations(rows.waters), (fact.head,))
    return Finding(liquid_limit.FLOW_INDEX, found.slope, {"u": u, "v": v})


def _flow_limit(fact: Fact, rows: Rows, found: liquid_limit.FlowLimit, index: Finding) -> Finding:
    entries = (fact.head,)
    inputs: dict[str, Given | Finding] = {
        "w_m": Given(_mean(rows.waters), entries),
        "F": index,
        "x_m": Given(_mean(_log_blows(rows)), entries),
    }
    return Finding(liquid_limit.LIQUID_LIMIT, found.liquid_limit, inputs, found.notes, _band(found))


def cone(fact: Fact) -> Liquid:
    """Liquid limit of the falling cone: by its line, or as reported."""
    rows = waters(fact, "trials", lambda row, water: liquid_limit.check_penetration(row["penetration"].engine))
    if not fact.get("trials"):
        return Liquid(attempt("liquid_limit", (fact.id,), lambda: reported(fact, REPORTED_LIQUID)), None, rows)
    try:
        found = liquid_limit.liquid_limit_cone(
            rows.waters, penetrations=rows.column("penetration"), cone=fact.get("cone", "80g_30deg")
        )
    except InputError as fault:
        return Liquid(Withheld("liquid_limit", fault, (fact.id,)), None, rows)
    return Liquid(_cone_limit(fact, rows, found), None, rows, found.rising)


def _cone_limit(fact: Fact, rows: Rows, found: liquid_limit.FlowLimit) -> Finding:
    depths, entries = rows.column("penetration"), (fact.head,)
    row = liquid_limit.fall_cone(fact.get("cone", "80g_30deg"))
    slope = Finding(
        liquid_limit.CONE_SLOPE,
        found.slope,
        {"u": Given(lines.deviations(depths), entries), "v": Given(lines.deviations(rows.waters), entries)},
    )
    inputs: dict[str, Given | Finding] = {
        "w_m": Given(_mean(rows.waters), entries),
        "b": slope,
        "d_L": Given(row["penetration"], source=row.source),
        "d_m": Given(_mean(depths), entries),
    }
    return Finding(liquid_limit.CONE_LIMIT, found.liquid_limit, inputs, found.notes, _band(found))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _band(found: liquid_limit.FlowLimit) -> Band | None:
    if found.half_width is None:
        return None
    low = max(0.0, found.liquid_limit - found.half_width)  # no soil holds less than no water
    return Band(low, found.liquid_limit + found.half_width, lines.SHARE)


# --- plastic limit and what follows from both ---


def threads(fact: Fact) -> tuple[Result, Rows]:
    """Plastic limit and the threads it stands on; withheld where none could be rolled."""
    rows = waters(fact, "threads")
    if fact.get("none_rolled"):
        return Withheld("plastic_limit", InputError("not_plastic"), (fact.id,)), rows
    if not fact.get("threads"):
        return attempt("plastic_limit", (fact.id,), lambda: reported(fact, REPORTED_PLASTIC)), rows
    return attempt("plastic_limit", (fact.id,), lambda: _threads(fact, rows)), rows


def _threads(fact: Fact, rows: Rows) -> Finding:
    found = consistency.plastic_limit_threads(rows.waters)
    return Finding(consistency.PLASTIC_LIMIT, found.plastic_limit, {"w": Given(rows.waters, (fact.head,))}, found.notes)


@dataclass(frozen=True, slots=True)
class Limits:
    """The limits of one soil that count now: each from its newest test, with the entity it comes from; None where unknown."""

    liquid: Finding | None = None
    liquid_from: str = ""
    plastic: Finding | None = None
    plastic_from: str = ""
    flow: Finding | None = None


def limits_of(state: State, source: str) -> Limits:
    """The newest liquid and plastic limit of a soil that can be computed with, over cup, cone, threads and reports."""
    return state.memo(("limits_of", source), lambda: _limits_of(state, source))


def _limits_of(state: State, source: str) -> Limits:
    facts = [
        fact for kind in ("cup_limit", "cone_limit", "plastic_threads", "limits") for fact in state.where(kind, "source", source)
    ]
    found = Limits()
    for fact in sorted(facts, key=state.at):
        found = _with(found, fact)
    return found


def _with(found: Limits, fact: Fact) -> Limits:
    if fact.kind == "cup_limit":
        return _with_liquid(found, fact, cup(fact))
    if fact.kind == "cone_limit":
        return _with_liquid(found, fact, cone(fact))
    if fact.kind == "plastic_threads":
        limit, _ = threads(fact)
        if isinstance(limit, Finding):
            return replace(found, plastic=limit, plastic_from=fact.id)
        return replace(found, plastic=None, plastic_from="") if fact.get("none_rolled") else found
    return _with_report(found, fact)


def _with_liquid(found: Limits, fact: Fact, liquid: Liquid) -> Limits:
    if not isinstance(liquid.limit, Finding):
        return found
    return replace(found, liquid=liquid.limit, liquid_from=fact.id, flow=liquid.flow)


def _with_report(found: Limits, fact: Fact) -> Limits:
    liquid = attempt("liquid_limit", (fact.id,), lambda: reported(fact, REPORTED_LIQUID, field="liquid_limit"))
    plastic = attempt("plastic_limit", (fact.id,), lambda: reported(fact, REPORTED_PLASTIC, field="plastic_limit"))
    if isinstance(liquid, Finding):
        found = replace(found, liquid=liquid, liquid_from=fact.id, flow=None)
    return replace(found, plastic=plastic, plastic_from=fact.id) if isinstance(plastic, Finding) else found


def index_of(found: Limits) -> Result | None:
    """Plasticity index of a soil whose limits are both known; withheld where the plastic one lies above the liquid one."""
    liquid, plastic = found.liquid, found.plastic
    if liquid is None or plastic is None:
        return None
    about = tuple(sorted({found.liquid_from, found.plastic_from}))

    def compute() -> Finding:
        if plastic.value > liquid.value:
            raise InputError("limits_swapped", liquid=liquid.value, plastic=plastic.value)
        value = plasticity.plasticity_index(liquid.value, plastic_limit=plastic.value)
        return Finding(plasticity.PLASTICITY_INDEX, value, {"w_L": liquid, "w_P": plastic})

    return attempt("plasticity_index", about, compute)


# --- shrinkage ---


def bar(fact: Fact) -> Result:
    """Linear shrinkage of a bar: straight, curved or in pieces."""
    return attempt("linear_shrinkage", (fact.id,), lambda: _bar(fact))


def _bar(fact: Fact) -> Finding:
    measured = {"dried", "top", "bottom", "pieces"} & fact.values.keys()
    if not measured:
        return reported(fact, REPORTED_SHRINKAGE, most=1.0)
    wet = given(fact, "mould") if "mould" in fact.values else Given(MOULD, source="bs-1377-2")
    dry = _bar_length(fact)
    value = shrinkage.linear_shrinkage(number(dry), wet_length=number(wet))
    return Finding(shrinkage.LINEAR_SHRINKAGE, value, {"l_dry": dry, "l_0": wet})


def _bar_length(fact: Fact) -> Given | Finding:
    """Pieces before curve before straight: the fuller reading rules."""
    if "pieces" in fact.values:
        lengths = tuple(amount.engine for amount in fact["pieces"])
        typed = "; ".join(as_typed(amount) for amount in fact["pieces"])
        value = shrinkage.pieces_length(lengths)
        return Finding(shrinkage.PIECES, value, {"l": Given(lengths, (fact.head,), typed)})
    if "top" in fact.values or "bottom" in fact.values:
        value = shrinkage.curved_bar_length(fact.needed("top"), bottom_length=fact.needed("bottom"))
        return Finding(shrinkage.CURVED_BAR, value, {"l_top": given(fact, "top"), "l_bottom": given(fact, "bottom")})
    return given(fact, "dried")


def box(fact: Fact) -> Result:
    """Linear shrinkage in the long box, cracks counted."""
    return attempt("linear_shrinkage", (fact.id,), lambda: _box(fact))


def box_length(fact: Fact) -> Given:
    """Inner length of the box, or the usual one."""
    return given(fact, "length") if "length" in fact.values else Given(BOX, source="practice-shrinkage-box")


def cracks(fact: Fact) -> tuple[float, ...]:
    """Widths of the cracks of a box. [mm]"""
    return tuple(amount.engine for amount in fact.get("cracks", ()))


def _box(fact: Fact) -> Finding:
    length = box_length(fact)
    value = shrinkage.box_shrinkage(fact.needed("gap"), crack_widths=cracks(fact), wet_length=number(length))
    inputs = {"g": given(fact, "gap"), "c": Given(cracks(fact), (fact.head,)), "l_0": length}
    return Finding(shrinkage.BOX_SHRINKAGE, value, inputs)


def pat(fact: Fact) -> tuple[Result, tuple[Finding, ...]]:
    """Shrinkage limit of a pat, with shrinkage ratio and volumetric shrinkage where it was measured."""
    if not {"wet", "dry", "wet_volume", "dry_volume"} & fact.values.keys():
        return attempt("shrinkage_limit", (fact.id,), lambda: reported(fact, REPORTED_SHRINKAGE_LIMIT)), ()
    try:
        return _pat(fact)
    except InputError as fault:
        return Withheld("shrinkage_limit", fault, (fact.id,)), ()


def _pat(fact: Fact) -> tuple[Finding, tuple[Finding, ...]]:
    found = shrinkage.shrinkage_limit(
        fact.needed("wet"),
        dry_mass=fact.needed("dry"),
        wet_volume=fact.needed("wet_volume"),
        dry_volume=fact.needed("dry_volume"),
    )
    symbols = {"m_wet": "wet", "m_dry": "dry", "V_wet": "wet_volume", "V_dry": "dry_volume"}
    readings = {symbol: given(fact, field) for symbol, field in symbols.items()}

    def finding(formula: Formula, value: float) -> Finding:
        return Finding(formula, value, {symbol: readings[symbol] for symbol in formula.terms})

    more = (
        finding(shrinkage.SHRINKAGE_RATIO, found.shrinkage_ratio),
        finding(shrinkage.VOLUMETRIC_SHRINKAGE, found.volumetric_shrinkage),
    )
    return finding(shrinkage.SHRINKAGE_LIMIT, found.shrinkage_limit), more


def newest(state: State, kind: str, source: str, find: Callable[[Fact], Result]) -> Finding | None:
    """The result of the newest test of a kind that can be computed with, or None."""
    for fact in reversed(state.where(kind, "source", source)):
        found = find(fact)
        if isinstance(found, Finding):
            return found
    return None


def figure(key: str) -> float:
    """One figure of data/soil_limits.toml, in the unit of its row."""
    return tables.figure("soil_limits", key, required=("unit", "note"))


def reported_beside(fact: Fact, result: Result, *, field: str = "reported") -> tuple[Note, ...]:
    """A note where readings and a report of the same test say different things; the readings are computed with."""
    value = fact.number(field)
    if value is None or not isinstance(result, Finding) or result.formula.source == "laboratory-report":
        return ()
    if abs(value - result.value) <= figure("reported-apart"):
        return ()
    return (Note("reported_differs", {"reported": value, "found": result.value}),)
