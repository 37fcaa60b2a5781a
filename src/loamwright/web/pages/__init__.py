"""One module a verb: parse, ask the project, show."""

from collections.abc import Sequence
from importlib import import_module

from fastapi import APIRouter

MODULES = (
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
    "choose",
    "make",
)
# What seldom comes first is read when an address asks for it: the program answers sooner.
LATER = ("test", "search", "sheet", "files", "paper", "chart", "offline", "bench")


def routers(names: Sequence[str] = (*MODULES, *LATER)) -> list[APIRouter]:
    """The routers of page modules, in the order of the work."""
    return [import_module(f"loamwright.web.pages.{name}_pages").router for name in names]
