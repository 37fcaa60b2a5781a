"""Every page of the demo that a link leads to: it opens, nothing sticks out at 360 px, axe finds nothing, and it is light."""

import gzip
import re
import urllib.request
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

ID = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}")
HEAVIEST = 120_000  # bytes compressed, without charts: the figure the pages are held to
FILES = (".zip", "/file")


def opened(address: str) -> tuple[str, str]:
    with urllib.request.urlopen(address) as answer:
        html = answer.headers.get_content_type() == "text/html"
        return answer.url, answer.read().decode() if html else ""


def linked(server: str) -> dict[str, str]:
    """One address for every kind of page (ids and questions aside), found by following links from Today."""
    start, _ = opened(server)
    queue, found = [start], {}
    while queue:
        address = queue.pop(0)
        shape = ID.sub("ID", address.removeprefix(server).partition("?")[0])
        if shape in found or shape.endswith(FILES):
            continue
        url, html = opened(address)
        if not html:  # a file to take away, not a page
            continue
        found[shape] = url
        for target in re.findall(r'href="(/[^"#]*)', html):
            if target.startswith(("/p/", "/?")):
                queue.append(server + target.replace("&amp;", "&"))
    return found


@pytest.fixture(scope="module")
def addresses(demo_server: str) -> Iterator[dict[str, str]]:
    yield linked(demo_server)


def test_every_verb_and_its_pages_are_reached_by_links(addresses: dict[str, str]) -> None:
    for verb in ("today", "dig", "shake", "blend", "weigh", "press", "break", "choose", "make"):
        assert f"/p/ID/{verb}" in addresses
    assert {
        "/p/ID/dig/source/ID",
        "/p/ID/shake/jar/ID",
        "/p/ID/blend/kept/ID",
        "/p/ID/weigh/batch/ID",
        "/p/ID/press/batch/ID",
        "/p/ID/break/batch/ID",
        "/p/ID/make/recipe/ID",
        "/p/ID/sheet/weigh-out/ID",
    } <= addresses.keys()


def test_pages_fit_a_phone_and_axe_finds_nothing(addresses: dict[str, str], phone: Page) -> None:
    faults = []
    for shape, address in addresses.items():
        phone.goto(address)
        sideways = phone.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if sideways > 0:
            faults.append(f"{shape} sticks out by {sideways} px")
        for violation in Axe().run(phone).response["violations"]:
            faults.append(f"{shape}: {violation['id']}: {violation['nodes'][0]['html'][:120]}")
    assert faults == []


def test_pages_are_light(addresses: dict[str, str], demo_server: str) -> None:
    shared = sum(
        len(gzip.compress(urllib.request.urlopen(f"{demo_server}/static/{name}").read()))
        for name in ("look.css", "bench.js", "loam-text-400-base.woff2", "loam-text-600-base.woff2")
    )
    weights = {shape: shared + len(gzip.compress(opened(address)[1].encode())) for shape, address in addresses.items()}
    assert {shape: weight for shape, weight in weights.items() if weight > HEAVIEST} == {}
