"""Make: the chosen mix in pails and half bags, recipes kept, the proving batch, the morning check, bags for a job."""

from collections.abc import Mapping
from typing import Any

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.fields import first_text, parse
from loamwright.project import choosing, making, proving, today
from loamwright.project.finding import Finding
from loamwright.project.making import Lack, Offered, Picked, Setup
from loamwright.project.proving import MorningView, Proof, RecipeView
from loamwright.project.state import Fact
from loamwright.units import parse_number
from loamwright.web.keeping import Here, keep_told, with_kept
from loamwright.web.pages.shared import figure_piece, project_router, question_pieces, result_piece
from loamwright.web.render import At, page, raw_form
from loamwright.words import recipes as words
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.numbers import day as day_words
from loamwright.words.numbers import percent
from loamwright.words.sentences import of_fault, of_notes
from loamwright.words.showing import name_of

router = project_router()
MOST_BLOCKS = 10_000_000


def _picked(raw: Mapping[str, list[str]]) -> Picked:
    mixer, press, container, hot = (first_text(raw, name) for name in ("mixer", "press", "container", "hot"))
    return Picked(mixer, press, container, hot == "yes")


@router.get("/make")
def show(at: Here) -> Response:
    """Recipes for the chosen mix, the nearest dose first; what is missing before there can be any."""
    return _make(at, raw_form(at.request.query_params.multi_items()))


def _make(at: At, raw: dict[str, list[str]], fault: str = "", status: int = 200) -> Response:
    picked = _picked(raw)
    choice = choosing.current_choice(at.state)
    lacks: tuple[Lack, ...] = ()
    found: making.Offers | None = None
    try:
        lacks = making.lacks(at.state, picked)
        found = None if lacks else making.offers(at.state, picked)
    except InputError as trouble:
        fault = fault or of_fault(trouble)
    return page(
        at,
        "make/all.html",
        verb="make",
        status=status,
        fault=fault,
        mix=name_of(at.state, choice["mix"]) if choice is not None else "",
        lacks=[_lack(at, each) for each in lacks],
        **_offers(at, found),
        notes=[] if found is None else of_notes([note for note in found.search.notes if note.code != "split_before_stabiliser"]),
        block=None if found is None else figure_piece(at, found.setup.block_mass, "mass", tr("One block, dry"), digits=2),
        send={} if found is None else _send(found.setup, picked),
        fields=_fields(at, picked, found),
        kept=[_kept(at, fact) for fact in reversed(at.state.all("recipe"))],
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "make"]),
        cautions=cautions_for("recipe"),
    )


def _lack(at: At, lack: Lack) -> dict[str, str]:
    back = f"back={at.href('make')}"
    pages = {
        "choice": at.href("choose"),
        "mixer": f"{at.href('write', 'mixer')}?{back}",
        "press": f"{at.href('write', 'press')}?{back}",
        "pail": f"{at.href('write', 'container')}?{back}",
        "pails_weighed": f"{at.href('write', 'pail_weighing')}?preset_source={lack.about}&{back}",
    }
    if lack.code == "stabiliser":
        return {"what": words.lack_words(at.state, lack), "when": "", "href": ""}
    return {
        "what": words.lack_words(at.state, lack),
        "when": "",
        "href": pages.get(lack.code) or f"{at.href('correct', lack.about)}?{back}",
    }


def _send(ready: Setup, picked: Picked) -> dict[str, str]:
    named = {"choice": ready.choice.id, "mixer": ready.mixer.id, "press": ready.press.id, "container": ready.container.id}
    return {**named, "hot": "yes"} if picked.hot else named


def _fields(at: At, picked: Picked, found: making.Offers | None) -> list[dict[str, Any]]:
    """Taps for mixer, press and pail where there is more than one of them, and for a hot day."""
    ready = None if found is None else found.setup
    now = {
        "mixer": picked.mixer or (ready.mixer.id if ready else ""),
        "press": picked.press or (ready.press.id if ready else ""),
        "container": picked.container or (ready.container.id if ready else ""),
    }
    labels = {"mixer": tr("Mixer"), "press": tr("Press"), "container": tr("Pail")}
    asked: list[dict[str, Any]] = []
    for kind, label in labels.items():
        options = [(fact.id, name_of(at.state, fact.id)) for fact in at.state.all(kind)]
        if len(options) > 1:
            asked.append({"name": kind, "label": label, "kind": "choice", "options": options, "value": now[kind]})
    hint = tr("a cement mix may then wait 30 min instead of 60")
    return [*asked, {"name": "hot", "label": tr("Above 30 °C"), "kind": "flag", "value": picked.hot, "hint": hint}]


