"""Rules held against evidence: for every clause its outcome and its standing, kept apart, and the one word both allow."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from loamwright.engine.evidence import acceptance
from loamwright.engine.evidence.acceptance import BlockValue, Outcome
from loamwright.rules.book import Clause, Compiled, Rule, compile_rule

Standing = Literal["read", "second_hand", "memory", "own"]
Word = Literal["complies", "met", "not_met", "not_shown_yet"]

STANDINGS: Mapping[str, Standing] = {
    "read": "read",
    # What somebody else read is hearsay to the user, even where it was the document itself.
    "document": "second_hand",
    "second-hand": "second_hand",
    "memory": "memory",
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
        where the limit is a share of another clause's.
    word : str
        "complies" only where it is met without a doubt and the user read the clause; else the outcome's state.
    """

    clause: Clause
    outcome: Outcome
    standing: Standing
    word: Word


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
        In the rule's order.
    word : str
        "not_met" if any clause is not; else "not_shown_yet" if any is not; "complies" if every clause does; else "met".
    """

    rule: Rule
    grade: str | None
    uses: tuple[str, ...]
    clauses: tuple[ClauseVerdict, ...]
    word: Word


def evaluate(rule: Rule, values: Sequence[BlockValue], *, grade: str | None = None, uses: Collection[str] = ()) -> Verdict:
    """Hold block results against a rule.

    Only clauses on strength and absorption are in the book so far; "complies" speaks of these clauses alone.

    Parameters
    ----------
    rule : Rule
        From the book, as read in the document, or a person's own brief.
    values : sequence of BlockValue
        Every result at hand; each clause takes those that count for it. [MPa or -]
    grade, uses : optional
        As in `compile_rule`.

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
    >>> blocks = [BlockValue("compressive_strength", value, "wet", 24, 28) for value in (2.5, 2.6, 2.7)]
    >>> evaluate(brief, blocks).word
    'met'
    """
    verdicts = tuple(
        _verdict(compiled, acceptance.evaluate(compiled.criterion, values))
        for compiled in compile_rule(rule, grade=grade, uses=uses)
    )
    return Verdict(rule, grade, tuple(sorted(uses)), verdicts, _whole([verdict.word for verdict in verdicts]))


def _verdict(compiled: Compiled, outcome: Outcome) -> ClauseVerdict:
    standing = min((STANDINGS[each.standing] for each in (compiled.clause, compiled.leans_on)), key=_WEAKEST_FIRST.index)
    proven = outcome.state == "met" and standing == "read" and not outcome.doubts
    return ClauseVerdict(compiled.clause, outcome, standing, "complies" if proven else outcome.state)


def _whole(words: Sequence[Word]) -> Word:
    if "not_met" in words:
        return "not_met"
    if "not_shown_yet" in words or not words:
        return "not_shown_yet"
    return "complies" if set(words) == {"complies"} else "met"
