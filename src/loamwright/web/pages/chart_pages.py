"""Charts: the drawing of one, and its description with table for a phone that draws it without a network."""

from fastapi import Request
from fastapi.responses import JSONResponse, PlainTextResponse, Response

from loamwright.errors import InputError
from loamwright.papers.drawing import NotDrawnError
from loamwright.web.charts import drawing, version
from loamwright.web.keeping import Here
from loamwright.web.pages.shared import project_router
from loamwright.web.render import At
from loamwright.words import charts
from loamwright.words.charts.frame import Chart

router = project_router()
# A drawing brings its own styles and letters and may do nothing else, also where it is opened by itself.
OWN_POLICY = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; font-src data:; frame-ancestors 'none'"}
FOR_A_YEAR = "private, max-age=31536000, immutable"


def _chart(at: At, name: str) -> Chart:
    found = charts.chart(at.state, name, at.shown)
    if found is None:
        raise InputError("not_found", kind="chart", id=name)
    return found


@router.get("/chart/{name}.svg")
def chart_svg(request: Request, at: Here, name: str) -> Response:
    """The drawing as an image; an address that names the version it got may be kept."""
    chart = _chart(at, name)
    named = request.query_params.get("v") == version(chart)
    try:
        body = drawing(chart)
    except NotDrawnError:
        return PlainTextResponse("This chart could not be drawn. Its table stands beside it.", 503)
    headers = {"Cache-Control": FOR_A_YEAR if named else "no-cache", **OWN_POLICY}
    return Response(body, media_type="image/svg+xml", headers=headers)


@router.get("/chart/{name}.json")
def chart_json(at: Here, name: str) -> Response:
    """Words, table and description of a chart."""
    return JSONResponse(_chart(at, name).as_json(), headers={"Cache-Control": "no-cache"})
