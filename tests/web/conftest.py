"""A client of the real app over a real notebook in a temporary file.

Fixtures
--------
client : TestClient
    Follows no redirects; its clock is the fixture `clock`.
home : str
    The address of the fixture project.
"""

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from loamwright.project.desk import Desk
from loamwright.web.app import create_app


@pytest.fixture
def client(desk: Desk, clock) -> Iterator[TestClient]:
    with TestClient(create_app(desk, clock=clock), follow_redirects=False) as opened:
        yield opened


@pytest.fixture
def home(project: str) -> str:
    return f"/p/{project}"
