"""Jars, guesses and what is believed of a source, on real entries; times against Stokes by hand and the job's own figures."""

import random
from datetime import timedelta

import numpy as np
import pytest
from tests.trials import quantity

from loamwright.engine.soil.belief import believe
from loamwright.formula import evaluate
from loamwright.project import dig, shake, today
from loamwright.project.cache import Shelf, belief_key
from loamwright.project.finding import Finding, working
from loamwright.project.jars import jar_times, jar_view, next_time
from loamwright.project.quantiles import middle_of, quantile_of
from loamwright.project.state import fold


@pytest.fixture
def clay(trial):
    return trial.write("source", {"name": "Red clay", "material": "clay"})


def set_up(trial, source, *, fill="50", water="150", added="dispersant", **more):
    body = {"source": source, "fill": quantity(fill, "mm"), "water": quantity(water, "mm"), "added": added}
    return trial.write("jar", {**body, "temperature": quantity("20", "degC"), **more})


def read(trial, jar, after, height, layer="bed", unit="min", **more):
    body = {"jar": jar, "after": quantity(after, unit), "layer": layer, "height": quantity(height, "mm")}
    return trial.write("jar_reading", {**body, **more})


def read_within_the_hour(trial, jar):
    for after, height in (("1", "22"), ("8", "32"), ("40", "37")):
        read(trial, jar, after, height)


def read_to_the_end(trial, jar):
    read_within_the_hour(trial, jar)
    for layer, height in (("bed", "52"), ("sand_top", "20"), ("silt_top", "36")):
        read(trial, jar, "24", height, layer, unit="h", water_above="clear")


def width(trial, source, name="clay"):
    band = shake.share(trial.state, source, name).band
    return band.high - band.low


def codes(trial):
    return [each.code for each in today.questions(trial.state)]


def checked(finding):
    """The finding, after every line of its working was evaluated again; to the four digits that are printed."""
    assert isinstance(finding, Finding)
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-5, abs=1e-9)
    return finding.value


# --- when to read ---


def test_times_to_read_a_jar_follow_stokes_and_a_thick_suspension(trial):
    """By hand: v = (2650 − 998.2) · 9.80665 · 0.06² / (18 · 1.002e-3) / 1000 = 3.233 mm/s; 100 mm take 30.9 s (the job: 30 s).

    A pail of 24 kg dry in 20 l is 1200 kg/m³: a third of the jar holds 400 g/l, where grains fall at 0.467 of that (the job's
    figure): 30.9 / 0.467 = 66.2 s = 1.10 min. For 0.002 mm: 7.73 h free (the job says 7.7 h); with a quarter of the soil afloat
    (1 − 100/2650)^4.65 = 0.836, so 9.25 h.
    """
    jar = set_up(trial, trial.source("Pit soil", "24"))
    times = {each.key: each for each in jar_times(trial.state, jar_view(trial.state, jar))}
    assert checked(times["sand"].fall) == pytest.approx(1.10, abs=0.01)
    assert checked(times["silt"].fall) / 60 == pytest.approx(9.25, abs=0.01)
    assert times["next_day"].minutes == 24 * 60
    assert "third_day" not in times


def test_a_warmer_jar_is_read_sooner_and_a_higher_one_later(trial, clay):
    """The job: scale with jar height, 20 % faster at 30 °C (handbook viscosity 0.797 against 1.002 mPa s: 1.26 times)."""
    plain, high = set_up(trial, clay), set_up(trial, clay, fill="100", water="300")
    warm = trial.write(
        "jar",
        {
            "source": clay,
            "fill": quantity("50", "mm"),
            "water": quantity("150", "mm"),
            "added": "salt",
            "temperature": quantity("30", "degC"),
        },
    )
    plain, high, warm = (jar_times(trial.state, jar_view(trial.state, jar))[0].minutes for jar in (plain, high, warm))
    assert high / plain == pytest.approx(2.0, abs=1e-9)
    assert plain / warm == pytest.approx(1.002 / 0.797, abs=0.01)


def test_the_next_reading_is_the_first_not_made_and_not_slipped_by(trial, clay):
    jar = set_up(trial, clay)
    times = jar_times(trial.state, jar_view(trial.state, jar))
    assert next_time(times, 0.2).key == "sand"
    assert next_time(times, 20.0).key == "half_silt"
    assert next_time(times, 3000.0).key == "next_day"
    read(trial, jar, "24", "50", unit="h", water_above="cloudy")
    again = jar_times(trial.state, jar_view(trial.state, jar))
    assert next_time(again, 1500.0).key == "third_day"


