"""Careless, tired and unlucky people at the pages: a sentence, what was typed stays, and every page still opens."""

import html
import re
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.web.following import followed

from loamwright.notebook.store import Notebook
from loamwright.project import today
from loamwright.project.demo import load_demo
from loamwright.project.desk import Desk

# Forms alone, and files that are made of the state (tests/web/test_openapi.py asks for each of those).
LEFT_OUT = ("/undo/*", "/answer", "/file", ".pdf", ".svg", ".xlsx", ".csv", ".ics")
LINK = re.compile(r'(?:href|action)="(/p/[^"#]*)')


@pytest.fixture
def demo(desk: Desk, clock) -> str:
    """The demo project: every stage has entries."""
    return load_demo(desk, clock())


def kept(client: TestClient, project: str, kind: str, **typed: str) -> str:
    """The id of an entry of a kind, kept through its form."""
    sent = client.post(f"/p/{project}/write/{kind}", data=typed)
    assert sent.status_code == 303, sent.text
    return re.search(r"kept=([0-9a-f-]{36})", sent.headers["location"])[1]


def corrected(client: TestClient, desk: Desk, project: str, entity: str, **typed: str) -> None:
    """Correct an entry: what the form offers is sent with these changed."""
    from loamwright.notebook.kinds import kind_named
    from loamwright.web.forms import raw_of_body

    versions = desk.state(project).versions
    head = versions.heads(entity)[0]
    raw = {**raw_of_body(kind_named(head.kind), head.body), **{name: [value] for name, value in typed.items()}}
    sent = client.post(f"/p/{project}/correct/{entity}", data=raw)
    assert sent.status_code == 303, sent.text


def opens(client: TestClient, project: str, most: int = 2) -> None:
    """Every page that Today leads to is a page, at most so many of one shape."""
    count = 0
    for address, shape, page in followed(client, [f"/p/{project}/today"], link=LINK, left_out=LEFT_OUT, most=most):
        count += 1
        # An address that only takes forms says so (405); one that leads on is followed by its target.
        # A sheet that cannot be filled in says why, and leads to the entry.
        told = "/sheet/" in shape and page.status_code == 422 and "Look at it" in page.text
        assert told or page.status_code in (200, 303, 405), f"{address}: {page.status_code} {page.text[-300:]}"
    assert count > 15


def asked(desk: Desk, project: str) -> dict[str, Any]:
    """Open questions by code; of several with one code the last."""
    return {each.code: each for each in today.questions(desk.state(project))}


# --- the disk is full ---


def test_a_full_disk_gives_back_what_was_typed(client: TestClient, notebook: Notebook, project: str) -> None:
    import sqlalchemy as sa

    def no_more(connection, _record, _proxy) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")

    notebook.engine.dispose()
    sa.event.listen(notebook.engine, "checkout", no_more)
    text = "dry wind from the north " * 1000
    answer = client.post(f"/p/{project}/write/note", data={"text": text})
    assert answer.status_code == 507
    assert "Nothing of this was kept" in answer.text
    assert text.strip() in answer.text
    assert f'action="/p/{project}/write/note"' in answer.text
    assert client.get(f"/p/{project}/today").status_code == 200


@pytest.mark.parametrize("place", ["{}/answer", "{}/write/project", "{}/write/recipe"])
def test_what_cannot_be_kept_comes_back_as_typed(client: TestClient, project: str, place: str) -> None:
    answer = client.post("/p/" + place.format(project), data={"reason": "<b>seen twice</b>", "name": "<b>wall</b>", "about": "x"})
    assert answer.status_code == 422
    assert "&lt;b&gt;seen twice&lt;/b&gt;" in answer.text
    assert "<b>seen" not in answer.text


# --- numbers nobody can have read ---


@pytest.mark.parametrize(
    ("kind", "field", "typed"),
    [
        ("mixer", "usable_volume", "1e308"),
        ("press", "mould_length", "1e308"),
        ("press", "rate", "1e308"),
        ("stabiliser", "bag_mass", "1e-308"),
        ("brief", "n", "1000000000"),
        ("brief", "age_days", "100000000"),
        ("brief", "mean_least", "1e308"),
        ("crush", "load", "1e308"),
        ("jar", "fill", "1e308"),
        ("rig", "ram_bore", "1e308"),
        ("container", "volume", "1e308"),
        ("block", "height", "1e308"),
        ("pan_test", "wet", "1e308"),
        ("mix", "dose", "1e308"),
    ],
)
def test_a_number_beyond_sense_is_kept_asked_about_and_drowns_no_page(
    client: TestClient, desk: Desk, demo: str, kind: str, field: str, typed: str
) -> None:
    facts = desk.state(demo).all(kind)
    fact = next(each for each in facts if field in each.values or kind in ("press", "brief", "rig"))
    unit = {} if field in ("n", "age_days") else {f"{field}_unit": _unit_of(fact.get(field), field)}
    corrected(client, desk, demo, fact.id, **{field: typed}, **unit)
    opens(client, demo)
    if field not in ("n", "age_days"):
        question = asked(desk, demo)["beyond_sense"]
        assert question.about == (fact.id,)
        page = client.get(f"/p/{demo}/today").text
        assert f"is {typed} " in page
    assert client.get(f"/p/{demo}/correct/{fact.id}").status_code == 200


