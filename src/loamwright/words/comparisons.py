"""The comparison of mixes in words: a line a mix, a sentence a pair, a description of each strip."""

from collections.abc import Callable
from datetime import date
from math import exp

from loamwright.engine.evidence.alike import Difference
from loamwright.errors import Note
from loamwright.project.compare import Comparison, MixResult, PairResult, SetAside, block_value
from loamwright.project.finding import Finding, Result
from loamwright.project.second_look import Second
from loamwright.project.state import State
from loamwright.words.blocks import mix_key_name
from loamwright.words.briefs import SHAPES, assumption_words, chance_words
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, count, day, number, percent
from loamwright.words.sentences import of_note, sentence
from loamwright.words.showing import batch_number, name_of


def table_columns(shown: Shown) -> list[dict[str, object]]:
    """Heads of the table, strengths with their unit once."""
    unit = shown.unit("pressure").label
    counts = (
        (tr("Blocks"), ""),
        (tr("Batches"), ""),
        (tr("Mean"), unit),
        (tr("Least"), unit),
        (tr("Spread"), ""),
        (tr("Cautious"), unit),
    )
    columns: list[dict[str, object]] = [{"label": label, "unit": each, "count": True} for label, each in counts]
    return [{"label": tr("Mix")}, *columns, {"label": tr("Brief")}]


def table_rows(state: State, found: Comparison, shown: Shown) -> list[list[str]]:
    """One row a mix."""
    return [_row(state, each, shown) for each in found.mixes]


def _row(state: State, each: MixResult, shown: Shown) -> list[str]:
    name, word = mix_key_name(state, each.key), verdict(each)[0]
    if each.spread is None:
        return [name, "0", "0", "–", "–", "–", "–", word]
    return [
        name,
        str(each.spread.n),
        str(len(each.batches)),
        strength(each.spread.mean, shown),
        strength(each.spread.least, shown),
        _of(each.scatter, lambda value: percent(value, 0)),
        _of(each.cautious, lambda value: strength(value, shown) if value > 0 else tr("none left")),
        word,
    ]


def strength(value: float, shown: Shown) -> str:
    """A strength in the person's unit, the unit left to the head of a table or the end of a scale."""
    unit = shown.unit("pressure")
    return number(unit.from_engine(value), 2 if unit.key == "MPa" else 1 if unit.key == "kgf_cm2" else 0)


def _of(result: Result | None, words: Callable[[float], str]) -> str:
    return words(result.value) if isinstance(result, Finding) else "–"


def verdict(each: MixResult) -> tuple[str, str]:
    """The brief's word on a mix and the shape of that state."""
    if each.verdict is None:
        return sentence("verdict_none", {}), "not_shown"
    return sentence(f"verdict_{each.verdict.word}", {}), SHAPES[each.verdict.word]


def chances(each: MixResult) -> str:
    """The chance that a lot passes, beside the rule's own verdict."""
    if not each.chances:
        return ""
    parts = [
        sentence("chance_one", {"chance": chance_words(one.chance), "assumption": assumption_words(one.assumption)})
        for one in each.chances
    ]
    return sentence("chance_words", {"chances": "; ".join(parts)})


def mix_notes(each: MixResult, today: date) -> list[str]:
    """What must be known of a mix's figures."""
    return [_mix_note(note, each, today) for note in each.notes]


def _mix_note(note: Note, each: MixResult, today: date) -> str:
    if note.code == "mix_too_young" and each.young_until is not None:
        return sentence("mix_too_young_on", {**_stabiliser(note), "day": day(each.young_until, today)})
    return sentence(note.code, _stabiliser(note)) if note.code == "mix_too_young" else of_note(note)


def _stabiliser(note: Note) -> dict[str, object]:
    kind = note.values["stabiliser"]
    return {**note.values, "stabiliser": tr("an unstabilised block") if kind == "none" else tr(str(kind))}


def block_line(state: State, each: SetAside | None, block: str, batch: str, value: float, shown: Shown) -> str:
    """One block of a strip: its mark, batch and strength."""
    fact = state.find(batch, "batch")
    name, strength_text = name_of(state, block), shown.value(value, "pressure")
    if fact is None:
        text = tr("{block}: {strength}", block=name, strength=strength_text)
    else:
        text = tr("{block}, batch {n}: {strength}", block=name, n=batch_number(state, fact), strength=strength_text)
    return text if each is None else tr("{reading} ({why})", reading=text, why=aside_words(each))


