"""Hold clock: how long a cement mix may wait between its stabiliser and the press."""

from dataclasses import dataclass
from datetime import datetime

from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

HOLD_LIMIT_MINUTES = 60.0  # [practice-hold]
HOT_HOLD_LIMIT_MINUTES = 30.0  # [practice-hold]
HOT_AIR_TEMPERATURE = 30.0  # °C [practice-hold]
# Where people press blocks; 86 degrees Fahrenheit typed as Celsius must not pass.
LEAST_AIR_TEMPERATURE, MOST_AIR_TEMPERATURE = -40.0, 60.0

MINUTES_LEFT = Formula(
    "minutes_left",
    "t_left",
    "min",
    "t_limit - t_held",
    {"t_held": Term("minutes_held", "min"), "t_limit": Term("hold_limit_minutes", "min")},
    "practice-hold",
)


@dataclass(frozen=True, slots=True)
class Hold:
    """State of a batch's hold clock.

    Attributes
    ----------
    minutes_held : float
        Since the stabiliser went in. [min]
    limit_minutes : float
        What may pass until the last block is pressed. [min]
    minutes_left : float
        Negative when over. [min]
    notes : tuple of Note
        "hold_over"; "air_temperature_not_given": the limit for a day that is not hot was used.
    """

    minutes_held: float
    limit_minutes: float
    minutes_left: float
    notes: tuple[Note, ...] = ()


def minutes_held(stabiliser_in: datetime, *, at: datetime) -> float:
    """Minutes since the stabiliser touched the soil, at any moisture: air-dry soil is damp enough.

    Parameters
    ----------
    stabiliser_in : datetime
        Moment of the tap, with its offset from UTC.
    at : datetime
        Moment asked about, with its offset from UTC.

    Returns
    -------
    float
        Minutes. [min]

    Raises
    ------
    InputError
        "no_offset" for a time without one, "before_start" when `at` lies before the tap.

    References
    ----------
    [practice-hold]

    Examples
    --------
    >>> from datetime import UTC
    >>> minutes_held(datetime(2026, 5, 1, 14, 15, tzinfo=UTC), at=datetime(2026, 5, 1, 16, 25, tzinfo=UTC))
    130.0
    """
    for name, moment in (("stabiliser_in", stabiliser_in), ("at", at)):
        if moment.utcoffset() is None:
            raise InputError("no_offset", quantity=name, value=moment.isoformat())
    if at < stabiliser_in:
        raise InputError("before_start", stabiliser_in=stabiliser_in.isoformat(), at=at.isoformat())
    return (at - stabiliser_in).total_seconds() / 60.0


def hold_limit_minutes(air_temperature: float) -> float:
    """How long a cement mix may be held: 60 minutes, 30 when the air is above 30 °C.

    Parameters
    ----------
    air_temperature : float
        Air where the mix stands, -40 to 60. [°C]

    Returns
    -------
    float
        Minutes. [min]

    Raises
    ------
    InputError
        "out_of_range" (degrees Fahrenheit land here).

    Notes
    -----
    Cement only: a lime mix is meant to rest, covered, and is remixed.

    References
    ----------
    [practice-hold]

    Examples
    --------
    >>> hold_limit_minutes(22.0), hold_limit_minutes(34.0)
    (60.0, 30.0)
    """
    check_between(LEAST_AIR_TEMPERATURE, MOST_AIR_TEMPERATURE, air_temperature=air_temperature)
    return HOT_HOLD_LIMIT_MINUTES if air_temperature > HOT_AIR_TEMPERATURE else HOLD_LIMIT_MINUTES


def minutes_left(minutes_held: float, *, hold_limit_minutes: float) -> float:
    """Minutes until the last block should be pressed; negative when over.

    Parameters
    ----------
    minutes_held : float or (n,) array
        Since the stabiliser went in. [min]
    hold_limit_minutes : float or (n,) array
        Limit of this batch. [min]

    Returns
    -------
    float or (n,) array
        Minutes. [min]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [practice-hold]

    Examples
    --------
    >>> minutes_left(42.0, hold_limit_minutes=60.0)
    18.0
    """
    check_not_negative(minutes_held=minutes_held)
    check_positive(hold_limit_minutes=hold_limit_minutes)
    return hold_limit_minutes - minutes_held


def hold(stabiliser_in: datetime, *, at: datetime, air_temperature: float | None = None) -> Hold:
    """State of the hold clock of a cement batch.

    Parameters
    ----------
    stabiliser_in : datetime
        Moment of the tap, with its offset from UTC.
    at : datetime
        Moment asked about, with its offset from UTC.
    air_temperature : float, optional
        Air where the mix stands; without it the limit of a day that is not hot holds, and a note says so. [°C]

    Returns
    -------
    Hold
        Minutes held, limit, minutes left, notes.

    Raises
    ------
    InputError
        As `minutes_held` and `hold_limit_minutes`.

    References
    ----------
    [practice-hold]

    Examples
    --------
    >>> from datetime import UTC
    >>> state = hold(datetime(2026, 5, 1, 14, 15, tzinfo=UTC), at=datetime(2026, 5, 1, 16, 25, tzinfo=UTC), air_temperature=34.0)
    >>> state.minutes_left, state.notes[0].code
    (-100.0, 'hold_over')
    """
    held = minutes_held(stabiliser_in, at=at)
    limit = HOLD_LIMIT_MINUTES if air_temperature is None else hold_limit_minutes(air_temperature)
    left = minutes_left(held, hold_limit_minutes=limit)
    notes: list[Note] = []
    if left < 0:
        notes.append(Note("hold_over", {"minutes_over": -left, "hold_limit_minutes": limit}))
    if air_temperature is None:
        notes.append(Note("air_temperature_not_given", {"hold_limit_minutes": limit}))
    return Hold(held, limit, left, tuple(notes))
