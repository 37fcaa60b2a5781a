"""Figures told with an entry: the one place that knows which kinds carry them, for pages, shell and demo alike."""

from collections.abc import Callable, Mapping
from typing import Any

from loamwright.project import choosing, making, planning, weigh
from loamwright.project.state import State

Teller = Callable[[State, dict[str, Any], str, str], dict[str, Any]]

_TELLERS: Mapping[str, Teller] = {
    "batch": weigh.open_batch_body,
    "choice": choosing.choice_body,
    "plan": planning.plan_body,
    "recipe": making.recipe_body,
}


def with_told(state: State, kind: str, body: dict[str, Any], *, entry_id: str, at: str) -> dict[str, Any]:
    """The body with the figures a person is shown as the entry is made; as it is for kinds that tell nothing."""
    teller = _TELLERS.get(kind)
    return body if teller is None else teller(state, body, entry_id, at)
