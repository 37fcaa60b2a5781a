"""The frontier of blends: chance of lying in the window against the share of the scarce soil."""

from loamwright.errors import InputError
from loamwright.project import blend_search
from loamwright.project.state import State
from loamwright.words import ratios
from loamwright.words.charts.frame import Chart, label, two_lines
from loamwright.words.charts.plots import Axis, Line, Plot, plot_chart
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, percent
from loamwright.words.showing import name_of

NAMED = 5


def frontier(state: State, shown: Shown) -> Chart | None:
    """Chance against scarce soil, for the usual search; None without a soil to spare or with nothing to choose."""
    wanted = blend_search.usual(state)
    if wanted.scarce is None or len(wanted.sources) < 2:
        return None
    try:
        found = blend_search.found(state, wanted)
    except InputError:
        return None
    edge = blend_search.frontier(found.search.ranked)
    if len(edge) < 2:
        return None
    named = set(range(len(edge))[:: max(1, len(edge) // NAMED)])
    dots = [
        (
            100 * each.scarce_share,
            100 * each.chance,
            two_lines(label(ratios.ratio(state, each.parts), 30)) if place in named else "",
        )
        for place, each in enumerate(edge)
    ]
    scarce = name_of(state, wanted.scarce)
    alt = tr(
        "Chance in the window against the share of {source}: from {least} % chance with {low} % of it to {most} % with {high} %.",
        source=label(scarce),
        least=f"{100 * edge[0].chance:.0f}",
        low=f"{100 * edge[0].scarce_share:.0f}",
        most=f"{100 * edge[-1].chance:.0f}",
        high=f"{100 * edge[-1].scarce_share:.0f}",
    )
    return plot_chart(
        "frontier",
        tr("What sparing {source} costs", source=scarce),
        Plot(
            Axis(tr("{source}, % of the dry soil", source=label(scarce, 24)), zero=True),
            Axis(tr("Chance in the window, %"), zero=True),
            tuple(dots),
            (Line("", tuple((x, y) for x, y, _ in dots)),),
        ),
        read=tr("One dot is one ratio: none has a better chance with less of that soil."),
        alt=alt,
        columns=({"label": tr("Blend")}, {"label": scarce, "count": True}, {"label": tr("Chance"), "count": True}),
        rows=[(ratios.ratio(state, each.parts), percent(each.scarce_share, 0), ratios.chance(each.chance)) for each in edge],
    )
