"""Loading, splitting, rigs, and strengths that are not to be believed, on real entries; by hand from the job's own figures."""

import pytest
from tests.project.block_results import checked, codes, noted, said, told, worked

from loamwright.project import block_slips, breaking, doubts, today
from loamwright.project.finding import Finding, Withheld
from loamwright.words.sentences import of_note, sentence


@pytest.fixture
def batch(bench):
    return bench.weighed_batch()


@pytest.fixture
def block(bench, batch):
    return bench.block(batch, bench.press(), 1)


@pytest.fixture
def old(bench, batch, clock):
    """Eight blocks of one batch, four weeks old."""
    press = bench.press()
    made = [bench.block(batch, press, counter) for counter in range(1, 9)]
    clock.ahead(days=28)
    return bench, made


# --- how it was loaded ---


def test_rate_and_shape_of_a_crushed_block(bench, block):
    """30 kN on 100 x 100 mm is 3 MPa in 2 min: 1.5 MPa/min, 2.3 times slower than 500 psi/min; h/t 1.0: 0.70 and 0.58 of it."""
    bench.crush(block, "30 kN", height="100 mm")
    typed = {"block": block, "test": "crush", "took": "120 s", "capping": "board", "orientation": "flat", "swivel": "yes"}
    found = worked(bench, bench.write("block_loading", **typed))
    assert checked(told(found, "Stress rose by, MPa/min")) == pytest.approx(1.5)
    assert checked(told(found, "Load rose by, kN/min")) == pytest.approx(15.0)
    rates, shapes = found.tables
    assert rates.rows[0][3] == pytest.approx(1.5 / 3.4474, abs=1e-4)
    assert noted(found) == ["rate_slow"] * 3 and found.notes[0].values["times"] == pytest.approx(2.298, abs=1e-3)
    assert [(row[1], row[2], row[3]) for row in shapes.rows] == [
        (1.0, 0.70, pytest.approx(2.1)),
        (1.0, 0.58, pytest.approx(1.74)),
    ]
    assert all("19" in row[0] for row in shapes.rows)


def test_capping_and_orientation_are_said(bench, block):
    bench.crush(block, "30 kN")
    typed = {"block": block, "test": "crush", "capping": "nothing", "orientation": "end", "swivel": "no", "stacked": "yes"}
    found = worked(bench, bench.write("block_loading", **typed))
    assert noted(found) == ["not_capped", "not_loaded_flat", "plates_fixed", "halves_stacked", "loading_time_not_said"]
    assert found.tables == () and found.results == ()


def test_the_time_of_a_bent_block_is_taken_from_its_test(bench, block):
    """3·1000·0.8·250/(2·100·100²) = 0.3 MPa in 6 s: 3 MPa/min."""
    sizes = {"span": "250 mm", "width": "100 mm", "thickness": "100 mm"}
    bench.write("bend", block=block, condition="dry", load="0.8 kN", took="6 s", **sizes)
    found = worked(bench, bench.write("block_loading", block=block, test="bend"))
    assert checked(told(found, "Stress rose by, MPa/min")) == pytest.approx(3.0)
    assert [row[2] for row in found.tables[0].rows] == ["MPa/min", "kN/min"]


def test_a_loading_without_its_test_and_without_its_time(bench, block):
    assert codes(worked(bench, bench.write("block_loading", block=block, test="bend"))) == ["no_such_test_yet"]
    bench.crush(block, "30 kN")
    assert codes(worked(bench, bench.write("block_loading", block=block, test="crush", took="0 s"))) == ["not_positive"]


# --- splitting and pricking ---


def test_splitting_by_hand(bench, block):
    """2·6000/(π·100·100) = 0.38197 MPa."""
    typed = {"block": block, "condition": "dry", "shape": "block", "length": "100 mm", "depth": "100 mm", "strip": "wood"}
    found = worked(bench, bench.write("block_split", load="6 kN", took="23 s", **typed))
    assert checked(told(found, "Splitting strength")) == pytest.approx(0.38197, abs=1e-5)
    assert noted(found) == ["rig_not_named", "split_of_a_block"] and found.questions == ()
    assert codes(worked(bench, bench.write("block_split", load="60 kN", **typed))) == ["split_implausible"]
    assert codes(worked(bench, bench.write("block_split", **typed))) == ["needed"]
    assert codes(worked(bench, bench.write("block_split", load="-1 kN", **typed))) == ["negative"]
    rig = bench.write("rig", name="bottle jack", how="jack", ram_bore="50 mm")
    jack = worked(bench, bench.write("block_split", rig=rig, gauge="3 MPa", **typed))
    assert said(jack) == ["for_screening_only"]


