"""Rules held against evidence: for every clause its outcome and its standing, kept apart, and the one word both allow."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from loamwright.engine.evidence import acceptance
from loamwright.engine.evidence.acceptance import Measured, Outcome
from loamwright.engine.evidence.classes import class_reached
from loamwright.engine.evidence.waiting import Waiting, can_be_shown_on
from loamwright.rules.book import Compiled, classes_of, compile_rule
from loamwright.rules.clause import Clause, OtherFigure, Rule
from loamwright.rules.properties import MIX_SUBJECTS

Standing = Literal["read", "second_hand", "memory", "own"]
Word = Literal["complies", "met", "not_met", "not_shown_yet"]
Whole = Literal["complies", "met", "not_met", "not_shown_yet", "no_requirement"]
Advised = Literal["as_advised", "not_as_advised", "not_shown_yet"]

STANDINGS: Mapping[str, Standing] = {
    "read": "read",
    # What somebody else read is hearsay to the user, even where it was the document itself.
    "document": "second_hand",
    "second-hand": "second_hand",
    "memory": "memory",
    # A figure of another source by reckoning or by the trade is not the document's either.
    "derived": "memory",
    "judgement": "memory",
    "common practice": "memory",
    "own": "own",
}
_WEAKEST_FIRST: tuple[Standing, ...] = ("memory", "second_hand", "read", "own")


@dataclass(frozen=True, slots=True)
class ClauseVerdict:
    """What is shown of one clause.

    Attributes
    ----------
    clause : Clause
        The clause, in its document's units.
    outcome : Outcome
        Met, not met or not shown yet, with the numbers used and what is missing.
    standing : str
        "read" by the user in the document, "second_hand", "memory", or "own" for a person's brief; the weaker of the two
        where the limit is a share of another clause's, or another source's stricter figure counts.
    word : str
        "complies" only where it is met without a doubt and the user read the clause; else the outcome's state.
    can_be_shown_on : date or None
        First day on which waiting blocks can have shown it; None where nothing is missing, or where too few wait.
    stricter : OtherFigure or None
        The figure of another source that counted because it is the stricter.
    """

    clause: Clause
    outcome: Outcome
    standing: Standing
    word: Word
    can_be_shown_on: date | None = None
    stricter: OtherFigure | None = None


@dataclass(frozen=True, slots=True)
class AdviceSaid:
    """Guidance held against what was measured; it never decides. `word` is "as_advised", "not_as_advised", "not_shown_yet"."""

    clause: Clause
    outcome: Outcome
    standing: Standing
    word: Advised


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is shown of a whole rule.

    Attributes
    ----------
    rule : Rule
        The rule held against the evidence.
    grade : str or None
        The grade asked for.
    uses : tuple of str
        The uses asked for, sorted.
    clauses : tuple of ClauseVerdict
        Requirements on the subjects asked for, in the rule's order.
    word : str
        "not_met" if any clause is not; else "not_shown_yet" if any is not; "complies" if every clause does; else "met";
        "no_requirement" where none is asked.
    advice : tuple of AdviceSaid
        Guidance on the same subjects.
    not_asked : tuple of Clause
        Rows of the document that ask nothing, each with its reason.
    can_be_shown_on : date or None
        First day on which every clause that is not shown yet can be; None where one cannot by the blocks that wait.
    """

    rule: Rule
    grade: str | None
    uses: tuple[str, ...]
    clauses: tuple[ClauseVerdict, ...]
    word: Whole
    advice: tuple[AdviceSaid, ...] = ()
    not_asked: tuple[Clause, ...] = ()
    can_be_shown_on: date | None = None


