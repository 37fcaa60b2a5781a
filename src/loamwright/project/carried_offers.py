"""What a phone takes along to plan, choose and make: plans of the usual sets of mixes, recipes of each mix that may be chosen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import combinations
from typing import Any

from loamwright import __version__
from loamwright.engine.yard.recipe import recipe_search
from loamwright.errors import InputError
from loamwright.notebook.entry import write
from loamwright.project import choosing, making, plan_offers, planning, telling
from loamwright.project.finding import Finding
from loamwright.project.making import Offered, Offers, Picked, Setup
from loamwright.project.plan_offers import Offer
from loamwright.project.state import Fact, State

MIXES_TO_BEGIN = 3
"""As many of the newest mixes as the page of plans begins with."""
MIXES_MOST = 6
"""Up to so many mixes a plan of all of them is taken along too: a longer one is no day's work."""
_RECIPES = 4  # as many as the page of recipes shows
_ANY_SEED = "any"  # how many blocks a plan has does not hang on its order
_NEVER = datetime(1970, 1, 1, tzinfo=UTC)


# --- plans -------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PlansAlong:
    """The three plans for one set of mixes.

    Attributes
    ----------
    mixes : tuple of Fact
    offers : tuple of Offer
    bodies : mapping of str to dict
        What a `plan` entry of each size says, told figures included, by size. Its marks are to be taken from those set aside
        for the phone that keeps it: the ones told here are nobody's.
    """

    mixes: tuple[Fact, ...]
    offers: tuple[Offer, ...]
    bodies: Mapping[str, dict[str, Any]]


def plans_along(state: State, *, seed: str) -> tuple[PlansAlong, ...]:
    """Plans for the newest three mixes, for each two of them, and for all where they are few; on the newest press.

    Nothing without a press, and no set with a mix that cannot be computed with.
    """
    presses = state.all("press")
    if not presses:
        return ()
    found = (_plans_of(state, mixes, presses[-1], seed) for mixes in mix_sets(state))
    return tuple(each for each in found if each is not None)


def mix_sets(state: State) -> tuple[tuple[Fact, ...], ...]:
    """The sets of mixes that plans are taken along for, the one to begin with first."""
    every = state.all("mix")
    newest = every[-MIXES_TO_BEGIN:]
    sets = [tuple(newest)] if newest else []
    if len(newest) > 2:
        sets += combinations(newest, 2)
    if len(newest) < len(every) <= MIXES_MOST:
        sets.append(tuple(every))
    return tuple(sets)


def _offers_of(state: State, mixes: Sequence[Fact], press: Fact, seed: str) -> tuple[Offer, ...]:
    try:
        return plan_offers.offers(state, mixes, press=press, seed=seed)
    except InputError:
        return ()


def _plans_of(state: State, mixes: Sequence[Fact], press: Fact, seed: str) -> PlansAlong | None:
    offers = _offers_of(state, mixes, press, seed)
    if not offers:
        return None
    said = {"seed": seed, "press": press.id, "mixes": [mix.id for mix in mixes]}
    bodies = {offer.size: telling.with_told(state, "plan", {"size": offer.size, **said}, entry_id="", at="") for offer in offers}
    return PlansAlong(tuple(mixes), offers, bodies) if all("rows" in body for body in bodies.values()) else None


def marks_for_a_plan(state: State) -> int:
    """How many marks the largest plan taken along needs."""
    press = state.latest("press")
    if press is None:
        return 0
    return max((offer.blocks for mixes in mix_sets(state) for offer in _offers_of(state, mixes, press, _ANY_SEED)), default=0)


def plans_open(state: State) -> tuple[planning.PlanView, ...]:
    """Plans with a batch that was not opened yet, the newest last."""
    found = (planning.plan_view(state, plan.id) for plan in state.all("plan"))
    return tuple(view for view in found if view.next is not None)


def soil_per_block(state: State, mix: Fact) -> Mapping[str, float]:
    """Damp soil that one block of a batch takes, what is left in the mixer included, by press id. [kg]"""
    found: dict[str, float] = {}
    for press in state.all("press"):
        try:
            taken = plan_offers.batch_takes(state, mix, press=press, blocks=1)
        except InputError:
            continue
        found[press.id] = sum(each.value for each in taken.soil.values())
    return found


# --- recipes -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RecipesAlong:
    """Recipes as they would be offered if a mix were chosen.

    Attributes
    ----------
    setup : Setup
    search_notes : tuple
        What the search says of all of them.
    first : Offered or None
        The recipe to put first: it gives the chosen mix.
    others : tuple of Offered
    to_split : Offered or None
        One in heaps, where it comes nearer and is not first.
    weigh : Finding or None
        Stabiliser to weigh for the nearest recipe's pails, where no number of half bags comes near the dose. [kg]
    """

    setup: Setup
    search_notes: tuple[Any, ...]
    first: Offered | None
    others: tuple[Offered, ...]
    to_split: Offered | None
    weigh: Finding | None

    @property
    def all(self) -> tuple[Offered, ...]:
        """Every recipe that may be kept, the one to put first first."""
        return tuple(each for each in (self.first, self.to_split, *self.others) if each is not None)


def as_if_chosen(state: State, mix: str) -> Fact:
    """A choice of a mix that nobody has made: to reckon what would follow from it."""
    body = {"mix": mix, "reason": "-"}
    return Fact("", [write("choice", body, project=state.project, moment=_NEVER)], 1)


def recipes_along(state: State, mix: str, *, hot: bool = False) -> RecipesAlong:
    """The recipes of a mix if it were chosen, with the newest mixer and press and the usual pail.

    Raises
    ------
    InputError
        "recipe_lacks" and what the readings raise.
    """
    ready = making.setup(state, Picked(hot=hot), choice=as_if_chosen(state, mix))
    found = _offers(ready)
    slow = found.to_split
    near = [each for each in found.recipes if not making.misses_dose(ready, each)]
    in_heaps = slow is not None and not near and not making.misses_dose(ready, slow)
    first = near[0] if near else slow if in_heaps else None
    weigh = None
    if first is None and found.recipes:
        weigh = making.weighed_stabiliser(ready, sets=found.recipes[0].recipe.sets)
    return RecipesAlong(
        setup=ready,
        search_notes=tuple(note for note in found.search.notes if note.code != "split_before_stabiliser"),
        first=first,
        others=tuple(each for each in found.recipes if each is not first),
        to_split=None if slow is first else slow,
        weigh=weigh,
    )


def _offers(ready: Setup) -> Offers:
    found = recipe_search(
        ready.parts,
        yard=ready.yard,
        stabiliser_of_total=ready.dose.value,
        target_water_content=ready.target_water,
        water_content=ready.water_content,
    )
    slow = None if found.too_slow is None else making.offered(ready, found.too_slow)
    return Offers(ready, found, tuple(making.offered(ready, each) for each in found.recipes[:_RECIPES]), slow)


def recipe_shown(ready: Setup, made: Offered) -> dict[str, Any]:
    """The figures a `recipe` entry tells, as `making.recipe_body` puts them."""
    return {**making.told_figures(ready, made), "version": __version__}


def mixes_to_make(state: State) -> tuple[str, ...]:
    """Mixes a recipe may be wanted of: the chosen one, and those that may be chosen."""
    choice = choosing.current_choice(state)
    chosen = [] if choice is None else [state.versions.entity(choice["mix"])]
    found = choosing.choosing(state)
    return tuple(dict.fromkeys([*chosen, *(mix for mix in found.gates if found.may_choose(mix))]))
