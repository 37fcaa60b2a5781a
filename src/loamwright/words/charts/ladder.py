"""Chart of a water ladder: dry density against moisture, with how each block came out of the mould."""

from itertools import pairwise
from typing import Any

from loamwright.errors import InputError
from loamwright.project import ladder
from loamwright.project.finding import Finding
from loamwright.project.ladder import Ladder, Step
from loamwright.project.state import State
from loamwright.words.asked_for import kind_said
from loamwright.words.charts import frame
from loamwright.words.charts.frame import Chart, Scale, along, axis, mark
from loamwright.words.charts.strength import ACROSS
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, count, number
from loamwright.words.showing import name_of

SHAPES = {"clean": "circle", "corners": "triangle-up", "sticks": "square", "broke": "cross"}
HEIGHT = 220.0


def water_ladder(state: State, shown: Shown, blend: str) -> Chart | None:
    """The ladder of a blend from two steps on; before that it says nothing a line would not. None where it cannot be read."""
    try:
        found = ladder.ladder(state, blend)
    except InputError:
        return None
    steps = [each for each in found.steps if isinstance(each.water, Finding) and isinstance(each.dry_density, Finding)]
    if len(steps) < 2:
        return None
    unit = shown.unit("density").label
    name = name_of(state, found.blend.id)
    alt = _alt(found, steps, frame.label(name), shown)
    return Chart(
        name=f"ladder-{found.blend.id}",
        title=tr("Water ladder of {blend}", blend=name),
        read=tr("One mark is one block: its shape and word say how it left the mould. The densest clean one sets the water."),
        alt=alt,
        columns=(
            {"label": tr("Moisture, of the dry mix"), "unit": "%", "count": True},
            {"label": tr("Dry density"), "unit": unit, "count": True},
            {"label": tr("How it came out")},
        ),
        rows=tuple((_water_text(each), _density_text(each, shown), _ejected(found, each)) for each in steps),
        description=_describe(found, steps, shown, alt),
    )


def _water(step: Step) -> float:
    assert isinstance(step.water, Finding)
    return float(f"{100 * step.water.value:.6g}")


def _density(step: Step, shown: Shown) -> float:
    assert isinstance(step.dry_density, Finding)
    return float(f"{shown.unit('density').from_engine(step.dry_density.value):.6g}")


def _water_text(step: Step) -> str:
    return number(_water(step), 1)


def _density_text(step: Step, shown: Shown) -> str:
    unit = shown.unit("density")
    return number(_density(step, shown), 0 if unit.key == "kg_m3" else 1)


def _ejected(found: Ladder, step: Step) -> str:
    """How a block came out, in the words of its form; the winner is called that, too."""
    options = next(each.options for each in kind_said("ladder_block").fields if each.name == "ejects")
    words = options.get(str(step.fact["ejects"]), str(step.fact["ejects"]))
    return tr("{how}, sets the water", how=words) if found.winner is step else words


def _alt(found: Ladder, steps: list[Step], blend: str, shown: Shown) -> str:
    values = {"blend": blend, "n": count(len(steps), "block"), "unit": shown.unit("density").label}
    ends = {"first": _water_text(steps[0]), "last": _water_text(steps[-1])}
    if found.winner is None or found.winner not in steps:
        return tr("Dry density of {n} of {blend} at {first} to {last} % moisture; none came out clean.", **values, **ends)
    best = {"water": _water_text(found.winner), "density": _density_text(found.winner, shown)}
    return tr(
        "Dry density of {n} of {blend} at {first} to {last} % moisture; the densest clean one has {density} {unit} at {water} %.",
        **values, **ends, **best,
    )  # fmt: skip


def _describe(found: Ladder, steps: list[Step], shown: Shown, alt: str) -> dict[str, Any]:
    rows: list[dict[str, Any]] = [
        {"water": _water(each), "density": _density(each, shown), "shape": SHAPES.get(str(each.fact["ejects"]), "diamond")}
        for each in steps
    ]
    across = frame.scale_of([row["water"] for row in rows], ACROSS, room=0.08)
    up = frame.scale_of([row["density"] for row in rows], HEIGHT, marks=4, room=0.15)
    dots = [(across.px(row["water"]), HEIGHT - up.px(row["density"])) for row in rows]
    words = [(x, y, _ejected(found, each)) for (x, y), each in zip(dots, steps, strict=True)]
    x, y = {"field": "water", **along(across)}, {"field": "density", **along(up)}
    shapes = {"domain": [*SHAPES.values(), "diamond"], "range": [*SHAPES.values(), "diamond"]}
    where = {
        "x": {"field": "water", **axis(across, tr("Moisture, % of the dry mix"), grid=False)},
        "y": {"field": "density", **axis(up, tr("Dry density, {unit}", unit=shown.unit("density").label), down=True)},
        "shape": {"field": "shape", "type": "nominal", "scale": shapes, "legend": None},
    }
    won = [
        {"px": across.px(_water(each)), "py": HEIGHT - up.px(_density(each, shown)), "py2": HEIGHT}
        for each in steps
        if found.winner is each
    ]
    px, py = along(Scale(0, ACROSS, 1, ACROSS)), along(Scale(0, HEIGHT, 1, HEIGHT), reverse=True)
    to_foot = {"x": {"field": "px", **px}, "y": {"field": "py", **py}, "y2": {"field": "py2"}}
    keep_off = [place for start, end in pairwise(dots) for place in frame.between(start, end)]
    keep_off += [place for row in won for place in frame.between((row["px"], row["py"]), (row["px"], HEIGHT))]
    placed = frame.place(words, ACROSS, HEIGHT, lines=keep_off)
    layers = [
        mark("line", rows, {"x": x, "y": y}),
        mark("rule", won, to_foot, strokeDash=[5, 4], strokeWidth=1.5),
        mark("point", rows, where, size=120),
        *frame.leaders(words, placed, ACROSS, HEIGHT),
        *frame.texts(placed, ACROSS, HEIGHT),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=ACROSS, height=HEIGHT, top=34))
