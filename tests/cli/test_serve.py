"""`loamwright serve`: the pages on loopback, as its own process; a taken port is one sentence."""

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any


def test_a_taken_port_is_told(run: Callable[..., Any]) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        result = run("serve", "--port", str(port))
    assert result.exit_code == 1
    assert f"Port {port} cannot be used" in result.output


def test_it_opens_with_the_demo_and_stops_on_request(path: Path) -> None:
    environment = {**os.environ, "LOAMWRIGHT_NOTEBOOK": str(path), "PYTHONUNBUFFERED": "1"}
    command = [sys.executable, "-c", "from loamwright.cli.main import main; main()", "serve", "--port", "0", "--demo"]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as served:
        try:
            assert served.stdout is not None
            found = re.search(r"http://127\.0\.0\.1:\d+", served.stdout.readline())
            assert found is not None
            with urllib.request.urlopen(f"{found[0]}/ready", timeout=20) as answer:
                assert answer.status == 200
        finally:
            served.send_signal(signal.SIGINT)
            served.wait(timeout=20)
    assert path.exists()
