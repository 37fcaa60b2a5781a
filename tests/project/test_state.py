"""The fold: order never matters, nothing counts twice, what is doubtful is kept and shown, pails as they were then."""

import json
import threading
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.errors import InputError
from loamwright.notebook import kinds as registry
from loamwright.notebook.entry import Entry, write
from loamwright.notebook.fields import Amount, quantity, ref
from loamwright.notebook.kinds import Kind, kinds
from loamwright.notebook.store import append
from loamwright.project.desk import Desk
from loamwright.project.state import State, fold

START = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)


def name(number: int) -> str:
    return f"00000000-0000-7000-8000-{number:012d}"


def made(
    number: int, kind: str, body: Mapping[str, Any], *replaces: int, minute: int | None = None, project: str = "p", **more: Any
) -> Entry:
    """Entry number n at a minute, replacing others by number."""
    home = "bench" if kind in kinds() and kinds()[kind].bench else project
    return write(
        kind,
        body,
        project=home,
        moment=START + timedelta(minutes=number if minute is None else minute),
        device=more.pop("device", "phone"),
        replaces=tuple(name(each) for each in replaces),
        entry_id=name(number),
        **more,
    )


def amount(number: float, unit: str) -> dict[str, Any]:
    return {"typed": str(number), "number": number, "unit": unit}


def litres(number: float) -> dict[str, Any]:
    return amount(number, "l")


def picture(state: State) -> object:
    """Everything a state says, in a form that can be compared."""
    facts = {
        kind: [
            (fact.id, fact.head, fact.at, fact.contested, fact.versions, repr(fact.values), fact.fault and fact.fault.code)
            for fact in state.everything(kind)
        ]
        for kind in (*kinds(), "moon_phase")
    }
    counted = {kind: [fact.id for fact in state.all(kind)] for kind in kinds()}
    linked = {
        entity: [fact.id for fact in (*state.where("weighing", "batch", entity), *state.where("cure_step", "batches", entity))]
        for entity in state.versions.entries
    }
    return (
        facts,
        counted,
        linked,
        [fact.id for fact in state.contested()],
        [fact.id for fact in state.not_understood()],
        [(aside.entry.id, aside.why) for aside in state.aside()],
        sorted(state.left_out),
        [state.moment(fact) for fact in state.all("weighing")],
    )


@st.composite
def notebooks(draw: st.DrawFn) -> tuple[list[Entry], list[Entry]]:
    """Entries of all sorts that name and replace one another freely, in two orders."""
    count = draw(st.integers(1, 12))
    numbers = st.integers(1, count + 1)

    def body(kind: str) -> dict[str, Any]:
        about = [name(draw(numbers)) for _ in range(draw(st.integers(1, 2)))]
        match kind:
            case "weighing":
                return {
                    "batch": about[0],
                    "what": "soil",
                    "mass": amount(draw(st.integers(-5, 50)), draw(st.sampled_from(["kg", "mm"]))),
                }
            case "cure_step":
                return {"batches": about, "step": "misted"}
            case "answer":
                return {
                    "question": draw(st.sampled_from(["a", "b"])),
                    "about": about,
                    "verdict": draw(st.sampled_from(["stands", "leave_out"])),
                }
            case "clock_note":
                return {"device": "phone", "shift_minutes": {"typed": "5", "number": draw(st.integers(-9, 9))}}
            case "container":
                return {"name": "pail", "volume": litres(draw(st.integers(1, 20)))}
        return {"any": about}

    sorts = ["weighing", "weighing", "weighing", "cure_step", "answer", "clock_note", "container", "moon_phase"]
    entries = []
    for number in range(1, count + 1):
        kind = draw(st.sampled_from(sorts))
        entries.append(
            made(
                number,
                kind,
                {} if draw(st.integers(0, 6)) == 0 else body(kind),
                *draw(st.lists(numbers, max_size=2)),
                minute=draw(st.integers(0, 3)),
                project=draw(st.sampled_from(["p", "p", "p", "q", "bench"])),
                schema=draw(st.sampled_from([1, 1, 1, 1, 8])),
            )
        )
    return entries, draw(st.permutations(entries))


@given(notebooks())
def test_order_never_matters(orders: tuple[list[Entry], list[Entry]]) -> None:
    assert picture(fold(orders[0], "p")) == picture(fold(orders[1], "p"))


@given(notebooks())
def test_the_same_entry_twice_changes_nothing(orders: tuple[list[Entry], list[Entry]]) -> None:
    state = fold(orders[0], "p")
    before, revision = picture(state), state.revision
    state.add(orders[1])
    assert picture(state) == before and state.revision == revision


