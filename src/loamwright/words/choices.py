"""The choice in words: the order of the mixes, what each takes, why one cannot be chosen, what would now be told."""

from collections.abc import Mapping
from typing import Any

from loamwright.engine.choice.gates import Remedy
from loamwright.engine.choice.ranking import RankedMix
from loamwright.errors import Note
from loamwright.project.choosing import Changed, Choosing
from loamwright.project.costs import Haul, MixCost
from loamwright.project.finding import Finding, Withheld
from loamwright.project.state import Fact, State
from loamwright.words.blocks import mix_key_name
from loamwright.words.briefs import chance_words
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, count, number, percent, with_unit
from loamwright.words.sentences import of_fault, of_note, sentence
from loamwright.words.showing import name_of

PRESSURES = ("mean_mpa", "least_mpa", "cautious_mpa")


def money(state: State, value: float) -> str:
    """A sum in the person's money: four digits are enough, cents only where they count.

    >>> from loamwright.project.state import State
    >>> money(State(""), 142.6), money(State(""), 8.5), money(State(""), 0.2984), money(State(""), 289000.0)
    ('142.6', '8.50', '0.298', '289000')
    """
    fact = state.find(state.project, "project")
    currency = "" if fact is None or fact.fault is not None else str(fact.get("currency", ""))
    digits = 0 if abs(value) >= 1000 else 1 if abs(value) >= 100 else 2 if abs(value) >= 1 or value == 0 else 3
    return with_unit(number(value, digits), currency)


def ranked(state: State, found: Choosing) -> list[dict[str, str]]:
    """The mixes that pass, best first, each with what decided its place."""
    return [_ranked(state, found, each) for each in found.ranking.ranked]


def _ranked(state: State, found: Choosing, each: RankedMix) -> dict[str, str]:
    cost = found.costs[each.figures.mix]
    price = tr("{cost} a block", cost=money(state, cost.cost.value)) if isinstance(cost.cost, Finding) else ""
    first = sentence("ranked_first" if each.place == 1 else "ranked_equal", {})
    why = first if each.decided_by is None else sentence(f"by_{each.decided_by}", {})
    more = [why, *takes(state, cost)]
    if each.not_apart_from:
        others = ", ".join(mix_key_name(state, key) for key in each.not_apart_from)
        more.append(sentence("not_apart_from", {"mixes": others}))
    return {"what": f"{each.place}. {mix_key_name(state, each.figures.mix)}", "when": price, "more": "; ".join(more)}


def takes(state: State, cost: MixCost) -> list[str]:
    """Bags and trips of a mix for the whole work, where they are known."""
    found: list[str] = []
    if cost.bags is not None:
        found.append(bags(state, cost))
    if cost.trips is not None and cost.hauls:
        found.append(count(cost.trips, "trip"))
    return found


def bags(state: State, cost: MixCost) -> str:
    """Bags for the whole work with their price: "70 bags, 1190000 TSh"; where a hair decides, both counts."""
    if cost.bags is None:
        return ""
    text = count(cost.bags.bags, "bag")
    edge = next((note for note in cost.bags.notes if note.code == "bag_count_on_edge"), None)
    if edge is not None:
        text = tr("{bags} (on the edge: {fewer} or {more})", bags=text, fewer=edge.values["fewer"], more=edge.values["more"])
    return text if cost.bag_price is None else f"{text}, {money(state, cost.bags.bags * cost.bag_price)}"


def haul_line(state: State, haul: Haul, shown: Shown) -> str:
    """What one source has to be hauled: "Red clay: 9769 kg dry, 2.91 loads, 3 trips"."""
    mass = shown.value(haul.mass.value, "mass", digits=0)
    return tr(
        "{source}: {mass} dry, {loads} loads, {trips}",
        source=name_of(state, haul.source),
        mass=mass,
        loads=number(haul.loads.value, 2),
        trips=count(haul.trips, "trip"),
    )


def missing(cost: MixCost) -> list[str]:
    """Why a figure of a mix cannot be given."""
    results = (cost.block_mass, cost.cost)
    return list(dict.fromkeys(of_fault(each.fault) for each in results if isinstance(each, Withheld)))


