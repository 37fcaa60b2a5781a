"""A building rule and its clauses as values, in the units of the document."""

from dataclasses import dataclass

from loamwright.errors import InputError


@dataclass(frozen=True, slots=True)
class OtherFigure:
    """Another figure that some source gives for the same limit.

    Attributes
    ----------
    value : float
        The limit, in `unit`.
    unit : str
        Key of a unit.
    source : str
        Who says so.
    standing : str
        How it is known, as in `Clause`.
    grades : tuple of str
        Grades it is said of; empty for all.
    """

    value: float
    unit: str
    source: str
    standing: str = "memory"
    grades: tuple[str, ...] = ()


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
        As in `evidence.acceptance.Criterion`; empty where it is no requirement.
    value : float or None
        The limit, in `unit`; the lower end of a range; None where there is none.
    unit : str
        Key in a unit file, or "pct_of_class".
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
    subject : str
        What it is about: "block", "mix", "soil", "lot", "wall", "cement" or "air".
    value_max : float or None
        Upper end of a range, in `unit`.
    upper_included : bool
        Whether the upper end belongs to the range.
    floor : float or None
        What each must reach beside the mean, in `unit`.
    cycles : int or None
        Cycles of wetting and drying before the reading.
    or_better : str
        "below" or "above" for a class whose range may be left on that side: it is still reached.
    scale : str
        Name of the scale of classes it is one of; empty where it is none.
    advice : bool
        Guidance: held against what is measured and said, never part of the verdict.
    no_requirement : str
        Why it asks nothing ("information", "method", "design_value" and so on); empty where it does.
    others : tuple of OtherFigure
        Figures other sources give for it; the strictest counts, unless the user read the clause.
    page, edition_read : str
        Where the user read it.
    """

    key: str
    clause: str
    words: str
    property: str
    statistic: str
    comparator: str
    value: float | None
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
    subject: str = "block"
    value_max: float | None = None
    upper_included: bool = True
    floor: float | None = None
    cycles: int | None = None
    or_better: str = ""
    scale: str = ""
    advice: bool = False
    no_requirement: str = ""
    others: tuple[OtherFigure, ...] = ()
    page: str = ""
    edition_read: str = ""


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
        return tuple(dict.fromkeys(each.grade for each in self.clauses if each.grade and not each.no_requirement))

    @property
    def uses(self) -> tuple[str, ...]:
        """Every use that brings further clauses, in file order."""
        return tuple(dict.fromkeys(each.use for each in self.clauses if each.use and not each.no_requirement))

    @property
    def scales(self) -> tuple[str, ...]:
        """Every scale of classes, in file order."""
        return tuple(dict.fromkeys(each.scale for each in self.clauses if each.scale and not each.no_requirement))

    def clause(self, key: str) -> Clause:
        """The clause with this key."""
        for each in self.clauses:
            if each.key == key:
                return each
        raise InputError("unknown_clause", clause=key, known=", ".join(each.key for each in self.clauses))
