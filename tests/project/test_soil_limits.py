"""Limits and shrinkage of a soil: entries in, results with their working out; nothing lost, what cannot be is asked about."""

import re

import pytest

from loamwright.formula import evaluate
from loamwright.project.finding import Finding, Withheld, working
from loamwright.project.soil_tests import SOIL_TESTS, questions
from loamwright.words.sentences import of_note, sentence


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Red clay")


def table(field, *rows):
    """Rows of a table as a form sends them."""
    return {f"{field}-{i}-{name}": text for i, row in enumerate(rows) for name, text in row.items()}


def worked(bench, entry):
    return SOIL_TESTS.worked(bench.state, bench.state.fact(entry, bench.state.find(entry).kind))


def value(found, name):
    """A result, after every line of its working was evaluated again from its printed numbers."""
    finding = found.finding(name)
    assert isinstance(finding, Finding), name
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-5, abs=1e-7)
    return finding.value


def codes(notes):
    return [each.code for each in notes]


def cup(bench, soil, *trials, **more):
    rows = [{"blows": str(blows), "water": f"{water} %"} for blows, water in trials]
    return bench.write("cup_limit", source=soil, **table("trials", *rows), **more)


def threads(bench, soil, *waters, **more):
    return bench.write("plastic_threads", source=soil, **table("threads", *({"water": f"{each} %"} for each in waters)), **more)


# --- liquid limit ---


def test_a_textbook_liquid_limit(bench, soil):
    """Das and Sobhan, 9th ed., problem 4.3: 39.7 %; least squares 39.67, flow index 10.72."""
    found = worked(bench, cup(bench, soil, (15, 42.0), (20, 40.8), (28, 39.1)))
    assert value(found, "liquid_limit") == pytest.approx(0.3967, abs=0.0002)
    assert value(found, "flow_index") == pytest.approx(0.1072, abs=0.0002)
    band = found.finding("liquid_limit").band
    assert band.low < 0.3967 < band.high and band.share == 0.90
    assert found.questions == () and len(found.tables[0].rows) == 3


def test_tins_with_tare_make_the_same_limit(bench, soil):
    """Open laboratory data, four tins: 28.153, 28.438, 28.365, 28.766 %, limit 28.18 %."""
    tins = [
        ("26", "13.462 g", "12.078 g", "7.162 g"),
        ("21", "14.385 g", "12.801 g", "7.231 g"),
        ("20", "13.401 g", "12.029 g", "7.192 g"),
        ("19", "13.082 g", "11.749 g", "7.115 g"),
    ]
    rows = [dict(zip(("blows", "wet", "dry", "tare"), tin, strict=True)) for tin in tins]
    found = worked(bench, bench.write("cup_limit", source=soil, **table("trials", *rows)))
    assert value(found, "liquid_limit") == pytest.approx(0.2818, abs=0.0005)
    assert [row[2] for row in found.tables[0].rows] == pytest.approx([0.28153, 0.28438, 0.28365, 0.28766], abs=1e-5)


def test_one_trial_by_the_one_point_method(bench, soil):
    """30 % at 20 blows: 29.2 % (factor 0.973)."""
    found = worked(bench, cup(bench, soil, (20, 30.0)))
    assert value(found, "liquid_limit") == pytest.approx(0.292, abs=0.0005)
    far = worked(bench, cup(bench, soil, (12, 30.0)))
    assert codes(far.finding("liquid_limit").notes) == ["one_point_blows"]


def test_a_trial_against_the_fall_is_computed_with_and_asked(bench, soil):
    entry = cup(bench, soil, (48, 32), (38, 35), (29, 40), (20, 46), (24, 52))
    found = worked(bench, entry)
    (asked,) = found.questions
    assert (asked.code, asked.grade, asked.about) == ("flow_curve_rises", "unlikely", (entry,))
    assert "24 blows" in sentence(asked.code, asked.values)
    assert found.finding("liquid_limit") is not None


