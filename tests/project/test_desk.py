"""The desk: entries made where they belong, a form sent twice kept once, undo of everything, states kept up to date."""

from collections.abc import Callable
from typing import Any

import pytest

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry, new_id, read_envelope, write
from loamwright.notebook.store import append, read_aside, read_entries
from loamwright.project.desk import Desk, Hand
from loamwright.project.state import fold
from loamwright.project.today import questions

HandMaker = Callable[[], Hand]


class Pages:
    """Keeps notes the way a page does."""

    def __init__(self, desk: Desk, project: str, hand: HandMaker) -> None:
        self.desk, self.project, self.hand = desk, project, hand

    def note(self, text: str, **more: Any) -> Entry:
        entry = self.desk.entry("note", {"text": text}, self.hand(), project=self.project, **more)
        self.desk.keep([entry])
        return entry

    def undo(self, entry: Entry, **more: Any) -> Entry:
        undone = self.desk.undo(self.project, entry.id, self.hand(), **more)
        self.desk.keep([undone])
        return undone

    def texts(self) -> list[str]:
        return [fact["text"] for fact in self.desk.state(self.project).all("note")]


@pytest.fixture
def pages(desk: Desk, project: str, hand: HandMaker) -> Pages:
    return Pages(desk, project, hand)


def test_entries_go_where_their_kind_belongs(desk: Desk, project: str, hand: HandMaker) -> None:
    pail = desk.entry("container", {"name": "pail"}, hand(), project=project)
    note = desk.entry("note", {"text": "x"}, hand(), project=project)
    assert (pail.project, note.project) == (desk.notebook.bench, project)
    assert pail.device == desk.notebook.device and pail.by == "MB"
    assert desk.entry("note", {"text": "x"}, Hand(hand().moment, "EL", "phone"), project=project).device == "phone"
    with pytest.raises(InputError) as caught:
        desk.entry("moon_phase", {}, hand(), project=project)
    assert caught.value.code == "unknown_kind"


def test_a_correction_of_an_imported_pail_stays_on_its_bench(desk: Desk, project: str, hand: HandMaker) -> None:
    foreign = write("container", {"name": "pail"}, project="other-bench", moment=hand().moment)
    desk.keep([foreign])
    correction = desk.entry("container", {"name": "red pail"}, hand(), project=project, replaces=(foreign.id,))
    assert correction.project == "other-bench"
    desk.keep([correction])
    assert [fact["name"] for fact in desk.state(project).all("container")] == ["red pail"]


def test_a_project_is_named_by_its_first_entry(desk: Desk, hand: HandMaker) -> None:
    first = desk.open_project({"name": "North wall"}, hand())
    second = desk.open_project({"name": "South wall"}, hand())
    assert first.project == first.id
    desk.keep([first, second])
    assert [state.project for state in desk.projects()] == [second.id, first.id]


def test_a_form_sent_twice_is_one_entry(desk: Desk, project: str, hand: HandMaker, pages: Pages) -> None:
    sent = new_id()
    first, again = pages.note("windy", entry_id=sent), pages.note("windy", entry_id=sent)
    assert first == again and pages.texts() == ["windy"]
    corrected = new_id()
    for _ in range(2):
        heads = tuple(head.id for head in desk.state(project).versions.heads(sent))
        pages.note("calm", entry_id=corrected, replaces=heads, reason="read wrong")
    opened = new_id()
    for _ in range(2):
        desk.keep([desk.open_project({"name": "Wall"}, hand(), opened)])
    assert pages.texts() == ["calm"]
    assert read_aside(desk.notebook) == []
    assert len(read_entries(desk.notebook)[0]) == 4


def test_a_form_sent_again_with_other_words_is_kept_aside_and_asked(desk: Desk, project: str, pages: Pages) -> None:
    sent = new_id()
    pages.note("windy", entry_id=sent)
    pages.note("very windy", entry_id=sent)
    assert pages.texts() == ["windy"]
    assert [(each.entry.body["text"], each.why) for each in desk.state(project).aside()] == [("very windy", "same_id")]
    assert [question.code for question in questions(desk.state(project))] == ["same_id"]


