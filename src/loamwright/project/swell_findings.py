"""Swelling of one soil as findings, and every measure of expansiveness that is known of it."""

from collections.abc import Callable, Iterator

from loamwright import tables
from loamwright.engine.soil import expansiveness, swelling
from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term
from loamwright.project.finding import Finding, Given, Result, attempt, given, number
from loamwright.project.limit_findings import index_of, limits_of, newest, pat, reported
from loamwright.project.state import Fact, State
from loamwright.project.worked import Column, Table

REPORTED_SWELL = Formula("free_swell_index", "F_S", "1", "F", {"F": Term("free_swell_index", "1")}, "laboratory-report")
REPORTED_EXPANSION = Formula("expansion_index", "E", "1", "E_r", {"E_r": Term("expansion_index", "1")}, "laboratory-report")
REPORTED_BLUE = Formula("methylene_blue_value", "V_BS", "1", "V", {"V": Term("methylene_blue_value", "1")}, "laboratory-report")
REPORTED_CHANGE = Formula("volume_change", "V_C", "1", "V", {"V": Term("volume_change", "1")}, "laboratory-report")
REPORTED_COLLOIDS = Formula("colloids", "C", "1", "c", {"c": Term("colloids", "1")}, "laboratory-report")
RING = 25.4
"""Height of the ring of an expansion test where nobody says otherwise: 1 in. [mm] [astm-d4829]"""
MOST_SWELL = 100.0
"""A share no swelling reaches: pure sodium bentonite goes to about 20. [-]"""


def figure(key: str) -> float:
    """One figure of data/soil_swelling.toml, in the unit of its row."""
    return tables.figure("soil_swelling", key, required=("unit", "note"))


def swell_index(state: State, fact: Fact) -> Result:
    """Free swell index: water against kerosene, or as reported."""
    return attempt("free_swell_index", (fact.id,), lambda: _swell_index(state, fact))


def _swell_index(state: State, fact: Fact) -> Finding:
    if "in_kerosene" not in fact.values:
        return _reported_swell(fact)
    water, oil = volume(state, fact, "in_water"), volume(state, fact, "in_kerosene")
    value = swelling.free_swell_index(number(water), volume_in_kerosene=number(oil))
    return Finding(swelling.FREE_SWELL_INDEX, value, {"V_d": water, "V_k": oil})


def _reported_swell(fact: Fact) -> Finding:
    value = fact.needed("reported")
    check_between(-1.0, MOST_SWELL, free_swell_index=value)  # kaolin settles closer in water than in kerosene
    return Finding(REPORTED_SWELL, value, {"F": given(fact, "reported")})


def powder_swell(state: State, fact: Fact) -> Result:
    """Free swell of powder poured into water."""

    def compute() -> Finding:
        water, poured = volume(state, fact, "in_water"), volume(state, fact, "poured")
        value = swelling.free_swell(number(water), poured_volume=number(poured))
        return Finding(swelling.FREE_SWELL, value, {"V": water, "V_0": poured})

    return attempt("free_swell", (fact.id,), compute)


def volume(state: State, fact: Fact, field: str) -> Given:
    """A volume, in fixed units or in a pail of the bench; `InputError` ("needed") where it was not given. [m³]"""
    if field not in fact.values:
        raise InputError("needed", kind=fact.kind, field=field, entry=fact.id)
    value = state.volume(fact[field], state.at(fact))
    return Given(value, (fact.head,), fact[field].typed)


def expansion(fact: Fact) -> Result:
    """Expansion index brought to half saturation where the saturation is known, else as read or as reported."""
    return attempt("expansion_index", (fact.id,), lambda: _expansion(fact))


def _expansion(fact: Fact) -> Finding:
    if "rise" not in fact.values:
        value = fact.needed("reported")
        check_between(0.0, 1000.0, expansion_index=value)
        return Finding(REPORTED_EXPANSION, value, {"E_r": given(fact, "reported")})
    height = given(fact, "height") if "height" in fact.values else Given(RING, source="astm-d4829")
    value = swelling.expansion_index(fact.needed("rise"), specimen_height=number(height))
    read = Finding(swelling.EXPANSION_INDEX, value, {"d": given(fact, "rise"), "h_0": height})
    saturation = fact.number("saturation")
    if saturation is None:
        return Finding(read.formula, read.value, read.inputs, (Note("expansion_not_half", {}),))
    corrected = swelling.expansion_index_at_half(value, saturation=saturation)
    return Finding(swelling.EXPANSION_INDEX_50, corrected, {"E": read, "S_r": given(fact, "saturation")})


def blue(state: State, fact: Fact) -> Result:
    """Methylene blue value of the whole soil."""
    return attempt("methylene_blue_value", (fact.id,), lambda: _blue(state, fact))


def _blue(state: State, fact: Fact) -> Finding:
    if "blue" not in fact.values:
        return reported(fact, REPORTED_BLUE, most=1.0)
    solution = volume(state, fact, "blue")
    strength = given(fact, "strength") if "strength" in fact.values else Given(figure("blue-concentration"), source="nf-p94-068")
    value = swelling.methylene_blue_value(number(solution), blue_concentration=number(strength), dry_mass=fact.needed("dry"))
    part = Finding(swelling.BLUE_VALUE, value, {"c": strength, "V": solution, "m_dry": given(fact, "dry")})
    if "tested" not in fact.values:
        return part
    whole = swelling.blue_of_whole(value, share_tested=fact.needed("tested"))
    return Finding(swelling.BLUE_OF_WHOLE, whole, {"V_B": part, "C": given(fact, "tested")})


