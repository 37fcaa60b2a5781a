"""Recipes in words: orders for the crew, what a batch really reaches, the proving batch and the morning."""

from collections.abc import Mapping
from typing import Any

from loamwright.project.finding import Finding
from loamwright.project.making import Lack, Offered, Setup
from loamwright.project.proving import MorningView, Proof
from loamwright.project.state import Fact, State
from loamwright.words.batches import Order
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, count, number, percent, span, to_step
from loamwright.words.sentences import of_fault, sentence
from loamwright.words.showing import name_of

LITRES = 1000.0


def lack_words(state: State, lack: Lack) -> str:
    """What is missing before a recipe can be reckoned."""
    return sentence(f"lacks_{lack.code}", {"name": name_of(state, lack.about) if lack.about else ""})


def half_bags_words(half_bags: int) -> tuple[str, str]:
    """Bags as a crew takes them: whole ones, or halves where there is an odd one.

    >>> half_bags_words(1), half_bags_words(4)
    (('Half bags', '1'), ('Bags', '2'))
    """
    return (tr("Bags"), str(half_bags // 2)) if half_bags % 2 == 0 else (tr("Half bags"), str(half_bags))


def water_order(mass: float, shown: Shown) -> Order:
    """Water to start with, in the person's volume, to the whole litre (half a litre below ten)."""
    if mass <= 0:
        too_wet = tr("The stock holds too much already: dry it first.")
        return {"text": tr("Water"), "number": tr("none"), "unit": "", "then": too_wet}
    unit = shown.unit("volume")
    amount = unit.from_engine(mass / LITRES)
    step = 1.0 if amount >= 10 else 0.5
    return {
        "text": tr("Water to start"),
        "number": to_step(amount, step),
        "unit": unit.label,
        "then": tr("Then by feel; write down what went in."),
    }


def orders(
    state: State, pails: Mapping[str, int], half_bags: int, water: float, shown: Shown, *, bag_mass: float | None = None
) -> list[Order]:
    """One batch as the crew counts it out; with the mass of a bag, also what its bags weigh."""
    text, bags = half_bags_words(half_bags)
    mass = ""
    if bag_mass is not None:
        mass = tr("{mass} of stabiliser.", mass=shown.value(half_bags * bag_mass / 2, "mass", digits=1))
    return [*_pail_orders(state, pails), {"text": text, "number": bags, "unit": "", "then": mass}, water_order(water, shown)]


def weighed_orders(state: State, ready: Setup, made: Offered, stabiliser: float, shown: Shown) -> list[Order]:
    """The same pails with the stabiliser weighed, where no number of half bags comes near the dose."""
    unit = shown.unit("mass")
    mass = {"number": to_step(unit.from_engine(stabiliser), 0.01), "unit": unit.label, "then": ""}
    return [
        *_pail_orders(state, made.recipe.pails),
        {"text": tr("{stabiliser}, weighed", stabiliser=name_of(state, ready.stabiliser.id)), **mass},
    ]


def _pail_orders(state: State, pails: Mapping[str, int]) -> list[Order]:
    return [
        {"text": name_of(state, source), "number": str(n), "unit": tr("pail") if n == 1 else tr("pails"), "then": ""}
        for source, n in pails.items()
    ]


def recipe_line(state: State, made: Offered) -> str:
    """A recipe on one line: "Bank sand 10 pails, Red clay 4 pails, half bags 1"."""
    pails = [f"{name_of(state, source)} {count(number_of, 'pail')}" for source, number_of in made.recipe.pails.items()]
    text, bags = half_bags_words(round(2 * made.recipe.bags))
    return ", ".join([*pails, f"{text.lower()} {bags}"])


def reaches(ready: Setup, made: Offered) -> str:
    """The dose a recipe really gives, beside the one wanted."""
    wanted = percent(ready.dose.value, 2)
    return tr("{dose} of the total dry mix, {wanted} wanted", dose=percent(made.dose.value, 2), wanted=wanted)


def batch_words(made: Offered) -> str:
    """Blocks of a batch and the time to press them."""
    return tr("{blocks}, {time} to press", blocks=count(made.recipe.blocks, "block"), time=span(made.recipe.press_minutes))


def split_words(made: Offered, shown: Shown) -> str:
    """How a batch that cannot be pressed in time is parted, before any stabiliser goes in."""
    split = made.split
    if split is None:
        return ""
    if split.bags_per_heap is None:
        each = tr("{mass} of stabiliser, weighed", mass=shown.value(split.stabiliser_mass_per_heap, "mass", digits=2))
    else:
        text, bags = half_bags_words(round(2 * split.bags_per_heap))
        each = f"{text.lower()} {bags}"
    said = sentence("split_before_stabiliser", {"heaps": split.heaps})
    return tr("{said} Each heap: {each}, {blocks}.", said=said, each=each, blocks=count(split.blocks_per_heap, "block"))


def told_line(state: State, fact: Fact, shown: Mapping[str, Any]) -> str:
    """A kept recipe on one line."""
    pails = shown.get("pails")
    if not isinstance(pails, dict):
        return tr("Recipe, {sets}", sets=count(fact["sets"], "set"))
    text, bags = half_bags_words(fact["half_bags"])
    return ", ".join(
        [*(f"{name_of(state, source)} {number_of}" for source, number_of in pails.items()), f"{text.lower()} {bags}"]
    )


def proof_words(proof: Proof) -> str:
    """What a proving batch was, on one line."""
    said = [count(proof.fact["blocks"], "block")] if "blocks" in proof.fact.values else []
    if isinstance(proof.mass_error, Finding):
        said.append(tr("mass within {share}", share=percent(proof.mass_error.value)))
    if isinstance(proof.height_error, Finding):
        said.append(tr("height within {n} mm", n=number(proof.height_error.value, 1)))
    if "soaked" in proof.fact.values and "whole_after_soak" in proof.fact.values:
        whole, soaked = proof.fact["whole_after_soak"], proof.fact["soaked"]
        said.append(tr("{n} of {all} whole after the soak", n=whole, all=soaked))
    return ", ".join(said) or tr("nothing measured yet")


def morning_lines(state: State, view: MorningView) -> list[dict[str, Any]]:
    """Each reading of the morning with its state."""
    lines: list[dict[str, Any]] = []
    if view.scale_check is not None:
        lines.append(_check_line(tr("Scale against water"), view.scale_check.error, view.scale_check.within))
    elif view.scale is not None and not isinstance(view.scale, Finding):
        lines.append({"what": tr("Scale against water"), "says": of_fault(view.scale.fault), "kind": "question"})
    lines += [
        _check_line(tr("Pail of {source}", source=name_of(state, pail.source)), pail.check.error, pail.check.within)
        for pail in view.pails
    ]
    return lines


def _check_line(what: str, error: float, within: bool) -> dict[str, Any]:
    apart = percent(abs(error))
    says = tr("{share} heavy", share=apart) if error > 0 else tr("{share} light", share=apart)
    return {"what": what, "says": says, "kind": "met" if within else "not_met"}