@given(notebooks(), st.booleans())
def test_one_by_one_is_the_fold_from_scratch(orders: tuple[list[Entry], list[Entry]], looked_at: bool) -> None:
    grown, whole = State("p"), State("p")
    for entry in orders[1]:
        before = grown
        if looked_at:  # whatever was remembered must be forgotten, and never before its time
            shown = picture(before)
        grown = grown.grown([entry])
        whole.add([entry])
        if looked_at:
            assert picture(before) == shown, "a state that was handed out changed"
    assert picture(grown) == picture(whole) == picture(fold(orders[0], "p"))


def test_old_forms_fold_like_new_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    """A kind whose first form held grams without a unit, and whose second had another name for the batch."""
    kind = Kind(
        "tested",
        "Tested",
        "weigh",
        (ref("batch", "Batch", "batch", required=True), quantity("mass", "Mass", "mass", required=True)),
        upcasters={
            1: lambda body: {"of": body["of"], "mass": amount(body["grams"], "g")},
            2: lambda body: {"batch": body["of"], "mass": body["mass"]},
        },
    )
    everything = {**kinds(), "tested": kind}
    monkeypatch.setattr(registry, "kinds", lambda: everything)
    batch = made(1, "note", {"text": "batch"})
    first = [batch, made(2, "tested", {"of": name(1), "grams": 250}, schema=1)]
    second = [batch, made(2, "tested", {"of": name(1), "mass": amount(250, "g")}, schema=2)]
    third = [batch, made(2, "tested", {"batch": name(1), "mass": amount(250, "g")}, schema=3)]
    states = [fold(entries, "p") for entries in (first, second, third)]
    found = [
        [(fact.id, fact.needed("mass"), fact["batch"]) for fact in state.where("tested", "batch", name(1))] for state in states
    ]
    assert found == [[(name(2), 0.25, name(1))]] * 3
    assert json.loads(first[1].body_text) == {"of": name(1), "grams": 250}


def test_newer_forms_and_unknown_kinds_are_kept_shown_and_not_computed() -> None:
    state = fold([made(1, "note", {"text": "x"}, schema=5), made(2, "moon_phase", {"phase": 1}), made(3, "note", {})], "p")
    assert [(fact.id, fact.fault.code) for fact in state.not_understood() if fact.fault] == [
        (name(1), "newer_schema"),
        (name(2), "unknown_kind"),
        (name(3), "field_missing"),
    ]
    assert state.all("note") == [] and len(state.everything("note")) == 2
    with pytest.raises(InputError) as caught:
        state.fact(name(1), "note")
    assert caught.value.code == "not_understood"


def test_unknown_kinds_of_a_bench_are_seen_whichever_comes_first() -> None:
    strange = made(2, "moon_phase", {"phase": 1}, project="bench")
    pail = made(1, "container", {"name": "pail"})
    for entries in ([strange, pail], [pail, strange]):
        state = State("p")
        for entry in entries:
            state = state.grown([entry])
        assert [fact.id for fact in state.not_understood()] == [name(2)]
    assert fold([replace(strange, project="q"), pail], "p").not_understood() == []


def test_contested_computes_with_the_greater_and_is_settled_by_one_that_names_both() -> None:
    entries = [
        made(1, "weighing", {"batch": "b", "what": "soil", "mass": amount(10, "kg")}),
        made(2, "weighing", {"batch": "b", "what": "soil", "mass": amount(11, "kg")}, 1, minute=9),
        made(3, "weighing", {"batch": "b", "what": "soil", "mass": amount(12, "kg")}, 1, minute=5),
    ]
    state = fold(entries, "p")
    (fact,) = state.contested()
    assert (fact.id, fact.head, fact.needed("mass"), fact.contested) == (name(1), name(2), 11.0, (name(3),))
    settled = fold([*entries, made(4, "weighing", {"batch": "b", "what": "soil", "mass": amount(12, "kg")}, 2, 3)], "p")
    assert settled.contested() == [] and settled.fact(name(3), "weighing").needed("mass") == 12.0


def test_a_withdrawn_entry_counts_no_more_but_is_found_when_contested() -> None:
    first = made(1, "note", {"text": "x"})
    gone = fold([first, made(2, "note", {}, 1)], "p")
    assert gone.all("note") == [] and gone.find(name(1)) is None and gone.contested() == []
    contested = fold([first, made(2, "note", {}, 1, minute=9), made(3, "note", {"text": "y"}, 1)], "p")
    assert contested.all("note") == [] and [fact.id for fact in contested.contested()] == [name(1)]


def test_a_correction_a_week_later_leaves_the_reading_on_its_day() -> None:
    body = {"batch": "b", "what": "soil", "mass": amount(10, "kg")}
    state = fold([made(1, "weighing", body), made(2, "weighing", body, 1, minute=7 * 24 * 60, device="laptop")], "p")
    fact = state.fact(name(1), "weighing")
    assert fact.head == name(2)
    assert (state.day(fact).isoformat(), fact.device) == ("2026-03-04", "phone")


