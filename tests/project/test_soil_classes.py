"""Classes of a soil from its laboratory: by plain figures, from entries, and what is missing where there is none."""

import pytest

from loamwright.project.soil_classes import Classes, Known, classes, classify
from loamwright.words.sentences import of_note


def by_system(found: Classes) -> dict:
    return {each.system: each for each in found.found}


def said(found: Classes) -> list[str]:
    return [of_note(note) for note in found.missing]


CLAYEY_SAND = Known(
    passing_4_75=0.93,
    passing_2=0.90,
    passing_0_425=0.70,
    passing_0_075=0.25,
    passing_0_05=0.22,
    passing_0_002=0.12,
    liquid_limit=0.20,
    plasticity_index=0.09,
)


def test_all_three_by_hand():
    """Gravel 7, sand 68, fines 25, w_L 20, I_P 9: above the A-line (4), so SC; no gravel word under 15 %.

    M 145: fines at most 35, liquid limit at most 40, I_P at most 10: A-2-4, index 0. Texture of the 90 % under 2 mm:
    sand 68/90 = 75.6, silt 10/90 = 11.1, clay 12/90 = 13.3 %: silt + 2 clay = 37.8, so sandy loam.
    """
    found = by_system(classify(CLAYEY_SAND))
    assert (found["uscs"].symbol, found["uscs"].name) == ("SC", "Clayey sand")
    assert (found["aashto"].symbol, found["aashto"].name) == ("A-2-4", "A-2-4 (0)")
    assert found["usda"].name == "sandy loam"
    assert [note.code for note in found["usda"].notes] == ["gravel_by_mass"]
    assert classify(CLAYEY_SAND).missing == ()


def test_both_conventions_are_shown():
    """F 80, w_L 55, I_P 30: index 25 now, 19 with capped terms (by hand in tests/engine/soil/test_classes.py)."""
    found = by_system(classify(Known(passing_4_75=1.0, passing_0_075=0.80, liquid_limit=0.55, plasticity_index=0.30)))
    assert found["aashto"].name == "A-7-6 (25)"
    assert found["aashto"].others == ("A-7-6 (19), older form with capped terms",)


def test_fractions_of_a_per_cent_are_shown_with_the_whole_ones():
    known = Known(
        passing_4_75=1.0, passing_2=0.95, passing_0_425=0.80, passing_0_075=0.354, liquid_limit=0.30, plasticity_index=0.08
    )
    road = by_system(classify(known))["aashto"]
    assert road.name.startswith("A-4 ") and road.others[0].startswith("A-2-4 (0), every figure rounded")


def test_near_a_line_the_other_group_is_named():
    """A liquid limit of 49.8 % is written 50: CL below, CH from there."""
    known = Known(passing_4_75=1.0, passing_0_075=0.90, liquid_limit=0.498, plasticity_index=0.30)
    unified = by_system(classify(known))["uscs"]
    assert (unified.symbol, unified.others) == ("CL", ("CH (Fat clay)",))


def test_stones_above_75_mm_are_left_out_of_the_unified_group():
    """80 % passes 75 mm; of it 40/80 = 50 % passes 0.075 mm: a fine soil, which 40 % of the whole would not be."""
    known = Known(passing_75=0.80, passing_4_75=0.70, passing_0_075=0.40, liquid_limit=0.40, plasticity_index=0.20)
    unified = by_system(classify(known))["uscs"]
    assert unified.symbol == "CL"
    assert "20 % is coarser than 75 mm" in of_note(unified.notes[-1])


def test_not_plastic_organic_and_peat():
    sand = by_system(classify(Known(passing_4_75=1.0, passing_0_075=0.20, plastic=False)))
    assert (sand["uscs"].symbol, sand["aashto"].symbol) == ("SM", "A-2-4")
    known = Known(passing_4_75=1.0, passing_0_075=0.90, liquid_limit=0.40, plasticity_index=0.20, liquid_limit_oven_dried=0.28)
    assert by_system(classify(known))["uscs"].symbol == "OL"  # 0.28/0.40 = 0.70, below 0.75
    assert by_system(classify(Known(peat=True)))["uscs"].symbol == "Pt"


def test_what_is_missing_is_said():
    none = classify(Known())
    assert none.found == () and len(none.missing) == 3
    assert said(none)[1] == "No class by USCS yet. It wants: share finer than 4.75 mm, share finer than 0.075 mm."
    few_fines = classify(Known(passing_4_75=1.0, passing_0_075=0.08, liquid_limit=0.30, plasticity_index=0.10))
    assert any("hangs on the shape of the curve" in each for each in said(few_fines))
    no_limits = classify(Known(passing_4_75=1.0, passing_0_075=0.60))
    assert any(each.startswith("The class hangs on the fines") for each in said(no_limits))


def test_shares_that_fall_are_said():
    odd = classify(
        Known(passing_4_75=1.0, passing_2=0.3, passing_0_425=0.5, passing_0_075=0.4, liquid_limit=0.3, plasticity_index=0.1)
    )
    assert "passing_falls" in [note.code for note in odd.missing]


# --- from entries ---


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Red bank")


def sieve(bench, soil, *rows):
    table = {}
    for place, (size, passing) in enumerate(rows):
        table |= {f"sieves-{place}-size": f"{size} mm", f"sieves-{place}-passing": f"{passing} %"}
    return bench.write("sieve", source=soil, **table)


def test_nothing_without_a_laboratory(bench, soil):
    bench.write("guess", source=soil, soil_class="loam")
    assert classes(bench.state, soil) is None


def test_from_a_sieving_and_reported_limits(bench, soil):
    """Passing 93, 70, 25 % of 4.75, 0.425, 0.075 mm; w_L 20, w_P 11: clayey sand SC, A-2-4."""
    sieve(bench, soil, (9.5, 100), (4.75, 93), (2, 90), (0.425, 70), (0.075, 25))
    alone = classes(bench.state, soil)
    assert "limits_needed" in [note.code for note in alone.missing]
    bench.write("limits", source=soil, liquid_limit="20 %", plastic_limit="11 %")
    found = classes(bench.state, soil)
    assert {each.system: each.symbol for each in found.found} == {"uscs": "SC", "aashto": "A-2-4"}
    assert [note.values["system"] for note in found.missing] == ["USDA"]


def test_a_sand_in_which_no_thread_could_be_rolled(bench, soil):
    sieve(bench, soil, (4.75, 100), (2, 98), (0.425, 60), (0.075, 4))
    bench.write("plastic_threads", source=soil, none_rolled="yes")
    found = by_system(classes(bench.state, soil))
    assert found["aashto"].name == "A-3 (0)"
