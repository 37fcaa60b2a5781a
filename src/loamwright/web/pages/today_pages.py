"""Today: what is next, what is due, what is asked; who is at the bench; the project file."""

from urllib.parse import quote

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from loamwright.notebook.exchange import export
from loamwright.notebook.fields import first_text
from loamwright.project import today
from loamwright.web.keeping import Here, back_to
from loamwright.web.pages.shared import project_router, question_pieces
from loamwright.web.render import page, raw_form
from loamwright.web.request import WHO
from loamwright.web.tongue import COOKIE as LANGUAGE
from loamwright.words.duties import due_words, next_step

router = project_router()


@router.get("/today")
def show(at: Here) -> Response:
    """What is due and what is next."""
    day = at.hand.moment.date()
    duties = today.due(at.state, day)
    return page(
        at,
        "today.html",
        step=next_step(at.state, day, at.href),
        due=[due_words(each, at.state, day, at.href) for each in duties if each.on is None or each.on <= day],
        later=[due_words(each, at.state, day, at.href) for each in duties if each.on is not None and each.on > day],
        questions=question_pieces(at, today.questions(at.state)),
        brief=at.state.latest("brief"),
    )


@router.get("/who")
def ask_who(at: Here) -> Response:
    """Who is at the bench: one tap."""
    tongues = [(each.code, each.name) for each in at.request.app.state.tongues.values()]
    back = at.request.headers.get("referer", "")
    return page(at, "who.html", in_task=True, people=at.state.all("person"), tongues=tongues, back=back)


@router.post("/who")
async def set_who(request: Request, at: Here) -> Response:
    """Remember who is at the bench on this device; a new name is kept on the bench."""
    raw = raw_form((await request.form()).multi_items())
    name = (first_text(raw, "new") or first_text(raw, "name")).strip()
    if name and name not in {fact["name"] for fact in at.state.all("person")}:
        at.desk.keep([at.desk.entry("person", {"name": name}, at.hand, project=at.project)])
    answer = RedirectResponse(back_to(at, first_text(raw, "back"), "today"), 303)
    answer.set_cookie(WHO, quote(name), max_age=60 * 60 * 16, samesite="lax", httponly=True)
    return answer


@router.post("/language")
async def set_language(request: Request, at: Here) -> Response:
    """Remember the language this device is spoken to in; one that there is not is passed over."""
    raw = raw_form((await request.form()).multi_items())
    answer = RedirectResponse(at.href("today"), 303)
    if (code := first_text(raw, "language")) in request.app.state.tongues:
        answer.set_cookie(LANGUAGE, code, max_age=60 * 60 * 24 * 365, samesite="lax", httponly=True)
    return answer


@router.get("/file")
def project_file(at: Here) -> Response:
    """The whole project as one open file."""
    made = export(at.desk.notebook, at.project)
    headers = {"Content-Disposition": f'attachment; filename="project-{at.project[:8]}.zip"', "X-Root-Hash": made.root}
    return Response(made.data, media_type="application/zip", headers=headers)
