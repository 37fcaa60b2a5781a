"""Soaking, boiling, capillary rise, absorption."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
