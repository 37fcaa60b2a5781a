"""What a stage says beyond its figures: orders, offers, verdicts, each as lines to read and as values for a program."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from loamwright.errors import InputError
from loamwright.project import blending, brief, choosing, cure, making, press, weigh
from loamwright.project.state import Fact, State
from loamwright.words import batches, blocks, briefs, choices, comparisons, ratios, recipes
from loamwright.words.sentences import of_fault, of_note, of_notes
from loamwright.words.showing import name_of, shown_units


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, its lines, and the same as typed values under a name."""

    title: str
    lines: list[str]
    name: str
    data: list[dict[str, Any]] = field(default_factory=list)


def sections_of(state: State, verb: str, now: datetime) -> list[Section]:
    """The sections of a stage; what keeps them from being made is said instead."""
    stage = _STAGES.get(verb)
    if stage is None:
        return []
    try:
        return stage(state, now)
    except InputError as fault:
        return [Section("Withheld", [of_fault(fault)], "withheld", [{"code": fault.code, "says": of_fault(fault)}])]


def _today(state: State, now: datetime) -> list[Section]:
    of = brief.brief(state)
    data = [{"by": of.by, "rule": None if of.rule is None else of.rule.key, "grade": of.grade, "lacks": list(of.lacks)}]
    return [Section("Brief", [briefs.short(of, shown_units(state))], "brief", data)]


def _blend(state: State, now: datetime) -> list[Section]:
    known = blending.ready(state)
    if len(known) < 2:
        return []
    offered = blending.offers(state, known)
    views = [("best", offered.best), ("leaner", offered.leaner), ("fatter", offered.fatter)]
    there = [(place, view) for place, view in views if view is not None]
    lines = [f"{place}: {_offer(state, view)}" for place, view in there]
    data = [{"place": place, "parts": dict(view.parts), **_chances(view)} for place, view in there]
    return [Section("Blends to try", lines, "offers", data)]


def _offer(state: State, view: blending.BlendView) -> str:
    words, _ = ratios.answer(view)
    return f"{ratios.ratio(state, view.parts)}: {words}. {ratios.change(state, view)}".strip()


def _chances(view: blending.BlendView) -> dict[str, Any]:
    chances = view.window.chances
    return {"answer": chances.answer, "below": chances.below, "inside": chances.inside, "above": chances.above}


def _weigh(state: State, now: datetime) -> list[Section]:
    return [
        Section(name_of(state, fact.id), batch_lines(state, fact, now), "orders", _targets(state, fact))
        for fact in state.all("batch")
    ]


def _targets(state: State, batch: Fact) -> list[dict[str, Any]]:
    try:
        told = weigh.told_targets(weigh.batch_view(state, batch.id))
    except InputError as fault:
        return [{"batch": batch.id, "withheld": of_fault(fault)}]
    shown = {name: value for name, value in told.items() if name != "stood_on"}
    return [{"batch": batch.id, "next": weigh.next_weighing(state, batch) or None, **shown}]


def batch_lines(state: State, batch: Fact, now: datetime) -> list[str]:
    """Orders of a batch, what goes in next, what was reached, how long it may still wait."""
    try:
        view = weigh.batch_view(state, batch.id)
    except InputError as fault:
        return [of_fault(fault)]
    shown = shown_units(state)
    lines = [_order(order) for order in batches.orders(view, shown)]
    waits = weigh.next_weighing(state, batch)
    lines.append(f"{waits} next" if waits else "weighed")
    remedy = batches.remedy(view, shown)
    if remedy is not None:
        lines.append(f"{_order(remedy)}. {remedy['then']}")
    words, _ = batches.miss(view)
    pressed = state.where("block", "batch", batch.id)
    held = "" if pressed else batches.hold(weigh.hold_now(state, view, now))
    return [*lines, *(text for text in (batches.conventions(view), words, held) if text), *of_notes(view.notes)]


def _order(order: Mapping[str, str]) -> str:
    number = f"{order['number']} {order['unit']}".strip()
    return f"{order['text']} {number}"


def _press(state: State, now: datetime) -> list[Section]:
    mark = press.next_mark(state)
    return [Section("Next mark", [mark], "next_mark", [{"mark": mark}])]


def _break(state: State, now: datetime) -> list[Section]:
    groups = cure.to_break(state)
    lines = [", ".join(blocks.group_words(state, group, now.date())) for group in groups]
    data = [
        {
            "batch": group.batch,
            "blocks": [block.id for block in group.blocks],
            "condition": group.condition,
            "age_days": group.age_days,
            "soak_on": None if group.soak_on is None else group.soak_on.isoformat(),
            "break_on": group.break_on.isoformat(),
        }
        for group in groups
    ]
    return [Section("To break", lines, "to_break", data)]


def _choose(state: State, now: datetime) -> list[Section]:
    found = choosing.choosing(state)
    compared = found.comparison
    verdicts = [_verdict_line(state, each) for each in compared.mixes]
    verdict_data = [
        {"mix": each.key, "blocks": len(each.counted), "verdict": None if each.verdict is None else each.verdict.word}
        for each in compared.mixes
    ]
    pairs = [comparisons.pair_line(state, compared, pair) for pair in compared.pairs]
    pair_data = [
        {"first": pair.first, "second": pair.second, "verdict": pair.verdict, "probability": pair.probability}
        for pair in compared.pairs
    ]
    order = [" ".join(part for part in each.values() if part) for each in choices.ranked(state, found)]
    gates = [
        {"mix": key, "gate": gate.state, "not_met": list(gate.not_met), "open_questions": list(gate.open_questions)}
        for key, gate in found.gates.items()
    ]
    places = [{"place": each.place, "mix": each.figures.mix} for each in found.ranking.ranked]
    return [
        Section("Verdicts", verdicts, "verdicts", verdict_data),
        Section("Apart or not", [*pairs, *comparisons.left_out(state, compared)], "pairs", pair_data),
        Section("Order", order, "ranking", places),
        Section("", [], "gates", gates),
    ]


def _verdict_line(state: State, each: Any) -> str:
    words, _ = comparisons.verdict(each)
    return f"{blocks.mix_key_name(state, each.key)}: {words}. {comparisons.chances(each)}".strip()


def _make(state: State, now: datetime) -> list[Section]:
    lacks = making.lacks(state)
    if lacks:
        lines = [recipes.lack_words(state, lack) for lack in lacks]
        return [Section("Missing for a recipe", lines, "lacks", [{"lack": lack.code, "about": lack.about} for lack in lacks])]
    offered = making.offers(state)
    lines = [
        f"{recipes.recipe_line(state, made)}: {recipes.reaches(offered.setup, made)}; {recipes.batch_words(made)}"
        for made in offered.recipes
    ]
    data = [
        {
            "sets": made.recipe.sets,
            "bags": made.recipe.bags,
            "pails": dict(made.recipe.pails),
            "stabiliser_of_total": made.dose.value,
            "water_to_add_kg": made.water.value,
            "blocks": made.recipe.blocks,
            "press_minutes": made.recipe.press_minutes,
        }
        for made in offered.recipes
    ]
    lines += [of_note(note) for note in offered.search.notes]
    return [Section("Recipes", lines, "recipes", data)]


_STAGES: Mapping[str, Callable[[State, datetime], list[Section]]] = {
    "today": _today,
    "blend": _blend,
    "weigh": _weigh,
    "press": _press,
    "break": _break,
    "choose": _choose,
    "make": _make,
}
