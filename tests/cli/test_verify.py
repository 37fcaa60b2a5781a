"""`loamwright verify`: the shipped cases agree, a doctored case is named, what cannot be run is said."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from loamwright.verify.cases import shipped_cases
from loamwright.verify.operations import operations

BENDING = """
[[case]]
id = "mine-01"
topic = "block-tests"
title = "Three-point bending"
kind = "definition"
source = ""
known = "memory"
operation = "bending_strength"

[case.inputs]
F_N = 2600
span_mm = 240
b_mm = 140
h_mm = 90

[case.expected]
bending_MPa = 0.825

[case.tolerance]
rel = 0.001
"""  # 1.5 · 2600 · 240 / (140 · 90²) = 0.8254 MPa


def write(tmp_path: Path, text: str) -> str:
    file = tmp_path / "cases.toml"
    file.write_text(text, "utf-8")
    return str(file)


def test_the_shipped_cases_agree(run: Callable[..., Any]) -> None:
    result = run("verify")
    assert result.exit_code == 0, result.output
    for case in shipped_cases():
        assert f"{case.id}  " in result.output
    assert "0 differ, 0 not run, 2 listed as facts" in result.output
    assert "block-05  fact, no operation" in result.output


def test_a_file_of_ones_own(run: Callable[..., Any], tmp_path: Path) -> None:
    result = run("verify", write(tmp_path, BENDING))
    assert result.exit_code == 0, result.output
    assert "published 0.825" in result.output
    assert "computed  0.825397" in result.output


def test_units_are_read_from_the_names(run: Callable[..., Any], tmp_path: Path) -> None:
    """The same block in inches and pounds force: 1.5 · 500 · 10 / (10 · 4²) = 46.875 psi."""
    text = BENDING.replace("F_N = 2600", "F_lbf = 500").replace("span_mm = 240", "span_in = 10")
    text = text.replace("b_mm = 140", "b_in = 10").replace("h_mm = 90", "h_in = 4")
    text = text.replace("bending_MPa = 0.825", "bending_psi = 46.875").replace("rel = 0.001", "rel = 1e-9")
    assert run("verify", write(tmp_path, text)).exit_code == 0


def test_a_doctored_case_is_named(run: Callable[..., Any], tmp_path: Path) -> None:
    result = run("verify", write(tmp_path, BENDING.replace("0.825", "0.835")))
    assert result.exit_code == 1
    assert "mine-01  DIFFERS" in result.output
    assert "OFF bending_MPa" in result.output


@pytest.mark.parametrize("case", [case for case in shipped_cases() if case.operation != "fact"], ids=lambda case: case.id)
def test_every_shipped_case_can_fail(case: Any) -> None:
    """Each published number moved by far more than its tolerance is found to differ."""
    from dataclasses import replace

    from loamwright.verify.run import run_case

    def moved(value: Any) -> Any:
        if isinstance(value, list):
            return [moved(item) for item in value]
        return value * 1.5 + 1.0 if isinstance(value, (int, float)) else value + " 1 h"

    for name in case.expected:
        doctored = replace(case, expected={**case.expected, name: moved(case.expected[name])})
        assert run_case(doctored).status == "differs", name


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('operation = "bending_strength"', 'operation = "mystery"', "The operation “mystery” is not known"),
        ('operation = "bending_strength"', "", "No operation is named"),
        ("bending_MPa", "bending_ratio", "The output “bending_ratio” is not one of bending_strength"),
        ("h_mm = 90", "", "Inputs are missing: h_mm"),
        ("h_mm = 90", "h_furlong = 90", "no input called “h_furlong”"),
        ("h_mm = 90", "h_mm = 90\nh_in = 3.5", "The input h is given twice"),
        ("h_mm = 90", "h_mm = [90, 91]", "cannot be read as h_mm"),
        ("h_mm = 90", 'h_mm = "ninety"', "“ninety” cannot be read as h_mm"),
        ("h_mm = 90", "h_mm = 0", "it must be above zero"),
    ],
)
def test_what_cannot_be_run_counts(old: str, new: str, sentence: str, run: Callable[..., Any], tmp_path: Path) -> None:
    result = run("verify", write(tmp_path, BENDING.replace(old, new)))
    assert result.exit_code == 1
    assert "mine-01  NOT RUN" in result.output
    assert sentence in result.output


def test_one_bad_case_does_not_stop_the_others(run: Callable[..., Any], tmp_path: Path) -> None:
    text = BENDING.replace("bending_strength", "mystery") + BENDING.replace("mine-01", "mine-02")
    result = run("verify", write(tmp_path, text), "--json")
    assert result.exit_code == 1
    assert [(each["id"], each["status"]) for each in json.loads(result.stdout)] == [("mine-01", "not_run"), ("mine-02", "agrees")]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("not toml at all", "cannot be read"),
        ("title = 'x'", "there is no [[case]] in it"),
        ("[[case]]\ntopic = 'x'", "case 1 has no id"),
        (BENDING + BENDING, "two cases are called mine-01"),
        ("[[case]]\nid = 'a'\noperation = 'fact'", "case a has no expected figures"),
    ],
)
def test_a_file_that_holds_no_cases(text: str, reason: str, run: Callable[..., Any], tmp_path: Path) -> None:
    result = run("verify", write(tmp_path, text))
    assert result.exit_code == 1
    assert reason in result.output


def test_a_file_that_is_not_there(run: Callable[..., Any], tmp_path: Path) -> None:
    result = run("verify", str(tmp_path / "nowhere.toml"))
    assert (result.exit_code, "is not there" in result.output) == (1, True)


def test_the_schema_names_every_operation_input_and_output(run: Callable[..., Any], done: Callable[..., Any]) -> None:
    found = {each["operation"]: each for each in done("verify", "--schema")}
    assert set(found) == set(operations())
    for key, operation in operations().items():
        assert [one["name"] for one in found[key]["inputs"]] == [named.name for named in operation.inputs]
        assert len(found[key]["outputs"]) == len(operation.outputs)
        assert all(one["about"] for one in (*found[key]["inputs"], *found[key]["outputs"]))
    text = run("verify", "--schema").output
    assert "time_<diameter>_{" in text
    assert all(key in text for key in operations())
    # a case written from the schema alone: pipette times at 20 °C by Stokes' law, 2 µm through 100 mm (ISO 11277, from memory)
    assert {"um", "mm"} <= set(found["settling_time"]["inputs"][3]["units"])
