"""A batch pressed, cured and broken through the pages, wrong things typed too; numbers as in `tests/project/pressed.py`."""

import re

import pytest
from tests.project.pressed import Bench

from loamwright.engine.bench.marks import make_mark

READ = {"green_mass": "2.2", "green_mass_unit": "kg", "height": "100", "height_unit": "mm"}
FACE = {"length": "100", "length_unit": "mm", "width": "100", "width_unit": "mm"}


@pytest.fixture
def bench(desk, project, hand) -> Bench:
    return Bench(desk, project, hand)


@pytest.fixture
def home(project) -> str:
    return f"/p/{project}"


@pytest.fixture
def batch(bench) -> str:
    bench.press(bore="50 mm", gauge_wanted="9 MPa")
    return bench.weighed_batch()


def pressed(client, bench, home, batch, how_many):
    """Blocks of a batch kept through the page, each with the mark the page offers."""
    machine = bench.state.latest("press").id
    for _ in range(how_many):
        html = client.get(f"{home}/press/batch/{batch}").text
        mark = re.search(r'name="mark" value="(\d+)"', html)[1]
        answer = client.post(f"{home}/press/batch/{batch}/block", data={"mark": mark, "press": machine, **READ})
        assert answer.status_code == 303, answer.text
    return bench.state.all("block")


def test_the_page_offers_the_next_mark_and_asks_for_a_light_sister_at_once(client, bench, home, batch):
    blocks = pressed(client, bench, home, batch, 3)
    assert [block["mark"] for block in blocks] == [make_mark(counter) for counter in (1, 2, 3)]
    light = {"mark": make_mark(4), "press": bench.state.latest("press").id, **READ, "green_mass": "2.0"}
    answer = client.post(f"{home}/press/batch/{batch}/block", data=light)
    html = client.get(answer.headers["location"]).text
    assert f"Block {make_mark(4)} is 9.1 % lighter than its sisters." in html  # 2.0 / 2.2
    assert "It stands" in html and "Leave it out" in html
    assert "2000" in html and "1818" in html  # kg/m³ dry: 2.2 and 2.0 kg over 0.001 m³ and 1.1


def test_a_mark_that_does_not_read_well_is_kept_and_asked_about(client, bench, home, batch):
    answer = client.post(f"{home}/press/batch/{batch}/block", data={"mark": "12", **READ})
    assert answer.status_code == 303
    assert "Mark 12 does not read well" in client.get(answer.headers["location"]).text


@pytest.mark.parametrize("wrong", [{"green_mass": "heavy"}, {"height": ""}, {"mark": ""}, {"green_mass_unit": "mm"}])
def test_what_cannot_be_read_comes_back_as_typed_and_nothing_is_kept(client, bench, home, batch, wrong):
    answer = client.post(f"{home}/press/batch/{batch}/block", data={"mark": "19", **READ, **wrong})
    assert answer.status_code == 422 and 'class="error"' in answer.text
    assert bench.state.all("block") == []


@pytest.mark.parametrize(
    "wrong", [{"green_mass": "0"}, {"green_mass": "-2"}, {"height": "1e9"}, {"gauge": "1300", "gauge_unit": "MPa"}]
)
def test_what_is_absurd_is_kept_and_questioned(client, bench, home, batch, wrong):
    machine = bench.state.latest("press").id
    answer = client.post(f"{home}/press/batch/{batch}/block", data={"mark": "19", "press": machine, **READ, **wrong})
    assert answer.status_code == 303
    html = client.get(answer.headers["location"]).text
    assert "Question" in html and len(bench.state.all("block")) == 1
    block = bench.state.all("block")[0].id
    for page in (f"press/block/{block}", "press", "today", f"break/block/{block}", "break"):
        assert client.get(f"{home}/{page}").status_code == 200


def test_spoiled_and_cure_are_one_tap_each_and_a_double_tap_is_one(client, bench, home, batch):
    pressed(client, bench, home, batch, 1)
    twice = {"why": "stuck", "entry_id": "01900000-0000-7000-8000-000000000001"}
    for _ in range(2):
        assert client.post(f"{home}/press/batch/{batch}/spoiled", data=twice).status_code == 303
    assert len(bench.state.all("spoiled")) == 1
    assert "50 % spoiled" in client.get(f"{home}/press").text.replace("\u202f", " ")  # one of two
    client.post(f"{home}/press/batch/{batch}/cure", data={"step": "covered"})
    assert "0 days damp so far, 7 wanted" in client.get(f"{home}/press/batch/{batch}").text
    assert client.post(f"{home}/press/batch/{batch}/cure", data={"step": "boiled"}).status_code == 422


