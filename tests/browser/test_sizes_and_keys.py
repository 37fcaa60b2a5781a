"""Pages at tablet and desk size, at night, with gloves, without JavaScript and with the keyboard alone; nothing moves while a page comes up."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from tests.browser.conftest import sticks_out

pytestmark = pytest.mark.browser

TAP = 56  # px: the least size of a target for gloves, the figure the pages are held to
TARGETS = "a.go, a.act, button, label.tap, input.blank, select.blank, textarea.blank, summary, nav a, ul.due a"


def opened(chromium: Browser, **settings: object) -> Page:
    page = chromium.new_context(**settings).new_page()  # type: ignore[arg-type]
    page.set_default_timeout(10_000)
    return page


@pytest.mark.parametrize("size", [(768, 1024), (1280, 800)], ids=["tablet", "desk"])
def test_pages_fit_a_tablet_and_a_desk(addresses: dict[str, str], chromium: Browser, size: tuple[int, int]) -> None:
    page = opened(chromium, viewport={"width": size[0], "height": size[1]})
    faults = []
    for shape, address in addresses.items():
        page.goto(address)
        sideways = sticks_out(page)
        if sideways > 0:
            faults.append(f"{shape} sticks out by {sideways} px")
    page.context.close()
    assert faults == []


def test_the_night_scheme_has_contrast_on_every_page(addresses: dict[str, str], chromium: Browser) -> None:
    page = opened(chromium, viewport={"width": 360, "height": 740}, color_scheme="dark")
    faults = []
    for shape, address in addresses.items():
        page.goto(address)
        found = Axe().run(page, options={"runOnly": ["color-contrast"]}).response["violations"]
        faults += [f"{shape}: {node['html'][:120]}" for violation in found for node in violation["nodes"]]
    paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
    page.context.close()
    assert paper == "rgb(22, 21, 18)"  # the night scheme is what was looked at
    assert faults == []


def test_targets_are_large_enough_for_gloves(addresses: dict[str, str], chromium: Browser) -> None:
    page = opened(chromium, viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    faults, looked_at = [], 0
    for shape, address in addresses.items():
        page.goto(address)
        for html, height in page.evaluate(
            "targets => [...document.querySelectorAll(targets)].filter(each => each.checkVisibility())"
            ".map(each => [each.outerHTML.slice(0, 100), each.getBoundingClientRect().height])",
            TARGETS,
        ):
            looked_at += 1
            if height < TAP - 0.5:
                faults.append(f"{shape}: {height:.0f} px: {html}")
    page.context.close()
    assert looked_at > 300
    assert faults == []


def test_nothing_moves_while_a_page_comes_up(addresses: dict[str, str], chromium: Browser) -> None:
    page = opened(chromium, viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    page.add_init_script(
        "window.moved = 0; new PerformanceObserver(list => { for (const each of list.getEntries())"
        " if (!each.hadRecentInput) window.moved += each.value; }).observe({ type: 'layout-shift', buffered: true });"
    )
    shifts = {}
    for shape, address in addresses.items():
        page.goto(address, wait_until="networkidle")
        shifts[shape] = page.evaluate("window.moved")
    page.context.close()
    assert {shape: value for shape, value in shifts.items() if value > 0} == {}


def test_pages_can_be_read_with_javascript_off(addresses: dict[str, str], chromium: Browser) -> None:
    plain = opened(chromium, java_script_enabled=False, viewport={"width": 360, "height": 740})
    silent = []
    for shape, address in addresses.items():
        plain.goto(address)
        heading, words = plain.locator("h1").inner_text(), plain.locator("main").inner_text()
        if not heading.strip() or len(words) < len(heading) + 5:
            silent.append(shape)
    plain.context.close()
    assert silent == []


def test_a_reading_is_kept_with_javascript_off(demo_server: str, chromium: Browser) -> None:
    plain = opened(chromium, java_script_enabled=False, viewport={"width": 360, "height": 740})
    plain.goto(demo_server)
    project = plain.url.split("/")[4]
    plain.goto(f"{demo_server}/p/{project}/write/source")
    plain.locator("input[name=name]").fill("Bank behind the school")
    plain.locator("input[name=material]").first.check()
    plain.get_by_role("button", name="Keep", exact=True).click()
    assert "Bank behind the school" in plain.locator("main").inner_text()
    plain.context.close()


def focused(page: Page) -> str:
    return page.evaluate("document.activeElement.innerText || document.activeElement.name || ''")  # type: ignore[no-any-return]


def tab_to(page: Page, wanted: str, *, most: int = 60) -> None:
    """Press Tab until the wanted words or field have the focus; what has the focus shows it."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if focused(page).startswith(wanted):
            style = page.evaluate(
                "getComputedStyle(document.activeElement.matches('label input') ? document.activeElement.parentElement : document.activeElement).outlineStyle"
            )
            own = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
            assert "solid" in (style, own), f"{wanted} has the focus and does not show it"
            return
    raise AssertionError(f"{wanted!r} is not reached by {most} presses of Tab; last was {focused(page)!r}")


def test_a_batch_is_weighed_with_the_keyboard_alone(demo_server: str, chromium: Browser) -> None:
    page = opened(chromium, viewport={"width": 1280, "height": 800})
    page.goto(demo_server)
    page.keyboard.press("Tab")
    assert focused(page) == "Skip to the page"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.goto(page.url.split("/today")[0].split("#")[0] + "/weigh")
    tab_to(page, "Creek sand")  # the first mix in the list is named after its soils
    page.keyboard.press("Enter")
    page.wait_for_url("**/weigh/open*")
    tab_to(page, "soil_wanted")
    page.keyboard.type("6,4")
    page.keyboard.press("Enter")
    page.wait_for_url("**/weigh/batch/*")
    tab_to(page, "mass")
    page.keyboard.type("6 2/5")
    page.keyboard.press("Enter")
    page.get_by_text("6 2/5").first.wait_for()  # fails after the page's own patience
    words = page.locator("main").inner_text()
    page.context.close()
    assert "Kept: Weighing" in words


def test_a_count_goes_up_and_down_with_taps(demo_server: str, chromium: Browser) -> None:
    page = opened(chromium, viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    page.goto(demo_server)
    page.goto(page.url.split("/today")[0] + "/write/brief")
    more = page.locator("button[data-step='1']").first
    field = more.locator("xpath=preceding-sibling::input").first
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true; })")
    less = field.locator("xpath=preceding-sibling::button").first
    for _ in range(3):
        more.tap()
    less.tap()
    assert field.input_value() == "2"
    for _ in range(4):
        less.tap()
    assert field.input_value() == "0"
    field.fill("two")
    more.tap()
    assert field.input_value() == "two"  # what was typed is never changed by guessing
    page.context.close()