def notes(state: State, found: Choosing) -> list[str]:
    """What stands beside the order; mixes in it by their names."""
    return [_note(state, note) for note in found.ranking.notes if note.code not in ("pair_not_compared", "nothing_passes")]


def _note(state: State, note: Note) -> str:
    if "mixes" not in note.values:
        return of_note(note)
    names = ", ".join(mix_key_name(state, key) for key in str(note.values["mixes"]).split(", "))
    return sentence(note.code, {"mixes": names})


def bars(state: State, found: Choosing) -> list[dict[str, str]]:
    """Mixes that do not pass, and what is in the way of each."""
    return [
        {"what": mix_key_name(state, gate.mix), "when": sentence(f"gate_{gate.state}", {}), "more": bar(state, found, gate.mix)}
        for gate in found.ranking.set_aside
    ]


def bar(state: State, found: Choosing, mix: str) -> str:
    """What is in the way of one mix."""
    reasons: list[str] = []
    if stops := found.stops[mix]:
        sources = ", ".join(dict.fromkeys(name_of(state, source) for source, _ in stops))
        reasons.append(sentence("bar_stops", {"stops": count(len(stops), "stop question"), "sources": sources}))
    gate = found.gates[mix]
    if gate.not_met:
        reasons.append(sentence("bar_not_met", {}))
    elif gate.not_shown:
        reasons.append(sentence("bar_not_shown", {}))
    elif not found.comparison.brief.decided:
        reasons.append(sentence("bar_no_brief", {}))
    return " ".join(reasons)


def ladder(steps: tuple[Remedy, ...]) -> list[dict[str, str]]:
    """What to change when nothing passes, cheapest first, with the signs seen for each step."""
    return [
        {
            "what": f"{step.place}. {sentence('remedy_' + step.code, {})}",
            "when": tr("points here") if step.seen else "",
            "more": "; ".join(sentence(f"sign_{sign}", {}) for sign in step.seen),
        }
        for step in steps
    ]


# --- a choice that was told ---


def told_lines(state: State, choice: Fact, shown: Shown) -> list[str]:
    """The figures of the chosen mix as they were told with the choice."""
    told = choice.get("stood_on")
    mixes = told.get("mixes") if isinstance(told, Mapping) else None
    figures = mixes.get(state.versions.entity(choice["mix"])) if isinstance(mixes, Mapping) else None
    if not isinstance(figures, Mapping):
        return []
    known = [(name, value) for name, value in figures.items() if value not in (None, "", [])]
    return [
        tr("{figure}: {value}", figure=sentence(f"figure_{name}", {}), value=told_value(state, name, value, shown))
        for name, value in known
    ]


def told_value(state: State, figure: str, value: Any, shown: Shown) -> str:
    """One told figure in the person's unit."""
    if value is None or value in ("", []):
        return tr("not known")
    if figure in PRESSURES:
        return shown.value(float(value), "pressure")
    if figure == "variation":
        return percent(float(value), 0)
    if figure == "chances":
        return ", ".join(chance_words(float(each)) for each in value)
    if figure == "cost":
        return money(state, float(value))
    if figure in ("verdict", "gate"):
        return sentence(f"{figure}_{value}", {})
    return str(value)


def now_lines(state: State, changed: tuple[Changed, ...], shown: Shown) -> list[str]:
    """What of a told choice would now read as another figure; what rounds to the same words is left out."""
    return [line for each in changed if (line := _now(state, each, shown))]


def _now(state: State, each: Changed, shown: Shown) -> str:
    mix = mix_key_name(state, each.mix)
    if each.figure == "mix":
        return sentence("now_new" if each.now else "now_gone", {"mix": mix})
    told, now = (told_value(state, each.figure, value, shown) for value in (each.told, each.now))
    if told == now:
        return ""
    figure = sentence(f"figure_{each.figure}", {})
    return sentence("now_figure", {"mix": mix, "figure": figure, "told": told, "now": now})
