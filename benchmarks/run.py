"""`make bench`: measure, print, and write benchmarks/results.md; exit 1 where a promise is not kept."""

import gc
import os
import platform
import re
import statistics
import subprocess
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from benchmarks.entries import PROJECT, amount, season
from benchmarks.phone import SLOWED, come_up
from benchmarks.server import bare, ours, walk
from benchmarks.soils import DRAWS, ROWS, believed, classified, one_by_one, searched
from loamwright.notebook.entry import write
from loamwright.notebook.kinds import VERBS
from loamwright.project.state import State, fold

HERE = Path(__file__).parent
ENTRIES = 20_000


@dataclass(frozen=True)
class Figure:
    """One measurement with its promise (no number where it is only stated)."""

    what: str
    value: float
    unit: str
    most: float | None = None

    @property
    def kept(self) -> bool:
        return self.most is None or self.value <= self.most

    @property
    def row(self) -> str:
        promise = "stated" if self.most is None else f"at most {self.most:g} {self.unit}"
        return f"| {self.what} | {self.value:.3g} {self.unit} | {promise} | {'yes' if self.kept else 'NO'} |"


def median_ms(times: int, work: Callable[[], object]) -> float:
    """Median time of a piece of work. [ms]"""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return 1000 * statistics.median(taken)


