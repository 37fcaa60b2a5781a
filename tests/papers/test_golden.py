"""The words and order of every paper of the demo project, kept beside the tests. Ids, days and numbers are taken out: a number is
never true because it was printed before; those that must be right are worked out in test_what_is_written_down.py.

After a wanted change: LOAMWRIGHT_GOLDEN=write python -m pytest tests/papers/test_golden.py
"""

import os
import re
from pathlib import Path

import pytest

from loamwright.papers import catalogue
from loamwright.papers.document import as_text

GOLDEN = Path(__file__).parent / "golden"
ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}")
BEHIND = re.compile(r"(?<=entries )[0-9a-f]{8}(?: [0-9a-f]{8})*")
SHORT_ID = re.compile(r"(?<=\[)[0-9a-f]{8}(?=\])|^[0-9a-f]{8}(?= \|)|(?<=id: )[0-9a-f]{8}$|(?<=\| )[0-9a-f]{8}$", re.MULTILINE)
HASH = re.compile(r"(?:[0-9a-f]{8} ){7}[0-9a-f]{8}|[0-9a-f]{64}|\b[0-9a-f]{8} [0-9a-f]{8}\b")
DAY = re.compile(r"\d{1,2} (?:January|February|March|April|May|June|July|August|September|October|November|December) \d{4}")
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def normalised(text: str) -> str:
    for pattern, instead in ((BEHIND, "IDS"), (HASH, "HASH"), (ID, "ID"), (SHORT_ID, "ID"), (DAY, "DAY"), (NUMBER, "0")):
        text = pattern.sub(instead, text)
    # Rows of entries come in the order of their ids, which time alone decides: their kinds are enough.
    return re.sub(r"(?m)^ID \| .*\n?", "", text)


@pytest.mark.parametrize("name", list(catalogue.PAPERS))
def test_frozen_words_and_order(name, drawn):
    text = normalised(as_text(drawn(name)[0])) + "\n"
    kept = GOLDEN / f"{name}.txt"
    if os.environ.get("LOAMWRIGHT_GOLDEN") == "write":
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(text, encoding="utf-8")
    assert text == kept.read_text(encoding="utf-8")


def test_no_kept_words_are_left_of_a_paper_that_is_gone():
    assert {path.stem for path in GOLDEN.glob("*.txt")} == set(catalogue.PAPERS)