def report_of(fact: Fact, field: str, formula: Formula) -> Result:
    """A share of a report on swelling."""
    most = 1.0 if field == "colloids" else MOST_SWELL
    return attempt(formula.name, (fact.id,), lambda: reported(fact, formula, field=field, most=most))


def potential(index: Finding) -> Finding:
    """Swell guessed from a plasticity index."""
    return Finding(swelling.SWELL_BY_PLASTICITY, swelling.swell_potential(index.value), {"I_p": index})


# --- every criterion, side by side ---


def measured(state: State, source: str) -> dict[str, Finding]:
    """What is known of a soil that some criterion of expansiveness goes by: the newest test of each, by glossary name."""
    return state.memo(("expansive", source), lambda: dict(_measured(state, source)))


def _measured(state: State, source: str) -> Iterator[tuple[str, Finding]]:
    limits = limits_of(state, source)
    index = index_of(limits)
    if limits.liquid is not None and not (index is not None and not isinstance(index, Finding)):
        yield "liquid_limit", limits.liquid  # two limits that cannot both be right grade nothing
    if isinstance(index, Finding):
        yield "plasticity_index", index
        yield "swell_potential", potential(index)
    finders: tuple[tuple[str, str, Callable[[Fact], Result]], ...] = (
        ("free_swell_index", "free_swell", lambda fact: swell_index(state, fact)),
        ("shrinkage_limit", "shrinkage_dish", lambda fact: pat(fact)[0]),
        ("expansion_index", "expansion_index", expansion),
        ("colloids", "swell_report", lambda fact: report_of(fact, "colloids", REPORTED_COLLOIDS)),
        ("volume_change", "swell_report", lambda fact: report_of(fact, "volume_change", REPORTED_CHANGE)),
    )
    for name, kind, find in finders:
        found = newest(state, kind, source, find)
        if found is not None:
            yield name, found


MEASURES = {
    "free_swell_index": "free swell index",
    "liquid_limit": "liquid limit",
    "plasticity_index": "plasticity index",
    "shrinkage_limit": "shrinkage limit",
    "swell_potential": "swell by plasticity index",
    "expansion_index": "expansion index",
    "colloids": "grains under 0.001 mm",
    "volume_change": "volume change from air-dry",
}
GRADES = {"very_low": "very low", "low": "low", "medium": "medium", "high": "high", "very_high": "very high"}
BETWEEN = {
    ("low", "medium"): "low or medium",
    ("medium", "high"): "medium or high",
    ("high", "very_high"): "high or very high",
    ("low", "medium", "high"): "low, medium or high",
    ("medium", "high", "very_high"): "medium, high or very high",
}


def graded(state: State, source: str) -> expansiveness.Expansiveness:
    """Every criterion that what is known of a soil allows."""
    return expansiveness.expansiveness({name: found.value for name, found in measured(state, source).items()})


def criteria_table(state: State, source: str) -> tuple[Table, ...]:
    """What each criterion says of a soil, one row each with its standing; nothing where no measure is known."""
    found = graded(state, source)
    if not found.verdicts:
        return ()
    columns = (
        Column("Criterion"),
        Column("Goes by"),
        Column("Found, % (index as it is)"),
        Column("Says"),
        Column("Its figures are"),
    )
    return (Table("Expansiveness by published criteria", columns, tuple(_row(each) for each in found.verdicts)),)


STANDINGS = {
    "document": "read in the document",
    "second-hand": "second-hand",
    "memory": "recalled, unverified",
    "common practice": "common practice",
    "judgement": "judgement",
    "derived": "derived",
}


def _row(each: expansiveness.Verdict) -> tuple[str | float, ...]:
    value = each.value if each.measure == "expansion_index" else 100.0 * each.value
    return (each.document, MEASURES[each.measure], value, in_words(each.grades), STANDINGS[each.standing])


def in_words(grades: tuple[str, ...]) -> str:
    """One grade, or the two of ranges that overlap; a message key."""
    if not grades:
        return "nothing: outside its table"
    return GRADES[grades[0]] if len(grades) == 1 else BETWEEN[grades]


def criteria_says(state: State, source: str) -> tuple[Note, ...]:
    """What all criteria together say: that they agree, how far they do not, and what that means for blocks."""
    found = graded(state, source)
    if not found.highest:
        return ()
    count = sum(1 for each in found.verdicts if each.grades)
    values = {"lowest": GRADES[found.lowest], "highest": GRADES[found.highest], "count": count}
    if count == 1:
        said = [Note("expansive_one", {"highest": GRADES[found.highest]})]
    elif found.disagree:
        said = [Note("expansive_disagree", values)]
    else:
        said = [Note("expansive_agree", values)]
    if expansiveness.GRADES.index(found.highest) >= expansiveness.GRADES.index("high"):
        said.append(Note("expansive_high", {}))
    return tuple(said)
