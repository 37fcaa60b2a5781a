"""Dig: what is in the buckets; moisture, struck pails, oversize, and the stop questions."""

from collections.abc import Iterable, Mapping
from datetime import date
from statistics import median

from loamwright.engine.bench import density, moisture
from loamwright.engine.soil.priors import setting
from loamwright.errors import InputError, Note, check_positive
from loamwright.formula import Formula, Term
from loamwright.notebook.kinds.dig_kinds import STOP_QUESTIONS
from loamwright.project.asking import Due, Question
from loamwright.project.finding import Finding, Given, Result, Withheld, attempt, given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

OVERSIZE = Formula(
    "oversize_share",
    "R",
    "1",
    "m_retained / m_sample",
    {"m_retained": Term("retained_mass", "kg"), "m_sample": Term("sample_mass", "kg")},
    "derivation-phases",
)
ANY_TIME = "9999"  # after every moment an entry can carry
STOP_CLEAR = ("no", "settled")


def pan_moisture(fact: Fact) -> Finding:
    """Water content of one pan test; a drop between the last two weighings is noted."""
    wet, dry = given(fact, "wet"), given(fact, "dry")
    pan = given(fact, "pan") if "pan" in fact.values else Given(0.0)
    value = moisture.water_content(fact.needed("wet"), dry_mass=fact.needed("dry"), tare_mass=fact.number("pan") or 0.0)
    notes: tuple[Note, ...] = ()
    if "dry_before" in fact.values:
        step = fact.number("scale_step") or judged("pan-scale-step")
        check = moisture.constant_mass((fact.needed("dry_before"), fact.needed("dry")), scale_step=step)
        notes = check.notes if check.constant else (*check.notes, Note("not_yet_dry", {"change": check.change * 1000}))
    return Finding(moisture.WATER_CONTENT, value, {"m_wet": wet, "m_dry": dry, "m_tare": pan}, notes)


def last_moisture(state: State, about: str, *, by: str = ANY_TIME) -> Result | None:
    """The newest pan test of a source or blend made by a moment, else the first made after it; None where there is none.

    A batch weighed last week is not changed by the test of a wet morning this week.
    """
    test = moisture_test(state, about, by=by)
    return None if test is None else attempt("water_content", (test.id,), lambda: pan_moisture(test))


def moisture_test(state: State, about: str, *, by: str = ANY_TIME) -> Fact | None:
    """The pan test that tells the moisture of a source or blend at a moment; see `last_moisture`."""
    tests = state.where("pan_test", "about", about)
    return next((each for each in reversed(tests) if each.at <= by), tests[0]) if tests else None


def moisture_or_usual(state: State, source: str, *, by: str = ANY_TIME) -> Finding:
    """Water content of a source as it was tested by a moment, else 3 % by judgement with a note that asks for a test."""
    found = last_moisture(state, source, by=by)
    return found if isinstance(found, Finding) else usual_moisture()


def usual_moisture() -> Finding:
    """The stand-in for a soil without a pan test."""
    usual = setting("moisture_untested")
    stand_in = Formula("water_content", "w", "1", "w_usual", {"w_usual": Term("water_content", "1")}, "judgement-air-dry")
    return Finding(
        stand_in,
        usual,
        {"w_usual": Given(usual, source="judgement-air-dry")},
        (Note("moisture_not_tested", {"usual_pct": 100 * usual}),),
    )


def pail_mass(state: State, source: str) -> Result | None:
    """Dry mass of one struck pail of a source from its newest three weighings, or None where none was weighed."""
    weighed = state.where("pail_weighing", "source", source)
    return None if not weighed else attempt("pail_dry_mass", (weighed[-1].id,), lambda: _pail(state, weighed[-1]))


def _pail(state: State, fact: Fact) -> Finding:
    tare = fact.number("tare")
    if tare is None:
        tare = state.tare(fact["container"], state.at(fact)) or 0.0
    gross = tuple(amount.engine for amount in fact["gross"])
    water = moisture_or_usual(state, fact["source"], by=fact.at)
    pails = density.struck_pails(gross, tare_mass=tare, water_content=water.value)
    mean = Formula("filled_mass", "m", "kg", "mean(m_each)", {"m_each": Term("filled_mass", "kg")}, "practice-struck-pail")
    typed = "; ".join(amount.typed for amount in fact["gross"])
    filled = Finding(mean, sum(gross) / len(gross), {"m_each": Given(gross, (fact.head,), typed)})
    return Finding(
        density.PAIL_DRY_MASS,
        pails.dry_mass,
        {"m": filled, "m_tare": Given(tare, (fact.head,)), "w": water},
        pails.notes,
    )


