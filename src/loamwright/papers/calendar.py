"""Days of cure, soak and test as a calendar file: whole days, a time only where hours count; same input, same bytes."""

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from unicodedata import category

from loamwright import __version__
from loamwright.project.cure import marks_of
from loamwright.project.days import Day, days
from loamwright.project.state import State
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

if TYPE_CHECKING:
    import icalendar

_SOAKED_MINUTES = 30  # the length a calendar gives to "break now"


def newest(state: State) -> datetime:
    """The moment of the newest entry of a project: a calendar made from it is the same until something is kept."""
    return datetime.fromisoformat(max(entry.at for entry in state.versions.entries.values()))


def calendar(state: State, *, as_of: datetime) -> bytes:
    """The days of open batches as an iCalendar file (RFC 5545).

    A uid is made from batch, what is done, condition, age and pressing day, so that a calendar that takes the file again
    changes its events instead of doubling them; a day that is over by then stays where it was.
    """
    import icalendar

    made = icalendar.Calendar()
    made.add("prodid", f"-//Loamwright//{__version__}//EN")
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("x-wr-calname", icalendar.vText(_one_line(name_of(state, state.project))))
    for each in days(state, as_of.date()):
        made.add_component(_event(state, each, as_of))
    return bytes(made.to_ical())


def _event(state: State, each: Day, as_of: datetime) -> "icalendar.Event":
    import icalendar

    event = icalendar.Event()
    event.add("uid", f"{each.batch}-{each.key}@loamwright.invalid")
    event.add("dtstamp", as_of.astimezone(UTC).replace(microsecond=0))
    if each.at is not None:
        start = each.at.astimezone(UTC).replace(second=0, microsecond=0)
        event.add("dtstart", start)
        event.add("dtend", start + timedelta(minutes=_SOAKED_MINUTES))
    else:
        event.add("dtstart", each.on)
        event.add("dtend", each.until or each.on + timedelta(days=1))
        event.add("transp", "TRANSPARENT")  # a day of cure does not make anybody busy
    event.add("summary", _one_line(_summary(state, each)))
    event.add("description", _description(state, each))
    return event


def _summary(state: State, each: Day) -> str:
    values = {
        "name": name_of(state, each.batch),
        "n": len(each.blocks),
        "condition": each.condition,
        "age": each.age_days,
        "hours": each.hours,
    }
    return sentence(f"day_{each.what}", values)


def _description(state: State, each: Day) -> str:
    lines = [sentence("day_marks", {"marks": marks_of(each.blocks)})] if each.blocks else []
    return "\n".join(_one_line(line) for line in (*lines, sentence("day_of", {"project": name_of(state, state.project)})))


def _one_line(text: str) -> str:
    """A text without line ends and control signs, which names may hold and a calendar may not."""
    kept = "".join(" " if category(each) in ("Cc", "Zl", "Zp") else each for each in text)
    return " ".join(part for part in kept.split(" ") if part)  # thin spaces within numbers stay
