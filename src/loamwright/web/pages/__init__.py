"""One module a verb: parse, ask the project, show."""

from importlib import import_module

from fastapi import APIRouter

MODULES = (
    "offline",
    "bench",
    "start",
    "today",
    "brief",
    "dig",
    "shake",
    "blend",
    "ladder",
    "plan",
    "weigh",
    "press",
    "break",
    "sheet",
    "paper",
    "files",
    "choose",
    "chart",
    "make",
)


def routers() -> list[APIRouter]:
    """The routers of all page modules, in the order of the work."""
    return [import_module(f"loamwright.web.pages.{name}_pages").router for name in MODULES]
