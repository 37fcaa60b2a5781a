"""What is said of soil tests. Water against density."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
