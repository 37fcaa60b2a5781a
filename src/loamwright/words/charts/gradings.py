"""Grading curves: share passing against grain size on a log axis, with the envelopes they are held against."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log10
from typing import Any

from loamwright.words.charts import frame
from loamwright.words.charts.frame import Chart, Scale, along, axis, mark
from loamwright.words.charts.strength import ACROSS
from loamwright.words.language import tr
from loamwright.words.numbers import number

HEIGHT = 240.0
SIZES = (0.002, 0.02, 0.06, 0.2, 0.6, 2.0, 6.0, 20.0)
"""Sizes with a number on the axis, where the curves reach them. [mm]"""
DASHES = ([1, 0], [7, 4], [2, 3], [9, 3, 2, 3], [4, 2], [12, 4])


@dataclass(frozen=True, slots=True)
class Curve:
    """One grading curve: whose it is, sizes [mm] and shares passing, from fine to coarse."""

    name: str
    sizes: tuple[float, ...]
    passing: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Envelope:
    """A band that a source asks a curve to lie in: sizes [mm], least and most passing."""

    name: str
    sizes: tuple[float, ...]
    least: tuple[float, ...]
    most: tuple[float, ...]


def grading_chart(name: str, title: str, curves: Sequence[Curve], envelope: Envelope | None = None) -> Chart | None:
    """Grading curves in one drawing; None where there is none with two sizes."""
    drawn = [each for each in curves if len(each.sizes) > 1]
    if not drawn:
        return None
    said = "; ".join(_said(each) for each in drawn)
    alt = tr("Grading curves: {curves}.", curves=said)
    band = ""
    if envelope is not None:
        band = " " + tr("Shaded: {document}, from memory, guidance only.", document=frame.label(envelope.name))
    return Chart(
        name=name,
        title=title,
        read=tr("One line is one soil: the share of its dry mass that is finer than the size below.") + band,
        alt=alt + band,
        columns=(
            {"label": tr("Soil")},
            {"label": tr("Size"), "unit": "mm", "count": True},
            {"label": tr("Passing"), "unit": "%", "count": True},
        ),
        rows=tuple(
            (each.name, f"{size:.3g}", number(100 * share, 1))
            for each in drawn
            for size, share in zip(each.sizes, each.passing, strict=True)
        ),
        description=_describe(drawn, envelope, alt + band),
    )


def _said(each: Curve) -> str:
    ends = (each.sizes[0], each.passing[0]), (each.sizes[-1], each.passing[-1])
    (fine, low), (coarse, high) = ends
    return tr(
        "{soil} from {low} % under {fine} mm to {high} % under {coarse} mm",
        soil=frame.label(each.name),
        low=number(100 * low, 0),
        fine=f"{fine:.3g}",
        high=number(100 * high, 0),
        coarse=f"{coarse:.3g}",
    )


def _describe(curves: Sequence[Curve], envelope: Envelope | None, alt: str) -> dict[str, Any]:
    sizes = [size for each in curves for size in each.sizes]
    across = Scale(log10(min(*sizes, 0.06)) - 0.05, log10(max(*sizes, 2.0)) + 0.05, 1.0, ACROSS)
    up = Scale(0.0, 100.0, 20.0, HEIGHT)
    x, y = {"field": "size", **along(across)}, {"field": "passing", **along(up)}
    lines = [_rows(each) for each in curves]
    ends = [(across.px(rows[len(rows) // 2]["size"]), HEIGHT - up.px(rows[len(rows) // 2]["passing"])) for rows in lines]
    words = [(px, py, frame.label(each.name, 26)) for (px, py), each in zip(ends, curves, strict=True)]
    keep_off = [
        place for rows in lines for start, end in pairwise(_dots(rows, across, up)) for place in frame.between(start, end)
    ]
    placed = frame.place(words, ACROSS, HEIGHT, lines=keep_off)
    layers = [
        *([] if envelope is None else [_band(envelope, across, up)]),
        mark(
            "point",
            lines[0][:1],
            {"x": {"field": "size", **_log_axis(across)}, "y": {"field": "passing", **_up_axis(up)}},
            size=1,
        ),
        *(
            mark("line", rows, {"x": x, "y": y}, strokeWidth=2, strokeDash=DASHES[place % len(DASHES)])
            for place, rows in enumerate(lines)
        ),
        *(
            mark("point", rows, {"x": x, "y": y}, size=40, shape=frame.SHAPES[place % len(frame.SHAPES)])
            for place, rows in enumerate(lines)
        ),
        *frame.leaders(words, placed, ACROSS, HEIGHT),
        *frame.texts(placed, ACROSS, HEIGHT),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=ACROSS, height=HEIGHT, top=34))


def _rows(each: Curve) -> list[dict[str, float]]:
    return [
        {"size": round(log10(size), 6), "passing": round(100 * share, 4)}
        for size, share in zip(each.sizes, each.passing, strict=True)
    ]


def _dots(rows: Sequence[dict[str, float]], across: Scale, up: Scale) -> list[tuple[float, float]]:
    return [(across.px(row["size"]), HEIGHT - up.px(row["passing"])) for row in rows]


def _band(envelope: Envelope, across: Scale, up: Scale) -> frame.Layer:
    """The part of an envelope that lies on the drawing."""
    rows = [
        {"size": round(log10(size), 6), "passing": 100 * low, "most": 100 * high}
        for size, low, high in zip(envelope.sizes, envelope.least, envelope.most, strict=True)
        if across.low <= log10(size) <= across.high
    ]
    where = {"x": {"field": "size", **along(across)}, "y": {"field": "passing", **along(up)}, "y2": {"field": "most"}}
    return mark("area", rows, where, fill=frame.SHADE, opacity=1)


def _log_axis(across: Scale) -> dict[str, Any]:
    found = axis(across, tr("Grain size, mm"), grid=False)
    places = [round(log10(size), 6) for size in SIZES if across.low <= log10(size) <= across.high]
    return {**found, "axis": {**found["axis"], "values": places, "labelExpr": "format(pow(10, datum.value), '.1~g')"}}


def _up_axis(up: Scale) -> dict[str, Any]:
    return axis(up, tr("Passing, %"), down=True)