def test_the_clock_runs_from_the_tap_then_from_what_was_typed_then_from_the_entry(trial, clay, clock):
    jar = set_up(trial, clay)
    written = clock()
    assert jar_view(trial.state, jar).set_down == written
    typed = set_up(trial, clay, set_down="2026-03-04T07:30")
    view = jar_view(trial.state, typed)
    assert (view.set_down.hour, view.set_down.minute, view.set_down.utcoffset()) == (7, 30, written.utcoffset())
    clock.ahead(minutes=9)
    trial.write("jar_stands", {"jar": jar})
    assert jar_view(trial.state, jar).set_down == clock()


def test_a_jar_is_due_today_and_its_last_reading_tomorrow(trial, clay, clock):
    jar = set_up(trial, clay)
    day = clock().date()
    due = [each for each in shake.due(trial.state, day) if each.code == "read_jar"]
    assert [(each.about, each.on) for each in due] == [(jar, day)]
    read_within_the_hour(trial, jar)
    read(trial, jar, "9", "45", unit="h")
    tomorrow = clock.ahead(days=1).date()
    assert [each.on for each in shake.due(trial.state, day) if each.code == "read_jar"] == [tomorrow]
    read(trial, jar, "24", "52", unit="h")
    assert not [each for each in shake.due(trial.state, tomorrow) if each.code == "read_jar"]


# --- what the readings say ---


def test_a_jar_left_standing_for_more_than_a_week_is_no_longer_asked_for(trial, clay, clock):
    set_up(trial, clay)
    week, later = clock().date() + timedelta(days=7), clock().date() + timedelta(days=10)
    assert [each for each in shake.due(trial.state, week) if each.code == "read_jar"]
    assert not [each for each in shake.due(trial.state, later) if each.code == "read_jar"]


def test_a_top_of_the_sand_read_while_it_is_the_top_of_all_is_a_bed_height(trial, clay):
    jar = set_up(trial, clay)
    for after, height, layer in (("1", "22", "sand_top"), ("120", "40", "silt_top"), ("1440", "52", "clay_top")):
        read(trial, jar, after, height, layer)
    reading = jar_view(trial.state, jar).reading
    assert [(each.minutes, each.height) for each in reading.readings] == [(1, 22), (120, 40), (1440, 52)]
    assert reading.boundaries is None


def test_layers_under_a_top_read_in_one_sitting_are_boundaries_by_eye(trial, clay):
    jar = set_up(trial, clay)
    read_to_the_end(trial, jar)
    layers = jar_view(trial.state, jar).reading.boundaries
    assert (layers.minutes, layers.sand_top, layers.silt_top, layers.bed_top) == (1440, 20, 36, 52)


def test_an_impossible_height_is_left_out_and_spoils_nothing(trial, clay):
    jar = set_up(trial, clay)
    read_to_the_end(trial, jar)
    before = shake.share(trial.state, clay, "clay").value
    bad = [read(trial, jar, "30", "160"), read(trial, jar, "-3", "30"), read(trial, jar, "50", "0")]
    assert shake.share(trial.state, clay, "clay").value == before
    asked = {each.about[0]: each for each in shake.questions(trial.state)}
    assert {asked[each].grade for each in bad} == {"impossible"}
    assert asked[bad[0]].code == "layer_above_water"


def test_layers_in_impossible_order_are_asked_about_and_the_bed_heights_still_count(trial, clay):
    jar = set_up(trial, clay)
    read_within_the_hour(trial, jar)
    for layer, height in (("bed", "52"), ("sand_top", "40"), ("silt_top", "30")):
        read(trial, jar, "24", height, layer, unit="h")
    view = jar_view(trial.state, jar)
    assert view.reading is not None and view.reading.boundaries is None and len(view.reading.readings) == 4
    assert "boundaries_out_of_order" in codes(trial)


@pytest.mark.parametrize(("fill", "settled", "asked"), [("40", "55", True), ("60", "67", False)], ids=["S3 +38 %", "S1 +12 %"])
def test_a_rise_above_15_per_cent_is_asked_about(trial, clay, fill, settled, asked):
    """Job scenarios S3 (40 to 55 mm, +38 %: expansive) and S1 (60 to 67 mm, +12 %: loose soil moves so much by itself)."""
    read(trial, set_up(trial, clay, fill=fill), "24", settled, unit="h")
    assert ("swelling_questioned" in codes(trial)) is asked


