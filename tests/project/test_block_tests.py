"""Tests of blocks on real entries, by hand: sizes, water, wear; what is noted, said and asked. The batch is that of `pressed.py`."""

import pytest
from tests.project.block_results import checked, codes, noted, said, told, worked

from loamwright.notebook.kinds import kinds
from loamwright.project import today
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.finding import Withheld
from loamwright.words.sentences import of_note, sentence


@pytest.fixture
def block(bench):
    """2.2 kg at 10 % water: 2.0 kg dry, 100 x 100 x 100 mm."""
    return bench.block(bench.weighed_batch(), bench.press(), 1)


def test_every_test_is_of_the_page_break_and_about_a_field_it_has():
    for name, test in BLOCK_TESTS.by_kind().items():
        assert kinds()[name].verb == "break" and any(each.name == test.about for each in kinds()[name].fields)


# --- sizes ---

SIDES = {
    "lengths": ["294 mm", "295 mm", "296 mm"],
    "widths": ["139 mm", "140 mm", "141 mm"],
    "heights": ["89 mm", "90 mm", "91 mm"],
}


def test_a_measured_block_by_hand(bench, block):
    """295 x 140 x 90: face 41300 mm², 0.003717 m³; 7.434 kg are 2000 kg/m³; 6.6906 kg dry are 1800; the mould was 100 x 100."""
    found = worked(bench, bench.write("block_sizes", block=block, mass="7.434 kg", dry_mass="6.6906 kg", **SIDES))
    assert checked(told(found, "Length")) == pytest.approx(295.0)
    assert checked(told(found, "Gross area, mm²")) == pytest.approx(41300.0)
    assert checked(told(found, "Volume")) == pytest.approx(0.003717)
    assert checked(told(found, "Density as measured")) == pytest.approx(2000.0)
    assert checked(told(found, "Dry density")) == pytest.approx(1800.0)
    assert found.tables[0].rows[0] == ("Length", 295.0, 2.0, 195.0)
    assert said(found) == ["size_out_of_tolerance"] * 2 and found.questions == ()
    assert of_note(found.says[0]) == "The length is 195 mm off; 2 mm either way is allowed."


def test_within_tolerance_nothing_is_said(bench, block):
    wanted = {"wanted_length": "294 mm", "wanted_width": "141 mm", "wanted_height": "90 mm"}
    assert said(worked(bench, bench.write("block_sizes", block=block, **SIDES, **wanted))) == []
    tight = worked(bench, bench.write("block_sizes", block=block, tolerance="0.5 mm", **SIDES, **wanted))
    assert [note.values["off"] for note in tight.says] == [1.0, -1.0]


def test_a_hollow_block_with_a_frog_by_hand(bench, block):
    """Two round holes of 60 mm and one of 50 x 40: 5654.87 + 2000 = 7654.87 mm², 18.53 % of 41300; net 33645.13 mm².

    Through 90 mm they take 0.00068894 m³; with a frog of 0.1 l the volume is 0.003717 - 0.00078894 = 0.00292806 m³.
    """
    holes = {"holes-0-shape": "round", "holes-0-across": "60 mm", "holes-0-count": "2"}
    holes |= {"holes-1-shape": "square", "holes-1-across": "50 mm", "holes-1-along": "40 mm"}
    entry = bench.write("block_sizes", block=block, frog="0.1 l", mass="5.85612 kg", moisture="0 %", **SIDES, **holes)
    found = worked(bench, entry)
    assert checked(told(found, "Net area, mm²")) == pytest.approx(33645.13, abs=0.01)
    assert checked(told(found, "Holes over face")) == pytest.approx(0.18535, abs=1e-5)
    assert checked(told(found, "Volume")) == pytest.approx(0.00292806, abs=1e-8)
    assert checked(told(found, "Dry density")) == pytest.approx(2000.0, abs=0.01)


