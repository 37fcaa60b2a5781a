"""The record of tests, and the record of one block: raw readings as typed, strengths worked out, nothing certified."""

from loamwright.errors import InputError
from loamwright.papers.document import (
    Caution,
    Document,
    Figure,
    Heading,
    Lines,
    PaperColumn,
    Part,
    Remark,
    Signatures,
    Table,
    Words,
)
from loamwright.papers.setting import Setting, known, urn
from loamwright.project import blocks as pressed
from loamwright.project import breaking, cure, loads, weigh
from loamwright.project.breaking import BlockStrength
from loamwright.project.finding import Finding, Withheld
from loamwright.project.state import Fact
from loamwright.words import batches
from loamwright.words import blocks as words
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.numbers import count, number, percent
from loamwright.words.sentences import of_fault, sentence
from loamwright.words.showing import batch_number, entry_words

READINGS = {"load": "force", "gauge": "pressure", "bucket": "mass"}


def test_record(setting: Setting) -> Document:
    """Every block that was crushed or bent, weakest readings and all: what was read, what follows from it."""
    state = setting.state
    parts: list[Part] = [Words(sentence("paper_not_a_certificate", {}), strong=True)]
    if not breaking.strengths(state) and not breaking.bendings(state):
        parts.append(Words(sentence("paper_no_tests", {})))
    parts += rig_parts(setting)
    parts += crushed_table(setting)
    parts += [Remark(f"{_about(setting, each)}: {of_fault(each.fault)}") for each in breaking.withheld(state)]
    parts += [Caution(each) for each in cautions_for("trial")]
    parts.append(Signatures((tr("Tested by"), tr("Seen by"), tr("Day and place"))))
    return setting.paper("test-record", tr("Record of tests"), parts, subtitle=setting.name(state.project), landscape=True)


def crushed_table(setting: Setting) -> list[Part]:
    """Every strength with its raw readings, crushed and bent, and what must be said of them."""
    crushed, bent = breaking.strengths(setting.state), breaking.bendings(setting.state)
    parts: list[Part] = [_strengths(setting, crushed, tr("Crushed"), "crush")] if crushed else []
    parts += [_strengths(setting, bent, tr("Bent"), "bend")] if bent else []
    if any(each.screening for each in (*crushed, *bent)):
        parts.append(Remark(sentence("paper_screening", {})))
    return [*parts, Remark(sentence("paper_gross_area", {}))] if parts else []


def _about(setting: Setting, each: Withheld) -> str:
    return ", ".join(setting.name(entry) for entry in each.about)


def rig_parts(setting: Setting) -> list[Part]:
    """Every rig that was used: its id, how its load is read, when and how it was checked."""
    state = setting.state
    used = {test["rig"] for kind in ("crush", "bend") for test in state.all(kind) if test.get("rig")}
    found: list[Part] = []
    for rig in state.all("rig"):
        if any(state.versions.entity(each) == rig.id for each in used):
            found += [Lines((*entry_words(state, rig), (tr("Rig id"), rig.id[-8:])))]
            found += [] if loads.calibrated(rig) else [Remark(sentence("paper_rig_not_checked", {}))]
    return found


def _strengths(setting: Setting, tests: tuple[BlockStrength, ...], title: str, kind: str) -> Table:
    unit, other = setting.shown.unit("pressure").label, setting.other_unit("pressure").label
    columns = (
        PaperColumn(tr("Mark")),
        PaperColumn(tr("Batch"), kind="number"),
        PaperColumn(tr("Mix"), share=2.2),
        PaperColumn(tr("Pressed on"), share=1.2),
        PaperColumn(tr("Age"), "d", "number"),
        PaperColumn(tr("Tested"), share=0.9),
        PaperColumn(tr("As read"), share=2.2),
        PaperColumn(tr("How it failed"), share=1.0),
        PaperColumn(tr("Strength"), unit, "number"),
        PaperColumn(tr("the same"), other, "number"),
    )
    return Table(title, columns, tuple(_strength_row(setting, each, kind) for each in tests))


def _strength_row(setting: Setting, each: BlockStrength, kind: str) -> tuple[str, ...]:
    state = setting.state
    block = state.fact(each.block, "block")
    facts = _pieces(setting, each, kind)
    soak = f" {number(each.soak_hours, 0)} h" if each.soak_hours is not None else ""
    how = next(field for field in kind_said("crush").fields if field.name == "how").options
    return (
        str(block["mark"]),
        str(batch_number(state, state.fact(each.batch, "batch"))),
        words.mix_key_name(state, each.mix),
        setting.day(pressed.pressed_on(state, block)),
        str(each.age_days),
        tr(words.CONDITIONS[each.condition]) + soak,
        "; ".join(_as_read(setting, fact) for fact in facts),
        ", ".join(dict.fromkeys(how[fact["how"]] for fact in facts if fact.get("how"))),
        setting.bare(each.finding.value, "pressure") + ("*" if each.screening else ""),
        setting.bare(each.finding.value, "pressure", other=True),
    )


