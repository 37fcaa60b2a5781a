"""Sieves, hydrometer and pipette on real entries: results with working, what is withheld and asked, curves joined."""

import math

import pytest

from loamwright.formula import evaluate
from loamwright.project import gradings, today
from loamwright.project.finding import Finding, Withheld, working
from loamwright.project.soil_tests import SOIL_TESTS
from loamwright.words.sentences import of_fault, of_note, sentence

# Das and Sobhan, sieving of 617 g (data seen); percent finer and sizes by hand in tests/engine/soil/test_grading_curve.py.
STACK = {"4.75": "28", "2": "42", "0.85": "48", "0.425": "128", "0.25": "221", "0.15": "86", "0.075": "40"}
# A soil of 1000 g, all finer than 4.75 mm: 600 g pass 0.075 mm.
LOAM = {"4.75": "0", "2": "50", "0.425": "150", "0.075": "200"}


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Red clay")


def rows(name, *columns):
    """Typed texts of a table: one tuple a column, (field, unit, texts)."""
    typed = {}
    for field, unit, texts in columns:
        for place, text in enumerate(texts):
            typed[f"{name}-{place}-{field}"] = text
            if unit:
                typed[f"{name}-{place}-{field}_unit"] = unit
    return typed


def sieve(bench, soil, stack, figure="retained", unit="g", **typed):
    table = rows("sieves", ("size", "mm", stack), (figure, unit, stack.values()))
    return bench.write("sieve", source=soil, **table, **typed)


def hydrometer(bench, soil, readings, **typed):
    """A 152H in one litre, blank 5, read at the times given in minutes; each further field can be left out with None."""
    usual = {"instrument": "152h", "dry_mass": "50 g", "temperature": "20 degC", "blank": "5", "meniscus": "1", "cut": "2 mm"}
    table = rows("readings", ("after", "min", readings), ("reading", "", readings.values()))
    fields = {name: text for name, text in {**usual, **typed}.items() if text is not None}
    return bench.write("hydrometer", source=soil, **table, **fields)


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


def says_in_full(question):
    """The sentence of a question has no hole in it."""
    text = sentence(question.code, question.values)
    assert "?" not in text.replace("? ", "").rstrip("?"), text
    return text


# --- sieves ---


def test_a_sieving_gives_sizes_and_coefficients_with_their_working(bench, soil):
    found = worked(bench, sieve(bench, soil, STACK, pan="24 g", start="617 g"))
    assert checked(told(found, "D10")) == pytest.approx(0.1442, abs=1e-4)
    assert checked(told(found, "D30")) == pytest.approx(0.2720, abs=1e-4)
    assert checked(told(found, "D60")) == pytest.approx(0.4242, abs=1e-4)
    assert checked(told(found, "Uniformity coefficient")) == pytest.approx(2.94, abs=0.01)
    assert checked(told(found, "Curvature coefficient")) == pytest.approx(1.21, abs=0.005)
    assert checked(told(found, "Lost in sieving")) == pytest.approx(0.0, abs=1e-12)
    assert found.questions == ()
    table = found.tables[0]
    assert [round(100 * row[2], 2) for row in table.rows] == [95.46, 88.65, 80.88, 60.13, 24.31, 10.37, 3.89]


def test_no_start_mass_is_said(bench, soil):
    assert "loss_not_known_no_start" in noted(worked(bench, sieve(bench, soil, STACK, pan="24 g")))


def test_a_loss_above_the_standard_withholds_the_curve_and_keeps_the_readings(bench, soil):
    """620.2 g on, 617 g off: 3.2/620.2 = 0.516 %, above 0.5 % (ASTM D6913); 620 g would be 0.484 %, below it."""
    entry = sieve(bench, soil, STACK, pan="24 g", start="620.2 g")
    found = worked(bench, entry)
    assert checked(told(found, "Lost in sieving")) == pytest.approx(3.2 / 620.2)
    assert isinstance(told(found, "Share passing"), Withheld)
    (question,) = found.questions
    assert (question.code, question.grade, question.about) == ("sieving_loss_too_great", "impossible", (entry,))
    assert "0.516 % is lost" in says_in_full(question)
    assert question in today.questions(bench.state)
    assert gradings.soil_curve(bench.state, soil) is None
    assert len(bench.state.find(entry)["sieves"]) == 7
    assert codes(worked(bench, sieve(bench, soil, STACK, pan="24 g", start="620 g"))) == []


