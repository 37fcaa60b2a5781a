"""What every chart is made of: a name, a text description, a table of the numbers plotted, and one Vega-Lite description.

Places are worked out here to the pixel (no automatic sizing), so that a page knows a drawing's size before it is drawn and labels
can be set beside their dots without covering each other. Drawings are black on a light ground: shapes, dashes and words tell things
apart, never colour.
"""

import math
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
WIDTH = 328  # of a whole drawing: a phone of 360 px less its margins
INK = "#1b1916"
SOFT = "#57524a"
RULE = "#c9c3b6"
SHADE = "#ded8cc"
PAPER = "#ffffff"
FONT = "Loam Text, Noto Sans, sans-serif"
SIZE = 13  # of letters
LINE = 17  # from one line of words to the next
LETTER = 5.9  # mean width of a letter of that size
SHAPES = ("circle", "square", "triangle-up", "diamond", "cross", "triangle-down")
LONGEST = 44

Layer = dict[str, Any]
Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart.

    Attributes
    ----------
    name : str
        In its address, such as "strength" or "ladder-<blend>".
    title : str
        What it shows; the caption of its table.
    read : str
        How to read it.
    alt : str
        One sentence of what it shows, with the main numbers.
    columns : tuple of dict
        Heads of the table: {label, unit, count}.
    rows : tuple of tuple of str
        Every number plotted, as printed.
    description : dict
        Vega-Lite, version 6; all data inside.
    """

    name: str
    title: str
    read: str
    alt: str
    columns: tuple[dict[str, object], ...]
    rows: tuple[tuple[str, ...], ...]
    description: dict[str, Any]

    @property
    def width(self) -> int:
        """Of the drawing. [px]"""
        pad = self.description["padding"]
        return int(self.description["width"] + pad["left"] + pad["right"])

    @property
    def height(self) -> int:
        """Of the drawing. [px]"""
        pad = self.description["padding"]
        return int(self.description["height"] + pad["top"] + pad["bottom"])

    def as_json(self) -> dict[str, Any]:
        """The chart for a phone without a network: words, table and description."""
        return {
            "name": self.name,
            "title": self.title,
            "read": self.read,
            "alt": self.alt,
            "columns": list(self.columns),
            "rows": [list(row) for row in self.rows],
            "width": self.width,
            "height": self.height,
            "description": self.description,
        }


def label(text: str, most: int = LONGEST) -> str:
    """A name fit for a drawing: one line, no control or direction characters, not longer than it can be shown.

    >>> label("Red\\nclay\\u202e"), label("x" * 60, 5)
    ('Red clay', 'xxxx…')
    """
    spaced = "".join(" " if each.isspace() else each for each in text[: 20 * most])
    shown = " ".join("".join(each for each in spaced if unicodedata.category(each)[0] != "C").split())
    return shown if len(shown) <= most else shown[: most - 1].rstrip() + "…"


def two_lines(text: str) -> str:
    """A long label broken where it may be: after a comma, else at a space near its middle.

    >>> two_lines("Bank sand 5 : Red clay 2, 6 % cement")
    'Bank sand 5 : Red clay 2,\\n6 % cement'
    """
    if len(text) < 22:
        return text
    comma, space = text.rfind(", "), text.find(" ", len(text) // 2)
    at = comma + 1 if comma > 0 else space
    return text if at <= 0 else f"{text[:at]}\n{text[at + 1 :]}"


@dataclass(frozen=True, slots=True)
class Scale:
    """One axis: its ends, the step of its marks, and how long it is drawn."""

    low: float
    high: float
    step: float
    length: float

    def px(self, value: float) -> float:
        """How far from the low end a value is drawn. [px]"""
        return self.length * (value - self.low) / (self.high - self.low)

    def at(self, px: float) -> float:
        """The value drawn at a place."""
        return self.low + px / self.length * (self.high - self.low)

    @property
    def marks(self) -> list[float]:
        """Values with a number on the axis."""
        count = round((self.high - self.low) / self.step)
        return [round(self.low + place * self.step, 10) for place in range(count + 1)]


def scale_of(values: Iterable[float], length: float, *, marks: int = 5, zero: bool = False, room: float = 0.04) -> Scale:
    """An axis that holds all values with a little room, marked in steps of 1, 2 or 5.

    >>> scale = scale_of([1.6, 3.1], 300)
    >>> scale.low, scale.high, scale.step
    (1.5, 3.5, 0.5)
    """
    known = list(values)
    low, high = min(known), max(known)
    spread = (high - low) or abs(high) * 0.2 or 1.0
    low, high = low - room * spread, high + room * spread
    if zero or 0 <= low < 0.25 * high:
        low = 0.0
    rough = (high - low) / marks
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * each for each in (1, 2, 5, 10) if rough <= power * each * 1.0000001)
    return Scale(round(math.floor(low / step + 1e-9) * step, 10), round(math.ceil(high / step - 1e-9) * step, 10), step, length)


# --- labels beside their dots ---


@dataclass(frozen=True, slots=True)
class Placed:
    """A label that found its place: the middle of its line of words, and where it is anchored."""

    text: str
    x: float
    y: float
    align: str


Box = tuple[float, float, float, float]
Try = tuple[float, float, str]
Point = tuple[float, float]
Wanted = tuple[float, float, str]
Taken = tuple[Box, float]


def place(
    wanted: Sequence[Wanted],
    width: float,
    height: float,
    *,
    lines: Sequence[Point] = (),
    fixed: Sequence[Placed] = (),
    beyond: float = 0,
) -> list[Placed]:
    """Set each label near its dot where it covers no dot and no other label, all in px from the upper left.

    The labels are set one after the other, in their own order and in two others; the order that covers least is taken.

    Parameters
    ----------
    wanted : sequence of (x, y, words)
        Every dot with its label; a dot without words is only kept free.
    width, height : float
        Of the field. [px]
    lines : sequence of (x, y)
        Places along lines, and other things that are better left to be seen.
    fixed : sequence of Placed
        Labels that have their place already.
    beyond : float
        How far a label may reach out of the field to either side. [px]
    """
    taken: list[Taken] = [((x - 6, y - 6, x + 6, y + 6), 4.0) for x, y, _ in wanted]
    taken += [((x - 3, y - 3, x + 3, y + 3), 1.9) for x, y in lines]
    taken += [(_box((each.x, each.y, each.align), each.text), 2.0) for each in fixed]
    named = [place for place, each in enumerate(wanted) if each[2]]
    orders = (named, named[::-1], sorted(named, key=lambda place: (wanted[place][1], place)))
    found = [_in_order(wanted, order, (-beyond, width + beyond), height, taken) for order in orders]
    return min(found, key=lambda each: each[0])[1]


def _in_order(
    wanted: Sequence[Wanted], order: Sequence[int], across: Point, height: float, given: Sequence[Taken]
) -> tuple[float, list[Placed]]:
    """Labels set one after the other, given back as they were asked for, and what they cost in all."""
    taken, placed, total = list(given), dict[int, Placed](), 0.0
    for place in order:
        x, y, text = wanted[place]
        tries = (_inside(each, text, across, height) for each in _around(x, y, LINE / 2 * text.count("\n")))
        near_first = sorted((_FAR * _apart((x, y), _box(each, text)), each) for each in tries)
        cost, best = _best((x, y), near_first, text, taken)
        taken.append((_box(best, text), 2.0))
        placed[place] = Placed(text, *best)
        total += cost
    return total, [placed[place] for place in sorted(placed)]


_BESIDE = 14.0
"""A label no farther from its dot than this needs no line to it. [px]"""
_FAR = 0.9
"""What one px of distance from its dot weighs against one px² covered."""


def _best(dot: Point, tries: Sequence[tuple[float, Try]], text: str, taken: Sequence[Taken]) -> tuple[float, Try]:
    """Of places from near to far the one that costs least; those too far to win are not looked at."""
    least, found = math.inf, tries[0][1]
    for far, each in tries:
        if far >= least:
            break
        box = _box(each, text)
        cost = far + _covered(box, taken) + _crossed(dot, box, taken)
        if cost < least:
            least, found = cost, each
    return least, found


def long_of(text: str) -> float:
    """How long words are, near enough. [px]"""
    return LETTER * max(len(line) for line in text.split("\n"))


def _around(x: float, y: float, more: float) -> list[Try]:
    near: list[Try] = [(x + 10, y, "left"), (x - 10, y, "right")]
    for far in range(16, 135, 17):
        for up in (-far - more, far + more):
            near += [(x + across, y + up, align) for across, align in _SIDES]
    return near


_SIDES = ((0, "center"), (8, "left"), (-8, "right"), (45, "left"), (-45, "right"), (85, "left"), (-85, "right"))


def _inside(each: Try, text: str, across: tuple[float, float], height: float) -> Try:
    """A place moved so that the words stay on the drawing."""
    left, top, right, bottom = _box(each, text)
    x, y, align = each
    x += max(0.0, across[0] - left) - max(0.0, right - across[1])
    y += max(0.0, -top) - max(0.0, bottom - height)
    return x, y, align


def _box(each: Try, text: str) -> Box:
    x, y, align = each
    long, tall = long_of(text), LINE * (1 + text.count("\n"))
    left = {"left": x, "right": x - long, "center": x - long / 2}[align]
    return left, y - tall / 2, left + long, y + tall / 2


def _covered(box: Box, taken: Sequence[Taken]) -> float:
    area = 0.0
    for (left, top, right, bottom), weight in taken:
        if left < box[2] and right > box[0] and top < box[3] and bottom > box[1]:
            area += weight * (min(box[2], right) - max(box[0], left)) * (min(box[3], bottom) - max(box[1], top))
    return area


def _crossed(dot: Point, box: Box, taken: Sequence[Taken]) -> float:
    """What a line from a dot to its label would run over: other dots and labels."""
    end = _nearest(dot, box)
    if math.dist(dot, end) <= _BESIDE:
        return 0.0
    along = [(x - 1, y - 1, x + 1, y + 1) for x, y in between(dot, end) if math.dist(dot, (x, y)) > 9]
    heavy = [each for each in taken if each[1] >= 2.0]
    return 10 * sum(_covered(each, heavy) for each in along)


def _nearest(dot: Point, box: Box) -> Point:
    return min(max(dot[0], box[0]), box[2]), min(max(dot[1], box[1] + 3), box[3] - 3)


def _apart(dot: Point, box: Box) -> float:
    return math.dist(dot, _nearest(dot, box))


def leaders(wanted: Sequence[Wanted], placed: Sequence[Placed], width: float, height: float) -> list[Layer]:
    """Thin lines from dots to labels that could not stay beside them."""
    rows = []
    for (x, y, _), each in zip((each for each in wanted if each[2]), placed, strict=True):
        box = _box((each.x, each.y, each.align), each.text)
        if _apart((x, y), box) > _BESIDE:
            end = _nearest((x, y), box)
            rows.append({"px": round(x, 1), "py": round(y, 1), "px2": round(end[0], 1), "py2": round(end[1], 1)})
    across, down = _px_scales(width, height)
    where = {"x": {"field": "px", **across}, "y": {"field": "py", **down}, "x2": {"field": "px2"}, "y2": {"field": "py2"}}
    return [mark("rule", rows, where, strokeWidth=0.75)] if rows else []


def between(start: Point, end: Point, step: float = 9) -> list[Point]:
    """Places along a line, so that labels keep off it."""
    count = max(1, round(math.dist(start, end) / step))
    return [(start[0] + (end[0] - start[0]) * n / count, start[1] + (end[1] - start[1]) * n / count) for n in range(count + 1)]


# --- the description ---


def describe(
    layers: Sequence[Layer], *, alt: str, width: float, height: float, top: float = 8, right: float = 12, bottom: float = 44
) -> dict[str, Any]:
    """A whole description of layers; what is left of the width goes to the left margin."""
    return {
        "$schema": SCHEMA,
        "description": alt,
        "width": width,
        "height": height,
        "autosize": "none",
        "padding": {"left": WIDTH - width - right, "top": top, "right": right, "bottom": bottom},
        "background": PAPER,
        "layer": list(layers),
        "config": {
            "font": FONT,
            "view": {"stroke": None},
            "axis": {
                "labelFontSize": SIZE,
                "titleFontSize": SIZE,
                "titleFontWeight": "normal",
                "labelColor": INK,
                "titleColor": INK,
                "domainColor": INK,
                "tickColor": INK,
                "gridColor": RULE,
                "labelFlush": False,
            },
            "text": {"fontSize": SIZE, "fill": INK, "baseline": "middle", "lineBreak": "\n", "lineHeight": LINE},
            "rule": {"stroke": INK},
            "line": {"stroke": INK, "strokeWidth": 1},
            "point": {"stroke": INK, "fill": INK, "size": 90, "opacity": 1, "strokeWidth": 1.5},
            "rect": {"fill": SHADE, "stroke": SOFT, "strokeWidth": 0.5},
        },
    }


def axis(scale: Scale, title: str, *, down: bool = False, digits: int | None = None, grid: bool = True) -> dict[str, Any]:
    """A channel with its own axis; `down` for the one that stands, whose title lies flat above it."""
    return {
        "type": "quantitative",
        "scale": {"domain": [scale.low, scale.high], "nice": False, "zero": False},
        "axis": {
            "title": title,
            "values": scale.marks,
            "format": f".{_places(scale.step) if digits is None else digits}f",
            "grid": grid,
            **(
                {
                    "titleAngle": 0,
                    "titleAlign": "left",
                    "titleAnchor": "end",
                    "titleX": -44,
                    "titleY": -20,
                    "titleBaseline": "middle",
                }
                if down
                else {"titlePadding": 6}
            ),
        },
    }


def _places(step: float) -> int:
    return max(0, -math.floor(math.log10(step) + 1e-9))


def along(scale: Scale, *, reverse: bool = False) -> dict[str, Any]:
    """A channel on the same scale without an axis of its own."""
    return {
        "type": "quantitative",
        "scale": {"domain": [scale.low, scale.high], "nice": False, "zero": False, **({"reverse": True} if reverse else {})},
        "axis": None,
    }


def mark(kind: str, rows: Sequence[Row], encoding: Mapping[str, Any], **how: Any) -> Layer:
    """One layer: its own rows, a mark, where each goes."""
    return {"data": {"values": [dict(row) for row in rows]}, "mark": {"type": kind, **how}, "encoding": dict(encoding)}


def _px_scales(width: float, height: float) -> tuple[dict[str, Any], dict[str, Any]]:
    return along(Scale(0, width, 1, width)), along(Scale(0, height, 1, height), reverse=True)


def texts(placed: Sequence[Placed], width: float, height: float, *, clear: bool = True, **how: Any) -> list[Layer]:
    """Layers of labels, one for each way of anchoring, placed in px from the upper left; `clear` lays paper below the words."""
    across, down = _px_scales(width, height)
    layers = [_paper(placed, across, down)] if clear and placed else []
    for align in ("left", "center", "right"):
        rows = [
            {"px": round(each.x, 1), "py": round(_first(each), 1), "words": each.text} for each in placed if each.align == align
        ]
        if rows:
            where = {"x": {"field": "px", **across}, "y": {"field": "py", **down}, "text": {"field": "words", "type": "nominal"}}
            layers.append(mark("text", rows, where, align=align, **how))
    return layers


def _first(each: Placed) -> float:
    """Middle of the first line of a label, whose own place is the middle of all its lines."""
    return each.y - LINE / 2 * each.text.count("\n")


def _paper(placed: Sequence[Placed], across: dict[str, Any], down: dict[str, Any]) -> Layer:
    boxes = [_box((each.x, each.y, each.align), each.text) for each in placed]
    rows = [{"px": round(x, 1), "py": round(y + 2, 1), "px2": round(x2, 1), "py2": round(y2 - 2, 1)} for x, y, x2, y2 in boxes]
    where = {"x": {"field": "px", **across}, "y": {"field": "py", **down}, "x2": {"field": "px2"}, "y2": {"field": "py2"}}
    return mark("rect", rows, where, fill=PAPER, stroke=None, opacity=0.8)


def independent(description: dict[str, Any]) -> dict[str, Any]:
    """The description with every layer on scales of its own: labels are placed in px, dots by value."""
    description["resolve"] = {"scale": {"x": "independent", "y": "independent"}}
    return description
