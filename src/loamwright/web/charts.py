"""Charts on pages: what the chart piece takes, and the drawing as a page needs it, with its letters inside."""

from base64 import b64encode
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from loamwright.web.render import At, static_folder

if TYPE_CHECKING:
    from loamwright.words.charts.frame import Chart


def chart_pieces(at: At, *names: str) -> list[dict[str, Any]]:
    """The named charts that have something to show, as the chart piece takes them; nothing is drawn here."""
    from loamwright.words import charts  # read with the first page that shows one

    found = [charts.chart(at.state, name, at.shown) for name in names]
    return [piece(at, each) for each in found if each is not None]


def piece(at: At, chart: "Chart") -> dict[str, Any]:
    """One chart: words, table, size, and the address of its drawing, which changes when what it shows does."""
    return {
        "title": chart.title,
        "read": chart.read,
        "alt": chart.alt,
        "columns": list(chart.columns),
        "rows": [list(row) for row in chart.rows],
        "width": chart.width,
        "height": chart.height,
        "src": f"{at.href('chart', chart.name)}.svg?v={version(chart)}",
    }


def version(chart: "Chart") -> str:
    """Short name of a drawing: equal for equal descriptions."""
    from loamwright.papers.drawing import key_of

    return key_of(chart.description)[:16]


@lru_cache(maxsize=64)
def _with_letters(svg: str) -> bytes:
    head, tail = svg.split(">", 1)
    return f"{head}><style>{_letters()}</style>{tail}".encode()


@cache
def _letters() -> str:
    """The two cuts of Loam Text as rules of a style: a drawing shown as an image sees no font of its page."""
    rules = []
    for weight in (400, 600):
        data = b64encode(Path(static_folder(), f"loam-text-{weight}-base.woff2").read_bytes()).decode()
        rules.append(
            f'@font-face{{font-family:"Loam Text";font-weight:{weight if weight == 400 else "600 700"};'
            f"src:url(data:font/woff2;base64,{data})}}"
        )
    return "".join(rules)


def drawing(chart: "Chart") -> bytes:
    """The SVG of a chart for an image on a page; drawn by a child process where it is not at hand."""
    from loamwright.papers.drawing import render_svg

    return _with_letters(render_svg(chart.description))
