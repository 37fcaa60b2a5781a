"""The bench page holds nothing of a project, is the same at every address, and its words can be translated."""

import re
from pathlib import Path

import pytest
from tests.web.test_language import PSEUDO

from loamwright.notebook.entry import new_id
from loamwright.web.pages.bench_pages import SCREENS
from loamwright.web.phone_words import TABLES, phone_texts, phone_words
from loamwright.web.render import static_folder
from loamwright.words.language import speaking


def test_the_shell_is_one_page_without_a_word_of_any_project(client, project) -> None:
    pages = {client.get(f"/bench{screen}").text for screen in SCREENS}
    assert len(pages) == 1
    page = pages.pop()
    assert project not in page
    assert "Test wall" not in page
    assert client.get(f"/bench?project={project}").text == page
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\bstyle=|\bon\w+=", page)


def test_today_leads_to_the_bench(client, home, project) -> None:
    assert f'href="/bench?project={project}"' in client.get(f"{home}/today").text


def test_the_sheet_comes_with_marks_and_words(client, project) -> None:
    sheet = client.post("/bench/sheet", json={"project": project, "device": new_id(), "have": []}).json()
    assert len(sheet["marks"]) == 40
    assert sheet["has"] == []
    assert sheet["said"] == {}  # English stands on the phone already


def test_every_line_of_the_tables_of_the_phone_is_read() -> None:
    for name in TABLES:
        text = Path(static_folder(), name).read_text(encoding="utf-8")
        table = text[text.index("const SAID = {") : text.index("\n};")]
        keys = re.findall(r"^  (\w+):", table, re.MULTILINE)
        assert len(keys) > 20
        assert set(keys) <= phone_texts().keys()


@pytest.mark.parametrize("key", ["weigh_now", "needs_network", "caution"])
def test_words_of_the_phone_are_translated_like_all_others(key: str) -> None:
    with speaking(PSEUDO):
        assert phone_words()[key] != phone_texts()[key]


def test_no_word_of_a_person_is_ever_read_as_markup() -> None:
    for path in Path(static_folder()).glob("bench_*.js"):
        assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(", path.read_text("utf-8")), (
            path.name
        )