def test_strange_sizes_are_kept_and_asked_about(bench, block):
    wide = worked(bench, bench.write("block_sizes", block=block, **{**SIDES, "heights": ["90 mm", "99 mm", "90 mm"]}))
    assert codes(wide) == ["side_uneven"]
    inches = worked(bench, bench.write("block_sizes", block=block, mass="0.7 kg", **SIDES))
    assert codes(inches) == ["cured_density_strange"]
    zero = worked(bench, bench.write("block_sizes", block=block, **{**SIDES, "heights": ["0 mm", "90 mm", "90 mm"]}))
    assert codes(zero) == ["not_positive"] and isinstance(told(zero, "Height"), Withheld)
    swapped = worked(bench, bench.write("block_sizes", block=block, mass="6 kg", dry_mass="7 kg", **SIDES))
    assert codes(swapped) == ["dry_above_mass"]
    holes = {"holes-0-shape": "square", "holes-0-across": "50 mm"}
    assert codes(worked(bench, bench.write("block_sizes", block=block, **SIDES, **holes))) == ["needed"]
    holes |= {"holes-0-along": "50 m"}
    assert "voids_fill_block" in codes(worked(bench, bench.write("block_sizes", block=block, **SIDES, **holes)))


def test_length_followed_through_a_soak_and_a_drying(bench, block):
    """(0.3 + 0.5)/2 = 0.4 mm of 200 is 0.2 %, above 0.15 % (IS 1725:2013, memory)."""
    lines = {"lines-0-before": "200 mm", "lines-0-after": "200.3 mm", "lines-1-before": "200 mm", "lines-1-after": "200.5 mm"}
    wet = worked(bench, bench.write("block_length_change", block=block, what="soaked", **lines))
    assert checked(told(wet, "Swell on soaking")) == pytest.approx(0.002) and said(wet) == ["block_swells"]
    one = {"lines-0-before": "200 mm", "lines-0-after": "199.8 mm"}
    dry = worked(bench, bench.write("block_length_change", block=block, what="dried", **one))
    assert checked(told(dry, "Shrinkage on drying")) == pytest.approx(0.001) and dry.questions == ()
    slip = {"lines-0-before": "200 mm", "lines-0-after": "180 mm"}
    assert codes(worked(bench, bench.write("block_length_change", block=block, what="dried", **slip))) == [
        "length_change_strange"
    ]


# --- water ---


def soaked(bench, block, *pairs, **typed):
    rows = {}
    for place, (after, mass) in enumerate(pairs):
        rows |= {f"weighings-{place}-after": after, f"weighings-{place}-mass": mass}
    return worked(bench, bench.write("block_soaking", block=block, **rows, **typed))


def test_soaked_four_hours_and_a_day_by_hand(bench, block):
    """2.2 kg on 2.0 dry after 4 h is 10 %, 2.3 kg after a day 15 %: the day counts; boiled to 2.4: 0.3/0.4 = 0.75."""
    found = soaked(bench, block, ("24 h", "2.3 kg"), ("4 h", "2.2 kg"), dry_mass="2 kg", boiled="2.4 kg")
    assert checked(told(found, "Absorption")) == pytest.approx(0.15)
    assert [row[2] for row in found.tables[0].rows] == pytest.approx([0.10, 0.15])
    assert checked(told(found, "Absorption by boiling")) == pytest.approx(0.20)
    assert checked(told(found, "Cold over boiled")) == pytest.approx(0.75)
    assert (found.notes, found.questions) == ((), ())


def test_a_soak_of_four_hours_only_is_said(bench, block):
    found = soaked(bench, block, ("4 h", "2.2 kg"), dry_mass="2 kg")
    assert checked(told(found, "Absorption")) == pytest.approx(0.10) and noted(found) == ["soak_other_than_day"]


