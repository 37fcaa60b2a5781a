"""Where a soil was seen and sampled: layers, reserve, what a sample is enough for, what a plan wants, who stays out of a pit."""

from collections.abc import Iterator

from loamwright import tables
from loamwright.engine.soil import sampling
from loamwright.errors import InputError, Note, check_not_negative
from loamwright.formula import Formula, Term
from loamwright.project.asking import Question
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given
from loamwright.project.state import Fact, State
from loamwright.project.worked import Cell, Column, KindOfTest, Table, Told, Worked, faults_asked

WANTED = Formula(
    "layer_thickness",
    "t",
    "mm",
    "sum(b_i) - sum(a_i)",
    {"b_i": Term("bottoms", "mm"), "a_i": Term("tops", "mm")},
    "practice-sampling",
)
COARSE_OF_SAMPLE = Formula(
    "coarse_share",
    "R",
    "1",
    "m_c / (m_c + m_r)",
    {"m_c": Term("coarse_mass", "kg"), "m_r": Term("rest_mass", "kg")},
    "derivation-phases",
)
USES = {"topsoil": "topsoil", "wanted": "wanted", "other": "kept apart"}
SMELLS = {"none": "none", "musty": "musty", "rotten": "rotten eggs"}


def figure(key: str) -> float:
    """One figure of data/soil_sampling.toml, in the unit of its row."""
    return tables.figure("soil_sampling", key, required=("unit", "note"))


# --- pits ---


def _pit(state: State, fact: Fact) -> Worked:
    layers = fact["layers"]
    tops, bottoms = (tuple(row[end].engine for row in layers) for end in ("top", "bottom"))
    wrong = sampling.layers_wrong(tops, bottoms=bottoms)
    told = tuple(_reserve(fact))
    asked = faults_asked(fact, *(each.result for each in told))
    if wrong is not None:
        asked = (*asked, Question("layers_apart", "shake", (fact.id,), "unlikely", {"layer": wrong}))
    notes = (*_pit_notes(state, fact), *(() if told else (Note("reserve_wants"),)))
    return Worked(told, (_layers_table(fact),), notes, tuple(_pit_says(fact, max(bottoms))), asked)


def _layers_table(fact: Fact) -> Table:
    columns = (
        Column("From", "length"),
        Column("To", "length"),
        Column("It is"),
        Column("Smell"),
        Column("Stones, by eye", "share"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            row["top"].engine,
            row["bottom"].engine,
            USES.get(row.get("use", "")),
            SMELLS.get(row.get("smell", "")),
            row["stones"].engine if "stones" in row else None,
        )
        for row in fact["layers"]
    ]
    return Table("Layers", columns, tuple(rows))


def _reserve(fact: Fact) -> Iterator[Told]:
    """Soil of the wanted layers in the ground, where the reach of the soil both ways was said."""
    if any(row.get("use") == "wanted" for row in fact["layers"]) and {"field_length", "field_width"} <= fact.values.keys():
        yield Told("Reserve, as it lies", "volume", attempt("reserve_volume", (fact.id,), lambda: _reserve_of(fact)))


def _reserve_of(fact: Fact) -> Finding:
    wanted = [row for row in fact["layers"] if row.get("use") == "wanted"]
    bottoms, tops = (tuple(row[end].engine for row in wanted) for end in ("bottom", "top"))
    thick = Finding(WANTED, sum(bottoms) - sum(tops), {"b_i": Given(bottoms, (fact.head,)), "a_i": Given(tops, (fact.head,))})
    share = figure("reserve-regular")
    value = sampling.reserve_volume(
        fact.needed("field_length"),
        field_width=fact.needed("field_width"),
        layer_thickness=thick.value,
        regular_share=share,
    )
    inputs: dict[str, Given | Finding] = {
        "l": given(fact, "field_length"),
        "b": given(fact, "field_width"),
        "t": thick,
        "k": Given(share, source="practice-sampling"),
    }
    return Finding(sampling.RESERVE, value, inputs)


def _pit_notes(state: State, fact: Fact) -> Iterator[Note]:
    holes, least = len(state.where("pit_log", "source", fact["source"])), figure("pits-least")
    if holes < least:
        yield Note("pits_few", {"holes": holes, "least": least})
    if not any(row.get("use") == "topsoil" for row in fact["layers"]):
        yield Note("topsoil_not_marked", {"least": figure("topsoil-least"), "most": figure("topsoil-most")})


def _pit_says(fact: Fact, depth: float) -> Iterator[Note]:
    most = figure("pit-depth-most")
    if fact["how"] in ("pit", "well"):
        if depth > most and fact.get("sides") != "supported":
            yield Note("pit_keep_out", {"depth": depth, "most": most})
        if not fact.get("looked_at"):
            yield Note("pit_not_looked_at", {"most": most})
    if any(row.get("crystals") for row in fact["layers"]):
        yield Note("pit_crystals")
    if any(row.get("smell") in ("musty", "rotten") or row.get("roots") == "many" for row in fact["layers"] if _is_wanted(row)):
        yield Note("pit_smells")
    if "water_at" in fact.values and fact.needed("water_at") < depth:
        yield Note("pit_water", {"water": fact.needed("water_at")})