def test_more_off_than_on_is_asked_about_too(bench, soil):
    assert codes(worked(bench, sieve(bench, soil, STACK, pan="24 g", start="600 g"))) == ["sieving_gain_too_great"]


def test_a_washed_soil_counts_what_the_water_took_as_finest(bench, soil):
    """1000 g, 402 g left: 59.8 % washed out. Sieves hold 400 g and the pan 2 g: nothing lost; 60 % is finer than 0.075 mm."""
    found = worked(bench, sieve(bench, soil, LOAM, pan="2 g", start="1000 g", washed="402 g"))
    assert checked(told(found, "Washed out")) == pytest.approx(0.598)
    assert checked(told(found, "Lost in sieving")) == pytest.approx(0.0, abs=1e-12)
    assert checked(told(found, "Fines, finer than 0.075 mm")) == pytest.approx(0.60)


def test_masses_added_up_give_the_same(bench, soil):
    alone = worked(bench, sieve(bench, soil, LOAM, pan="600 g"))
    added = dict(zip(LOAM, ("0", "50", "200", "400"), strict=True))
    both = worked(bench, sieve(bench, soil, added, pan="600 g", weighed="added"))
    for row, other in zip(both.tables[0].rows, alone.tables[0].rows, strict=True):
        assert row == pytest.approx(other)


def test_what_lies_below_the_finest_sieve_is_not_guessed(bench, soil):
    found = worked(bench, sieve(bench, soil, LOAM, pan="600 g"))
    held = told(found, "D10")
    assert isinstance(held, Withheld) and held.fault.code == "share_below_curve"
    assert "60 % is finer than 0.075 mm" in of_fault(held.fault)
    assert isinstance(told(found, "Uniformity coefficient"), Withheld)


def test_stones_taken_off_are_in_the_whole_and_not_in_the_rest(bench, soil):
    """250 g of stones on 6 mm, 1000 g of the rest: 20 % of the whole. 60 % of the rest is 48 % of the whole."""
    found = worked(bench, sieve(bench, soil, LOAM, pan="600 g", start="1000 g", oversize="250 g", oversize_size="6 mm"))
    assert checked(told(found, "Stones taken off")) == pytest.approx(0.20)
    assert checked(told(found, "Fines, finer than 0.075 mm")) == pytest.approx(0.48)
    first, last = found.tables[0].rows[0], found.tables[0].rows[-1]
    assert first == (6.0, None, pytest.approx(0.8), 1.0)
    assert last == (0.075, pytest.approx(0.2), pytest.approx(0.48), pytest.approx(0.60))


def test_stones_without_the_screen_are_said(bench, soil):
    found = worked(bench, sieve(bench, soil, LOAM, pan="600 g", start="1000 g", oversize="250 g"))
    assert "stones_without_size" in noted(found)


def test_reported_shares_with_the_stones_in_them_are_told_from_those_without(bench, soil):
    """20 % of stones: shares that begin at 80 % have them in, those that begin at 100 % have not; 90 % is neither."""
    stones = {"start": "1000 g", "oversize": "250 g", "oversize_size": "5 mm"}
    whole = worked(bench, sieve(bench, soil, {"4.75": "80", "0.075": "48"}, "passing", "pct", **stones))
    rest = worked(bench, sieve(bench, soil, {"4.75": "100", "0.075": "60"}, "passing", "pct", **stones))
    for found in (whole, rest):
        assert found.tables[0].rows[-1] == (0.075, None, pytest.approx(0.48), pytest.approx(0.60))
    odd = worked(bench, sieve(bench, soil, {"4.75": "90", "0.075": "48"}, "passing", "pct", **stones))
    assert codes(odd) == ["stones_and_shares_unlike"]