def test_a_jar_read_too_early_and_a_bed_that_falls_by_half_are_asked_about(trial, clay):
    jar = set_up(trial, clay)
    read(trial, jar, "0.2", "15", "sand_top")
    read(trial, jar, "40", "37", "clay_top")
    read(trial, jar, "24", "20", unit="h")
    assert codes(trial).count("jar_read_early") == 2
    assert "jar_height_falls" in codes(trial)


def test_a_guess_against_the_jar_is_asked_about_and_can_be_left_out(trial, clay):
    jar = set_up(trial, clay)
    for after, height in (("1", "40"), ("8", "41"), ("1440", "42")):
        read(trial, jar, after, height)
    alone = shake.share(trial.state, clay, "clay").value
    guess = trial.write("guess", {"source": clay, "soil_class": "clay"})
    asked = [each for each in shake.questions(trial.state) if each.code == "guess_disagrees"]
    assert [each.about for each in asked] == [(guess,)]
    trial.write("answer", {"question": "guess_disagrees", "about": [guess], "verdict": "leave_out"})
    assert "guess_disagrees" not in codes(trial)
    assert shake.share(trial.state, clay, "clay").value == alone


def test_a_jar_of_a_source_that_is_not_here_is_asked_about(trial):
    jar = set_up(trial, "01890000-0000-7000-8000-000000000000")
    assert [each.about for each in shake.questions(trial.state) if each.code == "not_found"] == [(jar,)]


# --- what is believed ---


def test_nothing_is_believed_of_a_source_that_nobody_looked_at(trial, clay):
    assert shake.belief(trial.state, clay) is None
    assert shake.share(trial.state, clay, "clay") is None
    set_up(trial, clay)
    assert shake.graded(trial.state, clay) is None


def test_a_guess_is_wide_a_jar_narrower_two_jars_narrower_still(trial, clay):
    trial.write("guess", {"source": clay, "soil_class": "clay_loam"})
    guessed = width(trial, clay)
    read_to_the_end(trial, set_up(trial, clay))
    one = width(trial, clay)
    read_to_the_end(trial, set_up(trial, clay))
    assert width(trial, clay) < one < guessed


def test_a_half_read_jar_says_something_and_the_next_day_says_more(trial, clay):
    jar = set_up(trial, clay)
    read_within_the_hour(trial, jar)
    half = width(trial, clay)
    for layer, height in (("bed", "52"), ("sand_top", "20"), ("silt_top", "36")):
        read(trial, jar, "24", height, layer, unit="h")
    assert width(trial, clay) < half < 0.9


def test_shares_are_not_the_bare_ratio_of_the_layers(trial, clay):
    """The clay layer is 16 of 52 mm, 31 % of the height; settled clay is far lighter than sand (job: 0.35 to 0.9, 1.5 kg/l)."""
    read_to_the_end(trial, set_up(trial, clay))
    clay_share = shake.share(trial.state, clay, "clay")
    assert clay_share.band.high < 0.5
    assert clay_share.value < 16 / 52


def test_the_order_of_entries_changes_no_belief(trial, desk, project, clay):
    read_to_the_end(trial, set_up(trial, clay))
    read_within_the_hour(trial, set_up(trial, clay, added="nothing"))
    trial.write("guess", {"source": clay, "soil_class": "clay_loam"})
    pail = trial.write("container", {"name": "pail", "volume": quantity("20", "l"), "tare": quantity("1", "kg")})
    trial.write("pail_weighing", {"source": clay, "container": pail, "gross": [quantity("23", "kg"), quantity("24", "kg")]})
    first = shake.belief(trial.state, clay)
    entries = list(desk.state(project).versions.entries.values())
    for turn in range(3):
        random.Random(turn).shuffle(entries)
        again = shake.belief(fold(entries, project), clay)
        assert sorted(again.properties) == sorted(first.properties)
        for name in first.properties:
            assert np.array_equal(again[name].values, first[name].values)