def _is_wanted(row: object) -> bool:
    return isinstance(row, dict) and row.get("use") == "wanted"


# --- samples ---


def _sample(state: State, fact: Fact) -> Worked:
    stands_for = attempt("mass_before_quartering", (fact.id,), lambda: _before(fact))
    told = [Told("Stands for", "mass", stands_for)] if "quarterings" in fact.values or isinstance(stands_for, Withheld) else []
    if "stones" in fact.values:
        told.append(Told("Stones of the whole", "share", attempt("coarse_share", (fact.id,), lambda: _stones(fact))))
    still = still_needed(state, fact["source"])
    if still is not None:
        told.append(Told("Still to bring for the plan", "mass", still))
    asked = (*faults_asked(fact, *(each.result for each in told)), *_depth_asked(fact))
    return Worked(tuple(told), notes=tuple(_sample_notes(fact)), says=tuple(_sample_says(state, fact, still)), questions=asked)


def _before(fact: Fact) -> Finding:
    times = fact.get("quarterings", 0)
    value = sampling.mass_before_quartering(fact.needed("mass"), quarterings=times)
    return Finding(
        sampling.BEFORE_QUARTERING, value, {"m": given(fact, "mass"), "n": Given(float(times), (fact.head,), str(times))}
    )


def _stones(fact: Fact) -> Finding:
    """Stones over stones and rest; what was quartered away held no stones any more, so they are of the heap before."""
    stones, rest = fact.needed("stones"), _before(fact)
    check_not_negative(coarse_mass=stones)
    return Finding(COARSE_OF_SAMPLE, stones / (stones + rest.value), {"m_c": given(fact, "stones"), "m_r": rest})


def _depth_asked(fact: Fact) -> Iterator[Question]:
    top, bottom = fact.number("top"), fact.number("bottom")
    if top is not None and bottom is not None and not 0 <= top < bottom:
        yield Question("sample_upside_down", "shake", (fact.id,), "unlikely", {"top": top, "bottom": bottom})


def _sample_notes(fact: Fact) -> Iterator[Note]:
    if fact.get("taken_from") == "pile_surface":
        yield Note("sample_of_surface")
    top = fact.number("top")
    if top is not None and top < figure("topsoil-least"):
        yield Note("sample_of_topsoil", {"top": top, "least": figure("topsoil-least")})
    if fact.get("spots") == 1:
        yield Note("sample_of_one_spot")
    if "labelled" in fact.values and not fact["labelled"]:
        yield Note("sample_not_labelled")


def _sample_says(state: State, fact: Fact, still: Result | None) -> Iterator[Note]:
    held = brought(state, fact["source"])
    enough = [row for row in _uses() if held >= row["least_mass"]]
    if enough:
        yield Note("sample_enough_for", {"held": held, "use": enough[-1]["use"]})
    following = next((row for row in _uses() if held < row["least_mass"]), None)
    if following is not None:
        yield Note("sample_wants", {"use": following["use"], "least": following["least_mass"]})
    if isinstance(still, Finding):
        yield Note("plan_wants" if still.value > 0 else "plan_has_enough", {"still": still.value})


def _uses() -> tuple[tables.Row, ...]:
    return tables.load("sample_uses", required=("least_mass", "use")).rows


def brought(state: State, source: str) -> float:
    """Damp soil of a source that was brought so far, over all its samples that can be read. [kg]"""
    return sum(_brought(state, source))


def _brought(state: State, source: str) -> tuple[float, ...]:
    masses = (fact.number("mass") for fact in state.where("soil_sample", "source", source))
    return tuple(mass for mass in masses if mass is not None and mass > 0)


def still_needed(state: State, source: str) -> Result | None:
    """Damp soil of a source still to be brought for the newest plan kept; None where no plan names it."""
    plan = state.latest("plan")
    needs = plan.get("needs") if plan is not None else None
    if plan is None or not isinstance(needs, dict):
        return None
    by_source = needs.get("soil_kg")
    root = state.versions.entity(source)
    masses = by_source.items() if isinstance(by_source, dict) else ()
    wanted = [mass for name, mass in masses if state.versions.entity(name) == root and isinstance(mass, int | float)]
    return still_needed_of(state, source, Given(float(wanted[0]), (plan.head,))) if wanted else None


def still_needed_of(state: State, source: str, wanted: Given | Finding) -> Result:
    """Damp soil of a source still to be brought for a mass that is wanted of it."""

    def compute() -> Finding:
        if not isinstance(wanted.value, float | int):
            raise InputError("no_values", quantity="soil_needed")
        masses = _brought(state, source)
        value = sampling.soil_still_needed(float(wanted.value), sample_masses=masses)
        heads = tuple(fact.head for fact in state.where("soil_sample", "source", source))
        return Finding(sampling.STILL_NEEDED, value, {"m_n": wanted, "m_i": Given(masses, heads)})

    return attempt("soil_still_needed", (source,), compute)


TESTS: tuple[KindOfTest, ...] = (
    KindOfTest("pit_log", "source", _pit),
    KindOfTest("soil_sample", "source", _sample),
)
