"""Sulfate of a soil: what an extract shows, what it can never show, and whether the question of sulfate is still open."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from loamwright import tables
from loamwright.engine.soil import chemistry, salt_gates
from loamwright.engine.soil.salt_gates import Extract, Standing
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term
from loamwright.project.dig import seen_stops
from loamwright.project.finding import Finding, Given, given, number
from loamwright.project.state import Fact, State

Input = Given | Finding
Stand = Literal["open", "failed", "passed", "screened"]

IN_EXTRACT = Formula(
    "extract_concentration",
    "c",
    "kg/m3",
    "(c_e - c_w) / 1000",
    {"c_e": Term("extract_mg_l", "1"), "c_w": Term("water_mg_l", "1")},
    "derivation-salts",
)
AS_REPORTED = Formula("salt_of_soil", "s", "1", "x / 1000000", {"x": Term("salt_mg_kg", "1")}, "derivation-salts")
TRIOXIDE = Formula("trioxide_of_soil", "x", "1", "s", {"s": Term("salt_of_soil", "1")}, "derivation-salts")
SULFUR_AS_REPORTED = Formula("sulfur_of_soil", "x", "1", "x_r / 1000000", {"x_r": Term("salt_mg_kg", "1")}, "derivation-salts")
MG_PER_KG = 1e6
DISTILLED = Given(0.0)


def salt(fact: Fact) -> Finding:
    """Salt of dry soil from an extract, or as a laboratory reported it."""
    if "read_mg_l" in fact.values:
        return _of_extract(fact)
    value = fact.needed("reported_mg_kg")
    check_not_negative(reported_mg_kg=value)
    if value >= MG_PER_KG:
        raise InputError("more_salt_than_kilogram", value=value)
    return Finding(AS_REPORTED, value / MG_PER_KG, {"x": given(fact, "reported_mg_kg")})


def _of_extract(fact: Fact) -> Finding:
    read = fact.needed("read_mg_l")
    itself = given(fact, "in_water_mg_l") if "in_water_mg_l" in fact.values else DISTILLED
    check_not_negative(read_mg_l=read, in_water_mg_l=number(itself))
    if number(itself) > read:
        raise InputError("water_saltier_than_extract", read=read, water=number(itself))
    notes = () if itself is not DISTILLED else (Note("extract_water_not_tested"),)
    ratio = fact.needed("water_per_soil")
    check_positive(water_per_soil=ratio)
    held = Finding(IN_EXTRACT, (read - number(itself)) / 1000.0, {"c_e": given(fact, "read_mg_l"), "c_w": itself}, notes)
    value = float(chemistry.salt_of_soil(held.value, water_per_soil=ratio))
    return Finding(chemistry.SALT_OF_SOIL, value, {"c": held, "r": given(fact, "water_per_soil")})


def sulfate(fact: Fact) -> Finding:
    """Sulfate, SO4, of dry soil by one test."""
    found = salt(fact)
    if fact.get("read_as") != "so3":
        return found
    oxide = Finding(TRIOXIDE, found.value, {"s": found})
    return Finding(chemistry.SULFATE_FROM_TRIOXIDE, float(chemistry.sulfate_from_trioxide(oxide.value)), {"x": oxide})


def extract_of(fact: Fact) -> Extract:
    """How the sulfate of a test was taken up."""
    return "acid" if fact.get("how") == "acid" else "water"


def ratio_of(fact: Fact) -> float | None:
    """Mass of water over mass of dry soil of a test, where it was said and can be."""
    ratio = fact.number("water_per_soil")
    return ratio if ratio is not None and ratio > 0 else None


def crystals_seen(state: State, fact: Fact) -> bool:
    """Whether crystals were seen, at this test or at the pit."""
    return bool(fact.get("crystals")) or "crystals" in seen_stops(state, fact["source"])


def full_of_gypsum(fact: Fact, found: Finding) -> bool:
    """Whether a water extract holds so much sulfate that gypsum may be left behind undissolved."""
    ratio = ratio_of(fact)
    if extract_of(fact) == "acid" or ratio is None:
        return False
    return round(found.value / ratio * chemistry.WATER, 9) >= salt_gates.figure("gypsum-suspected")


def is_full_extract(fact: Fact) -> bool:
    """Whether the extract is one that limits are set for: acid, or ten parts of water or more."""
    ratio = ratio_of(fact)
    return extract_of(fact) == "acid" or (ratio is not None and ratio >= salt_gates.figure("full-extract"))


def all_dissolved(fact: Fact, found: Finding) -> bool:
    """Whether the extract took up all there was, as far as can be told."""
    return not (fact.get("off_scale") or full_of_gypsum(fact, found))


def against(fact: Fact, found: Finding) -> tuple[tuple[tables.Row, Standing], ...]:
    """The sulfate of one test against every limit, in the order of the file."""
    dissolved = all_dissolved(fact, found)
    return tuple(
        (
            row,
            salt_gates.stands_against(
                found.value, row=row, extract=extract_of(fact), water_per_soil=ratio_of(fact), all_dissolved=dissolved
            ),
        )
        for row in salt_gates.rows("sulfate")
    )


def stand(state: State, fact: Fact, found: Finding) -> Stand:
    """What one test does to the question of sulfate.

    "failed": over a limit by any extract. "open": a weak extract of a soil with signs of gypsum, or of
    water nobody measured, or sulfides not settled.
    "screened": a weak extract without any sign; trials may begin. "passed": a full extract inside all limits it can be held
    against.
    """
    if sulfide_open(fact):
        return "open"
    weak = not is_full_extract(fact)
    if weak and (ratio_of(fact) is None or crystals_seen(state, fact) or not all_dissolved(fact, found)):
        return "open"
    if any(standing == "failed" for _, standing in against(fact, found)):
        return "failed"
    if not weak and not all_dissolved(fact, found):
        return "open"
    return "screened" if weak else "passed"


def sulfide_open(fact: Fact) -> bool:
    """Whether signs of sulfides are there and the total sulfur was not found."""
    return fact.get("sulfides") in ("yes", "unsure") and "total_sulfur_mg_kg" not in fact.values


def total_potential(fact: Fact) -> Finding:
    """Sulfate there would be if all sulfur turned to it."""
    sulfur = fact.needed("total_sulfur_mg_kg")
    oxide = Finding(SULFUR_AS_REPORTED, sulfur / MG_PER_KG, {"x_r": given(fact, "total_sulfur_mg_kg")})
    value = float(chemistry.total_potential_sulfate(oxide.value))
    return Finding(chemistry.TOTAL_POTENTIAL_SULFATE, value, {"x": oxide})


def ceiling(fact: Fact) -> tuple[float, float] | None:
    """Least and most sulfate that this water extract can show of a gypsum soil, as a share of dry soil."""
    ratio = ratio_of(fact)
    if extract_of(fact) == "acid" or ratio is None:
        return None
    least, most = (salt_gates.figure(f"gypsum-solubility-{end}") for end in ("least", "most"))
    return (
        float(chemistry.gypsum_ceiling(ratio, gypsum_solubility=least)),
        float(chemistry.gypsum_ceiling(ratio, gypsum_solubility=most)),
    )


# --- what a soil's tests come to ---


@dataclass(frozen=True, slots=True)
class SulfateOfSoil:
    """The test that decides for a soil, its sulfate, and what it does to the question: see `stand`."""

    fact: Fact
    found: Finding
    stand: Stand


def decides(state: State, source: str) -> SulfateOfSoil | None:
    """The test of sulfate that counts: a full extract before a weak one, then the newest; None where there is none."""
    counted = list(_readable(state, source))
    if not counted:
        return None
    full = [each for each in counted if is_full_extract(each[0])]
    fact, found = (full or counted)[-1]
    return SulfateOfSoil(fact, found, stand(state, fact, found))


def _readable(state: State, source: str) -> Iterator[tuple[Fact, Finding]]:
    for fact in state.where("sulfate", "source", source):
        try:
            yield fact, sulfate(fact)
        except InputError:
            continue


def sulfate_forbids(state: State, source: str) -> tuple[Note, ...]:
    """What the tests of sulfate of a soil forbid as they stand; empty where nothing was tested or nothing is in the way."""
    counts = decides(state, source)
    if counts is None or counts.stand in ("passed", "screened"):
        return ()
    return says(state, counts.fact, counts.found)


def says(state: State, fact: Fact, found: Finding) -> tuple[Note, ...]:
    """What one test of sulfate says, what it forbids and until when."""
    return tuple(_says(state, fact, found))


def _says(state: State, fact: Fact, found: Finding) -> Iterator[Note]:
    failed = [row for row, standing in against(fact, found) if standing == "failed"]
    what = {"mg_kg": found.value * MG_PER_KG}
    weak = not is_full_extract(fact)
    if failed:
        rows = salt_gates.rows("sulfate")
        highest = max(failed, key=lambda row: float(row["value"]))
        yield Note("sulfate_over", {**what, "count": len(failed), "of": len(rows), "says": highest["says"]})
    if weak and (crystals_seen(state, fact) or not all_dissolved(fact, found)):
        yield _weak(fact, found)
    elif not weak and not all_dissolved(fact, found):
        yield Note("sulfate_at_its_end", what)
    elif weak and ratio_of(fact) is None:
        yield Note("sulfate_ratio_not_said", what)
    elif weak and not failed:
        yield Note("sulfate_screened", {**what, "ratio": ratio_of(fact) or 0.0})
    elif not failed:
        yield Note("sulfate_passed", what)
    if sulfide_open(fact):
        yield Note("sulfide_open")


def _weak(fact: Fact, found: Finding) -> Note:
    ends = ceiling(fact)
    if ends is None:
        return Note("sulfate_weak_unknown", {"mg_kg": found.value * MG_PER_KG})
    least, most = (round(end * MG_PER_KG, -1) for end in ends)
    return Note(
        "sulfate_stays_open",
        {"mg_kg": found.value * MG_PER_KG, "ratio": ratio_of(fact) or 0.0, "least": least, "most": most},
    )