def test_soaked_bent_and_its_halves_crushed(client, bench, home, batch, clock):
    block, other = (fact.id for fact in pressed(client, bench, home, batch, 2))
    clock.ahead(days=27)
    html = client.get(f"{home}/break").text
    assert "2 into water" in html and "today" in html
    client.post(f"{home}/break/batch/{batch}/soak", data={"blocks": [block, other]})
    clock.ahead(days=1)
    mark = bench.state.fact(block, "block")["mark"]
    assert client.get(f"{home}/break/find?mark={mark}").headers["location"].endswith(f"/break/block/{block}")
    assert "Bend it" in client.get(f"{home}/break/block/{block}").text
    bend = {"condition": "soaked", "span": "80", "span_unit": "mm", "load": "5", "load_unit": "kN"}
    assert client.post(f"{home}/break/block/{block}/bend", data=bend).status_code == 303
    assert "Crush the first half" in client.get(f"{home}/break/block/{block}").text
    for half, load in (("half_1", "12"), ("half_2", "13")):
        data = {"condition": "soaked", "load": load, "load_unit": "kN", **FACE, "length": "50"}
        assert client.post(f"{home}/break/block/{block}/{half}", data=data).status_code == 303
    html = client.get(f"{home}/break/block/{block}").text.replace("\u202f", " ").replace("\u202f", " ")
    assert "2.50" in html  # (12 / 5 + 13 / 5) / 2 = 2.5 MPa
    assert "0.60" in html  # 3 x 5000 x 80 / (2 x 100 x 100²) = 0.6 MPa
    assert "Soaked 24 h, 28 days old, mean of two halves, as tested on the gross area, no shape factor" in html
    assert "height over thickness 2.00" in html  # 100 mm over 50 mm
    assert "Next: block" in html


def test_lime_is_said_to_be_too_young(client, bench, home, clock):
    machine = bench.press()
    block = bench.block(bench.weighed_batch("lime"), machine, 1)
    clock.ahead(days=28)
    html = client.get(f"{home}/break/block/{block}").text
    assert "too early to judge, lime shows itself from day 56, 29 April" in html  # 4 March and 56 days


def test_wrong_things_at_the_rig(client, bench, home, batch):
    block = pressed(client, bench, home, batch, 1)[0].id
    answer = client.post(f"{home}/break/block/{block}/whole", data={"condition": "dry", "load": "lots", "load_unit": "kN"})
    assert answer.status_code == 422 and "lots" in answer.text
    assert client.post(f"{home}/break/block/{block}/whole", data={"condition": "dry"}).status_code == 303  # kept, then asked
    html = client.get(f"{home}/break/block/{block}").text
    assert "load of this crush has not been given" in html
    assert client.get(f"{home}/break/block/nothing").status_code == 404
    assert client.post(f"{home}/break/block/{block}/eat", data={}).status_code == 404
    assert "No block of this project carries the mark 14x" in client.get(f"{home}/break/find?mark=14x").text
    assert client.get(f"{home}/break/find").status_code == 200


def test_two_blocks_of_one_mark_are_both_offered(client, bench, home, batch):
    machine = bench.state.latest("press").id
    one, two = bench.block(batch, machine, 5), bench.block(batch, machine, 5)
    html = client.get(f"{home}/break/find?mark={make_mark(5)}").text
    assert one in html and two in html and "Which of these?" in html


def test_a_tap_that_may_stay_unsaid_can_be_taken_back_and_a_correction_may_add(client, home, bench):
    """A radio button cannot be unpressed: the last of its row says nothing. A reading left out at first is added, not mistyped."""
    batch, machine = bench.weighed_batch(), bench.press()
    block = bench.block(batch, machine, 1, surface="shiny")
    form = client.get(f"{home}/correct/{block}").text
    assert re.search(r'name="surface" value="shiny" checked', form)
    assert re.search(r'name="surface" value=""> <span>not said</span>', form)
    assert "added later" in form
    sent = {
        "batch": batch,
        "mark": "19",
        "green_mass": "2.2",
        "green_mass_unit": "kg",
        "height": "100",
        "height_unit": "mm",
        "surface": "",
    }
    kept = client.post(f"{home}/correct/{block}", data={**sent, "reason": "added later"})
    assert kept.status_code == 303
    assert "surface" not in bench.state.fact(block, "block").values
    assert "added later" in client.get(f"{home}/entry/{block}").text


def test_three_of_a_batch_pressed_are_said_and_one_tap_ends_it(client, home, bench):
    batch, machine = bench.weighed_batch(), bench.press()
    for counter in (1, 2, 3):
        bench.block(batch, machine, counter)
    page = f"{home}/press/batch/{batch}"
    assert "3 pressed" in client.get(page).text
    assert "All pressed: no more of this batch" in client.get(page).text
    assert "3 pressed so far" in client.get(f"{home}/today").text
    assert client.post(f"{page}/all", data={}).status_code == 303
    said = client.get(page).text
    assert "All pressed: 3 pressed" in said
    assert "no more of this batch" not in said
    assert "pressed so far" not in client.get(f"{home}/today").text
