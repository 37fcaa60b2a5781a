"""What is said of block tests. Soaking, boiling, capillary rise, absorption."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
