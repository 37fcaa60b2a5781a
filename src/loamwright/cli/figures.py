"""Computed numbers of each stage, with whose they are: asked of the project, nothing is computed here."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from loamwright.errors import InputError
from loamwright.project import (
    blending,
    blocks,
    breaking,
    brief,
    choosing,
    compare,
    costs,
    dig,
    ladder,
    making,
    press,
    shake,
    weigh,
)
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.finding import Finding, Result, Withheld
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.state import Fact, State
from loamwright.project.worked import TestGroups
from loamwright.words.asked_for import kind_said
from loamwright.words.blocks import mix_key_name, strength_label
from loamwright.words.briefs import assumption_words
from loamwright.words.recipes import recipe_line
from loamwright.words.showing import name_of


@dataclass(frozen=True, slots=True)
class Figure:
    """One computed number: the entity it is about, whose it is in words, what it is, the quantity it is shown as."""

    about: str
    whose: str
    label: str
    quantity: str
    result: Result


Asked = tuple[str, str, Result | None]  # label, quantity ("" for a plain number), what the project answers


def figures_of(state: State, verb: str) -> list[Figure]:
    """The figures of a stage; what keeps one from being computed stands in its place."""
    stage = _STAGES.get(verb)
    return [] if stage is None else list(stage(state))


def _each(state: State, about: str, whose: str, ask: Callable[[], tuple[Asked, ...]]) -> Iterator[Figure]:
    try:
        found = ask()
    except InputError as fault:
        found = (("figures", "", Withheld("figures", fault, (about,))),)
    yield from (Figure(about, whose, label, quantity, result) for label, quantity, result in found if result is not None)


def _today(state: State) -> Iterator[Figure]:
    def ask() -> tuple[Asked, ...]:
        figures = brief.pass_figures(state)
        needed = () if figures is None else figures.needed
        return tuple((f"true mean above the limit, {assumption_words(each)}", "share", result) for each, result in needed)

    yield from _each(state, state.project, "Brief", ask)


def _dig(state: State) -> Iterator[Figure]:
    def ask(source: str) -> tuple[Asked, ...]:
        return (
            ("moisture", "share", dig.last_moisture(state, source)),
            ("dry mass of one struck pail", "mass", dig.pail_mass(state, source)),
            ("loose dry density", "density", dig.loose_density(state, source)),
            ("oversize", "share", dig.oversize(state, source)),
        )

    for fact in state.all("source"):
        yield from _each(state, fact.id, name_of(state, fact.id), partial(ask, fact.id))


def _shake(state: State) -> Iterator[Figure]:
    def ask(source: str) -> tuple[Asked, ...]:
        return tuple((name, "share", shake.share(state, source, name)) for name in ("sand", "silt", "clay"))

    for fact in state.all("source"):
        yield from _each(state, fact.id, name_of(state, fact.id), partial(ask, fact.id))
    yield from _tests(state, SOIL_TESTS)


def _tests(state: State, groups: TestGroups) -> Iterator[Figure]:
    """The results of every test of a group, under what it was made of and what it is."""
    for _, test in groups.each():
        for fact in state.all(test.kind):
            whose = f"{name_of(state, fact[test.about])}, {kind_said(fact.kind).label.lower()}"
            for told in groups.worked(state, fact).results:
                yield Figure(fact.id, whose, told.label, told.quantity, told.result)


def _blend(state: State) -> Iterator[Figure]:
    def ask(fact: Fact) -> tuple[Asked, ...]:
        view = blending.kept_view(state, fact)
        held = tuple((name, "share", finding) for name, finding in view.held.items())
        return (*held, ("chance to lie in the window", "share", view.window.chance))

    for fact in state.all("blend"):
        yield from _each(state, fact.id, name_of(state, fact.id), partial(ask, fact))


def _weigh(state: State) -> Iterator[Figure]:
    for blend in ladder.blends_of_interest(state):
        yield from _each(
            state,
            blend.id,
            name_of(state, blend.id),
            partial(_ladder, state, blend.id),
        )
    for fact in state.all("batch"):
        yield from _each(state, fact.id, name_of(state, fact.id), partial(_batch, state, fact.id))


def _ladder(state: State, blend: str) -> tuple[Asked, ...]:
    return (("moisture by the water ladder", "share", ladder.target_water(state, blend)),)


def _batch(state: State, batch: str) -> tuple[Asked, ...]:
    view = weigh.batch_view(state, batch)
    return (
        ("dry soil", "mass", view.dry_soil),
        ("stabiliser wanted", "mass", view.stabiliser_wanted),
        ("water wanted", "mass", view.water_wanted),
        ("dose reached, of the total dry mix", "share", view.achieved),
        ("moisture reached, of the dry mix", "share", view.mix_water),
    )


def _press(state: State) -> Iterator[Figure]:
    def ask(block: Fact) -> tuple[Asked, ...]:
        return (
            ("density as pressed", "density", blocks.green_density(state, block)),
            ("dry density", "density", blocks.dry_density(state, block)),
            ("pressure on the soil", "pressure", blocks.soil_pressure(state, block)),
            ("loose over pressed height", "", blocks.compression(state, block)),
        )

    for fact in blocks.known_blocks(state):
        yield from _each(state, fact.id, name_of(state, fact.id), partial(ask, fact))
    for mix in state.all("mix"):
        yield from _each(
            state,
            mix.id,
            name_of(state, mix.id),
            partial(_spoiled, state, mix.id),
        )


def _spoiled(state: State, mix: str) -> tuple[Asked, ...]:
    return (("spoiled blocks", "share", press.spoiled_share(state, mix)),)


def _break(state: State) -> Iterator[Figure]:
    for kind, found in (("crushed", breaking.strengths(state)), ("bent", breaking.bendings(state))):
        for each in found:
            yield Figure(each.block, name_of(state, each.block), strength_label(each, kind), "pressure", each.finding)
    for result in breaking.withheld(state):
        about = result.about[0] if result.about else ""
        yield Figure(about, name_of(state, about), "strength", "pressure", result)
    yield from _tests(state, BLOCK_TESTS)


def _choose(state: State) -> Iterator[Figure]:
    found = choosing.choosing(state)
    for each in found.comparison.mixes:
        yield from _each(state, each.key, mix_key_name(state, each.key), partial(_compared, each))
    for key, cost in found.costs.items():
        yield from _each(
            state,
            key,
            mix_key_name(state, key),
            partial(_cost, cost),
        )


def _cost(cost: costs.MixCost) -> tuple[Asked, ...]:
    return (("dry mass of one block", "mass", cost.block_mass), ("cost of one block", "", cost.cost))


def _compared(each: compare.MixResult) -> tuple[Asked, ...]:
    return (
        ("mean", "pressure", each.mean),
        ("scatter", "share", each.scatter),
        ("cautious value", "pressure", each.cautious),
    )


def _make(state: State) -> Iterator[Figure]:
    if making.lacks(state):
        return
    for made in making.offers(state).recipes:
        figures: tuple[tuple[str, str, Finding], ...] = (
            ("dose reached, of the total dry mix", "share", made.dose),
            ("water to add", "mass", made.water),
            ("blocks of one batch", "", made.blocks),
            ("time to press them", "duration", made.minutes),
        )
        whose = recipe_line(state, made)
        yield from (Figure("", whose, label, quantity, result) for label, quantity, result in figures)


_STAGES: Mapping[str, Callable[[State], Iterator[Figure]]] = {
    "today": _today,
    "dig": _dig,
    "shake": _shake,
    "blend": _blend,
    "weigh": _weigh,
    "press": _press,
    "break": _break,
    "choose": _choose,
    "make": _make,
}
