"""The words the phone says by itself, read from the tables of its own modules, in the language of now."""

import json
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from loamwright.web.render import static_folder
from loamwright.words.language import tr

TABLES = ("said.js", "bench_said.js")
_LINE = re.compile(r'^  (\w+):\s+("(?:[^"\\]|\\.)*"),$', re.MULTILINE)


@cache
def phone_texts() -> Mapping[str, str]:
    """Every text of the phone by its key, in English.

    >>> phone_texts()["weigh_now"]
    'Weigh now'
    """
    found: dict[str, str] = {}
    for name in TABLES:
        text = Path(static_folder(), name).read_text(encoding="utf-8")
        table = text[text.index("const SAID = {") : text.index("\n};")]
        found.update({key: json.loads(words) for key, words in _LINE.findall(table)})
    return found


def phone_words() -> dict[str, str]:
    """The same in the language of now; only what differs, as English stands on the phone already."""
    return {key: said for key, text in phone_texts().items() if (said := tr(text)) != text}
