"""Brief: what the blocks must reach and by whose rule; how far above the limit a mix must lie for its lots to pass."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from loamwright.engine.evidence import pass_chance as chances
from loamwright.engine.evidence.acceptance import Criterion
from loamwright.engine.evidence.pass_chance import PassChance, SpreadAssumption
from loamwright.errors import InputError, check_between
from loamwright.formula import Formula, Term
from loamwright.project import rule_results, rulebook
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Given, Result, attempt
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State
from loamwright.rules.book import Rule, compile_rule
from loamwright.rules.brief import own_brief

MINUTES_PER_HOUR = 60.0
MARGINS = (1.0, 13 / 12, 7 / 6)
"""True means shown, over the limit: at 2.4 MPa they are 2.4, 2.6 and 2.8 MPa."""

MARGIN = Formula(
    "mean_margin",
    "a",
    "1",
    "m_true / m_least - 1",
    {"m_true": Term("true_mean", "MPa"), "m_least": Term("mean_least", "MPa")},
    "derivation-pass-chance",
)


@dataclass(frozen=True, slots=True)
class Brief:
    """A brief as it stands; a part that was not said is no fault.

    Attributes
    ----------
    fact : Fact or None
        The newest brief that counts.
    by : str
        "own", "rule" or "undecided".
    rule : Rule or None
        The person's own figures, or a published rule; None while it is not decided or not complete.
    grade : str or None
        Grade asked of a rule that has grades.
    uses : tuple of str
        Uses asked of a rule that has them.
    lacks : tuple of str
        Fields still to be said before anything can be held against it.
    fault : InputError or None
        Why what was said makes no brief.
    """

    fact: Fact | None
    by: str = "undecided"
    rule: Rule | None = None
    grade: str | None = None
    uses: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    fault: InputError | None = None

    @property
    def decided(self) -> bool:
        """Whether mixes can be held against it."""
        return self.rule is not None


def brief(state: State) -> Brief:
    """The newest brief of the project, read as a rule where it is complete."""
    return state.memo("brief", lambda: _brief(state, state.latest("brief")))


def _brief(state: State, fact: Fact | None) -> Brief:
    by = "undecided" if fact is None else fact.get("by", "undecided")
    if fact is None or by == "undecided":
        return Brief(fact)
    return _own(fact) if by == "own" else _published(state, fact)


def _own(fact: Fact) -> Brief:
    wet = fact.get("condition") != "dry"
    asked = ("mean_least", "condition", "n", *(("soak_least",) if wet else ()))
    lacks = tuple(name for name in asked if name not in fact.values)
    if lacks:
        return Brief(fact, "own", lacks=lacks)
    soak = fact.number("soak_least") if wet else None
    try:
        check_between(1, judged("brief-blocks-most"), blocks_to_test=fact["n"])
        if "age_days" in fact.values:
            check_between(1, judged("brief-age-most"), age_in_days=fact["age_days"])
        rule = own_brief(
            mean_least=fact.needed("mean_least"),
            each_least=fact.number("each_least"),
            n=fact["n"],
            condition=fact["condition"],
            soak_hours=None if soak is None else soak / MINUTES_PER_HOUR,
            age_days=fact.get("age_days"),
        )
        compile_rule(rule)
    except InputError as fault:
        return Brief(fact, "own", fault=fault)
    return Brief(fact, "own", rule)


def _published(state: State, fact: Fact) -> Brief:
    if "rule" not in fact.values:
        return Brief(fact, "rule", lacks=("rule",))
    grade = fact.get("grade")
    uses = tuple(sorted({part.strip() for part in fact.get("uses", "").split(",") if part.strip()}))
    try:
        rule = rulebook.rule_of(state, fact["rule"])
        if rule.grades and grade is None:
            return Brief(fact, "rule", uses=uses, lacks=("grade",))
        compile_rule(rule, grade=grade, uses=uses)
    except InputError as fault:
        return Brief(fact, "rule", grade=grade, uses=uses, fault=fault)
    return Brief(fact, "rule", rule, grade, uses)


@dataclass(frozen=True, slots=True)
class Yardstick:
    """Which crushing results are compared, and the limits they are held against.

    Attributes
    ----------
    condition : str
        "wet" or "dry".
    soak_hours_least : float or None
        Shortest soak that counts; None where nothing names one. [h]
    age_days : float or None
        Age asked for; None where the age of the stabiliser holds. [d]
    mean_least, each_least : float or None
        Limits on the mean and on each block, where there are such. [MPa]
    n : int or None
        Blocks asked for. [-]
    """

    condition: str = "wet"
    soak_hours_least: float | None = None
    age_days: float | None = None
    mean_least: float | None = None
    each_least: float | None = None
    n: int | None = None


def yardstick(of: Brief) -> Yardstick:
    """The crushing clauses of a brief as one yardstick, the wet ones before the dry; soaked blocks where nothing is decided."""
    if of.rule is None:
        return Yardstick()
    criteria = [each.criterion for each in compile_rule(of.rule, grade=of.grade, uses=of.uses)]
    crushing = [each for each in criteria if each.property == "compressive_strength"]
    if not crushing:
        return Yardstick()
    condition = "wet" if any(each.condition == "wet" for each in crushing) else crushing[0].condition
    return _of_clauses([each for each in crushing if each.condition == condition], condition)


def _of_clauses(clauses: list[Criterion], condition: str) -> Yardstick:
    as_tested = [each for each in clauses if each.value_form == "as_tested"]
    means = [each.limit for each in as_tested if each.statistic == "mean"]
    floors = [each.limit for each in as_tested if each.statistic in ("individual", "least_of_n")]
    return Yardstick(
        # A named climate is a kind of dry; the clause itself still asks for its own condition.
        condition="wet" if condition == "wet" else "dry",
        soak_hours_least=max((each.soak_hours_least for each in clauses if each.soak_hours_least), default=None),
        age_days=max((each.age_days for each in clauses if each.age_days), default=None),
        mean_least=max(means, default=None),
        each_least=max(floors, default=None),
        n=max((each.n for each in clauses if each.n), default=None),
    )


def assumptions(of: Brief) -> tuple[SpreadAssumption, SpreadAssumption]:
    """How strength is supposed to scatter: block by block (10 % unless the brief says otherwise), and lot by lot."""
    scatter = of.fact.number("scatter") if of.fact is not None else None
    return chances.independent_blocks(scatter), chances.lot_to_lot()


@dataclass(frozen=True, slots=True)
class PassRow:
    """One supposed true mean: how far above the limit it lies, and its chance of passing under each assumption."""

    margin: Finding
    chances: tuple[PassChance, ...]


@dataclass(frozen=True, slots=True)
class PassFigures:
    """What a brief asks of a mix before its lots pass.

    Attributes
    ----------
    mean_least : float
        Limit on the mean; for a brief on each block alone, that limit. [MPa]
    rows : tuple of PassRow
        From a true mean at the limit upwards.
    needed : tuple of (SpreadAssumption, Finding or Withheld)
        How far above the limit the true mean must lie for nine lots of ten to pass, under each assumption.
    """

    mean_least: float
    rows: tuple[PassRow, ...]
    needed: tuple[tuple[SpreadAssumption, Result], ...]


def pass_figures(state: State) -> PassFigures | None:
    """Chances of passing under the brief; None where it has no crushing limit or does not say how many blocks.

    Raises
    ------
    InputError
        "out_of_range" for a scatter or a number of blocks that no lot has.
    """
    return state.memo("pass_figures", lambda: _pass_figures(brief(state)))


def _pass_figures(of: Brief) -> PassFigures | None:
    stick = yardstick(of)
    limit = stick.mean_least or stick.each_least
    if limit is None or stick.n is None:
        return None
    supposed = assumptions(of)
    rows = tuple(
        PassRow(_margin(of, limit * share, limit), tuple(chance_of(stick, limit * share, each) for each in supposed))
        for share in MARGINS
    )
    return PassFigures(limit, rows, tuple((each, _needed(of, stick, limit, each)) for each in supposed))


def chance_of(stick: Yardstick, true_mean: float, assumption: SpreadAssumption) -> PassChance:
    """Chance that a lot of a mix with this true mean passes the crushing limits of a yardstick that has them and an n."""
    limit = stick.mean_least or stick.each_least
    if limit is None or stick.n is None:
        raise InputError("needed", kind="brief", field="n")
    return _chance(true_mean, limit, stick.each_least, stick.n, assumption)


# The integrals depend on these figures alone and outlive every change of the notebook.
@lru_cache(maxsize=512)
def _chance(true_mean: float, mean: float, each: float | None, n: int, assumption: SpreadAssumption) -> PassChance:
    return chances.pass_chance(true_mean, mean_least=mean, each_least=each, blocks=n, assumption=assumption)


@lru_cache(maxsize=512)
def _mean_for(chance: float, mean: float, each: float | None, n: int, assumption: SpreadAssumption) -> float:
    return chances.true_mean_needed(chance, mean_least=mean, each_least=each, blocks=n, assumption=assumption)


def _needed(of: Brief, stick: Yardstick, limit: float, assumption: SpreadAssumption) -> Result:
    n, sure = stick.n or 1, judged("sure-of-passing")
    return attempt("mean_margin", (), lambda: _margin(of, _mean_for(sure, limit, stick.each_least, n, assumption), limit))


def _margin(of: Brief, true_mean: float, limit: float) -> Finding:
    heads = () if of.fact is None else (of.fact.head,)
    supposed = Given(true_mean, source="derivation-pass-chance")
    return Finding(MARGIN, true_mean / limit - 1, {"m_true": supposed, "m_least": Given(limit, heads)})


def questions(state: State) -> tuple[Question, ...]:
    """A brief that makes no sense as it was said, readings of rules and results for rules that fit nowhere."""
    return (*_of_brief(state), *rulebook.questions(state), *rule_results.questions(state))


def _of_brief(state: State) -> tuple[Question, ...]:
    found = brief(state)
    if found.fact is None:
        return ()
    if found.fault is not None:
        return (Question(found.fault.code, "today", (found.fact.id,), "impossible", dict(found.fault.values)),)
    try:
        pass_figures(state)
    except InputError as fault:
        return (Question(fault.code, "today", (found.fact.id,), "impossible", dict(fault.values)),)
    return ()


def due(state: State, today: date) -> tuple[Due, ...]:
    """A brief to pick, once blocks are broken and nothing is chosen yet: before that it may wait."""
    waits = bool(state.all("crush")) and not state.all("choice") and not brief(state).decided
    return (Due("pick_brief", "today"),) if waits else ()
