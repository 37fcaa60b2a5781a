"""An acceptance rule as a value, and what block results say to it: met, not met, or not shown yet and what is missing."""

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from loamwright.engine.evidence.characteristic import EN1990_UNKNOWN, N_LEAST, RULES, cautious_value
from loamwright.engine.evidence.spread import ordered
from loamwright.errors import InputError, Note, check_not_negative, check_positive

State = Literal["met", "not_met", "not_shown_yet"]
Statistic = Literal["mean", "individual", "least_of_n", "fractile_5", "characteristic"]

LATE_DAYS = 1.0
"""A block broken later than this after the rule's age still counts, but the outcome carries a doubt (judgement)."""

ROUNDING = 1e-9
"""Share of the limit within which a figure is equal to it: a mean of 15.7/5 must count as 3.14."""

COMPARATORS: Mapping[str, Callable[[float, float], bool]] = {
    ">=": lambda figure, limit: figure >= limit * (1 - ROUNDING),
    ">": lambda figure, limit: figure > limit * (1 + ROUNDING),
    "<=": lambda figure, limit: figure <= limit * (1 + ROUNDING),
    "<": lambda figure, limit: figure < limit * (1 - ROUNDING),
}


@dataclass(frozen=True, slots=True)
class BlockValue:
    """One result of one block, as an acceptance rule looks at it.

    Attributes
    ----------
    property : str
        What was measured: "compressive_strength", "modulus_of_rupture", "water_absorption", "damp_plate_absorption".
    value : float
        Strength, or a mass of water as a share of dry mass. [MPa or -]
    condition : str
        "wet" (soaked before the test), "dry", "air_dry" (in a named climate) or "damp_plate".
    soak_hours : float or None
        Nominal hours under water before the test (24 where the clock says 23.7 to 25: the caller names the soak);
        None or 0 for a block that was not soaked. [h]
    age_days : float or None
        Age at the test; None where it is not known. [d]
    screening : bool
        Read with something uncalibrated: good for choosing, cannot meet a rule.
    value_form : str
        "as_tested" on the gross area, or the shape correction already in it: "aspect_ratio_corrected", "normalised".
    """

    property: str
    value: float
    condition: str
    soak_hours: float | None = None
    age_days: float | None = None
    screening: bool = False
    value_form: str = "as_tested"


