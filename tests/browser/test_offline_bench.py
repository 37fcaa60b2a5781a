"""The bench on a phone without a network, in a real Chromium against the real program: open it once, work, lose the phone's power."""

import io
import json
import os
import shutil
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect
from tests.browser.conftest import PHONE, start
from tests.browser.faults import Network

from loamwright.notebook import store
from loamwright.notebook.entry import Entry
from loamwright.notebook.kinds import kind_named
from loamwright.notebook.store import read_blob
from loamwright.project import carried, planning, telling
from loamwright.project.desk import Desk, Hand
from loamwright.project.state import State, fold

pytestmark = pytest.mark.browser

SCREENS = ("", "/weigh", "/press", "/break", "/write", "/plan", "/choose", "/make", "/asked", "/waiting", "/charts")
TARGETS = ("soil_kg", "dry_soil_kg", "soil_water_content", "stabiliser_of_total", "stabiliser_kg", "water_kg")
READY = "() => navigator.serviceWorker.controller !== null"


@dataclass
class Site:
    """A demo notebook, the program that serves it, the network before it, and the folder a phone's browser keeps its things in."""

    notebook: Path
    network: Network
    stop: Any
    browser: Browser
    profile: Path
    program: str

    def switch_on(self) -> tuple[BrowserContext, Page]:
        """The phone's browser, with all that it kept before it was switched off."""
        context = self.browser.browser_type.launch_persistent_context(
            str(self.profile),
            executable_path=self.program,
            args=["--no-sandbox", "--disable-background-networking"],
            viewport={"width": PHONE["width"], "height": PHONE["height"]},
            has_touch=True,
            is_mobile=True,
        )
        return context, fresh_page(context)

    @property
    def address(self) -> str:
        return self.network.address

    def written_by_phone(self) -> tuple[Desk, list[Entry], Any]:
        """What the notebook holds of the phone once the program is stopped."""
        self.stop()
        notebook = store.open_notebook(self.notebook)
        entries, _ = store.read_entries(notebook)
        lease = next(entry for entry in entries if entry.kind == "mark_lease")
        device = lease.body["device"]
        return Desk(notebook), [entry for entry in entries if entry.device == device and entry.kind != "mark_lease"], notebook


def fresh_page(context: BrowserContext) -> Page:
    page = context.new_page()
    page.set_default_timeout(15_000)
    return page


@pytest.fixture
def site(tmp_path: Path, chromium: Browser) -> Iterator[Site]:
    process, address = start(tmp_path / "bench.notebook", "--demo")
    network = Network(address)

    def stop() -> None:
        if process.poll() is None:
            process.terminate()
            process.wait(10)
            if process.stdout is not None:
                process.stdout.close()

    program = os.environ.get("LOAMWRIGHT_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser") or ""
    yield Site(tmp_path / "bench.notebook", network, stop, chromium, tmp_path / "phone", program)
    stop()
    network.close()


# --- what a person does ---


def take_along(page: Page, address: str, person: str = "Ines") -> None:
    """Open Today, take the project to the bench, say who is there; wait until the phone holds the pages."""
    page.goto(address + "/")
    page.get_by_role("link", name="Take this project to the bench").click()
    page.get_by_role("button", name=person).click()
    expect(page.get_by_role("heading", name="Due")).to_be_visible()
    page.wait_for_function(READY)