def help_figures() -> list[Figure]:
    """The first thing anybody types, over an interpreter that does nothing."""
    program = Path(sys.executable).with_name("loamwright")
    ours_ms = median_ms(11, lambda: subprocess.run([str(program), "--help"], capture_output=True, check=True))
    bare_ms = median_ms(11, lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    return [Figure("`loamwright --help` over a bare interpreter", ours_ms - bare_ms, "ms", 150)]


def server_figures() -> tuple[list[Figure], str]:
    """The server on a notebook that is there against a bare FastAPI program, then the demo page by page."""
    bare_s, ours_s, first_s = [], [], []
    with tempfile.TemporaryDirectory() as folder:
        for number in range(7):
            with bare() as server:
                bare_s.append(server.ready_after)
            with ours(Path(folder) / f"{number}.notebook") as server:
                first_s.append(server.ready_after)
            with ours(Path(folder) / f"{number}.notebook") as server:
                ours_s.append(server.ready_after)
    with tempfile.TemporaryDirectory() as folder, ours(Path(folder) / "demo.notebook", "--demo") as server:
        pages = walk(server)
        now, most = server.memory_mb()
    ratio = statistics.median(ours_s) / statistics.median(bare_s)
    slow, cold = max(pages, key=lambda page: page.warm), max(pages, key=lambda page: page.cold)
    rows = "\n".join(f"| `{page.address}` | {1000 * page.cold:.0f} | {1000 * page.warm:.1f} |" for page in pages)
    figures = [
        Figure("server ready, over a bare FastAPI program", ratio, "times", 3),
        Figure("server ready", statistics.median(ours_s), "s"),
        Figure("server ready the first time, making its notebook", statistics.median(first_s), "s"),
        Figure(f"demo, warm: median of {len(pages)} pages", 1000 * statistics.median(page.warm for page in pages), "ms", 50),
        Figure(f"demo, warm: slowest page (`{slow.address}`)", 1000 * slow.warm, "ms", 50),
        Figure("demo, cold: median page", 1000 * statistics.median(page.cold for page in pages), "ms"),
        Figure(f"demo, cold: slowest page (`{cold.address}`)", 1000 * cold.cold, "ms"),
        Figure("server memory after all pages of the demo", now, "MB", 250),
        Figure("server memory at its most", most, "MB"),
    ]
    return figures, f"| page of the demo | cold, ms | warm, ms |\n|---|---|---|\n{rows}\n"


def phone_figures() -> list[Figure]:
    """Pages of the demo on a phone slowed four times, nothing kept from before."""
    with tempfile.TemporaryDirectory() as folder, ours(Path(folder) / "demo.notebook", "--demo") as server:
        project = re.findall(r"/p/[0-9a-f-]{36}", server.get("/")[1])[0]
        paths = [f"{project}/{verb}" for verb in ("today", *VERBS[1:])] + ["/bench"]
        times = come_up(f"http://127.0.0.1:{server.port}", paths)
    slowest = max(times, key=lambda path: times[path])
    name = slowest.removeprefix(project)
    return [
        Figure(f"phone slowed {SLOWED} times: median of {len(times)} pages", statistics.median(times.values()), "s", 2),
        Figure(f"phone slowed {SLOWED} times: slowest page (`{name}`)", times[slowest], "s", 2),
    ]


def fold_figures() -> list[Figure]:
    """Folding a large project from nothing, its memory, and one entry more."""
    entries = season(ENTRIES)
    fold(entries[:100], PROJECT)
    times = []
    for _ in range(7):
        gc.collect()
        began = time.perf_counter()
        fold(entries, PROJECT)
        times.append(time.perf_counter() - began)
    tracemalloc.start()
    before, _ = tracemalloc.get_traced_memory()
    state = fold(entries, PROJECT)
    after, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    batch = state.all("batch")[-1].id
    body = {"batch": batch, "what": "water", "mass": amount(0.1, "kg")}
    more = [write("weighing", body, project=PROJECT, moment=state.moment(state.all("batch")[-1])) for _ in range(50)]
    one, looked = _one_more(state, more, batch)
    return [
        Figure(f"folding {ENTRIES} entries", statistics.median(times), "s", 0.3),
        Figure(f"memory of {ENTRIES} folded entries", (after - before) / 1e6, "MB", 50),
        Figure("memory while folding, at its most", (peak - before) / 1e6, "MB", 50),
        Figure("one entry more", one, "ms", 5),
        Figure("the first look at a batch's weighings after it", looked, "ms"),
    ]


def soil_figures() -> list[Figure]:
    """One belief, the search for a blend against the same search ratio by ratio, a million rows of texture."""
    search_ms, loop_ms = median_ms(7, searched()), median_ms(3, one_by_one(DRAWS))
    return [
        Figure("belief of one soil, a jar and a guess", median_ms(7, believed()), "ms", 150),
        Figure("search of 1537 ratios of four sources", search_ms, "ms", 200),
        Figure("search over the same, ratio by ratio on all draws", search_ms / loop_ms, "times", 0.25),
        Figure("search over the same, ratio by ratio on the screen's draws", search_ms / median_ms(3, one_by_one(500)), "times"),
        Figure(f"{ROWS:,} rows of texture", median_ms(5, classified()) / 1000, "s", 1),
    ]


def _one_more(state: State, more: list, batch: str) -> tuple[float, float]:  # type: ignore[type-arg]
    grow, look = [], []
    for entry in more:
        began = time.perf_counter()
        state = state.grown([entry])
        grown = time.perf_counter()
        state.where("weighing", "batch", batch)
        look.append(time.perf_counter() - grown)
        grow.append(grown - began)
    return 1000 * statistics.median(grow), 1000 * statistics.median(look)


def main() -> None:
    """Measure everything and write the results."""
    figures = [*help_figures(), *fold_figures(), *soil_figures()]
    served, pages = server_figures()
    figures += [*served, *phone_figures()]
    machine = f"Python {platform.python_version()}, {platform.system()} {platform.machine()}, {os.cpu_count()} cores"
    text = (
        "# Benchmarks\n\nWritten by `make bench`; medians of several runs, on one machine.\n\n"
        f"{machine}.\n\n| what | measured | promised | kept |\n|---|---|---|---|\n"
        + "\n".join(figure.row for figure in figures)
        + f"\n\nCold is the first time a page is opened after the server started, warm the median of the next five.\n\n{pages}"
    )
    (HERE / "results.md").write_text(text, encoding="utf-8")
    print(text)
    if not all(figure.kept for figure in figures):
        raise SystemExit(1)


if __name__ == "__main__":
    main()
