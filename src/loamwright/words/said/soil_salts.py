"""What is said of soil tests. Salts, acids, organic matter, lime demand."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
