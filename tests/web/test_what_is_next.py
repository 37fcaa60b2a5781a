"""What is next stands first: the batch in hand, the source not weighed yet, the dose that bags cannot reach; forms ask little first."""

import html
import re

import pytest


@pytest.fixture
def soils(bench):
    """Bank sand 5 : Red clay 2, pails dry-weighed 28.4 and 22.4 kg: (30.82 - 1) / 1.05 and (24.52 - 1) / 1.05."""
    soils = bench.five_to_two()
    sand, clay, pail, blend, cement = (soils[name] for name in ("sand", "clay", "container", "blend", "cement"))
    mix = bench.write("mix", blend=blend, stabiliser=cement, dose="6 %", basis="of_total_dry_mix")
    return {"sand": sand, "clay": clay, "pail": pail, "blend": blend, "mix": mix}


def plain(markup):
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", markup)))


def next_of(client, address):
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    found = re.search(r'<section class="next".*?</section>', answer.text, re.S)
    return plain(found.group()) if found else ""


def open_batch(client, home, mix):
    data = {"preset_mix": mix, "soil_wanted": "10.5", "soil_wanted_unit": "kg", "water_wanted": "10", "water_wanted_unit": "pct"}
    return client.post(f"{home}/weigh/open", data=data).headers["location"].split("?")[0]


def test_a_mix_that_waits_for_the_press_comes_before_everything_else(client, home, soils):
    batch = open_batch(client, home, soils["mix"])
    open_batch(client, home, soils["mix"])  # a second one, not begun: newer, but it loses nothing by waiting
    for mass in ("10.5", "0.638", "0.5"):
        what = re.search(r'name="what" value="(\w+)"', client.get(batch).text)
        client.post(f"{batch}/weighing", data={"what": what.group(1), "mass": mass, "mass_unit": "kg"})
    client.post(f"{batch}/stabiliser-in", data={})
    assert "Press the blocks of Batch 1" in next_of(client, f"{home}/today")
    assert "Press the blocks of Batch 1" in next_of(client, f"{home}/dig")


def test_damp_soil_is_told_by_pile(client, home, soils):
    # 10.5 kg at 5 %: 10.0 kg dry; 5 x 28.4 : 2 x 22.4 = 142 : 44.8, so 7.602 and 2.398 kg dry, 7.982 and 2.518 kg damp
    told = next_of(client, open_batch(client, home, soils["mix"]))
    assert re.search(r"Bank sand 7\.98\d.kg and Red clay 2\.5(15|20).kg", told), told


def test_a_source_says_what_to_measure_next(client, home, bench):
    source = bench.write("source", name="Hill loam")
    page = f"{home}/dig/source/{source}"
    assert "Weigh three pails" in next_of(client, page)
    pail = bench.write("container", name="pail", volume="10 l", tare="0.5 kg")
    bench.write("pail_weighing", source=source, container=pail, gross=["12 kg"] * 3)
    assert "Pan test" in next_of(client, page)
    bench.write("pan_test", about=source, wet="525 g", dry="500 g")
    assert "stop questions" in next_of(client, page)


def test_a_form_asks_what_is_needed_and_folds_the_rest(client, home, bench):
    form = client.get(f"{home}/write/source").text
    first, more = form.split("More, if known")
    assert 'name="name"' in first and 'name="price"' not in first and 'name="price"' in more
    source = bench.write("source", name="Hill loam", price="12")
    assert 'name="price"' in client.get(f"{home}/correct/{source}").text.split("More, if known")[0]


def test_a_form_that_lacks_a_pail_leads_to_naming_one_and_back(client, home, bench):
    source = bench.write("source", name="Hill loam")
    form = client.get(f"{home}/write/pail_weighing?preset_source={source}").text
    link = html.unescape(re.search(r'href="([^"]*/write/container[^"]*)"', form).group(1))
    named = client.get(link).text
    back = html.unescape(re.search(r'name="back" value="([^"]*)"', named).group(1))
    kept = client.post(f"{home}/write/container", data={"back": back, "name": "pail", "volume": "10", "volume_unit": "l"})
    assert f"preset_source={source}" in kept.headers["location"]


def test_bags_that_miss_the_dose_are_not_put_first(client, home, bench, soils):
    # one set holds 5 x 28.4 + 2 x 22.4 = 186.8 kg dry; 25 kg of cement makes 25 / 211.8 = 11.80 %, 6 % takes 186.8 x 0.06 / 0.94
    bench.write("mixer", name="small mixer", usable_volume="150 l")
    bench.press("295 mm", "140 mm", block_height="90 mm", rate="2 per_min")
    choice = bench.write("choice", mix=soils["mix"], reason="for the test")
    told = next_of(client, f"{home}/make")
    assert re.search(r"cement, weighed 11\.92.kg", told), told
    assert "Keep this recipe" not in told and "11.80" not in told
    page = plain(client.get(f"{home}/make").text)
    assert re.search(r"11\.80.% of the total dry mix", page)
    state = {"choice": choice, "sets": "1", "half_bags": "1"}
    kept = client.post(f"{home}/make", data=state)
    assert "Not the chosen mix: 11.80" in next_of(client, kept.headers["location"]).replace("\u202f", " ")
