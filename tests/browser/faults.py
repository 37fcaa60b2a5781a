"""A bad network between a real browser and the real program: it passes requests on, and does to pushes what it is told.

What it does to a push is decided by `decide(n)`, n counting pushes from 1:

- "pass": on to the program, its answer back.
- "lose": the program never sees it.
- "lose_answer": the program takes it, its answer never comes back.
- "fail": the program never sees it; the answer is a 500.
- "twice": the program gets it twice.
- "reverse": the program gets its entries in the opposite order.
- "late": lost now, and given to the program when `deliver_late()` is called.

`lose_form_answers` does to the forms of pages what "lose_answer" does to a push.
"""

import http.client
import json
import socket
import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, ClassVar
from urllib.parse import urlsplit

_HOP = {"connection", "keep-alive", "transfer-encoding", "content-length", "server", "date"}


class Network:
    """The network a phone is on: `address` is where the phone finds the program; `down` is no network at all."""

    def __init__(self, target: str) -> None:
        self.target = target
        self.down = False
        self.decide: Callable[[int], str] = lambda n: "pass"
        self.lose_form_answers = False
        self.pushes = 0
        self.did: list[str] = []
        self._late: list[tuple[str, dict[str, str], bytes]] = []
        self._lock = threading.Lock()
        handler = type("Handler", (_Handler,), {"network": self})
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        self._server.daemon_threads = True
        self.address = f"http://127.0.0.1:{self._server.server_address[1]}"
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()

    def next_deed(self) -> str:
        with self._lock:
            self.pushes += 1
            deed = self.decide(self.pushes)
            self.did.append(deed)
            return deed

    def keep_late(self, path: str, headers: dict[str, str], body: bytes) -> None:
        self._late.append((path, headers, body))

    def deliver_late(self) -> list[dict[str, Any]]:
        """What the program says to what was late."""
        late, self._late = self._late, []
        return [json.loads(self.forward("POST", *each)[2]) for each in late]

    def forward(self, method: str, path: str, headers: dict[str, str], body: bytes) -> tuple[int, list[tuple[str, str]], bytes]:
        connection = http.client.HTTPConnection(urlsplit(self.target).netloc, timeout=30)
        try:
            connection.request(method, path, body, headers)
            answer = connection.getresponse()
            return answer.status, answer.getheaders(), answer.read()
        finally:
            connection.close()


class _Handler(BaseHTTPRequestHandler):
    network: ClassVar[Network]

    def log_message(self, *_: Any) -> None:
        """Nothing: the tests say what they see."""

    def do_GET(self) -> None:
        self._pass_on()

    def do_POST(self) -> None:
        self._pass_on()

    def _pass_on(self) -> None:
        headers = dict(self.headers.items())
        body = self.rfile.read(int(headers.get("Content-Length", 0)))
        if self.network.down:
            return self._cut()
        deed = self.network.next_deed() if self.path == "/bench/push" else "pass"
        if deed == "lose":
            return self._cut()
        if deed == "late":
            self.network.keep_late(self.path, headers, body)
            return self._cut()
        if deed == "fail":
            return self._answer(500, [], b"")
        if deed == "reverse":
            sent = json.loads(body)
            body = json.dumps({**sent, "entries": sent["entries"][::-1]}).encode()
            headers["Content-Length"] = str(len(body))
        try:
            answer = self.network.forward(self.command, self.path, headers, body)
            if deed == "twice":
                answer = self.network.forward(self.command, self.path, headers, body)
        except OSError:  # the program is not there
            return self._cut()
        if self.network.lose_form_answers and "form" in headers.get("Content-Type", ""):
            return self._cut()
        return self._cut() if deed == "lose_answer" else self._answer(*answer)

    def _cut(self) -> None:
        self.close_connection = True
        self.connection.shutdown(socket.SHUT_RDWR)

    def _answer(self, status: int, headers: list[tuple[str, str]], body: bytes) -> None:
        try:
            self.send_response(status)
            for name, value in headers:
                if name.lower() not in _HOP:
                    self.send_header(name, value)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)
        except (BrokenPipeError, ConnectionResetError):
            self.close_connection = True
