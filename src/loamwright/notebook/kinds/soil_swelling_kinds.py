"""Kinds of soil tests. Swelling, slaking, activity of the clay."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
