"""Two people corrected one reading without knowing of each other: asked about, settled by a tap, both kept, the chosen counts."""

import re
import sqlite3
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import start
from tests.project.pressed import Bench

from loamwright.notebook.entry import new_id
from loamwright.notebook.store import open_notebook
from loamwright.project.desk import Desk, Hand

pytestmark = pytest.mark.browser


@pytest.fixture
def contested(tmp_path: Path) -> Iterator[tuple[str, str, str, Path]]:
    """Address of the program, project, a weighing of 10.4 kg that Ana made 10.6 kg and Ben, a minute later, 10.9 kg; the file."""
    path = tmp_path / "bench.notebook"
    notebook = open_notebook(path)
    desk = Desk(notebook)
    minutes = iter(range(60))
    now = datetime.now(timezone(timedelta(hours=0))).replace(hour=8, minute=0, second=0, microsecond=0) - timedelta(days=1)
    opened = desk.open_project({"name": "Test wall"}, Hand(now))
    desk.keep([opened])
    bench = Bench(desk, opened.id, lambda: Hand(now + timedelta(minutes=next(minutes)), by="MB"))
    bench.weighed_batch()
    weighing = bench.state.all("weighing")[0]
    made = []
    for who, mass in (("Ana", "10.6 kg"), ("Ben", "10.9 kg")):
        body = bench.body("weighing", batch=weighing["batch"], what="soil", mass=mass)
        hand = Hand(now + timedelta(minutes=next(minutes)), by=who)
        made.append(desk.entry("weighing", body, hand, project=opened.id, replaces=(weighing.head,), reason="read wrong"))
    desk.keep(made)
    notebook.close()
    process, address = start(path)
    yield address, opened.id, weighing.id, path
    process.terminate()
    process.wait(10)
    process.stdout and process.stdout.close()


def masses(path: Path) -> int:
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as connection:
        return int(connection.execute("SELECT count(*) FROM entry WHERE kind = 'weighing' AND body LIKE '%soil%'").fetchone()[0])


def question(page: Page):
    return page.locator(".question").filter(has_text="Which one counts?")


def test_a_contested_reading_is_settled_by_a_tap(contested: tuple[str, str, str, Path], phone: Page) -> None:
    address, project, weighing, path = contested
    phone.goto(f"{address}/p/{project}/today")
    asked = question(phone)
    expect(asked).to_have_count(1)
    # Each tap says what sets its version apart, and who wrote it; until one is tapped the later is computed with.
    expect(asked.get_by_role("button")).to_have_text(
        [re.compile(r"Mass 10\.9\skg \(Ben, "), re.compile(r"Mass 10\.6\skg \(Ana, ")]
    )
    before = masses(path)
    assert before == 3
    asked.get_by_role("button", name="Ana").click()
    expect(phone.locator("[data-kept]")).to_contain_text(re.compile(r"10\.6\skg"))
    expect(question(phone)).to_have_count(0)
    assert masses(path) == before + 1  # nothing is taken away, one entry says which counts

    phone.goto(f"{address}/p/{project}/entry/{weighing}")
    expect(question(phone)).to_have_count(0)
    expect(phone.locator("main dl")).to_contain_text(re.compile(r"10\.6\skg"))
    record = phone.locator("main ol.due > li")
    expect(record).to_have_count(4)
    expect(record.filter(has_text="This counts.")).to_have_count(1)
    expect(record.filter(has_text="This counts.")).to_contain_text("chosen of two")
    expect(record.filter(has_text="Ben")).to_contain_text("Replaced.")
    # Undone, the tap gives way to what was before it: the later of the two.
    record.filter(has_text="This counts.").get_by_role("button", name="Undo this").click()
    expect(phone.locator("main dl")).to_contain_text(re.compile(r"10\.9\skg"))


def test_the_page_of_the_entry_settles_it_too_and_a_double_tap_does_it_once(
    contested: tuple[str, str, str, Path], chromium: Browser
) -> None:
    address, project, weighing, path = contested
    context = chromium.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=True)
    page = context.new_page()
    page.goto(f"{address}/p/{project}/entry/{weighing}")
    expect(question(page).get_by_role("button")).to_have_count(2)
    sent = page.evaluate(
        """async (id) => {
          const form = document.querySelector(".question form");
          const body = new URLSearchParams(new FormData(form));
          body.set("entry_id", id);
          body.set("settle", form.querySelector("button[name=settle]").value);
          const post = () => fetch(form.action, {method: "POST", body});
          return (await Promise.all([post(), post()])).map(answer => answer.status);
        }""",
        new_id(),
    )
    assert sent == [200, 200]
    page.reload()
    expect(question(page)).to_have_count(0)
    expect(page.locator("main dl")).to_contain_text(re.compile(r"10\.9\skg"))
    assert masses(path) == 4
    # A tap on a page that was open before it was settled says so, and changes nothing.
    old = page.request.post(f"{address}/p/{project}/answer", form={"settle": weighing})
    assert old.status == 422
    assert "Something newer already stands in the place" in old.text()
    context.close()


def test_without_a_script_the_tap_works_as_well(contested: tuple[str, str, str, Path], chromium: Browser) -> None:
    address, project, weighing, path = contested
    context = chromium.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{address}/p/{project}/entry/{weighing}")
    question(page).get_by_role("button", name="Ana").click()
    expect(question(page)).to_have_count(0)
    expect(page.locator("main dl")).to_contain_text(re.compile(r"10\.6\skg"))
    assert masses(path) == 4
    context.close()
