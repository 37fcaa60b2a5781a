"""A brief and a rule in words: what is decided, what is still to be said, how sure a lot is to pass."""

from loamwright.engine.evidence.acceptance import Outcome
from loamwright.engine.evidence.pass_chance import SpreadAssumption
from loamwright.errors import Note
from loamwright.project.brief import Brief, PassFigures
from loamwright.project.finding import Finding
from loamwright.project.state import State
from loamwright.rules.book import Clause, Rule, compile_rule
from loamwright.rules.clause import OtherFigure
from loamwright.rules.evaluate import AdviceSaid, ClauseVerdict
from loamwright.rules.properties import OF_CLASS, unit
from loamwright.words.asked_for import kind_said
from loamwright.words.clauses import COMPARATORS, condition_words, property_words, subject_words, unit_words
from loamwright.words.language import later, tr, trn
from loamwright.words.numbers import Shown, count, number, percent, with_unit
from loamwright.words.said import said
from loamwright.words.sentences import of_fault, of_note, sentence
from loamwright.words.showing import entry_words

SHAPES = {
    "complies": "met",
    "met": "met",
    "as_advised": "met",
    "not_met": "not_met",
    "not_as_advised": "not_met",
    "not_shown_yet": "not_shown",
    "no_requirement": "not_shown",
    "": "not_shown",
}


def decided(state: State, of: Brief) -> list[tuple[str, str]]:
    """What a brief says, as label and value; nothing where none is written."""
    return [] if of.fact is None else entry_words(state, of.fact)


def standing(of: Brief) -> str:
    """In one sentence: decided or not, what is still missing, what is wrong."""
    if of.fault is not None:
        return of_fault(of.fault)
    if of.lacks:
        return sentence("brief_lacks", {"fields": ", ".join(field_label(name) for name in of.lacks)})
    if of.rule is None:
        return sentence("brief_undecided", {})
    if of.rule.own:
        return sentence("brief_own", {})
    grade = tr(", grade {grade}", grade=of.grade) if of.grade else ""
    return sentence("brief_rule", {"document": of.rule.document, "edition": of.rule.edition, "grade": grade})


def field_label(name: str) -> str:
    """What a field of the brief is called on its form, as it stands inside a sentence."""
    label = next((each.label for each in kind_said("brief").fields if each.name == name), name)
    return label[:1].lower() + label[1:]


def short(of: Brief, shown: Shown) -> str:
    """The brief in one line: "mean at least 2.40 MPa, each at least 2.00 MPa, 5 blocks, soaked 24 h, 28 days old"."""
    if of.rule is None:
        return standing(of)
    criteria = [each.criterion for each in compile_rule(of.rule, grade=of.grade, uses=of.uses)]
    crushing = [each for each in criteria if each.property == "compressive_strength" and each.comparator in COMPARATORS]
    name = "" if of.rule.own else f"{of.rule.document}: "
    if not crushing:
        return name + tr("it asks nothing of crushing")
    limits = [
        tr(
            "{statistic} {comparator} {limit}",
            statistic=sentence(f"clause_{each.statistic}", {}),
            comparator=tr(COMPARATORS[each.comparator]),
            limit=shown.value(each.limit, "pressure"),
        )
        for each in crushing
        if f"clause_{each.statistic}" in said()
    ]
    first = crushing[0]
    rest = [count(first.n, "block")] if first.n else []
    soak = f" {with_unit(number(first.soak_hours_least, 0), 'h')}" if first.soak_hours_least else ""
    rest.append(condition_words(first.condition) + soak)
    rest += [tr("{days} old", days=count(round(first.age_days), "day"))] if first.age_days else []
    return name + ", ".join([*limits, *(each for each in rest if each)])


def assumption_words(assumption: SpreadAssumption) -> str:
    """How strength is supposed to scatter."""
    values = {"within": number(100 * assumption.within_lot, 0), "between": number(100 * assumption.between_lots, 0)}
    return sentence(f"assume_{assumption.key}", values)


def pass_table(figures: PassFigures, shown: Shown) -> tuple[list[dict[str, object]], list[list[str]]]:
    """Columns and rows of true means and their chances of passing; `needed` says what each assumption is."""
    unit = shown.unit("pressure")
    columns: list[dict[str, object]] = [
        {"label": tr("True mean"), "unit": unit.label, "count": True},
        {"label": tr("Above the limit"), "count": True},
    ]
    columns += [{"label": sentence(f"lots_pass_{each.key}", {}), "count": True} for each, _ in figures.needed]
    rows = []
    for row in figures.rows:
        mean = shown.value((1 + row.margin.value) * figures.mean_least, "pressure").removesuffix(unit.label).strip()
        rows.append([mean, percent(row.margin.value, 0), *(chance_words(each.chance) for each in row.chances)])
    return columns, rows