def test_bad_soaks_are_kept_and_asked_about(bench, block):
    assert codes(soaked(bench, block, ("24 h", "1.9 kg"), dry_mass="2 kg")) == ["lighter_after_soak"]
    assert codes(soaked(bench, block, ("24 h", "2.2 kg"))) == ["needed"]
    assert codes(soaked(bench, block, ("24 h", "3.2 kg"), dry_mass="2 kg")) == ["absorption_strange"]
    lost = soaked(bench, block, ("4 h", "2.3 kg"), ("24 h", "2.2 kg"), dry_mass="2 kg")
    assert codes(lost) == ["lighter_in_water"]
    assert noted(soaked(bench, block, ("24 h", "2.2 kg"), dry_mass="2 kg", crumbled="yes")) == ["crumbled_in_water"]
    assert codes(soaked(bench, block)) == ["needed"]
    assert told(soaked(bench, block, reported="12 %"), "Absorption").value == pytest.approx(0.12)
    assert codes(soaked(bench, block, reported="12 fraction")) == ["out_of_range"]


def test_a_damp_plate_against_its_two_and_a_half_per_cent(bench, block):
    """New Mexico 14.7.4.10.A: 4 in cube, 7 days, 2.5 %; 50 g on 2 kg is 2.5 %, 60 g 3 %."""
    typed = {"block": block, "dry_mass": "2 kg", "after": "7 d", "side": "4 in"}
    at_limit = worked(bench, bench.write("block_damp_plate", wet_mass="2.05 kg", **typed))
    assert checked(told(at_limit, "Gain on the damp plate")) == pytest.approx(0.025) and at_limit.notes == ()
    assert said(worked(bench, bench.write("block_damp_plate", wet_mass="2.06 kg", **typed))) == ["plate_above"]
    three = worked(bench, bench.write("block_damp_plate", wet_mass="2.04 kg", **{**typed, "after": "3 d", "side": "3 in"}))
    assert said(three) == ["plate_within"] and noted(three) == ["plate_days_other", "method_setting_other"]
    assert codes(worked(bench, bench.write("block_damp_plate", block=block, dry_mass="2 kg"))) == ["needed"]


def test_a_block_stood_in_water_by_hand(bench, block):
    """Face 413 cm²; 82.6 g at 1 min: 2 kg/(m² min); 400 g at 10 min: 40000/(413 √10) = 30.627, weakly capillary.

    Slope through (1, 2.0) and (3.16228, 9.6852) in √min and kg/m²: 7.6852/2.16228 = 3.5542.
    """
    rows = {
        "weighings-0-after": "1 min",
        "weighings-0-mass": "7.0826 kg",
        "weighings-1-after": "10 min",
        "weighings-1-mass": "7.4 kg",
    }
    face = {"length": "295 mm", "width": "140 mm", "dry_mass": "7 kg"}
    found = worked(bench, bench.write("block_capillary", block=block, depth="5 mm", **face, **rows))
    assert checked(told(found, "Capillary coefficient, g/(100 cm² √min)")) == pytest.approx(30.627, abs=1e-3)
    assert checked(told(found, "Initial suction, kg/(m² min)")) == pytest.approx(2.0)
    assert checked(told(found, "Slope over the root of time, kg/(m² √min)")) == pytest.approx(3.5542, abs=1e-3)
    assert of_note(found.says[0]).startswith("At 30.63 g/(100 cm² √min) it is weakly capillary by XP P13-901:2001 (memory)")
    assert found.notes == () and [row[1] for row in found.tables[0].rows] == pytest.approx([0.0826, 0.4])
    lighter = {**rows, "weighings-1-mass": "6.9 kg"}
    assert codes(worked(bench, bench.write("block_capillary", block=block, **face, **lighter))) == ["lighter_after_rise"]


# --- wear ---


def test_brushing_from_the_block_and_its_batch(bench, block):
    """2.2 kg at 10 % is 2.0 kg dry; 1.89 kg at the end over 1.015 is 1.8621 kg: 6.9 % lost, within 14 % for A-2-4."""
    found = worked(bench, bench.write("block_brushing", block=block, cycles="12", soil_group="A-2-4", final_dry_mass="1890 g"))
    assert checked(told(found, "Loss by brushing")) == pytest.approx(0.06897, abs=1e-5)
    assert said(found) == ["loss_within"] and (found.notes, found.questions) == ((), ())
    held = {row[0]: row[3] for row in found.tables[0].rows}
    assert held["IS 1725:2013"] == "above" and held["PCA soil-cement handbook"] == "within"


