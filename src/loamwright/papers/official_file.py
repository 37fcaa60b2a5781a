"""The project file for the official: legal basis, who tested with what, which blocks, the verdict; then every entry."""

from loamwright.notebook.entry import Entry, local_moment
from loamwright.papers.document import (
    Caution,
    Document,
    Heading,
    Lines,
    PageBreak,
    PaperColumn,
    Part,
    Remark,
    Signatures,
    Table,
    Words,
)
from loamwright.papers.mix_report import brief_parts
from loamwright.papers.setting import Setting, grouped, known
from loamwright.papers.test_record import crushed_table, rig_parts
from loamwright.project import choosing, proving
from loamwright.words import briefs
from loamwright.words.asked_for import kinds_said
from loamwright.words.blocks import mix_key_name
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.sentences import of_notes, sentence


def official_file(setting: Setting) -> Document:
    """The file: the entries of the project's export, with what it names on benches, under their root hash."""
    state, entries = setting.state, setting.entries
    project = state.find(state.project, "project")
    basis = "" if project is None else str(project.get("dose_basis", ""))
    parts: list[Part] = [
        Words(sentence("paper_not_a_certificate", {}), strong=True),
        known(
            (tr("Project"), setting.name(state.project)),
            (tr("A dose means"), basis.replace("_", " ")),
            (tr("Entries"), str(len(entries))),
            (tr("Root hash"), grouped(setting.root)),
            (tr("Project id"), state.project),
        ),
        Remark(sentence("paper_sum_of_all", {})),
        Remark(sentence("paper_no_signature", {})),
        Remark(sentence("paper_checks", {})),
        *brief_parts(setting),
        *_verdicts(setting),
        *_people(entries),
        *rig_parts(setting),
        *crushed_table(setting),
        *_recipes(setting),
        *(Caution(each) for each in cautions_for("trial", "failed_lot")),
        Signatures((tr("Made by"), tr("Engineer"), tr("Official, day"))),
        PageBreak(),
        Heading(tr("Entries, each with its id and hash")),
        _entries(entries),
    ]
    code = f"sha256:{setting.root}" if setting.root else ""
    return setting.paper(
        "official", tr("Project file for the official"), parts, subtitle=setting.name(state.project), code=code, landscape=True
    )


def _verdicts(setting: Setting) -> list[Part]:
    """What the blocks of each mix show of each clause: outcome and standing kept apart."""
    found = choosing.choosing(setting.state).comparison
    rows = [
        (
            mix_key_name(setting.state, each.key),
            briefs.clause_words(clause.clause, setting.shown),
            briefs.outcome_words(clause, setting.shown),
            briefs.clause_standing(clause.standing, clause.clause),
            " ".join(briefs.outcome_notes(clause.outcome)),
        )
        for each in found.mixes
        if each.verdict is not None
        for clause in each.verdict.clauses
    ]
    if not rows:
        return []
    columns = (
        PaperColumn(tr("Mix"), share=1.6),
        PaperColumn(tr("Clause"), share=1.8),
        PaperColumn(tr("Outcome"), share=1.3),
        PaperColumn(tr("Standing"), share=1.3),
        PaperColumn(tr("What is missing or doubtful"), share=1.8),
    )
    return [Table(tr("What is shown of the brief"), columns, tuple(rows))]


def _people(entries: tuple[Entry, ...]) -> list[Part]:
    """Who wrote the readings, and on how many devices."""
    hands = sorted({entry.by for entry in entries if entry.by})
    devices = {entry.device for entry in entries if entry.device}
    return [Heading(tr("Who tested, with what")), known((tr("Written by"), ", ".join(hands)), (tr("Devices"), str(len(devices))))]


def _recipes(setting: Setting) -> list[Part]:
    state = setting.state
    found: list[Part] = []
    for recipe in state.all("recipe"):
        view = proving.recipe_view(state, recipe.id)
        said = sentence("paper_draft", {"reasons": " ".join(of_notes(view.missing))})
        if not view.draft and view.proofs:
            said = sentence("paper_proven", {"day": setting.day(view.proofs[-1].pressed_on)})
        found.append(Lines(((setting.name(recipe.id), said),)))
    return [Heading(tr("Recipes")), *found] if found else []


def _entries(entries: tuple[Entry, ...]) -> Table:
    columns = (
        PaperColumn(tr("Id")),
        PaperColumn(tr("Kind"), share=1.6),
        PaperColumn(tr("Written at"), share=1.2),
        PaperColumn(tr("By"), share=1.0),
        PaperColumn(tr("Instead of"), share=1.0),
        PaperColumn(tr("Hash, its first signs"), share=1.3),
    )
    kinds = kinds_said()
    rows = tuple(
        (
            entry.id,
            kinds[entry.kind].label if entry.kind in kinds else entry.kind,
            f"{local_moment(entry.at, entry.offset):%Y-%m-%d %H:%M}",
            entry.by,
            " ".join(each[-8:] for each in entry.replaces),
            grouped(entry.hash[:16]),
        )
        for entry in entries
    )
    return Table("", columns, rows)
