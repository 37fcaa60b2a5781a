"""The book of building rules: which there are, their clauses, and their clauses as acceptance criteria."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources

from loamwright import tables, units
from loamwright.engine.evidence.acceptance import Criterion
from loamwright.errors import InputError

FOLDER = "rules"
OF_CLASS = "pct_of_class"
"""A limit given as per cent of the mean that the declared grade asks for."""

_COLUMNS = (
    "document",
    "edition",
    "clause",
    "words",
    "property",
    "comparator",
    "value",
    "unit",
    "statistic",
    "condition",
    "confidence",
    "note",
)


@dataclass(frozen=True, slots=True)
class Clause:
    """One clause of a building rule, in the units of its document.

    Attributes
    ----------
    key : str
        Its id in the rule's data file.
    clause : str
        Clause, table or annex in the document.
    words : str
        What it is about, in words.
    property, statistic, comparator, condition, value_form : str
        As in `evidence.acceptance.Criterion`.
    value : float
        The limit, in `unit`.
    unit : str
        Key in the unit file, or "pct_of_class".
    n : int or None
        Blocks asked for; None where not known. [-]
    soak_hours : float or None
        Shortest soak; None where not known or not soaked. [h]
    age_days : float or None
        Age at the test. [d]
    grade : str
        The class, grade or part of the document it belongs to; empty where it holds for all.
    use : str
        The use it is meant for, such as "exposed_to_water"; empty where it always holds.
    cautious_rule : str or None
        How the document takes a characteristic value; None where not known.
    standing : str
        How the figure is known: "read" by the user in the document, else as the data file says.
    confidence : str
        "high", "medium", "low"; empty for a clause that the user read or wrote.
    source : str
        Key in docs/references.md.
    note : str
        What else the file says.
    read_by : str
        Who read it in the document; empty where nobody did.
    """

    key: str
    clause: str
    words: str
    property: str
    statistic: str
    comparator: str
    value: float
    unit: str
    condition: str
    n: int | None = None
    soak_hours: float | None = None
    age_days: float | None = None
    grade: str = ""
    use: str = ""
    cautious_rule: str | None = None
    value_form: str = "as_tested"
    standing: str = "memory"
    confidence: str = ""
    source: str = ""
    note: str = ""
    read_by: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """A building rule of one document and edition, or a person's own brief.

    Attributes
    ----------
    key : str
        Name of its data file.
    title : str
        What the document is about.
    document, edition : str
        As printed beside every verdict.
    clauses : tuple of Clause
        In file order.
    own : bool
        A person's own brief: it can be met, never complied with.
    """

    key: str
    title: str
    document: str
    edition: str
    clauses: tuple[Clause, ...]
    own: bool = False

    @property
    def grades(self) -> tuple[str, ...]:
        """Every grade a block can be declared to be of, in file order."""
        return tuple(dict.fromkeys(clause.grade for clause in self.clauses if clause.grade))

    @property
    def uses(self) -> tuple[str, ...]:
        """Every use that brings further clauses, in file order."""
        return tuple(dict.fromkeys(clause.use for clause in self.clauses if clause.use))

    def clause(self, key: str) -> Clause:
        """The clause with this key."""
        for each in self.clauses:
            if each.key == key:
                return each
        raise InputError("unknown_clause", clause=key, known=", ".join(each.key for each in self.clauses))


@dataclass(frozen=True, slots=True)
class Compiled:
    """A clause, the acceptance criterion made of it, and the clause its limit leans on (itself unless relative)."""

    clause: Clause
    criterion: Criterion
    leans_on: Clause


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
    table = tables.load(f"{FOLDER}/{key}", required=_COLUMNS)
    first = table.rows[0]
    return Rule(key, table.title, first["document"], first["edition"], tuple(_clause(row) for row in table))


def _clause(row: tables.Row) -> Clause:
    same = ("clause", "words", "property", "statistic", "comparator", "value", "unit", "condition", "confidence", "note")
    optional = ("n", "grade", "use", "cautious_rule", "value_form")
    columns = {name: row[name] for name in same} | {name: row[name] for name in optional if name in row.columns}
    return Clause(
        key=row.key,
        soak_hours=row.get("soak_h"),
        age_days=row.get("age_d"),
        standing=row.standing,
        source=row.source,
        **columns,
    )


def read_in_document(
    rule: Rule,
    clause_key: str,
    *,
    value: float,
    unit: str,
    read_by: str,
    n: int | None = None,
    soak_hours: float | None = None,
    age_days: float | None = None,
    cautious_rule: str | None = None,
) -> Rule:
    """The rule with one clause as a person has read it in the document: the only way to a standing of "read".

    Parameters
    ----------
    rule : Rule
        As the book has it.
    clause_key : str
        The clause that was read.
    value : float
        The limit as printed, in `unit`.
    unit : str
        Key of a unit, or "pct_of_class".
    read_by : str
        Who read it.
    n, soak_hours, age_days, cautious_rule : optional
        As printed; what is not given stays as the book has it. [-], [h], [d]

    Returns
    -------
    Rule
        A new rule; the book is not changed.

    Raises
    ------
    InputError
        "unknown_clause", "unknown_unit", "no_reader".

    Examples
    --------
    >>> rule = read_in_document(load_rule("ks_02_1070_1993"), "ks1070-wet", value=1.5, unit="MPa", read_by="the engineer")
    >>> rule.clause("ks1070-wet").standing
    'read'
    """
    if not read_by.strip():
        raise InputError("no_reader", clause=clause_key)
    if unit != OF_CLASS:
        units.unit(unit)
    old = rule.clause(clause_key)
    given = {"n": n, "soak_hours": soak_hours, "age_days": age_days, "cautious_rule": cautious_rule}
    changed = replace(
        old,
        value=value,
        unit=unit,
        standing="read",
        confidence="",
        read_by=read_by,
        **{name: each for name, each in given.items() if each is not None},  # type: ignore[arg-type]
    )
    return replace(rule, clauses=tuple(changed if each is old else each for each in rule.clauses))


def compile_rule(rule: Rule, *, grade: str | None = None, uses: Collection[str] = ()) -> tuple[Compiled, ...]:
    """The clauses that hold for a grade and its uses, as acceptance criteria in engine units.

    Parameters
    ----------
    rule : Rule
        From the book, or a person's own brief.
    grade : str, optional
        Must be given where the rule has grades.
    uses : collection of str
        Of `rule.uses`; their clauses come on top of those that always hold.

    Returns
    -------
    tuple of Compiled
        In the rule's order.

    Raises
    ------
    InputError
        "grade_needed", "unknown_grade", "unknown_use", "class_limit_missing".

    Examples
    --------
    >>> found = compile_rule(load_rule("is_1725_2013"), grade="3.5")
    >>> [(each.criterion.statistic, round(each.criterion.limit, 2)) for each in found]
    [('mean', 3.5), ('individual', 2.8), ('mean', 0.18)]
    """
    _check_choice(rule, grade, uses)
    holding = [each for each in rule.clauses if each.grade in ("", grade) and (not each.use or each.use in uses)]
    return tuple(_compiled(each, _class_clause(each, holding)) for each in holding)


def _check_choice(rule: Rule, grade: str | None, uses: Collection[str]) -> None:
    if rule.grades and grade is None:
        raise InputError("grade_needed", rule=rule.key, grades=", ".join(rule.grades))
    if grade is not None and grade not in rule.grades:
        raise InputError("unknown_grade", rule=rule.key, grade=grade, grades=", ".join(rule.grades))
    for use in uses:
        if use not in rule.uses:
            raise InputError("unknown_use", rule=rule.key, use=use, uses=", ".join(rule.uses))


def _compiled(clause: Clause, whole: Clause) -> Compiled:
    share = units.unit("pct").to_engine(clause.value) if clause is not whole else 1.0
    criterion = Criterion(
        key=clause.key,
        property=clause.property,
        statistic=clause.statistic,  # type: ignore[arg-type]  # Criterion itself refuses an unknown one
        comparator=clause.comparator,
        limit=share * units.unit(whole.unit).to_engine(whole.value),
        condition=clause.condition,
        soak_hours_least=_or(clause.soak_hours, whole.soak_hours),
        age_days=_or(clause.age_days, whole.age_days),
        n=clause.n if clause.n is not None else whole.n,
        cautious_rule=clause.cautious_rule,
        value_form=clause.value_form,
    )
    return Compiled(clause, criterion, whole)


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
