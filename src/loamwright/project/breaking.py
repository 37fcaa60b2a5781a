"""Break: from raw readings to the strength of each block, as tested; what cannot be computed with is withheld and asked about."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from loamwright.engine.bench import bending, moisture, strength
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project import cure
from loamwright.project.blocks import block_press, known_blocks, mix_of, mix_water, press_of_mix, pressed_on
from loamwright.project.blocks import mix_key as mix_key
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given, number
from loamwright.project.judged import judged
from loamwright.project.loads import load
from loamwright.project.reading_slips import check_believable
from loamwright.project.state import Fact, State

DISSOLVED = Formula(
    "compressive_strength", "f_c", "MPa", "f_0", {"f_0": Term("compressive_strength", "MPa")}, "practice-dissolved"
)
HALVES = ("half_1", "half_2")
CONDITIONS = {"soaked": "wet", "dry": "dry"}


@dataclass(frozen=True, slots=True)
class BlockStrength:
    """Strength of one block as tested: gross area, no shape factor.

    Attributes
    ----------
    block, batch : str
        Entity ids.
    mix : str
        Key of the mix it counts as, by `mix_key`.
    finding : Finding
        Strength with its working. [MPa]
    condition : "wet" or "dry"
    soak_hours : float or None
        Nominal hours under water; None for a dry block, or where nobody said. [h]
    water_hours : float or None
        The same as it really was, to be shown; blocks are held together by the nominal hours. [h]
    age_days : int
        Age at the test. [d]
    screening : bool
        A jack without calibration took part: it cannot meet a brief.
    dissolved : bool
        All of it fell apart in water: strength 0. A half that fell apart counts as 0 in the mean of its halves.
    piece_count : int
        Pieces it stands on: 1, or 2 for two halves averaged.
    is_of_halves : bool
        Halves were crushed, not the whole block.
    height_to_thickness : float or None
        Height over least width under load; None where one was not measured.
    entries : tuple of str
        Ids of all readings it stands on, sorted.
    """

    block: str
    batch: str
    mix: str
    finding: Finding
    condition: str
    soak_hours: float | None
    water_hours: float | None
    age_days: int
    screening: bool
    dissolved: bool
    piece_count: int
    is_of_halves: bool
    height_to_thickness: float | None
    entries: tuple[str, ...]


def strengths(state: State, *, mix: str | None = None, condition: str | None = None) -> tuple[BlockStrength, ...]:
    """Crushing strength of every block that was crushed, by the moment it was pressed; one each, halves averaged."""
    return _chosen(_crushed(state)[0], mix, condition)


def bendings(state: State, *, mix: str | None = None, condition: str | None = None) -> tuple[BlockStrength, ...]:
    """Bending strength of every block that was bent, in the same order."""
    return _chosen(_bent(state)[0], mix, condition)


def withheld(state: State) -> tuple[Withheld, ...]:
    """Tests whose readings cannot be computed with, and why."""
    return (*_crushed(state)[1], *_bent(state)[1])


def _chosen(found: Sequence[BlockStrength], mix: str | None, condition: str | None) -> tuple[BlockStrength, ...]:
    return tuple(each for each in found if mix in (None, each.mix) and condition in (None, each.condition))


def of_block(state: State, block: str) -> tuple[BlockStrength | None, BlockStrength | None]:
    """Crushing and bending strength of one block, None where there is none."""
    root = state.versions.entity(block)
    by_block = state.memo(
        "strength_by_block",
        lambda: ({each.block: each for each in _crushed(state)[0]}, {each.block: each for each in _bent(state)[0]}),
    )
    return by_block[0].get(root), by_block[1].get(root)


Outcome = tuple[tuple[BlockStrength, ...], tuple[Withheld, ...]]


def _crushed(state: State) -> Outcome:
    return state.memo("crushed", lambda: _tested(state, "crush", crushing_strength, chosen_pieces))


def _bent(state: State) -> Outcome:
    return state.memo("bent", lambda: _tested(state, "bend", bending_strength, lambda facts: list(facts[-1:])))


@dataclass(frozen=True, slots=True)
class _Piece:
    fact: Fact
    finding: Finding
    screening: bool


def _tested(
    state: State,
    kind: str,
    compute: Callable[[State, Fact, Fact], tuple[Finding, bool]],
    choose: Callable[[Sequence[Fact]], list[Fact]],
) -> Outcome:
    found: list[BlockStrength] = []
    out: list[Withheld] = []
    for block in known_blocks(state):
        pieces: list[_Piece] = []
        for fact in choose(state.where(kind, "block", block.id)):
            try:
                age(state, fact, block)
                finding, screening = compute(state, fact, block)
                check_believable(state, fact, mark=block["mark"], finding=finding)
                pieces.append(_Piece(fact, finding, screening))
            except InputError as fault:
                out.append(Withheld("compressive_strength" if kind == "crush" else "bending_strength", fault, (fact.id,)))
        if pieces:
            found.append(_block_strength(state, block, pieces))
    return tuple(found), tuple(out)


def chosen_pieces(facts: Sequence[Fact]) -> list[Fact]:
    """The tests of a block that count together: whole, or its halves in one condition; the greater moment decides."""
    newest: dict[str, Fact] = {}
    for fact in facts:
        newest[fact["piece"]] = fact
    if not newest:
        return []
    last = max(newest.values(), key=lambda fact: (fact.at, fact.id))
    if last["piece"] == "whole":
        return [last]
    return [newest[half] for half in HALVES if half in newest and newest[half]["condition"] == last["condition"]]


def _block_strength(state: State, block: Fact, pieces: Sequence[_Piece]) -> BlockStrength:
    finding = _averaged(pieces)
    last = pieces[-1].fact
    crushed = [piece.fact for piece in pieces if piece.fact.kind == "crush"]
    ratios = [ratio for fact in crushed if (ratio := slenderness(state, fact, block)) is not None]
    hours = [hours for piece in pieces if (hours := water_hours(state, piece.fact, block)) is not None]
    in_water = min(hours) if hours and last["condition"] == "soaked" else None
    return BlockStrength(
        block=block.id,
        batch=state.versions.entity(block["batch"]),
        mix=mix_key(state, block["batch"]),
        finding=finding,
        condition=CONDITIONS[last["condition"]],
        soak_hours=None if in_water is None else nominal_hours(state, in_water),
        water_hours=in_water,
        age_days=max(age(state, piece.fact, block) for piece in pieces),
        screening=any(piece.screening for piece in pieces),
        dissolved=all(piece.fact.get("how") == "dissolved" for piece in pieces),
        piece_count=len(pieces),
        is_of_halves=pieces[0].fact.get("piece") in HALVES,
        height_to_thickness=ratios[0] if ratios else None,
        entries=tuple(sorted({block.head, *finding.entries()})),
    )


def _averaged(pieces: Sequence[_Piece]) -> Finding:
    first = pieces[0].finding
    if len(pieces) == 2:
        second = pieces[1].finding
        value = strength.mean_of_halves(first.value, second_half=second.value)
        return Finding(strength.MEAN_OF_HALVES, value, {"f_1": first, "f_2": second})
    if pieces[0].fact.get("piece") in HALVES:
        return replace(first, notes=(*first.notes, Note("one_half_only")))
    return first


# --- one test ---


def age(state: State, fact: Fact, block: Fact) -> int:
    """Days from pressing to the test; `InputError` ("broken_before_pressed") where it lies before. [d]"""
    days = (state.day(fact) - pressed_on(state, block)).days
    if days < 0:
        raise InputError("broken_before_pressed", mark=block["mark"], days=-days)
    return days


def soaked_hours(state: State, fact: Fact, block: Fact) -> float | None:
    """Nominal hours under water; None where nobody said. [h]"""
    hours = water_hours(state, fact, block)
    return None if hours is None else nominal_hours(state, hours)


def water_hours(state: State, fact: Fact, block: Fact) -> float | None:
    """Hours under water: as said, else from the tap that put the block in; None where nobody said. [h]"""
    if fact["condition"] != "soaked":
        return None
    minutes = fact.number("soaked_for")
    if minutes is None:
        minutes = minutes_in_water(state, fact, block)
    return None if minutes is None or minutes < 0 else minutes / 60.0


def nominal_hours(state: State, hours: float) -> float:
    """The hours wanted where a soak comes near them, else its own to a tenth. [h]"""
    wanted = cure.soak_wanted(state)
    nominal = judged("soak-under") <= hours / wanted <= judged("soak-over")  # nobody lifts blocks on the minute
    return wanted if nominal else float(round(hours, 1))


def minutes_in_water(state: State, fact: Fact, block: Fact) -> float | None:
    """Minutes from the soak tap to the moment a test was written; None without a tap, or where another day was typed."""
    soak = cure.soaks(state).get(block.id)
    if soak is None or state.day(fact) != state.moment(fact).date():
        return None
    return (state.moment(fact) - state.moment(soak)).total_seconds() / 60.0


def slenderness(state: State, fact: Fact, block: Fact) -> float | None:
    """Height over the least width under load, or None where one is not known."""
    height = fact.number("height") or block.number("height")
    try:
        length, width, _ = face(state, fact, block)
        return strength.height_to_thickness(height or 0.0, thickness=min(number(length), number(width)))
    except InputError:
        return None


def crushing_strength(state: State, fact: Fact, block: Fact) -> tuple[Finding, bool]:
    """Strength of one crushed piece on its gross area, and whether it is for screening only. [MPa]

    Raises
    ------
    InputError
        "needed", "half_needs_length" and what the kernels raise.
    """
    if fact.get("how") == "dissolved":
        return Finding(DISSOLVED, 0.0, {"f_0": Given(0.0, (fact.head,), "fell apart in water")}, (Note("dissolved"),)), False
    force = load(state, fact)
    length, width, notes = face(state, fact, block)
    inputs = {"F": force.value, "l": length, "b": width}
    value = strength.compressive_strength(number(force.value), block_length=number(length), block_width=number(width))
    return Finding(strength.COMPRESSIVE_STRENGTH, value, inputs, (*force.notes, *notes)), force.screening


def face(state: State, fact: Fact, block: Fact) -> tuple[Given, Given, tuple[Note, ...]]:
    """Length and width under load: as measured, else the mould's with a note; a half must be measured."""
    if "length" in fact.values and "width" in fact.values:
        return given(fact, "length"), given(fact, "width"), ()
    if fact["piece"] in HALVES and "length" not in fact.values:
        raise InputError("half_needs_length", mark=block["mark"])
    press = block_press(state, block)
    length = given(fact, "length") if "length" in fact.values else given(press, "mould_length")
    width = given(fact, "width") if "width" in fact.values else given(press, "mould_width")
    return length, width, (Note("mould_area_used"),)


