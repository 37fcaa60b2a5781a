"""Files and folders that may not be written: a sentence, nothing lost, and `doctor` tells it.

Root may write everywhere, so the program is started without that power: its process keeps its user and loses the capability
to pass over modes (Linux capabilities 1 and 2, capabilities(7)). For any other user the modes alone do it.
"""

import ctypes
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

Bound = Callable[..., subprocess.CompletedProcess[str]]
DROP_BOUNDING = 24  # prctl(2), PR_CAPBSET_DROP


def _bound_by_modes() -> None:
    if os.geteuid() == 0:
        for capability in (1, 2):
            ctypes.CDLL(None, use_errno=True).prctl(DROP_BOUNDING, capability, 0, 0, 0)


def python(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, preexec_fn=_bound_by_modes, timeout=60, check=False
    )


@pytest.fixture
def bound(path: Path) -> Bound:
    """The program bound by modes, on the test's notebook."""
    return lambda *words: python("-m", "loamwright", *words, "--notebook", str(path))


@pytest.fixture(params=["file", "folder", "both"])
def closed(request: pytest.FixtureRequest, done: Callable[..., Any], wall: str, path: Path) -> Iterator[str]:
    """The wall's notebook with its file, its folder or both closed for writing; which it is."""
    places = {"file": [path], "folder": [path.parent], "both": [path, path.parent]}[request.param]
    modes = {place: place.stat().st_mode & 0o777 for place in places}
    for place in places:
        place.chmod(0o555 if place.is_dir() else 0o444)
    yield request.param
    for place, mode in modes.items():
        place.chmod(mode)


def test_the_power_to_pass_over_modes_is_really_gone(tmp_path: Path) -> None:
    shut = tmp_path / "shut"
    shut.write_text("x")
    shut.chmod(0)
    assert "PermissionError" in python("-c", f"open({str(shut)!r})").stderr


def test_nothing_is_kept_and_a_sentence_says_why(bound: Bound, closed: str, path: Path) -> None:
    before = sha256(path.read_bytes()).hexdigest()
    result = bound("dig", "source", "--name", "White sand")
    assert result.returncode == 1
    assert result.stdout == ""
    assert result.stderr.startswith("Error: The notebook ")
    assert "Nothing " in result.stderr and "was kept" in result.stderr
    assert "Traceback" not in result.stderr
    assert sha256(path.read_bytes()).hexdigest() == before


def test_doctor_tells_it(bound: Bound, closed: str) -> None:
    result = bound("doctor")
    assert (result.returncode, result.stderr) == (1, "")
    assert "It cannot be written here" in result.stdout


def test_a_page_gives_back_what_was_typed(wall: str, path: Path) -> None:
    """Opened while it could be written, closed afterwards: as a stick that is locked, or a folder whose rights are changed."""
    code = f"""
import os, pathlib
from starlette.testclient import TestClient
from loamwright.notebook.store import open_notebook
from loamwright.project.desk import Desk
from loamwright.web.app import create_app
path = pathlib.Path({str(path)!r})
desk = Desk(open_notebook(path)); desk.projects(); desk.notebook.engine.dispose()
path.chmod(0o444); path.parent.chmod(0o555)
client = TestClient(create_app(desk), follow_redirects=False)
answer = client.post("/p/{wall}/write/note", data={{"text": "dry wind"}})
print(answer.status_code, "Nothing of this was kept" in answer.text or "Nothing was kept" in answer.text, "dry wind" in answer.text)
"""
    result = python("-c", code)
    path.parent.chmod(0o755)
    assert result.stdout == "503 True True\n", result.stderr[-2000:]


def test_places_to_write_to_are_told(bound: Bound, wall: str, path: Path) -> None:
    shut = path.parent / "shut"
    shut.mkdir(mode=0o555)
    for words in (("backup", str(shut / "copy.notebook")), ("export", "School wall", str(shut / "wall.zip"))):
        result = bound(*words)
        assert (result.returncode, "cannot be written: Permission denied" in result.stderr) == (1, True), result.stderr
    assert list(shut.iterdir()) == []


def test_places_nobody_may_look_into_are_told(bound: Bound, wall: str, path: Path) -> None:
    shut = path.parent / "shut"
    shut.mkdir()
    (shut / "wall.zip").write_bytes(b"x")
    shut.chmod(0)
    for words in (
        ("import", str(shut / "wall.zip")),
        ("backup", str(shut / "copy.notebook")),
        ("verify", str(shut / "cases.toml")),
    ):
        result = bound(*words)
        assert (result.returncode, result.stdout) in ((1, ""), (2, "")), result.stderr
        assert "Traceback" not in result.stderr and "Error: " in result.stderr
    for verb in ("doctor", "projects"):
        result = python("-m", "loamwright", verb, "--notebook", str(shut / "bench.notebook"))
        assert result.returncode == 1
        assert "Traceback" not in result.stderr
        assert "cannot be" in result.stdout + result.stderr
    shut.chmod(0o755)
