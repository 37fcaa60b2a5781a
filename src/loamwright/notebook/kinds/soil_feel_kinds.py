"""Kinds of soil tests. Feel tests."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