def test_shares_of_different_wholes_are_noticed(bench, soil):
    """40 + 30 + 20 and 25 % in the pan are 115 %."""
    found = worked(bench, sieve(bench, soil, {"2": "40", "0.4": "30", "0.075": "20"}, "retained_share", "pct", pan_share="25 %"))
    (question,) = found.questions
    assert question.code == "not_one_whole" and "115 %" in says_in_full(question)


def test_reported_shares_on_each_sieve(bench, soil):
    found = worked(bench, sieve(bench, soil, {"2": "20", "0.4": "30", "0.075": "20"}, "retained_share", "pct", pan_share="30 %"))
    assert [round(row[2], 4) for row in found.tables[0].rows] == [0.8, 0.5, 0.3]


def test_a_curve_the_wrong_way_is_asked_about(bench, soil):
    found = worked(bench, sieve(bench, soil, {"2": "50", "0.4": "70", "0.075": "20"}, "passing", "pct"))
    (question,) = found.questions
    assert question.code == "curve_wrong_way"
    assert "70 % is finer than 0.4 mm, yet only 50 % finer than 2 mm" in says_in_full(question)
    assert isinstance(told(found, "Share passing"), Withheld)


@pytest.mark.parametrize(
    ("code", "typed"),
    [
        ("sieve_without_figure", {"sieves-0-size": "2 mm"}),
        ("sieves_mixed", {"sieves-0-size": "2 mm", "sieves-0-retained": "5 g", "sieves-1-size": "1 mm", "sieves-1-passing": "5 %"}),
        ("sieve_twice", {"sieves-0-size": "2 mm", "sieves-0-retained": "5 g", "sieves-1-size": "2 mm", "sieves-1-retained": "5 g", "pan": "5 g"}),
        ("start_mass_missing", {"sieves-0-size": "2 mm", "sieves-0-retained": "5 g"}),
        ("negative", {"sieves-0-size": "2 mm", "sieves-0-retained": "-5 g", "pan": "5 g"}),
        ("not_positive", {"sieves-0-size": "0 mm", "sieves-0-retained": "5 g", "pan": "5 g"}),
        ("needed", {"sieves-0-size": "2 mm", "sieves-0-retained": "5 g", "pan": "5 g", "washed": "9 g"}),
        ("washed_above_start", {"sieves-0-size": "2 mm", "sieves-0-retained": "5 g", "pan": "5 g", "washed": "12 g", "start": "10 g"}),
        ("retained_above_start", {"sieves-0-size": "2 mm", "sieves-0-retained": "15 g", "start": "10 g"}),
        ("out_of_range", {"sieves-0-size": "2 mm", "sieves-0-passing": "150 %"}),
    ],
)  # fmt: skip
def test_bad_input_is_kept_and_asked_about(bench, soil, code, typed):
    entry = bench.write("sieve", source=soil, **typed)
    found = worked(bench, entry)
    assert codes(found) == [code]
    assert found.questions[0].grade == "impossible"
    says_in_full(found.questions[0])
    assert not any(isinstance(each.result, Finding) for each in found.results)


def test_a_small_specimen_is_noted(bench, soil):
    """Grains up to 19 mm want 1.3 kg by ASTM D6913 (memory); here 100 g."""
    found = worked(bench, sieve(bench, soil, {"19": "0", "9.5": "10", "2": "40"}, pan="50 g", start="100 g"))
    (note,) = [each for each in found.notes if each.code == "specimen_small"]
    assert note.values["least"] == 1.3 and "1.3 kg" in of_note(note)


