"""The record of one soil: what is believed of it, and every test with its readings, results, workings and what it forbids."""

from loamwright.papers.document import Caution, Document, Drawing, Heading, PaperColumn, Part, Points, Remark, Table, Words
from loamwright.papers.drawing import NotDrawnError, render_svg
from loamwright.papers.setting import Setting, known
from loamwright.project import shake
from loamwright.project.finding import Withheld
from loamwright.project.soil_classes import classes
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.state import Fact
from loamwright.project.worked import Table as Worked
from loamwright.project.worked import Told
from loamwright.words import charts, tests_made
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.charts.ink import in_ink
from loamwright.words.language import later, tr
from loamwright.words.sentences import of_fault, of_note, of_notes, sentence
from loamwright.words.showing import entry_words

SHARES = (("sand", later("Sand")), ("silt", later("Silt")), ("clay", later("Clay")))
WIDTH = 0.5


def soil_record(setting: Setting, source: Fact) -> Document:
    """What is known of one soil, for a laboratory, an engineer or the file."""
    parts: list[Part] = [
        known(
            (tr("Where from"), str(source.get("place", ""))), (tr("Screened through"), setting.field(source, "screen", "length"))
        ),
        Heading(tr("What is believed of it, by dry mass")),
        *_believed(setting, source),
        *_drawn(setting),
        *_classes(setting, source),
        Heading(tr("Tests")),
    ]
    made = SOIL_TESTS.made(setting.state, source.id)
    if not made:
        parts.append(Words(tr("No test is written down yet.")))
    for fact in made:
        parts += _test(setting, fact)
    parts.append(Remark(sentence("paper_soil_guides", {})))
    return setting.paper("soil", tr("Record of one soil"), parts, subtitle=setting.name(source.id))


def _believed(setting: Setting, source: Fact) -> list[Part]:
    found = [(label, shake.share(setting.state, source.id, name)) for name, label in SHARES]
    if all(finding is None for _, finding in found):
        return [Words(tr("Nothing is known of it yet. Shake a jar of it, or guess what it is."))]
    return [setting.figure(tr(label), finding, "share", digits=0, short=True) for label, finding in found]


def _classes(setting: Setting, source: Fact) -> list[Part]:
    """Classes by three systems, where a laboratory sent what they need."""
    rows = tests_made.class_rows(classes(setting.state, source.id))
    if not rows:
        return []
    columns = (
        PaperColumn(tr("System")),
        PaperColumn(tr("Class")),
        PaperColumn(tr("Name")),
        PaperColumn(tr("Remarks"), share=1.0),
    )
    return [Table(tr("Classes, by the laboratory's figures"), columns, tuple(tuple(row) for row in rows))]


def _drawn(setting: Setting) -> list[Part]:
    """The charts of soils that have something to show."""
    parts: list[Part] = []
    for name in ("grading", "texture", "plasticity", "compaction"):
        chart = charts.chart(setting.state, name, setting.shown)
        if chart is None:
            continue
        try:
            parts.append(Drawing(render_svg(in_ink(chart.description)), chart.alt, WIDTH))
        except NotDrawnError:
            parts.append(Words(chart.alt))
    return parts


def _test(setting: Setting, fact: Fact) -> list[Part]:
    worked = SOIL_TESTS.worked(setting.state, fact)
    title = f"{kind_said(fact.kind).label}, {setting.day(setting.state.day(fact))}"
    read = [f"{label}: {value}" for label, value in entry_words(setting.state, fact)[1:]]
    return [
        Heading(title),
        *(Words(of_note(note), strong=True) for note in worked.says),
        *(_result(setting, told) for told in worked.results),
        *(_table(setting, table) for table in worked.tables),
        *(Remark(words) for words in of_notes(worked.notes)),
        Points(tuple(read)),
        *(Caution(words) for words in cautions_for(fact.kind)),
    ]


def _result(setting: Setting, told: Told) -> Part:
    """A number with its working; what is in the way of one stands in plain words."""
    if isinstance(told.result, Withheld):
        return Words(f"{tr(told.label)}: {of_fault(told.result.fault)}")
    return setting.figure(tr(told.label), told.result, told.quantity, short=True)


def _table(setting: Setting, table: Worked) -> Table:
    words = tests_made.table_words(table, setting.shown)
    columns = tuple(
        PaperColumn(column["label"], column["unit"], "number" if column["count"] else "text") for column in words["columns"]
    )
    return Table(words["caption"], columns, tuple(tuple(row) for row in words["rows"]))
