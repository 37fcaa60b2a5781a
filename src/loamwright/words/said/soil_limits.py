"""What is said of soil tests. Limits, shrinkage."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
