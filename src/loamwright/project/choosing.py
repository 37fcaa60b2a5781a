"""Choose: gates first, then cost, stabiliser, scarce soil, trips and spoiled share; the choice with what it stood on."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from loamwright import __version__
from loamwright.engine.block import cure
from loamwright.engine.choice import gates as gating
from loamwright.engine.choice import ranking as ranks
from loamwright.engine.choice.gates import Gate, Outcome, Remedy, StopAnswer
from loamwright.engine.choice.ranking import MixFigures, PairVerdict, Ranking
from loamwright.errors import InputError
from loamwright.project import blends, dig
from loamwright.project.asking import Due, Question
from loamwright.project.compare import OWN_MIX, Comparison, MixResult, comparison
from loamwright.project.costs import MixCost, mix_cost
from loamwright.project.finding import Finding, Result
from loamwright.project.judged import judged
from loamwright.project.soil_tests import salts
from loamwright.project.state import Fact, State

BLOCKS_ENOUGH = 3
"""Broken blocks of a mix from which it can be compared: below that it has no cautious value."""


@dataclass(frozen=True, slots=True)
class Choosing:
    """Everything a choice stands on.

    Attributes
    ----------
    comparison : Comparison
    gates : mapping of mix to Gate
        Every mix that can be chosen: own mixes of a missed dose are not among them.
    stops : mapping of mix to tuple of (source, question)
        Stop questions that are open for a mix: they bar its choice.
    costs : mapping of mix to MixCost
    ranking : Ranking
    ladder : tuple of Remedy
        What to change, where nothing passes and a brief is decided; else empty.
    """

    comparison: Comparison
    gates: Mapping[str, Gate]
    stops: Mapping[str, tuple[tuple[str, str], ...]]
    costs: Mapping[str, MixCost]
    ranking: Ranking
    ladder: tuple[Remedy, ...]

    def may_choose(self, mix: str) -> bool:
        """Whether a mix may be chosen: no stop question open, and no rule that it fails."""
        return mix in self.gates and not self.stops[mix] and self.gates[mix].state != "fails"

    def in_order(self) -> list[str]:
        """The mixes that pass in their order, then the others."""
        ranked = [each.figures.mix for each in self.ranking.ranked]
        return [*ranked, *(mix for mix in self.gates if mix not in ranked)]


def choosing(state: State) -> Choosing:
    """The choice as it stands now."""
    return state.memo("choosing", lambda: _choosing(state))


def _choosing(state: State) -> Choosing:
    found = comparison(state)
    mixes = [each for each in found.mixes if OWN_MIX not in each.key and _made_of_known(state, each.mix)]
    gates = {each.key: _gate(state, each) for each in mixes}
    costs = {each.key: mix_cost(state, each.key) for each in mixes}
    pairs = [PairVerdict(each.first, each.second, each.verdict) for each in found.pairs]  # type: ignore[arg-type]
    ranked = ranks.ranking([_figures(costs[key]) for key in gates], gates=list(gates.values()), pairs=pairs)
    nothing = found.brief.decided and bool(mixes) and not ranked.ranked
    return Choosing(
        comparison=found,
        gates=gates,
        stops={each.key: open_stops(state, each.mix) for each in mixes},
        costs=costs,
        ranking=ranked,
        ladder=gating.remedy_ladder(signs(state, found)) if nothing else (),
    )


def _made_of_known(state: State, mix: Fact) -> bool:
    """Whether everything a mix is made of is there and understood; a mix without its blend cannot be made again."""
    try:
        parts = blends.parts_of(state.fact(mix["blend"], "blend"))
        return all(state.fact(source, "source") for source in parts)
    except InputError:
        return False


def open_stops(state: State, mix: Fact) -> tuple[tuple[str, str], ...]:
    """Open stop questions of every source in a mix, and what its tests of salts forbid, as (source, question)."""
    blend = state.fact(mix["blend"], "blend")
    return tuple((source, question) for source in sorted(blends.parts_of(blend)) for question in _in_the_way(state, source))


def _in_the_way(state: State, source: str) -> tuple[str, ...]:
    return (*dig.open_stops(state, source), *(note.code for note in salts.forbids(state, source)))


def _gate(state: State, result: MixResult) -> Gate:
    clauses = result.verdict.clauses if result.verdict is not None else ()
    outcomes: dict[str, Outcome] = {each.clause.key: each.word for each in clauses}
    answers: dict[str, StopAnswer] = {}
    for source in sorted(blends.parts_of(state.fact(result.mix["blend"], "blend"))):
        seen = dig.seen_stops(state, source)
        for question in dig.open_stops(state, source):
            answers[f"{source} {question}"] = "stop" if question in seen else "open"
        answers |= {f"{source} {note.code}": "stop" for note in salts.forbids(state, source)}
    return gating.gate(result.key, outcomes=outcomes, stop_questions=answers)


def _figures(cost: MixCost) -> MixFigures:
    def value(result: Result) -> float:
        return result.value if isinstance(result, Finding) else 0.0

    return MixFigures(
        mix=cost.key,
        cost_per_block=cost.cost.value if isinstance(cost.cost, Finding) else None,
        stabiliser_per_block=value(cost.stabiliser),
        scarce_soil_per_block=value(cost.scarce),
        trips=cost.trips,
        spoiled_share=cost.spoiled_share,
    )


def signs(state: State, found: Comparison) -> frozenset[str]:
    """Findings that point to a step of the ladder of remedies."""
    seen: set[str] = set()
    if any(each.young_until is not None for each in found.mixes):
        seen.add("younger_than_judging_age")
    if any(block.dissolved for each in found.mixes for block in each.counted):
        seen.add("falls_apart_in_soak")
    if any(OWN_MIX in each.key for each in found.mixes):
        seen.add("dose_below_wanted")
    limit = found.yardstick.mean_least
    means = [each.spread.mean for each in found.mixes if each.spread is not None]
    if limit and any(limit * (1 - judged("near-miss")) <= mean < limit for mean in means):
        seen.add("near_miss")
    if not state.all("ladder_block"):
        seen.add("water_ladder_not_run")
    if any(dig.seen_stops(state, source.id) for source in state.all("source")):
        seen.add("stop_question_stopped")
    if _cold(state):
        seen.add("cold_cure")
    return frozenset(seen)


def _cold(state: State) -> bool:
    types = {fact["type"] for fact in state.all("stabiliser")}
    coldest = [value for fact in state.all("cure_step") if (value := fact.number("coldest")) is not None]
    return any(cure.cold_notes(min(coldest), stabiliser=each) for each in types) if coldest else False


# --- the choice ---


def current_choice(state: State) -> Fact | None:
    """The choice that counts: the newest."""
    return state.latest("choice")


def check_choice(state: State, mix: str) -> None:
    """Raise `InputError` ("choice_stopped", "choice_not_met", "choice_not_compared") where a mix may not be chosen."""
    found = choosing(state)
    root = state.versions.entity(mix)
    if root not in found.gates:
        raise InputError("choice_not_compared", mix=mix)
    if found.stops[root]:
        raise InputError("choice_stopped", n=len(found.stops[root]))
    if found.gates[root].state == "fails":
        raise InputError("choice_not_met")


def choice_body(state: State, body: dict[str, Any], entry_id: str = "", at: str = "") -> dict[str, Any]:
    """The body of a choice with everything it stands on, as a person is shown it."""
    return {**body, "stood_on": stood_on(state)}


def stood_on(state: State) -> dict[str, Any]:
    """The figures of the comparison and the ranking as they are shown now, the entries behind them, and the version."""
    found = choosing(state)
    return {
        "version": __version__,
        "brief": _told_brief(found.comparison),
        "mixes": {each.key: _told_mix(found, each) for each in found.comparison.mixes},
        "pairs": [
            {"first": pair.first, "second": pair.second, "verdict": pair.verdict, "stronger": pair.greater,
             "probability": _round(pair.probability), "share": _round(pair.share)}
            for pair in found.comparison.pairs
        ],
        "ranking": [
            {"mix": each.figures.mix, "place": each.place, "decided_by": each.decided_by} for each in found.ranking.ranked
        ],
        "entries": sorted({entry for each in found.comparison.mixes for entry in each.entries()}),
    }  # fmt: skip


def _told_brief(found: Comparison) -> dict[str, Any]:
    stick, of = found.yardstick, found.brief
    return {
        "by": of.by,
        "entry": "" if of.fact is None else of.fact.head,
        "rule": "" if of.rule is None or of.rule.own else of.rule.key,
        "grade": of.grade or "",
        "mean_least_mpa": stick.mean_least,
        "each_least_mpa": stick.each_least,
        "n": stick.n,
        "condition": stick.condition,
    }


def _told_mix(found: Choosing, each: MixResult) -> dict[str, Any]:
    gate, cost = found.gates.get(each.key), found.costs.get(each.key)
    return {
        "n": 0 if each.spread is None else each.spread.n,
        "batches": len(each.batches),
        "mean_mpa": None if each.spread is None else _round(each.spread.mean),
        "least_mpa": None if each.spread is None else _round(each.spread.least),
        "variation": None if each.spread is None else _round(each.spread.coefficient_of_variation),
        "cautious_mpa": _round(each.cautious.value) if isinstance(each.cautious, Finding) else None,
        "verdict": "" if each.verdict is None else each.verdict.word,
        "gate": "" if gate is None else gate.state,
        "chances": [_round(chance.chance) for chance in each.chances],
        "cost": _round(cost.cost.value) if cost is not None and isinstance(cost.cost, Finding) else None,
        "bags": None if cost is None or cost.bags is None else cost.bags.bags,
        "trips": None if cost is None else cost.trips,
    }


def _round(value: float | None) -> float | None:
    """Six significant digits: what was told is kept as it could be shown, not to the last bit."""
    return None if value is None else float(f"{value:.6g}")


@dataclass(frozen=True, slots=True)
class Changed:
    """One figure that would now be another than it was when told: of which mix, which figure, as told, as of now."""

    mix: str
    figure: str
    told: Any
    now: Any


def would_now_be(state: State, choice: Fact) -> tuple[Changed, ...]:
    """What of a told choice later entries have changed; the told figures stay as they are."""
    told = choice.get("stood_on")
    if not isinstance(told, Mapping) or not isinstance(told.get("mixes"), Mapping):
        return ()
    now = stood_on(state)
    found: list[Changed] = []
    for key in sorted({*told["mixes"], *now["mixes"]}):
        before, after = told["mixes"].get(key), now["mixes"].get(key)
        if not isinstance(before, Mapping) or after is None:
            found.append(Changed(key, "mix", before is not None, after is not None))
            continue
        found.extend(Changed(key, name, before.get(name), after[name]) for name in after if before.get(name) != after[name])
    return tuple(found)


def questions(state: State) -> tuple[Question, ...]:
    """A choice that stands on something which no longer holds."""
    choice = current_choice(state)
    if choice is None:
        return ()
    mix = state.find(choice["mix"], "mix")
    if mix is None or mix.fault is not None:
        return (Question("choice_without_mix", "choose", (choice.id,), "impossible"),)
    try:
        stops = open_stops(state, mix)
        gate = choosing(state).gates.get(mix.id)
    except InputError as fault:
        return (Question(fault.code, "choose", (choice.id,), "impossible", dict(fault.values)),)
    if stops:
        return (Question("chosen_with_open_stop", "choose", (choice.id,), "unlikely", {"n": len(stops)}),)
    if gate is not None and gate.state == "fails":
        return (Question("chosen_not_met", "choose", (choice.id,), "unlikely"),)
    return ()


def due(state: State, today: date) -> tuple[Due, ...]:
    """Compare and choose, once two mixes (or the only one) have enough broken blocks and nothing is chosen."""
    if current_choice(state) is not None or not state.all("crush"):
        return ()
    ready = [each for each in comparison(state).mixes if each.spread is not None and each.spread.n >= BLOCKS_ENOUGH]
    enough = len(ready) >= min(2, len(state.all("mix")))
    return (Due("compare_and_choose", "choose"),) if ready and enough else ()
