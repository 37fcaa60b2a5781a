"""Wrong commands over all verbs: exit code 2 or 1, a sentence on the error stream, never a traceback, nothing lost or kept.

Every line is the exit code, a piece of the sentence, and the words typed. "RED" and the like stand for ids of the fixture's
entries, so that an id of another kind can be typed where it does not belong.
"""

from collections.abc import Callable
from typing import Any

import pytest

PAN = ("dig", "pan-test", "--about", "Red clay")
BLOCK = ("press", "block", "--batch", "1", "--mark", "18")
CRUSH = ("break", "crush", "--block", "18", "--condition", "dry", "--piece", "whole")
LONG = "clay " * 2000  # 10 kB
SCRIPT = "<script>alert(1)</script>"
TURNED = "gravel \u202etxt.exe"

CASES: list[tuple[int, str, tuple[str, ...]]] = [
    # --- missing ---
    (2, "'--wet' requires an argument", (*PAN, "--wet")),
    (2, "add --dry", (*PAN, "--wet", "5 kg")),
    (2, "add --wet", (*PAN, "--dry", "5 kg")),
    (2, "add --name", ("dig", "source")),
    (2, "add --mass", ("weigh", "weighing", "--batch", "1", "--what", "soil")),
    (2, "add --parts", ("blend", "blend")),
    (2, "add --basis", ("blend", "mix", "--blend", "five to two", "--dose", "6 %")),
    (2, "add --usable-volume", ("make", "mixer", "--name", "drum")),
    (2, "add --green-mass", (*BLOCK, "--height", "100 mm")),
    (2, "add --piece", ("break", "crush", "--block", "18", "--condition", "dry")),
    (2, "add --fill", ("shake", "jar", "--source", "Red clay", "--water", "220 mm", "--added", "nothing")),
    (2, "add --text", ("today", "note")),
    (2, "FILE", ("import",)),
    (2, "FILE", ("export", "School wall")),
    (2, "QUESTION", ("answer",)),
    # --- units ---
    (2, "“stone”", (*PAN, "--wet", "5 stone", "--dry", "4 kg")),
    (2, "cannot be given in psi", (*PAN, "--wet", "5 psi", "--dry", "4 kg")),
    (2, "cannot be given in kg", ("press", "press", "--name", "ram", "--how", "gauge", "--mould-length", "3 kg", "--mould-width", "1 in")),
    (2, "cannot be given in mm", (*CRUSH, "--load", "20 mm")),
    (2, "cannot be given in kN", ("today", "brief", "--mean-least", "20 kN")),
    (2, "“furlongs”", ("dig", "source", "--name", "pit", "--distance", "3 furlongs")),
    (2, "could be", ("blend", "mix", "--blend", "five to two", "--dose", "0.06", "--basis", "of_dry_soil")),
    # --- choices ---
    (2, "maybe", ("dig", "stop-check", "--source", "Red clay", "--question", "smell", "--answer", "maybe")),
    (2, "gypsum", ("dig", "stabiliser", "--name", "plaster", "--type", "gypsum")),
    (2, "yes, no", ("dig", "stabiliser", "--name", "c", "--type", "cement", "--sealed", "perhaps")),
    (2, "third", ("break", "crush", "--block", "18", "--condition", "dry", "--piece", "third")),
    (2, "huge", ("weigh", "plan", "--size", "huge", "--seed", "1")),
    (2, "gravel", ("shake", "guess", "--source", "Red clay", "--soil-class", "gravel")),
    (2, "0 open questions are called", ("answer", "dose_missed", "--verdict", "never")),
    # --- days ---
    (2, "not a day of the calendar", (*CRUSH, "--on", "2026-02-31")),
    (2, "not a day of the calendar", (*CRUSH, "--on", "2026-02-30")),
    (2, "31/12/2026", (*CRUSH, "--on", "31/12/2026")),
    (2, "tomorrow", (*CRUSH, "--on", "tomorrow")),
    (2, "25:00", (*BLOCK, "--green-mass", "2 kg", "--height", "1 in", "--pressed-at", "2026-03-04T25:00")),
    (2, "20260304", ("dig", "stabiliser", "--name", "c", "--type", "cement", "--bag-date", "20260304")),
    # --- numbers ---
    *((2, "cannot be read as a number", (*PAN, "--wet", f"{typed} kg", "--dry", "4 kg")) for typed in ("1,234.5", "nan", "inf", "1e400", "five", "--5", "5;6", "0x1F", "5 5", "1/2/3")),
    (2, "1/0", (*PAN, "--wet", "1/0 kg", "--dry", "4 kg")),
    (2, "9999", (*PAN, "--wet", f"{'9' * 5000} kg", "--dry", "4 kg")),
    (2, "must be a whole number", ("blend", "blend", "--parts", "Red clay=2.5")),
    (2, "must be a whole number", ("today", "brief", "--n", "1e15")),
    (2, "must be a whole number", ("today", "brief", "--age-days", "28.5")),
    (2, "cannot be read as a row", ("blend", "blend", "--parts", "Red clay")),
    (2, "add --parts", ("blend", "blend", "--parts", "")),
    # --- names and ids ---
    (2, "fits “chalk”", ("dig", "pan-test", "--about", "chalk", "--wet", "5 kg", "--dry", "4 kg")),
    (2, "fits “RED”", ("weigh", "weighing", "--batch", "RED", "--what", "soil", "--mass", "5 kg")),
    (2, "fits “RED”", ("break", "crush", "--block", "RED", "--condition", "dry", "--piece", "whole")),
    (2, "fits “BATCH”", ("blend", "mix", "--blend", "BATCH", "--dose", "6 %", "--basis", "of_dry_soil")),
    (2, "fits “BATCH”", ("dig", "oversize", "--source", "BATCH", "--sample", "1 kg", "--retained", "10 g")),
    (2, "No project fits “bridge”", ("today", "show", "--project", "bridge")),
    (2, "No project fits “RED”", ("today", "show", "--project", "RED")),
    (1, "No entry fits “ffff9999”", ("history", "ffff9999")),
    (1, "No entry fits “ffff9999”", ("undo", "ffff9999")),
    (2, "No entry fits", ("dig", "source", "--correct", "ffff9999", "--name", "x")),
    (2, "dose_missed", ("answer", "dose_missed", "--verdict", "stands")),
    (2, "“../../etc/passwd”", ("dig", "pan-test", "--about", "../../etc/passwd", "--wet", "5 kg", "--dry", "4 kg")),
    (2, SCRIPT, ("dig", "pan-test", "--about", SCRIPT, "--wet", "5 kg", "--dry", "4 kg")),
    (2, "🧱", ("dig", "pan-test", "--about", "🧱", "--wet", "5 kg", "--dry", "4 kg")),
    (2, "\u202c", ("dig", "pan-test", "--about", TURNED, "--wet", "5 kg", "--dry", "4 kg")),
    (2, "10 kB", ("dig", "pan-test", "--about", LONG, "--wet", "5 kg", "--dry", "4 kg")),
    (2, "10 kB", (*PAN, "--wet", LONG, "--dry", "4 kg")),
    (2, "10 kB", ("today", "show", "--project", LONG)),
    (2, "add --about", ("dig", "pan-test", "--about", " ", "--wet", "5 kg", "--dry", "4 kg")),
    # --- commands and files ---
    (2, "No such command", ("bake",)),
    (2, "No such command", ("dig", "hole")),
    (2, "No such option", ("dig", "source", "--colour", "red")),
    (2, "Name at least two buckets", ("new", "--bucket", "only one")),
    (2, "no_such_rule", ("rules", "show", "no_such_rule")),
    (1, "nowhere.zip", ("import", "/nowhere/nowhere.zip")),
    (2, "is a directory", ("import", "/")),
    (1, "/nowhere", ("export", "School wall", "/nowhere/wall.zip")),
    (1, "/nowhere", ("backup", "/nowhere/copy.notebook")),
    (2, "is an address", ("projects", "--notebook", "postgresql://bench/loam")),
    (1, "nowhere", ("verify", "/nowhere/cases.toml")),
    (2, "99999", ("serve", "--port", "99999")),
]  # fmt: skip


