"""Gates before ranking: a mix passes only if every rule is met and no stop question is open; else the ladder of remedies."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from loamwright import tables
from loamwright.errors import InputError

# "complies" is "met" by a rule read in the document; a gate treats the two alike.
Outcome = Literal["complies", "met", "not_met", "not_shown_yet"]
StopAnswer = Literal["open", "clear", "stop"]
State = Literal["passes", "waits", "fails"]


@dataclass(frozen=True, slots=True)
class Gate:
    """What stands between a mix and the choice.

    Attributes
    ----------
    mix : str
        The mix.
    state : "passes", "waits" or "fails"
        Whether it may be ranked; "waits" if more evidence or an answer could still let it pass.
    not_met : tuple of str
        Rules whose own statistic is not met.
    not_shown : tuple of str
        Rules for which the evidence is not there yet.
    open_questions : tuple of str
        Stop questions without an answer: not asked counts as open.
    stopped : tuple of str
        Stop questions answered so that the soil or water must not be used.
    """

    mix: str
    state: State
    not_met: tuple[str, ...]
    not_shown: tuple[str, ...]
    open_questions: tuple[str, ...]
    stopped: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remedy:
    """One rung of the ladder.

    Attributes
    ----------
    code : str
        "cure", "water", "fill-density", "add-clay", "add-sand", "dose", "other-stabiliser" or "other-pit".
    place : int
        Place in the ladder, 1 first.
    signs : tuple of str
        Codes of findings that point to this step.
    seen : tuple of str
        Those of them that were seen.
    source, standing : str
        Reference key, and how the row is known.
    """

    code: str
    place: int
    signs: tuple[str, ...]
    seen: tuple[str, ...]
    source: str
    standing: str


def _check_codes(values: Iterable[str], allowed: tuple[str, ...], quantity: str) -> None:
    for value in values:
        if value not in allowed:
            raise InputError("unknown_code", quantity=quantity, value=value, known=", ".join(allowed))


def gate(mix: str, *, outcomes: Mapping[str, Outcome], stop_questions: Mapping[str, StopAnswer]) -> Gate:
    """Whether a mix may be ranked, by the outcome of each rule and the state of each stop question.

    Parameters
    ----------
    mix : str
        The mix.
    outcomes : mapping of rule to "complies", "met", "not_met" or "not_shown_yet"
        Outcome of each rule of the brief by the rule's own statistic; the chance of passing is shown beside it elsewhere.
    stop_questions : mapping of question to "open", "clear" or "stop"
        State of each stop question that bears on this mix.

    Returns
    -------
    Gate
        "fails" with a rule not met or a question answered "stop"; else "waits" with a rule not shown or a question open, or
        without any rule at all; else "passes".

    Raises
    ------
    InputError
        "unknown_code".

    References
    ----------
    [judgement-choice]

    Examples
    --------
    >>> gate("5:2@6", outcomes={"mean": "met", "least": "met"}, stop_questions={"sulfate": "open"}).state
    'waits'
    """
    _check_codes(outcomes.values(), get_args(Outcome), "outcome")
    _check_codes(stop_questions.values(), get_args(StopAnswer), "stop_question")
    not_met = tuple(sorted(rule for rule, outcome in outcomes.items() if outcome == "not_met"))
    not_shown = tuple(sorted(rule for rule, outcome in outcomes.items() if outcome == "not_shown_yet"))
    still_open = tuple(sorted(question for question, answer in stop_questions.items() if answer == "open"))
    stopped = tuple(sorted(question for question, answer in stop_questions.items() if answer == "stop"))
    state: State = "passes"
    if not_met or stopped:
        state = "fails"
    elif not_shown or still_open or not outcomes:
        state = "waits"
    return Gate(mix, state, not_met, not_shown, still_open, stopped)


def remedy_ladder(signs: Collection[str] = ()) -> tuple[Remedy, ...]:
    """What to change when nothing passes, in order, with the signs that were seen for each step.

    Parameters
    ----------
    signs : collection of str
        Codes of findings.

    Returns
    -------
    tuple of Remedy
        Always the whole ladder: cure, water, fill density, clay or sand, dose, other stabiliser, other pit.

    Raises
    ------
    InputError
        "unknown_code" for a sign no step knows.

    References
    ----------
    [judgement-choice]

    Examples
    --------
    >>> [remedy.code for remedy in remedy_ladder({"cold_cure", "lean"}) if remedy.seen]
    ['cure', 'add-clay']
    """
    rows = sorted(tables.load("remedies", required=("place", "signs")), key=lambda row: int(row["place"]))
    _check_codes(sorted(signs), tuple(sign for row in rows for sign in row["signs"]), "sign")
    return tuple(
        Remedy(
            row.key,
            row["place"],
            tuple(row["signs"]),
            tuple(sign for sign in row["signs"] if sign in signs),
            row.source,
            row.standing,
        )
        for row in rows
    )