def _unit_of(amount: Any, field: str) -> str:
    usual = {"rate": "per_min", "mean_least": "MPa", "ram_bore": "mm", "mould_length": "mm"}
    return usual[field] if amount is None else amount.unit


@pytest.mark.parametrize(
    "typed", ["9" * 5000, "1/" + "9" * 5000, "9" * 400 + "/1", "1e999", "nan", "inf", "1,234.5", "🧱", "--5"]
)
def test_texts_that_are_no_number_come_back(client: TestClient, demo: str, desk: Desk, typed: str) -> None:
    source = desk.state(demo).all("source")[0].id
    sent = {"source": source, "sample": typed, "sample_unit": "kg", "retained": "1", "retained_unit": "kg"}
    answer = client.post(f"/p/{demo}/write/oversize", data=sent)
    assert answer.status_code == 422
    assert typed in html.unescape(answer.text)


@pytest.mark.parametrize(("typed", "number"), [("½", 0.5), ("2½", 2.5), ("٣٫٥", 3.5)])
def test_fractions_and_digits_of_other_keyboards_are_read(typed: str, number: float) -> None:
    from loamwright.units import parse_number

    assert parse_number(typed) == number


@pytest.mark.parametrize("on", ["0001-01-01", "9999-12-31"])
def test_a_day_no_work_was_done_on_is_asked_about(client: TestClient, desk: Desk, demo: str, on: str) -> None:
    crush = desk.state(demo).all("crush")[0]
    corrected(client, desk, demo, crush.id, on=on)
    opens(client, demo, 1)
    assert asked(desk, demo)["year_beyond_sense"].about == (crush.id,)


# --- readings that parse and cannot be: kept, asked about by name, no page lost ---


@pytest.mark.parametrize(
    ("kind", "typed", "code", "says"),
    [
        ("mix", {"dose": "0.06", "dose_unit": "pct"}, "dose_strange", "a dose of 0.06 %"),
        ("mix", {"dose": "6", "dose_unit": "fraction"}, "out_of_range", "stabiliser of total is 6"),
        ("mix", {"dose": "600", "dose_unit": "pct"}, "out_of_range", "stabiliser of total is 6"),
        ("blend", {"parts-0-parts": "1000000"}, "parts_many", "1000000 parts of one soil"),
        ("container", {"volume": "0"}, "figure_not_positive", "Volume struck level is 0 l"),
        ("container", {"volume": "-1"}, "figure_not_positive", "Volume struck level is -1 l"),
        ("scale", {"step": "0"}, "figure_not_positive", "Smallest step it shows is 0"),
        ("press", {"rate": "-1", "rate_unit": "per_min"}, "figure_not_positive", "Blocks it presses is -1"),
        ("crush", {"on": "2150-01-01"}, "day_far_off", "Broken on is 2150-01-01"),
        ("cure_step", {"coldest": "-300", "coldest_unit": "degC"}, "air_strange", "-300 °C is no air"),
        ("pail_weighing", {"gross": "231"}, "pails_apart", "weighs 231 kg where the others"),
    ],
)
def test_what_cannot_be_is_asked_about_by_name_and_undone(
    client: TestClient, desk: Desk, demo: str, kind: str, typed: dict[str, str], code: str, says: str
) -> None:
    fact = desk.state(demo).all(kind)[0]
    before = asked(desk, demo).keys()
    if kind == "pail_weighing":
        one, *others = desk.state(demo).versions.entries[fact.head].body["gross"]
        typed = {"gross": [typed["gross"], *(each["typed"] for each in others)]}  # type: ignore[dict-item]
        assert one["unit"] == "kg"
    _correct_as(client, desk, demo, fact.id, typed)
    page = client.get(f"/p/{demo}/today").text
    assert says in html.unescape(page)
    question = next(each for each in today.questions(desk.state(demo)) if each.code == code and each.about == (fact.id,))
    opens(client, demo, 1)
    if question.grade == "unlikely":
        sent = {"question": code, "about": fact.id, "verdict": "leave_out"}
        assert client.post(f"/p/{demo}/answer", data=sent).status_code == 303
        assert fact.id in desk.state(demo).left_out
        opens(client, demo, 1)
    head = desk.state(demo).versions.heads(fact.id)[0].id
    assert client.post(f"/p/{demo}/undo/{head}").status_code == 303
    assert asked(desk, demo).keys() <= before | {
        "block_not_here",
        "batch_not_here",
        "not_found",
        "choice_without_mix",
        "recipe_lacks",
    }


