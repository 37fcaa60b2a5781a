"""An acceptance rule as a value, and what results say to it: met, not met, or not shown yet, and what is missing."""

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from loamwright.engine.evidence.characteristic import EN1990_UNKNOWN, N_LEAST, RULES, cautious_value
from loamwright.engine.evidence.spread import ordered
from loamwright.errors import InputError, Note, check_not_negative, check_positive

State = Literal["met", "not_met", "not_shown_yet"]
Statistic = Literal[
    "mean",
    "mean_and_floor",
    "individual",
    "least_of_n",
    "mean_best_4_of_6",
    "maximum",
    "fractile_5",
    "characteristic",
    "limit",
    "guidance",
    "sampling",
    "twa_8h",
]
BETWEEN = "between"
BEST, OF = 4, 6
"""E.080 asks for the mean of the best four of six specimens."""

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
KNOWN_COMPARATORS = (*COMPARATORS, BETWEEN)


@dataclass(frozen=True, slots=True)
class Measured:
    """One result of one block, soil, mix, wall or lot, as an acceptance rule looks at it.

    Attributes
    ----------
    property : str
        What was measured, such as "compressive_strength", "water_absorption", "clay_content", "wall_thickness".
    value : float
        In the engine's unit of the property: MPa, mm, kg/m³, a share as a fraction.
    condition : str
        "wet" (soaked before the test), "dry", "air_dry" (in a named climate), "damp_plate", "spray", "drip", "dip", "cycles";
        empty where the property has none.
    soak_hours : float or None
        Nominal hours under water before the test (24 where the clock says 23.7 to 25: the caller names the soak);
        None or 0 for a block that was not soaked. [h]
    age_days : float or None
        Age at the test; None where it is not known. [d]
    screening : bool
        Read with something uncalibrated: good for choosing, cannot meet a rule.
    value_form : str
        "as_tested" on the gross area, or the shape correction already in it: "aspect_ratio_corrected", "normalised".
    subject : str
        What it was measured on: "block", "mix", "soil", "lot", "wall", "air" and so on.
    cycles : int or None
        Cycles of wetting and drying before it was read; None where there were none. [-]
    """

    property: str
    value: float
    condition: str = ""
    soak_hours: float | None = None
    age_days: float | None = None
    screening: bool = False
    value_form: str = "as_tested"
    subject: str = "block"
    cycles: int | None = None


BlockValue = Measured
"""A result of a block, the usual subject."""


@dataclass(frozen=True, slots=True)
class Criterion:
    """One acceptance clause as a value, in engine units.

    Attributes
    ----------
    key : str
        Its name, such as the id of the clause it was compiled from.
    property : str
        As in `Measured`.
    statistic : str
        The rule's own: "mean", "mean_and_floor", "individual" (each), "least_of_n", "mean_best_4_of_6", "maximum" (deepest or
        worst place), "fractile_5", "characteristic"; "limit", "guidance", "sampling" and "twa_8h" hold for every value
        given, of which one is enough.
    comparator : str
        ">=", ">", "<=", "<" or "between".
    limit : float
        What the statistic is held against; the lower end of "between". [engine unit of the property]
    condition : str
        As in `Measured`; empty where the rule names none, and any counts.
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
        As in `Measured`: only values of this form count.
    subject : str
        As in `Measured`: only values of this subject count.
    limit_most : float or None
        The upper end of "between", which then must be given. [engine unit of the property]
    most_included : bool
        Whether the upper end of "between" belongs to it; the lower end always does.
    floor : float or None
        What each value must reach beside the mean, for "mean_and_floor". [engine unit of the property]
    cycles_least : int or None
        Fewest cycles that count; None where the rule names none. [-]
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
    subject: str = "block"
    limit_most: float | None = None
    most_included: bool = True
    floor: float | None = None
    cycles_least: int | None = None

    def __post_init__(self) -> None:
        if self.statistic not in STATISTICS:
            raise InputError("unknown_statistic", statistic=self.statistic, known=", ".join(STATISTICS))
        if self.comparator not in KNOWN_COMPARATORS:
            raise InputError("unknown_comparator", comparator=self.comparator, known=", ".join(KNOWN_COMPARATORS))
        self._check_limits()
        if self.n is not None:
            check_positive(n=self.n)

    def _check_limits(self) -> None:
        if self.comparator != BETWEEN:
            check_positive(limit=self.limit)
        else:
            check_not_negative(limit=self.limit)
            if self.limit_most is None or not self.limit_most > self.limit:
                raise InputError("range_without_end", clause=self.key, limit=self.limit, limit_most=self.limit_most)
        if (self.floor is None) == (self.statistic == "mean_and_floor"):
            raise InputError("floor_and_statistic", clause=self.key)

    def holds(self, figure: float) -> bool:
        """Whether a figure meets the limit, or lies in the range."""
        if self.comparator != BETWEEN or self.limit_most is None:
            return COMPARATORS[self.comparator](figure, self.limit)
        return COMPARATORS[">="](figure, self.limit) and COMPARATORS["<=" if self.most_included else "<"](figure, self.limit_most)


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
        Why it is not shown yet: "blocks_missing" (have, need; "values_missing" for another subject than blocks), and why
        results at hand do not count: "other_condition", "other_value_form", "soak_too_short", "too_few_cycles", "other_soak",
        "age_unknown", "too_young", "screening_only", each with how many blocks.
    doubts : tuple of Note
        What keeps a met criterion from being a proof: "rule_soak_unknown", "rule_n_unknown", "older_than_rule",
        "cautious_rule_assumed", "more_than_six".
    need : int
        Values the criterion needs. [-]
    """

    criterion: Criterion
    state: State
    statistic_value: float | None
    used: tuple[float, ...]
    soak_hours: float | None
    missing: tuple[Note, ...]
    doubts: tuple[Note, ...]
    need: int = 1


