"""Salts, acids, organic matter, lime demand."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
