"""Rules at the shell: list, show, schema, check and take."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.project.test_rulebook import OWN

from loamwright.rules import book


def test_every_rule_is_listed_and_shown(done: Callable[..., Any], run: Callable[..., Any]) -> None:
    listed = {each["rule"]: each for each in done("rules", "list")}
    assert set(listed) == set(book.rule_keys())
    assert sum(each["clauses"] for each in listed.values()) == 223  # 217 written ones and 6 of their notes
    assert listed["nzs_4297_1998"]["asks"] == 0
    text = run("rules", "show", "nzs_4298_1998").output
    assert "between 20 to 50 mm_per_h" in text and "asks nothing: failing class" in text
    assert "another figure: 15 pct, some quotations" in run("rules", "show", "is_1725_2013").output
    assert run("rules", "show", "nope").exit_code == 2


def test_the_schema_says_what_a_file_may_hold(done: Callable[..., Any], run: Callable[..., Any]) -> None:
    found = done("rules", "schema")
    assert "mean_best_4_of_6" in next(one["allowed"] for one in found["columns"] if one["name"] == "statistic")
    assert {"name": "clay_content", "subject": "soil", "quantity": "share"} in found["properties"]
    assert "comparator: " in run("rules", "schema").output


def test_a_file_without_fault_is_said_to_be_one(done: Callable[..., Any], run: Callable[..., Any], tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_text(OWN, "utf-8")
    assert done("rules", "check", str(file)) == {"rule": "house", "faults": []}
    assert "no fault" in run("rules", "check", str(file)).output


def test_every_fault_of_a_file_is_told_with_row_and_field(run: Callable[..., Any], tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_text(OWN.replace('unit = "MPa"', 'unit = "furlong"').replace("n = 5", "n = 0"), "utf-8")
    found = run("rules", "check", str(file))
    assert found.exit_code == 1
    assert "Row house-mean, field n: " in found.output
    assert len(found.output.strip().splitlines()) == 1  # what a field holds is looked at first
    file.write_text(OWN.replace('unit = "MPa"', 'unit = "furlong"').replace("value = 2.4", "value = 0"), "utf-8")
    lines = run("rules", "check", str(file)).output.strip().splitlines()
    assert [line.split(":")[0] for line in lines] == ["Row house-mean, field unit", "Row house-mean, field value"]


def test_what_is_no_rule_file_is_a_sentence(run: Callable[..., Any], tmp_path: Path) -> None:
    picture = tmp_path / "house.toml"
    picture.write_bytes(b"\xff\xd8\xff")
    named = tmp_path / "House rule!.toml"
    named.write_text(OWN, "utf-8")
    for file in (picture, named, tmp_path / "none.toml"):
        found = run("rules", "check", str(file))
        assert found.exit_code == 1 and "Traceback" not in found.output and found.output.strip()


def test_a_rule_file_is_taken_into_the_notebook(
    done: Callable[..., Any], run: Callable[..., Any], wall: str, tmp_path: Path
) -> None:
    file = tmp_path / "house.toml"
    file.write_text(OWN, "utf-8")
    first = done("rules", "take", str(file))
    assert first["rule"] == "house"
    done("today", "brief", "--by", "rule", "--rule", "house")
    assert not [each for each in done("today", "show")["questions"] if "rule" in each["question"]]
    file.write_text(OWN.replace("2.4", "3.0"), "utf-8")
    assert done("rules", "take", str(file))["kept"] != first["kept"]
    bad = tmp_path / "bad.toml"
    bad.write_text("title = 'x'", "utf-8")
    assert run("rules", "take", str(bad)).exit_code == 2
    book_key = tmp_path / "ts_2514_1977.toml"
    book_key.write_text(OWN, "utf-8")
    assert "already" in run("rules", "take", str(book_key)).output
