"""Swelling, slaking, activity of the clay."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