def _pieces(setting: Setting, each: BlockStrength, kind: str) -> list[Fact]:
    facts = setting.state.where(kind, "block", each.block)
    return breaking.chosen_pieces(facts) if kind == "crush" else facts[-1:]


def _as_read(setting: Setting, fact: Fact) -> str:
    """Raw readings of one test: what the rig showed, and the sizes under load, as typed and converted."""
    found = [setting.field(fact, name, quantity) for name, quantity in READINGS.items() if name in fact.values]
    sizes = [setting.field(fact, name, "length") for name in ("span", "length", "width", "thickness") if name in fact.values]
    found += [" × ".join(sizes)] if sizes else []
    found += [setting.field(fact, "mass", "mass")] if "mass" in fact.values else []
    return ", ".join(each for each in found if each)


# --- one block ---------------------------------------------------------------------------------------------------------


def block_record(setting: Setting, block: Fact) -> Document:
    """Everything about one block: where it comes from, how it was pressed, cured and broken, each figure with its working."""
    state = setting.state
    batch = state.find(block["batch"], "batch")
    parts: list[Part] = [Lines(tuple(entry_words(state, block)))]
    if batch is not None and batch.fault is None:
        parts += _of_batch(setting, block, batch)
    parts += [Heading(tr("Figures")), *_figures(setting, block)]
    parts.append(Remark(sentence("paper_not_a_certificate", {})))
    parts.append(Signatures((tr("By"), tr("Seen by"))))
    return setting.paper("block", setting.name(block.id), parts, subtitle=setting.name(state.project), code=urn(block.id))


def _of_batch(setting: Setting, block: Fact, batch: Fact) -> list[Part]:
    state = setting.state
    pairs = [(tr("Batch"), setting.name(batch.id)), (tr("Pressed on"), setting.day(pressed.pressed_on(state, block)))]
    minutes = pressed.minutes_held(state, block)
    pairs += [(tr("Pressed after the stabiliser went in"), f"{number(minutes, 0)} min")] if minutes is not None else []
    try:
        view = weigh.batch_view(state, batch.id)
        pairs.append(
            (
                tr("Dose wanted, reached"),
                f"{percent(view.dose.value, 2)}, {percent(view.achieved.value, 2) if view.achieved else '–'}",
            )
        )
        pairs += [(tr("Moisture of the mix"), percent(view.mix_water.value))] if view.mix_water else []
        weighed = [
            batches.weighing_line(fact, setting.shown) for part in (view.soil, view.stabiliser, view.water) for fact in part.facts
        ]
        pairs.append((tr("Weighed"), "; ".join(weighed)))
    except InputError as fault:
        pairs.append((tr("Weighed"), of_fault(fault)))
    view_of_cure = cure.cure_view(state, batch.id, setting.today)
    steps = [
        f"{setting.day(state.day(step))}: {'; '.join(text for label, text in entry_words(state, step)[1:])}"
        for step in view_of_cure.steps
    ]
    return [
        known(*pairs),
        Heading(tr("Cure")),
        known((tr("Days damp"), count(round(view_of_cure.damp_days.value), "day"))),
        *(Remark(each) for each in (*steps, *words.cure_notes(view_of_cure))),
    ]


def _figures(setting: Setting, block: Fact) -> list[Figure]:
    state = setting.state
    found = [
        setting.figure(tr("Density as pressed"), pressed.green_density(state, block), "density"),
        setting.figure(tr("Dry density"), pressed.dry_density(state, block), "density"),
    ]
    pressure = pressed.soil_pressure(state, block)
    found += [setting.figure(tr("Pressure on the soil"), pressure, "pressure")] if pressure is not None else []
    for each, label, is_crushed in zip(
        breaking.of_block(state, block.id), (tr("Crushed"), tr("Bent")), (True, False), strict=True
    ):
        if each is not None:
            figure = setting.figure(f"{label}. {words.strength_words(each, crushed=is_crushed)}", each.finding, "pressure")
            value = setting.both(each.finding.value, "pressure")
            found.append(Figure(figure.label.removesuffix("."), value, figure.band, figure.notes, figure.steps, figure.sources))
    moisture = breaking.moisture_at_break(state, block)
    if isinstance(moisture, Finding):
        found.append(setting.figure(tr("Moisture at break"), moisture, "share"))
    return found
