"""Compare: what the broken blocks say of each mix, what the brief says to it, and which mixes are apart."""

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from loamwright.engine.block import cure
from loamwright.engine.evidence import apart as telling_apart
from loamwright.engine.evidence import characteristic, power
from loamwright.engine.evidence import spread as spreading
from loamwright.engine.evidence.acceptance import LATE_DAYS, BlockValue
from loamwright.engine.evidence.pass_chance import PassChance
from loamwright.engine.evidence.spread import Spread
from loamwright.errors import InputError, Note
from loamwright.project import breaking, rule_evidence
from loamwright.project.blocks import mix_of, pressed_on
from loamwright.project.breaking import BlockStrength
from loamwright.project.brief import Brief, Yardstick, assumptions, brief, chance_of, yardstick
from loamwright.project.finding import Finding, Given, Result, attempt
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State
from loamwright.rules.evaluate import Verdict, evaluate

OWN_MIX = "@"
"""Stands in the key of a batch that missed its dose and counts as a mix of its own (`blocks.mix_key`)."""


@dataclass(frozen=True, slots=True)
class SetAside:
    """A broken block that does not count in the comparison, and why.

    `reason` is "other_condition", "too_young", "soak_not_said", "soak_too_short" or "other_soak".
    """

    block: BlockStrength
    reason: str


@dataclass(frozen=True, slots=True)
class MixResult:
    """One mix in the comparison.

    Attributes
    ----------
    key : str
        Id of the mix, with "@" and the batch where a missed dose made it a mix of its own.
    mix : Fact
        The mix.
    wanted_age : int
        Age from which its blocks count. [d]
    counted : tuple of BlockStrength
        Blocks of the yardstick's condition, soak and age, weakest first.
    set_aside : tuple of SetAside
        Its other broken blocks.
    spread : Spread or None
        Count, mean, least and spread of those counted; None where there are none.
    mean, scatter, cautious : Finding, Withheld or None
        Mean, coefficient of variation and EN 1990 cautious value; None where no block counts.
    verdict : Verdict or None
        What the brief says; None while there is none.
    chances : tuple of PassChance
        Chance that a lot passes if the mean seen is the true one, by assumption; empty where the brief has no such rule.
    young_until : date or None
        First day on which a batch of it is old enough, where no block counts because all are too young.
    notes : tuple of Note
    """

    key: str
    mix: Fact
    wanted_age: int
    counted: tuple[BlockStrength, ...]
    set_aside: tuple[SetAside, ...]
    spread: Spread | None
    mean: Result | None
    scatter: Result | None
    cautious: Result | None
    verdict: Verdict | None
    chances: tuple[PassChance, ...]
    young_until: date | None
    notes: tuple[Note, ...]

    @property
    def batches(self) -> Mapping[str, tuple[BlockStrength, ...]]:
        """The counted blocks by batch."""
        found: dict[str, list[BlockStrength]] = defaultdict(list)
        for block in self.counted:
            found[block.batch].append(block)
        return {batch: tuple(found[batch]) for batch in sorted(found)}

    def entries(self) -> tuple[str, ...]:
        """Ids of every entry the counted blocks stand on, sorted."""
        return tuple(sorted({entry for block in self.counted for entry in block.entries}))


