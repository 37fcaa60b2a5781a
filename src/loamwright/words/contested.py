"""Two live versions of one reading in words: what each says where they differ, and who said it."""

from loamwright.notebook.entry import Entry, local_moment
from loamwright.project.state import Fact, State
from loamwright.words.language import tr
from loamwright.words.showing import entry_words


def live_versions(state: State, entity: str) -> list[tuple[str, str]]:
    """Id and words of each live version of an entity, the one that is computed with first; empty where nothing is contested."""
    heads = state.versions.heads(state.versions.entity(entity))
    if len(heads) < 2:
        return []
    said = {head.id: _said(state, head) for head in heads}
    alike = set.intersection(*(set(words) for words in said.values()))
    return [(head.id, _words(head, [each for each in said[head.id] if each not in alike])) for head in heads]


def _said(state: State, head: Entry) -> list[tuple[str, str]]:
    return [] if head.withdraws else entry_words(state, Fact(head.id, [head], 1))


def _words(head: Entry, apart: list[tuple[str, str]]) -> str:
    """What a tap on a version says: only what sets it apart from the others, then who wrote it and when."""
    what = tr("It is undone") if head.withdraws else ", ".join(f"{label} {words}" for label, words in apart) or tr("As it is")
    when = f"{local_moment(head.at, head.offset):%Y-%m-%d %H:%M}"
    return tr("{what} ({by}, {when})", what=what, by=head.by or tr("nobody named"), when=when)
