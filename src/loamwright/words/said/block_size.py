"""What is said of block tests. Sizes, density, shrinkage and swell of a block."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
