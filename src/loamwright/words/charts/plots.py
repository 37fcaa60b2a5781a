"""Plain plots of one number against another: measured dots, lines drawn through or beside them, each named in the drawing."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from loamwright.words.charts import frame
from loamwright.words.charts.frame import Chart, Scale, along, axis, mark
from loamwright.words.charts.strength import ACROSS

HEIGHT = 220.0

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A line: its name in the drawing, its points in the units of the axes, broken or not."""

    name: str
    points: tuple[Point, ...]
    broken: bool = False


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its title with the unit, and whether it begins at zero."""

    title: str
    zero: bool = False


@dataclass(frozen=True, slots=True)
class Plot:
    """What is drawn: measured dots with their words (empty for none), and lines.

    Attributes
    ----------
    across, up : Axis
    dots : tuple of (x, y, words)
    lines : tuple of Line
    """

    across: Axis
    up: Axis
    dots: tuple[tuple[float, float, str], ...]
    lines: tuple[Line, ...] = field(default=())


def plot_chart(
    name: str,
    title: str,
    plot: Plot,
    *,
    read: str,
    alt: str,
    columns: Sequence[dict[str, object]],
    rows: Sequence[tuple[str, ...]],
) -> Chart:
    """The chart of a plot; the table holds every dot and whatever else a reader needs."""
    return Chart(
        name=name,
        title=title,
        read=read,
        alt=alt,
        columns=tuple(columns),
        rows=tuple(rows),
        description=_describe(plot, alt),
    )


def _describe(plot: Plot, alt: str) -> dict[str, Any]:
    every = [(x, y) for x, y, _ in plot.dots] + [point for line in plot.lines for point in line.points]
    across = frame.scale_of([x for x, _ in every], ACROSS, zero=plot.across.zero, room=0.06)
    up = frame.scale_of([y for _, y in every], HEIGHT, marks=4, zero=plot.up.zero, room=0.1)
    places = [(across.px(x), HEIGHT - up.px(y), words) for x, y, words in plot.dots]
    names = [(*_end(line, across, up), line.name) for line in plot.lines if line.name]
    keep_off = [place for line in plot.lines for place in _along(line, across, up)]
    wanted = [*places, *names]
    placed = frame.place(wanted, ACROSS, HEIGHT, lines=keep_off)
    x, y = {"field": "x", **along(across)}, {"field": "y", **along(up)}
    where = {
        "x": {"field": "x", **axis(across, plot.across.title, grid=False)},
        "y": {"field": "y", **axis(up, plot.up.title, down=True)},
    }
    layers = [
        *(
            mark("line", [{"x": a, "y": b} for a, b in line.points], {"x": x, "y": y}, strokeWidth=1.5, **_dash(line))
            for line in plot.lines
        ),
        mark("point", [{"x": a, "y": b} for a, b, _ in plot.dots], where, shape="circle"),
        *frame.leaders(wanted, placed, ACROSS, HEIGHT),
        *frame.texts(placed, ACROSS, HEIGHT),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=ACROSS, height=HEIGHT, top=34))


def _dash(line: Line) -> dict[str, Any]:
    return {"strokeDash": [5, 4]} if line.broken else {}


def _end(line: Line, across: Scale, up: Scale) -> Point:
    """Where the name of a line hangs: two thirds along it."""
    x, y = line.points[2 * len(line.points) // 3]
    return across.px(x), HEIGHT - up.px(y)


def _along(line: Line, across: Scale, up: Scale) -> list[Point]:
    corners = [(across.px(x), HEIGHT - up.px(y)) for x, y in line.points]
    return [place for start, end in pairwise(corners) for place in frame.between(start, end)]
