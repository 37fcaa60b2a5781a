"""Photos beside what they show."""

from typing import Any

from loamwright.notebook.arriving import PHOTO, blobs_there
from loamwright.project.state import Fact
from loamwright.web.render import At
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of


def photos_of(at: At, entity: str) -> list[dict[str, Any]]:
    """Photos of one entity, oldest first: address, words instead of the picture, note; or why there is no picture yet."""
    return _pieces(at, at.state.where(PHOTO, "of", entity))


def picture_of(at: At, fact: Fact | None) -> dict[str, Any] | None:
    """The picture of a photo's own entry; None for any other entry."""
    return next(iter(_pieces(at, [fact])), None) if fact is not None and fact.kind == PHOTO and not fact.fault else None


def _pieces(at: At, facts: list[Fact]) -> list[dict[str, Any]]:
    named = [fact for fact in facts if isinstance(fact.get("blob"), str)]
    there = blobs_there(at.desk.notebook, [fact["blob"] for fact in named])
    return [_piece(at, fact, fact["blob"] in there) for fact in named]


def _piece(at: At, fact: Fact, there: bool) -> dict[str, Any]:
    note = fact.get("note") or ""
    return {
        "src": at.href("photo", fact["blob"]) if there else "",
        "alt": ": ".join(each for each in (name_of(at.state, fact.id), note) if each),
        "note": note,
        "when": f"{at.state.moment(fact):%Y-%m-%d %H:%M}",
        "by": fact.by,
        "href": at.href("entry", fact.id),
        "missing": "" if there else sentence("picture_not_here", {}),
    }
