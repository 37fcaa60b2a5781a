"""Sheets of the bench: weigh-out, press, break, recipe and morning, made from the state as it is now."""

from collections.abc import Mapping

from loamwright import units
from loamwright.engine.bench import moisture
from loamwright.errors import InputError
from loamwright.papers.sheet import Column, Group, Row, Sheet
from loamwright.project import cure, making, press, proving, weigh
from loamwright.project.state import Fact, State
from loamwright.words.asked_for import kind_said
from loamwright.words.batches import mass_order
from loamwright.words.cautions import cautions_for
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown
from loamwright.words.recipes import orders
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

AHEAD = 12


def _fill() -> tuple[str, str, str]:
    """What is filled in by hand at the head of every sheet."""
    return tr("Date"), tr("At the bench"), tr("Air °C")


def weigh_out(state: State, batch: Fact, shown: Shown) -> Sheet:
    """The weigh-out sheet of one batch: the three orders, and boxes for what the scale said, twice over for top-ups.

    Where the batch cannot be reckoned, the sheet says why and leaves the orders blank: what was weighed can still be typed in.
    """
    unit = shown.unit("mass")
    names = _options("weighing", "what")
    orders = tr("Soil first, stabiliser next, mix dry to one colour, water last.")
    try:
        wanted = _orders(state, batch, shown)
    except InputError as fault:
        wanted, orders = dict.fromkeys(names, ""), of_fault(fault)
    what = [key for key in names if key in wanted]
    return Sheet(
        name="weigh-out",
        title=tr("Weigh-out: {batch}", batch=name_of(state, batch.id)),
        corner=tr("What"),
        columns=(
            Column("wanted", tr("Wanted"), unit.label),
            Column("first", tr("Weighed"), unit.label, ("first",), "mass", unit.key),
            Column("more", tr("Added later"), unit.label, ("more",), "mass", unit.key),
        ),
        rows=tuple(Row(key, names[key].capitalize(), {"wanted": wanted[key]}, {"what": key, "batch": batch.id}) for key in what),
        groups=(Group("first", "weighing", "mass"), Group("more", "weighing", "mass")),
        fill=(*_fill(), tr("Stabiliser in at")),
        orders=(orders,),
        cautions=tuple(cautions_for("cement", "mixer")),
    )


def _orders(state: State, batch: Fact, shown: Shown) -> dict[str, str]:
    """What to weigh of soil, stabiliser (where there is any) and water."""
    view = weigh.batch_view(state, batch.id)
    step = view.scale_step
    found = {"soil": mass_order("", batch.needed("soil_wanted"), step, shown)["number"]}
    if view.dose.value > 0:
        found["stabiliser"] = mass_order("", view.stabiliser_order, step, shown)["number"]
    found["water"] = "none" if view.water_order is None else mass_order("", view.water_order, step, shown)["number"]
    return found


def _options(kind: str, field: str) -> Mapping[str, str]:
    return next(each for each in kind_said(kind).fields if each.name == field).options


def _without_blanks(values: dict[str, str]) -> dict[str, str]:
    return {name: value for name, value in values.items() if value}


def press_sheet(state: State, batch: Fact, shown: Shown, how_many: int = AHEAD) -> Sheet:
    """The press sheet of one batch: the next marks, and boxes for fill, gauge, mass, height and what was lost."""
    mass, length, pressure = shown.unit("mass"), shown.unit("length"), shown.unit("pressure")
    surfaces, fates = _options("block", "surface"), _options("block", "fate")
    return Sheet(
        name="press",
        title=tr("Press: {batch}", batch=name_of(state, batch.id)),
        corner=tr("Mark"),
        columns=(
            Column("fate", tr("Meant to be")),
            Column("gauge", tr("Gauge"), pressure.label, ("block",), "gauge", pressure.key),
            Column("fill_mass", tr("Filled in"), mass.label, ("block",), "fill_mass", mass.key),
            Column("green_mass", tr("As pressed"), mass.label, ("block",), "green_mass", mass.key),
            Column("height", tr("Height"), length.label, ("block",), "height", length.key),
            Column("corners_lost", tr("Corners lost"), "", ("block",), "corners_lost", "", "whole"),
            Column("surface", tr("Surface"), "", ("block",), "surface", "", "text", surfaces),
        ),
        rows=tuple(
            Row(mark, mark, {"fate": fates.get(fate, "")}, _without_blanks({"mark": mark, "batch": batch.id, "fate": fate}))
            for mark, fate in press.marks_ahead(state, batch, how_many)
        ),
        groups=(Group("block", "block", "green_mass"),),
        fill=(*_fill(), tr("First block at"), tr("Last block at"), tr("Spoiled")),
        cautions=tuple(cautions_for("press")),
    )


