"""What is asked about broken blocks: slipped decimals, outliers, strange ratios, soaks too short. Flagged, never dropped."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from statistics import median

from loamwright.engine.bench import strength
from loamwright.engine.block import cure as curing
from loamwright.engine.evidence.outliers import grubbs
from loamwright.errors import InputError
from loamwright.project import breaking, cure
from loamwright.project.asking import Due, Question
from loamwright.project.blocks import has_batch, mix_key, stabiliser_type
from loamwright.project.breaking import BlockStrength
from loamwright.project.finding import Finding, Withheld
from loamwright.project.judged import judged
from loamwright.project.loads import reading_of
from loamwright.project.press import is_ten_times
from loamwright.project.reading_slips import Side, ratio_with_slip, sharper
from loamwright.project.state import Fact, State


def questions(state: State) -> tuple[Question, ...]:
    """What does not fit among broken blocks, the readings that cannot be computed with first."""
    return (
        *_impossible(state),
        *_block_not_here(state),
        *_twice(state),
        *_ten_times(state),
        *_outliers(state),
        *_too_strong(state),
        *_ratios(state),
        *_short_soaks(state),
        *_masses(state),
    )


def due(state: State, today: date) -> tuple[Due, ...]:
    """Nothing of its own: what is to be broken is told by `cure`."""
    return ()


def tests_of(state: State, block: str) -> tuple[Fact, ...]:
    """Every crushing and bending test of a block, oldest first."""
    facts = (*state.where("bend", "block", block), *state.where("crush", "block", block))
    return tuple(sorted(facts, key=lambda fact: (fact.at, fact.id)))


def _tests(state: State) -> list[Fact]:
    return [fact for kind in ("bend", "crush") for fact in state.all(kind)]


def _block_of(state: State, fact: Fact) -> Fact | None:
    block = state.find(fact["block"], "block")
    if block is None or block.fault is not None or block.id in state.left_out or not has_batch(state, block):
        return None
    return block


def _mark(state: State, fact: Fact) -> str:
    block = _block_of(state, fact)
    return "" if block is None else str(block["mark"])


def _impossible(state: State) -> Iterable[Question]:
    for each in breaking.withheld(state):
        mark = _mark(state, state.fact(each.about[0], "crush" if each.name == "compressive_strength" else "bend"))
        values = {"mark": mark, **each.fault.values}
        yield Question(each.fault.code, "break", each.about, "impossible", values)


def _block_not_here(state: State) -> Iterable[Question]:
    for fact in _tests(state):
        if _block_of(state, fact) is None and state.versions.entity(fact["block"]) not in state.left_out:
            yield Question("block_not_here", "break", (fact.id,), "impossible")


def _twice(state: State) -> Iterable[Question]:
    """A block crushed more often than it has pieces, or its halves in two conditions: the newest readings are computed with."""
    by_block: dict[str, list[Fact]] = defaultdict(list)
    for fact in state.all("crush"):
        by_block[state.versions.entity(fact["block"])].append(fact)
    for facts in by_block.values():
        if len(facts) > 1 and len(breaking.chosen_pieces(facts)) < len(facts):
            about = tuple(sorted(fact.id for fact in facts))
            yield Question("crushed_twice", "break", about, "contested", {"mark": _mark(state, facts[0]), "n": len(facts)})


# --- slipped decimals ---


def slipped(state: State) -> tuple[tuple[Fact, float], ...]:
    """Tests whose raw reading is about ten times or a tenth of the others of its mix, rig and condition, with that ratio."""
    return state.memo("slipped", lambda: tuple(_slipped(state)))


def _slipped(state: State) -> Iterable[tuple[Fact, float]]:
    groups: dict[tuple[object, ...], list[tuple[Fact, float]]] = defaultdict(list)
    for fact in _tests(state):
        block, read = _block_of(state, fact), reading_of(fact)
        if block is None or read is None or fact.get("how") == "dissolved":
            continue
        whole = fact.get("piece", "whole") == "whole"
        key = (fact.kind, read[0], whole, fact["condition"], fact.get("rig"), mix_key(state, block["batch"]))
        groups[key].append((fact, read[1]))
    for members in groups.values():
        yield from _slipped_among(members)


def _slipped_among(members: Sequence[tuple[Fact, float]]) -> Iterable[tuple[Fact, float]]:
    if len(members) < 2:
        return
    suspects = []
    for index, (fact, value) in enumerate(members):
        usual = median(other for place, (_, other) in enumerate(members) if place != index)
        if is_ten_times(value, usual):
            suspects.append((fact, value / usual))
    # Of two readings that differ ten times nobody can say which slipped: the later one is asked about.
    yield from suspects if len(members) > 2 else suspects[-1:]


def _ten_times(state: State) -> Iterable[Question]:
    for fact, ratio in slipped(state):
        side = "above" if ratio > 1 else "below"
        values = {"mark": _mark(state, fact), "times": max(ratio, 1 / ratio), "side": side}
        yield Question("reading_ten_times", "break", (fact.id,), "unlikely", values)


def _is_slipped(state: State, each: BlockStrength) -> bool:
    entities = {state.versions.entity(entry) for entry in each.entries}
    return any(fact.id in entities for fact, _ in slipped(state))


# --- outliers ---


def _outliers(state: State) -> Iterable[Question]:
    for kind, found in (("crush", breaking.strengths(state)), ("bend", breaking.bendings(state))):
        groups: dict[tuple[str, str, int], list[BlockStrength]] = defaultdict(list)
        for each in found:
            if not _is_slipped(state, each):
                groups[each.mix, each.condition, test_age(state, each)].append(each)
        for members in groups.values():
            yield from _outlier_among(state, kind, members)


def test_age(state: State, each: BlockStrength) -> int:
    """The latest usual test age a block had reached, so that blocks broken on day 28 and 29 stand together. [d]"""
    ages = [test.age for test in curing.ages_to_test(stabiliser_type(state, each.batch)) if test.age <= each.age_days]
    return ages[-1] if ages else 0


def _outlier_among(state: State, kind: str, members: Sequence[BlockStrength]) -> Iterable[Question]:
    if len(members) < judged("outlier-least"):
        return
    values = [each.finding.value for each in members]
    test = grubbs(values)
    if not test.flagged:
        return
    odd = next(each for each in members if each.finding.value == test.value)
    mark = str(state.fact(odd.block, "block")["mark"])
    side = "above" if test.value > sum(values) / len(values) else "below"
    said = {"mark": mark, "n": len(members), "apart": test.statistic, "critical": test.critical, "side": side}
    yield Question(f"outlier_{kind}", "break", _tests_used(state, kind, odd), "unlikely", said)


def _tests_used(state: State, kind: str, each: BlockStrength) -> tuple[str, ...]:
    used = {state.versions.entity(entry) for entry in each.finding.entries()}
    return tuple(sorted(fact.id for fact in state.where(kind, "block", each.block) if fact.id in used))


# --- strengths that do not look like earth ---


def _too_strong(state: State) -> Iterable[Question]:
    for each in breaking.strengths(state):
        if each.finding.value > judged("strength-most"):
            mark = str(state.fact(each.block, "block")["mark"])
            about = _tests_used(state, "crush", each)
            question = Question(
                "strength_implausible", "break", about, "unlikely", {"mark": mark, "most": judged("strength-most")}
            )
            yield _with_slip(state, question, each)


def _ratios(state: State) -> Iterable[Question]:
    """Bending over crushing of blocks that were bent and whose halves were crushed in the same condition."""
    bent = {each.block: each for each in breaking.bendings(state)}
    for each in breaking.strengths(state):
        other = bent.get(each.block)
        if other is None or other.condition != each.condition or each.finding.value <= 0 or other.finding.value <= 0:
            continue
        check = strength.ratio_check(other.finding.value, compressive_strength=each.finding.value)
        if check.notes and not _is_slipped(state, each) and not _is_slipped(state, other):
            about = tuple(sorted((*_tests_used(state, "bend", other), *_tests_used(state, "crush", each))))
            values = {"mark": state.fact(each.block, "block")["mark"], **check.notes[0].values}
            question = Question("bending_ratio", "break", about, "unlikely", values)
            yield ratio_with_slip(state, question, _sides(state, each, other))


def _sides(state: State, crushed: BlockStrength, bent: BlockStrength) -> list[Side]:
    """The two strengths, each with the range in which it would fit the other; only those that stand on one test."""
    least, most = strength.LEAST_BENDING_RATIO, strength.MOST_BENDING_RATIO
    ranges = (
        ("bend", bent, (least * crushed.finding.value, most * crushed.finding.value)),
        ("crush", crushed, (bent.finding.value / most, bent.finding.value / least)),
    )
    found = []
    for kind, each, between in ranges:
        tests = _tests_used(state, kind, each)
        if len(tests) == 1:
            found.append(Side(state.fact(tests[0], kind), each.finding, between))
    return found


def _with_slip(state: State, question: Question, each: BlockStrength) -> Question:
    """A question about a crushing strength, with the slip that would explain it computed; as it is where none does."""
    tests = _tests_used(state, "crush", each)
    if len(tests) != 1 or _is_slipped(state, each):
        return question
    others = breaking.strengths(state, mix=each.mix, condition=each.condition)
    peers = [other.finding.value for other in others if other.block != each.block]
    return sharper(state, question, state.fact(tests[0], "crush"), finding=each.finding, peers=peers)


def _short_soaks(state: State) -> Iterable[Question]:
    wanted = cure.soak_wanted(state)
    for fact in _tests(state):
        block = _block_of(state, fact)
        if block is None:
            continue
        hours = breaking.soaked_hours(state, fact, block)
        if hours is not None and hours < wanted:
            values = {"mark": block["mark"], "hours": hours, "wanted": wanted}
            yield Question("soaked_short", "break", (fact.id,), "unlikely", values)


def _masses(state: State) -> Iterable[Question]:
    """Masses at break that a block of that dry mass cannot have."""
    for fact in state.all("crush"):
        block = _block_of(state, fact) if "mass" in fact.values else None
        found = None if block is None else breaking.moisture_at_break(state, block)
        if found is None or fact["piece"] != "whole":
            continue
        impossible = isinstance(found, Withheld) and found.fault.code not in ("needed", "not_found")
        if impossible or (isinstance(found, Finding) and found.value > judged("water-at-break-most")):
            yield Question("mass_at_break", "break", (fact.id,), "unlikely", {"mark": _mark(state, fact)})


def rig_notes(state: State, rig: str, mix: str) -> tuple[str, dict[str, object]] | None:
    """Code and values of what is wrong with a rig for the brief of a mix, or None where nothing is (or nothing is known)."""
    try:
        check = breaking.rig_can(state, rig, mix)
    except InputError:
        return None
    return None if check is None or not check.notes else (check.notes[0].code, dict(check.notes[0].values))
