"""Brushing, frost, spray, drip, abrasion."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
