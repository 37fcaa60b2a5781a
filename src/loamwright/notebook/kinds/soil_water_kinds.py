"""Kinds of soil tests. Water in the soil, how loosely it lies, how heavy its grains are."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
