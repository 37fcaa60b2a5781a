"""Kinds of block tests. Brushing, frost, spray, drip, abrasion."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
