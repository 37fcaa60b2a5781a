"""Curing: due days by stabiliser and age, damp days, too early to judge, and the note for cold."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import isfinite
from typing import Generic, Literal, TypeVar

from loamwright import tables
from loamwright.errors import InputError, Note, check_not_negative

Day = TypeVar("Day", int, date)
Stage = Literal["too_early", "screening", "judge"]


@dataclass(frozen=True, slots=True)
class AgeToTest:
    """One age at which blocks are tested.

    Attributes
    ----------
    age : int
        Days since pressing. [d]
    stage : str
        "screening" (drops hopeless mixes only), "watch" (progress, no verdict) or "judge".
    condition : str
        "soaked" or "dry": how the blocks of this row are tested.
    source, standing : str
        Reference key, and how the row is known.
    """

    age: int
    stage: str
    condition: str
    source: str
    standing: str


@dataclass(frozen=True, slots=True)
class DueDay(Generic[Day]):
    """A test age with the day it falls on: a whole day number or a date, as the pressing day was given."""

    due: Day
    test: AgeToTest


@dataclass(frozen=True, slots=True)
class Judging:
    """What the age of a block allows.

    Attributes
    ----------
    stage : "too_early", "screening" or "judge"
        Whether a verdict may be given.
    next_age : int or None
        Next test age after this one. [d]
    judging_age : int
        Earliest age for a verdict. [d]
    notes : tuple of Note
        "too_early_to_judge" or "screening_only".
    """

    stage: Stage
    next_age: int | None
    judging_age: int
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class DampCure:
    """Days under cover and damp.

    Attributes
    ----------
    least, most : int
        Fewest days, and the most any of the sources asks for. [d]
    source, standing : str
        Reference key, and how it is known.
    """

    least: int
    most: int
    source: str
    standing: str


def _rows(kind: str, stabiliser: str) -> tuple[tables.Row, ...]:
    table = tables.load("cure", required=("kind", "stabiliser"))
    known = dict.fromkeys(row["stabiliser"] for row in table)
    if stabiliser not in known:
        raise InputError("unknown_stabiliser", stabiliser=stabiliser, known=", ".join(known))
    return tuple(row for row in table if row["kind"] == kind and row["stabiliser"] == stabiliser)


def ages_to_test(stabiliser: str) -> tuple[AgeToTest, ...]:
    """Ages at which blocks with this stabiliser are tested, youngest first.

    Parameters
    ----------
    stabiliser : str
        "cement", "lime", "lime-and-cement" or "none".

    Returns
    -------
    tuple of AgeToTest

    Raises
    ------
    InputError
        "unknown_stabiliser".

    References
    ----------
    [practice-cure]

    Examples
    --------
    >>> [(test.age, test.stage) for test in ages_to_test("cement")]
    [(7, 'screening'), (14, 'screening'), (28, 'judge')]
    """
    found = [
        AgeToTest(row["age_days"], row["stage"], row.get("condition", "soaked"), row.source, row.standing)
        for row in _rows("age", stabiliser)
    ]
    return tuple(sorted(found, key=lambda test: test.age))


def due_days(pressed: Day, *, stabiliser: str) -> tuple[DueDay[Day], ...]:
    """Days on which blocks pressed on a day are to be tested.

    Parameters
    ----------
    pressed : int or date
        Day of pressing: a whole day number or a date. [d]
    stabiliser : str
        "cement", "lime", "lime-and-cement" or "none".

    Returns
    -------
    tuple of DueDay
        Youngest first; days of the kind given.

    Raises
    ------
    InputError
        "unknown_stabiliser"; "not_whole" for a day that is neither a whole number nor a date.

    References
    ----------
    [practice-cure]

    Examples
    --------
    >>> [due.due.isoformat() for due in due_days(date(2026, 3, 2), stabiliser="lime")]
    ['2026-03-30', '2026-04-27', '2026-05-31']
    >>> [due.due for due in due_days(100, stabiliser="cement")]
    [107, 114, 128]
    """
    if isinstance(pressed, bool) or not isinstance(pressed, (int, date)):
        raise InputError("not_whole", quantity="pressed", value=pressed)
    return tuple(DueDay(_later(pressed, test.age), test) for test in ages_to_test(stabiliser))


def _later(day: Day, days: int) -> Day:
    if isinstance(day, date):
        return day + timedelta(days=days)
    return day + days


def judging_age(stabiliser: str) -> int:
    """Earliest age at which blocks may be judged. [d]

    >>> judging_age("cement"), judging_age("lime"), judging_age("none")
    (28, 56, 28)
    """
    return min(test.age for test in ages_to_test(stabiliser) if test.stage == "judge")


def judging(age: int, *, stabiliser: str) -> Judging:
    """Whether blocks of this age may be judged, only screened, or are too young.

    Parameters
    ----------
    age : int
        Days since pressing. [d]
    stabiliser : str
        "cement", "lime", "lime-and-cement" or "none".

    Returns
    -------
    Judging

    Raises
    ------
    InputError
        "unknown_stabiliser", "negative".

    Notes
    -----
    A lime block that is weak at 28 days has not failed: lime gains for months.

    References
    ----------
    [practice-cure]

    Examples
    --------
    >>> judging(28, stabiliser="lime").stage, judging(28, stabiliser="lime").next_age
    ('too_early', 56)
    """
    check_not_negative(age=age)
    tests = ages_to_test(stabiliser)
    passed = [test.stage for test in tests if test.age <= age]
    stage: Stage = "judge" if "judge" in passed else "screening" if "screening" in passed else "too_early"
    codes = {"judge": None, "screening": "screening_only", "too_early": "too_early_to_judge"}
    code, least = codes[stage], judging_age(stabiliser)
    values = {"stabiliser": stabiliser, "age": age, "judging_age": least}
    following = next((test.age for test in tests if test.age > age), None)
    return Judging(stage, following, least, () if code is None else (Note(code, values),))


def damp_cure(stabiliser: str) -> DampCure:
    """Days to keep blocks covered and damp.

    Parameters
    ----------
    stabiliser : str
        "cement", "lime", "lime-and-cement" or "none".

    Returns
    -------
    DampCure

    Raises
    ------
    InputError
        "unknown_stabiliser".

    Notes
    -----
    Sources disagree (4 to 28 days for cement); the row used is the usual one, the others stand in the data file.

    References
    ----------
    [practice-cure], [itdg-tan2]

    Examples
    --------
    >>> damp_cure("cement").least
    7
    """
    row = next(row for row in _rows("damp", stabiliser) if not row.get("other", False))
    return DampCure(row["least_days"], row["most_days"], row.source, row.standing)


def cold_notes(least_temperature: float, *, stabiliser: str) -> tuple[Note, ...]:
    """Notes for the coldest temperature met while curing.

    Parameters
    ----------
    least_temperature : float
        Lowest temperature at the blocks. [°C]
    stabiliser : str
        "cement", "lime", "lime-and-cement" or "none".

    Returns
    -------
    tuple of Note
        "cold_cure" below the temperature at which setting all but stops; "frost" at 0 °C and below, for every block.

    Raises
    ------
    InputError
        "unknown_stabiliser", "not_finite".

    References
    ----------
    [practice-cold]

    Examples
    --------
    >>> [note.code for note in cold_notes(3.0, stabiliser="cement")], cold_notes(6.0, stabiliser="cement")
    (['cold_cure'], ())
    """
    if not isfinite(least_temperature):
        raise InputError("not_finite", quantity="least_temperature", value=least_temperature)
    notes = [
        Note("cold_cure", {"least_temperature": least_temperature, "below": row["below_degc"], "stabiliser": stabiliser})
        for row in _rows("temperature", stabiliser)
        if least_temperature < row["below_degc"]
    ]
    if least_temperature <= 0.0:
        notes.append(Note("frost", {"least_temperature": least_temperature}))
    return tuple(notes)