_PIECES = {"whole": later("whole"), "half_1": later("first half"), "half_2": later("second half")}
_READ = {"load": ("load", later("Load")), "jack": ("gauge", later("Gauge")), "lever": ("bucket", later("Hung"))}


def break_sheet(state: State, shown: Shown, rig: Fact | None = None) -> Sheet:
    """The break sheet: blocks not broken yet, bent first and then crushed whole or by halves, raw readings only.

    The boxes are for what the rig shows: the load itself, the gauge of a jack, or the mass hung on a lever (bending only).
    """
    how = "load" if rig is None else rig["how"]
    bent, bent_words = _READ[how][0], tr(_READ[how][1])
    of_crush = _READ["load" if how == "lever" else how]
    crushed, crushed_words = of_crush[0], tr(of_crush[1])
    length, mass = shown.unit("length"), shown.unit("mass")
    return Sheet(
        name="break",
        title=tr("Break"),
        corner=tr("Mark"),
        columns=(
            Column("fate", tr("Meant to be")),
            Column("soaked_for", tr("Soaked"), "h", ("bend", *_PIECES), "soaked_for", "h"),
            _load_column("bend", tr("{reading}, bent", reading=bent_words), ("bend",), bent, shown),
            *(_load_column(piece, f"{crushed_words}, {tr(words)}", (piece,), crushed, shown) for piece, words in _PIECES.items()),
            Column("length", tr("Length crushed"), length.label, tuple(_PIECES), "length", length.key),
            Column("width", tr("Width"), length.label, ("bend", *_PIECES), "width", length.key),
            Column("mass", tr("Mass at break"), mass.label, ("whole",), "mass", mass.key),
            Column("how", tr("How it failed"), "", tuple(_PIECES), "how", "", "text", _options("crush", "how")),
        ),
        rows=tuple(_block_row(block, group.condition, rig) for group in cure.to_break(state) for block in group.blocks),
        groups=(Group("bend", "bend", bent), *(Group(piece, "crush", crushed, {"piece": piece}) for piece in _PIECES)),
        shared=(Column("span", tr("Span between the bars"), length.label, ("bend",), "span", length.key),),
        fill=(*_fill(), tr("Rig"), tr("Into water at"), tr("Out of water at")),
        cautions=tuple(cautions_for("rig")),
    )


def _load_column(key: str, label: str, groups: tuple[str, ...], field: str, shown: Shown) -> Column:
    unit = shown.unit({"load": "force", "gauge": "pressure", "bucket": "mass"}[field])
    return Column(key, label, unit.label, groups, field, unit.key)


def _block_row(fact: Fact, condition: str, rig: Fact | None) -> Row:
    tested = "dry" if condition == "dry" else "soaked"
    fixed = {"block": fact.id, "condition": tested, "rig": "" if rig is None else rig.id}
    return Row(fact.id, str(fact["mark"]), {"fate": _options("crush", "condition")[tested]}, _without_blanks(fixed))


