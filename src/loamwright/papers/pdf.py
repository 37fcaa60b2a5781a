"""From the model of a paper to a PDF, drawn by a child process with a time it must keep."""

import dataclasses
import json
import subprocess
import sys
from functools import cache
from typing import Any, Literal

from loamwright.errors import InputError
from loamwright.papers.document import Document, Label, Labels, Part, plain
from loamwright.papers.letters import FAMILIES, drawable, lacks

Size = Literal["a4", "letter"]
SIZES: tuple[Size, ...] = ("a4", "letter")
SECONDS = 30.0
_AS_IT_IS = frozenset({"svg", "kind", "direction", "language", "paper", "name"})


def pdf(document: Document, *, size: str = "a4", missing: str = "", seconds: float = SECONDS) -> bytes:
    """A paper as PDF: tagged, black only, the same bytes for the same paper.

    Parameters
    ----------
    document : Document
    size : str
        "a4" or "letter"; a sheet of labels keeps the paper it is made for.
    missing : str
        What stands at the foot where a sign could not be drawn.
    seconds : float
        Time the drawing may take. [s]

    Raises
    ------
    InputError
        "unknown_choice" for another size, "paper_too_slow", "paper_not_made".
    """
    paper = as_json(document, size=size, missing=missing)
    command = [sys.executable, "-X", "utf8", "-m", "loamwright.papers.render"]
    try:
        done = subprocess.run(command, input=paper.encode("utf-8"), capture_output=True, timeout=seconds, check=False)
    except subprocess.TimeoutExpired:
        raise InputError("paper_too_slow", name=document.name, seconds=seconds) from None
    except OSError as fault:
        raise InputError("paper_not_made", name=document.name, reason=fault.strerror or str(fault)) from fault
    if done.returncode != 0 or not done.stdout.startswith(b"%PDF"):
        reason = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise InputError("paper_not_made", name=document.name, reason=reason[-1][:200] if reason else str(done.returncode))
    return done.stdout


def as_json(document: Document, *, size: str = "a4", missing: str = "") -> str:
    """What the child is given: every text drawable, QR codes as drawings."""
    if size not in SIZES:
        raise InputError("unknown_choice", field="size", label="size", typed=size, allowed=", ".join(SIZES))
    paper = _drawn(dataclasses.asdict(dataclasses.replace(document, parts=())))
    paper["parts"] = [_part(part) for part in document.parts]
    paper["code"] = _code(document.code) if document.code else ""
    holes = missing and any(lacks(text) for text in _every_text(dataclasses.asdict(document)))
    paper["foot"] = [*paper["foot"], *([missing] if holes else [])]
    paper["size"] = {"a4": "a4", "letter": "us-letter"}[size]
    paper["families"] = list(FAMILIES)
    return json.dumps(paper, ensure_ascii=False)


def _part(part: Part) -> dict[str, Any]:
    found: dict[str, Any] = {"part": type(part).__name__.lower(), **_drawn(dataclasses.asdict(part))}
    if "holds" in found:
        found["svg"] = _code(found["holds"])
    if isinstance(part, Labels):
        found["labels"] = [_label(each) for each in part.labels]
    return found


def _label(label: Label) -> dict[str, Any]:
    return {
        "mark": drawable(plain(label.mark)),
        "lines": [drawable(plain(each)) for each in label.lines],
        "svg": _code(label.holds),
    }


def _drawn(value: Any, name: str = "") -> Any:
    """Texts made drawable, wherever they stand; lists and mappings kept as they are."""
    if isinstance(value, str):
        return value if name in _AS_IT_IS else drawable(plain(value))
    if isinstance(value, dict):
        return {key: _drawn(each, key) for key, each in value.items()}
    if isinstance(value, (tuple, list)):
        return [_drawn(each, name) for each in value]
    return value


def _every_text(value: Any, name: str = "") -> list[str]:
    if isinstance(value, str):
        return [] if name in _AS_IT_IS else [plain(value)]
    if isinstance(value, dict):
        return [text for key, each in value.items() for text in _every_text(each, key)]
    if isinstance(value, (tuple, list)):
        return [text for each in value for text in _every_text(each, name)]
    return []


@cache
def _code(holds: str) -> str:
    """A QR code as a drawing, black on white, its quiet margin around it, a quarter of it may be lost."""
    import io

    import segno

    out = io.BytesIO()
    segno.make(holds, error="q", boost_error=False, micro=False).save(
        out, kind="svg", border=4, xmldecl=False, svgclass=None, lineclass=None
    )
    return out.getvalue().decode("utf-8")
