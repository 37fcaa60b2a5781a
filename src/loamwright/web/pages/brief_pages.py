"""The brief, in Today: what is decided, how sure a lot is to pass; published rules, alone and beside each other."""

import re
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.fields import first_text
from loamwright.project import brief as briefs
from loamwright.project import compare, rule_evidence, rulebook, today
from loamwright.project.blocks import mix_of
from loamwright.project.brief import Brief
from loamwright.project.finding import Finding
from loamwright.rules.book import Clause, Rule, compile_rule
from loamwright.rules.evaluate import STANDINGS, ClauseVerdict, Verdict, classes_reached, evaluate
from loamwright.rules.files import SUBJECTS
from loamwright.rules.properties import MIX_SUBJECTS
from loamwright.rules.side_by_side import Asked, compare_rules
from loamwright.web.keeping import Here, with_kept
from loamwright.web.pages.shared import figure_piece, project_router, question_pieces
from loamwright.web.render import At, form_id, page, raw_form
from loamwright.words import briefs as words
from loamwright.words.blocks import mix_key_name
from loamwright.words.language import tr
from loamwright.words.numbers import count
from loamwright.words.sentences import of_fault, sentence

router = project_router()


@router.get("/today/brief")
def show(at: Here) -> Response:
    """What is decided, and how far above the limit a mix must lie."""
    of = briefs.brief(at.state)
    return page(
        at,
        "brief/brief.html",
        in_task=True,
        fact=of.fact,
        decided=of.decided,
        standing=words.standing(of),
        lines=words.decided(at.state, of),
        passing=_passing(at),
        clauses=[] if of.rule is None else _asked(at, of),
        questions=question_pieces(at, [each for each in today.questions(at.state) if each.verb == "today"]),
    )


def _passing(at: At) -> dict[str, Any] | None:
    try:
        figures = briefs.pass_figures(at.state)
    except InputError as fault:
        return {"fault": of_fault(fault)}
    if figures is None:
        return None
    columns, rows = words.pass_table(figures, at.shown)
    pieces = [
        figure_piece(at, result, "share", sentence(f"margin_{assumption.key}", {}), digits=0)
        for assumption, result in figures.needed
        if isinstance(result, Finding)
    ]
    return {"columns": columns, "rows": rows, "needed": words.needed(figures, at.shown), "figures": pieces}


def _asked(at: At, of: Brief) -> list[dict[str, str]]:
    """The clauses of the brief, each with how its figure is known."""
    assert of.rule is not None
    found = compile_rule(of.rule, grade=of.grade, uses=of.uses)
    return [_clause_line(at, of.rule, each.clause, STANDINGS[each.clause.standing]) for each in found]


def _clause_line(at: At, rule: Rule, clause: Clause, standing: str) -> dict[str, str]:
    place = words.clause_place(rule, clause)
    known = [words.clause_standing(standing, clause), *words.other_figures(clause)]
    said = [words.clause_conditions(clause), *([place] if place else []), *known]
    return {"what": words.clause_words(clause, at.shown), "when": "", "more": "; ".join(each for each in said if each)}


# --- the list, and several beside each other ---


@router.get("/today/rules")
def show_rules(at: Here) -> Response:
    """Every rule a project can use; those ticked are held against its mixes beside each other."""
    ticked = [each for each in at.request.query_params.getlist("with") if each]
    found = rulebook.rules(at.state)
    options = [(_option(rule, grade), _option_label(rule, grade)) for rule in found for grade in _grades(rule)]
    return page(
        at,
        "brief/rules.html",
        in_task=True,
        rules=[_rule_line(at, rule) for rule in found],
        options=options,
        ticked=ticked,
        tables=_side_by_side(at, [_asked_for(at, each) for each in ticked]),
    )


def _grades(rule: Rule) -> tuple[str | None, ...]:
    """The grades to choose from; a rule without grades stands once, one that asks nothing not at all."""
    return rule.grades or ((None,) if any(not each.no_requirement for each in rule.clauses) else ())


def _option(rule: Rule, grade: str | None, uses: tuple[str, ...] = ()) -> str:
    return "|".join((rule.key, grade or "", ",".join(uses))).rstrip("|")


def _option_label(rule: Rule, grade: str | None) -> str:
    return tr("{document}, {grade}", document=_named(rule), grade=grade) if grade else _named(rule)


def _named(rule: Rule) -> str:
    year = re.split("[,;(]", rule.edition)[0].strip(" -")
    return f"{rule.document} ({year})" if year else rule.document


def _asked_for(at: At, ticked: str) -> Asked:
    key, grade, uses = [*ticked.split("|"), "", ""][:3]
    rule = rulebook.rule_of(at.state, key)
    asked = Asked(rule, grade or None, tuple(use for use in uses.split(",") if use))
    compile_rule(rule, grade=asked.grade, uses=asked.uses)
    return asked


