"""What is said of soil tests. Grain sizes."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