@dataclass(frozen=True, slots=True)
class PairResult:
    """Two mixes held against each other.

    Attributes
    ----------
    first, second : str
        Keys of the mixes.
    verdict : str
        "apart", "not_apart" or "one_batch_each".
    greater : str
        Key of the one more likely the stronger.
    probability : float
        Chance that it is. [-]
    share : float
        How much stronger it is as estimated, as a share of the other. [-]
    more : tuple of (int, int) or None
        More batches of first and of second that would tell the present difference; None where six of each would not,
        and where they are apart already.
    """

    first: str
    second: str
    verdict: str
    greater: str
    probability: float
    share: float
    more: tuple[int, int] | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Every mix with broken blocks, and every pair of those that can be compared.

    Attributes
    ----------
    brief : Brief
    yardstick : Yardstick
        Which blocks were compared.
    mixes : tuple of MixResult
        The strongest mean first, then those without a counted block.
    pairs : tuple of PairResult
    batch_spread, block_spread : float or None
        Spread of ln strength between batches and between blocks of one, pooled over the mixes. [-]
    left_out : tuple of str
        Keys of mixes left out of the pairs because a block fell apart in water: it has no strength to compare.
    notes : tuple of Note
    """

    brief: Brief
    yardstick: Yardstick
    mixes: tuple[MixResult, ...]
    pairs: tuple[PairResult, ...]
    batch_spread: float | None
    block_spread: float | None
    left_out: tuple[str, ...]
    notes: tuple[Note, ...]

    def mix(self, key: str) -> MixResult | None:
        """The result of one mix, or None where none of its blocks is broken."""
        return next((each for each in self.mixes if each.key == key), None)


def comparison(state: State) -> Comparison:
    """The comparison as of now."""
    return state.memo("comparison", lambda: _comparison(state))


def _comparison(state: State) -> Comparison:
    of = brief(state)
    stick = yardstick(of)
    by_mix: dict[str, list[BlockStrength]] = defaultdict(list)
    for block in breaking.strengths(state):
        if _known(state, block.mix):
            by_mix[block.mix].append(block)
    found = [_mix_result(state, of, stick, key, by_mix[key]) for key in sorted(by_mix)]
    found.sort(key=lambda each: -each.spread.mean if each.spread is not None else math.inf)
    pairs, engine, left_out = _pairs(found)
    notes = (*(engine.notes if engine else ()), *_shape_notes(found))
    return Comparison(
        brief=of,
        yardstick=stick,
        mixes=tuple(found),
        pairs=pairs,
        batch_spread=engine.batch_spread if engine else None,
        block_spread=engine.block_spread if engine else None,
        left_out=left_out,
        notes=notes,
    )


# --- one mix ---


def mix_of_key(state: State, key: str) -> Fact:
    """The mix a key names, that of its batch where it is a mix of its own."""
    return state.fact(mix_of(key), "mix")


def _known(state: State, key: str) -> bool:
    mix = state.find(mix_of(key), "mix")
    return mix is not None and mix.fault is None


def stabiliser_of(state: State, mix: Fact) -> str:
    """Type of the stabiliser as the curing table names it: "cement", "lime" or "none"."""
    fact = state.find(mix["stabiliser"], "stabiliser") if mix.get("stabiliser") else None
    return "none" if fact is None or fact.fault is not None else str(fact["type"])


def wanted_age(stick: Yardstick, stabiliser: str) -> int:
    """Age from which blocks count: the brief's, unless this stabiliser is too young to show anything then. [d]"""
    judged_from = cure.judging_age(stabiliser)
    if stick.age_days is None:
        return judged_from
    asked = math.ceil(stick.age_days)
    return judged_from if cure.judging(asked, stabiliser=stabiliser).stage == "too_early" else asked


def _mix_result(state: State, of: Brief, stick: Yardstick, key: str, blocks: Sequence[BlockStrength]) -> MixResult:
    mix = mix_of_key(state, key)
    stabiliser = stabiliser_of(state, mix)
    age = wanted_age(stick, stabiliser)
    counted, aside = _counted(blocks, stick, age)
    values = tuple(block_value(block) for block in counted)
    entries = tuple(sorted({entry for block in counted for entry in block.entries}))
    given = Given(values, entries)
    spread = spreading.spread(values) if values else None
    return MixResult(
        key=key,
        mix=mix,
        wanted_age=age,
        counted=counted,
        set_aside=aside,
        spread=spread,
        mean=Finding(spreading.MEAN, spread.mean, {"f": given}) if spread else None,
        scatter=attempt("coefficient_of_variation", entries, lambda: _scatter(spread, given)) if spread else None,
        cautious=attempt("cautious_value", entries, lambda: _cautious(values, given)) if spread else None,
        verdict=_verdict(state, of, key, age),
        chances=_chances(of, stick, spread),
        young_until=_young_until(state, counted, aside, age),
        notes=_mix_notes(counted, aside, age, stabiliser),
    )


