"""Everything that goes wrong between a phone and the notebook, in a real browser against the real program: nothing is lost or doubled."""

import io
import random
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from playwright.sync_api import Browser, BrowserContext, Page, TimeoutError, expect
from tests.browser.conftest import PHONE, start
from tests.browser.faults import Network

from loamwright.notebook import store
from loamwright.notebook.entry import Entry
from loamwright.notebook.schema import ARRIVAL
from loamwright.project.desk import Desk, Hand

pytestmark = pytest.mark.browser

# Keeps notes under the names given, and gives back their ids; the last may say what they replace.
KEEP = """async ([project, texts, replaces]) => {
  const { makeEntry } = await import("/static/entries.js");
  const outbox = await import("/static/outbox.js");
  const [by, device] = [await outbox.person(), await outbox.device()];
  const ids = [];
  for (const text of texts) {
    const entry = makeEntry({ kind: "note", body: { text }, project, by, device, replaces, reason: replaces.length ? "read wrong" : "" });
    await outbox.keep(entry);
    ids.push(entry.id);
  }
  return ids;
}"""
SEND = """async () => {
  const outbox = await import("/static/outbox.js");
  return outbox.send();
}"""
STATUS = """async () => (await import("/static/outbox.js")).status()"""
IDS = """async () => (await (await import("/static/outbox.js")).all()).map((entry) => entry.id)"""


@dataclass
class Bench:
    """A notebook with one project, the program that serves it, and the network between it and phones."""

    path: Path
    project: str
    process: subprocess.Popen[str]
    network: Network

    @property
    def home(self) -> str:
        return f"{self.network.address}/p/{self.project}"

    def entries(self, kind: str = "note") -> list[Entry]:
        notebook = store.open_notebook(self.path)
        try:
            return [entry for entry in store.read_entries(notebook)[0] if entry.kind == kind]
        finally:
            notebook.close()

    def aside(self) -> list[Entry]:
        notebook = store.open_notebook(self.path)
        try:
            return store.read_aside(notebook)
        finally:
            notebook.close()

    def leads(self) -> dict[str, int | None]:
        """The lead of the sending phone's clock [ms], by entry."""
        notebook = store.open_notebook(self.path)
        try:
            with notebook.engine.connect() as connection:
                rows = connection.execute(sa.select(ARRIVAL.c.entry, ARRIVAL.c.clock_ahead_ms))
                return {row.entry: row.clock_ahead_ms for row in rows}
        finally:
            notebook.close()

    def stop(self) -> None:
        self.process.terminate()
        self.process.wait(10)
        if self.process.stdout:
            self.process.stdout.close()

    def restart_as(self, version: str) -> None:
        """The same notebook served by another version of the program."""
        self.stop()
        code = (
            f"import loamwright; loamwright.__version__ = {version!r}\n"
            "from loamwright.cli.main import main\n"
            f"main(['serve', '--port', '0', '--notebook', {str(self.path)!r}])"
        )
        self.process = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:\d+", self.process.stdout.readline())
        assert found
        self.network.target = found[0]


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    path = tmp_path / "bench.notebook"
    notebook = store.open_notebook(path)
    desk = Desk(notebook)
    first = desk.open_project({"name": "Test wall"}, Hand(datetime.now(timezone(timedelta(hours=2))), by="MB"))
    desk.keep([first])
    notebook.close()
    process, address = start(path)
    made = Bench(path, first.id, process, Network(address))
    yield made
    made.network.close()
    made.stop()


def phone_of(chromium: Browser, **more: Any) -> BrowserContext:
    context = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True, **more)
    context.set_default_timeout(15_000)
    return context


@pytest.fixture
def tab(chromium: Browser, bench: Bench) -> Iterator[Page]:
    """A phone that has opened Today once."""
    context = phone_of(chromium)
    page = context.new_page()
    page.goto(f"{bench.home}/today")
    taken_over(page)
    yield page
    context.close()


