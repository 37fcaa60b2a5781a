"""One sentence for every code: what, its value with unit, what is allowed, what to do. Placeholders are named for translators."""

from collections.abc import Iterable, Mapping
from datetime import date

from loamwright.errors import InputError, Note
from loamwright.words.language import tr
from loamwright.words.numbers import day
from loamwright.words.safe_texts import VALUE, presentable
from loamwright.words.said import said

# Values a person typed, named or must type again: their underscores are their own.
AS_WRITTEN = {
    *("allowed", "file", "fitting", "form", "found", "known", "missing", "name", "names", "operation", "option", "output"),
    *("path", "rule", "source", "there", "typed", "unit"),
}


# Ratios that nobody measures to four digits; shares in per cent are said to three as well.
THREE_DIGITS = {"span_to_thickness", "height_to_thickness"}


# Lists and half-sentences that the program makes: all of it is wanted, and each name in it is short already.
LISTS = {"allowed", "assumption", "chances", "fitting", "known", "missing", "there"}


class _Values(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "?"


def sentence(code: str, values: Mapping[str, object]) -> str:
    """The sentence of a code with its values put in; an unknown code is shown as it is rather than hidden.

    >>> sentence("not_positive", {"quantity": "wet_mass", "value": 0})
    'wet mass is 0; it must be above zero. Look at the reading and correct it.'
    """
    template = said().get(code)
    if template is None:
        listed = ", ".join(f"{name} {plain(value)}" for name, value in values.items())
        return f"{code.replace('_', ' ')}: {listed}" if listed else code.replace("_", " ")
    # The engine's shares are fractions; a sentence that wants one in per cent names it so.
    in_per_cent = {f"{name}_pct": 100 * value for name, value in values.items() if isinstance(value, float)}
    return tr(template).format_map(_Values({name: _put_in(name, value) for name, value in {**in_per_cent, **values}.items()}))


def _put_in(name: str, value: object) -> str:
    """A value inside a sentence; what was typed, named or must be typed again stays as it is written.

    >>> _put_in("path", "my_wall.notebook"), _put_in("quantity", "wet_mass")
    ('my_wall.notebook', 'wet mass')
    >>> _put_in("rise_pct", 19.354)
    '19.4'
    """
    if isinstance(value, float) and (name in THREE_DIGITS or name.endswith("_pct")):
        return f"{value:.3g}"
    if isinstance(value, str):
        value = value if name in LISTS else presentable(value, VALUE)
        return value if name in AS_WRITTEN else tr(plain(value))
    return plain(value)


def plain(value: object) -> str:
    """A value inside a sentence: names without underscores, numbers to four digits, days as a person says them.

    >>> plain("wet_mass"), plain(0.123456), plain((1.0, 2.5)), plain(date(2026, 3, 4))
    ('wet mass', '0.1235', '1, 2.5', '4 March 2026')
    """
    if isinstance(value, str):
        return value.replace("_", " ")
    if isinstance(value, (bool, int)):
        return str(value)
    if isinstance(value, date):
        return day(value)
    if isinstance(value, float):
        return f"{value:.4g}"
    if isinstance(value, (tuple, list)):
        return ", ".join(plain(each) for each in value)
    return str(value)


def of_fault(fault: InputError) -> str:
    """The sentence of an `InputError`."""
    return sentence(fault.code, fault.values)


def of_notes(notes: Iterable[Note]) -> list[str]:
    """The sentences of several notes, each once."""
    return list(dict.fromkeys(of_note(note) for note in notes))


def of_note(note: Note) -> str:
    """The sentence of a `Note`."""
    return sentence(note.code, note.values)
