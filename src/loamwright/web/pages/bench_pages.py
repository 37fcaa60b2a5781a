"""The bench on the phone: one page, the same for every bench address, which a phone keeps and opens without a network."""

from fastapi import APIRouter
from fastapi.responses import Response

from loamwright.web.render import plain_page

router = APIRouter()
SCREENS = ("", "/weigh", "/press", "/break", "/write", "/plan", "/choose", "/make", "/asked", "/waiting", "/charts")


def shell() -> Response:
    """The page the screens are drawn on; what is worked on stands in the phone's own store, never in the address."""
    return plain_page("bench/shell.html")


for screen in SCREENS:
    router.add_api_route(f"/bench{screen}", shell, methods=["GET"], include_in_schema=False)
