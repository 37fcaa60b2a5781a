"""Oven moisture, loose and tamped density, bulking and grain density on real entries, by hand; what is noted and asked."""

import pytest

from loamwright.formula import evaluate
from loamwright.project import today
from loamwright.project.finding import Finding, Withheld, working
from loamwright.project.grains import newest_grain_density
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.words.sentences import of_note, sentence


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Bank sand")


def worked(bench, entry):
    return SOIL_TESTS.worked(bench.state, bench.state.find(entry))


def told(found, label):
    (result,) = [each.result for each in found.results if each.label == label]
    return result


def checked(finding):
    """The value, after every line of its working was evaluated again, to the digits that are printed."""
    assert isinstance(finding, Finding)
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-4, abs=1e-9)
    return finding.value


def codes(found):
    return [each.code for each in found.questions]


def noted(found):
    return [each.code for each in found.notes]


def tins(bench, soil, *rows, **typed):
    table = {}
    for place, (tare, wet, dry) in enumerate(rows):
        table |= {f"tins-{place}-tare": f"{tare} g", f"tins-{place}-wet": f"{wet} g", f"tins-{place}-dry": f"{dry} g"}
    return bench.write("oven_moisture", source=soil, **table, **typed)


# --- water by oven ---

TWO = (("20", "130", "120"), ("22", "132.4", "122"))  # 10/100 = 10 %, 10.4/100 = 10.4 %
NIGHT = {"oven": "110 degC", "dried_for": "16 h"}


def test_two_tins_by_hand(bench, soil):
    found = worked(bench, tins(bench, soil, *TWO, **NIGHT))
    assert checked(told(found, "Water content")) == pytest.approx(0.102)
    assert [row[1] for row in found.tables[0].rows] == pytest.approx([0.100, 0.104])
    assert (found.notes, found.questions) == ((), ())


def test_one_tin_set_to_zero(bench, soil):
    entry = bench.write("oven_moisture", source=soil, **{"tins-0-wet": "110 g", "tins-0-dry": "100 g"}, **NIGHT)
    assert checked(told(worked(bench, entry), "Water content")) == pytest.approx(0.10)


def test_tins_far_apart_are_computed_with_and_asked_about(bench, soil):
    """10 and 12 %: 2 of 11 is 18 %, above 7.8 % (ASTM D2216, two results of one person, memory)."""
    entry = tins(bench, soil, ("20", "130", "120"), ("20", "132", "120"), **NIGHT)
    found = worked(bench, entry)
    (question,) = found.questions
    assert (question.code, question.grade, question.about) == ("tins_apart", "unlikely", (entry,))
    assert sentence(question.code, question.values).startswith("The tins lie 18.2 % of their mean apart")
    assert told(found, "Water content").value == pytest.approx(0.11)
    assert question in today.questions(bench.state)


def test_dry_to_constant_mass_is_judged_per_hour(bench, soil):
    """0.3 g of 100 g of dry soil in 2 h is 0.15 % in an hour, above 0.1 %; in 4 h it is 0.075 %."""
    table = {"tins-0-before": "120.3 g", "oven": "110 degC"}
    row = ("20", "130", "120")
    wet = worked(bench, tins(bench, soil, row, between="2 h", **table))
    assert noted(wet) == ["tin_not_dry"] and "0.15 %" in of_note(wet.notes[0])
    assert noted(worked(bench, tins(bench, soil, row, between="4 h", **table))) == []
    assert noted(worked(bench, tins(bench, soil, row, **table))) == ["between_not_said"]
    rose = worked(bench, tins(bench, soil, row, between="1 h", **{**table, "tins-0-before": "119 g"}))
    assert noted(rose) == ["tin_rose"]


def test_one_short_drying_shows_no_constant_mass(bench, soil):
    assert noted(worked(bench, tins(bench, soil, *TWO, oven="110 degC", dried_for="3 h"))) == ["constant_mass_not_shown"]
    assert "oven_not_said" in noted(worked(bench, tins(bench, soil, *TWO)))


@pytest.mark.parametrize(
    ("degrees", "note"), [("110 degC", []), ("230 degF", []), ("60 degC", ["oven_gentle"]), ("90 degC", ["oven_cool"]), ("150 degC", ["oven_hot"])]
)  # fmt: skip
def test_the_oven_of_a_plain_soil(bench, soil, degrees, note):
    assert noted(worked(bench, tins(bench, soil, *TWO, **{**NIGHT, "oven": degrees}))) == note


@pytest.mark.parametrize(("degrees", "note"), [("110 degC", ["oven_too_hot_for_soil"]), ("60 degC", [])])
@pytest.mark.parametrize("stop", ["crystals", "smell"])
def test_the_oven_of_a_soil_with_gypsum_or_humus(bench, soil, stop, degrees, note):
    bench.write("stop_check", source=soil, question=stop, answer="yes")
    assert noted(worked(bench, tins(bench, soil, *TWO, **{**NIGHT, "oven": degrees}))) == note


