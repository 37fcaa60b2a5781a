"""Every address against its own description, with inputs nobody would send: no failure, no answer that is not documented.

Routes are taken from the served document, so that a new one is tested without a line here. Ids in addresses and forms are drawn
from a real project with every stage begun, from other kinds, and from what the schema allows.
"""

from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance, status_code_conformance
from starlette.testclient import TestClient
from tests.project.pressed import Bench

from loamwright.notebook.kinds import kinds
from loamwright.notebook.store import open_notebook
from loamwright.project.desk import Desk, Hand
from loamwright.units import units_of
from loamwright.web.app import create_app
from loamwright.web.openapi import _BY_ENDING, _TAKES_JSON, ADDRESS, FORM
from loamwright.web.pages import routers
from loamwright.web.pages.bench_pages import SCREENS

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
NAMES = ("weigh_out", "press", "break", "jar", "trial_plan", "strength", "readings", *kinds())  # kinds, sheets and charts alike
SEED = 20260304
ODD = (
    "0",
    "-1",
    "1e-9",
    "1e9",
    "1e308",
    "nan",
    "9" * 400,
    "1/0",
    "",
    "x",
    "\u202e=1+1",
    "<b>",
    "../../etc/passwd",
    "2026-02-31",
    "\x00",
)


@pytest.fixture(scope="module")
def api(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Any, Bench]]:
    """The described application over a notebook in which every stage up to Break has an entry."""
    moments = (datetime(2026, 3, 4, 8, minute, tzinfo=timezone(timedelta(hours=2))) for minute in range(60))
    notebook = open_notebook(tmp_path_factory.mktemp("api") / "bench.notebook")
    desk = Desk(notebook)
    opened = desk.open_project({"name": "Test wall"}, Hand(next(moments)))
    desk.keep([opened])
    bench = Bench(desk, opened.id, lambda: Hand(next(moments), by="MB"))
    batch = bench.weighed_batch()
    block = bench.block(batch, bench.press(), 1)
    bench.crush(block, "20 kN")
    source = bench.state.all("source")[0].id
    bench.write("jar", source=source, fill="100 mm", water="220 mm", added="nothing", set_down="2026-03-04T08:10")
    app = create_app(desk, clock=lambda: datetime(2026, 3, 4, 10, tzinfo=timezone(timedelta(hours=2))))
    yield schemathesis.openapi.from_asgi(ADDRESS, app), bench
    notebook.close()


def operations(schema: Any) -> list[Any]:
    """Every operation, those that only look before those that write."""
    found = [result.ok() for result in schema.get_all_operations()]
    return sorted(found, key=lambda each: each.method.upper() != "GET")


def aimed(case: Any, bench: Bench, draw: Any) -> None:
    """Put real ids, names and forms where drawn ones would only say that nothing is here; now and then leave what was drawn."""
    real = {kind: [fact.id for fact in bench.state.all(kind)] for kind in kinds()}
    everything = [each for ids in real.values() for each in ids]
    for name in case.path_parameters or {}:
        wanted = {"project": [bench.project], "name": NAMES}.get(name) or real.get(name) or everything
        if draw(st.integers(0, 7)):
            case.path_parameters[name] = draw(st.sampled_from(wanted))
    if case.method.upper() == "POST" and case.operation.path not in _TAKES_JSON and draw(st.integers(0, 3)):
        about = next((name for name in (case.path_parameters or {}) if name in kinds()), "")
        kind = (
            case.path_parameters.get("name")
            if "/write/" in case.operation.path
            else draw(st.sampled_from((*OF.get(about, ()), *kinds())))
        )
        fields = kinds()[kind].fields if kind in kinds() else ()
        case.media_type, case.body = FORM, typed_form(fields, real, everything, draw)


OF = {
    "batch": ("weighing", "block", "spoiled", "cure_step"),
    "jar": ("jar_reading",),
    "block": ("crush", "bend"),
    "source": ("stop_check",),
}


