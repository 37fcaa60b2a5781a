"""Which kinds of entries are tests of a soil or of a block."""

from functools import cache

from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.soil_tests import SOIL_TESTS


@cache
def tested_kinds() -> frozenset[str]:
    """Names of the kinds that have a page of their own as a test."""
    return frozenset({*SOIL_TESTS.by_kind(), *BLOCK_TESTS.by_kind()})
