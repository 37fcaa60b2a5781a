"""Charts as SVG, for pages and papers: a description goes in, the drawing comes out, made in a child process.

The converter carries a whole script engine (about 115 MB). It lives in a child that is started at the first drawing, kept while
it is used, and ended after a minute of rest; a drawing that takes too long ends the child, never the program. Drawings are kept
in memory by their description. The child reads descriptions and writes drawings, one a line, and may fetch nothing.
"""

import atexit
import hashlib
import json
import subprocess
import sys
import threading
from collections.abc import Mapping
from functools import lru_cache
from importlib import resources
from typing import Any

VEGA_LITE = "6.4"
PATIENCE = 20.0  # seconds for one drawing
REST = 60.0  # seconds without a drawing after which the child is ended
KEPT = 256  # drawings kept in memory, 10 to 40 kB each


class NotDrawnError(RuntimeError):
    """The converter gave no drawing: the description is faulty, or it took too long."""


def key_of(description: Mapping[str, Any]) -> str:
    """The hash by which a drawing is kept; equal descriptions have equal keys.

    >>> key_of({"a": 1, "b": 2}) == key_of({"b": 2, "a": 1})
    True
    """
    return hashlib.sha256(_text(description).encode()).hexdigest()


def render_svg(description: Mapping[str, Any]) -> str:
    """A Vega-Lite description as SVG text; same bytes for the same description.

    Text stays text, in "Loam Text"; who shows it brings the font.

    Raises
    ------
    NotDrawnError
        The description cannot be drawn.
    """
    return _kept(_text(description))


def _text(description: Mapping[str, Any]) -> str:
    return json.dumps(description, ensure_ascii=False, sort_keys=True, allow_nan=False)


@lru_cache(maxsize=KEPT)
def _kept(text: str) -> str:
    return _CHILD.draw(text)


class _Child:
    """The child process; one drawing at a time."""

    def __init__(self) -> None:
        self._turn = threading.Lock()
        self._process: subprocess.Popen[str] | None = None
        self._rest: threading.Timer | None = None

    def draw(self, text: str) -> str:
        with self._turn:
            if self._rest is not None:
                self._rest.cancel()
            answer = self._ask(text)
            self._rest = threading.Timer(REST, self._end_if_idle)
            self._rest.daemon = True
            self._rest.start()
        if "svg" not in answer:
            raise NotDrawnError(answer.get("fault", "the converter ended"))
        return answer["svg"]

    def _ask(self, text: str) -> dict[str, str]:
        process = self._running()
        assert process.stdin is not None and process.stdout is not None
        limit = threading.Timer(PATIENCE, process.kill)
        limit.start()
        try:
            process.stdin.write(text + "\n")
            process.stdin.flush()
            line = process.stdout.readline()
        except OSError:
            line = ""
        finally:
            limit.cancel()
        if not line:
            self.end()
            return {}
        answer: dict[str, str] = json.loads(line)
        return answer

    def _running(self) -> subprocess.Popen[str]:
        if self._process is None or self._process.poll() is not None:
            self.end()
            command = [sys.executable, "-m", "loamwright.papers.drawing"]
            pipe = subprocess.PIPE
            self._process = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL, encoding="utf-8")
        return self._process

    def _end_if_idle(self) -> None:
        if self._turn.acquire(blocking=False):
            try:
                self.end()
            finally:
                self._turn.release()

    def end(self) -> None:
        """End the child, if there is one; the next drawing starts another."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                try:
                    stream.close()
                except OSError:  # what was left to write to a child that is gone
                    continue


_CHILD = _Child()
atexit.register(_CHILD.end)


def serve() -> None:
    """The child: a description a line in, a drawing a line out, until the program that started it is gone."""
    import vl_convert  # a whole script engine: only ever loaded in this process

    fonts = resources.files("loamwright.papers").joinpath("fonts")
    if fonts.is_dir():
        vl_convert.register_font_directory(str(fonts))
    for line in sys.stdin:
        try:
            answer = {"svg": vl_convert.vegalite_to_svg(json.loads(line), vl_version=VEGA_LITE, allowed_base_urls=[])}
        except ValueError as fault:
            answer = {"fault": str(fault)[:500]}
        sys.stdout.write(json.dumps(answer) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    sys.stdin.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    serve()
