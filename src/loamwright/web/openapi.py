"""What every address of the program takes and answers, as an OpenAPI document, made when it is asked for.

A new route is covered without a word of its own: a page, a form and the answers all routes share are taken for granted, and a
file by the ending of its address. What answers otherwise stands in the tables here, or in `responses=` of its route.
"""

from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from loamwright.notebook.kinds import kinds

HTML, JSON, TEXT, FORM = "text/html", "application/json", "text/plain", "application/x-www-form-urlencoded"
ADDRESS = "/openapi.json"
# Answers that any route may give, and what they mean.
SHARED: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "400": ("It could not be read at all.", (HTML, JSON)),
    "404": ("Nothing is at this address.", (HTML, JSON)),
    "405": ("This address does not take that.", (HTML,)),
    "421": ("This name is not served here.", (TEXT,)),
    "422": ("It could not be taken as it was sent; what was typed comes back with a sentence.", (HTML, JSON)),
    "503": ("It cannot be done now; nothing was kept.", (HTML, JSON, TEXT)),
    "507": ("The notebook cannot grow; nothing was kept.", (HTML, JSON)),
}
CHANGING: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "403": ("It was sent from another site and was not kept.", (TEXT,)),
    "413": ("It is larger than what is taken.", (HTML, JSON)),
}
# What a successful answer is, by the ending of the address; a page where none fits.
_BY_ENDING: Mapping[str, tuple[str, ...]] = {
    ".js": ("text/javascript",),
    ".json": (JSON,),
    ".webmanifest": ("application/manifest+json",),
    ".svg": ("image/svg+xml",),
    ".pdf": ("application/pdf",),
    ".csv": ("text/csv",),
    ".ics": ("text/calendar",),
    ".xlsx": ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",),
    "/file": ("application/zip",),
    "/photo/{mark}": ("image/jpeg", "image/png", "image/webp", "application/octet-stream"),
    "/ready": (JSON,),
    "/bench/push": (JSON,),
    "/bench/sheet": (JSON,),
    "/bench/who": (JSON,),
}
# Addresses that a program sends JSON to, not a form.
_TAKES_JSON = ("/bench/push", "/bench/sheet", "/bench/who")
_EMPTY = ("/bench/who",)


def document(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI document of an application: every route it has, with what it takes and all it can answer."""
    found = get_openapi(title=app.title, version=app.version, routes=app.routes)
    for path, operations in found["paths"].items():
        for method, operation in operations.items():
            operation["responses"] = _responses(path, method, operation.get("responses", {}))
            if method == "post" and "requestBody" not in operation:
                operation["requestBody"] = _body(path)
    found.get("components", {}).get("schemas", {}).pop("HTTPValidationError", None)
    found.get("components", {}).get("schemas", {}).pop("ValidationError", None)
    return found


def _responses(path: str, method: str, own: Mapping[str, Any]) -> dict[str, Any]:
    """The answers of one route: those it declares itself, the good ones, and those all share."""
    told = tuple(each for each in own.get("200", {}).get("content", {}) if each != JSON)  # JSON stands there unasked
    good = {"200": ("What was asked for.", told or _media(path)), "303": ("It goes on at another address.", ())}
    if path in _EMPTY:
        good["204"] = ("It was taken.", ())
    shared = {**good, **SHARED, **(CHANGING if method == "post" else {})}
    declared = {code: each for code, each in own.items() if code not in ("200", "422")}
    return {**{code: _response(words, media) for code, (words, media) in sorted(shared.items())}, **declared}


def _response(words: str, media: tuple[str, ...]) -> dict[str, Any]:
    if not media:
        return {"description": words}
    return {"description": words, "content": {each: {"schema": _schema_of(each)} for each in media}}


def _schema_of(media: str) -> dict[str, Any]:
    return {"type": "object"} if media == JSON else {"type": "string"}


def _media(path: str) -> tuple[str, ...]:
    return next((media for ending, media in _BY_ENDING.items() if path.endswith(ending)), (HTML,))


def _body(path: str) -> dict[str, Any]:
    """What a route takes: named values, or a form whose fields are texts (the fields of every kind where a kind is written)."""
    if path in _TAKES_JSON:
        return {"required": True, "content": {JSON: {"schema": {"type": "object"}}}}
    every = {each.name for kind in kinds().values() for each in kind.fields} if "/write/" in path else set()
    names = {"entry_id", "back"} | every
    schema = {
        "type": "object",
        "properties": {name: {"type": "string"} for name in sorted(names)},
        "additionalProperties": {"type": "string"},
    }
    return {"required": False, "content": {FORM: {"schema": schema}}}
