"""Questions in words, for pages and shell alike: each names the thing it is about."""

from loamwright.project.asking import Question
from loamwright.project.state import State
from loamwright.words.asked_for import kinds_said
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of


def question_words(state: State, each: Question) -> str:
    """The sentence of a question; where it does not name what it is about, that stands before it."""
    about = [entity for entity in each.about if state.versions.history(entity)]
    names = ", ".join(name_of(state, entity) for entity in about)
    said = sentence(each.code, {"names": names, **each.values})
    own = [names, *(str(each.values[key]) for key in ("mark", "source", "name") if each.values.get(key))]
    known = all(state.find(entity) is not None for entity in about)
    wanted = each.grade == "impossible" or (each.code == "contested" and known)
    if not wanted or not about or any(name and name in said for name in own):
        return said
    return f"{', '.join(thing(state, entity) for entity in about)}: {said}"


def thing(state: State, entity: str) -> str:
    """What an entity is called; one without a name of its own is told by what it belongs to: "Pan test of moisture, Red clay"."""
    fact = state.find(entity)
    kind = None if fact is None else kinds_said().get(fact.kind)
    name = name_of(state, entity)
    if fact is None or kind is None or name != kind.label:
        return name
    body = fact.values or state.versions.entries[fact.head].body
    first = next((body.get(each.name) for each in kind.fields if each.kind in ("ref", "refs")), None)
    of = first[0] if isinstance(first, (list, tuple)) and first else first
    known = isinstance(of, str) and state.find(of) is not None
    return f"{name}, {name_of(state, str(of))}" if known else name
