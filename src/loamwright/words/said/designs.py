"""What is said of plans and designs."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
