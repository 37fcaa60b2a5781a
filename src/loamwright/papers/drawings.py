"""Pictures for the crew card, drawn by us in one weight of line: pail, bags, water, gauge, height, scale, squeeze, tally."""

from functools import cache
from importlib import resources


@cache
def drawing(name: str) -> str:
    """One picture as SVG, by the name of its file.

    >>> drawing("pail").startswith("<svg")
    True
    """
    return resources.files("loamwright.papers").joinpath("pictures", f"{name}.svg").read_text("utf-8")
