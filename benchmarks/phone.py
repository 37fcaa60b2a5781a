"""A real Chromium slowed four times, as a cheap phone is: how long until a page has come up whole, nothing kept from before."""

import statistics
from collections.abc import Sequence

from playwright.sync_api import Browser, sync_playwright
from tools.browser import FLAGS, find

SLOWED = 4
WHOLE = "() => performance.getEntriesByType('navigation')[0].loadEventEnd"


def come_up(address: str, paths: Sequence[str], *, again: int = 3) -> dict[str, float]:
    """Median seconds from asking for each page to its load event, by path."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find(), args=FLAGS)
        found = {path: statistics.median(_once(browser, address + path) for _ in range(again)) for path in paths}
        browser.close()
    return found


def _once(browser: Browser, address: str) -> float:
    context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True)
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.goto(address, wait_until="load")
    page.wait_for_load_state("networkidle")
    took = page.evaluate(WHOLE)
    context.close()
    return float(took) / 1000