def test_a_clay_block_of_the_same_loss_is_above(bench, block):
    """1.89/1.03 = 1.83495: 8.25 % lost, above 7 % for A-7."""
    typed = {"block": block, "cycles": "6", "soil_group": "A-7", "final_dry_mass": "1890 g"}
    found = worked(bench, bench.write("block_freezing", coldest="-10 degC", **typed))
    assert checked(told(found, "Loss by brushing")) == pytest.approx(0.08252, abs=1e-5)
    assert said(found) == ["loss_above"] and noted(found) == ["cycles_other", "frost_not_cold"]


def test_brushing_without_stabiliser_binds_no_water(bench, block):
    typed = {"block": block, "cycles": "12", "stabiliser": "none", "moulded_mass": "2.2 kg", "moulded_water": "10 %"}
    found = worked(bench, bench.write("block_brushing", final_dry_mass="1.8 kg", **typed))
    assert checked(told(found, "Loss by brushing")) == pytest.approx(0.10) and found.tables == ()
    gone = worked(bench, bench.write("block_brushing", final_dry_mass="0 kg", **typed))
    assert checked(told(gone, "Loss by brushing")) == pytest.approx(1.0)


def test_bad_brushings_are_kept_and_asked_about(bench, block):
    typed = {"block": block, "cycles": "12", "final_dry_mass": "1.89 kg"}
    assert codes(worked(bench, bench.write("block_brushing", **typed))) == ["soil_group_missing"]
    heavier = {**typed, "soil_group": "A-4", "final_dry_mass": "2.4 kg"}
    assert codes(worked(bench, bench.write("block_brushing", **heavier))) == ["heavier_after_wear"]
    rows = {"weighings-0-cycle": "1", "weighings-0-mass": "2.1 kg", "weighings-1-cycle": "2", "weighings-1-mass": "2.3 kg"}
    assert codes(worked(bench, bench.write("block_brushing", **typed, **rows, soil_group="A-4"))) == ["heavier_between_cycles"]
    swollen = {"volume_before": "1 l", "volume_after": "1.03 l", "soil_group": "A-4"}
    assert "volume_changed_much" in said(worked(bench, bench.write("block_brushing", **typed, **swollen)))
    assert codes(worked(bench, bench.write("block_brushing", block=block, cycles="12"))) == ["needed"]


def sprayed(bench, block, *pairs, **typed):
    rows = {}
    for place, (after, depth) in enumerate(pairs):
        rows |= {f"readings-{place}-after": f"{after} min", f"readings-{place}-depth": f"{depth} mm"}
    return worked(bench, bench.write("block_spray", block=block, **rows, **typed))


def test_a_spray_by_hand(bench, block):
    """30 mm in 60 min: 30 mm/h, index 2; 60 mm through in 30 min: 120 mm/h, fails."""
    found = sprayed(
        bench, block, ("15", "9"), ("60", "30"), ("30", "16"), pressure="50 kPa", distance="470 mm", damp_depth="120 mm"
    )
    assert checked(told(found, "Erosion, mm/h")) == pytest.approx(30.0)
    assert checked(told(found, "Erodibility index")) == 2.0 and said(found) == ["spray_says", "damp_deep"]
    assert (found.notes, found.questions) == ((), ())
    through = sprayed(bench, block, ("30", "60"), pressure="50 kPa", through="yes")
    assert told(through, "Erodibility index").value == 5.0 and said(through) == ["spray_fails"]


