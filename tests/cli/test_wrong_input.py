"""What cannot be taken is told in a sentence; nothing of it is kept."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from loamwright.words.said import said

CASES = [
    (("dig", "pan-test", "--about", "Red clay", "--wet", "5 stone", "--dry", "4 kg"), "--wet: The unit “stone” is not known"),
    (("dig", "pan-test", "--about", "Red clay", "--wet", "5 psi", "--dry", "4 kg"), "Pan with damp soil cannot be given in psi"),
    (("dig", "pan-test", "--about", "Red clay", "--wet", "5 kg"), "After drying again is missing: add --dry."),
    (("dig", "pan-test", "--about", "Red clay", "--wet", "heavy", "--dry", "4 kg"), "--wet: “heavy” cannot be read as a number"),
    (("dig", "pan-test", "--about", "chalk", "--wet", "5 kg", "--dry", "4 kg"), "fits “chalk”. There is: Bank sand"),
    (("dig", "stop-check", "--source", "Red clay", "--question", "smell", "--answer", "maybe"), "Answer cannot be “maybe”"),
    (("blend", "blend", "--parts", "Red clay"), "“Red clay” cannot be read as a row. Write it as SOURCE=PARTS."),
    (("blend", "blend", "--parts", "Red clay=2.5"), "Parts is “2.5”; it must be a whole number"),
    (("blend", "mix", "--blend", "five to two", "--dose", "0.06", "--basis", "of_dry_soil"), "could be 0.06 % or 6 %"),
    (("press", "cure-step", "--batches", "1", "--step", "misted"), "No batch opened fits “1”. There is: none yet."),
    (("weigh", "weighing"), "Batch is missing: add --batch."),
    (("today", "brief", "--n", "3.5"), "--n: Number of blocks is “3.5”"),
    (("break", "crush", "--on", "2026-02-31"), "that is not a day of the calendar"),
    (("dig", "show", "--project", "bridge"), "No project fits “bridge”. There is: School wall"),
    (("new", "--bucket", "only one"), "Name at least two buckets; 1 named so far"),
    (("rules", "show", "no_such_rule"), "no_such_rule"),
    (("answer", "dose_missed", "--verdict", "stands"), "0 open questions are called “dose_missed”"),
]


@pytest.mark.parametrize(("words", "sentence"), CASES, ids=lambda value: " ".join(value) if isinstance(value, tuple) else None)
def test_wrong_usage_is_exit_code_2_and_keeps_nothing(
    words: tuple[str, ...], sentence: str, run: Callable[..., Any], done: Callable[..., Any], wall: str
) -> None:
    before = done("doctor")["entries"]
    result = run(*words)
    assert result.exit_code == 2, result.output
    assert sentence in " ".join(result.output.split())
    assert done("doctor")["entries"] == before


def test_every_fault_of_a_line_is_told_at_once(run: Callable[..., Any], wall: str) -> None:
    said = run("dig", "pan-test", "--about", "chalk", "--wet", "x", "--dry", "").output
    assert "--about:" in said
    assert "--wet:" in said
    assert "add --dry" in said


def test_an_ambiguous_name_lists_what_fits(run: Callable[..., Any], done: Callable[..., Any], wall: str) -> None:
    done("dig", "source", "--name", "Red sand")
    result = run("dig", "pan-test", "--about", "red", "--wet", "1 kg", "--dry", "1 kg")
    assert result.exit_code == 2
    assert "“red” fits more than one" in result.output
    assert "Red clay (…" in result.output
    assert "Red sand (…" in result.output


def test_the_last_digits_of_an_id_tell_equal_names_apart(done: Callable[..., Any], run: Callable[..., Any], wall: str) -> None:
    twin = done("dig", "source", "--name", "Red clay")["kept"]
    assert run("dig", "pan-test", "--about", "Red clay", "--wet", "1 kg", "--dry", "1 kg").exit_code == 2
    kept = done("dig", "pan-test", "--about", twin[-8:], "--wet", "1.1 kg", "--dry", "1 kg")
    assert kept["fact"]["values"]["about"] == twin


def test_a_small_dose_with_its_unit_is_taken_as_said(done: Callable[..., Any], wall: str) -> None:
    words = ("blend", "mix", "--blend", "five to two", "--basis", "of_dry_soil", "--dose")
    assert done(*words, "0.5 %")["fact"]["values"]["dose_fraction"] == pytest.approx(0.005, rel=1e-12)
    assert done(*words, "0.06 fraction")["fact"]["values"]["dose_fraction"] == pytest.approx(0.06, rel=1e-12)
    assert done(*words, "0")["fact"]["values"]["dose_fraction"] == 0


def test_what_parses_is_kept_however_absurd_and_asked_about(done: Callable[..., Any], wall: str) -> None:
    kept = done("dig", "oversize", "--source", "Red clay", "--sample", "1 kg", "--retained", "2 kg")
    assert [each["grade"] for each in kept["questions"]] == ["impossible"]


def test_faults_that_are_no_wrong_usage_are_exit_code_1(run: Callable[..., Any], path: Any, tmp_path: Any) -> None:
    empty = run("dig", "show")
    assert (empty.exit_code, "There is no project" in empty.output) == (1, True)
    assert run("import", str(tmp_path / "nowhere.zip")).exit_code == 1
    torn = tmp_path / "torn.zip"
    torn.write_bytes(b"PK but not really")
    refused = run("import", str(torn))
    assert (refused.exit_code, "nothing was taken in" in refused.output) == (1, True)
    path.unlink()
    assert list(tmp_path.glob("bench.notebook*")) == []  # a command leaves no journal beside the notebook
    path.write_bytes(b"this is no database, only text" * 40)
    for words in (("projects",), ("doctor",), ("dig", "show")):
        result = run(*words)
        assert (result.exit_code, result.output.startswith("Error: ")) == (1, True), result.output


def test_places_that_cannot_be_written_are_told(run: Callable[..., Any], wall: str, tmp_path: Any) -> None:
    blocked = tmp_path / "a-file"
    blocked.write_text("x")
    for words in (
        ("projects", "--notebook", str(blocked / "bench.notebook")),
        ("backup", str(tmp_path / "no-folder" / "copy.notebook")),
        ("export", "School wall", str(tmp_path / "no-folder" / "wall.zip")),
    ):
        result = run(*words)
        assert (result.exit_code, result.output.startswith("Error: ")) == (1, True), result.output


def test_the_address_of_a_server_is_no_notebook_file(run: Callable[..., Any]) -> None:
    result = run("projects", "--notebook", "postgresql://bench/loam")
    assert (result.exit_code, "is an address" in result.output) == (2, True)


def test_an_unknown_entry_is_exit_code_1(run: Callable[..., Any], wall: str) -> None:
    for words in (("history", "ffff9999"), ("undo", "ffff9999")):
        result = run(*words)
        assert (result.exit_code, "No entry fits “ffff9999”" in result.output) == (1, True)


def test_every_fault_of_shell_and_cases_has_its_sentence() -> None:
    import loamwright

    root = Path(loamwright.__file__).parent
    codes = {
        code
        for folder in ("cli", "verify")
        for file in (root / folder).glob("*.py")
        for code in re.findall(r'InputError\(\s*"(\w+)"', file.read_text("utf-8"))
    }
    assert len(codes) > 15
    assert sorted(codes - set(said())) == []
