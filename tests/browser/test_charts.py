"""Charts in a real browser: drawn from their descriptions by the files kept here, without a network, under the content policy."""

import json
import re
import urllib.request
import xml.etree.ElementTree as ET
from collections import Counter

import pytest
from playwright.sync_api import Page

from loamwright.papers.drawing import render_svg

pytestmark = pytest.mark.browser

DRAW = """async (chart) => {
  const {drawChart} = await import("/static/charts.js");
  const room = document.createElement("div");
  document.getElementById("main").append(room);
  const svg = await drawChart(room, chart);
  const image = room.querySelector("img");
  return {svg, alt: image && image.alt, drawn: image ? image.naturalWidth : 0,
          caption: room.querySelector("caption").textContent, rows: room.querySelectorAll("tbody tr").length,
          inline: room.querySelectorAll("script, [style], style").length};
}"""
KINDS = ("symbol", "rule", "rect", "text", "line")


def home_of(server: str) -> str:
    with urllib.request.urlopen(server) as answer:
        return answer.url.rpartition("/")[0]


def charts_of(server: str) -> dict[str, dict]:
    """Every chart the demo's pages show, as JSON."""
    home, found = home_of(server), {}
    pages = ["choose", "break", "blend", "weigh/ladder"]
    with urllib.request.urlopen(f"{home}/weigh/ladder") as answer:
        pages += [f"weigh/ladder/{blend}" for blend in re.findall(r"/weigh/ladder/([0-9a-f-]{36})", answer.read().decode())]
    for page in pages:
        with urllib.request.urlopen(f"{home}/{page}") as answer:
            for name in re.findall(r'/chart/([^"?]+)\.svg', answer.read().decode()):
                with urllib.request.urlopen(f"{home}/chart/{name}.json") as data:
                    found[name] = json.load(data)
    return found


def marks(svg: str) -> Counter[str]:
    """How many of each kind of mark a drawing has, axes left out."""
    counted: Counter[str] = Counter()
    for group in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}g"):
        for kind in KINDS:
            if f"mark-{kind} role-mark" in group.get("class", ""):
                counted[kind] += len(list(group))
    return counted


def test_charts_are_drawn_without_a_network_as_the_server_draws_them(demo_server: str, phone: Page) -> None:
    charts = charts_of(demo_server)
    assert {name.partition("-")[0] for name in charts} == {"strength", "cost", "texture", "ladder"}
    phone.goto(f"{home_of(demo_server)}/today")
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url) if not request.url.startswith(("data:", "blob:")) else None)
    first = next(iter(charts))
    phone.evaluate(DRAW, charts[first])  # fetches the files once
    assert all(url.startswith(demo_server) for url in asked)
    assert sum("/static/vega/" in url for url in asked) == 3
    phone.context.set_offline(True)
    for name, chart in charts.items():
        drawn = phone.evaluate(DRAW, chart)
        assert drawn["svg"], name
        assert marks(drawn["svg"]) == marks(render_svg(chart["description"])), name
        assert sum(marks(drawn["svg"]).values()) > 10
        assert (drawn["alt"], drawn["caption"]) == (chart["alt"], chart["title"])
        assert drawn["drawn"] == chart["width"] and drawn["rows"] == len(chart["rows"]) and drawn["inline"] == 0
    phone.context.set_offline(False)


def test_where_the_files_cannot_be_had_the_table_stays(demo_server: str, phone: Page) -> None:
    chart = next(iter(charts_of(demo_server).values()))
    phone.route("**/static/vega/**", lambda route: route.fulfill(status=200, content_type="text/javascript", body=""))
    phone.goto(f"{home_of(demo_server)}/today")
    drawn = phone.evaluate(DRAW, chart)
    assert drawn["svg"] is None and drawn["rows"] == len(chart["rows"])
    assert "Its numbers stand below" in phone.inner_text("main")


def test_the_drawing_library_is_no_part_of_a_page(demo_server: str, phone: Page) -> None:
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    phone.goto(f"{home_of(demo_server)}/choose")
    phone.wait_for_load_state("networkidle")
    assert any("/chart/strength.svg" in url for url in asked) and not any("vega" in url for url in asked)


def test_a_chart_moves_nothing_when_it_comes(demo_server: str, phone: Page) -> None:
    phone.add_init_script(
        "window.moved = 0; new PerformanceObserver((list) => { for (const each of list.getEntries()) window.moved += each.value; })"
        ".observe({type: 'layout-shift', buffered: true});"
    )
    phone.goto(f"{home_of(demo_server)}/choose")
    phone.wait_for_load_state("networkidle")
    phone.evaluate("document.fonts.ready.then(() => { window.moved = 0; })")
    phone.locator("figure.chart img").first.scroll_into_view_if_needed()
    phone.wait_for_function("[...document.querySelectorAll('figure.chart img')][0].naturalWidth > 0")
    assert phone.evaluate("window.moved") < 0.01
