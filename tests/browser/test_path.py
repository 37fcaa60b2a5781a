"""The main job by hand in a real browser at phone size, from two buckets to pressed blocks, on an empty notebook."""

import re

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def unfold(page: Page, inside: str) -> None:
    """Open what a field is folded under, as a person does before filling it."""
    fold = page.locator(f"main details:not([open]):has({inside})")
    if fold.count():
        fold.first.locator("summary").first.click()


def fill(page: Page, **fields: str) -> None:
    for name, value in fields.items():
        unfold(page, f"[name='{name}']")
        field = page.locator(f"main [name='{name}']").first
        if field.evaluate("each => each.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)


def tap(page: Page, name: str, value: str) -> None:
    wanted = f"label.tap:has(input[name='{name}'][value='{value}'])"
    unfold(page, wanted)
    page.locator(f"main {wanted}").first.click()


def tap_words(page: Page, words: str) -> None:
    page.locator("main label.tap").filter(has_text=words).first.click()


def press(page: Page, words: str) -> None:
    page.get_by_role("main").get_by_role("button", name=words, exact=True).first.click()


def follow(page: Page, words: str) -> None:
    page.get_by_role("main").get_by_role("link", name=re.compile(rf"^{re.escape(words)}")).first.click()


def verb(page: Page, words: str) -> None:
    """A verb of the navigation, wherever it stands: in the two rows, or folded into "All" inside a task."""
    folded = page.locator("nav.verbs details summary")
    if folded.count():
        folded.click()
    page.locator("nav.verbs").get_by_role("link", name=re.compile(rf"^{words}")).last.click()


def kept(page: Page, words: str) -> None:
    expect(page.locator("[data-kept]")).to_contain_text(words)


def weigh_pails(page: Page, masses: tuple[str, str, str]) -> None:
    follow(page, "Weigh three pails")
    for i, mass in enumerate(masses):
        page.locator("main input[name='gross']").nth(i).fill(mass)
    press(page, "Keep")
    kept(page, "Struck pails weighed")


def test_a_newcomer_walks_the_path_at_the_bench(empty_server: str, phone: Page) -> None:
    phone.goto(empty_server)
    expect(phone.get_by_role("heading", level=1)).to_have_text("What is in your buckets?")
    phone.get_by_text("Your pail", exact=True).first.click()
    fill(phone, source_0="Dune sand", source_1="Pond clay", pail="zinc pail", pail_volume="10", pail_tare="0,6")
    press(phone, "Start")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Today")

    # Dig: pails, a pan test, a stop question, a stabiliser
    verb(phone, "Dig")
    follow(phone, "Dune sand")
    weigh_pails(phone, ("15.4", "15.2", "15.3"))
    verb(phone, "Dig")
    follow(phone, "Pond clay")
    weigh_pails(phone, ("11.4", "11.5", "11.3"))
    follow(phone, "Pan test")
    fill(phone, wet="520", wet_unit="g", dry="500", dry_unit="g")
    press(phone, "Keep")
    kept(phone, "Pan test of moisture")
    # (520 - 500) / 500 = 4 %
    expect(phone.locator(".figure").filter(has_text="Moisture").first).to_contain_text("4.0")
    phone.locator("form").filter(has_text="White crystals").get_by_role("button", name="No", exact=True).click()
    kept(phone, "Stop question")
    verb(phone, "Dig")
    follow(phone, "Another stabiliser")
    fill(phone, name="cement", bag_mass="40")
    tap(phone, "type", "cement")
    press(phone, "Keep")
    kept(phone, "Stabiliser")

    # Shake: a jar read for an hour, and a guess for the other
    verb(phone, "Shake")
    follow(phone, "Set up a jar")
    tap_words(phone, "Pond clay")
    fill(phone, fill="80", water="240", temperature="21")
    tap(phone, "added", "dispersant")
    press(phone, "Keep")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Jar of Pond clay")
    for minutes, height in (("1", "30"), ("30", "52")):
        fill(phone, after=minutes, height=height)
        phone.locator("main select[name='after_unit']").select_option("min")
        tap(phone, "layer", "bed")
        press(phone, "Keep this height")
        kept(phone, "Jar reading")
    verb(phone, "Shake")
    follow(phone, "Guess")
    tap_words(phone, "Dune sand")
    tap(phone, "soil_class", "loamy_sand")
    press(phone, "Keep")
    kept(phone, "guess")

    # Blend: three named blends within the hour; keep one and make a mix of it
    verb(phone, "Blend")
    expect(phone.locator("main")).to_contain_text(re.compile(r"Dune sand \d : Pond clay \d"))
    phone.get_by_role("main").get_by_role("button", name=re.compile("^Keep this blend")).first.click()
    kept(phone, "Blend")
    follow(phone, "Make a mix of it")
    tap_words(phone, "cement")
    fill(phone, dose="7")
    press(phone, "Keep")
    kept(phone, "Mix")

    # Weigh: three numbers, each weighing kept as it is made; a typing slip undone with one tap
    verb(phone, "Weigh")
    follow(phone, "Dune sand")
    fill(phone, soil_wanted="8")
    press(phone, "Open it")
    expect(phone.locator("section.next")).to_contain_text("8.000")
    fill(phone, mass="80")
    press(phone, "Keep this weighing")
    kept(phone, "80")
    phone.locator("[data-kept]").get_by_role("button", name="Undo").click()
    kept(phone, "withdrawn")
    for _ in range(3):
        wanted = phone.locator("section.next .number").first.inner_text().split("\u202f")[0].split()[0]
        fill(phone, mass=wanted)
        press(phone, "Keep this weighing")
        kept(phone, wanted)
    phone.get_by_role("button", name="Stabiliser is in: start the clock").click()
    kept(phone, "Stabiliser in")
    expect(phone.locator("main")).to_contain_text("as near as this scale can")

    # Press: name the press, press two blocks
    follow(phone, "Press its blocks")
    follow(phone, "Name your press")
    fill(phone, name="hand press", mould_length="100", mould_width="100", block_height="60")
    tap(phone, "how", "no_gauge")
    press(phone, "Keep")
    kept(phone, "Press: hand press")
    for mass in ("1.22", "1.23"):
        fill(phone, green_mass=mass, height="60")
        press(phone, "Keep this block")
        kept(phone, mass)
    verb(phone, "Break")
    expect(phone.locator("main")).to_contain_text(re.compile("2 (soaked|into water)|Batch 1"))


def test_what_cannot_be_read_stays_in_its_field(empty_server: str, phone: Page) -> None:
    phone.goto(empty_server)
    fill(phone, source_0="Dune sand")
    press(phone, "Start")
    expect(phone.locator("[role=alert]")).to_contain_text("Name at least two buckets")
    expect(phone.locator("[name=source_0]")).to_have_value("Dune sand")
    fill(phone, source_1="Pond clay", pail_volume="ten")
    press(phone, "Start")
    expect(phone.locator("[role=alert]")).to_contain_text("“ten” cannot be read as a number")
    expect(phone.locator("[name=pail_volume]")).to_have_value("ten")
