"""Sizes, density, shrinkage and swell of a block."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