def test_a_row_that_cannot_be_is_asked_about_and_spoils_no_other(bench, soil):
    """A dry tin above the damp one, and a row with blows alone: the three others give the limit."""
    good = [{"blows": b, "water": f"{w} %"} for b, w in (("15", "42"), ("20", "40.8"), ("28", "39.1"))]
    bad = [{"blows": "22", "wet": "12 g", "dry": "13 g", "tare": "7 g"}, {"blows": "23"}, {"blows": "0", "water": "40 %"}]
    found = worked(bench, bench.write("cup_limit", source=soil, **table("trials", *bad, *good)))
    assert value(found, "liquid_limit") == pytest.approx(0.3967, abs=0.0002)
    assert [(each.code, each.values["row"]) for each in found.questions] == [
        ("wet_below_dry", 1),
        ("row_without_water", 2),
        ("not_positive", 3),
    ]
    assert [row[0] for row in found.tables[0].rows] == ["4", "5", "6"]


def test_paste_that_gets_wetter_with_blows_gives_no_limit(bench, soil):
    found = worked(bench, cup(bench, soil, (20, 30), (30, 36)))
    assert isinstance(found.results[0].result, Withheld)
    (asked,) = found.questions
    assert asked.code == "flow_curve_not_falling" and "30, 36 % of water" in sentence(asked.code, asked.values)


def test_a_report_alone_and_a_report_beside_readings(bench, soil):
    alone = worked(bench, bench.write("cup_limit", source=soil, reported="41 %", found_by="Laboratory A, 17"))
    assert value(alone, "liquid_limit") == pytest.approx(0.41)
    both = worked(bench, cup(bench, soil, (15, 42.0), (20, 40.8), (28, 39.1), reported="48 %"))
    assert value(both, "liquid_limit") == pytest.approx(0.3967, abs=0.0002)
    assert codes(both.notes) == ["reported_differs"]


def test_neither_readings_nor_report_says_what_is_needed(bench, soil):
    found = worked(bench, bench.write("cup_limit", source=soil))
    assert [each.code for each in found.questions] == ["needed"]


def test_the_cone(bench, soil):
    """1 % a millimetre: 44 % at 20 mm."""
    rows = [{"penetration": f"{d} mm", "water": f"{w} %"} for d, w in ((16, 40), (19, 43), (21, 45), (24, 48))]
    found = worked(bench, bench.write("cone_limit", source=soil, **table("trials", *rows)))
    assert value(found, "liquid_limit") == pytest.approx(0.44)
    light = worked(bench, bench.write("cone_limit", source=soil, cone="60g_60deg", **table("trials", *rows)))
    assert value(light, "liquid_limit") == pytest.approx(0.34)


def test_a_cone_that_sinks_less_into_wetter_paste_is_asked_about(bench, soil):
    rows = [{"penetration": f"{d} mm", "water": f"{w} %"} for d, w in ((16, 43), (20, 40), (22, 46), (24, 48))]
    found = worked(bench, bench.write("cone_limit", source=soil, **table("trials", *rows)))
    assert [each.code for each in found.questions] == ["cone_line_falls"] and found.finding("liquid_limit") is not None


# --- plastic limit and the index ---


def test_threads_with_the_newest_liquid_limit(bench, soil):
    """Mean of 18.5 and 18.9 is 18.7; 39.67 − 18.7 = 20.97 (published 21.0); at 26 %, (26 − 18.7)/20.97 = 0.348."""
    bench.write("pan_test", about=soil, wet="126 g", dry="100 g")
    cup(bench, soil, (15, 42.0), (20, 40.8), (28, 39.1))
    found = worked(bench, threads(bench, soil, 18.5, 18.9, clay="30 %"))
    assert value(found, "plastic_limit") == pytest.approx(0.187)
    assert value(found, "plasticity_index") == pytest.approx(0.2097, abs=0.0002)
    assert value(found, "liquidity_index") == pytest.approx(0.348, abs=0.001)
    assert value(found, "consistency_index") == pytest.approx(1 - 0.348, abs=0.001)
    assert value(found, "toughness_index") == pytest.approx(20.97 / 10.72, rel=1e-3)
    assert value(found, "activity") == pytest.approx(0.2097 / 0.30, rel=1e-3)
    assert codes(found.says)[:2] == ["above_a_line", "activity_inactive"]  # A-line at 39.67: 0.73 · 19.67 = 14.4
    assert found.questions == ()


