"""Corrections, undoing, histories: nothing is overwritten."""

from collections.abc import Callable
from typing import Any

import pytest


def test_a_correction_changes_only_what_it_names(done: Callable[..., Any], run: Callable[..., Any], wall: str) -> None:
    first = done("dig", "pan-test", "--about", "Red clay", "--wet", "530 g", "--dry", "500 g", "--scale-step", "1 g")["kept"]
    kept = done("dig", "pan-test", "--correct", first, "--wet", "525 g", "--because", "read wrong")
    assert kept["fact"]["id"] == first
    assert kept["fact"]["values"]["wet_kg"] == pytest.approx(0.525, rel=1e-12)
    assert kept["fact"]["values"]["dry_kg"] == pytest.approx(0.5, rel=1e-12)
    lines = done("history", first)["versions"]
    assert [line["counts"] for line in lines] == [False, True]
    assert lines[1]["reason"] == "read wrong"
    assert lines[1]["by"] == "MB"
    assert "counts" in run("history", first).output


def test_an_empty_text_takes_a_value_away(done: Callable[..., Any], wall: str) -> None:
    first = done("dig", "pan-test", "--about", "Red clay", "--wet", "530 g", "--dry", "500 g", "--scale-step", "1 g")["kept"]
    kept = done("dig", "pan-test", "--correct", first[-8:], "--scale-step", "")
    assert "scale_step_kg" not in kept["fact"]["values"]
    assert "wet_kg" in kept["fact"]["values"]


def test_undo_of_a_first_entry_and_of_a_correction(done: Callable[..., Any], run: Callable[..., Any], wall: str) -> None:
    first = done("today", "note", "--text", "dry wind")["kept"]
    second = done("today", "note", "--correct", first, "--text", "wet wind")["kept"]
    assert done("undo", second)["counts"] is not None
    notes = done("today", "show")["facts"]["note"]
    assert [note["values"]["text"] for note in notes] == ["dry wind"]
    again = run("undo", second)
    assert again.exit_code == 1
    assert "Something newer already stands" in again.output
    head = notes[0]["entry"]
    done("undo", head)
    assert done("history", first)["versions"][-1]["counts"]


def test_an_entry_of_an_older_project_is_found_without_naming_it(done: Callable[..., Any], wall: str) -> None:
    note = done("today", "note", "--text", "first wall")["kept"]
    done("new", "--bucket", "C", "--bucket", "D")
    assert done("history", note)["project"] == wall
    assert done("today", "note", "--correct", note, "--text", "second thoughts")["project"] == wall


def test_a_correction_needs_the_command_of_its_kind(run: Callable[..., Any], done: Callable[..., Any], wall: str) -> None:
    note = done("today", "note", "--text", "dry wind")["kept"]
    wrong = run("dig", "source", "--correct", note, "--name", "x")
    assert wrong.exit_code == 2
    assert "not a source" in wrong.output
    nothing = run("today", "note", "--correct", note)
    assert nothing.exit_code == 2
    assert "Nothing to correct" in nothing.output
