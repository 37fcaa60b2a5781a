"""The brief, in Today: what is decided, how sure a lot is to pass, and the list of published rules."""

from typing import Any
from urllib.parse import urlencode

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.notebook.fields import first_text
from loamwright.project import brief as briefs
from loamwright.project import compare, today
from loamwright.project.brief import Brief
from loamwright.project.finding import Finding
from loamwright.rules.book import Clause, Rule, compile_rule, load_rule, rules
from loamwright.rules.evaluate import STANDINGS, Verdict, evaluate
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
    said = [words.clause_conditions(clause), *([place] if place else []), words.clause_standing(standing, clause)]
    return {"what": words.clause_words(clause, at.shown), "when": "", "more": "; ".join(said)}


@router.get("/today/rules")
def show_rules(at: Here) -> Response:
    """Every rule of the book."""
    return page(at, "brief/rules.html", in_task=True, rules=[_rule_line(at, rule) for rule in rules()])


def _rule_line(at: At, rule: Rule) -> dict[str, str]:
    standings = {STANDINGS[clause.standing] for clause in rule.clauses}
    weakest = next(each for each in ("memory", "second_hand", "read", "own") if each in standings)
    grades = tr("grades {grades}", grades=", ".join(rule.grades)) if rule.grades else tr("no grades")
    clauses = count(len(rule.clauses), "clause")
    edition = tr("{title}, edition {edition}", title=rule.title, edition=rule.edition)
    known = sentence(f"read_{weakest}", {"reader": tr("somebody")})
    more = f"{edition}. {clauses}, {grades}. {known}"
    return {"what": rule.document, "when": "", "more": more, "href": at.href("today", "rule", rule.key)}


@router.get("/today/rule/{key}")
def show_rule(at: Here, key: str) -> Response:
    """One rule: its clauses for a grade, and what they say to each mix."""
    rule = load_rule(key)
    grade = at.request.query_params.get("grade") or (rule.grades[0] if rule.grades else None)
    uses = tuple(use for use in at.request.query_params.getlist("use") if use)
    compiled = compile_rule(rule, grade=grade, uses=uses)
    return page(
        at,
        "brief/rule.html",
        in_task=True,
        rule=rule,
        grade=grade,
        uses=uses,
        grades=[{"label": each, "href": _rule_href(at, rule, each, uses), "on": each == grade} for each in rule.grades],
        use_taps=[
            {"label": each.replace("_", " "), "href": _rule_href(at, rule, grade, _toggled(uses, each)), "on": each in uses}
            for each in rule.uses
        ],
        clauses=[_clause_line(at, rule, each.clause, STANDINGS[each.clause.standing]) for each in compiled],
        notes=[each.clause.note for each in compiled if each.clause.note],
        verdicts=_verdicts(at, rule, grade, uses),
    )


def _rule_href(at: At, rule: Rule, grade: str | None, uses: tuple[str, ...]) -> str:
    asked = [*([("grade", grade)] if grade else []), *(("use", use) for use in uses)]
    return at.href("today", "rule", rule.key) + (f"?{urlencode(asked)}" if asked else "")


def _toggled(uses: tuple[str, ...], use: str) -> tuple[str, ...]:
    return tuple(each for each in uses if each != use) if use in uses else (*uses, use)


def _verdicts(at: At, rule: Rule, grade: str | None, uses: tuple[str, ...]) -> list[dict[str, Any]]:
    """What the rule says to each mix with broken blocks, clause by clause."""
    held = Brief(None, "rule", rule, grade, uses)
    stick = briefs.yardstick(held)
    found: list[dict[str, Any]] = []
    for each in compare.comparison(at.state).mixes:
        age = compare.wanted_age(stick, compare.stabiliser_of(at.state, each.mix))
        verdict = evaluate(rule, compare.evidence(at.state, each.key, age), grade=grade, uses=uses)
        found.append({"name": mix_key_name(at.state, each.key), **verdict_piece(at, verdict)})
    return found


def verdict_piece(at: At, verdict: Verdict) -> dict[str, Any]:
    """A verdict in words: the whole, and each clause with outcome and standing apart."""
    clauses = [
        {
            "what": words.clause_words(each.clause, at.shown),
            "word": words.outcome_words(each, at.shown),
            "shape": words.SHAPES[each.word],
            "standing": words.clause_standing(each.standing, each.clause),
            "notes": words.outcome_notes(each.outcome),
        }
        for each in verdict.clauses
    ]
    return {"word": sentence(f"verdict_{verdict.word}", {}), "shape": words.SHAPES[verdict.word], "clauses": clauses}


@router.post("/today/rule/{key}")
async def pick(request: Request, at: Here, key: str) -> Response:
    """Take a rule and grade into the brief; what else the brief says stays."""
    raw = raw_form((await request.form()).multi_items())
    rule = load_rule(key)
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
