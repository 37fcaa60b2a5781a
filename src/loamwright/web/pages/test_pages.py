"""Tests of soils and blocks: what was made of one of them, what can be made, and each test worked out."""

from fastapi.responses import RedirectResponse, Response

from loamwright.errors import InputError
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.project.state import Fact
from loamwright.project.tested import tested_kinds
from loamwright.project.worked import TestGroups
from loamwright.web.keeping import Here
from loamwright.web.pages.shared import made_lines, project_router, question_pieces, result_piece
from loamwright.web.photos import photos_of
from loamwright.web.render import At, page
from loamwright.words import tests_made
from loamwright.words.asked_for import kind_said
from loamwright.words.cautions import cautions_for
from loamwright.words.language import tr
from loamwright.words.sentences import of_note, of_notes
from loamwright.words.showing import entry_words, name_of

router = project_router()


@router.get("/shake/tests/{source}")
def of_source(at: Here, source: str) -> Response:
    """Every test made of a soil, and every test that can be."""
    return _made(at, SOIL_TESTS, at.state.fact(source, "source"), at.href("shake", "source", source), "source")


@router.get("/break/tests/{block}")
def of_block(at: Here, block: str) -> Response:
    """Every test made of a block beside crushing and bending, and every test that can be."""
    return _made(at, BLOCK_TESTS, at.state.fact(block, "block"), at.href("break", "block", block), "block")


def _made(at: At, groups: TestGroups, about: Fact, back: str, field: str) -> Response:
    fixed = f"?preset_{field}={about.id}&back={at.request.url.path}"
    return page(
        at,
        "tests/made.html",
        verb="shake" if field == "source" else "break",
        in_task=True,
        name=name_of(at.state, about.id),
        about=about,
        made=made_lines(at, groups, about.id),
        offered=[
            (title, [{"label": label, "href": at.href("write", kind) + fixed} for kind, label in tests])
            for title, tests in tests_made.offered(groups, field)
        ],
        back=back,
    )


@router.get("/test/{entry}")
def one(at: Here, entry: str) -> Response:
    """One test: results with their working, tables, what it forbids, what does not fit, and the readings as they were made."""
    found = at.state.find(entry)
    if found is None:
        raise InputError("not_found", kind="test", id=entry)
    if found.fault is not None or found.kind not in tested_kinds():
        return RedirectResponse(at.href("entry", found.id), 303)
    fact = found
    groups, field = _groups_of(fact)
    worked = groups.worked(at.state, fact)
    about = fact.get(field, "")
    kind = kind_said(fact.kind)
    return page(
        at,
        "tests/test.html",
        verb=kind.verb,
        in_task=True,
        fact=fact,
        kind=kind,
        name=name_of(at.state, about) if about else "",
        says=[of_note(note) for note in worked.says],
        figures=[result_piece(at, told.result, told.quantity, tr(told.label)) for told in worked.results],
        tables=[tests_made.table_words(table, at.shown) for table in worked.tables],
        notes=of_notes(worked.notes),
        questions=question_pieces(at, [each for each in worked.questions if not at.state.answered(each.code, each.about)]),
        words=entry_words(at.state, fact),
        photos=photos_of(at, fact.id),
        back=at.href(kind.verb, "tests", about) if about and field in ("source", "block") else at.href(kind.verb),
        of_one=field in ("source", "block"),
        cautions=cautions_for(fact.kind),
    )


def _groups_of(fact: Fact) -> tuple[TestGroups, str]:
    groups = SOIL_TESTS if fact.kind in SOIL_TESTS.by_kind() else BLOCK_TESTS
    return groups, groups.by_kind()[fact.kind].about
