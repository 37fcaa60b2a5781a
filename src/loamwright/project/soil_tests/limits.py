"""Limits, shrinkage."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