def go_to(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_selector("body[data-drawn]")


def open_batch(page: Page, address: str, mix: int, soil: str) -> None:
    go_to(page, address + "/bench")
    page.get_by_role("link", name="Weigh", exact=True).click()
    page.locator("h2:has-text('Open a batch of') + ul a").nth(mix).click()
    page.fill("#soil_wanted", soil)
    page.get_by_role("button", name="Open it").click()
    expect(page.get_by_text("Weigh now")).to_be_visible()


def weigh_all(page: Page) -> list[str]:
    """Weigh what is ordered, three times, and say that the stabiliser is in; gives the three orders."""
    ordered = []
    for left in (2, 1, 0):
        order = page.locator(".next .order .number").inner_text().replace("\u202f", " ")
        ordered.append(order)
        page.fill("#mass", order)  # a scale that types says its unit as well
        page.keyboard.press("Enter")
        expect(page.locator("#mass")).to_have_count(1 if left else 0)
        expect(page.get_by_role("heading", name="Weighed so far").locator("+ ul li")).to_have_count(3 - left)
    page.get_by_role("button", name="Stabiliser is in").click()
    expect(page.get_by_text("since the")).to_be_visible()
    return ordered


def press_block(page: Page, gauge: str, mass: str, height: str) -> str:
    mark = page.input_value("#mark")
    page.fill("#gauge", gauge)
    page.fill("#green_mass", mass)
    page.fill("#height", height)
    page.get_by_role("button", name="Keep this block").click()
    expect(page.get_by_text(f"Block {mark}", exact=True)).to_be_visible()
    return mark


def crush(page: Page, address: str, mark: str, load: str) -> str:
    """Find a block by its mark, crush it whole; gives the strength as shown."""
    go_to(page, address + "/bench/break")
    if page.get_by_role("link", name="Another block").count():
        page.get_by_role("link", name="Another block").click()
    page.fill("#mark", mark)
    page.get_by_role("button", name="Open this block").click()
    page.get_by_role("link", name="Crush it whole").click()
    expect(page.locator(".next .order .does")).to_have_text("Crush it whole")
    page.fill("#load", load)
    page.get_by_role("button", name="Keep this test").click()
    return page.locator(".figure .value").first.inner_text().replace("\u202f", " ")


def send_all(site: Site, context: BrowserContext, page: Page) -> None:
    """The network is back: all that waits goes out, and the phone is switched off."""
    site.network.down = False
    go_to(page, site.address + "/bench/waiting")
    expect(page.get_by_text("Everything is sent.").or_(page.get_by_role("button", name="Send now"))).to_be_visible()
    if page.get_by_role("button", name="Send now").count():
        page.get_by_role("button", name="Send now").click()
    expect(page.get_by_text("Everything is sent.")).to_be_visible()
    context.close()


def axe_finds_nothing(page: Page) -> None:
    found = Axe().run(page).response["violations"]
    assert not found, json.dumps([(each["id"], [node["html"] for node in each["nodes"]]) for each in found], indent=1)


# --- the test that decides ---


def test_two_new_batches_weighed_pressed_and_broken_without_a_network_arrive_once(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    marks: list[str] = []
    for mix in (0, 1):
        open_batch(page, site.address, mix, "12")
        weigh_all(page)
        page.get_by_role("link", name="Press its blocks").click()
        marks += [press_block(page, "12", "2.20", "75"), press_block(page, "12", "2.21", "75")]
    assert len(set(marks)) == 4
    # 28 kN on 120 mm by 120 mm: 28 000 / 14 400 = 1.944 N/mm².
    assert crush(page, site.address, marks[0], "28") == "1.94 MPa"
    waits = "15 not sent yet"  # 2 batches, 6 weighings, 2 taps, 4 blocks, 1 crushed
    expect(page.locator("[data-unsent]")).to_have_text(waits)

    page.close()  # the tab is killed, then the phone runs out of power
    page = fresh_page(context)
    go_to(page, site.address + "/bench/waiting")
    expect(page.locator("[data-unsent]")).to_have_text(waits)
    context.close()
    context, page = site.switch_on()
    go_to(page, site.address + "/bench")
    expect(page.locator("[data-unsent]")).to_have_text(waits)
    expect(page.get_by_role("link", name="Press its blocks")).to_be_visible()

    send_all(site, context, page)

    desk, entries, notebook = site.written_by_phone()
    try:
        counts = {kind: sum(1 for entry in entries if entry.kind == kind) for kind in {entry.kind for entry in entries}}
        assert counts == {"batch": 2, "weighing": 6, "stabiliser_in": 2, "block": 4, "crush": 1}
        assert {entry.by for entry in entries} == {"Ines"}
        assert sorted(entry.body["mark"] for entry in entries if entry.kind == "block") == sorted(marks)
        assert not store.read_aside(notebook)
        targets_are_the_servers(desk, entries)
        crushed = desk.state(entries[0].project).all("crush")
        assert [fact.needed("load") for fact in crushed if fact.device == entries[0].device] == [28.0]
    finally:
        notebook.close()


def targets_are_the_servers(desk: Desk, entries: list[Entry]) -> None:
    """What the phone told a person when it opened a batch is what the program tells from the same notebook."""
    batches = [entry for entry in entries if entry.kind == "batch"]
    assert batches
    everything, _ = store.read_entries(desk.notebook)
    before = fold([entry for entry in everything if entry not in entries], entries[0].project)
    for entry in batches:
        told = entry.body["targets"]
        body = {name: value for name, value in entry.body.items() if name != "targets"}
        mine = telling.with_told(before, "batch", body, entry_id=entry.id, at=entry.at)["targets"]
        assert told.keys() == mine.keys()
        assert {name: told[name] for name in TARGETS} == pytest.approx({name: mine[name] for name in TARGETS}, rel=0, abs=1e-9)
        assert (told["target_water_content"], told["scale_step_kg"]) == pytest.approx(
            (mine["target_water_content"], mine["scale_step_kg"]), rel=0, abs=1e-9
        )
        assert (told["stood_on"], told["version"]) == (mine["stood_on"], mine["version"])


# --- screens ---


def test_axe_finds_nothing_on_the_bench_and_nothing_sticks_out(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    seen = []

    def look() -> None:
        axe_finds_nothing(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        seen.append(page.locator("h1").inner_text())

    for screen in SCREENS:
        go_to(page, site.address + "/bench" + screen)
        look()
    open_batch(page, site.address, 0, "12")
    look()
    weigh_all(page)
    look()
    page.get_by_role("link", name="Press its blocks").click()
    press_block(page, "12", "2.20", "75")
    look()
    go_to(page, site.address + "/bench/write")
    page.get_by_role("link", name=kind_named("jar").label).click()
    look()
    assert len(set(seen)) >= 12
    context.close()


# --- plan, choose, make, answer, show ---


def picture() -> bytes:
    """A photo larger than what is kept, as a camera gives it."""
    out = io.BytesIO()
    Image.new("RGB", (2400, 1800), "#a8703c").save(out, "JPEG")
    return out.getvalue()


def screen(page: Page, address: str, name: str, button: str) -> None:
    """Tap a button of a screen of the bench, and see that it was kept."""
    go_to(page, address + "/bench" + name)
    page.get_by_role("button", name=button).first.click()
    expect(page.locator(".kept")).to_contain_text("Kept:")


def slip(desk: Desk, hand: Hand, project: str) -> str:
    """A batch opened at the desk with a weighing whose decimal slipped: undone, and asked about, at the bench."""
    mix, kilograms = desk.state(project).all("mix")[0].id, {"typed": "12", "number": 12, "unit": "kg"}
    batch = desk.entry("batch", {"mix": mix, "soil_wanted": kilograms}, hand, project=project)
    slipped = {"typed": "120", "number": 120, "unit": "kg"}
    weighed = desk.entry("weighing", {"batch": batch.id, "what": "soil", "mass": slipped}, hand, project=project)
    desk.keep([batch, weighed])
    return weighed.id


def test_plan_answer_photo_choice_and_recipe_are_made_without_a_network_and_arrive_once(site: Site) -> None:
    """The rest of the path, and a slip made elsewhere undone: what the program told with the sheet stands in the entries."""
    notebook = store.open_notebook(site.notebook)
    desk = Desk(notebook)
    project = desk.projects()[0].project
    slips = {slip(desk, Hand(datetime.now().astimezone(), by="MB"), project) for _ in range(2)}
    notebook.close()
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True

    screen(page, site.address, "/plan", "Keep: Usual")
    page.locator(".next").get_by_role("link", name="Open this batch").click()
    soil = page.input_value("#soil_wanted")
    page.get_by_role("button", name="Open it").click()
    expect(page.get_by_text("Weigh now")).to_be_visible()
    weigh_all(page)
    page.get_by_role("link", name="Press its blocks").click()
    mark = press_block(page, "12", "2.20", "75")
    page.get_by_text(f"Photo of Block {mark}").click()
    page.set_input_files("input[type=file]", {"name": "crack.jpg", "mimeType": "image/jpeg", "buffer": picture()})
    page.fill("#note", "crack along the long side")
    page.get_by_role("button", name="Keep the photo").click()
    expect(page.locator(".kept")).to_contain_text(f"Photo: Block {mark}, crack along the long side")
    axe_finds_nothing(page)

    go_to(page, site.address + "/bench/asked")
    questions = page.locator(".question")
    asked = questions.count()
    questions.filter(has=page.get_by_role("button", name="Leave it out")).last.get_by_role("button", name="It stands").click()
    expect(questions).to_have_count(asked - 1)
    page.locator(".question", has_text="Two corrections").locator("button").first.click()
    expect(questions).to_have_count(asked - 2)

    go_to(page, site.address + "/bench/weigh")
    page.get_by_role("link", name="Another batch").click()
    page.locator("h2:has-text('Batches') + ul a", has_text="stabiliser next").last.click()
    page.get_by_role("button", name="120\u202fkg").click()
    expect(page.locator(".next .order .does")).to_have_text("Damp soil")

    go_to(page, site.address + "/bench/choose")
    expect(page.get_by_text("blocks broken since are not in it")).to_be_visible()
    page.fill("#reason", "cheapest that passes")
    page.get_by_role("button", name="Choose this mix").click()
    page.get_by_role("link", name="Turn it into pails and bags").click()
    page.get_by_role("button", name="Keep this recipe").click()
    expect(page.locator(".kept")).to_contain_text("Kept: Recipe")
    send_all(site, context, page)

    desk, entries, notebook = site.written_by_phone()
    try:
        counts = Counter(entry.kind for entry in entries)
        assert counts == {
            **dict.fromkeys(("plan", "batch", "stabiliser_in", "block", "photo", "answer", "jar_reading", "choice", "recipe"), 1),
            "weighing": 4,  # three of the new batch, and the slip undone
        }
        assert not store.read_aside(notebook)
        by_kind = {entry.kind: entry for entry in entries}
        state = desk.state(project)
        before = fold([entry for entry in store.read_entries(notebook)[0] if entry not in entries], project)
        told_is_the_servers(before, by_kind)
        plan = planning.plan_view(state, by_kind["plan"].id)
        (pressed,) = [row for row in plan.rows if row.batch is not None]
        assert (pressed.row, pressed.marks[0], by_kind["block"].body["mark"]) == (1, mark, mark)
        assert float(soil) == pytest.approx(planning.soil_for_row(state, plan.fact, pressed, pressed.mixes[0]), abs=0.05)
        data = read_blob(notebook, by_kind["photo"].body["blob"])
        assert data is not None
        assert Image.open(io.BytesIO(data)).size == (1600, 1200)
        assert by_kind["photo"].body["of"] == by_kind["block"].id
        (undone,) = [entry for entry in entries if entry.kind == "weighing" and entry.withdraws]
        assert slips.issuperset(undone.replaces)
        assert state.answered(by_kind["answer"].body["question"], by_kind["answer"].body["about"])
        assert not state.contested()
    finally:
        notebook.close()


TOLD = {"plan": "needs", "choice": "stood_on", "recipe": "shown"}


def told_is_the_servers(before: State, by_kind: dict[str, Entry]) -> None:
    """Plan, choice and recipe tell what the program told from the notebook as it was when the phone was last in touch."""
    known = before.grown([by_kind["choice"]])  # the recipe is of a choice that the program had not heard of yet
    for kind, name in TOLD.items():
        entry = by_kind[kind]
        asked = {key: value for key, value in entry.body.items() if key not in (name, "rows")}
        mine = telling.with_told(known if kind == "recipe" else before, kind, asked, entry_id=entry.id, at=entry.at)
        told = dict(entry.body[name])
        assert datetime.fromisoformat(told.pop("as_of")) <= datetime.fromisoformat(entry.at)
        assert told == mine[name]
        if kind == "plan":
            rows = entry.body["rows"]
            assert [{**row, "marks": ""} for row in rows] == [{**row, "marks": ""} for row in mine["rows"]]
            marks = [mark for row in rows for mark in row["marks"]]
            assert len(set(marks)) == sum(len(row["fates"]) for row in rows) > 0
            leased = {mark for lease in before.all("mark_lease") for mark in carried.free_marks(before, lease["device"])}
            assert leased.issuperset(marks)


WRITTEN = {
    "brief": {"mean_least": "2,4", "n": "5"},
    "proving_batch": {"blocks": "96", "soaked": "3", "whole_after_soak": "3"},
    "morning_check": {"water_volume": "10", "water_mass": "10.1"},
    "note": {"text": "dry wind"},
}


def test_the_rest_of_the_path_is_written_down_without_a_network(site: Site) -> None:
    """A brief, a proving batch, the morning check and a note: figures told by the program aside, every kind can be kept."""
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    for kind, texts in WRITTEN.items():
        go_to(page, site.address + "/bench")
        page.get_by_role("link", name="Write anything else").click()
        page.get_by_role("link", name=kind_named(kind).label, exact=True).click()
        page.wait_for_selector("form")
        page.locator("details:not([open]) > summary").evaluate_all("all => all.forEach(each => each.click())")
        for name, text in texts.items():
            page.fill(f"#{name}", text)
        page.get_by_role("button", name="Keep", exact=True).click()
        expect(page.get_by_text("Kept:").first).to_be_visible()
    send_all(site, context, page)
    _, entries, notebook = site.written_by_phone()
    notebook.close()
    kept = {entry.kind: entry.body for entry in entries}
    assert kept.keys() >= WRITTEN.keys()
    assert kept["brief"]["mean_least"] == {"typed": "2,4", "number": 2.4, "unit": "MPa"}
    assert kept["proving_batch"]["whole_after_soak"] == 3
    assert kept["morning_check"]["water_mass"]["number"] == 10.1


LIBRARY_KEPT = """async () => {
  for (const name of await caches.keys()) {
    const paths = (await (await caches.open(name)).keys()).map(request => new URL(request.url).pathname);
    if (paths.filter(path => path.startsWith("/static/vega/") && path.endsWith(".js")).length === 3) return true;
  }
  return false;
}"""


def test_charts_are_drawn_at_the_bench_without_a_network(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    page.wait_for_function(LIBRARY_KEPT)
    site.network.down = True
    go_to(page, site.address + "/bench")
    page.get_by_role("link", name="Charts").click()
    page.wait_for_selector("figure.chart")
    expect(page.locator("figure.chart img:not([src^=data])")).to_have_count(0)
    charts = page.locator("figure.chart")
    assert charts.count() >= 3
    assert all(width > 200 for width in charts.locator("img").evaluate_all("images => images.map(each => each.naturalWidth)"))
    charts.first.get_by_text("Its numbers").click()
    assert charts.first.locator("tbody tr").count() >= 2
    axe_finds_nothing(page)
    context.close()


def test_an_entry_is_undone_with_one_tap_and_both_stay_in_the_record(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    open_batch(page, site.address, 0, "12")
    page.fill("#mass", "99")
    page.keyboard.press("Enter")
    page.locator(".kept").get_by_role("button", name="Undo").click()
    expect(page.get_by_text("Undone:")).to_be_visible()
    expect(page.locator(".next .order .does")).to_have_text("Damp soil")
    page.fill("#mass", "12,005")
    page.keyboard.press("Enter")
    expect(page.locator(".next .order .does")).to_have_text("Stabiliser")
    send_all(site, context, page)
    desk, entries, notebook = site.written_by_phone()
    try:
        weighed = desk.state(entries[0].project).where("weighing", "batch", next(e.id for e in entries if e.kind == "batch"))
        assert [fact.needed("mass") for fact in weighed] == [12.005]
        assert sum(1 for entry in entries if entry.kind == "weighing") == 3  # the slip, its undoing, the right one
    finally:
        notebook.close()


def test_what_cannot_be_read_comes_back_with_a_sentence_and_nothing_is_kept(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    open_batch(page, site.address, 0, "12")
    page.fill("#mass", "about 3")
    page.keyboard.press("Enter")
    expect(page.locator("#mass-error")).to_contain_text("“about 3” cannot be read as a number.")
    assert page.input_value("#mass") == "about 3"
    expect(page.locator("[data-unsent]")).to_have_text("1 not sent yet")
    page.fill("#mass", "  +12.000 kg")  # as a scale types it
    page.keyboard.press("Enter")
    expect(page.locator(".next .order .does")).to_have_text("Stabiliser")
    page.fill("#mass", "1.4")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Too much stabiliser: put it right")).to_be_visible()
    context.close()


def test_a_hostile_name_is_shown_as_it_was_typed(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    name = "<img src=x onerror=alert(1)> =1+1"
    go_to(page, site.address + "/bench")
    page.get_by_role("button", name="Somebody else is at the bench").click()
    page.fill("#name", name)
    page.get_by_role("button", name="That is me").click()
    expect(page.locator("#who")).to_have_text(name)
    assert page.locator("main img, header img").count() == 0
    go_to(page, site.address + "/bench/waiting")
    expect(page.get_by_text(f"Person: {name}")).to_be_visible()
    context.close()


def test_a_scale_that_types_like_a_keyboard_fills_one_reading_after_the_other(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    site.network.down = True
    open_batch(page, site.address, 0, "12")
    page.locator("h1").click()
    page.keyboard.type("12.000 kg\n")  # no field was touched
    expect(page.locator(".next .order .does")).to_have_text("Stabiliser")
    page.locator("h1").click()
    page.keyboard.type("0.67 kg\n")
    expect(page.locator(".next .order .does")).to_have_text("Water")
    page.locator("h1").click()
    page.keyboard.type(".61\n")
    page.get_by_role("link", name="Press its blocks").click()
    page.focus("#green_mass")
    page.keyboard.type("2.200 kg\n")  # on to the height, which is needed
    page.keyboard.type("75\n")
    expect(page.locator(".due .more").first).to_contain_text("2.200\u202fkg, 75\u202fmm")
    context.close()


def test_a_page_of_the_server_keeps_its_weighing_when_the_network_goes(site: Site) -> None:
    context, page = site.switch_on()
    take_along(page, site.address)
    page.get_by_role("link", name="Today").click()
    page.goto(page.url.split("?")[0].replace("/today", "/weigh"))
    page.locator("h2:has-text('Open a batch of') + ul a").first.click()
    page.fill("#soil_wanted", "12")
    page.get_by_role("button", name="Open it").click()
    expect(page.get_by_text("Weigh now")).to_be_visible()
    site.network.down = True
    page.fill("#mass", "  12.000 kg")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Kept on this phone, not sent yet: Weighing")).to_be_visible()
    send_all(site, context, page)
    _, entries, notebook = site.written_by_phone()
    notebook.close()
    assert [entry.body["mass"]["number"] for entry in entries if entry.kind == "weighing"] == [12.0]
