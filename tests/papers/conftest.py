"""A project with one opened batch and two pressed blocks, made of entries.

Fixtures
--------
bench : Bench
    `bench.state()`, `bench.keep(kind, **body)` (returns the id), `bench.batch`, `bench.blocks`.
demo, drawn, setting
    Papers of the demo project, drawn once a session, and of the small bench.
"""

from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone

import pytest
from starlette.testclient import TestClient
from tests.trials import quantity

from loamwright.engine.bench.marks import make_mark
from loamwright.notebook.store import open_notebook
from loamwright.papers import catalogue
from loamwright.papers.pdf import pdf
from loamwright.project.demo import load_demo
from loamwright.project.desk import Desk
from loamwright.web.app import create_app
from loamwright.words.numbers import Shown
from loamwright.words.sentences import sentence


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


NOON = datetime(2026, 6, 15, 12, 0, tzinfo=timezone(timedelta(hours=2)))


@pytest.fixture(scope="session")
def demo_desk(tmp_path_factory):
    """The demo project, loaded as of a noon in June; tests of papers only read it."""
    opened = open_notebook(tmp_path_factory.mktemp("demo") / "demo.notebook")
    desk = Desk(opened)
    load_demo(desk, NOON)
    yield desk
    opened.close()


@pytest.fixture(scope="session")
def demo(demo_desk):
    """What papers of the demo project are made with."""
    state = demo_desk.projects()[0]
    return catalogue.setting(demo_desk.notebook, state, shown=Shown(), today=NOON.date(), by="Ines")


@pytest.fixture(scope="session")
def drawn(demo):
    """`drawn(name, size)`: document and PDF of a paper of the demo about the newest thing it can be about, drawn once."""
    kept = {}

    def draw(name, size="a4", **more):
        key = (name, size, *more.items())
        if key not in kept:
            made = catalogue.document(demo, name, about_of(demo, name), **more)
            kept[key] = (made, pdf(made, size=size, missing=sentence("paper_signs_missing", {})))
        return kept[key]

    return draw


def about_of(demo, name):
    paper = catalogue.PAPERS[name]
    return catalogue.things(demo.state, paper)[0].id if paper.needed else ""


@pytest.fixture
def setting(bench):
    """What papers of the small bench are made with."""
    return catalogue.setting(bench.desk.notebook, bench.state(), shown=Shown(), today=NOON.date(), by="MB")
