"""A real Chromium against the real program on a loopback port, phone size first; a screenshot is kept when a test fails."""

import os
import re
import shutil
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

PHONE = {"width": 360, "height": 740}
ARTIFACTS = Path("test-artifacts")
ID = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}")
FILES = (".zip", "/file")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    path = os.environ.get("LOAMWRIGHT_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.fail("Chromium is not installed: run `apt-get install -y chromium` as root, or name it with LOAMWRIGHT_CHROMIUM.")
    flags = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=flags)
        yield browser
        browser.close()


def start(notebook: Path, *more: str) -> tuple[subprocess.Popen[str], str]:
    """The program on a free port, and the address it prints."""
    command = [sys.executable, "-m", "loamwright", "serve", "--port", "0", "--notebook", str(notebook), *more]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    line = process.stdout.readline()
    found = re.search(r"http://127\.0\.0\.1:\d+", line)
    assert found, line
    return process, found[0]


@pytest.fixture
def empty_server(tmp_path: Path) -> Iterator[str]:
    process, address = start(tmp_path / "bench.notebook")
    yield address
    process.terminate()
    process.wait(10)
    process.stdout and process.stdout.close()


@pytest.fixture(scope="session")
def demo_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    process, address = start(tmp_path_factory.mktemp("demo") / "bench.notebook", "--demo")
    yield address
    process.terminate()
    process.wait(10)
    process.stdout and process.stdout.close()


@pytest.fixture
def phone(chromium: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    context = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.set_default_timeout(10_000)
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    failed_before = request.session.testsfailed
    yield page
    if request.session.testsfailed > failed_before:
        ARTIFACTS.mkdir(exist_ok=True)
        page.screenshot(path=ARTIFACTS / f"{request.node.name}.png", full_page=True)
    context.close()
    allowed = [words for words in complaints if "422" not in words]
    assert not allowed, f"the browser complained: {allowed}"


def opened(address: str) -> tuple[str, str]:
    with urllib.request.urlopen(address) as answer:
        html = answer.headers.get_content_type() == "text/html"
        return answer.url, answer.read().decode() if html else ""


# Pages made by one template out of a list, and how many of each are walked: the lists are long, the pages alike.
FAMILIES = {"/today/rule/": 3, "/files/in/": 3, "/write/": 20, "/papers/": 8}


def linked(server: str) -> dict[str, str]:
    """One address for every kind of page (ids and questions aside), found by following links from Today."""
    start, _ = opened(server)
    queue, found = [start], {}
    while queue:
        address = queue.pop(0)
        shape = ID.sub("ID", address.removeprefix(server).partition("?")[0])
        if shape in found or shape.endswith(FILES):
            continue
        family = next((each for each in FAMILIES if each in shape), "")
        if family and sum(family in each for each in found) >= FAMILIES[family]:
            continue
        url, html = opened(address)
        if not html:  # a file to take away, not a page
            continue
        found[shape] = url
        for target in re.findall(r'href="(/[^"#]*)', html):
            if target.startswith(("/p/", "/?")):
                queue.append(server + target.replace("&amp;", "&"))
    return found


def sticks_out(page: Page) -> int:
    """By how many px a page is wider than its window."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


@pytest.fixture(scope="session")
def addresses(demo_server: str) -> Iterator[dict[str, str]]:
    yield linked(demo_server)
