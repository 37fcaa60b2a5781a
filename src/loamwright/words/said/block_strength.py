"""What is said of block tests. Splitting, press and rig calibration, penetrometer."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
