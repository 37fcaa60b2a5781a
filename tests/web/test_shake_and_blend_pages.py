"""Shake and Blend in the browser's terms: from a jar set up to a blend kept, and wrong things typed on the way."""

import re

import pytest
from tests.trials import quantity


@pytest.fixture
def two(trial):
    return trial.two_guessed("Bank sand", "Red clay")


@pytest.fixture
def at(project):
    return lambda *parts: "/p/" + "/".join((project, *parts))


JAR = {"fill": "50", "fill_unit": "mm", "water": "150", "water_unit": "mm", "added": "dispersant"}
FIRST_ID = "01890000-0000-7000-8000-000000000001"


def jar_of(trial, source):
    body = {"source": source, "fill": quantity("50", "mm"), "water": quantity("150", "mm"), "added": "nothing"}
    return trial.write("jar", body)


def test_a_jar_is_set_up_started_and_read(client, trial, at, clock, two):
    clay = two[1]
    kept = client.post(at("shake", "new-jar"), data={**JAR, "preset_source": clay, "entry_id": FIRST_ID})
    assert kept.status_code == 303
    page = at("shake", "jar", FIRST_ID)
    assert kept.headers["location"].startswith(page)
    assert "It stands now: start the clock" in client.get(page).text
    clock.ahead(minutes=5)
    client.post(at("shake", "jar", FIRST_ID, "stands"), data={})
    waits = client.get(page).text
    assert "Read the top of all that has settled at" in waits
    assert clock().strftime("Set down at %H:%M:%S") in waits
    reading = {"after": "1.1", "after_unit": "min", "layer": "bed", "height": "24", "height_unit": "mm"}
    assert client.post(at("shake", "jar", FIRST_ID, "reading"), data=reading).status_code == 303
    assert "After 1.1\u202fmin: top of all that has settled 24\u202fmm" in client.get(page).text


def test_a_jar_sent_twice_is_one_jar(client, trial, at, two):
    for _ in range(2):
        assert client.post(at("shake", "new-jar"), data={**JAR, "source": two[1], "entry_id": FIRST_ID}).status_code == 303
    assert [fact.id for fact in trial.state.all("jar")] == [FIRST_ID]


def test_a_reading_without_a_time_takes_it_from_the_clock(client, trial, at, clock, two):
    jar = jar_of(trial, two[1])
    trial.write("jar_stands", {"jar": jar})
    clock.ahead(minutes=7.5)
    client.post(at("shake", "jar", jar, "reading"), data={"layer": "bed", "height": "30", "height_unit": "mm"})
    (reading,) = trial.state.all("jar_reading")
    assert reading.needed("after") == pytest.approx(7.5)


def test_what_cannot_be_read_comes_back_as_typed(client, trial, at, two):
    jar = jar_of(trial, two[1])
    wrong = {"after": "9", "after_unit": "min", "layer": "bed", "height": "abc"}
    sent = client.post(at("shake", "jar", jar, "reading"), data=wrong)
    assert sent.status_code == 422
    assert 'value="abc"' in sent.text and "cannot be read as a number" in sent.text
    sent = client.post(at("shake", "new-jar"), data={"source": two[1], "fill": "fifty", "fill_unit": "mm"})
    assert sent.status_code == 422 and 'value="fifty"' in sent.text
    sent = client.post(at("blend", "keep"), data={"parts-0-source": two[0], "parts-0-parts": "2.5"})
    assert sent.status_code == 422 and 'value="2.5"' in sent.text


def test_an_absurd_height_is_kept_and_asked_about_on_the_jars_page(client, trial, at, two):
    jar = jar_of(trial, two[1])
    client.post(
        at("shake", "jar", jar, "reading"),
        data={"after": "24", "after_unit": "h", "layer": "bed", "height": "400", "height_unit": "mm"},
    )
    shown = client.get(at("shake", "jar", jar)).text
    assert "A height of 400 mm lies above the water surface at 150 mm." in shown
    assert len(trial.state.all("jar_reading")) == 1


@pytest.mark.parametrize(("fill", "water"), [("160", "150"), ("0", "150"), ("50", "-1"), ("50", "90000")])
def test_a_jar_that_cannot_be_still_has_its_page(client, trial, at, two, fill, water):
    jar = client.post(at("shake", "new-jar"), data={**JAR, "fill": fill, "water": water, "source": two[1]}).headers["location"]
    for page in (jar, at("shake"), at("shake", "source", two[1]), at("blend"), at("today")):
        assert client.get(page).status_code == 200
    data = {"after": "1", "after_unit": "min", "layer": "bed", "height": "20", "height_unit": "mm"}
    assert client.post(jar.split("?")[0] + "/reading", data=data).status_code == 303
    assert client.get(jar).status_code == 200


