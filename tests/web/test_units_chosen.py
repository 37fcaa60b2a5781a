"""A project says in which unit it sees each quantity; what was typed stays as it was typed."""

import re

import pytest
from starlette.testclient import TestClient

from loamwright.notebook.entry import local_now
from loamwright.project.demo import load_demo
from loamwright.project.desk import Desk, Hand


@pytest.mark.parametrize(
    ("field", "unit", "page", "label", "gone"),
    [
        ("density_unit", "lb_ft3", "press/batch", "lb/ft³", "kg/m³"),
        ("pressure_unit", "psi", "choose", "psi", "MPa"),
        ("mass_unit", "lb", "weigh/batch", "lb", "kg"),
    ],
)
def test_a_quantity_is_seen_in_the_unit_chosen(
    client: TestClient, desk: Desk, field: str, unit: str, page: str, label: str, gone: str
) -> None:
    project = load_demo(desk, local_now())
    state = desk.state(project)
    fact = state.fact(project, "project")
    body = {**state.versions.entries[fact.head].body, field: unit}
    desk.keep([desk.entry("project", body, Hand(local_now()), project=project, replaces=(fact.head,))])
    blocks = desk.state(project).all("block")
    address = f"/p/{project}/{page}" + (f"/{blocks[0]['batch']}" if page.endswith("batch") else "")
    html = client.get(address).text
    seen = set(re.findall(r'<span class="value">[^<]*<span class="unit">&#8239;([^<]*)</span>', html))
    assert label in seen
    assert gone not in seen
