"""Examples run: those in the docstrings of every module, and Python blocks in the pages."""

import doctest
import importlib
import pkgutil
from pathlib import Path

import pytest
from sybil import Sybil
from sybil.document import Document
from sybil.parsers.markdown import PythonCodeBlockParser, SkipParser

import loamwright

ROOT = Path(__file__).resolve().parents[2]
MODULES = sorted(
    found.name
    for found in pkgutil.walk_packages(loamwright.__path__, "loamwright.")
    if ".migrations" not in found.name and not found.name.endswith("__main__")
)
PAGES = sorted(page for page in [ROOT / "README.md", *(ROOT / "docs").rglob("*.md")] if page.exists())


@pytest.mark.parametrize("name", MODULES)
def test_examples_of_a_module(name: str) -> None:
    module = importlib.import_module(name)
    failed, _ = doctest.testmod(module, optionflags=doctest.ELLIPSIS)
    assert failed == 0


def test_most_public_functions_of_the_engine_have_an_example() -> None:
    finder = doctest.DocTestFinder(exclude_empty=True)
    count = sum(len(finder.find(importlib.import_module(name))) for name in MODULES if ".engine." in name)
    assert count > 100


@pytest.mark.parametrize("page", PAGES, ids=[str(page.relative_to(ROOT)) for page in PAGES])
def test_python_in_a_page_runs(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # a page may write a file
    blocks = Sybil(parsers=[PythonCodeBlockParser(), SkipParser()])
    document: Document = blocks.parse(page)
    for example in document.examples():
        example.evaluate()


def test_a_wrong_example_would_be_seen(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("```python\nassert 1 + 1 == 3\n```\n")
    (example,) = Sybil(parsers=[PythonCodeBlockParser()]).parse(page).examples()
    with pytest.raises(AssertionError):
        example.evaluate()
