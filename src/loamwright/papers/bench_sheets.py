"""Sheets of the bench: weigh-out, press and break, made from the state as it is now."""

from collections.abc import Mapping

from loamwright import units
from loamwright.errors import InputError
from loamwright.papers.sheet import Column, Group, Row, Sheet
from loamwright.project import cure, press, weigh
from loamwright.project.state import Fact, State
from loamwright.words.asked_for import kind_said
from loamwright.words.batches import mass_order
from loamwright.words.cautions import CAUTIONS
from loamwright.words.numbers import Shown
from loamwright.words.sentences import of_fault
from loamwright.words.showing import name_of

FILL = ("Date", "At the bench", "Air °C")
AHEAD = 12


def weigh_out(state: State, batch: Fact, shown: Shown) -> Sheet:
    """The weigh-out sheet of one batch: the three orders, and boxes for what the scale said, twice over for top-ups.

    Where the batch cannot be reckoned, the sheet says why and leaves the orders blank: what was weighed can still be typed in.
    """
    unit = shown.unit("mass")
    names = _options("weighing", "what")
    orders = "Soil first, stabiliser next, mix dry to one colour, water last."
    try:
        wanted = _orders(state, batch, shown)
    except InputError as fault:
        wanted, orders = dict.fromkeys(names, ""), of_fault(fault)
    what = [key for key in names if key in wanted]
    return Sheet(
        name="weigh-out",
        title=f"Weigh-out: {name_of(state, batch.id)}",
        corner="What",
        columns=(
            Column("wanted", "Wanted", unit.label),
            Column("first", "Weighed", unit.label, ("first",), "mass", unit.key),
            Column("more", "Added later", unit.label, ("more",), "mass", unit.key),
        ),
        rows=tuple(Row(key, names[key].capitalize(), {"wanted": wanted[key]}, {"what": key, "batch": batch.id}) for key in what),
        groups=(Group("first", "weighing", "mass"), Group("more", "weighing", "mass")),
        fill=(*FILL, "Stabiliser in at"),
        orders=(orders,),
        cautions=(CAUTIONS["cement"], CAUTIONS["mixer"]),
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
        title=f"Press: {name_of(state, batch.id)}",
        corner="Mark",
        columns=(
            Column("fate", "Meant to be"),
            Column("gauge", "Gauge", pressure.label, ("block",), "gauge", pressure.key),
            Column("fill_mass", "Filled in", mass.label, ("block",), "fill_mass", mass.key),
            Column("green_mass", "As pressed", mass.label, ("block",), "green_mass", mass.key),
            Column("height", "Height", length.label, ("block",), "height", length.key),
            Column("corners_lost", "Corners lost", "", ("block",), "corners_lost", "", "whole"),
            Column("surface", "Surface", "", ("block",), "surface", "", "text", surfaces),
        ),
        rows=tuple(
            Row(mark, mark, {"fate": fates.get(fate, "")}, _without_blanks({"mark": mark, "batch": batch.id, "fate": fate}))
            for mark, fate in press.marks_ahead(state, batch, how_many)
        ),
        groups=(Group("block", "block", "green_mass"),),
        fill=(*FILL, "First block at", "Last block at", "Spoiled"),
        cautions=(CAUTIONS["press"],),
    )


_PIECES = {"whole": "whole", "half_1": "first half", "half_2": "second half"}
_READ = {"load": ("load", "Load"), "jack": ("gauge", "Gauge"), "lever": ("bucket", "Hung")}


