"""Tests of soils and blocks on pages: every kind asked and kept, tables typed, wrong things kept and questioned."""

import re

import pytest
from tests.trials import quantity

from loamwright.notebook.kinds import kinds
from loamwright.project import tested
from loamwright.project.soil_tests import SOIL_TESTS


@pytest.fixture
def at(project):
    return lambda *parts: "/p/" + "/".join((project, *parts))


@pytest.fixture
def clay(trial):
    return trial.two_guessed("Bank sand", "Red clay")[1]


SIEVES = {
    "start": "500",
    "start_unit": "g",
    "sieves-0-size": "2",
    "sieves-0-size_unit": "mm",
    "sieves-0-retained": "100",
    "sieves-0-retained_unit": "g",
    "sieves-1-size": "0.425",
    "sieves-1-retained": "150",
    "sieves-2-size": "0.075",
    "sieves-2-retained": "150",
    "pan": "100",
    "pan_unit": "g",
}


def test_every_test_has_its_form_and_stands_in_the_list(client, at, clay):
    page = client.get(at("shake", "tests", clay))
    assert page.status_code == 200
    offered = set(re.findall(r"/write/([a-z_]+)\?preset_source=", page.text))
    assert offered == set(SOIL_TESTS.by_kind())
    for name in sorted(offered):
        assert client.get(at("write", name), params={"preset_source": clay}).status_code == 200, name


def test_a_sieving_is_typed_as_a_table_and_worked_out(client, at, clay):
    """By hand: 500 g, of which 100, 150 and 150 g lie on the sieves: 80, 50 and 20 % pass."""
    kept = client.post(at("write", "sieve"), data={**SIEVES, "preset_source": clay})
    assert kept.status_code == 303
    page = client.get(kept.headers["location"])
    assert "/test/" in kept.headers["location"]
    rows = re.findall(r'<tr><th scope="row"[^>]*>([^<]*)</th><td[^>]*>[^<]*</td><td[^>]*>([^<]*)</td>', page.text)
    assert ("2", "80") in rows
    assert ("0.425", "50") in rows
    assert ("0.075", "20") in rows
    again = client.get(at("correct", kept.headers["location"].split("/test/")[1].split("?")[0]))
    assert 'name="sieves-1-size"' in again.text
    assert 'value="0.425"' in again.text


def test_a_loss_over_the_limit_keeps_the_reading_and_withholds_the_result(client, at, clay):
    lost = {**SIEVES, "pan": "60"}
    kept = client.post(at("write", "sieve"), data={**lost, "preset_source": clay})
    page = client.get(kept.headers["location"]).text
    assert kept.status_code == 303
    assert "60" in page
    assert "lost" in page.lower()
    assert "80" not in re.findall(r"<td[^>]*>([^<]*)</td>", page)


def test_what_cannot_be_read_comes_back_as_typed(client, at, clay):
    wrong = {**SIEVES, "sieves-1-retained": "much"}
    back = client.post(at("write", "sieve"), data={**wrong, "preset_source": clay})
    assert back.status_code == 422
    assert 'value="much"' in back.text
    assert 'value="0.075"' in back.text


def test_a_test_of_nothing_is_not_found_and_an_entry_of_another_kind_goes_to_its_record(client, trial, at, clay):
    assert client.get(at("test", "nothing")).status_code == 404
    pan = trial.write("pan_test", {"about": clay, "wet": quantity("520", "g"), "dry": quantity("500", "g")})
    assert "/entry/" in client.get(at("test", pan)).headers["location"]


def test_a_sieving_enters_the_record_of_the_soil(client, at, clay):
    client.post(at("write", "sieve"), data={**SIEVES, "preset_source": clay})
    page = client.get(at("shake", "source", clay)).text
    assert "Sieve analysis" in page
    paper = client.get(at("papers", "soil"), params={"about": clay})
    assert paper.status_code == 200


def test_every_test_kind_is_known_to_the_notebook():
    assert tested.tested_kinds() <= set(kinds())
