"""Charts of soils: what sources and blends hold in the triangle of sand, silt and clay, and the plasticity chart."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin, sqrt
from typing import Any

from loamwright.engine.blend import windows
from loamwright.engine.blend.envelopes import plasticity_areas
from loamwright.engine.blend.windows import Window
from loamwright.engine.soil import plasticity
from loamwright.project import blending, clouds, limits
from loamwright.project.clouds import Cloud
from loamwright.project.finding import Finding
from loamwright.project.state import State
from loamwright.words.charts import frame
from loamwright.words.charts.frame import Chart, Layer, Scale, along, axis, mark
from loamwright.words.charts.strength import ACROSS
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, number
from loamwright.words.showing import name_of

SIDE = 272.0  # of the triangle [px]
TALL = float(round(SIDE * sqrt(3) / 2))
# Where a soil lies in the triangle: clay at the top, sand at the lower left, silt at the lower right.
TERNARY = [
    {"calculate": "datum.silt + datum.clay / 2", "as": "across"},
    {"calculate": f"datum.clay * {sqrt(3) / 2:.7f}", "as": "up"},
]


def texture(state: State, shown: Shown) -> Chart | None:
    """Sources and blends in the texture triangle, each with its draws as a cloud; None where nothing is known of any."""
    found = clouds.clouds(state)
    if not found:
        return None
    window = windows.stabiliser_window(blending.usual_stabiliser(state))
    alt = _alt(state, found, window)
    return Chart(
        name="texture",
        title=tr("Sand, silt and clay"),
        read=tr(
            "Circle: a source. Diamond: a blend. The cloud around each is where it may lie: the wider, the less is known."
            " Grey: the clay that suits {stabiliser}.",
            stabiliser=tr(window.stabiliser or ""),
        ),
        alt=alt,
        columns=(
            {"label": tr("Soil")},
            *({"label": words, "unit": "%", "count": True} for words in (tr("Clay"), tr("Silt"), tr("Sand"))),
            {"label": tr("Clay, likely"), "unit": "%", "count": True},
        ),
        rows=(*(_row(state, each) for each in found), _window_row(window)),
        description=_describe(state, found, window, alt),
    )


def _pct(finding: Finding) -> str:
    return number(100 * finding.value, 0)


def _row(state: State, each: Cloud) -> tuple[str, ...]:
    band = each.middle["clay"].band
    likely = "–" if band is None else tr("{low} to {high}", low=number(100 * band.low, 0), high=number(100 * band.high, 0))
    return (name_of(state, each.entity), *(_pct(each.middle[name]) for name in ("clay", "silt", "sand")), likely)


def _ends(window: Window) -> tuple[float, float]:
    return window.least or 0.0, 1.0 if window.most is None else window.most


def _window_words(window: Window) -> str:
    low, high = _ends(window)
    ends = {"low": number(100 * low, 0), "high": number(100 * high, 0), "stabiliser": tr(window.stabiliser or "")}
    return tr("for {stabiliser}: {low} to {high} % clay", **ends)


def _window_row(window: Window) -> tuple[str, ...]:
    low, high = (number(100 * end, 0) for end in _ends(window))
    name = tr("Clay that suits {stabiliser}", stabiliser=tr(window.stabiliser or ""))
    return (name, "", "", "", tr("{low} to {high}", low=low, high=high))


def _alt(state: State, found: Sequence[Cloud], window: Window) -> str:
    said = "; ".join(
        tr("{soil} {clay} % clay, {silt} % silt, {sand} % sand", soil=frame.label(name_of(state, each.entity)),
           **{name: _pct(each.middle[name]) for name in ("clay", "silt", "sand")})
        for each in found
    )  # fmt: skip
    return tr("Texture triangle: {soils}; the window {window}.", soils=said, window=_window_words(window))


def _describe(state: State, found: Sequence[Cloud], window: Window, alt: str) -> dict[str, Any]:
    x = {"field": "across", **along(Scale(0, 1, 0.2, SIDE))}
    y = {"field": "up", **along(Scale(0, sqrt(3) / 2, 0.2, TALL))}
    middles: list[dict[str, Any]] = [
        {**{name: round(each.middle[name].value, 4) for name in ("clay", "silt")}, "shape": _SHAPES[each.kind]} for each in found
    ]
    at = [_px(row["clay"], row["silt"]) for row in middles]
    names = [(*at[place], frame.label(name_of(state, each.entity), 34)) for place, each in enumerate(found)]
    low, high = _ends(window)
    end = _px((low + high) / 2, 1 - (low + high) / 2)
    fixed = [frame.Placed(tr("clay for {stabiliser}", stabiliser=tr(window.stabiliser or "")), end[0] - 8, end[1], "right")]
    keep_off = [*_sides_keep_off(), *(_px(clay, silt) for each in found for _, silt, clay in each.draws[::16])]
    placed = frame.place(names, SIDE, TALL, lines=keep_off, fixed=[*fixed, *_numbers()], beyond=24)
    shapes = {"domain": list(_SHAPES.values()), "range": list(_SHAPES.values())}
    shape = {"field": "shape", "type": "nominal", "scale": shapes, "legend": None}
    layers = [
        *_window_layers(window, x, y),
        *_grid_layers(x, y),
        *(_cloud_layer(each, x, y) for each in found),
        *frame.leaders(names, placed, SIDE, TALL),
        *frame.texts(placed, SIDE, TALL),
        *frame.texts(fixed, SIDE, TALL, clear=False),
        {**mark("point", middles, {"x": x, "y": y, "shape": shape}, size=120, stroke=frame.PAPER), "transform": TERNARY},
        *_side_layers(),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=SIDE, height=TALL, top=20, right=28, bottom=46))


_SHAPES = {"source": "circle", "blend": "diamond"}


def _px(clay: float, silt: float) -> tuple[float, float]:
    """A place in the triangle in px from the upper left."""
    return SIDE * (silt + clay / 2), TALL * (1 - clay)


def _cloud_layer(each: Cloud, x: dict[str, Any], y: dict[str, Any]) -> Layer:
    rows = [{"clay": round(clay, 3), "silt": round(silt, 3)} for _, silt, clay in each.draws]
    look = {"size": 26, "stroke": None, "fill": frame.INK, "opacity": 0.13}
    return {**mark("point", rows, {"x": x, "y": y}, shape=_SHAPES[each.kind], **look), "transform": TERNARY}


def _window_layers(window: Window, x: dict[str, Any], y: dict[str, Any]) -> list[Layer]:
    """The window as a grey strip across the triangle, with its edges ruled so that a copy keeps them."""
    low, high = _ends(window)
    edge = [{"clay": low, "silt": 0.0, "end": 1 - low}, {"clay": high, "silt": 0.0, "end": 1 - high}]
    span = [
        {"calculate": "datum.silt + datum.clay / 2", "as": "across"},
        {"calculate": "datum.end + datum.clay / 2", "as": "across2"},
        TERNARY[1],
    ]
    area = [
        {"clay": clay, "silt": silt} for clay, silt in ((low, 0.0), (high, 0.0), (high, 1 - high), (low, 1 - low), (low, 0.0))
    ]
    corners = [{**row, "order": place} for place, row in enumerate(area)]
    fill = mark(
        "line", corners, {"x": x, "y": y, "order": {"field": "order", "type": "quantitative"}}, fill=frame.SHADE, stroke=None
    )
    rules = mark("rule", edge, {"x": x, "x2": {"field": "across2"}, "y": y}, strokeDash=[5, 4], strokeWidth=1.5)
    return [{**fill, "transform": TERNARY}, {**rules, "transform": span}]


def _grid_layers(x: dict[str, Any], y: dict[str, Any]) -> list[Layer]:
    """The sides of the triangle, and a thin line for every fifth of clay, silt and sand."""
    sides = [{"clay": a, "silt": b, "order": place} for place, (a, b) in enumerate(((0, 0), (1, 0), (0, 1), (0, 0)))]
    lines: list[dict[str, float]] = []
    for fifth in (0.2, 0.4, 0.6, 0.8):
        rest = 1 - fifth
        for (clay, silt), (clay2, silt2) in (((fifth, 0), (fifth, rest)), ((0, fifth), (rest, fifth)), ((0, rest), (rest, 0))):
            lines.append({"clay": clay, "silt": silt, "clay2": clay2, "silt2": silt2})
    ends = [
        *TERNARY,
        {"calculate": "datum.silt2 + datum.clay2 / 2", "as": "across2"},
        {"calculate": f"datum.clay2 * {sqrt(3) / 2:.7f}", "as": "up2"},
    ]
    where = {"x": x, "y": y, "x2": {"field": "across2"}, "y2": {"field": "up2"}}
    outline = mark("line", sides, {"x": x, "y": y, "order": {"field": "order", "type": "quantitative"}}, strokeWidth=1.5)
    return [
        {**mark("rule", lines, where, stroke=frame.RULE, strokeWidth=0.75), "transform": ends},
        {**outline, "transform": TERNARY},
    ]


def _numbers() -> list[frame.Placed]:
    """Numbers along the sides: clay on the left, silt on the right, sand below."""
    numbers: list[frame.Placed] = []
    for fifth in (0.2, 0.4, 0.6, 0.8):
        text = number(100 * fifth, 0)
        left, right, foot = _px(fifth, 0.0), _px(1 - fifth, fifth), _px(0.0, 1 - fifth)
        numbers.append(frame.Placed(text, left[0] - 5, left[1], "right"))
        numbers.append(frame.Placed(text, right[0] + 5, right[1], "left"))
        numbers.append(frame.Placed(text, foot[0], foot[1] + 12, "center"))
    return numbers


def _sides() -> list[tuple[frame.Placed, int]]:
    """What each side counts, and how its words are turned."""
    half = TALL / 2 - 17
    return [
        (frame.Placed(tr("← sand, %"), SIDE / 2, TALL + 32, "center"), 0),
        (frame.Placed(tr("clay, % →"), SIDE * 0.25 - 29, half, "center"), 300),
        (frame.Placed(tr("silt, % →"), SIDE * 0.75 + 29, half, "center"), 60),
    ]


def _side_layers() -> list[Layer]:
    turned = [layer for words, angle in _sides() for layer in frame.texts([words], SIDE, TALL, clear=False, angle=angle)]
    return [*frame.texts(_numbers(), SIDE, TALL, clear=False, fontSize=11), *turned]


def _sides_keep_off() -> list[tuple[float, float]]:
    """Places along the turned words of the sides."""
    return [
        (words.x + 24 * part * cos(radians(angle)), words.y + 24 * part * sin(radians(angle)))
        for words, angle in _sides()
        for part in (-1, -0.5, 0, 0.5, 1)
    ]


# --- plasticity ---


@dataclass(frozen=True, slots=True)
class Limits:
    """What a laboratory found of the fines of one soil: its name, liquid limit and plasticity index, as shares of dry mass."""

    name: str
    liquid_limit: float
    plasticity_index: float


def plasticity_chart(soils: Sequence[Limits]) -> Chart | None:
    """Soils whose limits are known in the plasticity chart; None where none are: two lines alone show nothing."""
    if not soils:
        return None
    said = "; ".join(
        tr("{soil} at liquid limit {liquid} % and plasticity index {index} %, {side}", soil=frame.label(each.name),
           liquid=_share(each.liquid_limit), index=_share(each.plasticity_index), side=side_of(each))
        for each in soils
    )  # fmt: skip
    alt = tr("Plasticity chart: {soils}.", soils=said)
    return Chart(
        name="plasticity",
        title=tr("Plasticity chart"),
        read=tr(
            "One dot is one soil. Full line: the A-line, clays above it and silts below. Broken: the U-line, no soil above it."
        )
        + " "
        + tr("Dotted: the area of {document}, from memory, guidance only.", document=plasticity_areas()[0].document),
        alt=alt,
        columns=(
            {"label": tr("Soil")},
            {"label": tr("Liquid limit"), "unit": "%", "count": True},
            {"label": tr("Plasticity index"), "unit": "%", "count": True},
            {"label": tr("Where it lies")},
        ),
        rows=tuple((each.name, _share(each.liquid_limit), _share(each.plasticity_index), side_of(each)) for each in soils),
        description=_describe_limits(soils, alt),
    )


def plasticity_of_sources(state: State, shown: Shown) -> Chart | None:
    """The plasticity chart of the sources whose limits are known."""
    found = limits.limits(state)
    return plasticity_chart(
        [Limits(name_of(state, each.source), each.liquid_limit, each.plasticity_index.value) for each in found]
    )


def _share(value: float) -> str:
    return number(100 * value, 1)


def side_of(each: Limits) -> str:
    """Where a soil lies, in words; a point above the U-line is doubted."""
    over = each.liquid_limit < plasticity.U_LINE_FROM or each.plasticity_index > plasticity.u_line(each.liquid_limit)
    if over and each.plasticity_index > plasticity.a_line(max(each.liquid_limit, 0.0)):
        return tr("above the U-line: look at the figures again")
    if each.plasticity_index >= plasticity.a_line(each.liquid_limit):
        return tr("on or above the A-line: clay")
    return tr("below the A-line: silt")


def _describe_limits(soils: Sequence[Limits], alt: str) -> dict[str, Any]:
    height = 230.0
    rows = [
        {"liquid": float(f"{100 * each.liquid_limit:.6g}"), "index": float(f"{100 * each.plasticity_index:.6g}")}
        for each in soils
    ]
    across = frame.scale_of([0, 60, *(row["liquid"] for row in rows)], ACROSS, zero=True)
    up = frame.scale_of([0, 40, *(row["index"] for row in rows)], height, zero=True)
    end = across.high / 100
    a = [
        {"liquid": 100 * each, "index": 100 * plasticity.a_line(each)}
        for each in (plasticity.A_LINE_FROM, 0.04 / 0.73 + 0.20, end)
    ]
    u = [
        {"liquid": 100 * plasticity.U_LINE_FROM, "index": index}
        for index in (0.0, 100 * plasticity.u_line(plasticity.U_LINE_FROM))
    ]
    last = min(end, up.high / 100 / 0.9 + 0.08)
    u.append({"liquid": 100 * last, "index": 100 * plasticity.u_line(last)})
    x, y = {"field": "liquid", **along(across)}, {"field": "index", **along(up)}
    dots = [(across.px(row["liquid"]), height - up.px(row["index"])) for row in rows]
    labels = [(px, py, frame.label(each.name, 34)) for (px, py), each in zip(dots, soils, strict=True)]
    ends = [(across.px(line[-1]["liquid"]), height - up.px(line[-1]["index"])) for line in (a, u)]
    fixed = [
        frame.Placed(tr("A-line"), ends[0][0], ends[0][1] + 34, "right"),
        frame.Placed(tr("U-line"), ends[1][0] - 24, ends[1][1] + 8, "right"),
    ]
    keep_off = [*_along(a, across, up, height), *_along(u, across, up, height)]
    placed = frame.place(labels, ACROSS, height, lines=keep_off, fixed=fixed)
    where = {
        "x": {"field": "liquid", **axis(across, tr("Liquid limit, %"), grid=False)},
        "y": {"field": "index", **axis(up, tr("Plasticity index, %"), down=True)},
    }
    corners = plasticity_areas()[0].corners
    area = [
        {"liquid": round(100 * liquid, 6), "index": round(100 * index, 6), "order": place}
        for place, (liquid, index) in enumerate((*corners, corners[0]))
    ]
    round_it = {"x": x, "y": y, "order": {"field": "order", "type": "quantitative"}}
    layers = [
        mark("line", a, {"x": x, "y": y}, strokeWidth=1.5),
        mark("line", u, {"x": x, "y": y}, strokeWidth=1.5, strokeDash=[5, 4]),
        mark("line", area, round_it, strokeWidth=1.5, strokeDash=[1, 3]),
        *frame.leaders(labels, placed, ACROSS, height),
        *frame.texts([*placed, *fixed], ACROSS, height),
        mark("point", rows, where, shape="circle"),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=ACROSS, height=height, top=34))


def _along(line: Sequence[dict[str, float]], across: Scale, up: Scale, height: float) -> list[tuple[float, float]]:
    corners = [(across.px(each["liquid"]), height - up.px(each["index"])) for each in line]
    return [place for start, end in pairwise(corners) for place in frame.between(start, end)]