def test_a_pail_is_freed_of_the_moisture_of_its_own_day(trial, clay):
    """By hand: 21 kg at 5 % (105 g dried to 100 g) are 20 kg dry; the pan of a wet morning after it, 20 %, changes nothing in it."""
    pail = trial.write("container", {"name": "pail", "volume": quantity("20", "l"), "tare": quantity("1", "kg")})
    trial.write("pan_test", {"about": clay, "wet": quantity("105", "g"), "dry": quantity("100", "g")})
    trial.write("pail_weighing", {"source": clay, "container": pail, "gross": [quantity("22", "kg")] * 3})
    before = shake.belief(trial.state, clay)["pail_dry_mass"].values
    assert np.median(before) == pytest.approx(
        20.0, abs=0.02
    )  # 4,000 draws of spread 1.6 %: the median is within 0.4 parts in a 1000
    trial.write("pan_test", {"about": clay, "wet": quantity("120", "g"), "dry": quantity("100", "g")})
    assert np.array_equal(shake.belief(trial.state, clay)["pail_dry_mass"].values, before)
    assert dig.pail_mass(trial.state, clay).value == pytest.approx(20.0, abs=1e-9)
    trial.write("pail_weighing", {"source": clay, "container": pail, "gross": [quantity("25", "kg")] * 3})
    after = shake.belief(trial.state, clay)["pail_dry_mass"].values
    assert np.median(after) == pytest.approx(24.0 / 1.2, abs=0.02)  # 24 kg at 20 %: 20 kg dry again


def test_a_correction_replaces_what_the_belief_stands_on(trial, clay):
    jar = set_up(trial, clay)
    read_to_the_end(trial, jar)
    before = shake.share(trial.state, clay, "sand").value
    sand = next(each.fact for each in jar_view(trial.state, jar).heights if each.layer == "sand_top")
    body = {"jar": jar, "after": quantity("24", "h"), "layer": "sand_top", "height": quantity("30", "mm")}
    corrected = trial.write("jar_reading", body, replaces=(sand.head,), reason="read wrong")
    share = shake.share(trial.state, clay, "sand")
    assert share.value > before
    assert corrected in share.entries() and sand.head not in share.entries()


def test_a_share_shows_count_and_quantile_and_its_line_gives_it_again(trial, clay):
    read_to_the_end(trial, set_up(trial, clay))
    share = shake.share(trial.state, clay, "clay")
    draws = shake.belief(trial.state, clay)["clay"].values
    assert checked(share) == pytest.approx(float(np.median(draws)), abs=1e-15)
    assert (share.band.low, share.band.high) == tuple(np.quantile(draws, (0.05, 0.95)))
    (line,) = working(share)
    assert "4000 draws" in line.clause and "50 %" in line.clause
    assert line.expression == "x_2000 + 0.5 * (x_2001 - x_2000)"  # (4000 − 1) · 0.5 = 1999.5, the first draw being number 1


def test_quantiles_by_steps_are_those_of_numpy():
    draws = np.random.default_rng(3).normal(size=137)
    for probability in (0.0, 0.05, 0.37, 0.5, 0.95, 1.0):
        assert quantile_of(draws, probability, name="x").value == pytest.approx(float(np.quantile(draws, probability)), abs=1e-14)
    assert middle_of(np.array([0.3]), name="x").value == 0.3


# --- the shelf ---


def test_a_shelf_gives_back_what_was_believed_from_its_folder(trial, clay, tmp_path):
    read_to_the_end(trial, set_up(trial, clay, added="salt"))
    records = shake.observed(trial.state, clay).records
    key = belief_key(clay, trial.project, records)
    made = []

    def compute():
        made.append(1)
        return believe(clay, project=trial.project, **records)

    first = Shelf(tmp_path).belief(key, compute)
    again = Shelf(tmp_path).belief(key, compute)
    assert made == [1]
    for name, each in first.properties.items():
        assert np.array_equal(again[name].values, each.values)
        assert (again[name].unit, again[name].provenance, again[name].notes) == (each.unit, each.provenance, each.notes)
    (tmp_path / f"{key}.npz").write_bytes(b"half a file")
    Shelf(tmp_path).belief(key, compute)
    assert made == [1, 1]


def test_the_key_follows_what_was_read_and_not_its_order(trial, clay):
    read_to_the_end(trial, set_up(trial, clay))
    read_within_the_hour(trial, set_up(trial, clay))
    records = dict(shake.observed(trial.state, clay).records)
    key = belief_key(clay, trial.project, records)
    turned = {name: tuple(reversed(each)) for name, each in reversed(records.items())}
    assert belief_key(clay, trial.project, turned) == key
    assert belief_key(clay, trial.project, {**records, "jars": records["jars"][:1]}) != key
    assert belief_key(clay, "another", records) != key


def test_a_shelf_in_memory_forgets_the_oldest(trial, clay):
    trial.write("guess", {"source": clay, "soil_class": "loam"})
    records = shake.observed(trial.state, clay).records
    made = []

    def compute():
        made.append(1)
        return believe(clay, project=trial.project, **records)

    shelf = Shelf(most=2)
    for key in ("a", "b", "a", "c", "a", "b"):
        shelf.belief(key, compute)
    assert len(made) == 4  # a, b, c, and b again: c pushed it out
