"""What tests of pressed blocks share; see `tests/project/pressed.py`."""

import pytest
from tests.project.pressed import Bench


@pytest.fixture
def bench(desk, project, hand) -> Bench:
    """A bench in the fixture project; its clock moves on by a minute with every entry."""
    return Bench(desk, project, hand)
