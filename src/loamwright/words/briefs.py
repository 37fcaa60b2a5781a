"""A brief and a rule in words: what is decided, what is still to be said, how sure a lot is to pass."""

from loamwright.engine.evidence.acceptance import Outcome
from loamwright.engine.evidence.pass_chance import SpreadAssumption
from loamwright.errors import Note
from loamwright.project.brief import Brief, PassFigures
from loamwright.project.finding import Finding
from loamwright.project.state import State
from loamwright.rules.book import Clause, Rule, compile_rule
from loamwright.rules.evaluate import ClauseVerdict
from loamwright.units import unit
from loamwright.words.asked_for import kind_said
from loamwright.words.language import later, tr, trn
from loamwright.words.numbers import Shown, count, number, percent, with_unit
from loamwright.words.said import said
from loamwright.words.sentences import of_fault, of_note, sentence
from loamwright.words.showing import entry_words

CONDITIONS = {
    "wet": later("soaked"),
    "dry": later("dry"),
    "air_dry": later("air-dry"),
    "damp_plate": later("on a damp plate"),
}
PROPERTIES = {
    "compressive_strength": later("Crushing strength"),
    "modulus_of_rupture": later("Bending strength"),
    "water_absorption": later("Water taken up"),
    "damp_plate_absorption": later("Water taken up from a damp plate"),
}
COMPARATORS = {">=": later("at least"), ">": later("more than"), "<=": later("at most"), "<": later("less than")}
SHAPES = {"complies": "met", "met": "met", "not_met": "not_met", "not_shown_yet": "not_shown", "": "not_shown"}


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
    limits = [
        tr(
            "{statistic} {comparator} {limit}",
            statistic=sentence(f"clause_{each.statistic}", {}),
            comparator=tr(COMPARATORS[each.comparator]),
            limit=shown.value(each.limit, "pressure"),
        )
        for each in criteria
        if each.property == "compressive_strength"
    ]
    first = criteria[0]
    rest = [count(first.n, "block")] if first.n else []
    soak = f" {with_unit(number(first.soak_hours_least, 0), 'h')}" if first.soak_hours_least else ""
    rest.append(tr(CONDITIONS.get(first.condition, first.condition)) + soak)
    rest += [tr("{days} old", days=count(round(first.age_days), "day"))] if first.age_days else []
    name = "" if of.rule.own else f"{of.rule.document}: "
    return name + ", ".join([*limits, *rest])


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
    """What a clause asks, in the unit of its document."""
    if clause.unit == "pct_of_class":
        limit = tr("{share} of the grade’s mean", share=percent(clause.value / 100, 0))
    else:
        limit = with_unit(_plain_number(clause.value), unit(clause.unit).label)
        if unit(clause.unit).quantity == "pressure" and clause.unit != shown.unit("pressure").key:
            limit += f" ({shown.value(unit(clause.unit).to_engine(clause.value), 'pressure')})"
    what = PROPERTIES.get(clause.property, clause.property.replace("_", " ").capitalize())
    statistic, comparator = sentence(f"clause_{clause.statistic}", {}), tr(COMPARATORS[clause.comparator])
    return tr("{what}, {statistic} {comparator} {limit}", what=tr(what), statistic=statistic, comparator=comparator, limit=limit)


def _plain_number(value: float) -> str:
    return f"{value:g}"


def clause_conditions(clause: Clause) -> str:
    """How a clause is tested: blocks, soak, age, grade and use, as far as they are known."""
    soak = f" {with_unit(number(clause.soak_hours, 0), 'h')}" if clause.soak_hours else ""
    parts = [count(clause.n, "block") if clause.n else tr("number of blocks not known here")]
    parts.append(tr(CONDITIONS.get(clause.condition, clause.condition)) + soak)
    if clause.condition == "wet" and not clause.soak_hours:
        parts.append(tr("length of the soak not known here"))
    parts += [tr("{days} old", days=count(round(clause.age_days), "day"))] if clause.age_days else []
    parts += [tr("for use {use}", use=tr(clause.use.replace("_", " ")))] if clause.use else []
    return ", ".join(parts)


def clause_standing(verdict_standing: str, clause: Clause) -> str:
    """How the figure of a clause is known."""
    return sentence(f"read_{verdict_standing}", {"reader": clause.read_by})


def clause_place(rule: Rule, clause: Clause) -> str:
    """Document and clause, as they are printed beside a verdict."""
    return "" if rule.own else f"{rule.document}, {clause.clause}"


def outcome_words(verdict: ClauseVerdict, shown: Shown) -> str:
    """The outcome of a clause with its figure: "met: 2.80 MPa of 5 blocks"."""
    outcome = verdict.outcome
    word = sentence(f"verdict_{verdict.word}", {})
    if outcome.statistic_value is None:
        return word
    pressure = outcome.criterion.property in ("compressive_strength", "modulus_of_rupture")
    figure = shown.value(outcome.statistic_value, "pressure") if pressure else percent(outcome.statistic_value)
    return tr("{word}: {figure} of {blocks}", word=word, figure=figure, blocks=count(len(outcome.used), "block"))


def outcome_notes(outcome: Outcome) -> list[str]:
    """Why a clause is not shown yet, and what keeps a met one from being a proof."""
    doubts = outcome.doubts if outcome.used else ()
    return [*(missing_words(note) for note in outcome.missing), *(of_note(note) for note in doubts)]


def missing_words(note: Note) -> str:
    """One reason why a clause is not shown yet."""
    if note.code == "blocks_missing":
        have, need = int(str(note.values["have"])), int(str(note.values["need"]))
        condition = tr(CONDITIONS.get(str(note.values["condition"]), str(note.values["condition"])))
        one, several = (
            later("Not shown yet: {n} {condition} block is missing."),
            later("Not shown yet: {n} {condition} blocks are missing."),
        )
        return trn(one, several, need - have, condition=condition)
    blocks = note.values.get("blocks")
    values = {**note.values, "blocks": count(blocks, "block") if isinstance(blocks, int) else f"{blocks}"}
    own = f"missing_{note.code}"
    return tr("Not counted: {why}.", why=sentence(own if own in said() else note.code, values))
