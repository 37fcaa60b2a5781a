"""What is said of what is believed of a soil."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
