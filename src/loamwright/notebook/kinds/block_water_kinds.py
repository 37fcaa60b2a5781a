"""Kinds of block tests. Soaking, boiling, capillary rise, absorption."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
