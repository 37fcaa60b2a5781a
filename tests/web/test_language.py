"""Nothing is hard-wired in English: a made-up language, long and written from right to left, is spoken on every page of the demo.

Its catalogue puts every text it is asked for between ⟦ and ⟧ and makes it longer. What then stands outside these signs on a page was
never offered to a translator; only what people typed, units, formulas, sources and names of documents may stand there.
"""

import re
from collections.abc import Iterator
from gettext import NullTranslations
from html.parser import HTMLParser

import pytest
from starlette.testclient import TestClient
from tests.web.following import ID, followed

from loamwright import tables
from loamwright.notebook.entry import local_now
from loamwright.project.demo import load_demo
from loamwright.project.desk import Desk
from loamwright.rules.book import rule_keys
from loamwright.units import all_units
from loamwright.web.app import create_app
from loamwright.words.language import ENGLISH, Language

WORD = re.compile(r"[A-Za-z]{3,}")
LINK = re.compile(r'href="(/[^"#]*)')
FILES = (".zip", ".pdf", ".xlsx", ".ics", ".svg", ".json", "/file")


class MadeUp(NullTranslations):
    """Every text bracketed and half as long again, its placeholders where they were."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}{'·' * (len(message) // 2)}⟧"

    def ngettext(self, one: str, several: str, n: int) -> str:
        return self.gettext(one if n == 1 else several)


PSEUDO = Language("x-long", "long", "rtl", MadeUp())


class Visible(HTMLParser):
    """Texts a person reads or hears on a page, without workings (formulas) and sources."""

    SILENT = ("script", "style", "head")
    NUMBERS = ("formula", "put", "gives", "sources", "says")

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.open: list[tuple[str, bool]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        silent = tag in self.SILENT or any(name in (given.get("class") or "").split() for name in self.NUMBERS)
        if tag not in ("input", "meta", "link", "br", "img", "hr"):
            self.open.append((tag, silent))
        for name in ("aria-label", "alt", "title", "placeholder"):
            if given.get(name):
                self.texts.append(str(given[name]))

    def handle_endtag(self, tag: str) -> None:
        while self.open:
            name, _ = self.open.pop()
            if name == tag:
                return

    def handle_data(self, data: str) -> None:
        if not any(silent for _, silent in self.open):
            self.texts.append(data)


@pytest.fixture
def foreign(desk: Desk) -> Iterator[tuple[TestClient, str]]:
    project = load_demo(desk, local_now())
    tongues = {"en": ENGLISH, PSEUDO.code: PSEUDO}
    with TestClient(create_app(desk, tongues=tongues), cookies={"language": PSEUDO.code}) as client:
        yield client, project


def typed_words(desk: Desk, project: str) -> set[str]:
    """Words people wrote in the notebook, of units, and of the names of documents."""
    texts = [entry.body_text for entry in desk.state(project).versions.entries.values()]
    texts += [unit.label for unit in all_units().values()]
    # What is transcribed from a document is quoted in the words of its transcriber, not translated.
    texts += [tables.text(f"rules/{key}.toml") for key in rule_keys()]
    texts += [row.get("document", "") for row in tables.load("windows")]
    return {word.lower() for text in texts for word in WORD.findall(text)}


def outside(text: str) -> str:
    """What is left of a text once everything said by the catalogue is taken out, from the inside."""
    while (shorter := re.sub(r"⟦[^⟦⟧]*⟧", " ", text)) != text:
        text = shorter
    return text


def pages(client: TestClient, project: str) -> Iterator[tuple[str, str]]:
    """One page of every kind that links lead to."""
    start = [f"/p/{project}/today", "/"]
    for address, shape, answer in followed(client, start, link=LINK, left_out=FILES, most=1):
        assert answer.status_code == 200, address
        if "text/html" in answer.headers["content-type"]:
            yield shape, answer.text


def test_every_text_of_every_page_is_offered_to_translators(foreign: tuple[TestClient, str], desk: Desk) -> None:
    client, project = foreign
    known = typed_words(desk, project) | {"loamwright", "english", "long"}  # languages are called by their own names
    hard_wired: dict[str, list[str]] = {}
    seen = 0
    for shape, html in pages(client, project):
        seen += 1
        assert '<html lang="x-long" dir="rtl">' in html
        visible = Visible()
        visible.feed(html)
        for text in visible.texts:
            if any(word.lower() not in known for word in WORD.findall(ID.sub("", outside(text)))):
                hard_wired.setdefault(text.strip()[:100], []).append(shape)
    assert seen > 30
    assert hard_wired == {}


def test_english_is_what_is_said_without_a_choice(foreign: tuple[TestClient, str]) -> None:
    client, project = foreign
    client.cookies.set("language", "en")
    plain = client.get(f"/p/{project}/today").text
    assert '<html lang="en" dir="ltr">' in plain
    assert "⟦" not in plain


def test_a_language_is_chosen_with_one_tap_where_there_are_several(foreign: tuple[TestClient, str]) -> None:
    client, project = foreign
    assert 'value="x-long"' in client.get(f"/p/{project}/who").text
    client.post(f"/p/{project}/language", data={"language": "en"})
    assert '<html lang="en"' in client.get(f"/p/{project}/today").text
    client.post(f"/p/{project}/language", data={"language": "no-such"})
    assert '<html lang="en"' in client.get(f"/p/{project}/today").text