def test_a_small_tin_for_large_grains(bench, soil):
    """Grains to 19 mm want 250 g by method A of ASTM D2216 (memory); the tins hold 110 g."""
    found = worked(bench, tins(bench, soil, *TWO, **NIGHT, largest_size="12 mm"))
    (note,) = found.notes
    assert (note.code, note.values["least"], note.values["largest"]) == ("tin_small", 0.25, 19.0)
    assert noted(worked(bench, tins(bench, soil, *TWO, **NIGHT, largest_size="2 mm"))) == []


def test_a_reported_water_content(bench, soil):
    found = worked(bench, bench.write("oven_moisture", source=soil, reported="12.5 %"))
    assert checked(told(found, "Water content")) == pytest.approx(0.125)


@pytest.mark.parametrize(
    ("code", "row"),
    [("wet_below_dry", ("20", "110", "120")), ("dry_not_above_tare", ("130", "140", "120")), ("negative", ("-5", "130", "120"))],
)
def test_bad_tins_are_kept_and_asked_about(bench, soil, code, row):
    found = worked(bench, tins(bench, soil, row, **NIGHT))
    assert codes(found) == [code] and found.results == ()


def test_neither_tins_nor_report(bench, soil):
    found = worked(bench, bench.write("oven_moisture", source=soil, oven="110 degC"))
    assert codes(found) == ["needed"] and isinstance(told(found, "Water content"), Withheld)


def test_four_typed_for_four_per_cent_is_asked_about(bench, soil):
    assert codes(worked(bench, bench.write("oven_moisture", source=soil, reported="4 fraction"))) == ["out_of_range"]


# --- loose and tamped ---


def measure(bench, soil, **typed):
    return bench.write("bulk_density", source=soil, **{"volume": "5 l", "tare": "1 kg", **typed})


def test_loose_and_tamped_by_hand(bench, soil):
    """5 l: 7.3 - 1 = 6.3 kg at 5 % is 6.0 kg dry, 1200 kg/m³; 8.875 - 1 = 7.875 is 7.5 kg, 1500 kg/m³; ratio 1.25."""
    entry = measure(bench, soil, loose=["7.2 kg", "7.3 kg", "7.4 kg"], tamped=["8.875 kg"] * 3, moisture="5 %")
    found = worked(bench, entry)
    assert checked(told(found, "Loose, dry")) == pytest.approx(1200.0)
    assert checked(told(found, "Tamped, dry")) == pytest.approx(1500.0)
    assert checked(told(found, "Tamped over loose")) == pytest.approx(1.25)
    assert (found.notes, found.questions) == ((), ())


def test_moisture_comes_from_the_pan_then_the_oven_then_the_usual(bench, soil):
    """6.3 kg: at 3 % (usual, said) 1223.3 kg/m³; by oven at 10.2 % 1143.4; by pan at 5 % 1200."""
    weighed = {"loose": ["7.3 kg"] * 3}
    usual = worked(bench, measure(bench, soil, **weighed))
    assert told(usual, "Loose, dry").value == pytest.approx(6.3 / 1.03 / 0.005)
    assert "moisture_not_tested" in [note.code for note in told(usual, "Loose, dry").all_notes()]
    tins(bench, soil, *TWO, **NIGHT)
    assert checked(told(worked(bench, measure(bench, soil, **weighed)), "Loose, dry")) == pytest.approx(6.3 / 1.102 / 0.005)
    bench.write("pan_test", about=soil, wet="525 g", dry="500 g")
    assert checked(told(worked(bench, measure(bench, soil, **weighed)), "Loose, dry")) == pytest.approx(1200.0)


def test_the_volume_may_be_a_pail_of_the_bench(bench, soil):
    pail = bench.write("container", name="black pail", volume="20 l", tare="1 kg")
    entry = measure(bench, soil, volume="1/2", volume_unit=f"container:{pail}", loose=["13 kg"] * 3, moisture="0 %")
    assert checked(told(worked(bench, entry), "Loose, dry")) == pytest.approx(1200.0)


def test_a_report_alone(bench, soil):
    entry = bench.write("bulk_density", source=soil, loose_reported="1.2 kg_l", tamped_reported="1.5 kg_l")
    found = worked(bench, entry)
    assert checked(told(found, "Tamped over loose")) == pytest.approx(1.25)


@pytest.mark.parametrize(
    ("code", "typed"),
    [
        ("loose_above_tamped", {"loose": "8 kg", "tamped": "7 kg", "moisture": "0 %"}),
        ("filled_not_above_tare", {"loose": "0.5 kg", "moisture": "0 %"}),
        ("out_of_range", {"loose": "7 kg", "moisture": "0 %", "volume": "5 m3"}),
        ("no_values", {"moisture": "3 %"}),
    ],
)
def test_bad_densities_are_kept_and_asked_about(bench, soil, code, typed):
    assert codes(worked(bench, measure(bench, soil, **typed))) == [code]