def test_distance_from_packing_curves_by_hand(bench, soil):
    """D 4 mm, shares of the curve with exponent 0.25 itself: 0.7071 at 1 mm and 0.5 at 0.25 mm. Fuller: 0.5 and 0.25.

    Distance from 0.25 nothing; from Fuller (0.2071 + 0.25)/2 = 0.2286.
    """
    shares = {"4": "1", "1": f"{0.25**0.25:.6f}", "0.25": "0.5"}
    found = worked(bench, sieve(bench, soil, shares, "passing", "fraction"))
    nearest = told(found, "Distance from the nearest packing curve")
    assert nearest.value == pytest.approx(0.0, abs=1e-6)
    assert nearest.notes[0].values["exponent"] == 0.25
    fuller = found.tables[1].rows[0]
    assert fuller[0] == "concrete" and fuller[1] == 0.5
    assert fuller[2:] == (pytest.approx(0.2286, abs=1e-4), pytest.approx(0.25), 0.25)


def test_without_a_sieve_that_all_passes_there_is_no_packing_curve(bench, soil):
    found = worked(bench, sieve(bench, soil, STACK, pan="24 g"))
    held = told(found, "Distance from the nearest packing curve")
    assert isinstance(held, Withheld) and held.fault.code == "largest_size_not_known"


# --- hydrometer ---

READINGS = {"2": "45", "30": "30", "1440": "15"}


def test_a_hydrometer_by_hand_joined_with_the_sieves(bench, soil):
    """2650 kg/m³, 20 °C: a = 1. Corrected 40, 25, 10 of 50 g: 80, 50, 20 % of the portion; 95 % passed 2 mm: 76, 47.5, 19 %.

    76 % of the whole at 2 min is more than the 60 % that passed 0.075 mm: so the first reading is taken as 33: 28/50 · 0.95 = 53.2 %.
    Depth at 15 + 1: 163 - 1.641 · 16 = 136.7 mm; K of today's water 0.013634 (table 0.01365): 0.013634 √(13.67/1440) = 0.001329 mm.
    """
    sieve(bench, soil, LOAM, pan="600 g", start="1000 g")
    entry = hydrometer(bench, soil, {**READINGS, "2": "33"}, grain_density="2650 kg_m3")
    found = worked(bench, entry)
    assert found.questions == ()
    finest = found.tables[0].rows[-1]
    assert finest == (1440.0, 10.0, pytest.approx(0.001329, abs=2e-6), pytest.approx(0.20))
    curve = gradings.soil_curve(bench.state, soil)
    assert curve.passing[-3:] == pytest.approx((0.532, 0.475, 0.19))
    assert [checked(point.passing) for point in curve.points[-3:]] == pytest.approx([0.532, 0.475, 0.19])
    assert [checked(point.size) for point in curve.points[-1:]] == [pytest.approx(0.001329, abs=2e-6)]
    # 0.002 mm lies between 0.001329 (19 %) and the size at 30 min, 0.013634 √(11.21/30) = 0.008335 mm (47.5 %)
    by_hand = 0.19 + 0.285 * math.log(0.002 / 0.001329) / math.log(0.008335 / 0.001329)
    assert checked(told(found, "Clay, finer than 0.002 mm")) == pytest.approx(by_hand, abs=2e-4)
    assert checked(told(found, "D30")) < 0.01
    # the curve stands on both entries
    assert len(told(found, "D60").entries()) == 2


def test_more_fines_than_passed_the_sieve_is_asked_about(bench, soil):
    sieve(bench, soil, LOAM, pan="600 g", start="1000 g")
    found = worked(bench, hydrometer(bench, soil, READINGS))
    (question,) = found.questions
    assert question.code == "curves_do_not_meet" and "76 %" in says_in_full(question)
    assert gradings.soil_curve(bench.state, soil).sizes[-1] == 0.075, "the sieves alone still count"
    assert told(found, "Clay, finer than 0.002 mm").value > 0.2, "of what was in the cylinder"


def test_a_missing_temperature_is_asked_for_clearly(bench, soil):
    entry = hydrometer(bench, soil, READINGS, temperature=None)
    found = worked(bench, entry)
    (question,) = found.questions
    assert (question.code, question.about) == ("temperature_missing", (entry,))
    assert says_in_full(question).startswith("How warm was the suspension?")
    assert isinstance(found.results[0].result, Withheld)


