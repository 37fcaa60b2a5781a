"""Kinds of block tests. Sizes, density, shrinkage and swell of a block."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