def _side_by_side(at: At, asked: list[Asked]) -> list[dict[str, Any]]:
    """One table a mix: a row for each thing asked, a column for each rule."""
    if not asked:
        return []
    columns = [
        {"label": tr("What is asked")},
        *({"label": _option_label(each.rule, each.grade)} for each in asked),
    ]
    found = []
    for key, name in _mixes(at):
        values = compare.evidence(at.state, key, 0)
        aged = [_aged(at, each, key) for each in asked]
        side = compare_rules(aged, values, waiting=rule_evidence.waiting(at.state, key), today=at.hand.moment.date())
        whole = [tr("As a whole"), *(sentence(f"verdict_{verdict.word}", {}) for verdict in side.verdicts)]
        rows = [[words.asked_words(row.property, row.condition), *(_cell(at, cell) for cell in row.cells)] for row in side.rows]
        found.append({"name": name, "columns": columns, "rows": [whole, *rows]})
    return found


def _aged(at: At, asked: Asked, key: str) -> Asked:
    """A rule with the age from which blocks of a mix are looked at: its own, else the stabiliser's."""
    mix = at.state.find(mix_of(key), "mix")
    if mix is None or mix.fault is not None:
        return asked
    stick = briefs.yardstick(Brief(None, "rule", asked.rule, asked.grade, asked.uses))
    age = compare.wanted_age(stick, compare.stabiliser_of(at.state, mix))
    return replace(asked, age_least=float(age))


def _mixes(at: At) -> list[tuple[str, str]]:
    """Mixes with broken blocks; where there are none, the project as it stands."""
    broken = [(each.key, mix_key_name(at.state, each.key)) for each in compare.comparison(at.state).mixes]
    return broken or [("", tr("No block is broken yet."))]


def _cell(at: At, cell: tuple[ClauseVerdict, ...]) -> str:
    """Limit, outcome and standing of what one rule asks; a dash where it asks nothing."""
    said = []
    for each in cell:
        parts = [words.limit_words(each.clause, at.shown), words.outcome_words(each, at.shown)]
        parts.append(sentence(f"rule_known_{each.standing}", {}))
        said.append("; ".join(parts))
    return " / ".join(said) or "–"


def _rule_line(at: At, rule: Rule) -> dict[str, str]:
    standings = {STANDINGS[clause.standing] for clause in rule.clauses}
    weakest = next(each for each in ("memory", "second_hand", "read", "own") if each in standings)
    grades = tr("grades {grades}", grades=", ".join(rule.grades)) if rule.grades else tr("no grades")
    asks = sum(not clause.no_requirement for clause in rule.clauses)
    clauses = count(asks, "clause") if asks else tr("asks nothing")
    edition = tr("{title}, edition {edition}", title=rule.title, edition=rule.edition)
    known = sentence(f"read_{weakest}", {"reader": tr("somebody")})
    more = f"{edition}. {clauses}, {grades}. {known}"
    return {"what": rule.document, "when": "", "more": more, "href": at.href("today", "rule", rule.key)}


# --- one rule ---


@router.get("/today/rule/{key}")
def show_rule(at: Here, key: str) -> Response:
    """One rule: its clauses for a grade, and what they say to each mix and to what else was measured."""
    rule = rulebook.rule_of(at.state, key)
    grade = at.request.query_params.get("grade") or (rule.grades[0] if rule.grades else None)
    uses = tuple(use for use in at.request.query_params.getlist("use") if use)
    compiled = compile_rule(rule, grade=grade, uses=uses, advice=True)
    here = _rule_href(at, rule, grade, uses)
    return page(
        at,
        "brief/rule.html",
        in_task=True,
        rule=rule,
        grade=grade,
        uses=uses,
        asks=any(not each.clause.advice for each in compiled),
        grades=[{"label": each, "href": _rule_href(at, rule, each, uses), "on": each == grade} for each in rule.grades],
        use_taps=[
            {"label": words.use_words(each), "href": _rule_href(at, rule, grade, _toggled(uses, each)), "on": each in uses}
            for each in rule.uses
        ],
        clauses=[_clause_with_forms(at, rule, each.clause, here) for each in compiled],
        not_asked=[_clause_line(at, rule, each, STANDINGS[each.standing]) for each in rule.clauses if each.no_requirement],
        notes=[each.clause.note for each in compiled if each.clause.note],
        verdicts=_verdicts(at, rule, grade, uses),
        beyond=_beyond(at, rule, grade, uses),
        beside=at.href("today", "rules") + "?" + urlencode([("with", _option(rule, grade, uses))]),
    )


def _clause_with_forms(at: At, rule: Rule, clause: Clause, here: str) -> dict[str, str]:
    """A clause with the forms for its figure as printed, and for a result that was measured elsewhere."""
    line = _clause_line(at, rule, clause, STANDINGS[clause.standing])
    read = {"preset_rule": rule.key, "preset_clause": clause.key, "unit": clause.unit, "read_by": at.hand.by, "back": here}
    result = {"preset_property": clause.property, "unit": _result_unit(clause), "condition": clause.condition, "back": here}
    result |= {"preset_subject": clause.subject}
    forms = {"read": ("rule_value", read), "result": ("rule_result", result)}
    hrefs = {
        name: at.href("write", kind) + "?" + urlencode({key: value for key, value in values.items() if value})
        for name, (kind, values) in forms.items()
    }
    return {**line, **hrefs}


