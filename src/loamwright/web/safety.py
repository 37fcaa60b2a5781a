"""Headers for every answer, and a look at where a sent form comes from; the program serves people, not other sites."""

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

from fastapi import Request, Response
from fastapi.responses import PlainTextResponse

from loamwright.web.offline import VERSION_HEADER, version

HEADERS = {
    "Content-Security-Policy": "default-src 'self'; img-src 'self' data: blob:; style-src 'self'; worker-src 'self'; "
    "manifest-src 'self'; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}
_SAFE = ("GET", "HEAD", "OPTIONS")
Next = Callable[[Request], Awaitable[Response]]


def comes_from_here(request: Request) -> bool:
    """Whether a changing request was sent by our own pages (or by a program that sends no origin at all)."""
    if request.method in _SAFE:
        return True
    if request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = request.headers.get("origin")
    return origin is None or urlsplit(origin).netloc == request.headers.get("host", "")


def host_allowed(host: str, allowed: frozenset[str]) -> bool:
    """Whether the address a browser used is one we serve, so that a foreign name cannot be pointed at this machine."""
    name = host.rsplit(":", 1)[0] if host.count(":") <= 1 else host.split("]")[0].lstrip("[")
    return name.strip("[]") in allowed


def guard(allowed: frozenset[str]) -> Callable[[Request, Next], Awaitable[Response]]:
    """The function that stands before every request."""

    async def stand(request: Request, following: Next) -> Response:
        if not host_allowed(request.headers.get("host", ""), allowed):
            return PlainTextResponse("This address is not served here.", 421)
        if not comes_from_here(request):
            return PlainTextResponse("This was sent from another site and was not kept.", 403)
        response = await following(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        response.headers[VERSION_HEADER] = version()
        return response

    return stand
