"""Kinds of soil tests. Pits and samples."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
