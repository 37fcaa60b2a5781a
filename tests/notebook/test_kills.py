"""Killed writers lose nothing they acknowledged: most are writer processes, a few the real server while forms are sent.

A kill proves a crash, not a power cut; studies/kills says so at more length and does it a thousand times.
"""

import contextlib
import http.client
import random
import signal
import subprocess
import sys
import threading
import time
import urllib.parse
from datetime import UTC, datetime
from pathlib import Path

import pytest
from studies.kills.killing import kill_writers

from loamwright.notebook.connect import journal_for, sqlite_module
from loamwright.notebook.entry import new_id
from loamwright.notebook.store import open_notebook, read_entries
from loamwright.project.desk import Desk, Hand

HERE = Path(__file__).parents[2]


@pytest.mark.slow
def test_a_hundred_kills_of_a_writer(tmp_path: Path) -> None:
    found = kill_writers(tmp_path / "bench.notebook", 100, seed=random.randrange(2**32), check_each=5)
    assert found.kills == 100
    assert found.acknowledged >= 100, "the kills came before anything was written"
    assert found.missing == []
    assert found.faults == []
    assert found.journal.upper() == journal_for(sqlite_module().sqlite_version_info).mode


def start_server(path: Path) -> tuple["subprocess.Popen[str]", int]:
    command = [
        sys.executable,
        "-c",
        "from loamwright.cli.main import main; main()",
        "serve",
        "--notebook",
        str(path),
        "--port",
        "0",
    ]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, cwd=HERE)
    assert server.stdout is not None
    for line in server.stdout:
        if "http://127.0.0.1:" in line:
            return server, int(line.split("http://127.0.0.1:")[1].split()[0].rstrip("/"))
    raise AssertionError("the server ended before it said its address")


def send_notes(port: int, project: str, acknowledged: list[str]) -> None:
    """Send forms one after another until the server is gone; an entry is acknowledged by the 303 that answers its form."""
    with contextlib.suppress(OSError, http.client.HTTPException):
        while True:
            entry_id = new_id()
            form = urllib.parse.urlencode({"text": "dry wind", "entry_id": entry_id})
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
            try:
                headers = {"Content-Type": "application/x-www-form-urlencoded"}
                connection.request("POST", f"/p/{project}/write/note", form, headers)
                answer = connection.getresponse()
                assert answer.status == 303, f"the form was answered with {answer.status}"
                acknowledged.append(entry_id)
            finally:
                connection.close()


@pytest.mark.slow
def test_kills_of_the_server_while_forms_are_sent(tmp_path: Path) -> None:
    path = tmp_path / "bench.notebook"
    book = open_notebook(path)
    desk = Desk(book)
    first = desk.open_project({"name": "Wall"}, Hand(datetime.now(UTC), by="MB"))
    desk.keep([first])
    book.close()
    acknowledged: list[str] = []
    for wait in (0.4, 0.15, 0.6):
        before = len(acknowledged)
        server, port = start_server(path)
        clients = [threading.Thread(target=send_notes, args=(port, first.id, acknowledged)) for _ in range(2)]
        try:
            for client in clients:
                client.start()
            until = time.monotonic() + 30
            while len(acknowledged) == before and time.monotonic() < until:
                time.sleep(0.01)
            time.sleep(wait)
        finally:
            server.send_signal(signal.SIGKILL)
            server.wait()
            for client in clients:
                client.join()
            if server.stdout is not None:
                server.stdout.close()
        assert len(acknowledged) > before, "nothing was acknowledged before the kill"
    again = open_notebook(path)
    kept = {entry.id for entry in read_entries(again)[0]}
    assert set(acknowledged) <= kept
    with again.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar_one() == "ok"
    again.close()