def aside_words(each: SetAside) -> str:
    """Why a broken block does not count."""
    said = sentence(each.reason, {"blocks": ""}).strip()
    return tr("{why}: {days}", why=said, days=count(each.block.age_days, "day")) if each.reason == "too_young" else said


def strip_text(state: State, each: MixResult, shown: Shown) -> str:
    """A strip in words, for those who do not see it."""
    assert each.spread is not None
    unit = shown.unit("pressure")
    values = ", ".join(strength(block_value(block), shown) for block in each.counted)
    batches = count(len(each.batches), "batch", "batches")
    mean = shown.value(each.spread.mean, "pressure")
    return tr(
        "{mix}: {blocks} of {batches}, weakest first: {values}. Mean {mean}.",
        mix=mix_key_name(state, each.key),
        blocks=count(each.spread.n, "block"),
        batches=batches,
        values=f"{values} {unit.label}",
        mean=mean,
    )


def pair_line(state: State, found: Comparison, pair: PairResult) -> str:
    """One pair in a sentence or two: apart, not apart yet, and how many more batches would tell."""
    first, second = mix_key_name(state, pair.first), mix_key_name(state, pair.second)
    values: dict[str, object] = {"first": first, "second": second, "share": percent(pair.share, 0)}
    if pair.verdict == "apart":
        stronger, weaker = (first, second) if pair.greater == pair.first else (second, first)
        return sentence("pair_apart", {**values, "stronger": stronger, "weaker": weaker, "sure": chance_words(pair.probability)})
    if pair.verdict == "not_apart":
        return sentence(f"pair_not_apart_{_more(pair)}", {**values, **_more_words(pair, first, second)})
    have = {"have": _have(found, pair)}
    told = sentence("pair_one_batch_each", {**values, **have})
    more = sentence(f"pair_one_{_more(pair)}", {**values, **_more_words(pair, first, second)})
    return tr("{first} {second}", first=told, second=more)


def _have(found: Comparison, pair: PairResult) -> str:
    mixes = [found.mix(key) for key in (pair.first, pair.second)]
    counts = [0 if mix is None else len(mix.batches) for mix in mixes]
    if counts == [1, 1]:
        return tr("one batch each")
    return tr("{first} and {second}", first=counts[0], second=count(counts[1], "batch", "batches"))


def _more(pair: PairResult) -> str:
    if pair.more is None:
        return "never"
    return "one" if 0 in pair.more else "each" if pair.more[0] == pair.more[1] else "both"


def _more_words(pair: PairResult, first: str, second: str) -> dict[str, str]:
    if pair.more is None:
        return {}
    of_first, of_second = (count(more, "more batch", "more batches") for more in pair.more)
    only_second = pair.more[0] == 0
    which, more = (second, of_second) if only_second else (first, of_first)
    return {"more": more, "which": which, "more_first": of_first, "more_second": of_second}


def left_out(state: State, found: Comparison) -> list[str]:
    """Mixes that cannot be held against the others."""
    return [sentence("pair_left_out", {"mix": mix_key_name(state, key)}) for key in found.left_out]


def pooled(found: Comparison) -> str:
    """How batches and blocks scatter, as the comparison learned it."""
    if found.batch_spread is None or found.block_spread is None:
        return ""
    values = {"batches": number(100 * found.batch_spread, 0), "blocks": number(100 * found.block_spread, 0)}
    return sentence("spreads_pooled", values)


def second_look(state: State, found: Second) -> list[str]:
    """What classical tests say, one sentence each; empty where they have too little to go by."""
    said = []
    if found.scatter is not None:
        each = found.scatter
        values = {"blocks_pct": 100 * each.blocks, "batches_pct": 100 * each.batches}
        said.append(sentence("second_scatter", {**values, "chance": p_words(each.chance), "blind": p_words(each.chance_blind)}))
    said += [_second_pair(state, each) for each in found.differences]
    return said


def _second_pair(state: State, each: Difference) -> str:
    values = {
        "first": mix_key_name(state, each.first),
        "second": mix_key_name(state, each.second),
        "ratio": number(exp(each.ln_ratio), 2),
        "low": number(exp(each.low), 2),
        "high": number(exp(each.high), 2),
        "chance": p_words(each.p_many),
    }
    return sentence("second_alike" if each.alike else "second_differs" if each.p_many < 0.05 else "second_open", values)


def p_words(chance: float) -> str:
    """The chance of a test, as reports print it.

    >>> p_words(0.00001), p_words(0.034)
    ('under 0.001', '0.034')
    """
    return tr("under {chance}", chance="0.001") if chance < 0.001 else number(chance, 3)