def until(page: Page, expression: str, seconds: float = 15) -> None:
    """Waits until an expression holds on the page, whose content policy lets nobody wait from within."""
    deadline = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < deadline, f"never came true: {expression}"
        time.sleep(0.05)


def taken_over(page: Page) -> None:
    """Waits until the worker serves this page and the bench sheet is on the phone."""
    until(page, "async () => (await navigator.serviceWorker.ready) && navigator.serviceWorker.controller !== null")
    until(page, "async () => (await (await import('/static/outbox.js')).sheets.get()) !== null")


def keep(page: Page, bench: Bench, *texts: str, replaces: tuple[str, ...] = ()) -> list[str]:
    return page.evaluate(KEEP, [bench.project, list(texts), list(replaces)])  # type: ignore[no-any-return]


def at_rest(*pages: Page) -> None:
    """Wait until no push is under way."""
    for page in pages:
        while page.evaluate(STATUS)["sending"]:
            page.wait_for_timeout(20)


def send_until_none_left(page: Page, tries: int = 60) -> None:
    for _ in range(tries):
        if page.evaluate(SEND)["left"] == 0:
            return
    pytest.fail(f"still waiting: {page.evaluate(STATUS)}")


def once_each(bench: Bench, ids: list[str]) -> None:
    found = [entry.id for entry in bench.entries()]
    assert sorted(found) == sorted(ids)
    assert bench.aside() == []


# --- the network ---


@pytest.mark.parametrize("deed", ["lose", "lose_answer", "fail", "twice", "reverse"])
def test_one_fault_of_the_network_loses_and_doubles_nothing(bench: Bench, tab: Page, deed: str) -> None:
    bench.network.down = True
    ids = keep(tab, bench, "one", "two", "three")
    expect(tab.locator("[data-unsent]")).to_have_text("3 not sent yet")
    bench.network.decide = lambda n: deed if n == 1 else "pass"
    bench.network.down = False
    send_until_none_left(tab)
    assert bench.network.did[0] == deed
    once_each(bench, ids)
    expect(tab.locator("[data-unsent]")).to_be_hidden()


def test_what_comes_late_after_newer_entries_changes_nothing(bench: Bench, tab: Page) -> None:
    bench.network.decide = lambda n: "late" if n == 1 else "pass"
    (first,) = keep(tab, bench, "four pails")
    send_until_none_left(tab)
    (second,) = keep(tab, bench, "five pails", replaces=(first,))
    send_until_none_left(tab)
    (said,) = bench.network.deliver_late()
    assert (said["had"], said["kept"]) == ([first], [])
    once_each(bench, [first, second])
    notebook = store.open_notebook(bench.path)
    fact = Desk(notebook).state(bench.project).fact(first, "note")
    assert (fact["text"], fact.contested) == ("five pails", ())
    notebook.close()


def test_a_correction_that_comes_before_what_it_corrects(bench: Bench, tab: Page) -> None:
    bench.network.down = True
    (first,) = keep(tab, bench, "four pails")
    (second,) = keep(tab, bench, "five pails", replaces=(first,))
    bench.network.decide = lambda n: "reverse"
    at_rest(tab)  # a push that began with the first alone is no push of both
    bench.network.down = False
    send_until_none_left(tab)
    assert [entry.id for entry in bench.entries()] == [second, first]
    notebook = store.open_notebook(bench.path)
    assert Desk(notebook).state(bench.project).fact(first, "note")["text"] == "five pails"
    notebook.close()


def test_it_goes_out_by_itself_when_the_network_comes_back(bench: Bench, tab: Page) -> None:
    tab.context.set_offline(True)
    ids = keep(tab, bench, "one", "two")
    tab.context.set_offline(False)
    expect(tab.locator("[data-unsent]")).to_be_hidden()
    once_each(bench, ids)


def test_it_goes_out_by_itself_on_a_timer(bench: Bench, tab: Page) -> None:
    bench.network.down = True
    ids = keep(tab, bench, "one")
    tab.evaluate(SEND)
    bench.network.down = False
    expect(tab.locator("[data-unsent]")).to_be_hidden(timeout=20_000)  # the first pause is 5 s, give or take a quarter
    once_each(bench, ids)