def break_sheet(state: State, shown: Shown, rig: Fact | None = None) -> Sheet:
    """The break sheet: blocks not broken yet, bent first and then crushed whole or by halves, raw readings only.

    The boxes are for what the rig shows: the load itself, the gauge of a jack, or the mass hung on a lever (bending only).
    """
    how = "load" if rig is None else rig["how"]
    bent, bent_words = _READ[how]
    crushed, crushed_words = _READ["load" if how == "lever" else how]
    length = shown.unit("length")
    return Sheet(
        name="break",
        title="Break",
        corner="Mark",
        columns=(
            Column("fate", "Meant to be"),
            Column("soaked_for", "Soaked", "h", ("bend", *_PIECES), "soaked_for", "h"),
            _load_column("bend", f"{bent_words}, bent", ("bend",), bent, shown),
            *(_load_column(piece, f"{crushed_words}, {words}", (piece,), crushed, shown) for piece, words in _PIECES.items()),
            Column("length", "Length crushed", length.label, tuple(_PIECES), "length", length.key),
            Column("width", "Width", length.label, ("bend", *_PIECES), "width", length.key),
        ),
        rows=tuple(_block_row(block, group.condition, rig) for group in cure.to_break(state) for block in group.blocks),
        groups=(Group("bend", "bend", bent), *(Group(piece, "crush", crushed, {"piece": piece}) for piece in _PIECES)),
        shared=(Column("span", "Span between the bars", length.label, ("bend",), "span", length.key),),
        fill=(*FILL, "Rig", "Into water at", "Out of water at"),
        cautions=(CAUTIONS["rig"],),
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
    pails = [Column(f"gross_{i}", f"Full pail {i}", mass.label, ("pails",), "gross", mass.key) for i in (1, 2, 3)]
    pans = (("pan", "Empty pan"), ("wet", "Pan, damp"), ("dry_before", "Pan, dried"), ("dry", "Pan, dried again"))
    return Sheet(
        name="pails",
        title="Pails and pans",
        corner="Source",
        columns=(*pails, *(Column(key, label, pan.label, ("pan",), key, pan.key) for key, label in pans)),
        rows=tuple(Row(fact.id, name_of(state, fact.id), {}, _source(fact, containers)) for fact in state.all("source")),
        groups=(*([Group("pails", "pail_weighing", "gross")] if containers else []), Group("pan", "pan_test", "wet")),
        fill=(*FILL, "Pail", "Weather"),
        orders=("Fill the pail your usual way and strike it level, three times. Dry the pan until two weighings are equal.",),
        cautions=(CAUTIONS["dust"], CAUTIONS["hot_pan"]),
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
        corner="Reading",
        columns=(
            Column("after", "Minutes since it stood still", "min", ("reading",), "after", "min"),
            Column("layer", "What was read", "", ("reading",), "layer", "", "text", _options("jar_reading", "layer")),
            Column("height", "Height from the bottom", length.label, ("reading",), "height", length.key),
            Column("water", "Water above", "", ("reading",), "water_above", "", "text", _options("jar_reading", "water_above")),
        ),
        rows=tuple(Row(str(i), str(i), {}, {"jar": jar.id}) for i in range(1, READINGS + 1)),
        groups=(Group("reading", "jar_reading", "height"),),
        fill=("Date", "Set down at", "Water °C", "Read by"),
    )


STEPS = 5


def ladder_sheet(state: State, blend: Fact, shown: Shown) -> Sheet:
    """The sheet of a water ladder: one row a block, each a little wetter."""
    mass, length = shown.unit("mass"), shown.unit("length")
    presses = state.all("press")
    fixed = {"blend": blend.id, **({"press": presses[-1].id} if presses else {})}
    words = (("ejects", "How it came out"), ("look", "Look"), ("squeeze", "Squeezed"), ("poke", "Poked"))
    return Sheet(
        name="ladder",
        title=f"Water ladder: {name_of(state, blend.id)}",
        corner="Step",
        columns=(
            Column("soil", "Damp soil", mass.label, ("step",), "soil", mass.key),
            Column("water", "Water added", mass.label, ("step",), "water", mass.key),
            Column("green_mass", "Block as pressed", mass.label, ("step",), "green_mass", mass.key),
            Column("height", "Height", length.label, ("step",), "height", length.key),
            *(Column(key, label, "", ("step",), key, "", "text", _options("ladder_block", key)) for key, label in words),
        ),
        rows=tuple(Row(str(i), str(i), {}, fixed) for i in range(1, STEPS + 1)),
        groups=(Group("step", "ladder_block", "green_mass"),),
        fill=(*FILL, "Press"),
        orders=("The same damp soil each time, a little more water each time, no stabiliser. Go on until one sticks.",),
        cautions=(CAUTIONS["press"],),
    )
