"""Kinds of soil tests. Grain sizes."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
