"""Charts on pages: the drawing as an image with its words and table, nothing inline, nothing drawn while a page is made."""

import re
import xml.etree.ElementTree as ET
from html import unescape
from urllib.parse import urlsplit

import pytest
from tests.trials import quantity, s1

from loamwright.papers import drawing
from loamwright.words import charts
from loamwright.words.numbers import Shown

IMAGE = re.compile(r'<img src="([^"]+)" width="(\d+)" height="(\d+)" alt="([^"]+)"')


@pytest.fixture
def compared(trial):
    ids = s1(trial)
    trial.brief("2.5", "2.0", blocks=6200, block_mass=quantity("6.99", "kg"))
    return ids


def images(client, address):
    return IMAGE.findall(client.get(address).text)


def test_choose_shows_strength_and_cost_with_size_words_and_table(client, home, compared, trial):
    text = client.get(f"{home}/choose").text
    found = IMAGE.findall(text)
    assert [urlsplit(src).path.rpartition("/")[2] for src, *_ in found] == ["strength.svg", "cost.svg"]
    chart = charts.chart(trial.state, "strength", Shown())
    _, width, height, alt = found[0]
    assert (int(width), int(height), unescape(alt)) == (chart.width, chart.height, chart.alt)
    table = text[text.index('<figure class="chart">') :]
    assert f"<caption>{chart.title}</caption>" in table and table.count('<th scope="col"') >= 4
    assert table.count("<td") >= 3 * len(chart.rows)


def test_a_page_is_made_without_drawing_anything(client, home, compared, monkeypatch):
    def never(text):
        raise AssertionError("a page waited for a drawing")

    monkeypatch.setattr(drawing._CHILD, "draw", never)
    drawing._kept.cache_clear()
    assert len(images(client, f"{home}/choose")) == 2


def test_the_page_has_no_inline_script_or_style(client, home, compared):
    text = client.get(f"{home}/choose").text
    assert not re.findall(r"<script(?![^>]*\bsrc=)", text)
    assert "<style" not in text and ' style="' not in text and not re.findall(r"\son\w+=", text)
    assert "vega" not in text


def test_the_drawing_is_well_formed_has_its_letters_inside_and_may_do_nothing(client, home, compared):
    src, width, height, _ = images(client, f"{home}/choose")[0]
    answer = client.get(src)
    assert answer.status_code == 200 and answer.headers["content-type"] == "image/svg+xml"
    assert answer.headers["cache-control"] == "private, max-age=31536000, immutable"
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    root = ET.fromstring(answer.text)
    assert (root.get("width"), root.get("height")) == (width, height)
    assert answer.text.count("@font-face") == 2 and "<script" not in answer.text


def test_the_address_of_a_drawing_changes_when_what_it_shows_does(client, home, compared, trial):
    before = images(client, f"{home}/choose")[0][0]
    assert images(client, f"{home}/choose")[0][0] == before
    trial.crushed(compared["batch 5:2@6"], (2.2,), "2026-04-02")
    after = images(client, f"{home}/choose")[0][0]
    assert after != before
    assert client.get(before).headers["cache-control"] == "no-cache"  # an old address must not keep the new drawing


def test_break_shake_blend_and_ladder_show_theirs_once_there_is_something(client, home, trial):
    for page in ("break", "shake", "blend"):
        assert images(client, f"{home}/{page}") == []
    sand, clay = trial.two_guessed("Bank sand", "Red clay")
    blend = trial.write("blend", {"parts": [{"source": sand, "parts": 2}, {"source": clay, "parts": 1}]})
    for page in ("shake", "blend"):
        ((_, _, _, alt),) = images(client, f"{home}/{page}")
        assert alt.startswith("Texture triangle: Bank sand")
    assert images(client, f"{home}/weigh/ladder/{blend}") == []
    cement = trial.write("stabiliser", {"name": "cement", "type": "cement"})
    trial.crushed(trial.batch(trial.mix({sand: 2, clay: 1}, cement, "6"), "6"), (2.0, 2.2, 2.4), "2026-04-01")
    assert len(images(client, f"{home}/break")) == 1


def test_limits_from_a_laboratory_are_written_and_drawn(client, home, trial):
    soil = trial.source("Red clay", "21.2")
    assert "/write/limits" in client.get(f"{home}/shake").text and client.get(f"{home}/write/limits").status_code == 200
    form = {"source": soil, "liquid_limit": "48 %", "plastic_limit": "21 %", "found_by": "report 7"}
    assert client.post(f"{home}/write/limits", data=form).status_code == 303
    src, alt = next((src, alt) for src, _, _, alt in images(client, f"{home}/shake") if "Plasticity" in unescape(alt))
    assert "liquid limit 48.0 % and plasticity index 27.0 %, on or above the A-line: clay" in unescape(alt)
    assert client.get(src).status_code == 200
    wrong = {"source": soil, "liquid_limit": "21 %", "plastic_limit": "48 %"}
    assert client.post(f"{home}/write/limits", data=wrong).status_code == 303
    assert "Are the two swapped?" in client.get(f"{home}/shake").text


def test_description_and_table_as_json(client, home, compared, trial):
    answer = client.get(f"{home}/chart/strength.json")
    assert answer.status_code == 200 and answer.json() == charts.chart(trial.state, "strength", Shown()).as_json()
    assert set(answer.json()) == {"name", "title", "read", "alt", "columns", "rows", "width", "height", "description"}


@pytest.mark.parametrize("name", ["nope", "age", "ladder-nope", "ladder-", "%2e%2e%2fstrength", "<b>", "plasticity"])
def test_a_chart_that_is_not_there_is_a_sentence(client, home, compared, name):
    for kind in ("svg", "json"):
        answer = client.get(f"{home}/chart/{name}.{kind}")
        assert answer.status_code == 404 and "<b>." not in answer.text


def test_a_drawing_that_fails_is_said_and_the_page_stands(client, home, compared, monkeypatch):
    def fails(text):
        raise drawing.NotDrawnError("no")

    monkeypatch.setattr(drawing._CHILD, "draw", fails)
    drawing._kept.cache_clear()
    src = images(client, f"{home}/choose")[0][0]
    assert client.get(src).status_code == 503
    assert client.get(f"{home}/choose").status_code == 200


def test_hostile_names_are_escaped_on_the_page(client, home, trial):
    name = '<script>alert(1)</script>"onerror="alert(1)'
    source = trial.source(name, "21.2")
    cement = trial.write("stabiliser", {"name": "cement", "type": "cement"})
    trial.crushed(trial.batch(trial.mix({source: 1}, cement, "6"), "6"), (2.0, 2.2), "2026-04-01")
    text = client.get(f"{home}/choose").text
    assert "<script>alert" not in text and 'onerror="alert' not in text
    (found,) = IMAGE.findall(text)
    assert client.get(found[0]).status_code == 200
    assert "<script>" in client.get(f"{home}/chart/strength.json").json()["alt"]  # plain data there