def test_states_take_in_what_came_by_another_way(desk: Desk, project: str, hand: HandMaker) -> None:
    before = desk.state(project)
    entry = write("note", {"text": "from the phone"}, project=project, moment=hand().moment)
    append(desk.notebook, [entry])
    after = desk.state(project)
    assert after.find(entry.id) is not None and before.find(entry.id) is None
    assert desk.state(project) is after, "nothing came, yet a new state was made"
    other = write("note", {"text": "of another"}, project=new_id(), moment=hand().moment)
    append(desk.notebook, [other])
    assert desk.state(project) is after, "an entry of another project made a new state"


def test_an_address_that_names_no_project_is_not_remembered(desk: Desk, project: str) -> None:
    state = desk.state("anything")
    assert state.find("anything", "project") is None
    assert desk.state("anything") is not state


# --- undo ---


def test_undo_of_a_first_entry_withdraws_it(pages: Pages) -> None:
    first = pages.note("a")
    undone = pages.undo(first)
    assert undone.withdraws and undone.replaces == (first.id,) and undone.reason == "typing slip"
    assert pages.texts() == []


def test_undo_of_a_correction_brings_back_what_was_before(pages: Pages) -> None:
    first = pages.note("a")
    second = pages.note("b", replaces=(first.id,))
    third = pages.note("c", replaces=(second.id,))
    undone = pages.undo(third, reason="read wrong")
    assert (undone.body, undone.replaces, undone.reason) == ({"text": "b"}, (third.id,), "read wrong")
    assert pages.texts() == ["b"]


def test_undo_of_a_withdrawal_and_of_that_undo(pages: Pages) -> None:
    first = pages.note("a")
    gone = pages.undo(first)
    back = pages.undo(gone)
    assert pages.texts() == ["a"] and not back.withdraws
    again = pages.undo(back)
    assert again.withdraws and pages.texts() == []


def test_undo_of_a_contested_version_leaves_the_other(desk: Desk, project: str, pages: Pages) -> None:
    first = pages.note("a")
    left = pages.note("left", replaces=(first.id,))
    right = pages.note("right", replaces=(first.id,))
    assert pages.texts() == ["right"]
    undone = pages.undo(right)
    assert set(undone.replaces) == {left.id, right.id} and undone.body == {"text": "left"}
    assert pages.texts() == ["left"] and desk.state(project).contested() == []


def test_undo_of_the_version_that_does_not_count(desk: Desk, project: str, pages: Pages) -> None:
    first = pages.note("a")
    left = pages.note("left", replaces=(first.id,))
    pages.note("right", replaces=(first.id,))
    pages.undo(left)
    assert pages.texts() == ["right"] and desk.state(project).contested() == []


def test_undo_of_a_settling_entry_brings_back_the_greater(pages: Pages) -> None:
    first = pages.note("a")
    left = pages.note("left", replaces=(first.id,))
    right = pages.note("right", replaces=(first.id,))
    settled = pages.note("both", replaces=(left.id, right.id))
    pages.undo(settled)
    assert pages.texts() == ["right"]


def test_undo_keeps_the_form_a_body_was_written_in(desk: Desk, project: str, hand: HandMaker) -> None:
    newer = write("note", {"words": "of a later version"}, project=project, moment=hand().moment, schema=4)
    correction = write("note", {"text": "b"}, project=project, moment=hand().moment, replaces=(newer.id,))
    desk.keep([newer, correction])
    undone = desk.undo(project, correction.id, hand())
    assert (undone.schema, undone.body_text) == (4, newer.body_text)


def test_only_what_counts_or_is_contested_can_be_undone(desk: Desk, project: str, hand: HandMaker, pages: Pages) -> None:
    first = pages.note("a")
    pages.note("b", replaces=(first.id,))
    with pytest.raises(InputError) as caught:
        desk.undo(project, first.id, hand())
    assert caught.value.code == "already_replaced"
    with pytest.raises(InputError) as caught:
        desk.undo(project, new_id(), hand())
    assert caught.value.code == "not_found"


def test_nothing_is_lost_by_undoing(desk: Desk, project: str, pages: Pages) -> None:
    first = pages.note("a")
    second = pages.note("b", replaces=(first.id,))
    pages.undo(pages.undo(second))
    history = desk.state(project).versions.history(first.id)
    assert [entry.body.get("text") for entry in history] == ["a", "b", "a", "b"]
    kept = read_entries(desk.notebook)[0]
    assert [read_envelope(entry.envelope) for entry in kept] == kept
    assert [fact["text"] for fact in fold(kept[::-1], project).all("note")] == ["b"]
