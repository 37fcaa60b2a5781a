"""Kinds of soil tests. Salts, acids, organic matter, lime demand."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
