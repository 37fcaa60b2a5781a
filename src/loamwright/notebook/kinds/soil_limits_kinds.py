"""Kinds of soil tests. Limits, shrinkage."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
