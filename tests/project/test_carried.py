"""What a phone takes along: marks set aside once for one device, and batches that are still in hand."""

from tests.trials import quantity

from loamwright.engine.bench import marks
from loamwright.project import carried, planning, press
from loamwright.project.desk import Hand

PHONE, OTHER = "01a00000-0000-7000-8000-000000000001", "01a00000-0000-7000-8000-000000000002"


def leases(desk, project):
    return [(fact["device"], fact["first"], fact["last"]) for fact in desk.state(project).all("mark_lease")]


def test_two_devices_get_ranges_that_follow_each_other(desk, project, clock) -> None:
    for device in (PHONE, OTHER, PHONE):
        carried.set_marks_aside(desk, project, Hand(clock(), device=device))
    assert leases(desk, project) == [(PHONE, 1, 40), (OTHER, 41, 80)]


def test_a_device_gets_more_when_few_are_left_and_the_used_are_not_offered_again(desk, project, clock, bench) -> None:
    carried.set_marks_aside(desk, project, Hand(clock(), device=PHONE))
    first = carried.free_marks(desk.state(project), PHONE)
    used = first[:21]
    hand = Hand(clock(), device=PHONE)
    batch = "01a00000-0000-7000-8000-00000000000b"
    body = {"batch": batch, "green_mass": quantity("2.2", "kg"), "height": quantity("75", "mm")}
    desk.keep([desk.entry("block", {**body, "mark": mark}, hand, project=project) for mark in used])
    left = carried.free_marks(desk.state(project), PHONE)
    assert left == first[21:]
    carried.set_marks_aside(desk, project, hand)  # 19 left of 40: fewer than 20
    assert leases(desk, project)[1:] == [(PHONE, 41, 80)]
    assert len(carried.free_marks(desk.state(project), PHONE)) == 19 + 40


def test_marks_set_aside_are_never_told_at_the_desk(desk, project, clock) -> None:
    assert press.next_mark(desk.state(project)) == marks.make_mark(1)
    carried.set_marks_aside(desk, project, Hand(clock(), device=PHONE))
    assert press.next_mark(desk.state(project)) == marks.make_mark(41)
    assert planning.next_counter(desk.state(project)) == 41


def test_a_device_without_a_name_gets_none(desk, project, clock) -> None:
    carried.set_marks_aside(desk, project, Hand(clock()))
    assert leases(desk, project) == []