def pails_sheet(state: State, shown: Shown) -> Sheet:
    """The sheet for a morning of filling, striking and drying: three pails and one pan of every source."""
    mass, pan = shown.unit("mass"), units.unit("oz" if shown.unit("mass").key == "lb" else "g")
    containers = state.all("container")
    pails = [Column(f"gross_{i}", tr("Full pail {n}", n=i), mass.label, ("pails",), "gross", mass.key) for i in (1, 2, 3)]
    pans = (("pan", tr("Empty pan")), ("wet", tr("Pan, damp")), ("dry_before", tr("Pan, dried")), ("dry", tr("Pan, dried again")))
    return Sheet(
        name="pails",
        title=tr("Pails and pans"),
        corner=tr("Source"),
        columns=(*pails, *(Column(key, label, pan.label, ("pan",), key, pan.key) for key, label in pans)),
        rows=tuple(Row(fact.id, name_of(state, fact.id), {}, _source(fact, containers)) for fact in state.all("source")),
        groups=(*([Group("pails", "pail_weighing", "gross")] if containers else []), Group("pan", "pan_test", "wet")),
        fill=(*_fill(), tr("Pail"), tr("Weather")),
        orders=(tr("Fill the pail your usual way and strike it level, three times. Dry the pan until two weighings are equal."),),
        cautions=tuple(cautions_for("dust", "hot_pan")),
    )


def _source(fact: Fact, containers: list[Fact]) -> dict[str, str]:
    return {"source": fact.id, "about": fact.id, **({"container": containers[-1].id} if containers else {})}


READINGS = 8


def jar_sheet(state: State, jar: Fact, shown: Shown) -> Sheet:
    """The sheet that stands beside a jar: when it was read, what, how high."""
    length = shown.unit("length")
    return Sheet(
        name="jar",
        title=name_of(state, jar.id),
        corner=tr("Reading"),
        columns=(
            Column("after", tr("Minutes since it stood still"), "min", ("reading",), "after", "min"),
            Column("layer", tr("What was read"), "", ("reading",), "layer", "", "text", _options("jar_reading", "layer")),
            Column("height", tr("Height from the bottom"), length.label, ("reading",), "height", length.key),
            Column(
                "water", tr("Water above"), "", ("reading",), "water_above", "", "text", _options("jar_reading", "water_above")
            ),
        ),
        rows=tuple(Row(str(i), str(i), {}, {"jar": jar.id}) for i in range(1, READINGS + 1)),
        groups=(Group("reading", "jar_reading", "height"),),
        fill=(tr("Date"), tr("Set down at"), tr("Water °C"), tr("Read by")),
    )


STEPS = 5


def ladder_sheet(state: State, blend: Fact, shown: Shown) -> Sheet:
    """The sheet of a water ladder: one row a block, each a little wetter."""
    mass, length = shown.unit("mass"), shown.unit("length")
    presses = state.all("press")
    fixed = {"blend": blend.id, **({"press": presses[-1].id} if presses else {})}
    words = (("ejects", tr("How it came out")), ("look", tr("Look")), ("squeeze", tr("Squeezed")), ("poke", tr("Poked")))
    return Sheet(
        name="ladder",
        title=tr("Water ladder: {blend}", blend=name_of(state, blend.id)),
        corner=tr("Step"),
        columns=(
            Column("soil", tr("Damp soil"), mass.label, ("step",), "soil", mass.key),
            Column("water", tr("Water added"), mass.label, ("step",), "water", mass.key),
            Column("green_mass", tr("Block as pressed"), mass.label, ("step",), "green_mass", mass.key),
            Column("height", tr("Height"), length.label, ("step",), "height", length.key),
            *(Column(key, label, "", ("step",), key, "", "text", _options("ladder_block", key)) for key, label in words),
        ),
        rows=tuple(Row(str(i), str(i), {}, fixed) for i in range(1, STEPS + 1)),
        groups=(Group("step", "ladder_block", "green_mass"),),
        fill=(*_fill(), tr("Press")),
        orders=(tr("The same damp soil each time, a little more water each time, no stabiliser. Go on until one sticks."),),
        cautions=tuple(cautions_for("press")),
    )


TALLY = 5