def test_a_temperature_beside_each_reading_is_enough(bench, soil):
    table = {f"readings-{place}-temperature": "20 degC" for place in range(3)}
    assert codes(worked(bench, hydrometer(bench, soil, READINGS, temperature=None, **table))) == []


def test_one_reading_without_temperature_is_left_out_and_asked_about(bench, soil):
    table = {f"readings-{place}-temperature": "20 degC" for place in range(2)}
    found = worked(bench, hydrometer(bench, soil, READINGS, temperature=None, **table))
    assert codes(found) == ["temperature_missing"]
    assert [row[2] is None for row in found.tables[0].rows] == [False, False, True]


def test_a_missing_blank_is_asked_for(bench, soil):
    assert codes(worked(bench, hydrometer(bench, soil, READINGS, blank=None))) == ["blank_missing"]


def test_a_warm_test_with_a_cold_blank_is_corrected_by_the_density_of_water(bench, soil):
    """25 against 20 °C: (998.205 - 997.052)/0.62264 = 1.85 g/l more; 10 becomes 11.85, of 50 g 23.7 %."""
    found = worked(bench, hydrometer(bench, soil, READINGS, temperature="25 degC", blank_temperature="20 degC"))
    assert found.tables[0].rows[-1][1] == pytest.approx(11.85, abs=0.01)
    by_paper = worked(bench, hydrometer(bench, soil, READINGS, temperature="25 degC", temperature_correction="1.3"))
    assert by_paper.tables[0].rows[-1][1] == pytest.approx(11.3)


def test_grain_density_comes_from_the_pycnometer_of_the_soil(bench, soil):
    assert "grain_density_usual" in noted(worked(bench, hydrometer(bench, soil, READINGS)))
    bench.write("pycnometer", source=soil, reported="2.75 kg_l")
    found = worked(bench, hydrometer(bench, soil, READINGS))
    assert "grain_density_usual" not in noted(found)
    # a = 2.75 · 1.65/(1.75 · 2.65) = 0.97844; 10/50 of it
    assert found.tables[0].rows[-1][3] == pytest.approx(0.2 * 0.97844, abs=1e-5)


def test_a_151h_and_a_152h_agree_on_one_suspension(bench, soil):
    """30 - 5 g/l of 2650 kg/m³ are 25 · 1.65/2.65 = 15.57 kg/m³, or 0.01559 on the other scale."""
    one = worked(bench, hydrometer(bench, soil, {"30": "30"}))
    other = worked(bench, hydrometer(bench, soil, {"30": "1.01859"}, instrument="151h", blank="1.003", meniscus="0.0005"))
    assert other.tables[0].rows[0][3] == pytest.approx(one.tables[0].rows[0][3], rel=0.002)


def test_readings_that_rise_with_time_are_asked_about(bench, soil):
    found = worked(bench, hydrometer(bench, soil, {"2": "20", "30": "30"}))
    assert codes(found) == ["curve_wrong_way"]


@pytest.mark.parametrize(
    ("code", "typed"),
    [
        ("more_than_whole", {"dry_mass": "20 g"}),
        ("below_blank", {"blank": "20"}),
        ("out_of_range", {"temperature": "95 degC"}),
        ("grain_does_not_sink", {"grain_density": "800 kg_m3"}),
        ("needed", {"instrument": None}),
        ("needed", {"dry_mass": None}),
        ("negative", {"meniscus": "-1"}),
    ],
)
def test_bad_hydrometers_are_kept_and_asked_about(bench, soil, code, typed):
    found = worked(bench, hydrometer(bench, soil, READINGS, **typed))
    assert codes(found) == [code]
    says_in_full(found.questions[0])


def test_a_portion_whose_cut_is_not_said_is_not_joined(bench, soil):
    sieve(bench, soil, LOAM, pan="600 g", start="1000 g")
    found = worked(bench, hydrometer(bench, soil, {**READINGS, "2": "33"}, cut=None))
    assert codes(found) == ["cut_missing"] and "shares_of_portion" in noted(found)


