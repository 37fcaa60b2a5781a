"""Languages: every text for people goes through here; the language is that of the one request or command being answered.

English is the language the texts are written in. Others are catalogues, `languages/<code>/LC_MESSAGES/loamwright.mo`, read by the
standard library; a text that a catalogue lacks is said in English. Placeholders have names, so that a translator can move them.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from gettext import GNUTranslations, NullTranslations
from importlib import resources
from pathlib import Path

DOMAIN = "loamwright"
RIGHT_TO_LEFT = frozenset({"ar", "dv", "fa", "he", "ks", "ps", "sd", "ug", "ur", "yi"})


@dataclass(frozen=True, slots=True)
class Language:
    """A language texts are said in: its code, its own name, its direction ("ltr" or "rtl") and its catalogue."""

    code: str
    name: str
    direction: str
    catalogue: NullTranslations


ENGLISH = Language("en", "English", "ltr", NullTranslations())
_NOW: ContextVar[Language] = ContextVar("language", default=ENGLISH)


def now() -> Language:
    """The language of what is being answered."""
    return _NOW.get()


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Everything said inside is said in this language; other requests are not touched.

    >>> with speaking(ENGLISH):
    ...     tr("{n} of {all} weighed", n=2, all=3)
    '2 of 3 weighed'
    """
    before = _NOW.set(language)
    try:
        yield
    finally:
        _NOW.reset(before)


def tr(message: str, /, **values: object) -> str:
    """A text in the language of now, its named values put in; a text without values is not looked into for placeholders."""
    said = now().catalogue.gettext(message) if message else message
    return said.format(**values) if values else said


def trn(one: str, several: str, n: int, /, **values: object) -> str:
    """A text for one or for several, by the language's own rule of plurals; `{n}` is put in.

    >>> trn("{n} block", "{n} blocks", 1), trn("{n} block", "{n} blocks", 3)
    ('1 block', '3 blocks')
    """
    return now().catalogue.ngettext(one, several, n).format(n=n, **values)


def later(message: str) -> str:
    """Marks a text in a table for translators; it is said by `tr` where the table is read."""
    return message


def languages(folder: Path | None = None) -> Mapping[str, Language]:
    """The languages there are, English first: those shipped, or those of a folder."""
    return _languages(folder or Path(str(resources.files("loamwright.words").joinpath("languages"))))


@cache
def _languages(folder: Path) -> Mapping[str, Language]:
    found = {ENGLISH.code: ENGLISH}
    for path in sorted(folder.glob(f"*/LC_MESSAGES/{DOMAIN}.mo")):
        code = path.parts[-3]
        with path.open("rb") as file:
            catalogue = GNUTranslations(file)
        name = catalogue.info().get("language-team", "") or code
        found[code] = Language(code, name, "rtl" if code.split("-")[0] in RIGHT_TO_LEFT else "ltr", catalogue)
    return found


def best(wanted: str, there: Mapping[str, Language]) -> Language:
    """The first language of a browser's list ("fr-CH, fr;q=0.9") that there is; English where there is none.

    >>> best("xx, en;q=0.5", {"en": ENGLISH}).code
    'en'
    """
    for part in wanted.split(","):
        code = part.split(";")[0].strip().lower()
        for each in (code, code.split("-")[0]):
            if each in there:
                return there[each]
    return ENGLISH
