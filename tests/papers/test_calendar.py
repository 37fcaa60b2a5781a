"""Days of open batches as a calendar: read back with the same library's reader, days by hand."""

from datetime import UTC, date, datetime

import icalendar

from loamwright.papers.calendar import calendar, newest


def events(bench, as_of):
    parsed = icalendar.Calendar.from_ical(calendar(bench.state(), as_of=as_of))
    return {
        str(event["UID"]).split("@")[0].removeprefix(f"{bench.batch}-").split("-")[0]: event for event in parsed.walk("VEVENT")
    }


def test_days_of_a_fresh_batch(bench, clock):
    """Pressed on 4 March 2026, cement, no brief: damp 7 days at least, a day under water before the test at 28 days.

    By hand: 4 + 7 = 11 March; 4 March + 28 days = 1 April; a day earlier into water, 31 March.
    """
    found = events(bench, clock())
    assert set(found) == {"damp", "uncover", "soak", "break"}
    assert (found["damp"]["DTSTART"].dt, found["damp"]["DTEND"].dt) == (date(2026, 3, 4), date(2026, 3, 11))
    assert found["uncover"]["DTSTART"].dt == date(2026, 3, 11)
    assert (found["soak"]["DTSTART"].dt, found["soak"]["DTEND"].dt) == (date(2026, 3, 31), date(2026, 4, 1))
    assert found["break"]["DTSTART"].dt == date(2026, 4, 1)
    assert "2 into water for 24 h: Batch 1" in found["soak"]["SUMMARY"]
    assert "Break 2 soaked at 28 days" in found["break"]["SUMMARY"]
    marks = [bench.state().find(block)["mark"] for block in bench.blocks]
    assert all(mark in found["break"]["DESCRIPTION"] for mark in marks)


def test_a_soak_that_runs_has_its_hour(bench, clock):
    clock.moment = datetime(2026, 3, 31, 9, 19, tzinfo=clock.moment.tzinfo)
    bench.keep("soak", blocks=bench.blocks)
    found = events(bench, clock())
    assert "soak" not in found
    # put in at 09:20 of a clock two hours east: full 24 h later, 07:20 UTC
    assert found["soaked"]["DTSTART"].dt == datetime(2026, 4, 1, 7, 20, tzinfo=UTC)
    assert "24 h under water are over" in found["soaked"]["SUMMARY"]


def test_covered_later_counts_from_that_day_and_uncovered_ends_it(bench, clock):
    bench.keep("cure_step", batches=[bench.batch], step="covered", on="2026-03-05")
    assert events(bench, clock())["uncover"]["DTSTART"].dt == date(2026, 3, 12)
    bench.keep("cure_step", batches=[bench.batch], step="uncovered", on="2026-03-12")
    assert set(events(bench, clock())) == {"soak", "break"}


def test_same_input_same_bytes_and_uids_hold_when_days_move(bench, clock):
    first = calendar(bench.state(), as_of=newest(bench.state()))
    clock.ahead(days=3)
    assert calendar(bench.state(), as_of=newest(bench.state())) == first
    stamps = {event["DTSTAMP"].dt for event in icalendar.Calendar.from_ical(first).walk("VEVENT")}
    assert stamps == {newest(bench.state()).replace(microsecond=0)}
    uids = {str(event["UID"]) for event in icalendar.Calendar.from_ical(first).walk("VEVENT")}
    bench.keep("cure_step", batches=[bench.batch], step="covered", on="2026-03-06")
    moved = icalendar.Calendar.from_ical(calendar(bench.state(), as_of=newest(bench.state())))
    assert {str(event["UID"]) for event in moved.walk("VEVENT")} == uids


def test_nothing_is_left_when_all_is_broken(bench, clock):
    for block in bench.blocks:
        bench.keep("crush", block=block, condition="soaked", piece="whole")
    assert events(bench, clock()) == {}


def test_a_hostile_name_is_one_escaped_line(bench, clock, desk, project, hand):
    name = "x\r\n\0BEGIN:VEVENT\r\nSUMMARY:evil;,\\"
    desk.keep([desk.entry("project", {"name": name}, hand(), project=project, replaces=(project,))])
    data = calendar(bench.state(), as_of=clock())
    parsed = icalendar.Calendar.from_ical(data)
    assert len(parsed.walk("VEVENT")) == 4
    assert "\0" not in data.decode()
    # RFC 5545 3.3.11: semicolon, comma and backslash stand behind a backslash
    line = next(each for each in data.replace(b"\r\n ", b"").split(b"\r\n") if each.startswith(b"X-WR-CALNAME:x"))
    assert line.endswith(rb"BEGIN:VEVENT SUMMARY:evil\;\,\\")
    assert all(len(line) <= 75 for line in data.split(b"\r\n")), "RFC 5545 3.1: lines are folded at 75 octets"
