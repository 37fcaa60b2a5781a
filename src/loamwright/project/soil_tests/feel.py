"""Feel tests."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
