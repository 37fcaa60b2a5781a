"""The mix report for the engineer: brief, every mix with its evidence and standing, choice and reason, workings, sources."""

from dataclasses import replace

from loamwright.errors import InputError
from loamwright.papers.document import Caution, Document, Heading, PaperColumn, Part, Points, Remark, Signatures, Table, Words
from loamwright.papers.setting import Setting, known, urn
from loamwright.project import blending, blends, choosing
from loamwright.project.brief import brief
from loamwright.project.compare import Comparison, MixResult
from loamwright.project.finding import Finding
from loamwright.project.state import Fact
from loamwright.rules.book import Clause, Rule
from loamwright.words import briefs, choices, comparisons
from loamwright.words.blocks import mix_key_name
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.numbers import percent
from loamwright.words.sentences import of_fault, sentence
from loamwright.words.showing import batch_number, entry_line


def mix_report(setting: Setting) -> Document:
    """What was asked, what was tried, what the blocks say, what was chosen and why not the others; then every working."""
    state = setting.state
    found = choosing.choosing(state)
    choice = choosing.current_choice(state)
    parts: list[Part] = [*brief_parts(setting), Heading(tr("Mixes compared"))]
    parts += _compared(setting, found.comparison)
    for each in found.comparison.mixes:
        parts += _mix(setting, each)
    parts += [Heading(tr("Choice")), *_choice(setting, found, choice)]
    parts += [Heading(tr("Soils and blends")), *_blends(setting)]
    parts += _workings(setting, found)
    parts += [Caution(each) for each in cautions_for("trial")]
    parts.append(Signatures((tr("Made by"), tr("Agreed by"), tr("Day and place"))))
    code = urn(choice.id) if choice is not None else ""
    return setting.paper("mix-report", tr("Mix report"), parts, subtitle=setting.name(state.project), code=code)


def brief_parts(setting: Setting) -> list[Part]:
    """What the blocks must reach and by whose rule: strength, condition, age, number, exposure."""
    of = brief(setting.state)
    found: list[Part] = [Heading(tr("What is asked")), Words(briefs.standing(of)), known(*briefs.decided(setting.state, of))]
    if of.rule is not None:
        asked = [clause for clause in of.rule.clauses if not of.grade or clause.grade in ("", of.grade)]
        found.append(Points(tuple(_clause(setting, of.rule, clause) for clause in asked)))
    return found


def _clause(setting: Setting, rule: Rule, clause: Clause) -> str:
    parts = (briefs.clause_words(clause, setting.shown), briefs.clause_conditions(clause), briefs.clause_place(rule, clause))
    return "; ".join(part for part in parts if part)


def _compared(setting: Setting, found: Comparison) -> list[Part]:
    if not found.mixes:
        return [Words(sentence("paper_no_tests", {}))]
    heads = comparisons.table_columns(setting.shown)
    columns = tuple(
        PaperColumn(
            str(head["label"]), str(head.get("unit", "")), "number" if head.get("count") else "text", 2.0 if place == 0 else 0.0
        )
        for place, head in enumerate(heads)
    )
    table = Table("", columns, tuple(tuple(row) for row in comparisons.table_rows(setting.state, found, setting.shown)))
    said = [
        *(comparisons.pair_line(setting.state, found, pair) for pair in found.pairs),
        *comparisons.left_out(setting.state, found),
        comparisons.pooled(found),
    ]
    return [table, *(Remark(each) for each in said if each)]


def _mix(setting: Setting, each: MixResult) -> list[Part]:
    """One mix: outcome and standing clause by clause, every block that counts, and those set aside."""
    state = setting.state
    found: list[Part] = [Heading(mix_key_name(state, each.key))]
    if each.verdict is not None:
        for clause in each.verdict.clauses:
            words = [
                briefs.outcome_words(clause, setting.shown),
                briefs.clause_standing(clause.standing, clause.clause),
                *briefs.outcome_notes(clause.outcome),
            ]
            said = ". ".join(word[:1].upper() + word[1:].rstrip(".") for word in words if word)
            found.append(Points((f"{briefs.clause_words(clause.clause, setting.shown)}. {said}.",)))
    if chances := comparisons.chances(each):
        found.append(Remark(chances))
    found += [_blocks(setting, each)] if each.counted else []
    aside = [
        comparisons.block_line(state, one, one.block.block, one.block.batch, one.block.finding.value, setting.shown)
        for one in each.set_aside
    ]
    found += [Remark(tr("Set aside: {blocks}", blocks="; ".join(aside)))] if aside else []
    return [*found, *(Remark(words) for words in comparisons.mix_notes(each, setting.today))]


def _blocks(setting: Setting, each: MixResult) -> Table:
    unit, other = setting.shown.unit("pressure").label, setting.other_unit("pressure").label
    columns = (
        PaperColumn(tr("Batch"), kind="number"),
        PaperColumn(tr("Strengths, weakest first"), unit, share=1.0),
        PaperColumn(tr("the same"), other, share=1.0),
    )
    rows = []
    for batch, blocks in each.batches.items():
        values = sorted(block.finding.value for block in blocks)
        texts = (", ".join(setting.bare(value, "pressure", other=other_one) for value in values) for other_one in (False, True))
        rows.append((str(batch_number(setting.state, setting.state.fact(batch, "batch"))), *texts))
    return Table("", columns, tuple(rows))


