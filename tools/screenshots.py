"""Make docs/screenshots/ again from this build: the program with the demo project, in Debian's chromium, at phone size first."""

import re
import subprocess
import sys
import tempfile
import urllib.request
from pathlib import Path

import pypdfium2
from playwright.sync_api import Browser, Page, sync_playwright

from tools.browser import FLAGS, find

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "screenshots"
PHONE, DESK = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
# name, pages to click through from Today (text of a link, or a verb), size
SHOTS: tuple[tuple[str, tuple[str, ...], dict[str, int]], ...] = (
    ("today-phone", ("today",), PHONE),
    ("source-phone", ("dig", "Hill clay"), PHONE),
    ("jar-phone", ("shake", "Jar of Hill clay"), PHONE),
    ("blend-phone", ("blend", "Creek sand 4 : Hill clay 3"), PHONE),
    ("batch-phone", ("weigh", "Batch 5"), PHONE),
    ("press-phone", ("press", "Batch 6"), PHONE),
    ("break-phone", ("break",), PHONE),
    ("compare-phone", ("choose",), PHONE),
    ("recipe-phone", ("make",), PHONE),
    ("papers-phone", ("papers",), PHONE),
    ("today-desk", ("today",), DESK),
    ("compare-desk", ("choose",), DESK),
)


def main() -> None:
    """Serve the demo from a fresh notebook, take every picture, stop."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "loamwright", "serve", "--demo", "--port", "0", "--notebook", f"{folder}/demo.notebook"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server, sync_playwright() as playwright:
            assert server.stdout is not None
            address = re.search(r"http://\S+", server.stdout.readline())
            assert address is not None
            browser = playwright.chromium.launch(executable_path=find(), args=FLAGS)
            for name, way, size in SHOTS:
                take(browser, address[0], name, way, size)
            at_the_bench(browser, address[0])
            browser.close()
            paper(address[0])
            server.terminate()


def take(browser: Browser, address: str, name: str, way: tuple[str, ...], size: dict[str, int]) -> None:
    """One picture: the first screen of the page at the end of the way."""
    page = browser.new_page(viewport={"width": size["width"], "height": size["height"]})
    page.goto(address)
    home = page.url.removesuffix("/today")
    page.goto(f"{home}/{way[0]}")
    for step in way[1:]:
        follow(page, step)
    page.screenshot(path=FOLDER / f"{name}.png")
    page.close()


def at_the_bench(browser: Browser, address: str) -> None:
    """A batch being weighed on the phone after the network was cut."""
    context = browser.new_context(viewport=PHONE, has_touch=True)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(address)
    page.get_by_role("link", name="Take this project to the bench").click()
    page.get_by_role("button", name="Ines", exact=True).click()
    page.get_by_role("button", name=re.compile("^Weigh")).or_(page.get_by_role("link", name=re.compile("^Weigh"))).first.click()
    context.set_offline(True)
    page.get_by_text("Creek sand 4 : Hill clay 3").first.click()
    page.get_by_label(re.compile("^Damp soil to weigh")).first.fill("6.4")
    page.get_by_role("button", name=re.compile("^Open")).click()
    page.get_by_role("button", name=re.compile("^Keep")).wait_for()
    page.screenshot(path=FOLDER / "bench-phone.png")
    context.close()


def paper(address: str) -> None:
    """A crew card, drawn from the PDF that is printed."""
    with urllib.request.urlopen(address) as answer:
        home = answer.url.removesuffix("/today")
    with urllib.request.urlopen(f"{home}/papers/crew-card") as answer:
        path = re.search(r"/p/[^\"]*\.pdf[^\"]*", answer.read().decode())
    assert path is not None
    with urllib.request.urlopen(address + path[0].replace("&amp;", "&")) as answer:
        pypdfium2.PdfDocument(answer.read())[0].render(scale=1.0).to_pil().save(FOLDER / "crew-card.png")


def follow(page: Page, words: str) -> None:
    """The first link in the page whose words begin so."""
    page.locator("main").get_by_role("link", name=re.compile(f"^{re.escape(words)}")).first.click()


if __name__ == "__main__":
    main()