def _offers(at: At, found: making.Offers | None) -> dict[str, Any]:
    """The recipe to put first, the others, and what to weigh where no number of bags comes near the dose."""
    if found is None:
        return {"first": None, "recipes": [], "to_split": None, "weigh": None}
    slow = found.to_split
    near = [each for each in found.recipes if not making.misses_dose(found.setup, each)]
    heaps = slow is not None and not near and not making.misses_dose(found.setup, slow)
    first = near[0] if near else slow if heaps else None
    weigh = None
    if first is None and found.recipes:
        sets = found.recipes[0].recipe.sets
        wanted = making.weighed_stabiliser(found.setup, sets=sets)
        weigh = {
            "orders": words.weighed_orders(at.state, found.setup, found.recipes[0], wanted.value, at.shown),
            "figure": figure_piece(at, wanted, "mass", tr("Stabiliser to weigh"), digits=2),
        }
    return {
        "first": None if first is None else _offered(at, found.setup, first),
        "recipes": [_offered(at, found.setup, each) for each in found.recipes if each is not first],
        "to_split": None if slow is None or slow is first else _offered(at, found.setup, slow),
        "weigh": weigh,
    }


def _offered(at: At, ready: Setup, made: Offered) -> dict[str, Any]:
    return {
        "sets": made.recipe.sets,
        "half_bags": round(2 * made.recipe.bags),
        "line": words.recipe_line(at.state, made),
        "orders": words.orders(
            at.state, made.recipe.pails, round(2 * made.recipe.bags), made.water.value, at.shown, bag_mass=ready.yard.bag_mass
        ),
        "reaches": words.reaches(ready, made),
        "batch": words.batch_words(made),
        "split": words.split_words(made, at.shown),
        "figures": _figures(at, made),
    }


def _figures(at: At, made: Offered) -> list[dict[str, Any]]:
    blocks = figure_piece(at, made.blocks, "share", tr("Blocks of one batch"))
    blocks |= {"value_text": str(made.recipe.blocks), "unit": ""}
    return [
        figure_piece(at, made.dose, "share", tr("Dose it gives, of the total dry mix"), digits=2),
        figure_piece(at, made.water, "mass", tr("Water for today's stock"), digits=1),
        blocks,
        figure_piece(at, made.minutes, "duration", tr("Time to press them")),
    ]


def _kept(at: At, fact: Fact) -> dict[str, str]:
    view = proving.recipe_view(at.state, fact.id)
    return {
        "what": words.told_line(at.state, fact, view.shown),
        "when": tr("draft") if view.draft else tr("proven"),
        "href": at.href("make", "recipe", fact.id),
    }


@router.post("/make")
async def keep(request: Request, at: Here) -> Response:
    """Keep a recipe with its figures as shown."""
    raw = raw_form((await request.form()).multi_items())
    parsed = parse(kind_said("recipe").fields, raw)
    if parsed.faults:
        return _make(at, raw, of_fault(next(iter(parsed.faults.values()))), 422)
    entry_id = keep_told(at, "recipe", parsed.body, raw)
    return RedirectResponse(with_kept(at.href("make", "recipe", entry_id), entry_id), 303)


