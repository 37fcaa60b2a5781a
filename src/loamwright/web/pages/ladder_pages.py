"""Weigh, the water ladder: blocks of each blend at three or four waters, and which one sets the target."""

from typing import Any

from fastapi.responses import Response

from loamwright.errors import InputError
from loamwright.project import ladder
from loamwright.project.ladder import Ladder
from loamwright.web.charts import chart_pieces
from loamwright.web.keeping import Here
from loamwright.web.pages.shared import figure_piece, project_router, result_piece
from loamwright.web.render import At, page
from loamwright.words import plans as words
from loamwright.words.batches import from_piles
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

router = project_router()


@router.get("/weigh/ladder")
def show(at: Here) -> Response:
    """Every blend with how far its ladder is."""
    return page(at, "ladder/all.html", verb="weigh", in_task=True, blends=[_line(at, fact.id) for fact in at.state.all("blend")])


def _line(at: At, blend: str) -> dict[str, str]:
    try:
        waits = words.ladder_waits(ladder.ladder(at.state, blend))
    except InputError as fault:
        waits = of_fault(fault)
    return {"what": name_of(at.state, blend), "when": waits, "href": at.href("weigh", "ladder", blend)}


@router.get("/weigh/ladder/{blend}")
def ladder_page(at: Here, blend: str) -> Response:
    """One ladder: what to weigh for the next block, the winner, every step."""
    fact = at.state.fact(blend, "blend")
    found = ladder.ladder(at.state, fact.id)
    target = ladder.target_water(at.state, fact.id)
    return page(
        at,
        "ladder/blend.html",
        verb="weigh",
        in_task=True,
        has_press=bool(at.state.all("press")),
        fact=fact,
        name=name_of(at.state, fact.id),
        says=words.ladder_says(found),
        done=found.why == "ladder_done",
        target=None if target is None else figure_piece(at, target, "share", tr("Moisture, of the dry mix")),
        steps=[_step(at, found, each) for each in found.steps],
        charts=chart_pieces(at, f"ladder-{fact.id}"),
        cautions=cautions_for("ladder_block"),
        **_next(at, found),
    )


def _step(at: At, found: Ladder, step: ladder.Step) -> dict[str, Any]:
    return {
        "id": step.fact.id,
        "says": words.step_words(at.state, step),
        "clean": step.clean,
        "wins": found.winner is not None and found.winner.fact.id == step.fact.id,
        "figures": [
            result_piece(at, step.water, "share", tr("Moisture, of the dry mix")),
            result_piece(at, step.dry_density, "density", tr("Dry density")),
        ],
    }


def _next(at: At, found: Ladder) -> dict[str, Any]:
    """The orders for the next block; what is in the way where there are none."""
    if found.next_water is None:
        return {"orders": [], "fault": "", "order_figures": []}
    try:
        press = ladder.press_of(at.state)
        order = ladder.next_order(at.state, found, press=press, wanted=found.next_water)
    except InputError as fault:
        return {"orders": [], "fault": of_fault(fault), "order_figures": []}
    figures = [
        figure_piece(at, order.soil, "mass", tr("Damp soil for one block"), digits=3),
        figure_piece(at, order.water, "mass", tr("Water to add"), digits=3),
    ]
    orders = words.step_orders(order, at.shown)
    piles = from_piles(at.state, found.blend, order.soil_order, order.scale_step, at.shown)
    orders[0] = {**orders[0], "then": tr("For one block and a little over. {piles}", piles=piles).rstrip()}
    return {"orders": orders, "fault": "", "order_figures": figures}