def test_an_add_while_a_push_is_under_way_goes_out_too(bench: Bench, tab: Page) -> None:
    ids = tab.evaluate(
        """async (project) => {
          const { makeEntry } = await import("/static/entries.js");
          const outbox = await import("/static/outbox.js");
          const device = await outbox.device();
          const note = (text) => outbox.keep(makeEntry({ kind: "note", body: { text }, project, device }));
          const first = await note("a"); // its push begins now
          const others = await Promise.all([note("b"), note("c"), note("d")]);
          await outbox.send();
          return [first, ...others];
        }""",
        bench.project,
    )
    once_each(bench, ids)
    assert tab.evaluate(STATUS)["waiting"] == 0


def test_two_tabs_of_one_phone_do_not_race(bench: Bench, tab: Page) -> None:
    other = tab.context.new_page()
    other.goto(f"{bench.home}/dig")
    bench.network.down = True
    ids = [*keep(tab, bench, "one", "two"), *keep(other, bench, "three")]
    at_rest(tab, other)
    bench.network.down = False
    pushes = bench.network.pushes
    tab.evaluate("dispatchEvent(new Event('online'))")
    other.evaluate("dispatchEvent(new Event('online'))")
    for page in (tab, other):
        expect(page.locator("[data-unsent]")).to_be_hidden()
    assert bench.network.pushes == pushes + 1
    once_each(bench, ids)


# --- people and phones ---


def test_two_phones_correcting_one_entry_are_both_kept_and_asked_about(chromium: Browser, bench: Bench, tab: Page) -> None:
    (first,) = keep(tab, bench, "four pails")
    send_until_none_left(tab)
    other_phone = phone_of(chromium)
    other = other_phone.new_page()
    other.goto(f"{bench.home}/today")
    taken_over(other)
    bench.network.down = True
    (one,) = keep(tab, bench, "five pails", replaces=(first,))
    (two,) = keep(other, bench, "six pails", replaces=(first,))
    bench.network.down = False
    send_until_none_left(other)
    send_until_none_left(tab)
    once_each(bench, [first, one, two])
    tab.goto(f"{bench.home}/entry/{first}")
    expect(tab.locator("main")).to_contain_text("Two corrections are both live")
    expect(tab.locator("main")).to_contain_text("five pails")
    expect(tab.locator("main")).to_contain_text("six pails")
    other_phone.close()


def test_each_entry_carries_who_was_at_the_bench(bench: Bench, tab: Page) -> None:
    bench.network.down = True
    who = """async (name) => (await import("/static/outbox.js")).setPerson(name)"""
    tab.evaluate(who, "Ana")
    keep(tab, bench, "hers")
    tab.evaluate(who, "Bo")
    keep(tab, bench, "his")
    bench.network.down = False
    send_until_none_left(tab)
    assert {entry.body["text"]: entry.by for entry in bench.entries()} == {"hers": "Ana", "his": "Bo"}
    tab.goto(f"{bench.home}/today")  # the page still has the older name; the phone's is newer and is told
    until(tab, "async () => (await (await import('/static/outbox.js')).values.get('person_told')) !== false")
    tab.goto(f"{bench.home}/today")
    expect(tab.locator("header .who")).to_contain_text("Bo")


def test_a_cookie_lost_while_there_was_no_network_loses_nothing(bench: Bench, tab: Page) -> None:
    tab.goto(f"{bench.home}/who")
    tab.get_by_label("Somebody else").fill("Ana")
    tab.get_by_role("button", name="That is me").click()
    expect(tab.locator("header .who")).to_contain_text("Ana")
    until(tab, "async () => (await (await import('/static/outbox.js')).person()) === 'Ana'")
    bench.network.down = True
    ids = keep(tab, bench, "one", "two")
    tab.context.clear_cookies()
    bench.network.down = False
    send_until_none_left(tab)
    once_each(bench, ids)
    assert {entry.by for entry in bench.entries()} == {"Ana"}