def recipe_sheet(state: State, recipe: Fact, shown: Shown) -> Sheet:
    """The recipe as the crew counts it out, with boxes to tick batch by batch."""
    view = proving.recipe_view(state, recipe.id)
    pails = view.shown.get("pails")
    water = view.shown.get("water_kg") if view.now is None else view.now.water.value
    if not isinstance(pails, dict) or not isinstance(water, (int, float)):
        raise InputError("recipe_tells_no_figure", field="pails")
    bag_mass = None if view.setup is None else view.setup.yard.bag_mass
    told = orders(state, pails, recipe["half_bags"], float(water), shown, bag_mass=bag_mass)
    return Sheet(
        name="recipe",
        title=name_of(state, recipe.id),
        corner=tr("For one batch"),
        columns=(Column("wanted", tr("Take")), *(Column(f"batch_{i}", tr("Batch {n}", n=i)) for i in range(1, TALLY + 1))),
        rows=tuple(
            Row(str(i), each["text"], {"wanted": " ".join((each["number"], each["unit"])).strip()}) for i, each in enumerate(told)
        ),
        groups=(),
        fill=(*_fill(), tr("Mixed by")),
        orders=tuple(dict.fromkeys(each["then"] for each in told if each["then"])),
        cautions=tuple(cautions_for("cement", "mixer", "bags")),
    )


def morning_sheet(state: State, recipe: Fact, shown: Shown) -> Sheet:
    """The morning check of a recipe: the scale against water, then one pail and one pan of each source.

    Where the recipe cannot be reckoned any more, the sheet says why: what was read can still be typed in.
    """
    mass, pan, volume = shown.unit("mass"), units.unit("oz" if shown.unit("mass").key == "lb" else "g"), shown.unit("volume")
    group, at_row = ("source",), "pails-0-"
    told = tr("First the scale against water, then one struck pail and one pan of each pile.")
    try:
        expected = _full_pails(state, recipe, shown)
    except InputError as fault:
        expected, told = dict.fromkeys(_told_sources(recipe), ""), of_fault(fault)
    return Sheet(
        name="morning",
        title=tr("Morning check: {recipe}", recipe=name_of(state, recipe.id)),
        corner=tr("Source"),
        columns=(
            Column("expected", tr("Full pail, as the stock last was"), mass.label),
            Column("gross", tr("Full pail"), mass.label, group, f"{at_row}gross", mass.key),
            Column("pan_wet", tr("Pan, damp"), pan.label, group, f"{at_row}pan_wet", pan.key),
            Column("pan_dry", tr("Pan, dried"), pan.label, group, f"{at_row}pan_dry", pan.key),
        ),
        rows=tuple(
            Row(source, name_of(state, source), {"expected": full}, {"recipe": recipe.id, f"{at_row}source": source})
            for source, full in expected.items()
        ),
        groups=(Group("source", "morning_check", f"{at_row}gross"),),
        shared=(
            Column("water_volume", tr("Water in the measure"), volume.label, group, "water_volume", volume.key),
            Column("water_mass", tr("It weighs"), mass.label, group, "water_mass", mass.key),
        ),
        fill=(*_fill(), tr("Rain since yesterday?")),
        orders=(told,),
        cautions=tuple(cautions_for("hot_pan")),
    )


def _told_sources(recipe: Fact) -> list[str]:
    """Sources whose pails a recipe counts, as it was told."""
    told = recipe.get("shown")
    pails = told.get("pails") if isinstance(told, dict) else None
    return list(pails) if isinstance(pails, dict) else []


def _full_pails(state: State, recipe: Fact, shown: Shown) -> dict[str, str]:
    """What a struck pail of each source showed on the scale when its stock was tested last."""
    ready = making.recipe_setup(state, recipe)
    tare = state.tare(ready.container.id, recipe.at) or 0.0
    damp = {
        source: moisture.moist_mass(dry.value, water_content=ready.stock[source].value) for source, dry in ready.pails.items()
    }
    unit = shown.unit("mass")
    return {source: shown.value(mass + tare, "mass").removesuffix(unit.label).rstrip() for source, mass in damp.items()}