def bending_strength(state: State, fact: Fact, block: Fact) -> tuple[Finding, bool]:
    """Three-point bending strength of one block, and whether it is for screening only. [MPa]

    Raises
    ------
    InputError
        "needed" and what the kernels raise.
    """
    force = load(state, fact)
    span, notes = given(fact, "span"), list(force.notes)
    if "width" in fact.values:
        width = given(fact, "width")
    else:
        width = given(block_press(state, block), "mould_width")
        notes.append(Note("mould_width_used"))
    thickness = given(fact, "thickness") if "thickness" in fact.values else given(block, "height")
    value = bending.bending_strength(
        number(force.value), span=number(span), block_width=number(width), thickness=number(thickness)
    )
    notes += [*bending.bending_notes(number(span), thickness=number(thickness)), *_own_weight(state, fact, block)]
    inputs = {"F": force.value, "L": span, "b": width, "t": thickness}
    return Finding(bending.BENDING_STRENGTH, value, inputs, tuple(notes)), force.screening


def _own_weight(state: State, fact: Fact, block: Fact) -> tuple[Note, ...]:
    """The block's own weight is left out of bending strength: how much load it stands for."""
    press = state.find(block["press"], "press") if block.get("press") else None
    if press is None or press.fault is not None or block.needed("green_mass") <= 0:
        return ()
    own = bending.own_weight_load(block.needed("green_mass"), block_length=press.needed("mould_length"), span=fact.needed("span"))
    return (Note("own_weight_left_out", {"newton": round(1000 * own)}),)


