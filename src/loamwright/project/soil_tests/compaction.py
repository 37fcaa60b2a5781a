"""Water against density."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