def loose_density(state: State, source: str) -> Result | None:
    """Loose dry density of a source: its pail's dry mass over the pail's volume."""
    weighed = state.where("pail_weighing", "source", source)
    pail = pail_mass(state, source)
    if not isinstance(pail, Finding):
        return pail
    fact = weighed[-1]

    def compute() -> Finding:
        volume = state.container_volume(fact["container"], state.at(fact))
        check_positive(pail_volume=volume)
        formula = Formula(
            "loose_dry_density",
            "rho",
            "kg/m3",
            "m_pail / V",
            {"m_pail": Term("pail_dry_mass", "kg"), "V": Term("pail_volume", "m3")},
            "practice-struck-pail",
        )
        return Finding(formula, pail.value / volume, {"m_pail": pail, "V": Given(volume, (fact["container"],))})

    return attempt("loose_dry_density", (fact.id,), compute)


def oversize(state: State, source: str) -> Result | None:
    """Share of a source that stays on the screen, or None where it was not weighed."""
    tests = state.where("oversize", "source", source)
    if not tests:
        return None
    fact = tests[-1]

    def compute() -> Finding:
        sample, kept = fact.needed("sample"), fact.needed("retained")
        if not 0 <= kept < sample:
            raise InputError("out_of_range", quantity="retained_mass", value=kept, least=0, most=sample)
        return Finding(OVERSIZE, kept / sample, {"m_retained": given(fact, "retained"), "m_sample": given(fact, "sample")})

    return attempt("oversize_share", (fact.id,), compute)


def stop_answers(state: State, source: str) -> Mapping[str, Fact | None]:
    """The newest answer to each stop question of a source; None where it was not asked."""
    newest: dict[str, Fact | None] = dict.fromkeys(STOP_QUESTIONS)
    for fact in state.where("stop_check", "source", source):
        newest[fact["question"]] = fact
    return newest


def open_stops(state: State, source: str) -> tuple[str, ...]:
    """Stop questions of a source that are open: not asked, unsure, or seen and not settled."""
    answers = stop_answers(state, source)
    return tuple(question for question, fact in answers.items() if fact is None or fact["answer"] not in STOP_CLEAR)


def seen_stops(state: State, source: str) -> tuple[str, ...]:
    """Stop questions of a source answered with yes and not settled since."""
    answers = stop_answers(state, source)
    return tuple(question for question, fact in answers.items() if fact is not None and fact["answer"] == "yes")


def questions(state: State) -> tuple[Question, ...]:
    """What does not fit among the readings of this stage."""
    found: list[Question] = []
    for source in state.all("source"):
        for name, result in (
            ("pan_test", last_moisture(state, source.id)),
            ("pail_weighing", pail_mass(state, source.id)),
            ("oversize", oversize(state, source.id)),
            ("loose_density", _density_of_pails(state, source.id)),
        ):
            if isinstance(result, Withheld):
                values = {"source": source.get("name", ""), "what": name, **result.fault.values}
                found.append(Question(result.fault.code, "dig", result.about, "impossible", values))
        found.extend(_pail_questions(state, source))
        found.extend(
            Question("stop_seen", "dig", (source.id,), "unlikely", {"source": source["name"], "stop": STOP_QUESTIONS[stop]})
            for stop in seen_stops(state, source.id)
        )
    return tuple(found)


def _density_of_pails(state: State, source: str) -> Result | None:
    """Loose density where the pails can be read: what is wrong with them is said of them, a pail not measured is no slip."""
    found = loose_density(state, source) if isinstance(pail_mass(state, source), Finding) else None
    return None if isinstance(found, Withheld) and found.fault.code == "needed" else found


def _pail_questions(state: State, source: Fact) -> Iterable[Question]:
    """Struck pails that differ among themselves, or hold what no loose soil weighs."""
    weighed = state.where("pail_weighing", "source", source.id)
    if not weighed or not isinstance(pail_mass(state, source.id), Finding):
        return
    newest = weighed[-1]
    masses = [amount.engine for amount in newest["gross"]]
    usual = median(masses)
    odd = max(masses, key=lambda mass: abs(mass - usual))
    if abs(odd - usual) > judged("pails-apart") * usual:
        values = {"source": source["name"], "odd": odd, "usual": usual}
        yield Question("pails_apart", "dig", (newest.id,), "unlikely", values)
        return
    found = loose_density(state, source.id)
    least, most = judged("loose-density-least"), judged("loose-density-most")
    if isinstance(found, Finding) and not least <= found.value <= most:
        values = {"source": source["name"], "density": found.value, "least": least, "most": most}
        yield Question("loose_density_strange", "dig", (newest.id,), "unlikely", values)


def due(state: State, today: date) -> tuple[Due, ...]:
    """What this stage waits for: pails not weighed, stop questions not asked."""
    found: list[Due] = []
    for source in state.all("source"):
        if pail_mass(state, source.id) is None:
            found.append(Due("weigh_pails", "dig", source.id, values={"source": source["name"]}))
        unasked = [question for question, fact in stop_answers(state, source.id).items() if fact is None]
        if unasked:
            found.append(Due("ask_stops", "dig", source.id, values={"source": source["name"], "n": len(unasked)}))
    return tuple(found)