def _correct_as(client: TestClient, desk: Desk, project: str, entity: str, typed: dict[str, Any]) -> None:
    listed = {name: value if isinstance(value, list) else [value] for name, value in typed.items()}
    from loamwright.notebook.kinds import kind_named
    from loamwright.web.forms import raw_of_body

    head = desk.state(project).versions.heads(entity)[0]
    raw = {**raw_of_body(kind_named(head.kind), head.body), **listed}
    assert client.post(f"/p/{project}/correct/{entity}", data=raw).status_code == 303


def test_an_impossible_reading_names_its_soil(client: TestClient, demo: str, desk: Desk) -> None:
    source = desk.state(demo).all("source")[0]
    sent = {"about": source.id, "wet": "0.5", "wet_unit": "kg", "dry": "0.6", "dry_unit": "kg"}
    kept(client, demo, "pan_test", **sent)
    assert f"Pan test of moisture, {source['name']}: The damp mass 0.5 kg is below" in client.get(f"/p/{demo}/today").text


def test_a_recipe_of_a_billion_sets_is_asked_about(client: TestClient, demo: str, desk: Desk) -> None:
    choice = desk.state(demo).all("choice")[0].id
    sent = client.post(f"/p/{demo}/make", data={"choice": choice, "sets": "1000000000", "half_bags": "1"})
    assert sent.status_code == 303
    assert "sets of pails is 1000000000; allowed is 1 to 200" in client.get(f"/p/{demo}/today").text
    opens(client, demo)


def test_undoing_what_is_not_here_is_told(client: TestClient, demo: str) -> None:
    answer = client.post(f"/p/{demo}/undo/x", data={"entry_id": demo})
    assert answer.status_code == 404


def test_a_page_of_an_entry_beyond_sense_leads_to_the_entry(client: TestClient, demo: str, desk: Desk) -> None:
    source = desk.state(demo).all("source")[0].id
    corrected(client, desk, demo, source, distance="1e308", distance_unit="km")
    page = client.get(f"/p/{demo}/dig/source/{source}")
    assert f'href="/p/{demo}/entry/{source}"' in page.text
    assert client.get(f"/p/{demo}/entry/{source}").status_code == 200


@pytest.mark.parametrize("kind", ["guess", "mix", "crush", "batch"])
def test_an_entry_that_names_itself_ends_in_words(client: TestClient, demo: str, desk: Desk, kind: str) -> None:
    fact = desk.state(demo).all(kind)[0]
    field = {"guess": "source", "mix": "blend", "crush": "block", "batch": "mix"}[kind]
    corrected(client, desk, demo, fact.id, **{field: fact.id})
    opens(client, demo, 1)


def test_the_entry_that_opened_a_project_is_not_undone(client: TestClient, project: str) -> None:
    answer = client.post(f"/p/{project}/undo/{project}")
    assert answer.status_code == 422
    assert "Correct its name instead" in answer.text
    assert client.get(f"/p/{project}/today").status_code == 200


def test_a_stop_answer_is_read_like_any_other_entry(client: TestClient, demo: str, desk: Desk) -> None:
    source = desk.state(demo).all("source")[0].id
    place = f"/p/{demo}/dig/source/{source}/stop"
    for sent in ({}, {"question": "x", "answer": "no"}, {"question": "smell", "answer": "perhaps"}):
        assert client.post(place, data=sent).status_code == 422
    assert client.post(place, data={"question": "smell", "answer": "no", "entry_id": "zz"}).status_code == 303
    again = client.post("/take-in", files={"file": ("wall.zip", client.get(f"/p/{demo}/file").content)})
    assert again.status_code == 303  # an id made up by a form would have the whole file refused


@pytest.mark.parametrize(
    "sent", [{}, {"data": {"file": "x"}}, {"content": b"x", "headers": {"content-type": "multipart/form-data"}}]
)
def test_a_project_file_that_was_not_sent_is_told(client: TestClient, sent: dict[str, Any]) -> None:
    answer = client.post("/take-in", **sent)
    assert answer.status_code in (400, 422)
    assert "could not be read" in answer.text
    assert "<main" in answer.text


def test_an_address_that_leads_nowhere_is_told(client: TestClient, project: str) -> None:
    for place in (f"/p/{project}/nowhere", "/../../etc/passwd", "/%00", "/" + "x" * 9000):
        answer = client.get(place)
        assert answer.status_code == 404
        assert "There is no page at this address" in answer.text
