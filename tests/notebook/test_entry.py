"""The envelope: what is an entry, what is not, and that its hash covers every part of it."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, instant, is_id, local_moment, new_id, read_envelope, write

MOMENT = datetime(2026, 3, 4, 10, 15, 0, 250_000, tzinfo=timezone(timedelta(hours=5, minutes=45)))
ENTRY = write("note", {"text": "dry wind"}, project="p", moment=MOMENT, by="MB", device="phone", reason="")
OTHER = new_id()


def test_moment_is_kept_as_utc_and_offset() -> None:
    # 10:15 at +05:45 is 04:30 UTC.
    assert (ENTRY.at, ENTRY.offset) == ("2026-03-04T04:30:00.250Z", 345)
    assert local_moment(ENTRY.at, ENTRY.offset) == MOMENT


def test_a_moment_without_offset_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        instant(datetime(2026, 3, 4))
    assert caught.value.code == "moment_without_offset"


@given(
    st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1)),
    st.integers(-14 * 60, 14 * 60),
)
def test_moments_there_and_back(moment: datetime, minutes: int) -> None:
    aware = moment.replace(microsecond=moment.microsecond // 1000 * 1000, tzinfo=timezone(timedelta(minutes=minutes)))
    assert local_moment(*instant(aware)) == aware


def test_ids_are_version_7_and_sort_as_made() -> None:
    made = [new_id() for _ in range(1000)]
    assert made == sorted(made) and len(set(made)) == 1000
    assert all(is_id(each) for each in made)


def test_which_ids_are_ids() -> None:
    # RFC 9562, appendix A.6 is a version 7; appendix A.3 a version 4 (both from memory).
    assert is_id("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    assert not is_id("919108f7-52d1-4320-9bac-f847db4148a8")
    assert not is_id("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
    assert not is_id("017f22e2-79b0-7cc3-98c4-dc0c0c07398f\n")


@pytest.mark.parametrize(
    "change",
    [
        {"id": OTHER},
        {"project": "q"},
        {"kind": "source"},
        {"schema": 2},
        {"at": "2026-03-04T04:30:00.251Z"},
        {"offset": 0},
        {"by": "EL"},
        {"device": "laptop"},
        {"body_text": '{"text":"dry winds"}'},
        {"replaces": (OTHER,)},
        {"reason": "read wrong"},
    ],
    ids=lambda change: next(iter(change)),
)
def test_hash_covers_the_whole_envelope(change: dict[str, object]) -> None:
    assert replace(ENTRY, **change).hash != ENTRY.hash  # type: ignore[arg-type]


@given(st.dictionaries(st.text(max_size=8), st.text() | st.floats(allow_nan=False, allow_infinity=False)), st.text(), st.text())
def test_a_line_there_and_back(body: dict[str, object], by: str, reason: str) -> None:
    made = write("any_kind", body, project="p", moment=MOMENT, by=by, device="d", schema=7, replaces=(OTHER,), reason=reason)
    again = read_envelope(made.envelope)
    assert again == made
    assert again.envelope == made.envelope


def test_replaces_is_a_set() -> None:
    one, two = new_id(), new_id()
    forward = write("note", {}, project="p", moment=MOMENT, replaces=(one, two, one), entry_id=OTHER)
    backward = write("note", {}, project="p", moment=MOMENT, replaces=(two, one), entry_id=OTHER)
    assert forward == backward
    line = json.loads(forward.envelope)
    line["replaces"].reverse()
    assert read_envelope(json.dumps(line)) == forward


def test_a_withdrawal_is_an_empty_body_that_replaces() -> None:
    assert replace(ENTRY, body_text="{}", replaces=(OTHER,)).withdraws
    assert not replace(ENTRY, body_text="{}").withdraws
    assert not replace(ENTRY, replaces=(OTHER,)).withdraws


def changed(**values: object) -> str:
    return json.dumps({**json.loads(ENTRY.envelope), **values})


BAD = {
    "not_json": "{",
    "a_list": "[]",
    "a_key_too_few": json.dumps({"id": OTHER}),
    "a_key_too_many": changed(colour="red"),
    "id_of_version_4": changed(id="919108f7-52d1-4320-9bac-f847db4148a8"),
    "id_a_number": changed(id=7),
    "kind_not_a_name": changed(kind="No Te"),
    "schema_zero": changed(schema=0),
    "schema_true": changed(schema=True),
    "schema_too_great_for_a_column": changed(schema=2**63),
    "day_not_in_the_calendar": changed(at="2026-02-30T04:30:00.250Z"),
    "no_milliseconds": changed(at="2026-03-04T04:30:00Z"),
    "offset_a_day": changed(offset=1440),
    "offset_a_text": changed(offset="120"),
    "by_none": changed(by=None),
    "body_a_list": changed(body=[]),
    "replaces_a_text": changed(replaces=OTHER),
    "replaces_not_ids": changed(replaces=["x"]),
    "infinity": changed().replace('"dry wind"', "1e999"),
    "not_a_number": changed().replace('"dry wind"', "NaN"),
    "number_beyond_2_53": changed().replace('"dry wind"', "9007199254740993"),
    "half_a_pair": changed().replace("dry wind", "\\ud800"),
    "half_a_pair_in_by": changed(by="@").replace("@", "\\ud800"),
    "endless_nesting": changed().replace('"dry wind"', "[" * 100_000 + "]" * 100_000),
}


@pytest.mark.parametrize("line", BAD.values(), ids=BAD.keys())
def test_what_is_no_entry_is_refused_with_a_reason(line: str) -> None:
    with pytest.raises(InputError) as caught:
        read_envelope(line)
    assert caught.value.code == "envelope_not_understood"
    assert caught.value.values["reason"]


def test_body_is_parsed_anew_so_that_nobody_changes_it() -> None:
    ENTRY.body["text"] = "changed"
    assert ENTRY.body == {"text": "dry wind"}
    assert isinstance(ENTRY, Entry) and ENTRY.at.endswith("Z") and datetime.fromisoformat(ENTRY.at).tzinfo == UTC
