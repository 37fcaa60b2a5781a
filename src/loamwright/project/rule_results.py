"""Results for a rule that came from elsewhere, such as a laboratory's or a site's: figures, and how they were measured."""

from loamwright.engine.evidence.acceptance import Measured
from loamwright.errors import InputError
from loamwright.project.asking import Question
from loamwright.project.state import Fact, State
from loamwright.rules.properties import properties, subject_of, unit

MINUTES_PER_HOUR = 60.0


def of_result(fact: Fact, *, quietly: bool = False) -> tuple[Measured, ...]:
    """The figures of one result that was written down for a rule, in engine units.

    Raises
    ------
    InputError
        "needed", "unknown_unit", "result_unit_quantity", "rule_subject_missing", "negative"; none where `quietly`.
    """
    try:
        return _result(fact)
    except InputError:
        if quietly:
            return ()
        raise


def _result(fact: Fact) -> tuple[Measured, ...]:
    name = fact["property"]
    subject = subject_of(name, fact.get("subject"))
    of = unit(fact.get("unit") or "one")
    known = properties().get(name)
    if known is not None and of.quantity != known.quantity:
        raise InputError("result_unit_quantity", unit=of.key, property=name, quantity=known.quantity)
    if not fact.get("figures"):
        raise InputError("needed", kind=fact.kind, field="figures", entry=fact.id)
    soak = fact.number("soak")
    age = fact.get("age_days")
    found = []
    for row in fact["figures"]:
        value = of.to_engine(row["value"].number)
        if value < 0:
            raise InputError("negative", quantity=name, value=value)
        found.append(
            Measured(
                property=name,
                value=value,
                condition=fact.get("condition", "" if known is None else known.condition),
                soak_hours=None if soak is None else soak / MINUTES_PER_HOUR,
                age_days=None if age is None else float(age),
                value_form=fact.get("value_form", "as_tested"),
                subject=subject,
                cycles=fact.get("cycles"),
            )
        )
    return tuple(found)


def questions(state: State) -> tuple[Question, ...]:
    """Results that cannot be held against any rule as they were written."""
    found: list[Question] = []
    for fact in state.all("rule_result"):
        try:
            of_result(fact)
        except InputError as fault:
            found.append(Question(fault.code, "today", (fact.id,), "impossible", dict(fault.values)))
    return tuple(found)
