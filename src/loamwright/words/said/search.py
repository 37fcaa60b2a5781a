"""What is said of the search for a blend."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
