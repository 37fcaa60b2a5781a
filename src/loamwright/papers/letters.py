"""Which signs the shipped fonts can draw, read from the fonts themselves; a sign they lack is shown as an open box."""

import struct
from functools import cache
from importlib import resources
from pathlib import Path

MISSING = "□"
FONTS = ("loam-text-400.ttf", "loam-text-600.ttf", "dejavu-sans.ttf")
FAMILIES = ("Loam Text", "DejaVu Sans")
LONGEST_WORD, PARTED_INTO = 24, 12
BREAK = "\u200b"
_JOINERS = frozenset("\u200b\u200c\u200d")


def folder() -> Path:
    """Where the fonts for paper lie."""
    return Path(str(resources.files("loamwright.papers").joinpath("fonts")))


@cache
def covered() -> frozenset[int]:
    """Code points that one of the shipped fonts has a letter for."""
    return frozenset(point for name in FONTS for point in points_of((folder() / name).read_bytes()))


def points_of(font: bytes) -> frozenset[int]:
    """Code points of a font's own table of letters (formats 4 and 12 of the OpenType "cmap").

    References
    ----------
    [opentype-cmap]
    """
    tables = struct.unpack_from(">H", font, 4)[0]
    entries = (struct.unpack_from(">4sIII", font, 12 + 16 * i) for i in range(tables))
    start = next(offset for tag, _, offset, _ in entries if tag == b"cmap")
    found: set[int] = set()
    for i in range(struct.unpack_from(">H", font, start + 2)[0]):
        at = start + int(struct.unpack_from(">HHI", font, start + 4 + 8 * i)[2])
        match struct.unpack_from(">H", font, at)[0]:
            case 4:
                found |= _format_4(font, at)
            case 12:
                found |= _format_12(font, at)
    return frozenset(found)


def _format_4(font: bytes, at: int) -> set[int]:
    segments = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends, starts, deltas, ranges = (
        struct.unpack_from(f">{segments}H", font, at + 14 + skip + 2 * segments * i)
        for i, skip in ((0, 0), (1, 2), (2, 2), (3, 2))
    )
    found: set[int] = set()
    for i, (first, last, delta, offset) in enumerate(zip(starts, ends, deltas, ranges, strict=True)):
        for point in range(first, min(last, 0xFFFE) + 1):
            if offset:
                place = at + 16 + 6 * segments + 2 * i + offset + 2 * (point - first)
                letter = struct.unpack_from(">H", font, place)[0]
            else:
                letter = (point + delta) % 0x10000
            if letter:
                found.add(point)
    return found


def _format_12(font: bytes, at: int) -> set[int]:
    groups = struct.unpack_from(">I", font, at + 12)[0]
    spans = (struct.unpack_from(">III", font, at + 16 + 12 * i) for i in range(groups))
    return {point for first, last, letter in spans for point in range(first, last + 1) if letter or point > first}


def drawable(text: str) -> str:
    """A text with an open box for every sign the fonts lack, and places where a very long word may be parted.

    >>> drawable("Red clay 🧱"), len(drawable("x" * 60))
    ('Red clay □', 64)
    """
    known = covered()
    drawn = "".join(each if ord(each) in known or each in _JOINERS else MISSING for each in text)
    if not any(len(word) > LONGEST_WORD for word in drawn.split()):
        return drawn
    return " ".join("-".join(map(_parted, word.split("-"))) for word in drawn.split(" "))


def _parted(word: str) -> str:
    """A piece of a word between hyphens, where it may be parted anyhow."""
    if len(word) <= LONGEST_WORD:
        return word
    return BREAK.join(word[i : i + PARTED_INTO] for i in range(0, len(word), PARTED_INTO))


def lacks(text: str) -> bool:
    """Whether a text holds a sign that no shipped font can draw."""
    known = covered()
    return any(ord(each) not in known and each not in _JOINERS for each in text)
