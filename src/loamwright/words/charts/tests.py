"""Charts of what laboratories found: grading curves of the soils against a published band, and moisture against density."""

from loamwright.engine.blend.envelopes import grading_envelopes
from loamwright.project import gradings
from loamwright.project.state import State
from loamwright.words.charts.frame import Chart
from loamwright.words.charts.gradings import Curve, Envelope, grading_chart
from loamwright.words.language import tr
from loamwright.words.numbers import Shown
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
    drawn = Envelope(tr("{document}, from memory, guidance only", document=band.document), band.sizes, band.least, band.most)
    return grading_chart("grading", tr("Grading curves"), curves, drawn)