def test_links_follow_an_entity_through_its_versions() -> None:
    # The weighing names a correction of the batch that had not come when it was first looked at.
    weighing = made(3, "weighing", {"batch": name(2), "what": "soil", "mass": amount(10, "kg")})
    batch = made(1, "note", {"text": "batch"})
    state = fold([batch, weighing], "p")
    assert state.where("weighing", "batch", name(1)) == []
    later = state.grown([made(2, "note", {"text": "batch, corrected"}, 1)])
    assert [fact.id for fact in later.where("weighing", "batch", name(1))] == [name(3)]
    assert [fact.id for fact in later.where("weighing", "batch", name(2))] == [name(3)]


# --- answers ---


def weighing(number: int) -> Entry:
    return made(number, "weighing", {"batch": "b", "what": "soil", "mass": amount(number, "kg")})


def answer(number: int, question: str, verdict: str, *about: int, replaces: tuple[int, ...] = ()) -> Entry:
    body = {"question": question, "about": [name(each) for each in about], "verdict": verdict}
    return made(number, "answer", body, *replaces)


def test_an_answer_leaves_out_and_the_newest_to_the_same_question_decides() -> None:
    entries = [weighing(1), weighing(2), answer(3, "outlier", "leave_out", 1)]
    assert [fact.id for fact in fold(entries, "p").all("weighing")] == [name(2)]
    assert [fact.id for fact in fold(entries, "p").everything("weighing")] == [name(1), name(2)]
    back = [*entries, answer(4, "outlier", "stands", 1)]
    assert [fact.id for fact in fold(back, "p").all("weighing")] == [name(1), name(2)]
    other = [*entries, answer(4, "too_light", "stands", 1)]
    assert [fact.id for fact in fold(other, "p").all("weighing")] == [name(2)], "an answer to another question brought it back"
    withdrawn = [*entries, made(4, "answer", {}, 3)]
    assert [fact.id for fact in fold(withdrawn, "p").all("weighing")] == [name(1), name(2)]


def test_what_is_left_out_is_out_of_links_too_and_answered() -> None:
    state = fold([weighing(1), weighing(2), answer(3, "outlier", "leave_out", 1)], "p")
    assert [fact.id for fact in state.where("weighing", "batch", "b")] == [name(2)]
    assert state.answered("outlier", [name(1)])
    assert not state.answered("outlier", [name(2)]) and not state.answered("too_light", [name(1)])


def test_an_entry_with_the_id_of_another_is_shown_and_the_other_still_counts() -> None:
    clash = weighing(1)
    other = replace(clash, by="EL")
    state = State("p").grown([clash], same_id=[other])
    assert [(aside.entry, aside.why) for aside in state.aside()] == [(other, "same_id")]
    answered = state.grown([answer(3, "same_id", "leave_out", 1)])
    assert [fact.id for fact in answered.all("weighing")] == [name(1)]
    assert [aside.why for aside in answered.aside()] == ["same_id"]


# --- clocks ---


def clock_note(number: int, minutes: float, device: str = "phone", **span: str) -> Entry:
    body = {"device": device, "shift_minutes": {"typed": str(minutes), "number": minutes}, **span}
    return made(number, "clock_note", body)


def test_a_clock_note_shifts_one_device_over_its_span() -> None:
    entries = [weighing(1), weighing(60), made(61, "weighing", json.loads(weighing(1).body_text), device="laptop", minute=1)]
    state = fold([*entries, clock_note(90, 1440, since="2026-03-04T07:00", until="2026-03-04T08:30")], "p")
    moments = {number: state.moment(state.fact(name(number), "weighing")) for number in (1, 60, 61)}
    assert moments[1] == START + timedelta(days=1, minutes=1)
    assert moments[60] == START + timedelta(minutes=60), "after the span"
    assert moments[61] == START + timedelta(minutes=1), "another device"
    assert state.at(state.fact(name(1), "weighing")) == "2026-03-05T08:01:00.000Z"


def test_two_notes_of_one_wrong_clock_do_not_move_it_twice() -> None:
    state = fold([weighing(1), clock_note(90, 60), clock_note(91, 70)], "p")
    assert state.moment(state.fact(name(1), "weighing")) == START + timedelta(minutes=71)


def test_an_impossible_clock_note_loses_no_reading() -> None:
    state = fold([weighing(1), clock_note(90, 1e15)], "p")
    assert state.moment(state.fact(name(1), "weighing")) == START + timedelta(minutes=1)


# --- containers ---

