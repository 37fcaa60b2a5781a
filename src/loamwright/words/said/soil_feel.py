"""What is said of soil tests. Feel tests."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
