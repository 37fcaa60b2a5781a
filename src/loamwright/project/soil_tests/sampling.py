"""Pits and samples."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
