"""Kinds of block tests. Splitting, press and rig calibration, penetrometer."""

from loamwright.notebook.kinds import Kind

KINDS: tuple[Kind, ...] = ()
