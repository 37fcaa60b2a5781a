"""What the notebook says of blends and mixes before any statistics: parts, moisture, the dose as a share of the total."""

from collections.abc import Sequence

from loamwright.engine.bench import dose as dosing
from loamwright.engine.bench import moisture
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project import dig
from loamwright.project.finding import Finding, Given, once
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

BLEND_WATER = Formula(
    "water_content",
    "w",
    "1",
    "dot(m_share, w_each)",
    {"m_share": Term("mass_share", "1"), "w_each": Term("water_content", "1")},
    "derivation-phases",
)
DOSE_AS_GIVEN = Formula(
    "stabiliser_of_total", "p", "1", "p_given", {"p_given": Term("stabiliser_of_total", "1")}, "derivation-dose"
)


def parts_of(blend: Fact) -> dict[str, int]:
    """Whole parts by source of a blend; `InputError` ("parts_not_positive") for a part below one."""
    parts: dict[str, int] = {}
    for row in blend["parts"]:
        if row["parts"] < 1:
            raise InputError("parts_not_positive", source=row["source"], value=row["parts"])
        parts[row["source"]] = parts.get(row["source"], 0) + row["parts"]
    return parts


def mass_shares(state: State, blend: Fact) -> tuple[dict[str, float], tuple[Note, ...]]:
    """Dry mass share of each source of a blend; where masses are not known, parts are taken as equal in mass, with a note."""
    parts = parts_of(blend)
    known, notes = part_masses(state, sorted(parts), blend.id)
    masses = {source: count * known[source] for source, count in parts.items()}
    total = sum(masses.values())
    return {source: mass / total for source, mass in masses.items()}, notes


def part_masses(state: State, sources: Sequence[str], blend: str) -> tuple[dict[str, float], tuple[Note, ...]]:
    """Dry mass of one part of each source: of the one pail all were weighed in, else by loose density, else equal with a note."""
    weighed = [state.where("pail_weighing", "source", source) for source in sources]
    one_pail = all(weighed) and len({state.versions.entity(each[-1]["container"]) for each in weighed}) == 1
    found = {source: dig.pail_mass(state, source) if one_pail else dig.loose_density(state, source) for source in sources}
    known = {source: result.value for source, result in found.items() if isinstance(result, Finding)}
    if len(known) < len(sources):
        return dict.fromkeys(sources, 1.0), (Note("pails_not_weighed", {"blend": blend}),)
    return known, ()


def soil_moisture(state: State, blend: Fact, *, by: str = dig.ANY_TIME) -> Finding:
    """Water content of the blended soil as tested by a moment.

    Its own pan test rules, else its sources' last tests weighed by mass, else 3 %.
    """
    own = dig.last_moisture(state, blend.id, by=by)
    if isinstance(own, Finding):
        return own
    shares, notes = mass_shares(state, blend)
    each = {source: dig.moisture_or_usual(state, source, by=by) for source in sorted(shares)}
    value = sum(shares[source] * each[source].value for source in each)
    entries = tuple(sorted({entry for finding in each.values() for entry in finding.entries()}))
    stand_ins = tuple(note for finding in each.values() for note in finding.notes)
    return Finding(
        BLEND_WATER,
        value,
        {
            "m_share": Given(tuple(shares[source] for source in each)),
            "w_each": Given(tuple(finding.value for finding in each.values()), entries),
        },
        (*notes, *once(stand_ins)),
    )


def wanted_dose(mix: Fact) -> Finding:
    """The dose of a mix as a share of the total dry mix, whatever basis it was given in."""
    value = mix["dose"].engine
    said = Given(value, (mix.head,), mix["dose"].typed)
    if mix["basis"] == "of_dry_soil":
        return Finding(dosing.OF_TOTAL_FROM_DRY_SOIL, dosing.of_total_from_dry_soil(value), {"r": said})
    if not 0 <= value <= dosing.LARGEST_OF_TOTAL:
        raise InputError("out_of_range", quantity="stabiliser_of_total", value=value, least=0, most=dosing.LARGEST_OF_TOTAL)
    return Finding(DOSE_AS_GIVEN, value, {"p_given": said})


def dry_soil(moist: Finding | Given, water: Finding) -> Finding:
    """Dry mass of damp soil."""
    mass = moist.value if isinstance(moist.value, float) else sum(moist.value)
    return Finding(moisture.DRY_MASS, moisture.dry_mass(mass, water_content=water.value), {"m": moist, "w": water})


def loose_densities(state: State, mix: Fact) -> dict[str, float | None]:
    """Loose densities of stabiliser and blended soil for a dose by volume; None where one is not known."""
    found: dict[str, float | None] = {"stabiliser_loose_density": None, "soil_loose_density": None}
    if mix.get("stabiliser"):
        stabiliser = state.fact(mix["stabiliser"], "stabiliser")
        found["stabiliser_loose_density"] = stabiliser.number("loose_density") or judged(f"{stabiliser['type']}-loose-density")
    parts = parts_of(state.fact(mix["blend"], "blend"))
    densities = {source: dig.loose_density(state, source) for source in parts}
    known = {source: result.value for source, result in densities.items() if isinstance(result, Finding)}
    if len(known) == len(parts):
        found["soil_loose_density"] = sum(parts[source] * known[source] for source in parts) / sum(parts.values())
    return found