def _result_unit(clause: Clause) -> str:
    return "MPa" if clause.unit == "pct_of_class" else clause.unit


def _rule_href(at: At, rule: Rule, grade: str | None, uses: tuple[str, ...]) -> str:
    asked = [*([("grade", grade)] if grade else []), *(("use", use) for use in uses)]
    return at.href("today", "rule", rule.key) + (f"?{urlencode(asked)}" if asked else "")


def _toggled(uses: tuple[str, ...], use: str) -> tuple[str, ...]:
    return tuple(each for each in uses if each != use) if use in uses else (*uses, use)


def _verdicts(at: At, rule: Rule, grade: str | None, uses: tuple[str, ...]) -> list[dict[str, Any]]:
    """What the rule says to each mix with broken blocks, clause by clause, and the classes it reaches."""
    held = Brief(None, "rule", rule, grade, uses)
    stick = briefs.yardstick(held)
    found: list[dict[str, Any]] = []
    for each in compare.comparison(at.state).mixes:
        age = compare.wanted_age(stick, compare.stabiliser_of(at.state, each.mix))
        values = compare.evidence(at.state, each.key, age)
        waits = rule_evidence.waiting(at.state, each.key)
        verdict = evaluate(rule, values, grade=grade, uses=uses, waiting=waits, today=at.hand.moment.date())
        classes = classes_reached(rule, values, grade=grade)
        reached = [rule.clause(clause).words for clause in classes.values() if clause is not None]
        found.append({"name": mix_key_name(at.state, each.key), "reached": reached, **verdict_piece(at, verdict)})
    return found


def _beyond(at: At, rule: Rule, grade: str | None, uses: tuple[str, ...]) -> dict[str, Any] | None:
    """What the rule asks of soil, lot, wall and air, and its advice, against what was written down for the whole project."""
    values = rule_evidence.of_project(at.state)
    others = tuple(each for each in SUBJECTS if each not in MIX_SUBJECTS)
    verdict = evaluate(rule, values, grade=grade, uses=uses, subjects=None)
    piece = verdict_piece(at, evaluate(rule, values, grade=grade, uses=uses, subjects=others))
    piece["clauses"] += [
        {
            "what": words.clause_words(each.clause, at.shown),
            "word": words.outcome_words(each, at.shown),
            "shape": words.SHAPES[each.word],
            "standing": words.clause_standing(each.standing, each.clause),
            "notes": [tr("Advice: it decides nothing.")],
        }
        for each in verdict.advice
    ]
    return piece if piece["clauses"] else None


def verdict_piece(at: At, verdict: Verdict) -> dict[str, Any]:
    """A verdict in words: the whole, and each clause with outcome and standing apart."""
    clauses = [
        {
            "what": words.clause_words(each.clause, at.shown),
            "word": words.outcome_words(each, at.shown),
            "shape": words.SHAPES[each.word],
            "standing": words.clause_standing(each.standing, each.clause),
            "notes": [*words.outcome_notes(each.outcome), *words.when_words(each), *_others(each)],
        }
        for each in verdict.clauses
    ]
    return {"word": sentence(f"verdict_{verdict.word}", {}), "shape": words.SHAPES[verdict.word], "clauses": clauses}


def _others(verdict: ClauseVerdict) -> list[str]:
    return words.other_figures(verdict.clause, verdict.stricter)


@router.post("/today/rule/{key}")
async def pick(request: Request, at: Here, key: str) -> Response:
    """Take a rule and grade into the brief; what else the brief says stays."""
    raw = raw_form((await request.form()).multi_items())
    rule = rulebook.rule_of(at.state, key)
    grade = first_text(raw, "grade")
    uses = tuple(use for use in raw.get("use", ()) if use)
    compile_rule(rule, grade=grade or None, uses=uses)
    entry_id = form_id(raw)
    if entry_id is None or entry_id not in at.state.versions.entries:
        entry_id = _keep_rule(at, key, grade, uses, entry_id)
    return RedirectResponse(with_kept(at.href("today", "brief"), entry_id), 303)


def _keep_rule(at: At, key: str, grade: str, uses: tuple[str, ...], entry_id: str | None) -> str:
    old = briefs.brief(at.state).fact
    body: dict[str, Any] = {} if old is None else dict(at.state.versions.entries[old.head].body)
    body = {name: value for name, value in body.items() if name not in ("rule", "grade", "uses")}
    body |= {"by": "rule", "rule": key}
    body |= {"grade": grade} if grade else {}
    body |= {"uses": ", ".join(uses)} if uses else {}
    heads = () if old is None else tuple(head.id for head in at.state.versions.heads(old.id))
    reason = tr("a rule picked") if heads else ""
    kept = at.desk.entry("brief", body, at.hand, project=at.project, entry_id=entry_id, replaces=heads, reason=reason)
    at.desk.keep([kept])
    return kept.id