def test_a_pricked_block(bench, block):
    """Means of 2, 2.5 and 3 kgf/cm²: 2.5 x 0.0980665 MPa; pushes of 1 kgf on 6.35 mm are 0.30966 MPa."""
    scale = worked(bench, bench.write("block_penetrometer", block=block, readings=["2 kgf_cm2", "2.5 kgf_cm2", "3 kgf_cm2"]))
    assert checked(told(scale, "Penetration resistance")) == pytest.approx(0.24516625)
    pushed = worked(bench, bench.write("block_penetrometer", block=block, forces=["1 kgf"], piston="6.35 mm"))
    assert told(pushed, "Penetration resistance").value == pytest.approx(0.30966, abs=1e-5)
    assert noted(pushed) == ["penetrometer_compares_only", "few_pricks"]
    assert codes(worked(bench, bench.write("block_penetrometer", block=block))) == ["needed"]
    assert codes(worked(bench, bench.write("block_penetrometer", block=block, forces=["1 kgf"]))) == ["needed"]


# --- rigs ---


def known(bench, rig, *rows, **typed):
    table = {f"loads-{place}-{name}": text for place, row in enumerate(rows) for name, text in row.items()}
    return worked(bench, bench.write("rig_known_loads", rig=rig, **table, **typed))


def test_a_jack_against_a_ring_by_hand(bench):
    """Bore 50 mm is 1963.5 mm²: 5, 10, 20 MPa are 9.817, 19.635, 39.270 kN; known 9, 18, 36: 36·0.91673/36 = 0.91673."""
    rig = bench.write("rig", name="bottle jack", how="jack", ram_bore="50 mm")
    rows = [{"known": f"{kn} kN", "gauge": f"{mpa} MPa"} for kn, mpa in ((9, 5), (18, 10), (36, 20))]
    found = known(bench, rig, *rows)
    assert checked(told(found, "True load over load shown")) == pytest.approx(0.91673, abs=1e-5)
    assert [of_note(each) for each in found.says] == [
        "Write jack factor 0.9167 down with bottle jack, so that strengths are computed with it."
    ]
    bench.correct(rig, "rig", name="bottle jack", how="jack", ram_bore="50 mm", calibration="0.8")
    again = known(bench, rig, *rows)
    assert said(again) == ["rig_was_otherwise"]


def test_a_display_against_a_hung_mass(bench):
    """100 kg is 0.980665 kN; shown 1.0 kN: 0.980665."""
    rig = bench.write("rig", name="frame", how="load")
    found = known(bench, rig, {"mass": "100 kg", "shown": "1 kN"})
    assert checked(told(found, "True load over load shown")) == pytest.approx(0.980665)
    assert [note.code for note in told(found, "True load over load shown").notes] == ["few_known_loads"]
    assert codes(known(bench, rig, {"mass": "100 kg"})) == ["needed"]
    assert codes(known(bench, rig, {"known": "10 kN", "shown": "1 kN"})) == ["out_of_range"]


def test_a_lever_by_scale_and_by_arms(bench):
    """Ratio 6 and 8.4 kg: the lever of the bench, arms 1200 and 200 mm, 2.8 kg balanced at 600 mm."""
    rig = bench.write("rig", name="long bar", how="lever")
    scale = {
        f"scale-{i}-{name}": f"{mass} kg"
        for i, row in enumerate(((0, 8.4), (10, 68.4), (20, 128.4)))
        for name, mass in zip(("hung", "scale"), row, strict=True)
    }
    by_scale = worked(bench, bench.write("rig_known_loads", rig=rig, **scale))
    arms = {"load_arm": "1200 mm", "block_arm": "200 mm", "lever_mass": "2.8 kg", "lever_centre": "600 mm"}
    by_arms = worked(bench, bench.write("rig_known_loads", rig=rig, **arms))
    for found in (by_scale, by_arms):
        assert checked(told(found, "Lever ratio")) == pytest.approx(6.0)
        assert checked(told(found, "Own effect of the lever")) == pytest.approx(8.4)
        assert said(found) == ["rig_write_down"] * 2
    assert codes(worked(bench, bench.write("rig_known_loads", rig=rig, load_arm="1 m"))) == ["needed"]
    assert codes(worked(bench, bench.write("rig_known_loads", rig=rig))) == ["needed"]