@dataclass(frozen=True, slots=True)
class _Statistic:
    """How a statistic is taken: from the sorted values, the criterion in hand; whether one bad block already decides.

    `sampled` says that the number of blocks is part of the rule, so that not knowing it is a doubt.
    """

    value: Callable[[Criterion, Sequence[float]], float]
    n_least: int
    one_decides: bool
    sampled: bool = True


def _worst(criterion: Criterion, values: Sequence[float]) -> float:
    if criterion.comparator == BETWEEN and criterion.limit_most is not None:
        low, high = criterion.limit, criterion.limit_most
        return max(values, key=lambda value: max(low - value, value - high))
    return min(values) if criterion.comparator in (">=", ">") else max(values)


def _mean(_criterion: Criterion, values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _best_four(_criterion: Criterion, values: Sequence[float]) -> float:
    """Of more than six the six least are taken: the rule says nothing of a seventh, and picking would flatter."""
    return math.fsum(values[:OF][-BEST:]) / BEST


def _largest(_criterion: Criterion, values: Sequence[float]) -> float:
    return max(values)


def _cautious(criterion: Criterion, values: Sequence[float]) -> float:
    return cautious_value(values, rule=criterion.cautious_rule or EN1990_UNKNOWN).value


STATISTICS: Mapping[str, _Statistic] = {
    "mean": _Statistic(_mean, 1, False),
    "mean_and_floor": _Statistic(_mean, 1, False),
    "individual": _Statistic(_worst, 1, True),
    "least_of_n": _Statistic(_worst, 1, True),
    "mean_best_4_of_6": _Statistic(_best_four, OF, False),
    "maximum": _Statistic(_largest, 1, True),
    "fractile_5": _Statistic(_cautious, N_LEAST, False),
    "characteristic": _Statistic(_cautious, N_LEAST, False),
    "limit": _Statistic(_worst, 1, True, sampled=False),
    "guidance": _Statistic(_worst, 1, True, sampled=False),
    "sampling": _Statistic(_worst, 1, True, sampled=False),
    "twa_8h": _Statistic(_worst, 1, True, sampled=False),
}
"""Every statistic a clause may name; a new one is a row here."""

Filter = tuple[str, Callable[[Criterion, Measured], bool]]
_FILTERS: tuple[Filter, ...] = (
    ("other_property", lambda rule, block: (block.property, block.subject) == (rule.property, rule.subject)),
    ("other_condition", lambda rule, block: not rule.condition or block.condition == rule.condition),
    ("other_value_form", lambda rule, block: block.value_form == rule.value_form),
    ("soak_too_short", lambda rule, block: (block.soak_hours or 0.0) >= (rule.soak_hours_least or 0.0)),
    ("too_few_cycles", lambda rule, block: (block.cycles or 0) >= (rule.cycles_least or 0)),
    ("age_unknown", lambda rule, block: rule.age_days is None or block.age_days is not None),
    ("too_young", lambda rule, block: rule.age_days is None or (block.age_days or 0.0) >= rule.age_days),
    ("screening_only", lambda rule, block: not block.screening),
)


def evaluate(criterion: Criterion, values: Sequence[Measured]) -> Outcome:
    """Hold results against one criterion by the criterion's own statistic.

    The rule is the argument; no standard is built in.

    Parameters
    ----------
    criterion : Criterion
        The clause.
    values : sequence of Measured
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
    "individual" or "least_of_n" clause, or under the floor of a mean, is not met at once. Of "mean_best_4_of_6" the mean of
    the four highest of six is taken; of more than six the six lowest count, with a doubt.

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
    state = _state(criterion, statistic, figure, used, enough=len(used) >= need)
    missing: tuple[Note, ...] = ()
    if state == "not_shown_yet":
        missing = (_short(criterion, len(used), need), *passed_over)
        missing += (Note("other_soak", {"blocks": other}),) if other else ()
    soak = chosen[0].soak_hours if chosen else None
    return Outcome(criterion, state, figure, used, soak, missing, _doubts(criterion, chosen), need)


def _short(criterion: Criterion, have: int, need: int) -> Note:
    if criterion.subject == "block":
        return Note("blocks_missing", {"have": have, "need": need, "condition": criterion.condition})
    return Note("values_missing", {"have": have, "need": need, "subject": criterion.subject})


def _takes(criterion: Criterion, statistic: _Statistic) -> int:
    """Fewest values the statistic can be taken of."""
    return max(statistic.n_least, RULES[criterion.cautious_rule].n_least if criterion.cautious_rule else 1)


def _counting(criterion: Criterion, values: Sequence[Measured]) -> tuple[list[Measured], list[Note]]:
    """The values that count, and for every reason how many do not."""
    left = list(values)
    passed_over: list[Note] = []
    for reason, counts in _FILTERS:
        kept = [block for block in left if counts(criterion, block)]
        if len(kept) < len(left) and reason != "other_property":
            passed_over.append(Note(reason, {"blocks": len(left) - len(kept)}))
        left = kept
    return left, passed_over


def _one_soak(blocks: Sequence[Measured], need: int) -> tuple[list[Measured], int]:
    """Blocks of one soak: the shortest with enough blocks, else the one with most; and how many are left over."""
    counts = Counter(block.soak_hours or 0.0 for block in blocks)
    if not counts:
        return [], 0
    hours = min(counts, key=lambda each: (counts[each] < need, 0 if counts[each] >= need else -counts[each], each))
    chosen = [block for block in blocks if (block.soak_hours or 0.0) == hours]
    return chosen, len(blocks) - len(chosen)


def _state(criterion: Criterion, statistic: _Statistic, figure: float | None, used: Sequence[float], *, enough: bool) -> State:
    if figure is None:
        return "not_shown_yet"
    if criterion.floor is not None and not COMPARATORS[criterion.comparator](_worst(criterion, used), criterion.floor):
        return "not_met"
    holds = criterion.holds(figure)
    if enough:
        return "met" if holds else "not_met"
    return "not_met" if statistic.one_decides and not holds else "not_shown_yet"


def _doubts(criterion: Criterion, chosen: Sequence[Measured]) -> tuple[Note, ...]:
    doubts: list[Note] = []
    if criterion.condition == "wet" and criterion.soak_hours_least is None:
        doubts.append(Note("rule_soak_unknown", {"soak_hours": chosen[0].soak_hours if chosen else None}))
    if criterion.n is None and STATISTICS[criterion.statistic].sampled:
        doubts.append(Note("rule_n_unknown", {"blocks": len(chosen)}))
    if STATISTICS[criterion.statistic].value is _cautious and criterion.cautious_rule is None:
        doubts.append(Note("cautious_rule_assumed", {"rule": EN1990_UNKNOWN}))
    if criterion.statistic == "mean_best_4_of_6" and len(chosen) > OF:
        doubts.append(Note("more_than_six", {"blocks": len(chosen)}))
    ages = [block.age_days for block in chosen if block.age_days is not None]
    if criterion.age_days is not None and ages and max(ages) > criterion.age_days + LATE_DAYS:
        doubts.append(Note("older_than_rule", {"age_days": max(ages), "rule_age_days": criterion.age_days}))
    return tuple(doubts)
