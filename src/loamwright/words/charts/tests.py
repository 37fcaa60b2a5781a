"""Charts of what laboratories found: grading curves of the soils against a published band, and moisture against density."""

from loamwright.engine.blend.envelopes import grading_envelopes
from loamwright.project import gradings
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.state import State
from loamwright.project.worked import Table
from loamwright.units import Unit
from loamwright.words.charts.frame import Chart, label
from loamwright.words.charts.gradings import Curve, Envelope, grading_chart
from loamwright.words.charts.plots import Axis, Line, Plot, plot_chart
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, number
from loamwright.words.showing import name_of


def grading_of_sources(state: State, shown: Shown) -> Chart | None:
    """The grading curves of all soils that have one, over the first published band; None where none has."""
    curves = []
    for source in state.all("source"):
        curve = gradings.soil_curve(state, source.id)
        if curve is not None and len(curve.points) > 1:
            pairs = sorted(zip(curve.sizes, curve.passing, strict=True))
            sizes, passing = zip(*pairs, strict=True)
            curves.append(Curve(name_of(state, source.id), sizes, passing))
    band = grading_envelopes()[0]
    drawn = Envelope(band.document, band.sizes, band.least, band.most)
    return grading_chart("grading", tr("Grading curves"), curves, drawn)


def compaction_of_sources(state: State, shown: Shown) -> Chart | None:
    """Dry density against water of the newest compaction test of each soil, with the line no point can lie above."""
    found = []
    for source in state.all("source"):
        facts = state.where("compaction", "source", source.id)
        table = next(iter(SOIL_TESTS.worked(state, facts[-1]).tables), None) if facts else None
        if table is not None and len(table.rows) > 1:
            found.append((name_of(state, source.id), sorted(_points(table), key=lambda point: point[0])))
    if not found:
        return None
    unit = shown.unit("density")
    rows = [
        (name, number(100 * water, 1), number(unit.from_engine(density), 0 if unit.key == "kg_m3" else 1))
        for name, points in found
        for water, density, _ in points
    ]
    return plot_chart(
        "compaction",
        tr("Dry density against water"),
        Plot(
            Axis(tr("Water, % of dry soil")),
            Axis(tr("Dry density, {unit}", unit=unit.label)),
            tuple((100 * water, unit.from_engine(density), "") for _, points in found for water, density, _ in points),
            tuple(line for name, points in found for line in _lines(name, points, unit)),
        ),
        read=tr("One dot is one point of a test. Broken: no air left; a point above it cannot be right."),
        alt=tr("Dry density against water: {soils}.", soils="; ".join(_densest(name, points, unit) for name, points in found)),
        columns=(
            {"label": tr("Soil")},
            {"label": tr("Water"), "unit": "%", "count": True},
            {"label": tr("Dry density"), "unit": unit.label, "count": True},
        ),
        rows=rows,
    )


def _points(table: Table) -> list[tuple[float, float, float]]:
    """Water, dry density and density without air of each point."""
    return [
        (water, density, no_air)
        for _, water, density, no_air, *_ in table.rows
        if isinstance(water, float) and isinstance(density, float) and isinstance(no_air, float)
    ]


def _lines(name: str, points: list[tuple[float, float, float]], unit: Unit) -> list[Line]:
    through = tuple((100 * water, unit.from_engine(density)) for water, density, _ in points)
    return [
        Line(label(name, 24), through),
        Line(tr("no air"), tuple((100 * water, unit.from_engine(no_air)) for water, _, no_air in points), broken=True),
    ]


def _densest(name: str, points: list[tuple[float, float, float]], unit: Unit) -> str:
    water, density, _ = max(points, key=lambda point: point[1])
    return tr(
        "{soil} densest at {water} % with {density} {unit}",
        soil=label(name),
        water=number(100 * water, 1),
        density=f"{unit.from_engine(density):.4g}",
        unit=unit.label,
    )
