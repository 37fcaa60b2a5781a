"""Drawings by the converter in its child process: the same bytes, no fetching, faults that end nothing."""

import threading
import time
import xml.etree.ElementTree as ET

import pytest

from loamwright.papers import drawing


def described(words: str = "dry", *, height: int = 100) -> dict:
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "data": {"values": [{"x": 1, "words": words}]},
        "height": height,
        "mark": "text",
        "encoding": {"x": {"field": "x", "type": "quantitative"}, "text": {"field": "words"}},
        "config": {"font": "Loam Text"},
    }


def test_a_description_becomes_svg_with_its_words_as_text():
    root = ET.fromstring(drawing.render_svg(described("a < b & c")))
    assert "a < b & c" in ["".join(each.itertext()) for each in root.iter("{http://www.w3.org/2000/svg}text")]


def test_same_bytes_from_another_child_and_kept_in_memory():
    first = drawing.render_svg(described("same"))
    drawing._CHILD.end()
    drawing._kept.cache_clear()
    assert drawing.render_svg(described("same")) == first
    started = time.perf_counter()
    assert drawing.render_svg(dict(reversed(described("same").items()))) is drawing.render_svg(described("same"))
    assert time.perf_counter() - started < 0.05
    assert drawing.key_of(described("same")) != drawing.key_of(described("other"))


def test_a_faulty_description_is_said_so_and_the_next_is_drawn():
    with pytest.raises(drawing.NotDrawnError):
        drawing.render_svg({"mark": 5})
    assert drawing.render_svg(described("after a fault")).startswith("<svg")


def test_nothing_is_fetched():
    with pytest.raises(drawing.NotDrawnError, match="not allowed"):
        drawing.render_svg({**described(), "data": {"url": "http://127.0.0.1:1/x.csv"}})


def test_a_child_that_died_is_replaced():
    drawing.render_svg(described("before"))
    process = drawing._CHILD._process
    assert process is not None
    process.kill()
    process.wait()
    assert drawing.render_svg(described("after")).startswith("<svg")
    assert drawing._CHILD._process is not process


def test_a_drawing_that_takes_too_long_ends_the_child_not_the_caller(monkeypatch):
    monkeypatch.setattr(drawing, "PATIENCE", 0.02)
    drawing._CHILD.end()
    with pytest.raises(drawing.NotDrawnError):
        drawing.render_svg(described("slow"))
    monkeypatch.undo()
    assert drawing.render_svg(described("slow")).startswith("<svg")


def test_a_child_at_rest_is_ended(monkeypatch):
    monkeypatch.setattr(drawing, "REST", 0.05)
    drawing.render_svg(described("rest"))
    process = drawing._CHILD._process
    assert process is not None
    process.wait(5)
    assert drawing._CHILD._process is None or drawing._CHILD._process is not process


def test_several_threads_each_get_their_own_drawing():
    found: dict[int, str] = {}

    def one(place: int) -> None:
        found[place] = drawing.render_svg(described(f"thread {place}", height=100 + place))

    threads = [threading.Thread(target=one, args=(place,)) for place in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join(30)
    assert sorted(found) == [0, 1, 2, 3] and all(f"thread {place}" in svg for place, svg in found.items())


def test_the_program_itself_never_loads_the_converter():
    import subprocess
    import sys

    code = "import sys, loamwright.web.app, loamwright.words.charts, loamwright.papers.drawing; print([m for m in ('altair', 'vl_convert') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
