"""The trial plan on paper: its batches in order, what it takes, and boxes for every block as it is pressed."""

from loamwright.papers.document import Caution, Document, Heading, PageBreak, PaperColumn, Part, Remark, Table
from loamwright.papers.setting import Setting, known, lines, urn
from loamwright.project import planning
from loamwright.project.planning import RowView
from loamwright.project.state import Fact
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.numbers import count, number, percent
from loamwright.words.plans import FATES, SIZE_NAMES, fates_words, row_name
from loamwright.words.sentences import sentence


def trial_plan(setting: Setting, plan: Fact) -> Document:
    """The plan that was told, and for each batch the boxes for mark, fill, gauge, height, mass and times."""
    view = planning.plan_view(setting.state, plan.id)
    parts: list[Part] = [_head(setting, plan), _batches(setting, view), *_needs(setting, plan)]
    parts += [Caution(words) for words in cautions_for("cement", "press")]
    parts += [Remark(sentence("paper_marks", {})), PageBreak()]
    for row in view.rows:
        parts += [*_row(setting, row)]
    return setting.paper("trial-plan", tr("Trial plan"), parts, subtitle=setting.name(plan.id), code=urn(plan.id))


def _head(setting: Setting, plan: Fact) -> Part:
    state = setting.state
    press = state.find(plan["press"], "press") if plan.get("press") else state.latest("press")
    mould = ""
    if press is not None:
        sizes = [setting.field(press, name, "length") for name in ("mould_length", "mould_width", "block_height")]
        mould = " × ".join(each for each in sizes if each)
    return known(
        (tr("Size of the plan"), tr(SIZE_NAMES[plan["size"]])),
        (tr("Press"), "" if press is None else setting.name(press.id)),
        (tr("Mould and block height"), mould),
        (tr("Press to"), setting.field(press, "gauge_wanted", "pressure")),
        (tr("Order drawn from"), str(plan["seed"])),
        (tr("Written down"), f"{setting.day(setting.state.moment(plan).date())} {plan.by}".strip()),
    )


def _batches(setting: Setting, view: planning.PlanView) -> Table:
    columns = (
        PaperColumn(tr("Row"), kind="number"),
        PaperColumn(tr("Day"), kind="number"),
        PaperColumn(tr("Mix"), share=3.0),
        PaperColumn(tr("Blocks for"), share=2.0),
        PaperColumn(tr("Marks"), share=2.0),
        PaperColumn(tr("Made on"), kind="box", share=1.3),
    )
    rows = tuple(
        (
            str(row.row),
            str(row.day),
            row_name(setting.state, row),
            fates_words(row),
            " ".join(row.marks),
            "" if row.batch is None else setting.day(setting.state.day(row.batch)),
        )
        for row in view.rows
    )
    return Table(tr("Batches in their order"), columns, rows)


def _needs(setting: Setting, plan: Fact) -> list[Part]:
    """What the plan takes, as it was told."""
    told = plan.get("needs")
    if not isinstance(told, dict):
        return []
    rows = [*_masses(setting, told.get("soil_kg"), tr("damp")), *_masses(setting, told.get("stabiliser_kg"), "")]
    if isinstance(told.get("water_kg"), (int, float)):
        rows.append((tr("Water to add"), setting.bare(told["water_kg"], "mass", digits=1)))
    table = Table(
        tr("What it takes"),
        (PaperColumn(tr("What"), share=3.0), PaperColumn(tr("Mass"), setting.shown.unit("mass").label, "number", 1.0)),
        tuple(rows),
    )
    difference = told.get("difference_shown")
    more = known(
        (tr("Blocks"), str(told.get("blocks", ""))),
        (tr("Days"), str(told.get("days", ""))),
        (
            tr("Time at the press"),
            f"{number(told['press_minutes'], 0)} min" if isinstance(told.get("press_minutes"), (int, float)) else "",
        ),
        (tr("Difference it shows, 80 % sure"), percent(difference, 0) if isinstance(difference, (int, float)) else ""),
    )
    return [*([table] if rows else []), more]


def _masses(setting: Setting, masses: object, how: str) -> list[tuple[str, str]]:
    if not isinstance(masses, dict):
        return []
    return [
        (
            ", ".join(word for word in (setting.name(key), how) if word),
            setting.bare(mass, "mass", digits=1) if isinstance(mass, (int, float)) else tr("not known"),
        )
        for key, mass in masses.items()
    ]


def _row(setting: Setting, row: RowView) -> list[Part]:
    shown = setting.shown
    mass, length, pressure = (shown.unit(each).label for each in ("mass", "length", "pressure"))
    boxes = (
        (tr("Filled in"), mass),
        (tr("Gauge"), pressure),
        (tr("Height"), length),
        (tr("As pressed"), mass),
        (tr("Pressed at"), ""),
    )
    columns = (
        PaperColumn(tr("Mark")),
        PaperColumn(tr("Meant to be")),
        *(PaperColumn(label, unit, "box", 1.0) for label, unit in boxes),
    )
    rows = []
    for mark, fate in zip(row.marks, row.fates, strict=True):
        meant = tr(FATES.get(fate.fate, fate.fate))
        rows.append(
            (mark, tr("{meant}, {days}", meant=meant, days=count(fate.age, "day")) if fate.age else meant, "", "", "", "", "")
        )
    head = tr("Row {n}, day {day}: {mix}", n=row.row, day=row.day, mix=row_name(setting.state, row))
    return [
        Heading(head),
        lines((tr("Date"), ""), (tr("Wetted at"), ""), (tr("Stabiliser in at"), ""), (tr("By"), "")),
        Table("", columns, tuple(rows)),
    ]
