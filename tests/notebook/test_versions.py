"""Which version counts: the rules one by one, then that no order of arrival changes the outcome."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.notebook.entry import Entry, write
from loamwright.notebook.versions import Versions, versions_of

START = datetime(2026, 3, 4, tzinfo=UTC)


def made(
    number: int, *replaces: int, minute: int | None = None, kind: str = "note", project: str = "p", body: bool = True
) -> Entry:
    """Entry number n with a readable id, made at a minute, replacing others by number; without body it withdraws."""
    return write(
        kind,
        {"text": str(number)} if body else {},
        project=project,
        moment=START + timedelta(minutes=number if minute is None else minute),
        replaces=tuple(name(each) for each in replaces),
        entry_id=name(number),
    )


def name(number: int) -> str:
    return f"00000000-0000-7000-8000-{number:012d}"


def heads(versions: Versions, number: int) -> list[str]:
    return [head.id for head in versions.heads(name(number))]


def asides(versions: Versions) -> dict[str, str]:
    return {aside.entry.id: aside.why for aside in versions.aside()}


def test_a_correction_takes_the_place_and_keeps_the_name() -> None:
    versions = versions_of([made(1), made(2, 1)])
    assert heads(versions, 1) == [name(2)]
    assert versions.entity(name(2)) == name(1)
    assert [each.id for each in versions.history(name(1))] == [name(1), name(2)]


def test_two_live_corrections_are_contested_the_later_counts() -> None:
    # Number 2 was made later (minute 9) than number 3: moment goes before id.
    assert heads(versions_of([made(1), made(2, 1, minute=9), made(3, 1)]), 1) == [name(2), name(3)]


def test_equal_moments_the_greater_id_counts() -> None:
    assert heads(versions_of([made(1), made(2, 1, minute=9), made(3, 1, minute=9)]), 1) == [name(3), name(2)]


def test_an_entry_naming_both_settles() -> None:
    versions = versions_of([made(1), made(2, 1), made(3, 1), made(4, 2, 3)])
    assert heads(versions, 1) == [name(4)]


def test_a_withdrawal_may_be_contested_by_a_correction() -> None:
    versions = versions_of([made(1), made(2, 1, body=False), made(3, 1)])
    assert heads(versions, 1) == [name(3), name(2)]
    assert versions.heads(name(1))[1].withdraws


def test_a_target_that_has_not_come_waits() -> None:
    versions = versions_of([made(2, 1), made(3, 2)])
    assert asides(versions) == {name(2): "waits", name(3): "waits"}
    assert versions.add(made(1)) == (name(1),)
    assert asides(versions) == {}
    assert heads(versions, 1) == [name(3)]


def test_versions_of_two_entities_are_set_aside() -> None:
    versions = versions_of([made(1), made(2), made(3, 1, 2), made(4, 3)])
    assert asides(versions) == {name(3): "two_entities", name(4): "replaces_aside"}
    assert heads(versions, 1) == [name(1)] and heads(versions, 2) == [name(2)]


@pytest.mark.parametrize("change", [{"kind": "source"}, {"project": "q"}])
def test_another_kind_or_project_is_set_aside(change: dict[str, str]) -> None:
    versions = versions_of([made(1), made(2, 1, **change)])  # type: ignore[arg-type]
    assert asides(versions) == {name(2): "other_kind"}
    assert heads(versions, 1) == [name(1)]


def test_rings_are_set_aside_with_what_hangs_on_them() -> None:
    versions = versions_of([made(1, 2), made(2, 1), made(3, 2), made(4, 4), made(5)])
    assert asides(versions) == {name(1): "cycle", name(2): "cycle", name(3): "cycle", name(4): "cycle"}
    assert heads(versions, 5) == [name(5)]


def test_the_same_again_changes_nothing() -> None:
    versions = versions_of([made(1), made(2, 1)])
    assert versions.add(made(1)) == () and versions.add(made(2, 1)) == ()
    assert heads(versions, 1) == [name(2)] and len(versions.members[name(1)]) == 2


def test_a_copy_grows_apart() -> None:
    first = versions_of([made(1), made(3, 9)])
    second = first.copy()
    second.add(made(2, 1))
    second.add(made(9))
    assert heads(first, 1) == [name(1)] and asides(first) == {name(3): "waits"}
    assert heads(second, 1) == [name(2)] and asides(second) == {}
    assert name(9) not in first.entries


@st.composite
def notebooks(draw: st.DrawFn) -> tuple[list[Entry], list[Entry]]:
    """Up to ten entries replacing one another in any way (targets missing, rings, two entities), and another order of them."""
    count = draw(st.integers(1, 10))
    entries = [
        made(
            number,
            *draw(st.lists(st.integers(0, count + 1), max_size=2)),
            minute=draw(st.integers(0, 3)),
            kind=draw(st.sampled_from(["note", "note", "note", "source"])),
            body=draw(st.sampled_from([True, True, False])),
        )
        for number in range(1, count + 1)
    ]
    return entries, draw(st.permutations(entries))


def outcome(versions: Versions) -> object:
    live = {entity: [head.id for head in versions.heads(entity)] for entity in versions.members}
    histories = {entity: [each.id for each in versions.history(entity)] for entity in versions.members}
    return live, histories, asides(versions), {each: versions.entity(each) for each in versions.entries}


@given(notebooks())
def test_order_of_arrival_never_matters(orders: tuple[list[Entry], list[Entry]]) -> None:
    straight, shuffled = orders
    assert outcome(versions_of(straight)) == outcome(versions_of(shuffled))


@given(notebooks())
def test_every_entry_is_somewhere(orders: tuple[list[Entry], list[Entry]]) -> None:
    versions = versions_of(orders[1])
    placed = [each for members in versions.members.values() for each in members]
    apart = list(asides(versions))
    assert sorted(placed + apart) == sorted(versions.entries)
    for entity in versions.members:
        live = versions.heads(entity)
        assert live, "an entity without a live version"
        replaced = {target for each in versions.history(entity) for target in each.replaces}
        assert {each.id for each in live} == {each.id for each in versions.history(entity)} - replaced


@given(notebooks())
def test_growing_a_copy_is_the_same_as_growing(orders: tuple[list[Entry], list[Entry]]) -> None:
    grown = Versions()
    for entry in orders[1]:
        grown = grown.copy()
        grown.add(entry)
    assert outcome(grown) == outcome(versions_of(orders[0]))
