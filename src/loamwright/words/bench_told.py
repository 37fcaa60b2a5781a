"""What a phone takes along in words to plan, choose, make and answer without a network, each with the figures its entry tells."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from loamwright.errors import InputError
from loamwright.project import carried_offers, choosing, making, plan_offers, proving, today
from loamwright.project.asking import Question
from loamwright.project.carried_offers import PlansAlong, RecipesAlong
from loamwright.project.compare import MixResult
from loamwright.project.making import Offered
from loamwright.project.plan_offers import Offer
from loamwright.project.planning import PlanView
from loamwright.project.state import Fact, State
from loamwright.words import briefs, choices, comparisons, plans, recipes
from loamwright.words.asked import question_words
from loamwright.words.blocks import mix_key_name
from loamwright.words.contested import live_versions
from loamwright.words.language import tr
from loamwright.words.numbers import Shown
from loamwright.words.said import said
from loamwright.words.sentences import of_fault, of_note, of_notes, sentence
from loamwright.words.showing import name_of

Sheet = dict[str, Any]
WHY = "why_"


# --- plans ---


def planning_told(state: State, shown: Shown, now: datetime) -> Sheet:
    """Plans to keep, by set of mixes; plans kept with batches left to open; whether the rig can break the blocks."""
    press = state.latest("press")
    sets = carried_offers.plans_along(state, seed=now.date().isoformat())
    return {
        "sets": [_set(state, each, shown) for each in sets],
        "rig": [] if press is None else _rig(state, press),
        "open": [_open_plan(state, view) for view in carried_offers.plans_open(state)],
    }


def _rig(state: State, press: Fact) -> list[str]:
    try:
        return of_notes(plan_offers.rig_verdict(state, press).notes)
    except InputError as fault:
        return [of_fault(fault)]


def _set(state: State, each: PlansAlong, shown: Shown) -> Sheet:
    columns, rows = plans.offer_table(state, each.offers, shown)
    return {
        "names": [name_of(state, mix.id) for mix in each.mixes],
        "columns": columns,
        "rows": rows,
        "sizes": [_size(offer, each.bodies[offer.size]) for offer in each.offers],
    }


def _size(offer: Offer, body: Mapping[str, Any]) -> Sheet:
    """A plan as it would be kept, without its marks: those are the phone's own."""
    rows = [{name: value for name, value in row.items() if name != "marks"} for row in body["rows"]]
    return {"name": tr(plans.SIZE_NAMES[offer.size]), "notes": of_notes(offer.notes), "body": {**body, "rows": rows}}


def _open_plan(state: State, view: PlanView) -> Sheet:
    entity = state.versions.entity
    return {
        "id": view.fact.id,
        "name": name_of(state, view.fact.id),
        "press": entity(view.fact["press"]) if view.fact.get("press") else "",
        "mixes": [entity(mix) for mix in view.fact.get("mixes", ())],
        "rows": [
            {
                "row": row.row,
                "day": row.day,
                "mix": entity(row.mixes[0]) if not row.place else "",
                "place": row.place,
                "fates": [{"fate": fate.fate, "age_days": fate.age} for fate in row.fates],
                "marks": list(row.marks),
                "opened": "" if row.batch is None else entity(row.batch["mix"]),
            }
            for row in view.rows
        ],
    }


# --- the choice ---


def choosing_told(state: State, shown: Shown, now: datetime) -> Sheet:
    """What the broken blocks say of each mix, which may be chosen, and the figures a choice made now stands on."""
    found = choosing.choosing(state)
    comparison = found.comparison
    told = choosing.choice_body(state, {})
    choice = choosing.current_choice(state)
    return {
        "decided": comparison.brief.decided,
        "brief": briefs.short(comparison.brief, shown),
        "mixes": [_mix(state, each, shown, now.date()) for each in comparison.mixes],
        "pairs": [comparisons.pair_line(state, comparison, each) for each in comparison.pairs],
        "pair_notes": [*comparisons.left_out(state, comparison), *(of_note(note) for note in comparison.notes)],
        "ranked": choices.ranked(state, found),
        "rank_notes": choices.notes(state, found),
        "bars": choices.bars(state, found),
        "ladder": choices.ladder(found.ladder),
        "options": [{"id": mix, "name": mix_key_name(state, mix)} for mix in found.in_order() if found.may_choose(mix)],
        "told": told,
        "chosen": None if choice is None else _chosen(state, choice),
    }


def _chosen(state: State, choice: Fact) -> Sheet:
    return {
        "id": choice.id,
        "mix": state.versions.entity(choice["mix"]),
        "name": name_of(state, choice["mix"]),
        "reason": choice["reason"],
    }


