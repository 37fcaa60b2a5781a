"""Kinds of entries as a person is asked for them: labels, hints and taps in the language of now."""

from dataclasses import replace
from functools import cache

from loamwright.notebook.fields import Field
from loamwright.notebook.kinds import Kind, kind_named, kinds
from loamwright.words.language import Language, now, speaking, tr


def kind_said(name: str) -> Kind:
    """A kind with its words in the language of now; `InputError` ("unknown_kind") where this version knows none.

    >>> kind_said("weighing").label
    'Weighing'
    """
    kind_named(name)
    return kinds_said()[name]


def kinds_said() -> dict[str, Kind]:
    """Every kind by its name, in the order of the work, with its words in the language of now."""
    return _in(now())


@cache
def _in(language: Language) -> dict[str, Kind]:
    with speaking(language):
        return {
            name: replace(kind, label=tr(kind.label), fields=tuple(_said(each) for each in kind.fields))
            for name, kind in kinds().items()
        }


def _said(each: Field) -> Field:
    return replace(
        each,
        label=tr(each.label),
        hint=tr(each.hint),
        options={key: tr(label) for key, label in each.options.items()},
        rows=tuple(_said(sub) for sub in each.rows),
    )


def kind_texts() -> list[str]:
    """Every text of the kinds, for the list translators work from."""
    found: list[str] = []

    def gather(each: Field) -> None:
        found.extend((each.label, each.hint, *each.options.values()))
        for sub in each.rows:
            gather(sub)

    for kind in kinds().values():
        found.append(kind.label)
        for each in kind.fields:
            gather(each)
    return [text for text in dict.fromkeys(found) if text]