def evaluate(
    rule: Rule,
    values: Sequence[Measured],
    *,
    grade: str | None = None,
    uses: Collection[str] = (),
    subjects: Collection[str] | None = MIX_SUBJECTS,
    waiting: Sequence[Waiting] = (),
    today: date | None = None,
) -> Verdict:
    """Hold results against a rule.

    A verdict speaks of the clauses in the file alone, and of those on the subjects asked for: as it stands of blocks and
    their mix. What a rule asks of soil, lot, wall and air is held against evidence by naming those subjects.

    Parameters
    ----------
    rule : Rule
        From the book, as read in the document, or a person's own brief.
    values : sequence of Measured
        Every result at hand; each clause takes those that count for it. [engine units]
    grade, uses : optional
        As in `compile_rule`.
    subjects : collection of str or None
        What the verdict is about; None for everything.
    waiting : sequence of Waiting
        Blocks pressed and not tested yet.
    today : date, optional
        The day from which waiting blocks are looked at; without it no date is said.

    Returns
    -------
    Verdict
        See its fields.

    Raises
    ------
    InputError
        As `compile_rule` and `evidence.acceptance.evaluate`.

    Examples
    --------
    >>> from loamwright.rules.brief import own_brief
    >>> brief = own_brief(mean_least=2.4, each_least=2.0, n=3, soak_hours=24, age_days=28)
    >>> blocks = [Measured("compressive_strength", value, "wet", 24, 28) for value in (2.5, 2.6, 2.7)]
    >>> evaluate(brief, blocks).word
    'met'
    """
    compiled = compile_rule(rule, grade=grade, uses=uses, subjects=subjects, advice=True)
    verdicts = tuple(_verdict(each, values, waiting, today) for each in compiled if not each.clause.advice)
    return Verdict(
        rule=rule,
        grade=grade,
        uses=tuple(sorted(uses)),
        clauses=verdicts,
        word=_whole([verdict.word for verdict in verdicts]),
        advice=tuple(_advice(each, values) for each in compiled if each.clause.advice),
        not_asked=tuple(each for each in rule.clauses if each.no_requirement),
        can_be_shown_on=_when(verdicts),
    )


def _verdict(compiled: Compiled, values: Sequence[Measured], waiting: Sequence[Waiting], today: date | None) -> ClauseVerdict:
    outcome = acceptance.evaluate(compiled.criterion, values)
    standing = _standing(compiled)
    proven = outcome.state == "met" and standing == "read" and not outcome.doubts
    return ClauseVerdict(
        clause=compiled.clause,
        outcome=outcome,
        standing=standing,
        word="complies" if proven else outcome.state,
        can_be_shown_on=None if today is None else can_be_shown_on(outcome, waiting, today=today),
        stricter=compiled.stricter,
    )


def _standing(compiled: Compiled) -> Standing:
    known = [compiled.clause.standing, compiled.leans_on.standing]
    known += [compiled.stricter.standing] if compiled.stricter is not None else []
    return min((STANDINGS[each] for each in known), key=_WEAKEST_FIRST.index)


def _advice(compiled: Compiled, values: Sequence[Measured]) -> AdviceSaid:
    outcome = acceptance.evaluate(compiled.criterion, values)
    words: Mapping[str, Advised] = {"met": "as_advised", "not_met": "not_as_advised"}
    return AdviceSaid(compiled.clause, outcome, _standing(compiled), words.get(outcome.state, "not_shown_yet"))


def _whole(words: Sequence[Word]) -> Whole:
    if not words:
        return "no_requirement"
    if "not_met" in words:
        return "not_met"
    if "not_shown_yet" in words:
        return "not_shown_yet"
    return "complies" if set(words) == {"complies"} else "met"


def _when(verdicts: Sequence[ClauseVerdict]) -> date | None:
    days = [each.can_be_shown_on for each in verdicts if each.word == "not_shown_yet"]
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None


def classes_reached(rule: Rule, values: Sequence[Measured], *, grade: str | None = None) -> Mapping[str, str | None]:
    """For every scale of classes of a rule the key of the best class reached; None where none is shown.

    Parameters
    ----------
    rule : Rule
        From the book.
    values : sequence of Measured
        Every result at hand. [engine units]
    grade : str, optional
        Grade whose classes are looked at.

    Returns
    -------
    mapping of str to str or None
        Clause key by the name of the scale.

    Examples
    --------
    >>> from loamwright.rules.book import load_rule
    >>> classes_reached(load_rule("nzs_4298_1998"), [Measured("erosion_rate", 35.0, "spray")])["erodibility index by spray"]
    'nzs4298-spray-index2'
    """
    found = {scale: [each.criterion for each in classes_of(rule, scale, grade=grade)] for scale in rule.scales}
    return {scale: class_reached(classes, values).key for scale, classes in found.items()}