def test_a_phone_whose_clock_is_a_day_ahead_is_told_and_its_readings_are_put_right_by_a_note(
    chromium: Browser, bench: Bench
) -> None:
    context = phone_of(chromium)
    page = context.new_page()
    page.clock.set_system_time(datetime.now(UTC) + timedelta(days=1))
    page.goto(f"{bench.home}/today")
    taken_over(page)
    (first,) = keep(page, bench, "four pails")
    send_until_none_left(page)
    (entry,) = bench.entries()
    lead = datetime.fromisoformat(entry.at) - datetime.now(UTC)
    assert timedelta(hours=23, minutes=58) < lead <= timedelta(days=1)  # what the phone said is kept as it said it
    assert bench.leads()[first] == pytest.approx(86_400_000, abs=60_000)  # 24 × 60 × 60 × 1000 ms
    expect(page.locator("#clock-off")).to_contain_text("This phone's clock is 1 day ahead")
    page.get_by_role("link", name="Clock was wrong").click()
    page.get_by_label("Minutes to add").fill("-1440")
    page.get_by_role("button", name="Keep").click()
    page.wait_for_url("**/today?kept=*")
    notebook = store.open_notebook(bench.path)
    state = Desk(notebook).state(bench.project)
    assert abs(state.moment(state.fact(first, "note")) - datetime.now(UTC)) < timedelta(minutes=2)
    notebook.close()
    context.close()


# --- the phone itself ---


def test_a_phone_that_is_full_says_so_and_what_was_kept_before_still_goes_out(chromium: Browser, bench: Bench) -> None:
    context = phone_of(chromium)
    page = context.new_page()
    # Before the first page: the browser asks for the room left only now and then.
    context.new_cdp_session(page).send(
        "Storage.overrideQuotaForOrigin", {"origin": bench.network.address, "quotaSize": 6_000_000}
    )
    page.goto(f"{bench.home}/write/note")
    taken_over(page)
    bench.network.down = True
    kept = page.evaluate(
        """async (project) => {
          const { makeEntry } = await import("/static/entries.js");
          const outbox = await import("/static/outbox.js");
          const device = await outbox.device();
          const noise = () => outbox.base64(crypto.getRandomValues(new Uint8Array(60_000)).buffer); // does not pack
          const kept = [];
          for (let n = 0; n < 500; n += 1) {
            const text = Array.from({ length: 5 }, noise).join("");
            try {
              kept.push(await outbox.keep(makeEntry({ kind: "note", body: { text }, project, device })));
            } catch (error) {
              return { kept, code: error.code };
            }
          }
          return { kept, code: "never full" };
        }""",
        bench.project,
    )
    assert kept["code"] == "phone_full"
    assert len(kept["kept"]) >= 3
    assert page.evaluate(IDS) == kept["kept"]
    typed = "wind ".rjust(300_000, "ß")
    page.get_by_label("Note").fill(typed)
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#not-kept")).to_contain_text("This phone is full: nothing of this was kept")
    expect(page.get_by_label("Note")).to_have_value(typed)
    bench.network.down = False
    send_until_none_left(page)
    once_each(bench, kept["kept"])
    context.close()


def test_entries_that_wait_while_the_program_is_updated_go_out_from_the_new_version(bench: Bench, tab: Page) -> None:
    before = tab.evaluate("caches.keys()")
    bench.network.down = True
    ids = keep(tab, bench, "one", "two")
    bench.restart_as("99.0.0")
    tab.goto(f"{bench.home}/today")  # still the old pages, from the phone
    expect(tab.locator("[data-unsent]")).to_have_text("2 not sent yet")
    bench.network.decide = lambda n: "lose"
    bench.network.down = False
    tab.goto(f"{bench.home}/today")
    until(tab, "async () => (await caches.keys()).some((name) => name.startsWith('loamwright-files-99.0.0-'))")
    until(tab, "async () => (await caches.keys()).filter((name) => name.startsWith('loamwright-files-')).length === 1")
    assert set(tab.evaluate("caches.keys()")) != set(before)
    tab.reload()
    assert tab.evaluate(IDS) == ids
    bench.network.decide = lambda n: "pass"
    send_until_none_left(tab)
    once_each(bench, ids)


