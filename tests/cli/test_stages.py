"""Every stage asked from the shell, on the demo project (invented figures): what it shows can be worked out again by hand."""

from collections.abc import Callable
from typing import Any

import pytest

Done = Callable[..., Any]


@pytest.fixture
def demo(done: Done) -> str:
    return str(done("demo")["project"])


def test_strengths_are_load_over_area(done: Done, demo: str) -> None:
    """F / A in N/mm² for every block crushed whole with its load read, from the readings as the same answer gives them."""
    shown = done("break", "show")
    crushed = {each["about"]: each for each in shown["figures"] if each["label"].startswith("crushed")}
    checked = 0
    for fact in shown["facts"]["crush"]:
        read = fact["values"]
        if read["piece"] == "whole" and {"load_kN", "length_mm", "width_mm"} <= set(read) and read.get("how") != "dissolved":
            by_hand = 1000.0 * read["load_kN"] / (read["length_mm"] * read["width_mm"])
            assert crushed[read["block"]]["compressive_strength_MPa"] == pytest.approx(by_hand, rel=1e-9)
            checked += 1
    assert checked >= 10


def test_the_comparison_is_the_mean_of_its_blocks(done: Done, demo: str) -> None:
    """The mean of a mix with all its soaked blocks of 28 days counted is their sum over their number."""
    strengths = [
        each["compressive_strength_MPa"]
        for each in done("break", "show")["figures"]
        if "soaked 24\u202fh" in each["label"] or "soaked 24 h" in each["label"]
    ]
    shown = done("choose", "show")
    counted = {each["mix"]: each["blocks"] for each in shown["verdicts"]}
    means = {each["about"]: next(iter(_values(each))) for each in shown["figures"] if each["label"] == "mean"}
    assert sum(counted.values()) == len(strengths)
    assert sum(counted[mix] * means[mix] for mix in means) == pytest.approx(sum(strengths), rel=1e-9)


def _values(figure: dict[str, Any]) -> list[float]:
    return [value for value in figure.values() if isinstance(value, float)]


def test_densities_are_mass_over_volume(done: Done, demo: str) -> None:
    """Green mass over mould face times height, for every block of the demo's press."""
    shown = done("press", "show")
    press = {fact["id"]: fact["values"] for fact in shown["facts"]["press"]}
    dense = {each["about"]: each for each in shown["figures"] if each["label"] == "density as pressed"}
    assert len(dense) >= 10
    for fact in shown["facts"]["block"]:
        read = fact["values"]
        mould = press[read["press"]] if "press" in read else next(iter(press.values()))
        volume = mould["mould_length_mm"] * mould["mould_width_mm"] * read["height_mm"] * 1e-9
        assert _values(dense[fact["id"]])[0] == pytest.approx(read["green_mass_kg"] / volume, rel=1e-9)


def test_shares_of_a_soil_lie_in_their_ranges_and_chances_add_up(done: Done, demo: str) -> None:
    believed = [each for each in done("shake", "show")["figures"] if each["label"] in ("sand", "silt", "clay")]
    assert len(believed) == 6
    for each in believed:
        low, middle, high = (each[name] for name in _named(each))
        assert 0 < low < middle < high < 1
    offers = done("blend", "show")["offers"]
    assert offers[0]["place"] == "best"
    for each in offers:
        assert each["below"] + each["inside"] + each["above"] == pytest.approx(1.0, abs=1e-9)


def _named(each: dict[str, Any]) -> tuple[str, str, str]:
    name = next(key.removesuffix("_low") for key in each if key.endswith("_low"))
    return f"{name}_low", name, f"{name}_high"


def test_recipes_reach_the_dose_they_say(done: Done, demo: str) -> None:
    """Dose of the total: bags · bag mass / (that + dry soil), dry soil from the demo's struck pails."""
    pails = {
        each["about"]: each["pail_dry_mass_kg"]
        for each in done("dig", "show")["figures"]
        if each["label"] == "dry mass of one struck pail"
    }
    named = [fact["values"] for fact in done("dig", "show")["facts"]["stabiliser"]]
    bags = [values["bag_mass_kg"] for values in named if values["type"] == "cement"]
    recipes = done("make", "show")["recipes"]
    assert recipes
    for each in recipes:
        soil = sum(count * pails[source] for source, count in each["pails"].items())
        stabiliser = each["bags"] * bags[-1]
        assert each["stabiliser_of_total"] == pytest.approx(stabiliser / (stabiliser + soil), rel=1e-9)


def test_a_choice_from_the_shell_keeps_what_it_stood_on(done: Done, demo: str) -> None:
    first = done("choose", "show")["ranking"][0]["mix"]
    kept = done("choose", "choice", "--mix", first, "--reason", "strong enough and cheapest")
    assert kept["fact"]["values"]["stood_on"]["entries"]


def test_a_name_with_a_thin_space_is_typed_with_a_plain_one(done: Done, demo: str) -> None:
    """Names of mixes are made with a thin space before the per cent sign."""
    mix = done("blend", "show")["facts"]["mix"][0]
    plain = " ".join(mix["name"].split())
    assert plain != mix["name"]
    assert done("weigh", "batch", "--mix", plain, "--soil-wanted", "10 kg")["fact"]["values"]["mix"] == mix["id"]


@pytest.mark.parametrize("verb", ["today", "dig", "shake", "blend", "weigh", "press", "break", "choose", "make"])
def test_every_stage_of_the_demo_has_figures_and_their_working(verb: str, run: Done, done: Done, demo: str) -> None:
    figures = done(verb, "show", "--working")["figures"]
    assert figures
    assert all("withheld" in each or each["working"] for each in figures)
    shown = run(verb, "show", "--working")
    assert shown.exit_code == 0
    assert "\nFigures\n" in shown.output
