"""What is said of soil tests. Swelling, slaking, activity of the clay."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
