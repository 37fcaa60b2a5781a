"""Files in and out by the pages: a table of faults, the choice kept, a double tap once, the same file questioned."""

import io
import re

import icalendar
import pytest
import python_calamine
from tests.trials import quantity

from loamwright.papers.columns import by_file
from loamwright.web.keeping import OWN_PAGES


@pytest.fixture
def batch(desk, project, hand):
    def keep(kind, **body):
        entry = desk.entry(kind, body, hand(), project=project)
        desk.keep([entry])
        return entry.id

    sand, clay = keep("source", name="River sand"), keep("source", name="=Brown clay")
    blend = keep("blend", parts=[{"source": sand, "parts": 2}, {"source": clay, "parts": 1}])
    keep("pan_test", about=blend, wet=quantity("520", "g"), dry=quantity("500", "g"))
    mix = keep("mix", blend=blend, dose=quantity("0", "pct"), basis="of_total_dry_mix")
    found = keep("batch", mix=mix, soil_wanted=quantity("10", "kg"), water_wanted=quantity("10", "pct"))
    keep("block", batch=found, mark="19", green_mass=quantity("1.3", "kg"), height=quantity("60", "mm"), fate="dry")
    return found


def send(client, home, kind, data, name="rows.csv", **fields):
    return client.post(f"{home}/files/in/{kind}", data=fields, files={"file": (name, data)})


def form_id_of(html):
    return re.search(r'name="entry_id" value="([0-9a-f-]{36})"', html)[1]


def test_the_page_is_linked_from_today_and_lists_what_can_be_brought(client, home):
    assert f'href="{home}/files"' in client.get(f"{home}/today").text
    page = client.get(f"{home}/files").text
    for address in ("files/readings.xlsx", "files/days.ics", "files/in/weighing", "files/in/crush"):
        assert f'href="{home}/{address}"' in page
    assert {kind.name for kind in by_file()} & set(OWN_PAGES) == set(), "these tell figures: they are kept on their own page"
    assert "files/in/batch" not in page


def test_readings_days_and_templates_are_sent_as_files(client, home, batch):
    answer = client.get(f"{home}/files/readings.xlsx")
    assert answer.headers["content-disposition"].startswith("attachment")
    book = python_calamine.load_workbook(io.BytesIO(answer.content))
    assert "=Brown clay" in [row[4] for row in book.get_sheet_by_name("Soil, sand or fines").to_python()]
    days = client.get(f"{home}/files/days.ics")
    assert days.headers["content-type"].startswith("text/calendar")
    assert len(icalendar.Calendar.from_ical(days.content).walk("VEVENT")) >= 1
    assert client.get(f"{home}/files/days.ics").content == days.content
    assert client.get(f"{home}/files/template/weighing.csv").text.startswith("﻿Batch,Of what,Mass [kg]")
    assert (
        python_calamine.load_workbook(io.BytesIO(client.get(f"{home}/files/template/weighing.xlsx").content)).sheet_names[0]
        == "Weighing"
    )


def test_faults_come_back_as_a_table_and_the_choice_stays(client, home, batch, desk, project):
    page = send(client, home, "weighing", b"Batch;Of what;Mass [kg]\nBatch 1;soil;10,2\nBatch 9;gravel;<b>ten\n", decimal="comma")
    assert page.status_code == 422
    assert "3 cells cannot be taken, so nothing of this file was kept." in page.text
    assert re.findall(r'<th scope="row">(\d+)</th><td>([^<]*)</td>', page.text) == [
        ("3", "Batch"),
        ("3", "Of what"),
        ("3", "Mass [kg]"),
    ]
    assert "&lt;b&gt;ten" in page.text
    assert "<b>ten" not in page.text
    assert re.search(r'name="decimal" value="comma" checked', page.text)
    assert desk.state(project).all("weighing") == []


def test_the_mark_is_asked_for(client, home, batch):
    page = send(client, home, "weighing", b"Batch;Of what;Mass [kg]\nBatch 1;soil;1,234\n")
    assert page.status_code == 422
    assert "comma or point. It is not guessed" in page.text


def test_a_good_file_is_kept_whole_once_and_the_same_again_is_questioned(client, home, batch, desk, project):
    data = b"Batch;Of what;Mass [lb];By\nBatch 1;soil;22,05;Ana\nBatch 1;water;1,5;\n"
    form = form_id_of(client.get(f"{home}/files/in/weighing").text)
    first, again = (send(client, home, "weighing", data, entry_id=form, decimal="comma") for _ in range(2))
    assert (first.status_code, again.status_code) == (303, 303)
    facts = desk.state(project).all("weighing")
    assert [(fact["mass"].typed, fact["mass"].unit, fact.by) for fact in facts] == [("22,05", "lb", "Ana"), ("1,5", "lb", "")]
    assert "All 2 rows of the file are kept." in client.get(first.headers["location"]).text

    other = send(
        client, home, "weighing", data, decimal="comma", entry_id=form_id_of(client.get(f"{home}/files/in/weighing").text)
    )
    assert other.status_code == 422
    assert "This very file was taken in" in other.text
    assert 'name="again" value="yes"' in other.text
    assert len(desk.state(project).all("weighing")) == 2
    once_more = send(client, home, "weighing", data, decimal="comma", again="yes", entry_id=form_id_of(other.text))
    assert once_more.status_code == 303
    assert len(desk.state(project).all("weighing")) == 4


@pytest.mark.parametrize(
    "data",
    [b"", b"\x89PNG\r\n\x1a\n\0", b"PK\x03\x04 cut", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"],
    ids=["empty", "picture", "zip", "xls"],
)
def test_a_wrong_file_is_a_sentence(client, home, data):
    page = send(client, home, "note", data, name="../../x.xlsx", decimal="point")
    assert page.status_code == 422
    assert re.search(r'role="alert"><span>[A-Z][^<]+\.', page.text)


@pytest.mark.parametrize("address", ["files/in/batch", "files/in/nothing", "files/template/batch.xlsx", "files/template/x.csv"])
def test_kinds_that_do_not_come_by_file_are_a_sentence(client, home, address):
    page = client.get(f"{home}/{address}")
    assert page.status_code in (404, 422)
    assert "do not come from a file" in page.text


def test_a_form_without_a_file_is_a_sentence(client, home):
    page = client.post(f"{home}/files/in/note", data={"decimal": "point"})
    assert page.status_code == 422
    assert "holds no rows" in page.text