def test_sprays_other_than_the_method_are_noted(bench, block):
    found = sprayed(bench, block, ("20", "9"), ("40", "5"), pressure="300 psi")
    assert noted(found) == ["spray_short"] and codes(found) == ["pit_shallower"]
    assert [note.code for note in told(found, "Erodibility index").notes] == ["spray_pressure_other"]
    assert codes(sprayed(bench, block, ("0", "9"))) == ["not_positive"]


@pytest.mark.parametrize(
    ("method", "pit", "code"),
    [("100_ml", "4", "drip_says"), ("100_ml", "15", "drip_fails"), ("steady", "10", "steady_drip_within"), ("steady", "11", "steady_drip_fails")],
)  # fmt: skip
def test_drips(bench, block, method, pit, code):
    """5, 10, 15 mm of NZS 4298:1998 and 10 mm of UNE 41410:2008, all memory."""
    found = worked(bench, bench.write("block_drip", block=block, method=method, pit=f"{pit} mm", took="30 min"))
    assert said(found) == [code]


def test_a_drip_too_quick_and_a_pit_below_nothing(bench, block):
    quick = worked(bench, bench.write("block_drip", block=block, method="100_ml", pit="4 mm", took="5 min", fall="1 m"))
    assert noted(quick) == ["drip_time_other", "method_setting_other"]
    assert codes(worked(bench, bench.write("block_drip", block=block, method="steady", pit="-4 mm"))) == ["negative"]


def test_abrasion_by_hand(bench, block):
    """295 x 25 mm is 73.75 cm²; 14.75 g off is 5.0 cm²/g and 0.2107 % of 7 kg."""
    typed = {"block": block, "brushed_length": "295 mm", "brushed_width": "25 mm", "mass_before": "7 kg"}
    found = worked(bench, bench.write("block_abrasion", mass_after="6985.25 g", load="3 kg", strokes="60", **typed))
    assert checked(told(found, "Abrasion coefficient, cm²/g")) == pytest.approx(5.0)
    assert checked(told(found, "Mass lost")) == pytest.approx(0.002107, abs=1e-6) and found.notes == ()
    other = worked(bench, bench.write("block_abrasion", mass_after="7 kg", load="2 kg", strokes="30", **typed))
    assert codes(other) == ["nothing_brushed_off"] and noted(other) == ["method_setting_other"] * 2


def test_dip_and_drop(bench, block):
    dip = worked(bench, bench.write("block_dip", block=block, mass_before="7 kg", came_off="0.35 kg", after="10 min"))
    assert checked(told(dip, "Lost in the water")) == pytest.approx(0.05) and said(dip) == ["dip_says"]
    assert codes(worked(bench, bench.write("block_dip", block=block, mass_before="7 kg"))) == ["needed"]
    drops = {"whole": "drop_passes", "halves": "drop_fails", "rubble": "drop_fails", "corner": "drop_corner_not_measured"}
    for did, code in drops.items():
        assert said(worked(bench, bench.write("block_drop", block=block, height="0.9 m", did=did))) == [code]
    corner = worked(bench, bench.write("block_drop", block=block, height="3 ft", did="corner", corner="101 mm"))
    assert said(corner) == ["drop_corner_fails"] and corner.notes == ()
    pieces = worked(
        bench,
        bench.write("block_drop", block=block, height="1.5 m", did="corner", corner="50 mm", mass="7 kg", largest_piece="4 kg"),
    )
    assert checked(told(pieces, "Largest piece")) == pytest.approx(4 / 7) and said(pieces) == ["drop_fails"]
    assert noted(pieces) == ["method_setting_other"]


def test_questions_of_block_tests_reach_the_day_with_their_sentences(bench, block):
    bench.write("block_soaking", block=block, dry_mass="2 kg", **{"weighings-0-after": "24 h", "weighings-0-mass": "3.2 kg"})
    (question,) = [each for each in today.questions(bench.state) if each.code == "absorption_strange"]
    assert question.grade == "unlikely"
    assert sentence(question.code, question.values).startswith("It would have taken up 60 % of its dry mass in water")
