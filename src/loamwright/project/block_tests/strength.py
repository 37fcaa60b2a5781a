"""Splitting, press and rig calibration, penetrometer."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