def test_a_laboratory_liquid_limit_serves_as_well(bench, soil):
    bench.write("limits", source=soil, liquid_limit="48 %")
    found = worked(bench, threads(bench, soil, 21))
    assert value(found, "plasticity_index") == pytest.approx(0.27)
    assert codes(found.finding("plastic_limit").notes) == ["threads_few"]


def test_plastic_above_liquid_is_kept_and_questioned(bench, soil):
    first = cup(bench, soil, (20, 21.0), (30, 20.0), (25, 20.5))
    second = threads(bench, soil, 25.0, 25.2)
    found = worked(bench, second)
    assert value(found, "plastic_limit") == pytest.approx(0.251)
    assert isinstance(found.results[1].result, Withheld)
    (asked,) = found.questions
    assert (asked.code, asked.grade, asked.about) == ("limits_swapped", "impossible", tuple(sorted((first, second))))
    assert "25.1 %, lies above the liquid limit, 20.5 %" in sentence(asked.code, asked.values)
    assert [each.code for each in questions(bench.state)] == ["limits_swapped"]  # once, not by both tests


def test_a_reported_plastic_limit_above_a_measured_liquid_one_is_asked_about_once(bench, soil):
    report = bench.write("limits", source=soil, liquid_limit="40 %", plastic_limit="25 %")
    entry = cup(bench, soil, (20, 21.0), (30, 20.0), (25, 20.5))
    (asked,) = questions(bench.state)
    assert (asked.code, asked.about) == ("limits_swapped", tuple(sorted((report, entry))))


def test_an_older_liquid_limit_keeps_to_itself(bench, soil):
    """20 and 31.25 blows lie as far from 25 on either side in log10: the limit is midway, 40; 40 − 20 for the newer cup alone."""
    threads(bench, soil, 20, 20)
    older = cup(bench, soil, (20, 51.0), (31.25, 49.0))
    newer = cup(bench, soil, (20, 41.0), (31.25, 39.0))
    assert worked(bench, older).finding("plasticity_index") is None
    assert value(worked(bench, newer), "plasticity_index") == pytest.approx(0.20)


def test_no_thread_and_no_index(bench, soil):
    cup(bench, soil, (20, 21.0), (30, 20.0), (25, 20.5))
    found = worked(bench, bench.write("plastic_threads", source=soil, none_rolled="yes"))
    assert codes(found.says)[0] == "not_plastic" and found.questions == ()
    both = worked(bench, threads(bench, soil, 18, 18.2, none_rolled="yes"))
    assert [each.code for each in both.questions] == ["threads_rolled_after_all"]


def test_threads_without_a_liquid_limit_ask_for_it(bench, soil):
    assert codes(worked(bench, threads(bench, soil, 18, 18.2)).says) == ["other_limit_needed"]


def test_above_the_u_line_is_told(bench, soil):
    """At 50 % the U-line is at 37.8 %; 50 − 10 = 40."""
    bench.write("limits", source=soil, liquid_limit="50 %")
    assert codes(worked(bench, threads(bench, soil, 10, 10)).says)[:2] == ["above_u_line", "above_a_line"]


# --- shrinkage ---


def test_bars_straight_curved_and_broken(bench, soil):
    """140 mm unless said otherwise; each is 128.8 mm when dry: 8.0 %, an index of about 17 %."""
    straight = worked(bench, bench.write("shrinkage_bar", source=soil, dried="128.8 mm"))
    curved = worked(bench, bench.write("shrinkage_bar", source=soil, mould="140 mm", top="126.8 mm", bottom="130.8 mm"))
    broken = worked(bench, bench.write("shrinkage_bar", source=soil, pieces=["60 mm", "40.5 mm", "28.3 mm"]))
    assert [value(each, "linear_shrinkage") for each in (straight, curved, broken)] == pytest.approx([0.08] * 3)
    assert value(straight, "plasticity_index") == pytest.approx(0.1704)


