"""The book of building rules: which there are, their clauses as read by the user, and their clauses as acceptance criteria."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources

from loamwright import tables
from loamwright.engine.evidence.acceptance import BETWEEN, Criterion
from loamwright.errors import InputError
from loamwright.rules.clause import Clause as Clause
from loamwright.rules.clause import OtherFigure
from loamwright.rules.clause import Rule as Rule
from loamwright.rules.files import check_text
from loamwright.rules.properties import OF_CLASS as OF_CLASS
from loamwright.rules.properties import unit

FOLDER = "rules"
_GREATER = (">=", ">")


@dataclass(frozen=True, slots=True)
class Compiled:
    """A clause as a criterion.

    Attributes
    ----------
    clause : Clause
        The clause.
    criterion : Criterion
        What was made of it.
    leans_on : Clause
        The clause its limit is a share of; itself unless relative.
    stricter : OtherFigure or None
        The figure of another source that was taken because it is the stricter; None where the clause's own counts.
    """

    clause: Clause
    criterion: Criterion
    leans_on: Clause
    stricter: OtherFigure | None = None


def rule_keys() -> tuple[str, ...]:
    """The keys of all rules in the book, sorted; no rule is read for it.

    >>> "is_1725_2013" in rule_keys()
    True
    """
    names = (entry.name for entry in resources.files("loamwright.data").joinpath(FOLDER).iterdir())
    return tuple(sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml")))


def rules() -> tuple[Rule, ...]:
    """Every rule of the book, by key."""
    return tuple(load_rule(key) for key in rule_keys())


@cache
def load_rule(key: str) -> Rule:
    """The rule with this key, read on first use.

    Raises
    ------
    InputError
        "unknown_rule" where the book has none.

    Examples
    --------
    >>> rule = load_rule("nbr_8491_1984_2012")
    >>> rule.document, [clause.value for clause in rule.clauses if clause.property == "compressive_strength"]
    ('NBR 8491', [2.0, 1.7])
    """
    if key not in rule_keys():
        raise InputError("unknown_rule", rule=key, known=", ".join(rule_keys()))
    rule, faults = check_text(tables.text(f"{FOLDER}/{key}.toml"), key)
    if rule is None:  # a fault of the package, not of a user
        raise ValueError(f"{key}.toml: " + "; ".join(f"{each.row}, {each.field}: {each.fault}" for each in faults))
    return rule


def read_in_document(
    rule: Rule,
    clause_key: str,
    *,
    value: float,
    unit: str,
    read_by: str,
    value_max: float | None = None,
    statistic: str | None = None,
    n: int | None = None,
    soak_hours: float | None = None,
    age_days: float | None = None,
    cautious_rule: str | None = None,
    page: str = "",
    edition: str = "",
    others: Sequence[OtherFigure] = (),
) -> Rule:
    """The rule with one clause as a person has read it in the document: the only way to a standing of "read".

    Parameters
    ----------
    rule : Rule
        As the book has it.
    clause_key : str
        The clause that was read.
    value : float
        The limit as printed, in `unit`; the lower end of a range.
    unit : str
        Key of a unit of the same quantity, or "pct_of_class".
    read_by : str
        Who read it.
    value_max : float, optional
        The upper end of a range as printed.
    statistic, n, soak_hours, age_days, cautious_rule : optional
        As printed; what is not given stays as the book has it. [-], [h], [d]
    page, edition : str, optional
        Where it was read.
    others : sequence of OtherFigure, optional
        What else was read for it; the strictest counts, and all are named.

    Returns
    -------
    Rule
        A new rule; the book is not changed. The book's own figure is kept beside the new one where the two differ.

    Raises
    ------
    InputError
        "unknown_clause", "unknown_unit", "no_reader", "nothing_to_read", "unit_of_other_clause", "not_positive".

    Examples
    --------
    >>> rule = read_in_document(load_rule("ks_02_1070_1993"), "ks1070-wet", value=1.5, unit="MPa", read_by="the engineer")
    >>> rule.clause("ks1070-wet").standing
    'read'
    """
    if not read_by.strip():
        raise InputError("no_reader", clause=clause_key)
    old = rule.clause(clause_key)
    _check_read(old, value, unit)
    given = {
        "statistic": statistic,
        "n": n,
        "soak_hours": soak_hours,
        "age_days": age_days,
        "cautious_rule": cautious_rule,
        "value_max": value_max,
    }
    changed = replace(
        old,
        value=value,
        unit=unit,
        standing="read",
        confidence="",
        read_by=read_by,
        page=page,
        edition_read=edition,
        others=(*others, *_superseded(old, value, unit)),
        **{name: each for name, each in given.items() if each is not None},  # type: ignore[arg-type]
    )
    read = replace(rule, clauses=tuple(changed if each is old else each for each in rule.clauses))
    if changed.unit != OF_CLASS:
        _compiled(changed, changed, changed.grade or None)  # a figure no criterion can be made of is refused here
    return read


def _check_read(old: Clause, value: float, key: str) -> None:
    if old.no_requirement or old.value is None:
        raise InputError("nothing_to_read", clause=old.key)
    if (key == OF_CLASS) != (old.unit == OF_CLASS):
        raise InputError("unit_of_other_clause", clause=old.key, unit=key, asked=old.unit)
    if key != OF_CLASS and unit(key).quantity != unit(old.unit).quantity:
        raise InputError("unit_of_other_clause", clause=old.key, unit=key, asked=old.unit)
    if not value >= 0 or (value == 0 and old.comparator != BETWEEN):
        raise InputError("not_positive", quantity="value", value=value)


def _superseded(old: Clause, value: float, key: str) -> tuple[OtherFigure, ...]:
    """The figure the book had, where it is another one: named, and no longer counted."""
    if old.standing == "read" or old.value is None or (old.value, old.unit) == (value, key):
        return ()
    return (OtherFigure(old.value, old.unit, "", old.standing),)


def compile_rule(
    rule: Rule,
    *,
    grade: str | None = None,
    uses: Collection[str] = (),
    subjects: Collection[str] | None = None,
    advice: bool = False,
) -> tuple[Compiled, ...]:
    """The clauses that hold for a grade and its uses, as acceptance criteria in engine units.

    Parameters
    ----------
    rule : Rule
        From the book, or a person's own brief.
    grade : str, optional
        Must be given where the rule has grades.
    uses : collection of str
        Of `rule.uses`; their clauses come on top of those that always hold.
    subjects : collection of str, optional
        Only clauses on these; all where not given.
    advice : bool
        Whether guidance is taken too; it is no requirement.

    Returns
    -------
    tuple of Compiled
        In the rule's order. Rows that ask nothing are left out.

    Raises
    ------
    InputError
        "grade_needed", "unknown_grade", "unknown_use", "class_limit_missing".

    Examples
    --------
    >>> found = compile_rule(load_rule("is_1725_2013"), grade="3.5")
    >>> [(each.criterion.statistic, round(each.criterion.limit, 2)) for each in found][:3]
    [('mean', 3.5), ('individual', 2.8), ('mean', 0.18)]
    """
    _check_choice(rule, grade, uses)
    holding = [each for each in rule.clauses if _holds(each, grade, uses)]
    return tuple(
        _compiled(each, _class_clause(each, holding), grade)
        for each in holding
        if (advice or not each.advice) and (subjects is None or each.subject in subjects)
    )


def _holds(clause: Clause, grade: str | None, uses: Collection[str]) -> bool:
    return not clause.no_requirement and clause.grade in ("", grade) and (not clause.use or clause.use in uses)


def classes_of(rule: Rule, scale: str, *, grade: str | None = None) -> tuple[Compiled, ...]:
    """The classes of one scale of a rule, such as its erodibility indices, best first.

    >>> [each.clause.key for each in classes_of(load_rule("nzs_4298_1998"), "erodibility index by spray")][:2]
    ['nzs4298-spray-index1', 'nzs4298-spray-index2']
    """
    found = [each for each in rule.clauses if each.scale == scale and not each.no_requirement and each.grade in ("", grade)]
    return tuple(_compiled(each, each, grade) for each in found)


def _check_choice(rule: Rule, grade: str | None, uses: Collection[str]) -> None:
    if rule.grades and grade is None:
        raise InputError("grade_needed", rule=rule.key, grades=", ".join(rule.grades))
    if grade is not None and grade not in rule.grades:
        raise InputError("unknown_grade", rule=rule.key, grade=grade, grades=", ".join(rule.grades))
    for use in uses:
        if use not in rule.uses:
            raise InputError("unknown_use", rule=rule.key, use=use, uses=", ".join(rule.uses))


def _compiled(clause: Clause, whole: Clause, grade: str | None) -> Compiled:
    share = 1.0 if clause is whole or clause.value is None else unit("pct").to_engine(clause.value)
    limit, stricter = _strictest(whole, grade)
    comparator, low, high = _range(clause, share * limit)
    criterion = Criterion(
        key=clause.key,
        property=clause.property,
        statistic=clause.statistic,  # type: ignore[arg-type]  # Criterion itself refuses an unknown one
        comparator=comparator,
        limit=low,
        condition=clause.condition,
        soak_hours_least=_or(clause.soak_hours, whole.soak_hours),
        age_days=_or(clause.age_days, whole.age_days),
        n=clause.n if clause.n is not None else whole.n,
        cautious_rule=clause.cautious_rule,
        value_form=clause.value_form,
        subject=clause.subject,
        limit_most=high,
        most_included=clause.upper_included,
        floor=None if clause.floor is None else unit(clause.unit).to_engine(clause.floor),
        cycles_least=clause.cycles,
    )
    return Compiled(clause, criterion, whole, stricter)


def _range(clause: Clause, limit: float) -> tuple[str, float, float | None]:
    """Comparator and ends; a class that may be left on its better side has one end only."""
    if clause.comparator != BETWEEN or clause.value_max is None:
        return clause.comparator, limit, None
    high = unit(clause.unit).to_engine(clause.value_max)
    if clause.or_better == "below":
        return ("<=" if clause.upper_included else "<"), high, None
    if clause.or_better == "above":
        return ">=", limit, None
    return BETWEEN, limit, high


def _strictest(clause: Clause, grade: str | None) -> tuple[float, OtherFigure | None]:
    """The limit in engine units: the clause's own, or the stricter one that another source gives."""
    if clause.value is None:
        raise InputError("class_limit_missing", clause=clause.key)
    best, taken = unit(clause.unit).to_engine(clause.value), None
    if clause.comparator == BETWEEN:
        return best, taken
    for each in clause.others:
        counts = each.standing == "read" or clause.standing != "read"
        value = unit(each.unit).to_engine(each.value)
        stricter = value > best if clause.comparator in _GREATER else value < best
        if counts and stricter and (not each.grades or grade in each.grades):
            best, taken = value, each
    return best, taken


def _or(own: float | None, of_class: float | None) -> float | None:
    return own if own is not None else of_class


def _class_clause(clause: Clause, holding: Collection[Clause]) -> Clause:
    """The clause that gives the limit: itself, or for a relative one the grade's mean, tested in the same way."""
    if clause.unit != OF_CLASS:
        return clause
    for each in holding:
        alike = (each.property, each.condition) == (clause.property, clause.condition)
        if alike and each.statistic == "mean" and each.unit != OF_CLASS:
            return each
    raise InputError("class_limit_missing", clause=clause.key)
