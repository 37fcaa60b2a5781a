"""What every route of a project needs: the state as of now, the person at the bench, the units they chose."""

from collections.abc import Callable
from datetime import datetime
from urllib.parse import unquote

from fastapi import Request

from loamwright.errors import InputError
from loamwright.project.desk import Desk, Hand
from loamwright.web.render import At
from loamwright.words.showing import shown_units

WHO = "who"


def desk_of(request: Request) -> Desk:
    """The desk this program serves."""
    return request.app.state.desk  # type: ignore[no-any-return]


def hand_of(request: Request) -> Hand:
    """Who writes now: the person named on this device, at the moment of the program's clock."""
    clock: Callable[[], datetime] = request.app.state.clock
    return Hand(clock(), by=unquote(request.cookies.get(WHO, "")))


def at_project(request: Request, project: str) -> At:
    """The project an address names; `InputError` ("not_found") where the notebook has none such."""
    desk = desk_of(request)
    state = desk.state(project)
    if state.find(project, "project") is None:
        raise InputError("not_found", kind="project", id=project)
    return At(request, desk, state, hand_of(request), shown_units(state))
