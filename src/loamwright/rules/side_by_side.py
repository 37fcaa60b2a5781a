"""Several rules held against the same evidence, property by property."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from loamwright.engine.evidence.acceptance import Measured
from loamwright.engine.evidence.waiting import Waiting
from loamwright.rules.clause import Rule
from loamwright.rules.evaluate import ClauseVerdict, Verdict, evaluate
from loamwright.rules.properties import MIX_SUBJECTS


@dataclass(frozen=True, slots=True)
class Asked:
    """A rule with what is asked of it.

    Attributes
    ----------
    rule : Rule
    grade : str or None
    uses : tuple of str
    age_least : float
        Age below which a result of a block says nothing yet, for clauses that name no age. [d]
    """

    rule: Rule
    grade: str | None = None
    uses: tuple[str, ...] = ()
    age_least: float = 0.0


@dataclass(frozen=True, slots=True)
class SameAsked:
    """What several rules say of one property in one condition: for each rule its clauses on it, none where it asks nothing."""

    subject: str
    property: str
    condition: str
    cells: tuple[tuple[ClauseVerdict, ...], ...]


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Verdicts in the order the rules were named, and the same clause by clause."""

    verdicts: tuple[Verdict, ...]
    rows: tuple[SameAsked, ...]


def compare_rules(
    asked: Sequence[Asked],
    values: Sequence[Measured],
    *,
    subjects: Collection[str] | None = MIX_SUBJECTS,
    waiting: Sequence[Waiting] = (),
    today: date | None = None,
) -> SideBySide:
    """Several rules on the same evidence.

    Parameters
    ----------
    asked : sequence of Asked
        The rules, each with its grade and uses.
    values, subjects, waiting, today : optional
        As in `evaluate`.

    Returns
    -------
    SideBySide
        See its fields.

    Raises
    ------
    InputError
        As `evaluate`.

    Examples
    --------
    >>> from loamwright.rules.book import load_rule
    >>> rules = [Asked(load_rule("bre_obn_184_1980"), "one storey"), Asked(load_rule("ks_02_1070_1993"))]
    >>> found = compare_rules(rules, [Measured("compressive_strength", value, "wet", 24, 28) for value in (2.0, 1.9, 2.1)])
    >>> [verdict.word for verdict in found.verdicts], [row.condition for row in found.rows]
    (['met', 'not_shown_yet'], ['wet', 'dry', 'wet'])
    """
    verdicts = tuple(
        evaluate(
            each.rule,
            _old_enough(values, each.age_least),
            grade=each.grade,
            uses=each.uses,
            subjects=subjects,
            waiting=waiting,
            today=today,
        )
        for each in asked
    )
    places = dict.fromkeys(_place(clause) for verdict in verdicts for clause in verdict.clauses)
    rows = tuple(
        SameAsked(*place, tuple(tuple(each for each in verdict.clauses if _place(each) == place) for verdict in verdicts))
        for place in places
    )
    return SideBySide(verdicts, rows)


def _old_enough(values: Sequence[Measured], age_least: float) -> list[Measured]:
    return [each for each in values if each.age_days is None or each.age_days >= age_least]


def _place(verdict: ClauseVerdict) -> tuple[str, str, str]:
    return verdict.clause.subject, verdict.clause.property, verdict.clause.condition
