"""The rules of a project: those of the book and its own files, with every figure that somebody read in the document."""

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence

from loamwright.errors import InputError
from loamwright.project.asking import Question
from loamwright.project.state import Fact, State
from loamwright.rules.book import load_rule, read_in_document, rule_keys
from loamwright.rules.clause import Clause, OtherFigure, Rule
from loamwright.rules.files import check_text
from loamwright.rules.properties import OF_CLASS, unit

MINUTES_PER_HOUR = 60.0
_YEAR = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")


def keys(state: State) -> tuple[str, ...]:
    """The keys of all rules a project can use, sorted."""
    return tuple(sorted({*rule_keys(), *_own(state)}))


def rule_of(state: State, key: str) -> Rule:
    """The rule with this key, with the figures that were read in its document.

    Raises
    ------
    InputError
        "unknown_rule" where neither the book nor the notebook has one.
    """
    return state.memo(("rule", key), lambda: _read(state, _bare(state, key))[0])


def rules(state: State) -> tuple[Rule, ...]:
    """Every rule a project can use, by key."""
    return tuple(rule_of(state, key) for key in keys(state))


def _bare(state: State, key: str) -> Rule:
    own = _own(state).get(key)
    return load_rule(key) if own is None else own


def _own(state: State) -> Mapping[str, Rule]:
    """The notebook's own rule files by key, the newest of a key; none may stand in for one of the book."""

    def compute() -> dict[str, Rule]:
        found = {}
        for fact in state.all("rule_file"):
            rule, _ = check_text(fact["content"], fact["rule"])
            if rule is not None and rule.key not in rule_keys():
                found[rule.key] = rule
        return found

    return state.memo("own_rules", compute)


def taken_body(state: State, key: str, content: str) -> tuple[dict[str, str], tuple[str, ...]]:
    """The body of an entry that keeps a rule file, and the versions of an older file of its key that it replaces.

    Raises
    ------
    InputError
        "rule_key_taken" where the book has a rule of that key.
    """
    if key in rule_keys():
        raise InputError("rule_key_taken", rule=key)
    before = [fact for fact in state.all("rule_file") if fact["rule"] == key]
    heads = tuple(head.id for head in state.versions.heads(before[-1].id)) if before else ()
    return {"rule": key, "content": content}, heads


# --- figures read in a document ---


def readings(state: State, key: str, clause: str) -> tuple[Fact, ...]:
    """Every reading of one clause that counts, oldest first."""
    return tuple(fact for fact in state.all("rule_value") if (fact["rule"], fact["clause"]) == (key, clause))


def _read(state: State, rule: Rule) -> tuple[Rule, tuple[Question, ...]]:
    """The rule with its readings, and what of them does not fit."""
    by_clause: dict[str, list[Fact]] = defaultdict(list)
    asked: list[Question] = []
    for fact in state.all("rule_value"):
        if fact["rule"] == rule.key:
            fault = _against(rule, fact)
            if fault is None:
                by_clause[fact["clause"]].append(fact)
            else:
                asked.append(Question(fault.code, "today", (fact.id,), "impossible", dict(fault.values)))
    read = rule
    for clause, facts in by_clause.items():
        if len({_engine(rule.clause(clause), fact) for fact in facts}) > 1:
            asked.append(_differ(rule, clause, facts))
        read = _with_readings(read, clause, facts)
    return read, tuple(asked)


def _differ(rule: Rule, clause: str, facts: Sequence[Fact]) -> Question:
    about = tuple(sorted(fact.id for fact in facts))
    figures = ", ".join(f"{fact['value'].typed} ({fact['read_by']})" for fact in facts)
    return Question(
        "rule_values_differ", "today", about, "unlikely", {"clause": clause, "rule": rule.document, "figures": figures}
    )


def _against(rule: Rule, fact: Fact) -> InputError | None:
    """Why a reading cannot be put in its place; None where it can."""
    years = set(_YEAR.findall(fact["edition"]))
    known = set(_YEAR.findall(" ".join((rule.edition, *(each.edition_read for each in rule.clauses)))))
    if years and known and not years & known:
        return InputError("rule_value_other_edition", typed=fact["edition"], rule=rule.document, edition=rule.edition)
    try:
        _apply(rule, rule.clause(fact["clause"]), fact)
    except InputError as fault:
        return fault
    return None


def _apply(rule: Rule, clause: Clause, fact: Fact, others: Sequence[OtherFigure] = ()) -> Rule:
    soak = fact.number("soak")
    value_max = fact.number("value_max")
    return read_in_document(
        rule,
        clause.key,
        value=fact["value"].number,
        value_max=value_max,
        unit=_unit(clause, fact),
        read_by=reader(fact),
        n=fact.get("n"),
        soak_hours=None if soak is None else soak / MINUTES_PER_HOUR,
        age_days=fact.get("age_days"),
        page=fact["page"],
        edition=fact["edition"],
        others=others,
    )


def _with_readings(rule: Rule, key: str, facts: Sequence[Fact]) -> Rule:
    """The newest reading, and beside it every other one; where they differ the strictest counts."""
    clause = rule.clause(key)
    newest = facts[-1]
    others = tuple(
        OtherFigure(fact["value"].number, _unit(clause, fact), f"{reader(fact)}, {fact['edition']}, {fact['page']}", "read")
        for fact in facts[:-1]
        if _engine(clause, fact) != _engine(clause, newest)
    )
    return _apply(rule, clause, newest, others)


def _unit(clause: Clause, fact: Fact) -> str:
    return str(fact.get("unit") or clause.unit)


def _engine(clause: Clause, fact: Fact) -> float:
    """The figure in the engine's unit, rounded so that 2 MPa and 2000 kPa are one."""
    key = _unit(clause, fact)
    number = float(fact["value"].number)
    return float(f"{number if key == OF_CLASS else unit(key).to_engine(number):.9g}")


def reader(fact: Fact) -> str:
    """Who read a figure, and who checked it."""
    return " + ".join(str(fact[name]) for name in ("read_by", "checked_by") if fact.get(name))


def questions(state: State) -> tuple[Question, ...]:
    """Readings that fit no clause or differ among each other, and files of rules that are none."""
    found: list[Question] = []
    for key in sorted({str(fact["rule"]) for fact in state.all("rule_value")}):
        facts = [fact for fact in state.all("rule_value") if fact["rule"] == key]
        try:
            found.extend(_read(state, _bare(state, key))[1])
        except InputError as fault:
            found.extend(Question(fault.code, "today", (fact.id,), "impossible", dict(fault.values)) for fact in facts)
    for fact in state.all("rule_file"):
        if fact["rule"] in rule_keys():
            found.append(Question("rule_key_taken", "today", (fact.id,), "impossible", {"rule": fact["rule"]}))
            continue
        _, faults = check_text(fact["content"], fact["rule"])
        if faults:
            first = faults[0].fault
            found.append(Question(first.code, "today", (fact.id,), "impossible", dict(first.values)))
    return tuple(found)
