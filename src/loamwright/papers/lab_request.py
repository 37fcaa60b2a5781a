"""The lab request: which soils and which blocks, how they were prepared here, which tests are wanted and by what method."""

from loamwright.papers.document import Document, Heading, PaperColumn, Part, Remark, Signatures, Table
from loamwright.papers.setting import Setting, lines
from loamwright.project import cure, dig
from loamwright.project.blocks import press_for, pressed_on, stabiliser_type
from loamwright.project.state import Fact
from loamwright.words.asked_for import kind_said
from loamwright.words.language import later, tr
from loamwright.words.numbers import number, with_unit
from loamwright.words.sentences import sentence
from loamwright.words.showing import batch_number

# In the order of what a test is worth, and the stop questions that make it urgent.
TESTS = (
    (later("Sulfate, chloride, pH; sulfate in a 10 : 1 or acid extract"), ("crystals", "salty_water")),
    (later("Linear shrinkage"), ("swelling",)),
    (later("Liquid and plastic limit, on what passes 0.425 mm"), ("swelling",)),
    (later("Wet sieving and sedimentation"), ()),
    (later("Moisture and density at the effort of the press"), ()),
    (later("Free swell or methylene blue"), ("swelling",)),
    (later("Dispersion, crumb or pinhole"), ("cloud",)),
    (later("Organic matter"), ("smell",)),
    (later("Lime demand by pH"), ()),
)
LIME_ONLY = len(TESTS) - 1


def lab_request(setting: Setting) -> Document:
    """What goes to a laboratory, with boxes to tick; a test that an open stop question calls for is ticked already."""
    parts: list[Part] = [
        lines((tr("To the laboratory"), ""), (tr("Delivered on"), ""), (tr("Report to"), ""), (tr("Report wanted by"), "")),
        Heading(tr("Soil samples")),
        _samples(setting),
        *(Remark(words) for source in setting.state.all("source") for words in _prepared(setting, source)),
        _tests(setting),
        Remark(sentence("paper_lab_method", {})),
        Remark(sentence("paper_lab_keep", {})),
    ]
    if cure.to_break(setting.state):
        parts += [Heading(tr("Blocks")), _blocks(setting), _wanted(setting), Remark(sentence("paper_lab_blocks", {}))]
    parts.append(Signatures((tr("Delivered by"), tr("Received by, day"))))
    return setting.paper("lab-request", tr("Request to a laboratory"), parts, subtitle=setting.name(setting.state.project))


def _samples(setting: Setting) -> Table:
    columns = (
        PaperColumn(tr("Sample"), share=2.0),
        PaperColumn(tr("Where from"), share=2.0),
        PaperColumn(tr("Mass"), setting.shown.unit("mass").label, "box", 1.0),
        PaperColumn(tr("Taken on"), kind="box", share=1.0),
        PaperColumn(tr("Taken by"), kind="box", share=1.0),
        PaperColumn(tr("Id")),
    )
    rows = [
        (setting.name(source.id), str(source.get("place", "")), "", "", "", source.id[-8:])
        for source in setting.state.all("source")
    ]
    return Table("", columns, tuple(rows))


def _prepared(setting: Setting, source: Fact) -> list[str]:
    """Screened or whole, and what the jar held."""
    state, name = setting.state, setting.name(source.id)
    screen = setting.field(source, "screen", "length")
    found = [
        sentence("paper_lab_screened", {"source": name, "screen": screen})
        if screen
        else sentence("paper_lab_not_screened", {"source": name})
    ]
    added = next(each for each in kind_said("jar").fields if each.name == "added").options
    jars = state.where("jar", "source", source.id)
    return [
        *found,
        *(
            sentence("paper_lab_jar", {"source": name, "added": each})
            for each in dict.fromkeys(added[jar["added"]] for jar in jars)
        ),
    ]


def _tests(setting: Setting) -> Table:
    state = setting.state
    sources = state.all("source")
    lime = any(fact["type"] == "lime" for fact in state.all("stabiliser"))
    columns = (
        PaperColumn(tr("Test"), share=3.0),
        *(PaperColumn(setting.name(source.id), kind="box", share=1.0) for source in sources),
        PaperColumn(tr("Method, edition"), kind="box", share=1.6),
    )
    rows = []
    for place, (test, signs) in enumerate(TESTS):
        if place == LIME_ONLY and not lime:
            continue
        ticks = ["✓" if set(dig.open_stops(state, source.id)) & set(signs) else "" for source in sources]
        rows.append((tr(test), *ticks, ""))
    return Table(tr("Tests wanted: tick"), columns, tuple(rows))


def _blocks(setting: Setting) -> Table:
    """Specimens with the day they are due, in both systems of units."""
    state = setting.state
    columns = (
        PaperColumn(tr("Mark")),
        PaperColumn(tr("Batch"), kind="number"),
        PaperColumn(tr("Mix"), share=2.0),
        PaperColumn(tr("Pressed on")),
        PaperColumn(tr("Size"), share=2.0),
        PaperColumn(tr("Test"), share=1.0),
        PaperColumn(tr("At days"), kind="number"),
        PaperColumn(tr("Test on")),
    )
    rows = []
    for group in cure.to_break(state):
        batch = state.fact(group.batch, "batch")
        for block in group.blocks:
            how = tr("crushing, soaked") if group.condition == "wet" else tr("crushing, dry")
            row = [str(block["mark"]), str(batch_number(state, batch)), setting.name(batch["mix"], "mix")]
            row += [setting.day(pressed_on(state, block)), _size(setting, batch, block), how]
            rows.append((*row, str(group.age_days), setting.day(group.break_on)))
    return Table("", columns, tuple(rows))


def _size(setting: Setting, batch: Fact, block: Fact) -> str:
    press = press_for(setting.state, batch)
    sides = [press.number(name) for name in ("mould_length", "mould_width")] if press is not None else []
    sizes = [side for side in (*sides, block.number("height")) if side is not None]
    own, other = (
        with_unit(" × ".join(setting.bare(size, "length", other=of_other) for size in sizes), unit.label)
        for of_other, unit in ((False, setting.shown.unit("length")), (True, setting.other_unit("length")))
    )
    return f"{own} ({other})"


def _wanted(setting: Setting) -> Part:
    state = setting.state
    kinds = sorted({stabiliser_type(state, group.batch) for group in cure.to_break(state)})
    soak = with_unit(number(cure.soak_wanted(state), 0), "h")
    return lines(
        (tr("Soak before a wet test"), soak),
        (tr("Stabiliser"), ", ".join(tr(kind) for kind in kinds if kind != "none") or tr("none")),
        (tr("Capping or bedding"), ""),
        (tr("Rate of loading"), ""),
        (tr("Units of the report"), tr("N/mm² and psi, loads in kN")),
    )