def moisture_at_break(state: State, block: Fact) -> Result | None:
    """Water of a whole block when it was crushed, of its dry mix as pressed; None where it was not weighed then.

    Water bound by the stabiliser is not counted: the dry mix is taken as it was pressed.
    """
    weighed = [fact for fact in state.where("crush", "block", block.id) if fact["piece"] == "whole" and "mass" in fact.values]
    if not weighed:
        return None

    def compute() -> Finding:
        water, green = mix_water(state, block["batch"]), given(block, "green_mass")
        dry_value = moisture.dry_mass(block.needed("green_mass"), water_content=water.value)
        dry = Finding(moisture.DRY_MASS, dry_value, {"m": green, "w": water})
        value = moisture.water_content(weighed[-1].needed("mass"), dry_mass=dry_value)
        return Finding(moisture.WATER_CONTENT, value, {"m_wet": given(weighed[-1], "mass"), "m_dry": dry, "m_tare": Given(0.0)})

    return attempt("water_content", (weighed[-1].id,), compute)


# --- the rig ---


def rig_can(state: State, rig: str, mix: str) -> strength.RigCheck | None:
    """Whether a rig can crush whole blocks of a mix at twice the brief; None where brief, capacity or press is not known."""
    brief, fact = state.latest("brief"), state.fact(rig, "rig")
    wanted = [value for name in ("mean_least", "each_least") if brief is not None and (value := brief.number(name))]
    capacity, press = fact.number("capacity"), press_of_mix(state, mix_of(mix))
    if not wanted or not capacity or press is None or min(wanted) <= 0 or capacity <= 0:
        return None
    at_brief = strength.load_to_crush(
        max(wanted), block_length=press.needed("mould_length"), block_width=press.needed("mould_width")
    )
    return strength.rig_check(capacity, load_at_brief=at_brief)
