"""Every page of the demo that a link leads to: it opens, nothing sticks out at 360 px, axe finds nothing, and it is light."""

import gzip
import urllib.request

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from tests.browser.conftest import opened, sticks_out

pytestmark = pytest.mark.browser

HEAVIEST = 120_000  # bytes compressed, without charts: the figure the pages are held to


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
        sideways = sticks_out(phone)
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