def test_entries_survive_a_killed_browser(bench: Bench, chromium: Browser, tmp_path: Path) -> None:
    folder = tmp_path / "phone"
    killed, page = own_browser(chromium, folder)
    page.goto(f"{bench.home}/today")
    taken_over(page)
    bench.network.down = True
    ids = keep(page, bench, "one", "two", "three")
    killed.kill()
    killed.wait(10)
    process, page = own_browser(chromium, folder)
    page.goto(f"{bench.home}/today")
    expect(page.locator("[data-unsent]")).to_have_text("3 not sent yet")
    assert page.evaluate(IDS) == ids
    bench.network.down = False
    send_until_none_left(page)
    process.kill()
    process.wait(10)
    once_each(bench, ids)


def connected(chromium: Browser, address: str) -> Browser:
    """A browser just started, spoken to; it is asked again where its workers were starting while it was asked."""
    for _ in range(4):
        try:
            return chromium.browser_type.connect_over_cdp(address, timeout=8_000)
        except TimeoutError:
            time.sleep(0.5)
    return chromium.browser_type.connect_over_cdp(address)


def own_browser(chromium: Browser, folder: Path) -> tuple[subprocess.Popen[bytes], Page]:
    """A browser of our own with a home of its own, so that it can be killed like one that ran out of battery."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    assert path is not None
    port_file = folder / "DevToolsActivePort"
    port_file.unlink(missing_ok=True)
    flags = ["--headless=new", "--no-sandbox", "--no-first-run", "--disable-background-networking", "--remote-debugging-port=0"]
    process = subprocess.Popen(
        [path, *flags, f"--user-data-dir={folder}"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    deadline = time.monotonic() + 20
    while not (port_file.exists() and port_file.read_text().count("\n")):
        assert time.monotonic() < deadline, "the browser did not start"
        time.sleep(0.1)
    port = port_file.read_text().splitlines()[0]
    try:
        browser = connected(chromium, f"http://127.0.0.1:{port}")
    except BaseException:
        process.kill()
        process.wait(10)
        raise
    page = browser.contexts[0].new_page()
    page.set_default_timeout(15_000)
    return process, page


def test_a_thousand_entries_over_a_network_that_fails_three_times_in_ten(bench: Bench, tab: Page) -> None:
    chance = random.Random(20260304)

    def decide(n: int) -> str:
        return chance.choice(["lose", "lose_answer", "fail"]) if chance.random() < 0.3 else "pass"

    bench.network.decide = decide
    ids: list[str] = []
    for start_at in range(0, 1_000, 10):
        ids += keep(tab, bench, *(f"reading {n}" for n in range(start_at, start_at + 10)))
        tab.evaluate(SEND)  # as many pushes as a day at the bench has, not one great one
    send_until_none_left(tab)
    failed = sum(deed != "pass" for deed in bench.network.did)
    assert failed >= 20, bench.network.did
    assert {"lose", "lose_answer", "fail"} <= set(bench.network.did)
    once_each(bench, ids)
    assert len(set(ids)) == 1_000
    assert {entry.body["text"] for entry in bench.entries()} == {f"reading {n}" for n in range(1_000)}


# --- what waits, as a file; what the server has, leaves ---


def test_what_waits_goes_as_a_file_and_is_sent_later_without_doubling(bench: Bench, tab: Page, tmp_path: Path) -> None:
    bench.network.down = True
    ids = keep(tab, bench, "one", "zwei\u2028drei")
    text = tab.evaluate("""async () => (await (await import("/static/outbox.js")).exportFile()).text()""")
    file = tmp_path / "waiting.jsonl"
    file.write_text(text, encoding="utf-8")
    bench.network.down = False
    bench.network.decide = lambda n: "lose"
    tab.goto(f"{bench.network.address}/bench/import")
    tab.get_by_label("File from the phone").set_input_files(file)
    tab.get_by_role("button", name="Take it in").click()
    expect(tab.locator("main")).to_contain_text("2 entries taken in")
    once_each(bench, ids)
    bench.network.decide = lambda n: "pass"
    send_until_none_left(tab)
    once_each(bench, ids)


def test_what_the_notebook_has_leaves_the_phone_only_when_a_sheet_names_it(bench: Bench, tab: Page) -> None:
    ids = keep(tab, bench, "one")
    send_until_none_left(tab)
    fetch = "async (project) => (await import('/static/outbox.js')).sheets.fetch(project)"
    bench.network.down = True
    assert tab.evaluate(fetch, bench.project) is None
    bench.network.down = False
    assert tab.evaluate(fetch, bench.project)["has"] in (ids, [])
    assert tab.evaluate(IDS) == []
    once_each(bench, ids)


def test_an_entry_the_notebook_cannot_read_stays_on_the_phone_and_is_shown(bench: Bench, tab: Page) -> None:
    tab.evaluate(
        """async (project) => {
          const outbox = await import("/static/outbox.js");
          const { makeEntry } = await import("/static/entries.js");
          await outbox.keep({ ...makeEntry({ kind: "note", body: {}, project, device: "" }), at: "yesterday" });
          await outbox.send();
        }""",
        bench.project,
    )
    ids = keep(tab, bench, "one")
    send_until_none_left(tab)
    expect(tab.locator("[data-unsent]")).to_have_text("1 not taken")
    (record,) = [
        each for each in tab.evaluate("async () => (await import('/static/outbox.js')).records()") if each["state"] == "refused"
    ]
    assert "is not a UTC moment" in record["words"]
    once_each(bench, ids)


# --- pages without a network ---


SEEN = "async () => (await (await caches.open('loamwright-seen')).keys()).map((key) => new URL(key.url).pathname)"


def test_today_and_the_verbs_open_without_a_network_after_one_look_at_today(bench: Bench, tab: Page) -> None:
    verbs = ("today", "dig", "shake", "blend", "weigh", "press", "break", "choose", "make")
    wanted = {f"/p/{bench.project}/{verb}" for verb in verbs}
    deadline = time.monotonic() + 20
    while not wanted <= set(tab.evaluate(SEEN)):
        assert time.monotonic() < deadline, wanted - set(tab.evaluate(SEEN))
        time.sleep(0.1)
    bench.network.down = True
    for verb in verbs:
        tab.goto(f"{bench.home}/{verb}")
        expect(tab.locator("#seen-before")).to_contain_text("No network. This page is as it was on")
        expect(tab).to_have_title(re.compile(f"{verb}|Test wall", re.IGNORECASE))
    tab.goto(f"{bench.home}/never/seen")
    expect(tab).to_have_title(re.compile("at the bench", re.IGNORECASE))  # the bench page stands in for what was never seen


def test_a_form_of_a_page_is_kept_on_the_phone_and_its_slips_are_shown(bench: Bench, tab: Page) -> None:
    tab.goto(f"{bench.home}/write/container")
    bench.network.down = True
    tab.get_by_label("Name").fill("black pail")
    tab.get_by_role("textbox", name="Volume struck level").fill("ten")
    tab.get_by_role("button", name="Keep").click()
    expect(tab.locator("[data-fault-here]")).to_contain_text("“ten” cannot be read as a number")
    tab.get_by_role("textbox", name="Volume struck level").fill("10 1/2")
    tab.get_by_role("button", name="Keep").click()
    expect(tab.locator("#kept-here")).to_contain_text("Kept on this phone, not sent yet")
    expect(tab.get_by_label("Name")).to_have_value("")
    tab.reload()
    expect(tab.get_by_label("Name")).to_have_value("")  # what is kept does not come back as typed
    bench.network.down = False
    send_until_none_left(tab)
    (pail,) = bench.entries("container")
    assert pail.project != bench.project  # pails belong to the bench
    assert pail.body["name"] == "black pail"
    assert (pail.body["volume"]["typed"], pail.body["volume"]["number"]) == ("10 1/2", 10.5)


@pytest.mark.parametrize("path", ["write/clock_note?preset_device=x", "weigh/open"])
def test_a_form_that_needs_the_program_stays_as_typed_and_says_so(bench: Bench, tab: Page, path: str) -> None:
    tab.goto(f"{bench.home}/{path}")
    bench.network.down = True
    field = tab.locator("main form input[type=text]").first
    field.fill("17")
    tab.locator("main form button.go").first.click()
    expect(tab.locator("#not-kept")).to_contain_text("there is none now. What you typed stays here.")
    expect(field).to_have_value("17")
    assert tab.evaluate(STATUS)["waiting"] == 0


def test_a_correction_on_a_page_is_kept_on_the_phone(bench: Bench, tab: Page) -> None:
    (first,) = keep(tab, bench, "four pails")
    send_until_none_left(tab)
    tab.goto(f"{bench.home}/correct/{first}")
    bench.network.down = True
    tab.get_by_label("Note").fill("five pails")
    tab.get_by_label("read wrong").check()
    tab.get_by_role("button", name="Keep").click()
    expect(tab.locator("#kept-here")).to_be_visible()
    bench.network.down = False
    send_until_none_left(tab)
    (_, second) = bench.entries()
    assert (second.body, second.replaces, second.reason) == ({"text": "five pails"}, (first,), "read wrong")


def test_a_form_whose_answer_is_lost_comes_back_as_typed_and_is_one_entry(bench: Bench, tab: Page) -> None:
    tab.goto(f"{bench.home}/write/note")
    tab.get_by_label("Note").fill("four pails")
    bench.network.lose_form_answers = True
    tab.get_by_role("button", name="Keep").click()
    expect(tab.get_by_label("Note")).to_have_value("four pails")
    expect(tab.locator("main")).to_contain_text("It is not kept yet")
    bench.network.down = True
    tab.get_by_role("button", name="Keep").click()
    expect(tab.locator("#kept-here")).to_be_visible()
    bench.network.down = False
    send_until_none_left(tab)
    (entry,) = bench.entries()
    assert entry.body == {"text": "four pails"}
    assert bench.aside() == []


def photo_file(tmp_path: Path) -> Path:
    from PIL import Image

    path = tmp_path / "crack.png"
    Image.effect_noise((2400, 1800), 60).convert("RGB").save(path)
    return path


def test_a_photo_is_made_small_on_the_phone_waits_and_is_seen_beside_the_reading(bench: Bench, tab: Page, tmp_path: Path) -> None:
    from PIL import Image

    tab.goto(f"{bench.home}/entry/{bench.project}")
    bench.network.down = True
    tab.get_by_text("Add a photo").click()
    tab.get_by_label("Photo", exact=True).set_input_files(photo_file(tmp_path))
    tab.get_by_label("What it shows").fill("crack")
    tab.get_by_role("button", name="Keep the photo").click()
    expect(tab.locator("[data-unsent]")).to_have_text("1 not sent yet")
    bench.network.decide = lambda n: "lose_answer" if n == 1 else "pass"
    bench.network.down = False
    send_until_none_left(tab)
    (entry,) = bench.entries("photo")
    notebook = store.open_notebook(bench.path)
    data = store.read_blob(notebook, entry.body["blob"])
    notebook.close()
    assert data is not None
    with Image.open(io.BytesIO(data)) as kept:
        # 2400 by 1800 with its longest side at 1600: 1800 × 1600 / 2400 = 1200.
        assert (kept.format, kept.size) == ("JPEG", (1600, 1200))
    tab.wait_for_load_state("networkidle")
    tab.goto(f"{bench.home}/entry/{bench.project}")
    shown = tab.get_by_role("img", name="Photo of Test wall: crack")
    expect(shown).to_be_visible()
    shown.scroll_into_view_if_needed()
    until(tab, "document.querySelector('.photos img').naturalWidth === 1600")