def test_kilograms_to_hang_on_the_jobs_lever(bench):
    """295 x 140 x 90 on 250 mm at 0.5 MPa: 1512 N, 154.2 kg on the block, 19.27 kg at 8:1 (the job: about 19 kg)."""
    rig = bench.write("rig", name="long bar", how="lever", lever_ratio="8", capacity="4 kN")
    sizes = {"span": "250 mm", "width": "140 mm", "thickness": "90 mm"}
    found = worked(bench, bench.write("rig_load_wanted", rig=rig, test="bend", strength="0.5 MPa", **sizes))
    assert checked(told(found, "Breaks at")) == pytest.approx(1.512)
    assert checked(told(found, "Hang for it")) == pytest.approx(19.27, abs=0.01)
    assert said(found) == ["rig_enough"]


def test_twenty_tonnes_do_not_break_six_hundred_psi_flat(bench):
    """600 psi on 14 x 10 in is 84,000 lbf = 373.7 kN: no 20 t jack (196 kN) does it (the job)."""
    rig = bench.write("rig", name="bottle jack", how="jack", ram_bore="2 in", capacity="20 tf")
    typed = {"rig": rig, "test": "crush", "strength": "600 psi", "length": "14 in", "width": "10 in"}
    found = worked(bench, bench.write("rig_load_wanted", **typed))
    assert checked(told(found, "Breaks at")) == pytest.approx(84_000 * 0.0044482216)
    assert said(found) == ["rig_too_weak", "rig_not_checked"]
    assert checked(told(found, "Gauge shows then")) == pytest.approx(84_000 / 3.14159265 / 0.9 * 0.006894757, rel=1e-6)
    assert codes(worked(bench, bench.write("rig_load_wanted", rig=rig, test="split", strength="0.1 MPa"))) == ["needed"]


# --- strengths that are not to be believed ---


def asked(bench):
    return doubts.questions(bench.state)


def test_a_block_at_forty_five_is_left_out_until_settled(old):
    """450 kN on 100 x 100 mm is 45 MPa, an artefact (the job); 450 kgf would be 0.4413 MPa, 450 lbf 0.20, out of belief.

    A load multiplied by the face of 100 cm² would be 0.45 MPa, as near within a tenth: a slip of unit is the commoner.
    """
    bench, made = old
    test = bench.crush(made[0], "450 kN")
    (question,) = asked(bench)
    assert (question.code, question.grade, question.about) == ("slip_other_unit", "impossible", (test,))
    assert (question.values["other"], question.values["corrected"]) == ("kgf", pytest.approx(0.4413, abs=1e-4))
    assert sentence(question.code, question.values).endswith("If 450 kN was kgf, it would be 0.4413 MPa.")
    assert breaking.strengths(bench.state) == ()
    bench.write("answer", question="slip_other_unit", about=[test], verdict="stands")
    assert [each.finding.value for each in breaking.strengths(bench.state)] == [pytest.approx(45.0)]
    assert [each.code for each in asked(bench)].count("slip_other_unit") <= 1


def test_a_correction_settles_it(old):
    bench, made = old
    test = bench.crush(made[0], "450 kN")
    bench.correct(test, "crush", block=made[0], load="45 kN", piece="whole", condition="dry", length="100 mm", width="100 mm")
    assert asked(bench) == () and breaking.strengths(bench.state)[0].finding.value == pytest.approx(4.5)


def test_beyond_belief_without_any_slip(old):
    """60 kg at 8:1 are 4.707 kN, on a face typed as 10 x 10 mm 47.1 MPa: of a bucket no slip of unit is known."""
    bench, made = old
    rig = bench.write("rig", name="long bar", how="lever", lever_ratio="8")
    typed = {"block": made[0], "condition": "dry", "piece": "whole", "length": "10 mm", "width": "10 mm"}
    bench.write("crush", rig=rig, bucket="60 kg", **typed)
    (question,) = asked(bench)
    assert (question.code, question.grade) == ("strength_beyond_belief", "impossible")
    assert question.values["strength"] == pytest.approx(60 * 8 * 9.80665 / 100)


def test_a_strength_only_too_high_is_computed_with_and_its_slip_told_once(old):
    """200 kN is 20 MPa; 200 lbf would be 0.09 and 200 kgf 0.196 MPa: nothing fits. 20.4 tf are 20 MPa, and 20.4 kN 2.04."""
    bench, made = old
    bench.crush(made[0], "200 kN")
    assert [each.code for each in asked(bench)] == ["strength_implausible"]
    bench.crush(made[1], "20.4 tf")
    found = {each.code: each for each in asked(bench)}
    assert sorted(found) == ["slip_other_unit", "strength_implausible"]
    assert found["slip_other_unit"].grade == "unlikely"
    assert (found["slip_other_unit"].values["other"], found["slip_other_unit"].values["corrected"]) == ("kN", pytest.approx(2.04))
    assert len(breaking.strengths(bench.state)) == 2


