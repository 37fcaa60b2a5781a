"""Papers at the pages: looking keeps nothing, giving out keeps one entry, faults are sentences."""

import pytest
from starlette.testclient import TestClient
from tests.trials import quantity

from loamwright.notebook.entry import new_id
from loamwright.papers import catalogue
from loamwright.web.app import create_app


@pytest.fixture
def client(desk, clock):
    with TestClient(create_app(desk, clock=clock), follow_redirects=False) as opened:
        yield opened


@pytest.fixture
def home(trial):
    sand, clay = trial.two_guessed("River sand", "Brown <b>clay</b>")
    cement = trial.write("stabiliser", {"name": "cement", "type": "cement"})
    mix = trial.mix({sand: 5, clay: 2}, cement, "6")
    trial.batch_id = trial.batch(mix, "6")
    trial.crushed(trial.batch_id, (2.4, 2.6, 2.7), "2026-04-01")
    return f"/p/{trial.project}"


def entries(trial):
    return len(trial.state.versions.entries)


def test_every_paper_is_listed_and_opens(client, home, trial):
    listed = client.get(f"{home}/papers").text
    before = entries(trial)
    opened = 0
    for name, paper in catalogue.PAPERS.items():
        things = catalogue.things(trial.state, paper)
        if paper.needed and not things:
            assert f"{home}/papers/{name}" not in listed
            continue
        assert f'href="{home}/papers/{name}"' in listed
        assert client.get(f"{home}/papers/{name}").status_code == 200
        answer = client.get(f"{home}/paper/{name}{f'/{things[0].id}' if paper.needed else ''}.pdf")
        assert (answer.status_code, answer.headers["content-type"]) == (200, "application/pdf")
        assert answer.content.startswith(b"%PDF")
        opened += 1
    assert opened > 8
    assert entries(trial) == before, "looking keeps nothing"


def test_giving_out_keeps_what_was_said_once(client, home, trial):
    form = {"entry_id": new_id(), "size": "letter"}
    before = entries(trial)
    root = catalogue.setting(trial.desk.notebook, trial.state, shown=None, today=None).root
    answers = [client.post(f"{home}/paper/weigh-out/{trial.batch_id}", data=form) for _ in (1, 2)]
    assert [each.headers["content-type"] for each in answers] == ["application/pdf"] * 2
    assert entries(trial) == before + 1
    kept = trial.state.all("printed")[0]
    assert (kept["paper"], kept["size"], kept["about"]) == ("weigh-out", "letter", trial.batch_id)
    assert kept["said"]["root"] == root
    assert "Damp soil" in kept["said"]["text"] and "Brown <b>clay</b>" in kept["said"]["text"]
    page = client.get(f"{home}/papers").text
    assert "Given out" in page and "Weigh-out sheet" in page
    assert client.get(f"{home}/entry/{kept.id}").status_code == 200


def test_sizes_and_sheets_are_taps(client, home, trial):
    page = client.get(f"{home}/papers/owner?size=letter").text
    assert f"{home}/paper/owner.pdf?size=letter" in page.replace("&amp;", "&")
    labels = client.get(f"{home}/papers/pallet-labels?sheet=strip-a4").text.replace("&amp;", "&")
    assert "sheet=strip-a4" in labels and "plain Letter, strips to cut" in labels
    assert client.get(f"{home}/paper/pallet-labels.pdf?sheet=strip-letter").status_code == 200


def test_inches_want_letter(client, trial, home):
    trial.write("project", {"name": "Test wall", "length_unit": "in"}, replaces=(trial.project,), reason="units")
    assert "owner.pdf?size=letter" in client.get(f"{home}/papers/owner").text


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        ("paper/wall-chart.pdf", 404, "There is no paper called wall-chart"),
        ("papers/wall-chart", 404, "There is no paper called wall-chart"),
        ("paper/weigh-out.pdf", 422, "say which"),
        ("paper/block/nobody.pdf", 404, ""),
        ("paper/owner.pdf?size=a9", 422, "a4, letter"),
        ("papers/owner?size=a9", 422, "a4, letter"),
        ("papers/block-marks?sheet=9x9", 422, "3x8-a4"),
        ("paper/crew-card.pdf", 422, "say which"),
    ],
)
def test_what_cannot_be_printed_is_told(client, home, address, status, words):
    answer = client.get(f"{home}/{address}")
    assert answer.status_code == status
    assert words in answer.text


def test_a_paper_that_cannot_be_made_keeps_nothing(client, home, trial):
    empty = trial.write("batch", {"mix": trial.state.all("mix")[0].id, "soil_wanted": quantity("10", "kg")})
    before = entries(trial)
    assert client.post(f"{home}/paper/block-marks/{empty}", data={"entry_id": new_id()}).status_code == 422
    assert entries(trial) == before


def test_sheets_and_today_lead_to_papers(client, home, trial):
    assert f"{home}/papers" in client.get(f"{home}/today").text
    sheet = client.get(f"{home}/sheet/weigh-out/{trial.batch_id}").text
    assert f"{home}/paper/weigh-out/{trial.batch_id}.pdf?size=letter" in sheet
    assert client.get(f"{home}/sheet/break").text.count("/paper/test-day.pdf") == 2
    block = trial.state.all("block")[0].id
    assert f"{home}/paper/block/{block}.pdf" in client.get(f"{home}/press/block/{block}").text
