"""Routes read when the first address asks for one of them, so that the program answers sooner."""

from collections.abc import Callable, Sequence

from fastapi import APIRouter, FastAPI
from starlette.types import Receive, Scope, Send


def read_later(app: FastAPI, routers: Callable[[], Sequence[APIRouter]]) -> Callable[[], None]:
    """Have routers read once an address comes that no route knows; what is given back reads them at once."""
    nobody = app.router.default

    def read() -> None:
        if app.router.default is nobody:
            return
        app.router.default = nobody
        for router in routers():
            app.include_router(router)

    async def ask_again(scope: Scope, receive: Receive, send: Send) -> None:
        read()
        await app.router(scope, receive, send)

    app.router.default = ask_again
    return read