def typed_form(fields: Any, real: dict[str, list[str]], everything: list[str], draw: Any, before: str = "") -> dict[str, str]:
    """A form of some fields, each left out, filled as it should be, or filled with what a tired hand types."""
    found: dict[str, str] = {}
    for each in fields:
        if each.kind == "rows":
            found |= typed_form(each.rows, real, everything, draw, f"{each.name}-0-")
            found |= typed_form(each.rows, real, everything, draw, f"{each.name}-1-")
            continue
        match each.kind:
            case "choice":
                usual = list(each.options)
            case "ref" | "refs":
                usual = [one for kind in each.of for one in real[kind]] or everything
            case "flag":
                usual = ["yes", "no"]
            case "date":
                usual = ["2026-03-04", "2026-04-01", "1900-01-01"]
            case "moment":
                usual = ["2026-03-04T09:00", "2199-12-31T23:59"]
            case "text":
                usual = ["17", "white sand", "28"]
            case _:
                usual = ["1", "3", "10", "20", "100", "1 1/2", "0,5"]
        odd = draw(st.integers(0, 9)) == 0
        typed = draw(st.sampled_from(ODD) if odd else st.sampled_from(usual) | st.sampled_from(usual) | st.none())
        if typed is not None:
            found[before + each.name] = typed
        if each.quantity:
            found[f"{before}{each.name}_unit"] = draw(st.sampled_from([unit.key for unit in units_of(each.quantity)]))
    return found


def test_no_route_fails_or_answers_what_is_not_documented(api: tuple[Any, Bench]) -> None:
    schema, bench = api
    tried: set[tuple[str, str]] = set()
    statuses: dict[int, int] = defaultdict(int)
    for operation in operations(schema):
        looks = operation.method.upper() == "GET"

        @seed(SEED)
        @settings(
            max_examples=4 if looks else 8,
            database=None,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=operation.as_strategy(), data=st.data())
        def answers_as_documented(case: Any, data: Any) -> None:
            aimed(case, bench, data.draw)
            response = case.call(base_url="http://testserver", allow_redirects=False)
            case.validate_response(response, checks=CHECKS)
            statuses[response.status_code] += 1

        answers_as_documented()
        tried.add((operation.method.upper(), operation.path))
    assert len(tried) > 80
    # Real pages and real forms were reached, not only refusals.
    assert min(statuses[200], statuses[303], statuses[422]) > 30


def test_every_route_of_the_program_is_described(api: tuple[Any, Bench]) -> None:
    schema, _ = api
    described = set(schema.raw_schema["paths"])
    written = {route.path for router in routers() for route in router.routes}
    # The bench page answers at several addresses, all alike: looked at here instead.
    alike = {f"/bench{screen}" for screen in SCREENS}
    assert written and written <= described | alike
    client = TestClient(schema.app)
    assert {client.get(path).headers["content-type"] for path in alike} == {"text/html; charset=utf-8"}


def test_every_exception_in_the_tables_is_a_route(api: tuple[Any, Bench]) -> None:
    paths = list(api[0].raw_schema["paths"])
    whole = {ending for ending in _BY_ENDING if ending.startswith("/")}
    assert [ending for ending in whole if not any(path.endswith(ending) for path in paths)] == []
    assert set(_TAKES_JSON) <= set(paths)


def test_the_document_is_made_only_when_it_is_asked_for(desk: Desk, tmp_path: Path) -> None:
    import subprocess
    import sys

    code = (
        "import sys, pathlib\n"
        "from loamwright.notebook.store import open_notebook\n"
        "from loamwright.project.desk import Desk\n"
        "from loamwright.web import app, openapi\n"
        "openapi.document = app.document = lambda app: sys.exit('made too early')\n"
        f"app.create_app(Desk(open_notebook(pathlib.Path({str(tmp_path / 'b.notebook')!r}))))\n"
        "print('ready')"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "ready\n"