def chance_words(chance: float) -> str:
    """A chance as a whole percentage; never "100 %" or "0 %", which nothing here can promise.

    >>> chance_words(0.9201).replace("\\u202f", " "), chance_words(0.9999)
    ('92 %', 'over 99\\u202f%')
    """
    if chance > 0.995:
        return tr("over {chance}", chance=percent(0.99, 0))
    if chance < 0.005:
        return tr("under {chance}", chance=percent(0.01, 0))
    return percent(chance, 0)


def needed(figures: PassFigures, shown: Shown) -> list[str]:
    """How far above the limit the true mean must lie, a sentence for each assumption."""
    found = []
    for assumption, result in figures.needed:
        if not isinstance(result, Finding):
            found.append(of_fault(result.fault))
            continue
        mean = shown.value((1 + result.value) * figures.mean_least, "pressure")
        values = {"mean": mean, "margin": percent(result.value, 0), "assumption": assumption_words(assumption)}
        found.append(sentence("pass_needed", values))
    return found


# --- rules and their clauses ---


def clause_words(clause: Clause, shown: Shown) -> str:
    """What a clause asks, in the unit of its document; what a row that asks nothing is about."""
    if clause.no_requirement or clause.value is None:
        return clause.words[:1].upper() + clause.words[1:]
    what, limit = property_words(clause.property), limit_words(clause, shown)
    if f"clause_{clause.statistic}" not in said():
        return tr("{what}: {limit}", what=what, limit=limit)
    return tr("{what}, {limit}", what=what, limit=limit)


def limit_words(clause: Clause, shown: Shown) -> str:
    """How the figure is taken and what it is held against: "mean at least 3.5 MPa"."""
    key = f"clause_{clause.statistic}"
    limit = _limit(clause, shown)
    return tr("{statistic} {limit}", statistic=sentence(key, {}), limit=limit) if key in said() else limit


def asked_words(property_key: str, condition: str) -> str:
    """What several rules ask alike: the property, and the condition it is tested in."""
    condition = condition_words(condition)
    what = property_words(property_key)
    return tr("{what}, {condition}", what=what, condition=condition) if condition else what


def when_words(verdict: ClauseVerdict) -> list[str]:
    """Until when what is missing can be shown by the blocks that wait."""
    day = verdict.can_be_shown_on
    return [] if day is None else [sentence("can_be_shown_on", {"day": day.isoformat()})]


def _limit(clause: Clause, shown: Shown) -> str:
    """A limit as it is written, with the project's own unit of pressure beside it."""
    assert clause.value is not None
    if clause.unit == OF_CLASS:
        share = percent(clause.value / 100, 0)
        limit = tr("{share} of the grade’s mean", share=share)
    else:
        limit = figure_words(clause.value, clause.unit)
        of = unit(clause.unit)
        if of.quantity == "pressure" and clause.unit != shown.unit("pressure").key:
            limit += f" ({shown.value(of.to_engine(clause.value), 'pressure')})"
    if clause.comparator in COMPARATORS:
        words = tr("{comparator} {limit}", comparator=tr(COMPARATORS[clause.comparator]), limit=limit)
        if clause.floor is None:
            return words
        return tr("{limit}, each {floor}", limit=words, floor=figure_words(clause.floor, clause.unit))
    high = figure_words(clause.value_max or 0.0, clause.unit)
    if clause.upper_included:
        return tr("{low} to {high}", low=_plain_number(clause.value), high=high)
    return tr("{low} to under {high}", low=_plain_number(clause.value), high=high)


def figure_words(value: float, unit_key: str) -> str:
    """A figure in the unit of a rule."""
    label = "%" if unit_key == OF_CLASS else unit_words(unit_key)
    return with_unit(_plain_number(value), label) if label else _plain_number(value)


def _plain_number(value: float) -> str:
    return f"{value:.6g}"


def clause_conditions(clause: Clause) -> str:
    """How a clause is tested: blocks, soak, age, grade and use, as far as they are known."""
    if clause.no_requirement:
        return sentence(f"asks_nothing_{clause.no_requirement}", {})
    parts = [_how_many(clause), _tested(clause)]
    if clause.condition == "wet" and not clause.soak_hours:
        parts.append(tr("length of the soak not known here"))
    parts += [tr("{cycles} cycles", cycles=clause.cycles)] if clause.cycles else []
    parts += [tr("{days} old", days=count(round(clause.age_days), "day"))] if clause.age_days else []
    parts += [tr("for use {use}", use=use_words(clause.use))] if clause.use else []
    parts += [tr("advice, no requirement")] if clause.advice else []
    return ", ".join(part for part in parts if part)


