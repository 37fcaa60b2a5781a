"""What a phone needs to work without a network: the version of the pages, the worker's list of files, bodies with a limit."""

import json
from functools import cache
from hashlib import sha256
from importlib import resources
from pathlib import Path

from fastapi import Request

from loamwright import __version__
from loamwright.errors import InputError
from loamwright.web.render import static_folder

VERSION_HEADER = "Loamwright-Version"
SHELL = "/bench"
CHARTS = "vega"  # the folder of the chart library: kept on the phone after all else
MOST_MEGABYTES = 32
_KEPT = (".js", ".css", ".woff2", ".svg", ".png", ".webmanifest")
_SHELL_TEMPLATES = ("base.html", "head.html", "pieces.html", "bench/shell.html")


@cache
def version() -> str:
    """A name that changes whenever the program, a static file or the bench page does."""
    found = sha256(__version__.encode())
    templates = Path(str(resources.files("loamwright.web").joinpath("templates")))
    for path in [*_files(), *_files(CHARTS), *(templates / name for name in _SHELL_TEMPLATES)]:
        found.update(path.read_bytes() if path.is_file() else b"")
    return f"{__version__}-{found.hexdigest()[:12]}"


def _files(folder: str = "") -> list[Path]:
    return sorted(path for path in Path(static_folder(), folder).iterdir() if path.suffix in _KEPT and path.name != "sw.js")


@cache
def worker() -> str:
    """The worker's text: its version and the files it keeps, then the program."""
    paths = [SHELL, *(f"/static/{path.name}" for path in _files())]
    later = [f"/static/{CHARTS}/{path.name}" for path in _files(CHARTS)]
    head = f"const VERSION = {json.dumps(version())};\nconst FILES = {json.dumps(paths)};\nconst LATER = {json.dumps(later)};\n"
    return head + Path(static_folder(), "sw.js").read_text(encoding="utf-8")


async def limited_body(request: Request, *, megabytes: int = MOST_MEGABYTES) -> bytes:
    """The body of a request, read no further than a limit.

    Raises
    ------
    InputError
        "push_too_large".
    """
    parts: list[bytes] = []
    left = megabytes * 1024**2
    async for part in request.stream():
        left -= len(part)
        if left < 0:
            raise InputError("push_too_large", most=megabytes)
        parts.append(part)
    return b"".join(parts)