def test_a_bar_longer_than_its_mould_is_asked_about(bench, soil):
    found = worked(bench, bench.write("shrinkage_bar", source=soil, dried="150 mm"))
    assert [each.code for each in found.questions] == ["bar_longer_than_mould"]
    much = worked(bench, bench.write("shrinkage_bar", source=soil, dried="80 mm"))
    assert [(each.code, each.grade) for each in much.questions] == [("shrinkage_strange", "unlikely")]


def test_the_long_box_with_cracks_and_both_tables(bench, soil):
    """10 mm of gap and two cracks of 1.5 mm are 13 mm: 2.17 %; the manuals say 1:18, East African practice 1:16."""
    entry = bench.write("shrinkage_box", source=soil, gap="10 mm", cracks=["1.5 mm", "1.5 mm"], dried="shade", dried_for="6 d")
    found = worked(bench, entry)
    assert value(found, "linear_shrinkage") == pytest.approx(13 / 600)
    assert [row[3] for row in found.tables[0].rows] == [18.0, 16.0]
    assert [row[4] for row in found.tables[0].rows] == pytest.approx([1 / 18, 1 / 16])
    assert [row[5] for row in found.tables[0].rows] == ["recalled, unverified", "common practice"]
    assert codes(found.notes) == ["box_dried_short", "cracks_counted"]
    assert codes(found.says) == ["shrinks_little", "box_tables_differ", "box_tables_standing"]


def test_another_box_gives_shrinkage_and_no_table(bench, soil):
    found = worked(bench, bench.write("shrinkage_box", source=soil, gap="20 mm", width="85 mm", depth="35 mm"))
    assert value(found, "linear_shrinkage") == pytest.approx(20 / 600)
    assert found.tables == () and codes(found.notes) == ["box_not_classic"]


@pytest.mark.parametrize(("gap", "code"), [("24.5 mm", "box_table_hole"), ("55 mm", "box_table_ends")])
def test_a_hole_and_the_end_of_one_table_are_told(bench, soil, gap, code):
    says = worked(bench, bench.write("shrinkage_box", source=soil, gap=gap)).says
    (told,) = [each for each in says if each.code.startswith("box_table_")]
    assert told.code == code and "East African practice" in of_note(told)


def test_beyond_both_tables_nothing_is_made_up(bench, soil):
    found = worked(bench, bench.write("shrinkage_box", source=soil, gap="70 mm"))
    assert [row[3] for row in found.tables[0].rows] == [None, None]
    assert codes(found.says) == ["shrinks_much", "box_tables_silent", "box_tables_standing"]


def test_a_textbook_pat(bench, soil):
    """Das and Sobhan, 9th ed., problem 4.10: 20.36 %, 1.75."""
    entry = bench.write("shrinkage_dish", source=soil, wet="37 g", dry="28 g", wet_volume="19.3 ml", dry_volume="16 ml")
    found = worked(bench, entry)
    assert value(found, "shrinkage_limit") == pytest.approx(0.2036, abs=0.0001)
    assert value(found, "shrinkage_ratio") == pytest.approx(1.75)
    swapped = bench.write("shrinkage_dish", source=soil, wet="37 g", dry="28 g", wet_volume="16 ml", dry_volume="19.3 ml")
    assert [each.code for each in worked(bench, swapped).questions] == ["pat_grew"]


def test_every_note_and_question_has_words(bench, soil):
    """No placeholder is left open in anything these tests say."""
    cup(bench, soil, (12, 30.0))
    cup(bench, soil, (48, 32), (38, 35), (29, 40), (20, 46), (24, 52), reported="20 %")
    threads(bench, soil, 18.0, 24.0, clay="60 %")
    bench.write("shrinkage_box", source=soil, gap="10 mm", cracks=["1.5 mm"], dried="sun", dried_for="2 d")
    for test in SOIL_TESTS.made(bench.state, soil):
        found = SOIL_TESTS.worked(bench.state, test)
        told = [note for each in found.results if isinstance(each.result, Finding) for note in each.result.all_notes()]
        said = [of_note(note) for note in (*told, *found.notes, *found.says)]
        assert [each for each in said if re.search(r"(^|\s)\?", each)] == []  # a value that is lacking is said as a bare "?"
        assert said
