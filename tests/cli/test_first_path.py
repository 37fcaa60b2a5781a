"""From an empty notebook to an opened batch and its weighings, by shell only."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from loamwright.notebook.store import open_notebook
from loamwright.project.desk import Desk


def open_batch(done: Callable[..., Any]) -> str:
    done("weigh", "scale", "--name", "kitchen", "--step", "5 g")
    words = ("--mix", "five to two", "--scale", "kitchen", "--soil-wanted", "10.00 kg", "--water-wanted", "10 %")
    return str(done("weigh", "batch", *words)["kept"])


def test_a_batch_opened_from_the_shell_tells_its_targets_in_its_entry(done: Callable[..., Any], wall: str) -> None:
    """job.md 2.6, worked by hand there: 10.00 kg of soil at 4 % is 9.615 kg dry; 6 % of the total is 0.614 kg of cement;
    the dry mix is 10.229 kg, 10 % of it 1.023 kg of water, 0.385 kg is in the soil: add 0.638 kg. Told at 5 g steps."""
    batch = open_batch(done)
    orders = done("weigh", "show")["orders"]
    assert [order["batch"] for order in orders] == [batch]
    assert orders[0]["dry_soil_kg"] == pytest.approx(9.615, abs=0.0005)
    assert orders[0]["stabiliser_kg"] == pytest.approx(0.615, abs=1e-9)
    assert orders[0]["water_kg"] == pytest.approx(0.640, abs=1e-9)
    assert orders[0]["next"] == "soil"


def test_the_told_targets_are_kept_with_the_entry(done: Callable[..., Any], wall: str, path: Path) -> None:
    batch = open_batch(done)
    notebook = open_notebook(path)
    told = Desk(notebook).state(wall).fact(batch, "batch")["targets"]
    notebook.close()
    assert told["stabiliser_kg"] == pytest.approx(0.615, abs=1e-9)
    assert told["dry_soil_kg"] == pytest.approx(9.615, abs=0.0005)
    assert told["version"]


def test_weighings_answer_with_what_is_next(done: Callable[..., Any], run: Callable[..., Any], wall: str) -> None:
    open_batch(done)
    first = run("weigh", "weighing", "--batch", "batch 1", "--what", "soil", "--mass", "10 kg")
    assert first.exit_code == 0
    assert "stabiliser next" in first.output
    second = run("weigh", "weighing", "--batch", "1", "--what", "stabiliser", "--mass", "615 g")
    assert "water next" in second.output
    assert "as near as this scale can" in second.output
    done("weigh", "stabiliser-in", "--batch", "1")
    last = run("weigh", "weighing", "--batch", "1", "--what", "water", "--mass", "0,640")
    assert last.exit_code == 0
    assert "Kept: Weighing" in last.output
    shown = done("weigh", "show")
    reached = {each["label"]: each for each in shown["figures"]}
    # 0.615 / (9.615385 + 0.615) = 6.0115 %
    assert reached["dose reached, of the total dry mix"]["stabiliser_of_total"] == pytest.approx(0.060115, abs=2e-6)
    assert shown["orders"][0]["next"] is None


def test_an_overdose_is_asked_about_and_its_remedy_told(done: Callable[..., Any], run: Callable[..., Any], wall: str) -> None:
    """0.70 kg where 0.614 was due: 0.70 · 0.94 / 0.06 - 9.615 = 1.351 kg of dry soil, 1.405 kg damp at 4 %."""
    batch = open_batch(done)
    done("weigh", "weighing", "--batch", "1", "--what", "soil", "--mass", "10 kg")
    said = run("weigh", "weighing", "--batch", "1", "--what", "stabiliser", "--mass", "700 g")
    assert said.exit_code == 0
    assert "Add damp soil 1.405 kg" in said.output
    questions = done("weigh", "show")["questions"]
    assert [each["question"] for each in questions] == ["dose_missed"]
    assert batch in questions[0]["about"]
    done("answer", "dose_missed", "--verdict", "stands", "--reason", "read twice")
    assert done("weigh", "show")["questions"] == []


def test_json_values_are_in_engine_units(done: Callable[..., Any], wall: str) -> None:
    """512 g is 0.512 kg; 2 in is 50.8 mm; 6 % is 0.06; 72 °F is 22.2 °C (definitions of the units)."""
    pan = done("dig", "pan-test", "--about", "Red clay", "--wet", "512 g", "--dry", "500 g")["fact"]["values"]
    assert pan["wet_kg"] == pytest.approx(0.512, rel=1e-12)
    words = ("--source", "Red clay", "--fill", "2 in", "--water", "150", "--temperature", "72 degF", "--added", "salt")
    jar = done("shake", "jar", *words)
    assert jar["fact"]["values"]["fill_mm"] == pytest.approx(50.8, rel=1e-12)
    assert jar["fact"]["values"]["water_mm"] == pytest.approx(150.0, rel=1e-12)
    assert jar["fact"]["values"]["temperature_degC"] == pytest.approx(22.2222, abs=1e-4)
    mixes = done("blend", "show")["facts"]["mix"]
    assert mixes[0]["values"]["dose_fraction"] == pytest.approx(0.06, rel=1e-12)


def test_the_working_of_a_figure(run: Callable[..., Any], wall: str) -> None:
    shown = run("dig", "show", "--working")
    assert shown.exit_code == 0
    assert "(0.52 - 0.5) / (0.5 - 0)" in shown.output
    assert "[derivation-phases]" in shown.output


def test_units_left_out_are_the_projects_own(done: Callable[..., Any]) -> None:
    """10 without a unit is pounds where the project weighs in pounds: 4.5359237 kg."""
    done("new", "--bucket", "A", "--bucket", "B", "--mass-unit", "lb", "--length-unit", "in", "--pail-volume", "5")
    kept = done("dig", "oversize", "--source", "A", "--sample", "10", "--retained", "1 1/2", "--screen", "1/4")
    assert kept["fact"]["values"]["sample_kg"] == pytest.approx(4.5359237, rel=1e-12)
    assert kept["fact"]["values"]["screen_mm"] == pytest.approx(6.35, rel=1e-12)
    pails = done("dig", "show")["facts"]["container"]
    assert pails[0]["values"]["volume_m3"] == pytest.approx(5 * 231 * 0.0254**3, rel=1e-12)  # US gallon: 231 in³


def test_a_volume_in_ones_own_pails(done: Callable[..., Any], wall: str) -> None:
    pail = done("dig", "container", "--name", "black pail", "--volume", "20 l", "--tare", "1.1 kg")["kept"]
    heap = done("dig", "source", "--name", "Dune sand", "--amount", "30 black pail")["fact"]["values"]
    assert heap["amount_count"] == 30
    assert heap["amount_container"] == pail


def test_three_pails_as_a_repeated_option(done: Callable[..., Any], wall: str) -> None:
    """Mean of 29.2, 29.8 and 29.5 kg gross less 1.1 kg is 28.4 kg; dry at 4 %: 27.308 kg."""
    done("dig", "container", "--name", "black pail", "--volume", "20 l", "--tare", "1.1 kg")
    gross = [word for mass in ("29.2", "29.8 kg", "29500 g") for word in ("--gross", mass)]
    kept = done("dig", "pail-weighing", "--source", "bank", "--container", "black", *gross)
    assert kept["fact"]["values"]["gross_kg"] == pytest.approx([29.2, 29.8, 29.5])
    figures = {(each["about"], each["label"]): each for each in done("dig", "show")["figures"]}
    source = kept["fact"]["values"]["source"]
    assert figures[source, "dry mass of one struck pail"]["pail_dry_mass_kg"] == pytest.approx(28.4 / 1.04, rel=1e-9)


def test_today_names_the_next_step(run: Callable[..., Any], wall: str) -> None:
    shown = run("today", "show")
    assert shown.exit_code == 0
    assert "Next\n" in shown.output
    assert "Due\n" in shown.output


@pytest.mark.parametrize("verb", ["today", "dig", "shake", "blend", "weigh", "press", "break", "choose", "make"])
def test_every_stage_shows(verb: str, run: Callable[..., Any], done: Callable[..., Any], wall: str) -> None:
    open_batch(done)
    assert run(verb, "show", "--working").exit_code == 0
    assert done(verb, "show")["verb"] == verb