PAIL = made(1, "container", {"name": "pail", "volume": litres(12), "tare": amount(0.5, "kg")})


def calibration(number: int, volume: float, *replaces: int, minute: int | None = None) -> Entry:
    return made(number, "calibration", {"container": name(1), "volume": litres(volume)}, *replaces, minute=minute)


def cubic_metres(state: State, minute: int) -> float:
    at = (START + timedelta(minutes=minute)).strftime("%Y-%m-%dT%H:%M:%S.000Z")
    return state.volume(Amount(2.0, f"container:{name(1)}", "2"), at)


def test_two_pails_as_they_were_measured_then() -> None:
    state = fold([PAIL, calibration(100, 11), calibration(200, 10)], "p")
    # Two pails of 12, 11 and 10 litres: 0.024, 0.022 and 0.020 m3.
    assert [cubic_metres(state, minute) for minute in (50, 99, 100, 150, 200, 300)] == pytest.approx(
        [0.024, 0.024, 0.022, 0.022, 0.020, 0.020], rel=1e-12
    )


def test_correcting_a_pail_corrects_every_batch() -> None:
    corrected = made(400, "container", {"name": "pail", "volume": litres(12.5)}, 1)
    state = fold([PAIL, calibration(100, 11), corrected], "p")
    assert [cubic_metres(state, minute) for minute in (50, 150)] == pytest.approx([0.025, 0.022], rel=1e-12)
    again = fold([PAIL, calibration(100, 11), calibration(401, 11.5, 100)], "p")
    assert [cubic_metres(again, minute) for minute in (50, 150)] == pytest.approx([0.024, 0.023], rel=1e-12)
    gone = fold([PAIL, calibration(100, 11), made(402, "calibration", {}, 100)], "p")
    assert cubic_metres(gone, 150) == pytest.approx(0.024, rel=1e-12)


def test_a_pail_first_measured_later_is_the_same_pail() -> None:
    bare = made(1, "container", {"name": "pail"})
    assert cubic_metres(fold([bare, calibration(100, 11), calibration(200, 10)], "p"), 50) == pytest.approx(0.022, rel=1e-12)
    with pytest.raises(InputError) as caught:
        cubic_metres(fold([bare], "p"), 50)
    assert (caught.value.code, caught.value.values["field"]) == ("needed", "volume")


def test_the_clock_that_wrote_a_calibration_was_wrong() -> None:
    # Written at minute 100 by a clock that was an hour behind: in force from minute 160.
    state = fold([PAIL, calibration(100, 11), clock_note(300, 60, since="2026-03-04T09:00", until="2026-03-04T10:00")], "p")
    assert [cubic_metres(state, minute) for minute in (150, 160)] == pytest.approx([0.024, 0.022], rel=1e-12)


def test_a_pail_measured_in_scoops_and_never_by_itself() -> None:
    pail = made(1, "container", {"name": "pail", "volume": amount(6, f"container:{name(2)}")})
    scoop = made(2, "container", {"name": "scoop", "volume": litres(2)})
    assert cubic_metres(fold([pail, scoop], "p"), 50) == pytest.approx(0.024, rel=1e-12)
    ring = made(2, "container", {"name": "scoop", "volume": amount(1, f"container:{name(1)}")})
    with pytest.raises(InputError) as caught:
        cubic_metres(fold([pail, ring], "p"), 50)
    assert caught.value.code == "not_understood"


def test_tare_is_remembered_where_it_was_given() -> None:
    state = fold([PAIL, calibration(100, 11)], "p")
    assert state.tare(name(1), "2026-03-05") == 0.5
    assert state.tare(name(9), "2026-03-05") is None


def test_threads_may_read_while_others_write(desk: Desk, project: str) -> None:
    """Readers hold a state that does not change; what they remembered is never of another state."""
    faults: list[str] = []
    stop = threading.Event()

    def read() -> None:
        while not stop.is_set():
            state = desk.state(project)
            counted = state.memo("counted", lambda state=state: len(state.all("note")))  # type: ignore[misc]
            state.contested(), state.left_out, state.where("note", "about", project)
            if (
                not counted
                == len(state.all("note"))
                == sum(fact.kind == "note" for fact in map(state.find, state.versions.members) if fact)
            ):
                faults.append("a state changed while it was read")

    readers = [threading.Thread(target=read) for _ in range(3)]
    for reader in readers:
        reader.start()
    for number in range(150):
        entry = write("note", {"text": str(number), "about": project}, project=project, moment=START)
        append(desk.notebook, [entry])
        assert desk.state(project).find(entry.id) is not None
    stop.set()
    for reader in readers:
        reader.join()
    assert faults == []
    assert len(desk.state(project).all("note")) == 150