def use_words(use: str) -> str:
    """A use of a rule, in plain words."""
    return tr(use.replace("_", " "))


def _how_many(clause: Clause) -> str:
    if clause.subject != "block":
        return tr("of {subject}", subject=subject_words(clause.subject))
    if clause.statistic in ("limit", "guidance"):
        return ""
    return count(clause.n, "block") if clause.n else tr("number of blocks not known here")


def _tested(clause: Clause) -> str:
    soak = f" {with_unit(number(clause.soak_hours, 0), 'h')}" if clause.soak_hours else ""
    return condition_words(clause.condition) + soak


def clause_standing(verdict_standing: str, clause: Clause) -> str:
    """How the figure of a clause is known, where it was read, and what else is said of it."""
    words = sentence(f"read_{verdict_standing}", {"reader": clause.read_by})
    if clause.page and verdict_standing == "read":
        words += ", " + sentence("read_on_page", {"edition": clause.edition_read, "page": clause.page})
    return words


def other_figures(clause: Clause, stricter: OtherFigure | None = None) -> list[str]:
    """The figures other sources give for a clause, and which of them counts."""
    if clause.value is None:
        return []
    own = figure_words(clause.value, clause.unit)
    found = []
    for each in clause.others:
        words = figure_words(each.value, each.unit)
        if each is stricter:
            found.append(sentence("stricter_figure", {"counts": words, "source": each.source, "other": own}))
        else:
            source = each.source or tr("as the list of rules had it")
            found.append(sentence("other_figure", {"other": words, "source": source}))
    return found


def clause_place(rule: Rule, clause: Clause) -> str:
    """Document and clause, as they are printed beside a verdict."""
    return "" if rule.own else f"{rule.document}, {clause.clause}"


def outcome_words(verdict: ClauseVerdict | AdviceSaid, shown: Shown) -> str:
    """The outcome of a clause with its figure: "met: 2.80 MPa of 5 blocks"."""
    outcome = verdict.outcome
    word = sentence(f"verdict_{verdict.word}", {})
    if outcome.statistic_value is None:
        return word
    figure = _figure(verdict.clause, outcome.statistic_value, shown)
    if outcome.criterion.subject != "block":
        return tr("{word}: {figure}", word=word, figure=figure)
    return tr("{word}: {figure} of {blocks}", word=word, figure=figure, blocks=count(len(outcome.used), "block"))


def _figure(clause: Clause, value: float, shown: Shown) -> str:
    """A statistic as people see it: strength in the project's unit, anything else in the unit of the rule."""
    of = None if clause.unit == OF_CLASS else unit(clause.unit)
    if of is None or of.quantity == "pressure":
        return shown.value(value, "pressure")
    if of.key == "pct":
        return percent(value)
    label = unit_words(of.key)
    figure = _plain_number(round(of.from_engine(value), 2))
    return with_unit(figure, label) if label else figure


def outcome_notes(outcome: Outcome) -> list[str]:
    """Why a clause is not shown yet, and what keeps a met one from being a proof."""
    doubts = outcome.doubts if outcome.used else ()
    return [*(missing_words(note) for note in outcome.missing), *(of_note(note) for note in doubts)]


def missing_words(note: Note) -> str:
    """One reason why a clause is not shown yet."""
    if note.code == "blocks_missing":
        have, need = int(str(note.values["have"])), int(str(note.values["need"]))
        condition = condition_words(str(note.values["condition"]))
        if not condition:
            return trn("Not shown yet: {n} block is missing.", "Not shown yet: {n} blocks are missing.", need - have)
        one, several = (
            later("Not shown yet: {n} {condition} block is missing."),
            later("Not shown yet: {n} {condition} blocks are missing."),
        )
        return trn(one, several, need - have, condition=condition)
    if note.code == "values_missing":
        return tr("Not shown yet: no result on {subject}.", subject=subject_words(str(note.values["subject"])))
    blocks = note.values.get("blocks")
    values = {**note.values, "blocks": count(blocks, "block") if isinstance(blocks, int) else f"{blocks}"}
    own = f"missing_{note.code}"
    return tr("Not counted: {why}.", why=sentence(own if own in said() else note.code, values))
