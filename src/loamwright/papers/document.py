"""The model of a paper: what stands on it, in order, before anything is drawn; and the same as plain text."""

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

MOST_SIGNS = 600
BLANK = "____________"
BOX = "[    ]"

ColumnKind = Literal["text", "number", "box"]


def plain(text: str) -> str:
    """A text as it may stand on paper: one line, no signs that steer a printer or turn the writing about, and no novel.

    What is cut off ends in "…"; the notebook keeps the whole. Names of any script stay as they are.

    >>> plain("a\\u202eb\\nc"), len(plain("x" * 100_000))
    ('ab c', 600)
    """
    kept = "".join(
        " " if each.isspace() and each not in "\u00a0\u202f" else each for each in text[: 4 * MOST_SIGNS] if _shows(each)
    )
    kept = " ".join(part for part in kept.split(" ") if part)
    return kept if len(kept) <= MOST_SIGNS else kept[: MOST_SIGNS - 1] + "…"


def _shows(sign: str) -> bool:
    """Whether a sign shows, or joins others that do; control signs, turners of writing and half signs do not."""
    return sign.isspace() or sign in "\u200c\u200d" or unicodedata.category(sign) not in ("Cc", "Cf", "Cs", "Co", "Cn")


# --- what can stand on a paper -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a paper."""

    text: str


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines of a label and its value; where nothing is known a rule to write on stands in its place."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; `strong` for the one sentence that must not be missed."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Points:
    """Short sentences, one a line."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PaperColumn:
    """One column of a table.

    Attributes
    ----------
    label, unit : str
        Its head; numbers in it carry no unit of their own.
    kind : str
        "text", "number" (to the right) or "box" (blank, to be written in).
    share : float
        Width beside the others; 0 for as wide as its words.
    """

    label: str
    unit: str = ""
    kind: ColumnKind = "text"
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """A table; the first cell of a row is its head. Empty cells of a box column are blank boxes."""

    title: str
    columns: tuple[PaperColumn, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a working: what it is, formula, numbers put in, result."""

    says: str
    formula: str
    put: str
    gives: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit, how sure it is, its working, and what it stands on."""

    label: str
    value: str
    band: str = ""
    notes: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Order:
    """A plain instruction with one number, large enough for arm's length."""

    text: str
    number: str
    unit: str = ""
    then: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing of our own (SVG) with one large number beside it, for those who read pictures."""

    svg: str
    text: str
    number: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing of our own (SVG), its words, and its width as a share of the page."""

    svg: str
    text: str
    width: float = 1.0