def test_the_force_times_the_ram_again(old):
    """A ram of 2 in is 3.1416 in²: 20,000 lbf times it is 62,832 lbf, on 52 in² 1208 psi = 8.33 MPa: believable, so not asked.

    On 100 x 100 mm = 15.5 in² it is 4054 psi = 27.9 MPa; put right 1290 psi = 8.90 MPa.
    """
    bench, made = old
    rig = bench.write("rig", name="bottle jack", how="jack", ram_bore="2 in", calibration="1")
    bench.crush(made[0], "62832 lbf", rig=rig)
    (question,) = [each for each in asked(bench) if each.code.startswith("slip")]
    crushed = breaking.strengths(bench.state)[0].finding.value
    assert crushed == pytest.approx(27.95, abs=0.01)
    # nearest to usual blocks of the slips that fit: 62832 lbf over 15.5 in² once too often is 1.80 MPa, over the ram 8.90 MPa
    assert question.code == "slip_face_twice" and question.values["corrected"] == pytest.approx(27.95 / 15.5, abs=0.01)


def test_the_slip_nearest_to_the_other_blocks_of_the_mix_is_told(old):
    """With others at about 9 MPa the same load is taken for the ram's: 27.95 / 3.1416 = 8.90 MPa."""
    bench, made = old
    rig = bench.write("rig", name="bottle jack", how="jack", ram_bore="2 in", calibration="1")
    for block, load in zip(made[1:], ("90 kN", "88 kN", "92 kN"), strict=False):
        bench.crush(block, load, rig=rig)
    bench.crush(made[0], "62832 lbf", rig=rig)
    (question,) = [each for each in asked(bench) if each.code.startswith("slip")]
    assert question.code == "slip_ram_area_twice"
    assert question.values["corrected"] == pytest.approx(8.896, abs=0.002) and question.values["area"] == pytest.approx(
        3.1416, abs=1e-4
    )


def test_bending_about_equal_to_crushing_with_the_slip_of_one(old):
    """Crushed 2.5 kN on 50 x 100 mm: 0.5 MPa, bent 0.5: ratio 1. A reading of 2.5 tf is 24.5 kN, 4.90 MPa, and 0.5/4.9 = 0.102."""
    bench, made = old
    sizes = {"span": "240 mm", "width": "100 mm", "thickness": "100 mm"}
    bench.write("bend", block=made[0], condition="dry", load="1.3888889 kN", **sizes)
    bench.crush(made[0], "2.5 kN", "half_1", length="50 mm")
    (question,) = asked(bench)
    assert question.code == "ratio_slip_unit" and question.values["ratio"] == pytest.approx(1.0)
    text = sentence(question.code, question.values)
    assert "If 2.5 kN of the crushing test was tf, it would be 4.903 MPa instead of 0.5" in text
    assert len(breaking.bendings(bench.state)) == len(breaking.strengths(bench.state)) == 1


def test_soaked_above_dry_is_asked_about_once_there_are_enough(old):
    """Dry 2.0, 2.1, 1.9 and soaked 3.0, 3.1, 3.2 MPa."""
    bench, made = old
    for block, load in zip(made, (20, 21, 19), strict=False):
        bench.crush(block, f"{load} kN")
    for block, load in zip(made[3:], (30, 31), strict=False):
        bench.crush(block, f"{load} kN", condition="soaked", soaked_for="24 h")
    assert block_slips.questions(bench.state) == ()
    bench.crush(made[5], "32 kN", condition="soaked", soaked_for="24 h")
    (question,) = block_slips.questions(bench.state)
    assert (question.code, question.grade, len(question.about)) == ("wet_above_dry", "unlikely", 3)
    assert (question.values["wet"], question.values["dry"]) == (pytest.approx(3.1), pytest.approx(2.0))
    assert question in today.questions(bench.state)
    assert "3.1 against 2 MPa" in sentence(question.code, question.values)


def test_soaked_at_half_the_dry_strength_is_not_asked_about(old):
    bench, made = old
    for block, load in zip(made, (40, 41, 39), strict=False):
        bench.crush(block, f"{load} kN")
    for block, load in zip(made[3:], (20, 21, 19), strict=False):
        bench.crush(block, f"{load} kN", condition="soaked", soaked_for="24 h")
    assert block_slips.questions(bench.state) == ()


def test_withheld_strengths_keep_their_readings(old):
    bench, made = old
    test = bench.crush(made[0], "450 kN")
    (held,) = breaking.withheld(bench.state)
    assert isinstance(held, Withheld) and held.about == (test,) and not isinstance(held, Finding)
    assert bench.state.find(test)["load"].typed == "450"