def test_without_a_sieving_it_is_said_what_the_shares_are_of(bench, soil):
    found = worked(bench, hydrometer(bench, soil, READINGS))
    assert "shares_of_portion_no_sieving" in noted(found)
    assert gradings.soil_curve(bench.state, soil) is None


def test_reported_sizes_need_their_whole(bench, soil):
    sieve(bench, soil, LOAM, pan="600 g", start="1000 g")
    table = rows("reported", ("size", "mm", ("0.02", "0.002")), ("finer", "pct", ("50", "20")))
    assert codes(worked(bench, bench.write("hydrometer", source=soil, **table))) == ["reported_of_missing"]
    whole = worked(bench, bench.write("hydrometer", source=soil, reported_of="whole", **table))
    assert told(whole, "Clay, finer than 0.002 mm").value == pytest.approx(0.20)
    portion = worked(bench, bench.write("hydrometer", source=soil, reported_of="portion", cut="2 mm", **table))
    assert told(portion, "Clay, finer than 0.002 mm").value == pytest.approx(0.20 * 0.95)
    assert codes(worked(bench, bench.write("hydrometer", source=soil))) == ["no_readings"]


def test_a_step_below_the_finest_sieve_is_asked_about_and_joined(bench, soil):
    """60 % pass 0.075 mm, 20 % are finer than 0.05 mm: 40 % between two neighbours."""
    sieve(bench, soil, LOAM, pan="600 g", start="1000 g")
    table = rows("reported", ("size", "mm", ("0.05", "0.002")), ("finer", "pct", ("20", "10")))
    found = worked(bench, bench.write("hydrometer", source=soil, reported_of="whole", **table))
    (question,) = found.questions
    assert (question.code, question.grade) == ("curves_step", "unlikely")
    assert gradings.soil_curve(bench.state, soil).sizes[-1] == 0.002


# --- pipette ---


def test_a_pipette_by_hand(bench, soil):
    """20 g in 500 ml, 20 ml drawn: 0.25 g with 0.02 g of dispersant is 28.75 %. 100 mm in 27 856 s at 20 °C: 0.002 mm (ISO 11277)."""
    minutes = f"{27856 / 60:.4f}"
    table = rows(
        "samples", ("after", "min", ("4.64", minutes)), ("depth", "mm", ("100", "100")), ("residue", "g", ("0.52", "0.25"))
    )
    typed = {
        "dry_mass": "20 g",
        "suspension_volume": "500 ml",
        "pipette_volume": "20 ml",
        "agent": "0.02 g",
        "temperature": "20 degC",
    }
    found = worked(bench, bench.write("pipette", source=soil, **table, **typed))
    assert found.questions == ()
    coarse, fine = found.tables[0].rows
    assert fine[2:] == (pytest.approx(0.002, rel=0.005), pytest.approx(0.2875))
    assert coarse[2:] == (pytest.approx(0.020, rel=0.005), pytest.approx(0.625))


def test_a_pipette_without_blank_or_volume(bench, soil):
    table = rows("samples", ("after", "min", ("5", "464")), ("depth", "mm", ("100", "100")), ("residue", "g", ("0.5", "0.2")))
    typed = {"dry_mass": "20 g", "pipette_volume": "20 ml", "temperature": "20 degC"}
    assert codes(worked(bench, bench.write("pipette", source=soil, **table, **typed))) == ["needed"]
    found = worked(bench, bench.write("pipette", source=soil, **table, **typed, suspension_volume="0.5 l"))
    assert "agent_not_weighed" in noted(found)


def test_passing_and_sizes_of_a_soil_for_other_stages(bench, soil):
    sieve(bench, soil, LOAM, pan="600 g", start="1000 g")
    curve = gradings.soil_curve(bench.state, soil)
    assert checked(gradings.passing_finding(curve, 0.425)) == pytest.approx(0.80)
    assert checked(gradings.size_finding(curve, 0.80)) == pytest.approx(0.425)
    assert gradings.reaches(curve, 2.0) and not gradings.reaches(curve, 0.002)
