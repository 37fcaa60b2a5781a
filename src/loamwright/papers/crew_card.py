"""The crew card: one batch in pails, bags and water, by pictures and large numbers; read across noise, so no decimals."""

from loamwright.errors import InputError
from loamwright.papers.document import Caution, Document, Drawing, Part, Picture, Remark
from loamwright.papers.drawings import drawing
from loamwright.papers.setting import Setting, known, urn
from loamwright.project import making, proving
from loamwright.project.state import Fact
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.numbers import number
from loamwright.words.recipes import half_bags_words, water_order
from loamwright.words.sentences import of_notes, sentence
from loamwright.words.showing import name_of

TALLY_WIDTH = 0.9


def crew_card(setting: Setting, recipe: Fact) -> Document:
    """One batch: pails, bags, water to start, gauge, height; the squeeze; which recipe, since when, instead of which."""
    state = setting.state
    view = proving.recipe_view(state, recipe.id)
    shown = view.shown
    pails = shown.get("pails")
    if not isinstance(pails, dict):
        raise InputError("recipe_tells_no_figure", field="pails")
    parts: list[Part] = [Picture(drawing("pail"), tr("pails"), str(n), setting.name(source)) for source, n in pails.items()]
    parts.append(_bags(setting, view, recipe))
    water = water_order(float(shown.get("water_kg", 0.0)), setting.shown)
    parts.append(Picture(drawing("water"), tr("water to start"), water["number"].split(".")[0], water["unit"]))
    parts += _press(setting, recipe)
    parts += [
        Drawing(drawing("squeeze"), tr("squeeze: it crumbles, no; it holds and the palm is dry, yes; the palm is wet, no"), 0.72)
    ]
    parts += [Drawing(drawing("tally"), tr("one box for each batch made today"), TALLY_WIDTH)]
    parts.append(_version(setting, recipe))
    if view.draft:
        parts.append(Remark(sentence("paper_draft", {"reasons": " ".join(of_notes(view.missing))})))
    parts += [Caution(words) for words in cautions_for("cement")]
    return setting.paper("crew-card", name_of(state, recipe.id).split(",")[0], parts, code=urn(recipe.id))


def _bags(setting: Setting, view: proving.RecipeView, recipe: Fact) -> Picture:
    """Bags or half bags; where they miss the dose, what to weigh, to the whole unit that serves."""
    shown = setting.shown
    if view.setup is not None and view.now is not None and making.misses_dose(view.setup, view.now):
        mass = shown.unit("mass").from_engine(making.weighed_stabiliser(view.setup, sets=recipe["sets"]).value)
        return Picture(drawing("scale"), tr("stabiliser, weighed"), number(mass, 0), shown.unit("mass").label)
    _, count = half_bags_words(recipe["half_bags"])
    whole = recipe["half_bags"] % 2 == 0
    one, several = (tr("bag"), tr("bags")) if whole else (tr("half bag"), tr("half bags"))
    return Picture(drawing("bag" if whole else "half_bag"), several, count, one if count == "1" else several)


def _press(setting: Setting, recipe: Fact) -> list[Part]:
    state, shown = setting.state, setting.shown
    press = state.find(recipe["press"], "press") if recipe.get("press") else state.latest("press")
    found: list[Part] = []
    if press is None:
        return found
    gauge, height = press.number("gauge_wanted"), press.number("block_height")
    if gauge is not None:
        found.append(
            Picture(drawing("gauge"), tr("press to"), setting.bare(gauge, "pressure", digits=0), shown.unit("pressure").label)
        )
    if height is not None:
        digits = None if shown.unit("length").key == "in" else 0
        found.append(
            Picture(
                drawing("height"),
                tr("height of a block"),
                setting.bare(height, "length", digits=digits),
                shown.unit("length").label,
            )
        )
    return found


def _version(setting: Setting, recipe: Fact) -> Part:
    """Which recipe this is, since when, and which one it replaces."""
    state = setting.state
    every = [each.id for each in state.everything("recipe")]
    before = every[every.index(recipe.id) - 1] if every.index(recipe.id) else ""
    blocks = recipe.get("shown", {}).get("blocks", "") if isinstance(recipe.get("shown"), dict) else ""
    return known(
        (tr("Recipe"), setting.name(recipe.id)),
        (tr("From"), setting.day(state.moment(recipe).date())),
        (tr("Instead of"), setting.name(before) if before else tr("none before")),
        (tr("Blocks of one batch"), str(blocks)),
    )