def test_the_page_of_a_source_shows_ranges_working_and_what_it_is_not(client, trial, at, two):
    shown = client.get(at("shake", "source", two[1])).text
    assert "Only a guess, no jar" in shown
    assert "x_2000 + 0.5 * (x_2001 - x_2000)" in shown
    assert "4000 draws" in shown
    assert re.search(r"likely \d+ to \d+\u202f%", shown)
    jar = jar_of(trial, two[1])
    body = {"jar": jar, "after": quantity("24", "h"), "layer": "bed", "height": quantity("48", "mm")}
    trial.write("jar_reading", body)
    shown = client.get(at("shake", "source", two[1])).text
    assert "From 1 jar and 1 guess" in shown
    assert "not of layer height" in shown and "No dispersant in the jar" in shown


def test_three_offers_with_names_and_one_tap_keeps_one(client, trial, at, two):
    shown = client.get(at("blend")).text
    names = re.findall(r"<h2>(Bank sand \d : Red clay \d)</h2>", shown)
    assert len(set(names)) == 3
    form = re.search(r'action="[^"]*/blend/keep".*?</form>', shown, re.S).group(0)
    fields = dict(re.findall(r'name="(parts-[^"]+)" value="([^"]+)"', form))
    kept = client.post(at("blend", "keep"), data={**fields, "entry_id": FIRST_ID})
    assert kept.headers["location"].startswith(at("blend", "kept", FIRST_ID))
    again = client.get(at("blend")).text
    assert "Kept: look at it" in again
    assert [fact.id for fact in trial.state.all("blend")] == [FIRST_ID]


def test_a_kept_blend_has_its_figures_windows_and_next_steps(client, trial, at, two, project):
    parts = [{"source": two[0], "parts": 5}, {"source": two[1], "parts": 2}]
    blend = trial.write("blend", {"parts": parts})
    trial.write("project", {"name": "Test wall", "dose_basis": "of_dry_soil"}, replaces=(project,))
    shown = client.get(at("blend", "kept", blend)).text
    assert "Bank sand 5 : Red clay 2" in shown
    assert "ARS 680:1996" in shown and "from memory" in shown
    assert f"preset_blend={blend}&amp;preset_basis=of_dry_soil" in shown
    assert f"preset_about={blend}" in shown
    assert "for cement: clay 10 to 20\u202f%" in shown
    assert "for lime: clay 15 to 30\u202f%" in client.get(at("blend", "kept", blend) + "?for=lime").text


def test_a_source_nobody_knows_is_named(client, trial, at, two):
    trial.write("source", {"name": "Quarry fines"})
    shown = client.get(at("blend")).text
    assert "Nothing is known of Quarry fines yet." in shown


def test_without_two_known_sources_it_says_what_is_missing(client, trial, at):
    assert "A blend needs two soils" in client.get(at("blend")).text
    trial.source("Bank sand", "28.4")
    trial.source("Red clay", "22.4")
    assert "Two sources must be known first" in client.get(at("blend")).text


@pytest.mark.parametrize("query", ["for=glue", "source=nowhere", "scarce=nowhere", "source=", "for=lime&source=a&source=b"])
def test_a_strange_address_is_no_failure(client, at, two, query):
    assert client.get(at("blend") + "?" + query).status_code == 200


def test_what_is_not_here_is_said(client, at, two):
    for parts in (("shake", "source", "x"), ("shake", "jar", two[0]), ("blend", "kept", two[0])):
        assert client.get(at(*parts)).status_code == 404


def test_a_negative_part_is_kept_asked_about_and_its_page_says_so(client, trial, at, two):
    data = {"parts-0-source": two[0], "parts-0-parts": "-5", "parts-1-source": two[1], "parts-1-parts": "2"}
    kept = client.post(at("blend", "keep"), data=data).headers["location"]
    assert "whole parts from 1 up" in client.get(kept).text
    assert client.get(at("blend")).status_code == 200


def test_all_ratios_against_several_windows(client, trial, at, two):
    """Windows chosen together, a soil spared, wrong things in the address: a page each time, never a fault."""
    page = client.get(at("blend", "search"), params={"window": ["cement", "ars680-sand"], "scarce": two[1], "total": "12"})
    assert page.status_code == 200
    assert "ratios were screened in 500 possible worlds" in page.text
    assert "ARS 680:1996: sand" in page.text
    assert page.text.count("Keep Bank sand") + page.text.count("Keep Red clay") >= 2
    assert "in every window with" in page.text
    wrong = client.get(at("blend", "search"), params={"window": ["nonsense"], "source": ["x"], "scarce": "y", "total": "9999"})
    assert wrong.status_code == 200
    kept = trial.write("blend", {"parts": [{"source": two[0], "parts": 5}, {"source": two[1], "parts": 2}]})
    assert "Bank sand damp instead of dry" in client.get(at("blend", "kept", kept)).text


def test_a_search_without_two_known_soils_says_why(client, trial, at):
    assert "two" in client.get(at("blend", "search")).text.lower()
