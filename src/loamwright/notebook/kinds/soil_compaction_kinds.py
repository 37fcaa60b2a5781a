"""Kinds of soil tests. Water against density."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