@dataclass(frozen=True, slots=True)
class Criterion:
    """One acceptance clause as a value, in engine units.

    Attributes
    ----------
    key : str
        Its name, such as the id of the clause it was compiled from.
    property : str
        As in `BlockValue`.
    statistic : str
        The rule's own: "mean", "individual" (each), "least_of_n", "fractile_5" or "characteristic".
    comparator : str
        ">=", ">", "<=" or "<".
    limit : float
        What the statistic is held against. [MPa or -]
    condition : str
        As in `BlockValue`.
    soak_hours_least : float or None
        Shortest soak that counts; None where the rule's hours are not known. [h]
    age_days : float or None
        Age the rule asks for; None where it names none. [d]
    n : int or None
        Blocks the rule asks for; None where its number is not known. [-]
    cautious_rule : str or None
        Key in `characteristic.RULES` for the statistics "fractile_5" and "characteristic"; None where the
        building rule does not say how, and the product's own choice stands in, with a doubt.
    value_form : str
        As in `BlockValue`: only values of this form count.
    """

    key: str
    property: str
    statistic: Statistic
    comparator: str
    limit: float
    condition: str
    soak_hours_least: float | None = None
    age_days: float | None = None
    n: int | None = None
    cautious_rule: str | None = None
    value_form: str = "as_tested"

    def __post_init__(self) -> None:
        if self.statistic not in STATISTICS:
            raise InputError("unknown_statistic", statistic=self.statistic, known=", ".join(STATISTICS))
        if self.comparator not in COMPARATORS:
            raise InputError("unknown_comparator", comparator=self.comparator, known=", ".join(COMPARATORS))
        check_positive(limit=self.limit)
        if self.n is not None:
            check_positive(n=self.n)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What block results say to one criterion.

    Attributes
    ----------
    criterion : Criterion
        The clause asked.
    state : str
        "met", "not_met" or "not_shown_yet".
    statistic_value : float or None
        The rule's own statistic of the values used; None where there are too few for it. [MPa or -]
    used : tuple of float
        The values it stands on, sorted. [MPa or -]
    soak_hours : float or None
        The soak of the values used. [h]
    missing : tuple of Note
        Why it is not shown yet: "blocks_missing" (have, need), and why results at hand do not count:
        "other_condition", "other_value_form", "soak_too_short", "other_soak", "age_unknown", "too_young", "screening_only",
        each with how many blocks.
    doubts : tuple of Note
        What keeps a met criterion from being a proof: "rule_soak_unknown", "rule_n_unknown", "older_than_rule",
        "cautious_rule_assumed".
    """

    criterion: Criterion
    state: State
    statistic_value: float | None
    used: tuple[float, ...]
    soak_hours: float | None
    missing: tuple[Note, ...]
    doubts: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class _Statistic:
    """How a statistic is taken: from the sorted values, the criterion in hand; whether one bad block already decides."""

    value: Callable[[Criterion, Sequence[float]], float]
    n_least: int
    one_decides: bool


def _worst(criterion: Criterion, values: Sequence[float]) -> float:
    return min(values) if criterion.comparator in (">=", ">") else max(values)


def _mean(_criterion: Criterion, values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _cautious(criterion: Criterion, values: Sequence[float]) -> float:
    return cautious_value(values, rule=criterion.cautious_rule or EN1990_UNKNOWN).value


STATISTICS: Mapping[str, _Statistic] = {
    "mean": _Statistic(_mean, 1, False),
    "individual": _Statistic(_worst, 1, True),
    "least_of_n": _Statistic(_worst, 1, True),
    "fractile_5": _Statistic(_cautious, N_LEAST, False),
    "characteristic": _Statistic(_cautious, N_LEAST, False),
}
"""Every statistic a clause may name; a new one is a row here."""

Filter = tuple[str, Callable[[Criterion, BlockValue], bool]]
_FILTERS: tuple[Filter, ...] = (
    ("other_property", lambda rule, block: block.property == rule.property),
    ("other_condition", lambda rule, block: block.condition == rule.condition),
    ("other_value_form", lambda rule, block: block.value_form == rule.value_form),
    ("soak_too_short", lambda rule, block: (block.soak_hours or 0.0) >= (rule.soak_hours_least or 0.0)),
    ("age_unknown", lambda rule, block: rule.age_days is None or block.age_days is not None),
    ("too_young", lambda rule, block: rule.age_days is None or (block.age_days or 0.0) >= rule.age_days),
    ("screening_only", lambda rule, block: not block.screening),
)


def evaluate(criterion: Criterion, values: Sequence[BlockValue]) -> Outcome:
    """Hold block results against one criterion by the criterion's own statistic.

    The rule is the argument; no standard is built in.

    Parameters
    ----------
    criterion : Criterion
        The clause.
    values : sequence of BlockValue
        Everything at hand; what does not count is said, not hidden.

    Returns
    -------
    Outcome
        See its fields.

    Raises
    ------
    InputError
        "negative" or "not_finite" for a value.

    Notes
    -----
    Soaks of different hours are different tests and are never pooled: the shortest soak that counts and has enough
    blocks is used. With fewer blocks than the rule asks for nothing can be met, but one block under the limit of an
    "individual" or "least_of_n" clause is not met at once.

    References
    ----------
    [rule-acceptance]

    Examples
    --------
    >>> rule = Criterion("each", "compressive_strength", "individual", ">=", 2.0, "wet", soak_hours_least=24, n=3)
    >>> blocks = [BlockValue("compressive_strength", value, "wet", soak_hours=24) for value in (2.4, 2.2)]
    >>> evaluate(rule, blocks).state, evaluate(rule, blocks + blocks).state
    ('not_shown_yet', 'met')
    """
    counting, passed_over = _counting(criterion, values)
    statistic = STATISTICS[criterion.statistic]
    need = max(criterion.n or 1, _takes(criterion, statistic))
    chosen, other = _one_soak(counting, need)
    used = tuple(float(value) for value in ordered([block.value for block in chosen], n_least=0))
    check_not_negative(**{f"value_{place}": value for place, value in enumerate(used)})
    figure = statistic.value(criterion, used) if len(used) >= _takes(criterion, statistic) else None
    state = _state(criterion, statistic, figure, enough=len(used) >= need)
    missing: tuple[Note, ...] = ()
    if state == "not_shown_yet":
        short = Note("blocks_missing", {"have": len(used), "need": need, "condition": criterion.condition})
        missing = (short, *passed_over, *((Note("other_soak", {"blocks": other}),) if other else ()))
    soak = chosen[0].soak_hours if chosen else None
    return Outcome(criterion, state, figure, used, soak, missing, _doubts(criterion, chosen))


def _takes(criterion: Criterion, statistic: _Statistic) -> int:
    """Fewest values the statistic can be taken of."""
    return max(statistic.n_least, RULES[criterion.cautious_rule].n_least if criterion.cautious_rule else 1)


def _counting(criterion: Criterion, values: Sequence[BlockValue]) -> tuple[list[BlockValue], list[Note]]:
    """The values that count, and for every reason how many do not."""
    left = list(values)
    passed_over: list[Note] = []
    for reason, counts in _FILTERS:
        kept = [block for block in left if counts(criterion, block)]
        if len(kept) < len(left) and reason != "other_property":
            passed_over.append(Note(reason, {"blocks": len(left) - len(kept)}))
        left = kept
    return left, passed_over


def _one_soak(blocks: Sequence[BlockValue], need: int) -> tuple[list[BlockValue], int]:
    """Blocks of one soak: the shortest with enough blocks, else the one with most; and how many are left over."""
    counts = Counter(block.soak_hours or 0.0 for block in blocks)
    if not counts:
        return [], 0
    hours = min(counts, key=lambda each: (counts[each] < need, 0 if counts[each] >= need else -counts[each], each))
    chosen = [block for block in blocks if (block.soak_hours or 0.0) == hours]
    return chosen, len(blocks) - len(chosen)


def _state(criterion: Criterion, statistic: _Statistic, figure: float | None, *, enough: bool) -> State:
    if figure is None:
        return "not_shown_yet"
    holds = COMPARATORS[criterion.comparator](figure, criterion.limit)
    if enough:
        return "met" if holds else "not_met"
    return "not_met" if statistic.one_decides and not holds else "not_shown_yet"


def _doubts(criterion: Criterion, chosen: Sequence[BlockValue]) -> tuple[Note, ...]:
    doubts: list[Note] = []
    if criterion.condition == "wet" and criterion.soak_hours_least is None:
        doubts.append(Note("rule_soak_unknown", {"soak_hours": chosen[0].soak_hours if chosen else None}))
    if criterion.n is None:
        doubts.append(Note("rule_n_unknown", {"blocks": len(chosen)}))
    if STATISTICS[criterion.statistic].value is _cautious and criterion.cautious_rule is None:
        doubts.append(Note("cautious_rule_assumed", {"rule": EN1990_UNKNOWN}))
    ages = [block.age_days for block in chosen if block.age_days is not None]
    if criterion.age_days is not None and ages and max(ages) > criterion.age_days + LATE_DAYS:
        doubts.append(Note("older_than_rule", {"age_days": max(ages), "rule_age_days": criterion.age_days}))
    return tuple(doubts)
