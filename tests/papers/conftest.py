"""A project with one opened batch and two pressed blocks, made of entries.

Fixtures
--------
bench : Bench
    `bench.state()`, `bench.keep(kind, **body)` (returns the id), `bench.batch`, `bench.blocks`.
"""

from dataclasses import dataclass, field

import pytest
from starlette.testclient import TestClient
from tests.trials import quantity

from loamwright.engine.bench.marks import make_mark
from loamwright.web.app import create_app


@dataclass
class Bench:
    desk: object
    project: str
    hand: object
    batch: str = ""
    blocks: list = field(default_factory=list)

    def keep(self, kind, **body):
        entry = self.desk.entry(kind, body, self.hand(), project=self.project)
        self.desk.keep([entry])
        return entry.id

    def state(self):
        return self.desk.state(self.project)


@pytest.fixture
def bench(desk, project, hand):
    made = Bench(desk, project, hand)
    sand, clay = made.keep("source", name="River sand"), made.keep("source", name="Brown clay")
    blend = made.keep("blend", parts=[{"source": sand, "parts": 2}, {"source": clay, "parts": 1}])
    cement = made.keep("stabiliser", name="cement", type="cement")
    made.keep("pan_test", about=blend, wet=quantity("520", "g"), dry=quantity("500", "g"))
    mix = made.keep("mix", blend=blend, stabiliser=cement, dose=quantity("6", "pct"), basis="of_total_dry_mix")
    press = made.keep(
        "press", name="press", how="no_gauge", mould_length=quantity("100", "mm"), mould_width=quantity("100", "mm")
    )
    made.batch = made.keep("batch", mix=mix, soil_wanted=quantity("10", "kg"), water_wanted=quantity("10", "pct"))
    for counter in (1, 2):
        block = made.keep(
            "block",
            batch=made.batch,
            press=press,
            mark=make_mark(counter),
            green_mass=quantity("1.3", "kg"),
            height=quantity("60", "mm"),
            fate="soaked",
        )
        made.blocks.append(block)
    return made


@pytest.fixture
def client(desk, clock):
    with TestClient(create_app(desk, clock=clock), follow_redirects=False) as opened:
        yield opened