def block_value(block: BlockStrength) -> float:
    """Strength of a block; none is left of one that fell apart in water. [MPa]"""
    return 0.0 if block.dissolved else block.finding.value


def _counted(
    blocks: Sequence[BlockStrength], stick: Yardstick, age: int
) -> tuple[tuple[BlockStrength, ...], tuple[SetAside, ...]]:
    """Blocks of the yardstick's condition and soak that are old enough, and the others with the first reason against them."""
    kept: list[BlockStrength] = []
    aside: list[SetAside] = []
    for block in blocks:
        reason = _against(block, stick, age)
        if reason:
            aside.append(SetAside(block, reason))
        else:
            kept.append(block)
    hours = _one_soak(kept, stick.n or 1)
    aside.extend(SetAside(block, "other_soak") for block in kept if (block.soak_hours or 0.0) != hours)
    chosen = [block for block in kept if (block.soak_hours or 0.0) == hours]
    weakest_first = sorted(chosen, key=lambda each: (block_value(each), each.block))
    return tuple(weakest_first), tuple(sorted(aside, key=lambda each: each.block.block))


def _against(block: BlockStrength, stick: Yardstick, age: int) -> str:
    if block.condition != stick.condition:
        return "other_condition"
    if block.age_days < age:
        return "too_young"
    if stick.condition == "wet" and stick.soak_hours_least:
        if block.soak_hours is None:
            return "soak_not_said"
        if block.soak_hours < stick.soak_hours_least:
            return "soak_too_short"
    return ""


def _one_soak(blocks: Sequence[BlockStrength], need: int) -> float:
    """Soaks of different hours are different tests: the shortest with enough blocks, else the one with most."""
    counts = Counter(block.soak_hours or 0.0 for block in blocks)
    if not counts:
        return 0.0
    return min(counts, key=lambda each: (counts[each] < need, 0 if counts[each] >= need else -counts[each], each))


def _scatter(found: Spread | None, given: Given) -> Finding:
    if found is None or found.coefficient_of_variation is None:
        raise InputError("too_few_values", have=0 if found is None else found.n, need=2)
    return Finding(spreading.COEFFICIENT_OF_VARIATION, found.coefficient_of_variation, {"f": given})


def _cautious(values: Sequence[float], given: Given) -> Finding:
    """The 5 % value by EN 1990 Annex D, scatter unknown."""
    found = characteristic.cautious_value(values)
    n = len(values)
    quantile = Given(characteristic.t_quantile(n), source="en-1990")
    factor = Finding(characteristic.KN_SCATTER_UNKNOWN, float(found.factor or 0.0), {"t": quantile, "n": Given(float(n))})
    return Finding(characteristic.CAUTIOUS_VALUE, found.value, {"f": given, "k": factor}, found.notes)


def evidence(state: State, key: str, age: int) -> tuple[BlockValue, ...]:
    """Crushing and bending of a mix that are old enough, as an acceptance rule looks at them, and all else known of it."""
    crushed = [("compressive_strength", block) for block in breaking.strengths(state, mix=key)]
    bent = [("modulus_of_rupture", block) for block in breaking.bendings(state, mix=key)]
    broken = tuple(
        BlockValue(
            property=name,
            value=block_value(block),
            condition=block.condition,
            soak_hours=block.soak_hours,
            age_days=float(block.age_days),
            screening=block.screening,
        )
        for name, block in (*crushed, *bent)
        if block.age_days >= age
    )
    return broken + rule_evidence.beyond_strength(state, key)


def _verdict(state: State, of: Brief, key: str, age: int) -> Verdict | None:
    if of.rule is None:
        return None
    return verdict_of_rule(state, key, of, age)


def verdict_of_rule(state: State, key: str, of: Brief, age: int) -> Verdict:
    """What a complete brief says to one mix, clause by clause."""
    if of.rule is None:
        raise InputError("needed", kind="brief", field="rule")
    return evaluate(of.rule, evidence(state, key, age), grade=of.grade, uses=of.uses)


