"""What is said of building rules."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
