"""`loamwright files`: out to a workbook and a calendar, in from rows; all or none, nothing overwritten."""

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import icalendar
import python_calamine


def test_a_template_filled_in_is_taken_whole(
    done: Callable[..., Any], run: Callable[..., Any], wall: str, tmp_path: Path
) -> None:
    empty, filled = tmp_path / "empty.csv", tmp_path / "filled.csv"
    done("files", "template", "pan-test", str(empty))
    heads = next(csv.reader(empty.read_text("utf-8-sig").splitlines()))
    assert heads[:3] == ["Of what", "Empty pan [kg]", "Pan with damp soil [kg]"]
    row = {"Of what": "red clay", "Pan with damp soil [kg]": "0,520", "After drying again [kg]": "0,500"}
    with filled.open("w", newline="", encoding="utf-8") as out:
        csv.writer(out, delimiter=";").writerows([heads, [row.get(head, "") for head in heads]])
    refused = run("files", "rows", "pan-test", str(filled))
    assert (refused.exit_code, "comma or point" in refused.output) == (1, True)
    before = len(done("dig", "show")["facts"]["pan_test"])
    assert len(done("files", "rows", "pan-test", str(filled), "--decimal", "comma")["kept"]) == 1
    again = run("files", "rows", "pan-test", str(filled), "--decimal", "comma")
    assert (again.exit_code, "This very file was taken in" in again.output) == (1, True)
    assert len(done("files", "rows", "pan-test", str(filled), "--decimal", "comma", "--again")["kept"]) == 1
    facts = done("dig", "show")["facts"]["pan_test"]
    assert len(facts) == before + 2


def test_every_fault_is_told_with_its_row_and_nothing_is_kept(
    done: Callable[..., Any], run: Callable[..., Any], wall: str, tmp_path: Path
) -> None:
    file = tmp_path / "rows.csv"
    file.write_text("Source;Looks like\nRed clay;clay loam\nNo pit;mud\n", encoding="utf-8")
    result = run("files", "rows", "guess", str(file), "--decimal", "point")
    assert result.exit_code == 1
    for words in ("Nothing was kept", "row 3, Source: No source fits “No pit”", "row 3, Looks like:"):
        assert words in result.output
    assert done("shake", "show")["facts"].get("guess", []) == []


def test_readings_and_days_are_written_once(done: Callable[..., Any], run: Callable[..., Any], tmp_path: Path) -> None:
    done("demo")
    book, calendar = tmp_path / "readings.xlsx", tmp_path / "days.ics"
    done("files", "readings", str(book))
    done("files", "days", str(calendar))
    assert "Blocks" in python_calamine.load_workbook(book).sheet_names
    assert icalendar.Calendar.from_ical(calendar.read_bytes()).walk("VEVENT")
    for words in (("readings", str(book)), ("days", str(calendar))):
        result = run("files", *words)
        assert (result.exit_code, "nothing was overwritten" in result.output) == (1, True)


def test_wrong_kinds_and_files_are_sentences(run: Callable[..., Any], wall: str, tmp_path: Path) -> None:
    for words in (("template", "batch", str(tmp_path / "x.xlsx")), ("rows", "nothing", str(tmp_path / "x.csv"))):
        result = run("files", *words)
        assert (result.exit_code, "do not come from a file" in result.output) == (1, True)
    result = run("files", "rows", "note", str(tmp_path / "not-there.csv"))
    assert (result.exit_code, "is not there" in result.output) == (1, True)


def test_an_address_goes_with_the_local_network_and_must_be_private(run: Callable[..., Any]) -> None:
    assert run("serve", "--address", "192.168.1.2").exit_code == 2
    result = run("serve", "--lan", "--address", "8.8.8.8", "--port", "0")
    assert (result.exit_code, "no address of a local network" in result.output) == (1, True)
