"""Tests of a soil told to its belief: shares by hand, bands that narrow, readings that contradict each other and are asked about."""

import pytest

from loamwright.project import shake, soil_found, today


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Red clay")


def table(field, *rows):
    return {f"{field}-{i}-{name}": text for i, row in enumerate(rows) for name, text in row.items()}


def sieved(bench, soil):
    """500 g: 10 g stay on 2 mm, 160 g more down to 0.075 mm, the rest is finer."""
    rows = [{"size": f"{size} mm", "retained": f"{mass} g"} for size, mass in ((2, 10), (0.425, 60), (0.075, 100))]
    return bench.write("sieve", source=soil, start="500 g", pan="330 g", **table("sieves", *rows))


def test_a_sieving_tells_the_fines_of_what_is_finer_than_2_mm(bench, soil):
    """By hand: 490 g pass 2 mm and 330 g pass 0.075 mm: 330/490 = 0.673; sieves tell no clay."""
    sieved(bench, soil)
    (found,) = soil_found.found_gradings(bench.state, soil)
    assert (found.method, found.clay, found.sand) == ("sieve", None, None)
    assert found.fines == pytest.approx(330 / 490)


def test_a_hydrometer_tells_sand_silt_and_clay_that_add_up(bench, soil):
    sieved(bench, soil)
    readings = ((1, "36"), (4, "30.5"), (15, "26"), (60, "22.5"), (240, "20"), (1440, "17.5"))
    rows = [{"after": f"{minutes} min", "reading": reading} for minutes, reading in readings]
    more = {"instrument": "152h", "dry_mass": "50 g", "cut": "2 mm", "temperature": "21 degC", "blank": "5"}
    bench.write("hydrometer", source=soil, **more, **table("readings", *rows))
    (found,) = soil_found.found_gradings(bench.state, soil)
    assert found.method == "hydrometer"
    assert found.sand + found.silt + found.clay == pytest.approx(1.0)
    # 240 and 1,440 min: 15 and 12.5 g of 50 g are finer than 0.003 and 0.0013 mm (D422 with a = 1)
    assert 0.25 < found.clay < 0.30


def test_limits_bar_and_hands_are_told_with_their_entries(bench, soil):
    bench.write("limits", source=soil, liquid_limit="40 %", plastic_limit="20 %")
    bench.write("shrinkage_bar", source=soil, mould="140 mm", dried="128.8 mm")
    bench.write("hand_thread", source=soil, thinnest="2 mm; 2 mm; 2.2 mm")
    bench.write("hand_dry_strength", source=soil, broke="dry_very_high")
    state = bench.state
    (limits,) = soil_found.found_limits(state, soil)
    assert (limits.liquid_limit, limits.plastic_limit) == (pytest.approx(0.40), pytest.approx(0.20))
    (bar,) = soil_found.found_shrinkage(state, soil)
    assert bar.linear_shrinkage == pytest.approx(0.08)  # 11.2 of 140 mm
    assert {(each.test, each.grade) for each in soil_found.found_by_feel(state, soil)} == {
        ("thread", "to_2mm"),
        ("dry_strength", "high"),
    }
    known = soil_found.entries_of_tests(state, soil)
    assert {limits.key, bar.key} <= set(known)


def test_a_laboratory_narrows_what_a_guess_left_wide(bench, soil):
    bench.write("guess", source=soil, soil_class="clay_loam")
    wide = shake.share(bench.state, soil, "clay").band
    test_a_hydrometer_tells_sand_silt_and_clay_that_add_up(bench, soil)
    narrow = shake.share(bench.state, soil, "clay").band
    assert narrow.high - narrow.low < (wide.high - wide.low) / 2


def test_swapped_limits_do_not_spoil_the_belief(bench, soil):
    bench.write("guess", source=soil, soil_class="clay_loam")
    bench.write("limits", source=soil, liquid_limit="20 %", plastic_limit="40 %")
    assert soil_found.found_limits(bench.state, soil) == ()
    assert shake.share(bench.state, soil, "clay") is not None


def test_what_contradicts_is_asked_about_and_says_what_would_settle_it(bench, soil):
    """A guess of sand beside limits of a fat clay: no soil is both."""
    bench.write("guess", source=soil, soil_class="sand")
    bench.write("limits", source=soil, liquid_limit="70 %", plastic_limit="25 %")
    (found,) = shake.contradicting(bench.state, soil)
    assert found.settles
    assert found.reasons
    assert found.note.code in {each.code for each in today.questions(bench.state)}
