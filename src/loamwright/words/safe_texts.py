"""Texts of people as they may stand among others: cut where they are overlong, kept from turning what follows around.

What is stored is never changed; an entry's own page shows all of it.
"""

import re

from loamwright.words.language import tr

NAME, VALUE, LINE = 120, 300, 1200  # letters shown of a name, of one value, of a whole line of words
_OPENS, _CLOSES = "\u202a\u202b\u202d\u202e", "\u202c"
_ISOLATES, _ENDS = "\u2066\u2067\u2068", "\u2069"
_TURNS = re.compile(f"[{_OPENS}{_CLOSES}{_ISOLATES}{_ENDS}]")
_UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")  # no text of a page, nor of a sheet of paper


def shortened(text: str, most: int) -> str:
    """The beginning of an overlong text, with what it holds in all and where that stands.

    >>> shortened("short", 20), shortened("x" * 99_000, 3)
    ('short', 'xxx… (99 kB, all of it on its own page)')
    """
    if len(text) <= most:
        return text
    size = max(1, round(len(text.encode("utf-8", "replace")) / 1000))
    return closed(text[:most].rstrip()) + tr("… ({kb} kB, all of it on its own page)", kb=size)


def closed(text: str) -> str:
    r"""A text whose marks of direction end with it, and whose unseen control characters are seen.

    >>> closed("a\u202eb") == "a\u202eb\u202c", closed("nul\x00")
    (True, 'nul�')
    """
    text = _UNSEEN.sub("\ufffd", text)
    return text + _still_open(text) if _TURNS.search(text) else text


def _still_open(text: str) -> str:
    """The marks that end every turn of direction a text leaves open, the last opened first."""
    waiting: list[str] = []
    for mark in _TURNS.findall(text):
        if mark in _OPENS:
            waiting.append(_CLOSES)
        elif mark in _ISOLATES:
            waiting.append(_ENDS)
        elif mark in waiting:
            # An isolate ends with all turns inside it; an ending without a beginning does nothing.
            while waiting and waiting.pop() != mark:
                pass
    return "".join(reversed(waiting))


def presentable(text: str, most: int) -> str:
    """A text of a person among other words: shortened, and closed."""
    return closed(shortened(text, most))
