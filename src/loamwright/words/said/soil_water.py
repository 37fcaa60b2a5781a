"""What is said of soil tests. Water in the soil, how loosely it lies, how heavy its grains are."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
