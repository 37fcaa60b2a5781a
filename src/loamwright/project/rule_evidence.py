"""What a rule can be held against beside crushing and bending: tests of blocks, the dose, results from elsewhere; what waits."""

from collections.abc import Iterator
from datetime import date

from loamwright.engine.evidence.acceptance import Measured
from loamwright.engine.evidence.waiting import Waiting
from loamwright.errors import InputError
from loamwright.project import blends, cure
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.blocks import blocks_of_mix, mix_of, pressed_on
from loamwright.project.rule_results import of_result
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.state import Fact, State
from loamwright.project.worked import TestGroups
from loamwright.rules.properties import Property, properties

MINUTES_PER_HOUR = 60.0
STRENGTHS = ("compressive_strength", "modulus_of_rupture")
"""Properties that `compare.evidence` gathers from crushing and bending itself."""


def beyond_strength(state: State, key: str) -> tuple[Measured, ...]:
    """Everything known of a mix (by its `mix_key`) that a rule can ask beside what its own broken blocks show."""
    return state.memo(("rule_evidence", key), lambda: tuple(_gathered(state, key)))


def _gathered(state: State, key: str) -> Iterator[Measured]:
    mix = state.find(mix_of(key), "mix")
    for block in blocks_of_mix(state, key):
        yield from _of_tests(state, BLOCK_TESTS, block.id, "block", pressed_on(state, block))
    if mix is not None and mix.fault is None:
        yield from _dose(state, mix)
        yield from _soil(state, mix)
    for fact in state.all("rule_result"):
        if fact.get("mix") is None or state.versions.entity(fact["mix"]) == mix_of(key):
            yield from of_result(fact, quietly=True)


def of_project(state: State) -> tuple[Measured, ...]:
    """Results that hold for every mix of a project, such as those of its walls."""
    return tuple(each for fact in state.all("rule_result") if fact.get("mix") is None for each in of_result(fact, quietly=True))


def _of_tests(state: State, tests: TestGroups, about: str, subject: str, pressed: date | None = None) -> Iterator[Measured]:
    shown = [each for each in properties().values() if each.finding and each.subject == subject and each.key not in STRENGTHS]
    for fact in tests.made(state, about):
        worked = tests.worked(state, fact)
        for each in shown:
            found = worked.finding(each.finding)
            if found is not None:
                yield _of_test(state, fact, each, found.value, pressed)


def _of_test(state: State, fact: Fact, asked: Property, value: float, pressed: date | None) -> Measured:
    soak = fact.number("soaked_for") if hasattr(fact.get("soaked_for"), "engine") else None
    cycles = fact.get("cycles")
    return Measured(
        property=asked.key,
        value=value,
        condition=asked.condition,
        soak_hours=None if soak is None else soak / MINUTES_PER_HOUR,
        age_days=None if pressed is None else float((_tested_on(state, fact) - pressed).days),
        subject=asked.subject,
        cycles=cycles if isinstance(cycles, int) else None,
    )


def _tested_on(state: State, fact: Fact) -> date:
    typed = fact.get("on")
    return date.fromisoformat(typed) if isinstance(typed, str) else state.moment(fact).date()


def _dose(state: State, mix: Fact) -> Iterator[Measured]:
    """The share of stabiliser in the dry mix as it is meant to be weighed out."""
    stabiliser = state.find(mix["stabiliser"], "stabiliser") if mix.get("stabiliser") else None
    if stabiliser is None or stabiliser.fault is not None or "dose" not in mix.values:
        return
    try:
        share = blends.wanted_dose(mix).value
    except InputError:
        return  # the mix asks about its own dose
    yield Measured("stabiliser_content", share, subject="mix")
    if stabiliser["type"] == "cement":
        yield Measured("cement_content", share, subject="mix")


def _soil(state: State, mix: Fact) -> Iterator[Measured]:
    """Tests of the soil, where the mix is made of one: those of one source of a blend do not speak of the blend."""
    blend = state.find(mix["blend"], "blend")
    sources = [] if blend is None or blend.fault is not None else list(blends.parts_of(blend))
    if len(sources) == 1:
        yield from _of_tests(state, SOIL_TESTS, sources[0], "soil")


def waiting(state: State, key: str) -> tuple[Waiting, ...]:
    """Blocks of a mix that are pressed and neither crushed nor bent, with the condition they are meant for."""
    gone = cure.broken(state) | {state.versions.entity(fact["block"]) for fact in state.all("bend")}
    return tuple(
        Waiting(pressed_on(state, block), cure.condition_wanted(state, block))
        for block in blocks_of_mix(state, key)
        if state.versions.entity(block.id) not in gone
    )