def test_a_measure_without_volume_and_fewer_than_three(bench, soil):
    assert codes(worked(bench, bench.write("bulk_density", source=soil, loose="7 kg", tare="1 kg"))) == ["needed"]
    assert "fewer_than_three_weighings" in noted(worked(bench, measure(bench, soil, loose="7 kg", moisture="0 %")))


# --- bulking ---


def test_bulking_by_hand(bench, soil):
    """200 mm damp, 160 mm flooded: 25 %; a pail of it lacks 1 - 1/1.25 = 20 %: take 1.25 pails for one."""
    found = worked(bench, bench.write("bulking", source=soil, damp="200 mm", flooded="160 mm"))
    assert checked(told(found, "Bulking")) == pytest.approx(0.25)
    assert checked(told(found, "Missing from a pail of it")) == pytest.approx(0.20)
    (says,) = found.says
    assert of_note(says) == (
        "A pail of this damp sand holds 20 % less dry sand than a pail of dry sand: take 1.25 pails for one, or weigh it."
    )


def test_strange_bulking(bench, soil):
    swapped = worked(bench, bench.write("bulking", source=soil, damp="160 mm", flooded="200 mm"))
    assert codes(swapped) == ["flooded_above_damp"]
    much = worked(bench, bench.write("bulking", source=soil, damp="300 mm", flooded="160 mm"))
    assert codes(much) == ["bulking_strange"] and told(much, "Bulking").value == pytest.approx(0.875)


# --- density of the grains ---

BOTTLE = {"empty": "150 g", "filled": "648.5 g", "dry": "50 g", "with_soil": "679.63 g", "temperature": "20 degC"}


def pycnometer(bench, soil, **typed):
    fields = {name: text for name, text in {**BOTTLE, **typed}.items() if text is not None}
    return bench.write("pycnometer", source=soil, **fields)


def test_a_pycnometer_by_hand(bench, soil):
    """50/(50 + 648.5 - 679.63) = 50/18.87 = 2.6497; times 998.2 is 2645 kg/m³."""
    found = worked(bench, pycnometer(bench, soil))
    assert checked(told(found, "Specific gravity at 20 °C")) == pytest.approx(2.6497, abs=1e-4)
    assert checked(told(found, "Density of the grains")) == pytest.approx(2645.0, abs=0.2)
    assert noted(found) == ["filled_at_same_temperature"]
    assert newest_grain_density(bench.state, soil).value == pytest.approx(2645.0, abs=0.2)


def test_a_warm_test_with_a_cold_bottle(bench, soil):
    """At 25 °C the full bottle is 647.92 g (in tests/engine): 50/(50 + 647.92 - 679.05) = 50/18.87 = 2.650, times 0.99884 = 2.6466."""
    found = worked(bench, pycnometer(bench, soil, temperature="25 degC", filled_at="20 degC", with_soil="679.05 g"))
    assert checked(told(found, "Specific gravity at 20 °C")) == pytest.approx(2.6466, abs=1e-3)
    assert found.notes == ()


@pytest.mark.parametrize(
    ("code", "typed"),
    [
        ("temperature_missing_pycnometer", {"temperature": None}),
        ("needed", {"dry": None}),
        ("soil_displaces_nothing", {"with_soil": "700 g"}),
        ("pycnometer_not_filled", {"filled": "100 g", "filled_at": "15 degC"}),
        ("not_positive", {"dry": "0 g"}),
        ("out_of_range", {"temperature": "80 degC"}),
    ],
)
def test_bad_bottles_are_kept_and_asked_about(bench, soil, code, typed):
    found = worked(bench, pycnometer(bench, soil, **typed))
    assert codes(found) == [code]
    assert isinstance(told(found, "Specific gravity at 20 °C"), Withheld)
    assert newest_grain_density(bench.state, soil) is None


def test_air_in_the_bottle_is_asked_about(bench, soil):
    """50/(50 + 648.5 - 676) = 2.22."""
    found = worked(bench, pycnometer(bench, soil, with_soil="676 g"))
    assert codes(found) == ["gravity_strange"]
    assert told(found, "Specific gravity at 20 °C").value == pytest.approx(2.222, abs=1e-3)


def test_a_reported_density_counts_for_other_tests(bench, soil):
    found = worked(bench, bench.write("pycnometer", source=soil, reported="2.72 kg_l"))
    assert checked(told(found, "Density of the grains")) == pytest.approx(2720.0)
    assert newest_grain_density(bench.state, soil).value == pytest.approx(2720.0)