@pytest.fixture
def ids(done: Callable[..., Any], wall: str) -> dict[str, str]:
    """A weighed batch and a block beside the wall's soils; their ids by the words the cases use."""
    red = next(each["id"] for each in done("dig", "show")["facts"]["source"] if each["name"] == "Red clay")
    batch = done("weigh", "batch", "--mix", "five to two", "--soil-wanted", "10 kg")["kept"]
    done("press", "block", "--batch", "1", "--mark", "18", "--green-mass", "2.2 kg", "--height", "100 mm")
    return {"RED": red, "BATCH": batch}


def test_wrong_commands_end_in_a_sentence_and_lose_nothing(
    run: Callable[..., Any], done: Callable[..., Any], ids: dict[str, str]
) -> None:
    assert len(CASES) >= 60
    before = done("doctor")["entries"]
    wrong = []
    for code, piece, words in CASES:
        result = run(*(ids.get(word, word) for word in words))
        said = " ".join(result.stderr.split())
        for word, entity in ids.items():
            piece = piece.replace(word, entity)
        if result.exit_code != code or piece not in said or "Traceback" in said or result.stdout.strip():
            wrong.append(
                (words if len(str(words)) < 200 else words[:2], code, piece, result.exit_code, said[:400], result.stdout[:80])
            )
        elif len(result.stderr) > 2_000:
            wrong.append((words[:2], "longer than a person reads", len(result.stderr)))
    assert wrong == []
    assert done("doctor")["entries"] == before
    assert done("doctor")["integrity"] == "ok"


@pytest.mark.parametrize("text", [LONG, SCRIPT, TURNED, "=1+1", "🧱", "../../etc", "{0.__class__}", "two\nlines"])
def test_odd_names_are_names(run: Callable[..., Any], done: Callable[..., Any], wall: str, text: str) -> None:
    kept = done("dig", "source", "--name", text)
    assert kept["fact"]["values"]["name"] == text.strip()
    shown = run("dig", "show")
    assert shown.exit_code == 0
    assert len(shown.output) < 10_000
    digits = kept["kept"][-8:]
    assert done("dig", "pan-test", "--about", digits, "--wet", "5 kg", "--dry", "4 kg")["fact"]["values"]["about"] == kept["kept"]
    assert run("history", digits).exit_code == 0
