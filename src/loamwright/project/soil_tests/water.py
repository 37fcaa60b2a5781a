"""Water in the soil, how loosely it lies, how heavy its grains are."""

from loamwright.project.worked import KindOfTest

TESTS: tuple[KindOfTest, ...] = ()
