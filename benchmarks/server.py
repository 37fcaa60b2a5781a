"""The real server in a process of its own: time to be ready, pages cold and warm, memory."""

import contextlib
import html
import http.client
import re
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

# The least a FastAPI program can be: one route, served the same way.
BARE = """
import socket, uvicorn
from fastapi import FastAPI
app = FastAPI()
@app.get("/ready")
def ready(): return {"ready": "yes"}
with socket.socket() as listening:
    listening.bind(("127.0.0.1", 0)); listening.listen(128)
    print(f"at http://127.0.0.1:{listening.getsockname()[1]} ", flush=True)
    uvicorn.Server(uvicorn.Config(app, log_level="warning", access_log=False)).run(sockets=[listening])
"""
OURS = "from loamwright.cli.main import main; main()"


@dataclass(frozen=True)
class Running:
    """A server that answers: its port, its process, and how long it took to answer first. [s]"""

    port: int
    pid: int
    ready_after: float

    def get(self, address: str) -> tuple[int, str, float]:
        """Status, text (and where it sends on to), and time of one page. [s]"""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        began = time.perf_counter()
        connection.request("GET", address)
        answer = connection.getresponse()
        text = answer.read().decode("utf-8", "replace") + (answer.getheader("location") or "")
        took = time.perf_counter() - began
        connection.close()
        return answer.status, text, took

    def memory_mb(self) -> tuple[float, float]:
        """Memory in use now, and the most it ever was. [MB]"""
        said = Path(f"/proc/{self.pid}/status").read_text()
        now, most = (int(re.findall(rf"{name}:\s+(\d+) kB", said)[0]) / 1024 for name in ("VmRSS", "VmHWM"))
        return now, most


@contextlib.contextmanager
def running(*arguments: str) -> Iterator[Running]:
    """A server started by `python -c`, until the block ends."""
    began = time.perf_counter()
    server = subprocess.Popen([sys.executable, "-c", *arguments], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    try:
        assert server.stdout is not None
        line = next(each for each in server.stdout if "http://127.0.0.1:" in each)
        port = int(re.findall(r":(\d+)", line)[0])
        found = Running(port, server.pid, 0.0)
        found.get("/ready")  # the socket already listens, so this waits until the program answers
        yield Running(port, server.pid, time.perf_counter() - began)
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(timeout=20)
        if server.stdout is not None:
            server.stdout.close()


def ours(notebook: Path, *more: str) -> "contextlib.AbstractContextManager[Running]":
    """Our server on a notebook."""
    return running(OURS, "serve", "--notebook", str(notebook), "--port", "0", *more)


def bare() -> "contextlib.AbstractContextManager[Running]":
    """A FastAPI program with a single route."""
    return running(BARE)


@dataclass(frozen=True)
class Page:
    """One address: the first time, and the median of the next. [s]"""

    address: str
    cold: float
    warm: float


def walk(server: Running, *, most: int = 80, again: int = 5) -> list[Page]:
    """Every page of the demo that can be reached by links, each once cold and then warm."""
    _, start, _ = server.get("/")
    project = re.findall(r"/p/[0-9a-f-]{36}", start)[0]
    waiting, pages = [f"{project}/today"], list[Page]()
    sorts = {sort_of(waiting[0])}
    while waiting and len(pages) < most:
        address = waiting.pop(0)
        status, text, cold = server.get(address)
        if status != 200 or "<html" not in text:
            continue
        warm = statistics.median(server.get(address)[2] for _ in range(again))
        pages.append(Page(sort_of(address.removeprefix(project)), cold, warm))
        for each in map(html.unescape, re.findall(r'href="([^"#]+)', text)):
            # One of each sort of page: entries, batches and blocks are many and alike.
            if each.startswith(project) and sort_of(each) not in sorts:
                sorts.add(sort_of(each))
                waiting.append(each)
    return pages


def sort_of(address: str) -> str:
    """An address without its ids and without what stands after the question mark."""
    return re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}", "…", address.split("?")[0])