def _choice(setting: Setting, found: choosing.Choosing, choice: Fact | None) -> list[Part]:
    state = setting.state
    parts: list[Part] = []
    if choice is None:
        parts.append(Words(sentence("paper_no_choice", {})))
    else:
        parts += [
            known(
                (tr("Chosen"), setting.name(choice["mix"], "mix")),
                (tr("Because"), str(choice["reason"])),
                (tr("Agreed by"), str(choice.get("agreed_by", ""))),
                (tr("On"), setting.day(state.moment(choice).date())),
                (tr("Written by"), choice.by),
            ),
            *([Points(tuple(lines))] if (lines := choices.told_lines(state, choice, setting.shown)) else []),
            Remark(told(setting, choice)),
            *(Remark(line) for line in choices.now_lines(state, choosing.would_now_be(state, choice), setting.shown)),
        ]
    rows = [(each["what"], each["when"], each["more"]) for each in (*choices.ranked(state, found), *choices.bars(state, found))]
    if rows:
        columns = (
            PaperColumn(tr("Mix"), share=2.0),
            PaperColumn(tr("Cost or state"), share=1.0),
            PaperColumn(tr("Why here, why not"), share=2.0),
        )
        parts.append(Table(tr("Every mix, and why not the others"), columns, tuple(rows)))
    return [*parts, *(Remark(each) for each in choices.notes(state, found))]


def told(setting: Setting, choice: Fact) -> str:
    """When a choice was told, by which version, on how many entries."""
    stood = choice.get("stood_on")
    day = setting.day(setting.state.moment(choice).date())
    if not isinstance(stood, dict) or "version" not in stood:
        return sentence("paper_told_plain", {"day": day})
    return sentence("paper_told_version", {"day": day, "version": stood["version"], "n": len(stood.get("entries", ()))})


def _blends(setting: Setting) -> list[Part]:
    """Every blend that was tried: ratio by volume with names in order, and by dry mass."""
    state = setting.state
    found: list[Part] = []
    rows = []
    for blend in state.all("blend"):
        try:
            shares, _ = blends.mass_shares(state, blend)
            by_mass = ", ".join(f"{setting.name(source)} {percent(share, 0)}" for source, share in shares.items())
        except InputError as fault:
            by_mass = of_fault(fault)
        rows.append((setting.name(blend.id), by_mass, _clay(setting, blend)))
    if rows:
        columns = (
            PaperColumn(tr("Blend, parts by volume"), share=1.5),
            PaperColumn(tr("By dry mass"), share=1.5),
            PaperColumn(tr("Clay in it"), share=1.0),
        )
        found.append(Table("", columns, tuple(rows)))
    return found


def _clay(setting: Setting, blend: Fact) -> str:
    try:
        clay = blending.kept_view(setting.state, blend).held["clay"]
    except (InputError, KeyError):
        return tr("not known yet")
    if clay.band is None:
        return setting.shown.value(clay.value, "share")
    band = setting.shown.band(clay.band.low, clay.band.high, "share", digits=0)
    return tr("{share}, likely {band}", share=setting.shown.value(clay.value, "share", digits=0), band=band)


def _workings(setting: Setting, found: choosing.Choosing) -> list[Part]:
    """The working of mean, spread and cautious value of each mix, of its weakest block and its cost; then the entries behind."""
    parts: list[Part] = []
    entries: set[str] = set()
    for each in found.comparison.mixes:
        named = [
            (tr("Mean"), each.mean, "pressure"),
            (tr("Spread"), each.scatter, "share"),
            (tr("Cautious value"), each.cautious, "pressure"),
        ]
        if each.counted:
            weakest = each.counted[0]
            named.append((tr("Weakest block, {block}", block=setting.name(weakest.block)), weakest.finding, "pressure"))
        figures = [setting.figure(label, result, quantity, short=True) for label, result, quantity in named if result is not None]
        entries.update(entry for _, result, _ in named if isinstance(result, Finding) for entry in result.entries())
        cost = found.costs.get(each.key)
        if cost is not None and isinstance(cost.cost, Finding):
            figure = setting.figure(tr("Cost of one good block"), cost.cost, "share", short=True)
            figures.append(replace(figure, value=choices.money(setting.state, cost.cost.value), band=""))
            entries.update(cost.cost.entries())
        if figures:
            parts += [Heading(mix_key_name(setting.state, each.key)), *figures]
    if not parts:
        return []
    rows = tuple((entry[-8:], entry_line(setting.state, entry, setting.shown)) for entry in sorted(entries))
    columns = (PaperColumn(tr("Id")), PaperColumn(tr("What it says"), share=1.0))
    return [Heading(tr("Workings and sources")), *parts, Table(tr("Entries these figures stand on"), columns, rows)]
