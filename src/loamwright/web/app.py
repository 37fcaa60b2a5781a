"""The web door: one process, one notebook, pages for one project at a time."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from loamwright import __version__
from loamwright.errors import InputError
from loamwright.notebook.entry import local_now
from loamwright.project.desk import Desk
from loamwright.web import keeping
from loamwright.web import lan as lan
from loamwright.web.forms import typed_again
from loamwright.web.later import read_later
from loamwright.web.openapi import ADDRESS, document
from loamwright.web.pages import LATER, MODULES, routers
from loamwright.web.render import plain_page, raw_form, static_folder
from loamwright.web.safety import guard
from loamwright.web.tongue import tongue
from loamwright.words.language import Language, languages
from loamwright.words.sentences import of_fault, sentence

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1", "testserver"})


def create_app(
    desk: Desk,
    *,
    clock: Callable[[], datetime] = local_now,
    hosts: frozenset[str] = LOOPBACK,
    tongues: Mapping[str, Language] | None = None,
) -> FastAPI:
    """The application over an open desk; the clock is given so that a page can be made for any moment."""
    app = FastAPI(title="Loamwright", version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.desk = desk
    app.state.clock = clock
    app.state.tongues = tongues or languages()
    app.middleware("http")(tongue(app.state.tongues))
    app.middleware("http")(guard(hosts))
    app.mount("/static", StaticFiles(directory=static_folder()), name="static")
    for router in (*routers(MODULES), keeping.router, lan.router):
        app.include_router(router)
    app.state.whole = read_later(app, lambda: routers(LATER))
    app.add_exception_handler(InputError, _fault_page)
    app.add_exception_handler(HTTPException, _no_page)
    app.add_exception_handler(RequestValidationError, _no_page)

    @app.get("/ready")
    def ready() -> dict[str, str]:
        return {"ready": "yes", "version": __version__}

    @app.get(ADDRESS, include_in_schema=False)
    def described() -> JSONResponse:
        app.state.whole()
        return JSONResponse(document(app))

    @app.get("/look")
    def look() -> HTMLResponse:
        return plain_page("look.html")

    return app


# Faults that are not of what was typed.
OUR_OWN = {"notebook_full": 507, "notebook_read_only": 503, "notebook_unreadable": 503}
NOT_HERE = ("not_found", "unknown_kind", "no_such_paper")


async def _fault_page(request: Request, fault: Exception) -> Response:
    """A sentence instead of a failure; the address decides where "back" leads."""
    assert isinstance(fault, InputError)
    parts = request.url.path.split("/")
    back = "/".join(parts[:3]) + "/today" if len(parts) > 3 and parts[1] == "p" and parts[3] != "today" else "/"
    status = 404 if fault.code in NOT_HERE else OUR_OWN.get(fault.code, 422)
    typed = await _typed(request) if request.method == "POST" else []
    look = f"{'/'.join(parts[:3])}/entry/{fault.values['id']}" if fault.code == "not_understood" and len(parts) > 3 else ""
    return plain_page(
        "fault.html", words=of_fault(fault), back=back, look=look, typed=typed, again=request.url.path, status=status
    )


async def _no_page(request: Request, fault: Exception) -> Response:
    """An address that leads nowhere, or a form that came without what it needs, in a sentence."""
    status = fault.status_code if isinstance(fault, HTTPException) else 422
    code = "no_such_page" if status in (404, 405) else "form_not_read"
    return plain_page("fault.html", words=sentence(code, {}), back="/", status=status)


async def _typed(request: Request) -> list[dict[str, Any]]:
    """What a form brought, to be sent again from the page that says why nothing of it was kept."""
    try:
        sent = (await request.form()).multi_items()
    except HTTPException:  # no form at all
        return []
    return typed_again(raw_form([(name, value) for name, value in sent if isinstance(value, str)]))
