"""What all tests share.

Fixtures
--------
clock : Clock
    A clock that stands until it is told to go: `clock()` gives the aware moment, `clock.ahead(minutes=5)` moves it and gives it.
    It starts at 2026-03-04 08:00, two hours east of UTC.
hand : function
    `hand()` is a `Hand` at the clock's moment by "MB"; every call moves the clock on by one minute, so that entries have an order.
notebook : Notebook
    An open notebook in a real file of its own (`notebook.path`), closed at the end.
desk : Desk
    The desk over that notebook.
project : str
    The id of a project already opened on that desk, named "Test wall", with an empty brief.
bench : Bench
    Writes entries of that project as typed texts (`tests/project/pressed.py`).
trial : Trial
    Writes entries of that project as bodies, whole trials at once (`tests/trials.py`).

Hypothesis runs without a deadline, and always with the same examples where the variable CI is set.
"""

import os
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from tests.project.pressed import Bench
from tests.trials import Trial

from loamwright.notebook.store import Notebook, open_notebook
from loamwright.project.desk import Desk, Hand

_ALLOWED = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
settings.register_profile("here", deadline=None, suppress_health_check=_ALLOWED)
settings.register_profile("ci", deadline=None, suppress_health_check=_ALLOWED, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "here")


class Clock:
    """A clock that stands until it is told to go."""

    def __init__(self, moment: datetime) -> None:
        self.moment = moment

    def __call__(self) -> datetime:
        return self.moment

    def ahead(self, **span: float) -> datetime:
        """Move on by a span in the words of `timedelta`."""
        self.moment += timedelta(**span)
        return self.moment


@pytest.fixture
def clock() -> Clock:
    return Clock(datetime(2026, 3, 4, 8, 0, tzinfo=timezone(timedelta(hours=2))))


@pytest.fixture
def hand(clock: Clock) -> Callable[[], Hand]:
    return lambda: Hand(clock.ahead(minutes=1), by="MB")


@pytest.fixture
def notebook(tmp_path: Path) -> Iterator[Notebook]:
    opened = open_notebook(tmp_path / "bench.notebook")
    yield opened
    opened.close()


@pytest.fixture
def desk(notebook: Notebook) -> Desk:
    return Desk(notebook)


@pytest.fixture
def project(desk: Desk, hand: Callable[[], Hand]) -> str:
    first = desk.open_project({"name": "Test wall"}, hand())
    desk.keep([first])
    return first.id


@pytest.fixture
def bench(desk: Desk, project: str, hand: Callable[[], Hand]) -> Bench:
    return Bench(desk, project, hand)


@pytest.fixture
def trial(desk: Desk, project: str, hand: Callable[[], Hand]) -> Trial:
    return Trial(desk, project, hand)