@dataclass(frozen=True, slots=True)
class Remark:
    """What must be known of the figures above."""

    text: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A danger at this step."""

    text: str


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code of a short text, with the words under it."""

    holds: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows starts on a new page."""


@dataclass(frozen=True, slots=True)
class Label:
    """One label: its large mark, the lines beside it, and what its QR code holds."""

    mark: str
    lines: tuple[str, ...]
    holds: str


@dataclass(frozen=True, slots=True)
class Grid:
    """How labels lie on a sheet. Lengths in mm; `cut` draws lines to cut along, on plain paper."""

    paper: Literal["a4", "letter"]
    across: int
    down: int
    width: float
    height: float
    left: float
    top: float
    gap: float = 0.0
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Labels:
    """A whole sheet of labels; it fills its pages alone."""

    grid: Grid
    labels: tuple[Label, ...]


Part = (
    Heading | Lines | Words | Points | Table | Figure | Order | Picture | Drawing | Remark | Caution | Code | Signatures
    | PageBreak | Labels
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Document:
    """One paper.

    Attributes
    ----------
    name, title, subtitle : str
        Short name for files and addresses; words at its head.
    parts : tuple of Part
        What stands on it, in order.
    foot : tuple of str
        Small words at the foot of every page: project, day, root hash.
    code : str
        What the QR code at its head holds; none where empty.
    landscape : bool
        Whether it lies on its side.
    language, direction : str
        Of its words, such as "en" and "ltr".
    """

    name: str
    title: str
    subtitle: str = ""
    parts: tuple[Part, ...] = ()
    foot: tuple[str, ...] = ()
    code: str = ""
    landscape: bool = False
    language: str = "en"
    direction: str = "ltr"
    labels: Mapping[str, str] = field(default_factory=lambda: {"caution": "Caution", "page": "page"})


# --- the same as plain text ----------------------------------------------------------------------------------------------


def as_text(document: Document) -> str:
    """A paper as plain text: everything a person can read on it, in order, blanks and boxes shown.

    >>> print(as_text(Document("slip", "Slip", parts=(Lines((("Soil", "12 kg"), ("By", ""))),))))
    # Slip
    Soil: 12 kg
    By: ____________
    """
    found = [f"# {plain(document.title)}"]
    found += [plain(document.subtitle)] if document.subtitle else []
    found += [f"(code) {document.code}"] if document.code else []
    for part in document.parts:
        found += _text_of(part)
    found += [f"-- {plain(line)}" for line in document.foot]
    return "\n".join(found)


def _text_of(part: Part) -> list[str]:
    match part:
        case Heading():
            return [f"## {plain(part.text)}"]
        case Lines():
            return [f"{plain(label)}: {plain(value) or BLANK}" for label, value in part.pairs]
        case Words():
            return [plain(part.text)]
        case Points():
            return [f"- {plain(item)}" for item in part.items]
        case Table():
            return _table_text(part)
        case Figure():
            return _figure_text(part)
        case Order():
            return [_spaced(part.text, part.number, part.unit), *([plain(part.then)] if part.then else [])]
        case Picture():
            return [f"(picture) {_spaced(part.text, part.number, part.unit)}"]
        case Drawing():
            return [f"(drawing) {plain(part.text)}"]
        case Remark():
            return [f"Note: {plain(part.text)}"]
        case Caution():
            return [f"Caution. {plain(part.text)}"]
        case Code():
            return [f"(code) {part.holds}", *([plain(part.caption)] if part.caption else [])]
        case Signatures():
            return [f"{plain(label)}: {BLANK}" for label in part.labels]
        case PageBreak():
            return ["----"]
        case Labels():
            return [" | ".join((plain(each.mark), *map(plain, each.lines), each.holds)) for each in part.labels]


def _spaced(*parts: str) -> str:
    return " ".join(plain(part) for part in parts if part)


def _table_text(table: Table) -> list[str]:
    heads = [plain(column.label) + (f" ({column.unit})" if column.unit else "") for column in table.columns]
    rows = [
        [plain(cell) or (BOX if column.kind == "box" else "") for cell, column in zip(row, table.columns, strict=True)]
        for row in table.rows
    ]
    title = [f"[{plain(table.title)}]"] if table.title else []
    return [*title, *(" | ".join(cells).rstrip() for cells in [heads, *rows])]


def _figure_text(figure: Figure) -> list[str]:
    found = [f"{plain(figure.label)}: {plain(figure.value)}" + (f" ({plain(figure.band)})" if figure.band else "")]
    for step in figure.steps:
        found.append(f"  {plain(step.says)}: {step.formula} {step.put} {step.gives}")
    found += [f"  Note: {plain(note)}" for note in figure.notes]
    found += [f"  From: {plain(source)}" for source in figure.sources]
    return found


# --- what is read on a page ----------------------------------------------------------------------------------------------


def texts(document: Document) -> list[str]:
    """Every text of a paper, as it should be found on its pages."""
    of_labels = any(isinstance(part, Labels) for part in document.parts)
    found = [] if of_labels else [document.title, document.subtitle, *document.foot]
    for part in document.parts:
        found += _texts_of(part)
    return [plain(each) for each in found if plain(each)]


def _texts_of(part: Part) -> Sequence[str]:
    match part:
        case Lines():
            return [word for pair in part.pairs for word in pair]
        case Points():
            return part.items
        case Table():
            heads = [word for column in part.columns for word in (column.label, column.unit)]
            return [part.title, *heads, *(cell for row in part.rows for cell in row)]
        case Figure():
            steps = [word for step in part.steps for word in (step.says, step.formula, step.put, step.gives)]
            return [part.label, part.value, part.band, *part.notes, *steps, *part.sources]
        case Order():
            return [part.text, part.number, part.unit, part.then]
        case Picture():
            return [part.number, part.unit]
        case Code():
            return [part.caption]
        case Signatures():
            return part.labels
        case Labels():
            return [word for each in part.labels for word in (each.mark, *each.lines)]
        case Drawing() | PageBreak():
            return []
        case _:
            return [part.text]
