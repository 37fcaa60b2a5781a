"""Writes the list of texts translators work from, `src/loamwright/words/languages/loamwright.pot`.

With `--check` it only says whether the list is current. Texts are gathered from the calls `tr`, `trn`, `later` and `count` of the
code, `_` and `_n` of the templates, and the tables of sentences, cautions and kinds. A translation is a `.po` made of this list,
compiled by `pybabel compile` into `languages/<code>/LC_MESSAGES/loamwright.mo`.
"""

import ast
import io
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import write_po

from loamwright.web.phone_words import phone_texts
from loamwright.words.asked_for import kind_texts
from loamwright.words.cautions import CAUTIONS
from loamwright.words.said import said

ROOT = Path(__file__).resolve().parent.parent
CODE = ROOT / "src" / "loamwright"
LIST = CODE / "words" / "languages" / "loamwright.pot"
KEYWORDS = {"tr": None, "later": None, "trn": (1, 2), "_": None, "_n": (1, 2)}
Found = Iterator[tuple[str | tuple[str, str], str]]


def of_calls() -> Found:
    """Texts marked in code and templates, each with the file it stands in."""
    for path in sorted(CODE.rglob("*.py")):
        with path.open("rb") as file:
            for _, message, _, _ in extract("python", file, keywords=KEYWORDS):
                yield message, name(path)  # type: ignore[misc]
        for one, several in counted(path):
            yield (one, several), name(path)
    for path in sorted(CODE.rglob("*.html")):
        with path.open("rb") as file:
            for _, message, _, _ in extract("jinja2.ext:babel_extract", file, keywords=KEYWORDS):
                yield message, name(path)  # type: ignore[misc]


def counted(path: Path) -> Iterator[tuple[str, str]]:
    """Nouns given to `count`, as the pair of texts it makes of them."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "count":
            nouns = [each.value for each in node.args[1:] if isinstance(each, ast.Constant)]
            if nouns:
                several = nouns[1] if len(nouns) > 1 else str(nouns[0]) + "s"
                yield "{n} " + str(nouns[0]), "{n} " + str(several)


def of_tables() -> Found:
    """Texts of the tables: sentences by code, cautions, kinds of entries."""
    for code, text in said().items():
        yield text, code
    for key, text in CAUTIONS.items():
        yield text, key
    for text in kind_texts():
        yield text, "kinds"
    for key, text in phone_texts().items():
        yield text, key


def name(path: Path) -> str:
    """A path as it stands in the list."""
    return path.relative_to(ROOT).as_posix()


def written() -> str:
    """The list as a text; the same for the same texts."""
    day = datetime(2026, 1, 1, tzinfo=UTC)  # the list is the same for the same texts, whatever day it is
    made = Catalog(project="Loamwright", creation_date=day, revision_date=day)
    made.header_comment = (
        "# Texts of Loamwright, for translators. Made by tools/messages.py; a placeholder in braces may be moved, not renamed."
    )
    for message, where in (*of_calls(), *of_tables()):
        if message:
            made.add(message, locations=[(where, 0)])
    out = io.BytesIO()
    write_po(out, made, sort_output=True, omit_header=False, width=130, include_lineno=False)
    return out.getvalue().decode()


def main() -> int:
    """Write the list, or say that it is not current."""
    text = written()
    if "--check" in sys.argv:
        return 0 if LIST.exists() and LIST.read_text("utf-8") == text else 1
    LIST.parent.mkdir(parents=True, exist_ok=True)
    LIST.write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
