"""What is said of block tests. Brushing, frost, spray, drip, abrasion."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