def _chances(of: Brief, stick: Yardstick, found: Spread | None) -> tuple[PassChance, ...]:
    if found is None or found.mean <= 0 or stick.n is None or not (stick.mean_least or stick.each_least):
        return ()
    try:
        # Rounded so that a chance once integrated is found again; a thousandth of a MPa moves none of them.
        return tuple(chance_of(stick, round(found.mean, 3), each) for each in assumptions(of))
    except InputError:
        return ()  # the brief's own question says what is wrong with it


def _young_until(state: State, counted: Sequence[BlockStrength], aside: Sequence[SetAside], age: int) -> date | None:
    if counted or not aside or not all(each.reason == "too_young" for each in aside):
        return None
    pressed = [pressed_on(state, state.fact(each.block.block, "block")) for each in aside]
    return min(pressed) + timedelta(days=age)


def _mix_notes(counted: Sequence[BlockStrength], aside: Sequence[SetAside], age: int, stabiliser: str) -> tuple[Note, ...]:
    notes: list[Note] = []
    if not counted and any(each.reason == "too_young" for each in aside):
        notes.append(Note("mix_too_young", {"stabiliser": stabiliser, "age_days": age}))
    ages = [block.age_days for block in counted]
    if ages and max(ages) > age + LATE_DAYS:
        notes.append(Note("older_than_rule", {"age_days": max(ages), "rule_age_days": age}))
    if screened := sum(block.screening for block in counted):
        notes.append(Note("blocks_screening", {"blocks": screened}))
    if fell := sum(block.dissolved for block in counted):
        notes.append(Note("blocks_dissolved", {"blocks": fell}))
    halves = sum(block.is_of_halves for block in counted)
    if 0 < halves < len(counted):
        notes.append(Note("pieces_pooled", {"whole": len(counted) - halves, "halves": halves}))
    if len({block.batch for block in counted}) == 1:
        notes.append(Note("one_batch_only", {"blocks": len(counted)}))
    return tuple(notes)


# --- pairs ---


def _pairs(
    mixes: Sequence[MixResult],
) -> tuple[tuple[PairResult, ...], telling_apart.Comparison | None, tuple[str, ...]]:
    left_out = tuple(each.key for each in mixes if each.spread is not None and each.spread.least <= 0)
    batches = {
        each.key: [[block_value(block) for block in blocks] for blocks in each.batches.values()]
        for each in mixes
        if each.counted and each.key not in left_out
    }
    if not batches:
        return (), None, left_out
    found = telling_apart.compare(batches)
    return tuple(_pair(each, batches, found) for each in found.pairs), found, left_out


def _pair(
    pair: telling_apart.Pair, batches: Mapping[str, Sequence[Sequence[float]]], found: telling_apart.Comparison
) -> PairResult:
    return PairResult(
        first=pair.first,
        second=pair.second,
        verdict=pair.verdict,
        greater=pair.greater,
        probability=max(pair.probability, 1 - pair.probability),
        share=math.expm1(abs(pair.ln_difference)),
        more=None if pair.verdict == telling_apart.APART else _more(pair, batches, found),
    )


def _more(
    pair: telling_apart.Pair, batches: Mapping[str, Sequence[Sequence[float]]], found: telling_apart.Comparison
) -> tuple[int, int] | None:
    """More batches of each that would tell the difference as it now looks; what is at hand has not told it, so one at least."""
    counts = [len(batches[key]) for key in (pair.first, pair.second)]
    blocks = [len(batch) for key in (pair.first, pair.second) for batch in batches[key]]
    wanted = power.batches_to_tell(
        pair.ln_difference,
        blocks_per_batch=max(1, round(sum(blocks) / len(blocks))),
        batch_spread=found.batch_spread,
        block_spread=found.block_spread,
        batches_now=min(counts) + 1,
    )
    return None if wanted is None else (max(0, wanted - counts[0]), max(0, wanted - counts[1]))


def _shape_notes(mixes: Sequence[MixResult]) -> tuple[Note, ...]:
    shapes = [block.height_to_thickness for mix in mixes for block in mix.counted if block.height_to_thickness]
    if not shapes or max(shapes) <= judged("shapes-differ") * min(shapes):
        return ()
    return (Note("shapes_differ", {"least": round(min(shapes), 2), "most": round(max(shapes), 2)}),)