def _mix(state: State, each: MixResult, shown: Shown, day: date) -> Sheet:
    word, shape = comparisons.verdict(each)
    return {
        "name": mix_key_name(state, each.key),
        "word": word,
        "shape": shape,
        "line": "" if each.spread is None else comparisons.strip_text(state, each, shown),
        "chances": comparisons.chances(each),
        "notes": comparisons.mix_notes(each, day),
    }


# --- recipes ---


def recipes_told(state: State, shown: Shown) -> Sheet:
    """Recipes of every mix that is chosen or may be, on usual and on hot days; what is missing where there can be none."""
    return {
        "mixes": {mix: _recipes(state, mix, shown) for mix in carried_offers.mixes_to_make(state)},
        "kept": [_kept(state, fact) for fact in state.all("recipe")],
    }


def _kept(state: State, fact: Fact) -> Sheet:
    view = proving.recipe_view(state, fact.id)
    return {
        "id": fact.id,
        "what": recipes.told_line(state, fact, view.shown),
        "when": tr("draft") if view.draft else tr("proven"),
    }


def _recipes(state: State, mix: str, shown: Shown) -> Sheet:
    name = name_of(state, mix)
    try:
        lacks = making.lacks(state, choice=carried_offers.as_if_chosen(state, mix))
        if lacks:
            return {"name": name, "lacks": [recipes.lack_words(state, lack) for lack in lacks]}
        days = {day: carried_offers.recipes_along(state, mix, hot=day == "hot") for day in ("usual", "hot")}
        return {"name": name, "lacks": [], **{day: _of_day(state, found, shown) for day, found in days.items()}}
    except InputError as fault:
        return {"name": name, "lacks": [of_fault(fault)]}


def _of_day(state: State, found: RecipesAlong, shown: Shown) -> Sheet:
    """The recipes of one kind of day; what all of them tell alike stands once."""
    ready = found.setup
    shown_of = [carried_offers.recipe_shown(ready, made) for made in found.all]
    alike = (
        {name: value for name, value in shown_of[0].items() if all(each[name] == value for each in shown_of)} if shown_of else {}
    )
    offers = [
        {**_recipe(state, found, made, shown), "told": {name: value for name, value in told.items() if name not in alike}}
        for made, told in zip(found.all, shown_of, strict=True)
    ]
    weigh = found.weigh
    return {
        "named": {"mixer": ready.mixer.id, "press": ready.press.id, "container": ready.container.id},
        "names": [name_of(state, each.id) for each in (ready.mixer, ready.press, ready.container)],
        "notes": of_notes(list(found.search_notes)),
        "told": alike,
        "first": found.first is not None,
        "offers": offers,
        "weigh": [] if weigh is None else recipes.weighed_orders(state, ready, found.others[0], weigh.value, shown),
    }


def _recipe(state: State, found: RecipesAlong, made: Offered, shown: Shown) -> Sheet:
    half_bags = round(2 * made.recipe.bags)
    bag = found.setup.yard.bag_mass
    return {
        "sets": made.recipe.sets,
        "half_bags": half_bags,
        "line": recipes.recipe_line(state, made),
        "orders": recipes.orders(state, made.recipe.pails, half_bags, made.water.value, shown, bag_mass=bag),
        "reaches": recipes.reaches(found.setup, made),
        "batch": recipes.batch_words(made),
        "split": recipes.split_words(made, shown),
    }


# --- questions ---


def questions_told(state: State) -> list[Sheet]:
    """Every open question with its answers."""
    return [_question(state, each) for each in today.questions(state)]


def _question(state: State, each: Question) -> Sheet:
    about = [entity for entity in each.about if state.versions.history(entity)]
    values = {"names": ", ".join(name_of(state, entity) for entity in about), **each.values}
    return {
        "code": each.code,
        "verb": each.verb,
        "about": list(each.about),
        "text": question_words(state, each),
        "why": sentence(WHY + (each.code if WHY + each.code in said() else each.grade), values),
        "asks": each.grade == "unlikely",
        "versions": _versions(state, about[0]) if each.code == "contested" and about else [],
    }


def _versions(state: State, entity: str) -> Sequence[Sheet]:
    """Of two live versions each, with the entry that would settle it: that version's words in the place of all."""
    heads = [head.id for head in state.versions.heads(state.versions.entity(entity))]
    found = []
    for head, words in live_versions(state, entity):
        entry = state.versions.entries[head]
        said_of = {"kind": entry.kind, "schema": entry.schema, "project": entry.project, "body": entry.body}
        found.append({"words": words, **said_of, "replaces": heads})
    return found
