"""One page for the owner: what is recommended, what it costs and takes, how it did, and why not the cheaper one."""

from loamwright.papers.document import Caution, Document, Heading, Order, Part, Points, Signatures, Words
from loamwright.papers.setting import Setting
from loamwright.project import choosing, cure
from loamwright.project.brief import brief
from loamwright.project.choosing import Choosing
from loamwright.project.finding import Finding
from loamwright.project.state import Fact
from loamwright.words import briefs, choices, comparisons
from loamwright.words.blocks import mix_key_name
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.numbers import count, number
from loamwright.words.sentences import sentence


def owner_page(setting: Setting) -> Document:
    """Plain words, prices, trips; no working: that stands in the mix report."""
    state = setting.state
    found = choosing.choosing(state)
    choice = choosing.current_choice(state)
    if choice is None:
        parts: list[Part] = [Words(sentence("paper_no_choice", {}), strong=True), *_others(setting, found, "")]
    else:
        parts = [*_chosen(setting, found, choice), *_others(setting, found, state.versions.entity(choice["mix"]))]
    parts += [Words(sentence("paper_owner_next", {})), *(Caution(each) for each in cautions_for("trial"))]
    parts.append(Signatures((tr("Owner, day"), tr("Made by"))))
    return setting.paper("owner", tr("For the owner"), parts, subtitle=setting.name(state.project))


def _chosen(setting: Setting, found: Choosing, choice: Fact) -> list[Part]:
    state = setting.state
    key = state.versions.entity(choice["mix"])
    parts: list[Part] = [
        Words(sentence("paper_owner_choice", {"mix": setting.name(key, "mix")}), strong=True),
        Words(sentence("paper_owner_reason", {"reason": choice["reason"]})),
    ]
    cost = found.costs.get(key)
    if cost is not None:
        if isinstance(cost.cost, Finding):
            parts.append(Order(tr("One block, soil and stabiliser"), choices.money(state, cost.cost.value)))
        parts += [Order(tr("Stabiliser for the whole work"), choices.bags(state, cost))] if cost.bags is not None else []
        parts += (
            [Order(tr("Soil for the whole work"), count(cost.trips, "trip"))] if cost.trips is not None and cost.hauls else []
        )
        parts += [Points(tuple(choices.haul_line(state, haul, setting.shown) for haul in cost.hauls))] if cost.hauls else []
        parts += [Words(each) for each in choices.missing(cost)]
    return [*parts, *_strength(setting, found, key)]


def _strength(setting: Setting, found: Choosing, key: str) -> list[Part]:
    result = found.comparison.mix(key)
    parts: list[Part] = [Heading(tr("How it did"))]
    of = brief(setting.state)
    if of.decided:
        parts.append(Words(sentence("paper_owner_asked", {"brief": briefs.short(of, setting.shown)})))
    if result is None or result.spread is None:
        return [*parts, Words(sentence("paper_no_tests", {}))]
    code = "paper_owner_strength" if result.counted[0].condition == "wet" else "paper_owner_strength_dry"
    least, mean = (setting.shown.value(value, "pressure") for value in (result.spread.least, result.spread.mean))
    parts.append(
        Words(
            sentence(
                code, {"n": result.spread.n, "least": least, "mean": mean, "hours": number(cure.soak_wanted(setting.state), 0)}
            )
        )
    )
    if result.verdict is not None:
        parts.append(Words(sentence("paper_owner_verdict", {"word": comparisons.verdict(result)[0]})))
    if chances := comparisons.chances(result):
        parts.append(Words(chances))
    return parts


def _others(setting: Setting, found: Choosing, chosen: str) -> list[Part]:
    """Every other mix with its cost, and what was in the way of the cheaper ones."""
    own = found.costs.get(chosen)
    own_cost = own.cost.value if own is not None and isinstance(own.cost, Finding) else None
    said = [_other(setting, found, key, own_cost) for key in found.gates if key != chosen]
    return [Heading(tr("Why not another")), Points(tuple(said))] if said else []


def _other(setting: Setting, found: Choosing, key: str, own_cost: float | None) -> str:
    cost = found.costs[key].cost
    values = {"mix": mix_key_name(setting.state, key), "why": choices.bar(setting.state, found, key)}
    if not isinstance(cost, Finding):
        return " ".join(part for part in (sentence("paper_owner_no_cost", values), values["why"]) if part)
    values["cost"] = choices.money(setting.state, cost.value)
    if values["why"]:
        return sentence("paper_owner_cheaper", values)
    dearer = own_cost is not None and cost.value > own_cost
    return sentence("paper_owner_dearer" if dearer else "paper_owner_same", values)