@router.get("/make/recipe/{recipe}")
def recipe_page(at: Here, recipe: str) -> Response:
    """One recipe: the crew's orders, draft or proven, the proving batch, the morning, bags."""
    view = proving.recipe_view(at.state, recipe)
    day = at.hand.moment.date()
    morning = proving.last_morning(at.state, view.fact, day)
    now = morning.today if morning is not None and morning.today is not None else view.now
    raw = raw_form(at.request.query_params.multi_items())
    return page(
        at,
        "make/recipe.html",
        verb="make",
        in_task=True,
        fact=view.fact,
        name=name_of(at.state, view.fact.id),
        orders=_orders(at, view, now),
        other_dose=_other_dose(view, now),
        split="" if now is None else words.split_words(now, at.shown),
        told=_told(view),
        fault="" if view.fault is None else of_fault(view.fault),
        draft=view.draft,
        missing=of_notes(view.missing),
        figures=[] if now is None else _figures(at, now),
        proofs=[_proof(at, each) for each in reversed(view.proofs)],
        morning=None if morning is None else _morning(at, morning),
        bags=_bags(at, view, first_text(raw, "blocks")),
        cautions=cautions_for("recipe", "proving_batch"),
    )


def _orders(at: At, view: RecipeView, now: Offered | None) -> list[dict[str, str]]:
    """Pails and bags as they were told; water as today's stock wants it, else as told."""
    pails = view.shown.get("pails")
    water = now.water.value if now is not None else view.shown.get("water_kg")
    if not isinstance(pails, dict) or not isinstance(water, (int, float)):
        return []
    bag_mass = None if view.setup is None else view.setup.yard.bag_mass
    return words.orders(at.state, pails, view.fact["half_bags"], float(water), at.shown, bag_mass=bag_mass)


def _other_dose(view: RecipeView, now: Offered | None) -> str:
    """Said first where the pails and bags give another mix than the one chosen."""
    if now is None or view.setup is None or not making.misses_dose(view.setup, now):
        return ""
    return tr("Not the chosen mix: {reaches}.", reaches=words.reaches(view.setup, now))


def _told(view: RecipeView) -> str:
    """The dose as it was told, and what it would be now where that differs."""
    told = view.shown.get("stabiliser_of_total")
    if not isinstance(told, (int, float)):
        return ""
    said = tr("Told when it was kept: {dose} of the total dry mix.", dose=percent(told, 2))
    now = None if view.now is None else view.now.dose.value
    if now is None or percent(now, 2) == percent(told, 2):
        return said
    return tr("{said} With what is known now it would be {dose}.", said=said, dose=percent(now, 2))


def _proof(at: At, each: Proof) -> dict[str, Any]:
    figures = []
    if each.mass_error is not None:
        figures.append(result_piece(at, each.mass_error, "share", tr("Worst block, mass off by")))
    if each.height_error is not None:
        figures.append(result_piece(at, each.height_error, "length", tr("Worst block, height off by"), digits=1))
    return {
        "id": each.fact.id,
        "when": tr("pressed {day}", day=day_words(each.pressed_on, at.hand.moment.date())),
        "says": words.proof_words(each),
        "missing": of_notes(each.missing),
        "figures": figures,
    }


def _morning(at: At, view: MorningView) -> dict[str, Any]:
    figures = [
        result_piece(at, pan, "share", tr("Pan of {source}, on dry mass", source=name_of(at.state, source)))
        for source, pan in view.pans.items()
    ]
    if isinstance(view.scale, Finding):
        figures.append(figure_piece(at, view.scale, "share", tr("Scale off by")))
    figures += [
        figure_piece(at, pail.error, "share", tr("Pail of {source} off by", source=name_of(at.state, pail.source)))
        for pail in view.pails
    ]
    return {"lines": words.morning_lines(at.state, view), "notes": of_notes(view.notes), "figures": figures}


def _bags(at: At, view: RecipeView, typed: str) -> dict[str, Any]:
    """Bags for a number of blocks, whole ones rounded up last."""
    asked: dict[str, Any] = {"typed": typed, "piece": None, "fault": ""}
    if not typed.strip() or view.setup is None or view.now is None:
        return asked
    try:
        blocks = parse_number(typed)
        if blocks != int(blocks) or not 0 < blocks <= MOST_BLOCKS:
            raise InputError("out_of_range", quantity="blocks", value=blocks, least=1, most=MOST_BLOCKS)
        finding, counted = making.bags_finding(view.setup, view.now, int(blocks))
    except InputError as fault:
        return {**asked, "fault": of_fault(fault)}
    piece = figure_piece(at, finding, "share", tr("Bags for {n} blocks", n=int(blocks)))
    return {**asked, "piece": {**piece, "value_text": str(counted.bags), "unit": ""}}
