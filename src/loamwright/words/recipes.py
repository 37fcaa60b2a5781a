"""Recipes in words: orders for the crew, what a batch really reaches, the proving batch and the morning."""

from collections.abc import Mapping
from typing import Any

from loamwright.project.finding import Finding
from loamwright.project.making import Lack, Offered, Setup
from loamwright.project.proving import MorningView, Proof
from loamwright.project.state import Fact, State
from loamwright.words.batches import Order
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
    return ("Bags", str(half_bags // 2)) if half_bags % 2 == 0 else ("Half bags", str(half_bags))


def water_order(mass: float, shown: Shown) -> Order:
    """Water to start with, in the person's volume, to the whole litre (half a litre below ten)."""
    if mass <= 0:
        return {"text": "Water", "number": "none", "unit": "", "then": "The stock holds too much already: dry it first."}
    unit = shown.unit("volume")
    amount = unit.from_engine(mass / LITRES)
    step = 1.0 if amount >= 10 else 0.5
    return {
        "text": "Water to start",
        "number": to_step(amount, step),
        "unit": unit.label,
        "then": "Then by feel; write down what went in.",
    }


def orders(
    state: State, pails: Mapping[str, int], half_bags: int, water: float, shown: Shown, *, bag_mass: float | None = None
) -> list[Order]:
    """One batch as the crew counts it out; with the mass of a bag, also what its bags weigh."""
    text, bags = half_bags_words(half_bags)
    mass = "" if bag_mass is None else f"{shown.value(half_bags * bag_mass / 2, 'mass', digits=1)} of stabiliser."
    return [*_pail_orders(state, pails), {"text": text, "number": bags, "unit": "", "then": mass}, water_order(water, shown)]


def weighed_orders(state: State, ready: Setup, made: Offered, stabiliser: float, shown: Shown) -> list[Order]:
    """The same pails with the stabiliser weighed, where no number of half bags comes near the dose."""
    unit = shown.unit("mass")
    mass = {"number": to_step(unit.from_engine(stabiliser), 0.01), "unit": unit.label, "then": ""}
    return [*_pail_orders(state, made.recipe.pails), {"text": f"{name_of(state, ready.stabiliser.id)}, weighed", **mass}]


def _pail_orders(state: State, pails: Mapping[str, int]) -> list[Order]:
    return [
        {"text": name_of(state, source), "number": str(n), "unit": "pail" if n == 1 else "pails", "then": ""}
        for source, n in pails.items()
    ]


def recipe_line(state: State, made: Offered) -> str:
    """A recipe on one line: "Bank sand 10 pails, Red clay 4 pails, half bags 1"."""
    pails = [f"{name_of(state, source)} {count(number_of, 'pail')}" for source, number_of in made.recipe.pails.items()]
    text, bags = half_bags_words(round(2 * made.recipe.bags))
    return ", ".join([*pails, f"{text.lower()} {bags}"])


def reaches(ready: Setup, made: Offered) -> str:
    """The dose a recipe really gives, beside the one wanted."""
    return f"{percent(made.dose.value, 2)} of the total dry mix, {percent(ready.dose.value, 2)} wanted"


def batch_words(made: Offered) -> str:
    """Blocks of a batch and the time to press them."""
    return f"{count(made.recipe.blocks, 'block')}, {span(made.recipe.press_minutes)} to press"


def split_words(made: Offered, shown: Shown) -> str:
    """How a batch that cannot be pressed in time is parted, before any stabiliser goes in."""
    split = made.split
    if split is None:
        return ""
    if split.bags_per_heap is None:
        each = shown.value(split.stabiliser_mass_per_heap, "mass", digits=2) + " of stabiliser, weighed"
    else:
        text, bags = half_bags_words(round(2 * split.bags_per_heap))
        each = f"{text.lower()} {bags}"
    said = sentence("split_before_stabiliser", {"heaps": split.heaps})
    return f"{said} Each heap: {each}, {count(split.blocks_per_heap, 'block')}."


def told_line(state: State, fact: Fact, shown: Mapping[str, Any]) -> str:
    """A kept recipe on one line."""
    pails = shown.get("pails")
    if not isinstance(pails, dict):
        return f"Recipe, {count(fact['sets'], 'set')}"
    text, bags = half_bags_words(fact["half_bags"])
    return ", ".join(
        [*(f"{name_of(state, source)} {number_of}" for source, number_of in pails.items()), f"{text.lower()} {bags}"]
    )


def proof_words(proof: Proof) -> str:
    """What a proving batch was, on one line."""
    said = [count(proof.fact["blocks"], "block")] if "blocks" in proof.fact.values else []
    if isinstance(proof.mass_error, Finding):
        said.append(f"mass within {percent(proof.mass_error.value)}")
    if isinstance(proof.height_error, Finding):
        said.append(f"height within {number(proof.height_error.value, 1)} mm")
    if "soaked" in proof.fact.values and "whole_after_soak" in proof.fact.values:
        said.append(f"{proof.fact['whole_after_soak']} of {proof.fact['soaked']} whole after the soak")
    return ", ".join(said) or "nothing measured yet"


def morning_lines(state: State, view: MorningView) -> list[dict[str, Any]]:
    """Each reading of the morning with its state."""
    lines: list[dict[str, Any]] = []
    if view.scale_check is not None:
        lines.append(_check_line("Scale against water", view.scale_check.error, view.scale_check.within))
    elif view.scale is not None and not isinstance(view.scale, Finding):
        lines.append({"what": "Scale against water", "says": of_fault(view.scale.fault), "kind": "question"})
    lines += [_check_line(f"Pail of {name_of(state, pail.source)}", pail.check.error, pail.check.within) for pail in view.pails]
    return lines


def _check_line(what: str, error: float, within: bool) -> dict[str, Any]:
    sign = "heavy" if error > 0 else "light"
    return {"what": what, "says": f"{percent(abs(error))} {sign}", "kind": "met" if within else "not_met"}
