"""What is said of soil tests. Pits and samples."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
