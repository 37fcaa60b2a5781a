"""A drawing in black ink alone: shades become outlines, clouds become fine dots, so that a photocopy loses nothing."""

from collections.abc import Mapping
from typing import Any

from loamwright.words.charts.frame import INK, RULE, SHADE, SOFT

BLACK = "#000000"
DOTTED = [1, 3]
CLOUD_DOT = 3
"""Size of a dot of a cloud, which on a screen is large and pale. [px²]"""


def in_ink(description: Mapping[str, Any]) -> dict[str, Any]:
    """The same drawing with black for every colour.

    >>> in_ink({"mark": {"type": "area", "fill": SHADE}})["mark"]["stroke"]
    '#000000'
    """
    found = _walked(description)
    assert isinstance(found, dict)
    return found


def _walked(value: Any) -> Any:
    if isinstance(value, Mapping):
        return _inked({key: _walked(each) for key, each in value.items()})
    if isinstance(value, list | tuple):
        return [_walked(each) for each in value]
    return BLACK if value in (INK, SOFT) else value


def _inked(look: dict[str, Any]) -> dict[str, Any]:
    """One mark or block of settings with its shades, lines of a grid and pale dots in ink."""
    if look.get("fill") == SHADE:
        look |= {"fill": "transparent", "stroke": BLACK, "strokeWidth": 1, "strokeDash": [6, 3]}
    if look.get("stroke") == RULE:
        look |= {"stroke": BLACK, "strokeDash": DOTTED}
    if look.get("gridColor") == RULE:
        look |= {"gridColor": BLACK, "gridDash": DOTTED, "gridWidth": 0.5}
    if isinstance(look.get("opacity"), float) and look["opacity"] < 1:
        pale = look["opacity"] < 0.5
        look |= {"opacity": 1, **({"size": CLOUD_DOT} if pale else {})}
    return look
