"""Blend, searched: choose windows, see every ratio ranked, and what takes least of the scarce soil."""

from typing import Any

from fastapi.responses import Response

from loamwright.engine.blend.criteria import Criterion
from loamwright.engine.blend.search import Ranked
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError
from loamwright.notebook.fields import first_text
from loamwright.project import blend_search, blending
from loamwright.project.blend_search import Found, Wanted
from loamwright.web.charts import piece
from loamwright.web.keeping import Here, Raw
from loamwright.web.pages.shared import project_router
from loamwright.web.render import At, page, raw_form
from loamwright.words import ratios
from loamwright.words.language import later, tr
from loamwright.words.numbers import percent
from loamwright.words.sentences import of_fault, sentence
from loamwright.words.showing import name_of

router = project_router()
TOLD = 12
SHAPES = {
    "GradingEnvelope": later("{document}: grading band"),
    "PlasticityArea": later("{document}: plasticity area"),
}


@router.get("/blend/search")
def show(at: Here) -> Response:
    """All ratios against the chosen windows, the best first."""
    raw = raw_form(at.request.query_params.multi_items())
    wanted = _wanted(at, raw)
    choices = blend_search.windows_to_choose(at.state, wanted.sources)
    return page(
        at,
        "blend/search.html",
        verb="blend",
        in_task=True,
        windows=[(each.key, _named(each)) for each in (*choices, *blend_search.bands_to_choose(at.state, wanted.sources))],
        chosen=[each.key for each in wanted.asked],
        sources=[(source, name_of(at.state, source)) for source in blending.ready(at.state)],
        wanted=list(wanted.sources),
        scarce=wanted.scarce or "",
        totals=[(str(total), str(total)) for total in blend_search.PARTS],
        total=str(wanted.most_parts),
        **_shown(at, wanted),
    )


def _wanted(at: At, raw: Raw) -> Wanted:
    usual = blend_search.usual(at.state)
    ready = set(blending.ready(at.state))
    sources = tuple(source for source in raw.get("source", ()) if source in ready) or usual.sources
    known = {window.key: window for window in blend_search.windows_to_choose(at.state, sources)}
    ticked = raw.get("window", ())
    bands = tuple(each for each in blend_search.bands_to_choose(at.state, sources) if each.key in ticked)
    windows = tuple(known[key] for key in ticked if key in known) or (() if bands else usual.windows)
    total = first_text(raw, "total")
    most = int(total) if total in {str(each) for each in blend_search.PARTS} else usual.most_parts
    scarce = first_text(raw, "scarce") or usual.scarce
    return Wanted(sources, windows, most, scarce if scarce in sources else None, bands)


def _named(each: Criterion) -> str:
    """A window by its range; a band or an area by the document it is of."""
    return ratios.window_name(each) if isinstance(each, Window) else tr(SHAPES[type(each).__name__], document=each.document)


def _shown(at: At, wanted: Wanted) -> dict[str, Any]:
    try:
        found = blend_search.found(at.state, wanted)
    except InputError as fault:
        return {"why_none": of_fault(fault), "rows": [], "columns": [], "charts": [], "spared": "", "said": ""}
    return {
        "why_none": "",
        "said": _said(found),
        "columns": _columns(at, wanted),
        "rows": [_row(at, each, wanted) for each in found.search.ranked[:TOLD]],
        "bodies": [_body(at, each) for each in found.search.ranked[:3]],
        "charts": _chart(at, found),
        "spared": _spared(at, found),
    }


def _said(found: Found) -> str:
    error = max((each.error for each in found.search.ranked[:TOLD]), default=0.0)
    done = found.search
    values = {"ratios": done.ratios, "screen": done.screen_draws, "draws": done.draws, "error_pct": 100 * error}
    return sentence("search_said", values)


def _columns(at: At, wanted: Wanted) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = [{"label": tr("Blend")}, {"label": tr("Chance in all"), "count": True}]
    if wanted.scarce:
        found.append({"label": tr("{source}, by dry mass", source=name_of(at.state, wanted.scarce)), "count": True})
    return found + [{"label": _named(each), "count": True} for each in wanted.asked if len(wanted.asked) > 1]


def _row(at: At, each: Ranked, wanted: Wanted) -> list[str]:
    found = [ratios.ratio(at.state, each.parts), ratios.chance(each.chance)]
    if wanted.scarce:
        found.append(percent(each.scarce_share, 0))
    return found + [ratios.chance(each.inside[one.key]) for one in wanted.asked if len(wanted.asked) > 1]


def _body(at: At, each: Ranked) -> dict[str, Any]:
    """A ratio to be kept by one tap."""
    fields = {
        f"parts-{place}-{name}": value
        for place, (source, count) in enumerate(each.parts.items())
        for name, value in (("source", source), ("parts", count))
    }
    return {"name": ratios.ratio(at.state, each.parts), "fields": fields}


def _chart(at: At, found: Found) -> list[dict[str, Any]]:
    """The frontier where it is the usual search: only that one has an address."""
    from loamwright.words import charts

    if found.wanted != blend_search.usual(at.state):
        return []
    chart = charts.chart(at.state, "frontier", at.shown)
    return [] if chart is None else [piece(at, chart)]


def _spared(at: At, found: Found) -> str:
    """The least of the scarce soil that would do, or the window that forbids it."""
    spared, scarce = found.spared, found.wanted.scarce
    if spared is None or scarce is None:
        return ""
    named = {each.key: _named(each) for each in found.wanted.asked}
    values: dict[str, object] = {"source": name_of(at.state, scarce)}
    if spared.objective is None:
        forbidden = "; ".join(named[key] for key in spared.forbids)
        return sentence("spared_forbidden", {"windows": forbidden, "chance_pct": 100 * blend_search.wanted_chance()})
    parts = blend_search.nearest_parts(spared, most_parts=found.wanted.most_parts)
    shares = {"share_pct": 100 * spared.objective, "chance_pct": 100 * spared.chance}
    return sentence("spared_least", {**values, **shares, "parts": ratios.ratio(at.state, parts)})
