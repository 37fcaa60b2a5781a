"""What does not fit between the strengths of one mix: soaked blocks above dry ones."""

from collections import defaultdict

from loamwright.engine.block import slips
from loamwright.project import breaking
from loamwright.project.asking import Question
from loamwright.project.breaking import BlockStrength
from loamwright.project.doubts import test_age
from loamwright.project.state import State


def questions(state: State) -> tuple[Question, ...]:
    """Mixes whose soaked blocks come out above their dry ones at one age, by more than chance makes believable."""
    groups: dict[tuple[str, int], list[BlockStrength]] = defaultdict(list)
    for each in breaking.strengths(state):
        groups[each.mix, test_age(state, each)].append(each)
    found = (_wet_above_dry(state, age, members) for (_, age), members in groups.items())
    return tuple(each for each in found if each is not None)


def _wet_above_dry(state: State, age: int, members: list[BlockStrength]) -> Question | None:
    wet = [each for each in members if each.condition == "wet"]
    dry = [each for each in members if each.condition == "dry"]
    values = [[each.finding.value for each in side] for side in (wet, dry)]
    if min(map(len, values)) < slips.LEAST_RESULTS or sum(values[1]) <= 0:
        return None
    check = slips.wet_against_dry(values[0], dry_strengths=values[1])
    if not check.above:
        return None
    said = {
        "marks": ", ".join(str(state.fact(each.block, "block")["mark"]) for each in wet),
        "age": age,
        "wet": sum(values[0]) / len(wet),
        "dry": sum(values[1]) / len(dry),
        "wet_n": len(wet),
        "dry_n": len(dry),
    }
    return Question("wet_above_dry", "break", _tests(state, wet), "unlikely", said)


def _tests(state: State, blocks: list[BlockStrength]) -> tuple[str, ...]:
    """The crushing tests of soaked blocks: those that are the higher ones."""
    made = (fact for each in blocks for fact in state.where("crush", "block", each.block))
    return tuple(sorted(fact.id for fact in made if fact["condition"] == "soaked"))
