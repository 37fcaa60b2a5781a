"""Classes of soils against the whole published triangle, the text of the standards, and bad figures."""

from pathlib import Path
from time import perf_counter

import numpy as np
import pytest

from loamwright.engine.soil.aashto import aashto_group
from loamwright.engine.soil.uscs import Fines, Shape, fine_symbol, gravel_sand_fines, symbols_near, uscs_group
from loamwright.engine.soil.usda import (
    CLASSES,
    NO_CLASS,
    name_with_gravel,
    texture,
    texture_codes,
    textures_near,
    whole_triangle,
    without_gravel,
)
from loamwright.errors import InputError

LETTERS = dict(zip("sSnltiacyAYC", CLASSES, strict=True))


def test_every_point_of_the_published_triangle() -> None:
    """All 5,151 soils of whole per cents (USDA Soil Survey Manual, as printed in an open look-up table)."""
    lines = Path(__file__).with_name("usda_triangle.txt").read_text("utf-8").splitlines()
    printed = [(sand, silt, LETTERS[letter]) for sand, line in enumerate(lines[3:]) for silt, letter in enumerate(line)]
    assert len(printed) == 5151
    sand, silt = (np.array([row[place] for row in printed]) for place in (0, 1))
    codes = texture_codes(sand / 100, silt=silt / 100, clay=(100 - sand - silt) / 100)
    assert [CLASSES[code] for code in codes] == [row[2] for row in printed]


def test_a_million_rows_in_under_a_second() -> None:
    """The same function for one row and a million: the published classes again, each of the 5,151 soils about 200 times."""
    sand, silt = np.meshgrid(np.arange(101.0), np.arange(101.0), indexing="ij")
    inside = sand + silt <= 100
    rows = np.resize(np.arange(inside.sum()), 1_000_000)
    sands, silts = sand[inside][rows] / 100, silt[inside][rows] / 100
    began = perf_counter()
    codes = texture_codes(sands, silt=silts, clay=1.0 - sands - silts)
    assert perf_counter() - began < 1.0
    whole, part = divmod(len(rows), 5151)
    assert part == 706 and (codes != NO_CLASS).all()
    first = np.bincount(codes[: whole * 5151], minlength=12)
    assert first.tolist() == [whole * each for each in whole_triangle().values()]


def test_near_a_line_the_rounding_decides() -> None:
    """27 % of clay is clay loam by the published table, 26.5 % is loam; far from every line there is one class."""
    assert textures_near(0.40, silt=0.33, clay=0.27, within=0.005) == ("clay loam", "loam")
    assert textures_near(0.40, silt=0.40, clay=0.20, within=0.005) == ("loam",)
    assert textures_near(0.0, silt=1.0, clay=0.0, within=0.005) == ("silt",)
    with pytest.raises(InputError, match="negative"):
        textures_near(0.4, silt=0.4, clay=0.2, within=-0.1)


def test_one_soil_and_many_go_the_same_way() -> None:
    assert texture(0.45, silt=0.20, clay=0.35) == "clay loam"  # on two lines at once
    many = texture_codes([0.6, np.nan, 0.5, -0.1], silt=[0.2, 0.3, 0.1, 0.5], clay=[0.2, 0.3, 0.1, 0.6])
    assert many.tolist() == [CLASSES.index("sandy clay loam"), NO_CLASS, NO_CLASS, NO_CLASS]


def test_gravel_is_named_by_its_share() -> None:
    """Soil Survey Manual (from memory): 15, 35 and 60 per cent by volume."""
    names = [name_with_gravel("loam", gravel=each) for each in (0.10, 0.15, 0.35, 0.60)]
    assert names == ["loam", "gravelly loam", "very gravelly loam", "extremely gravelly loam"]
    with pytest.raises(InputError, match="all_gravel"):
        without_gravel(1.0, sand=0.0, silt=0.0, clay=0.0)


@pytest.mark.parametrize(
    ("gravel", "sand", "fines", "limits", "shape", "symbol", "name"),
    [  # ASTM D2487 figures 1 to 3, from memory
        (0.60, 0.30, 0.10, (0.30, 0.05), Shape(5, 2), "GW-GM", "Well-graded gravel with silt and sand"),
        (0.60, 0.30, 0.10, (0.25, 0.06), Shape(3, 2), "GP-GC", "Poorly graded gravel with silty clay and sand"),
        (0.05, 0.92, 0.03, None, Shape(7, 2), "SW", "Well-graded sand"),
        (0.20, 0.60, 0.20, (0.25, 0.06), None, "SC-SM", "Silty, clayey sand with gravel"),
        (0.50, 0.30, 0.20, (0.60, 0.10), None, "GM", "Silty gravel with sand"),
        (0.00, 0.20, 0.80, (0.60, 0.40), None, "CH", "Fat clay with sand"),
        (0.20, 0.15, 0.65, (0.40, 0.05), None, "ML", "Gravelly silt with sand"),
        (0.16, 0.20, 0.64, (0.60, 0.20), None, "MH", "Sandy elastic silt with gravel"),
        (0.00, 0.05, 0.95, (0.20, 0.05), None, "CL-ML", "Silty clay"),
    ],
)
def test_symbols_and_names(gravel, sand, fines, limits, shape, symbol, name) -> None:
    grading = gravel_sand_fines(gravel=gravel, sand=sand, fines=fines)
    found = uscs_group(grading, fines=Fines(*limits) if limits else Fines(), shape=shape)
    assert (found.symbol, found.name) == (symbol, name)


def test_what_does_not_fit_is_noted() -> None:
    above = uscs_group(gravel_sand_fines(sand=0.0, fines=1.0), fines=Fines(0.60, 0.50))
    assert [note.code for note in above.notes] == ["uscs_above_u_line"]
    odd = uscs_group(gravel_sand_fines(sand=0.45, fines=0.08), fines=Fines(0.24, 0.10), shape=Shape(90, 1), d10=0.06)
    assert [note.code for note in odd.notes] == ["uscs_d10_does_not_fit"]


def test_organic_fines_and_symbols_across_a_line() -> None:
    """D2487: OL and OH by the liquid limit; names by the A-line. CL/CH near a liquid limit of 50 %."""
    fine = gravel_sand_fines(sand=0.20, fines=0.80)
    for limits, symbol, name in (
        ((0.40, 0.20), "OL", "Organic clay with sand"),
        ((0.40, 0.05), "OL", "Organic silt with sand"),
        ((0.60, 0.40), "OH", "Organic clay with sand"),
        ((0.60, 0.10), "OH", "Organic silt with sand"),
    ):
        found = uscs_group(fine, fines=Fines(*limits, organic=True))
        assert (found.symbol, found.name) == (symbol, name)
    coarse = uscs_group(gravel_sand_fines(sand=0.80, fines=0.20), fines=Fines(0.40, 0.05, organic=True))
    assert (coarse.symbol, coarse.name) == ("SM", "Silty sand with organic fines")
    assert symbols_near(0.50, plasticity_index=0.30, within=0.005) == ("CH", "CL")
    near = uscs_group(fine, fines=Fines(0.498, 0.30))
    assert [note.code for note in near.notes] == ["uscs_near_line"]
    assert near.notes[0].values["symbols"] == "CL/CH"


def test_the_line_itself_is_clay() -> None:
    """D2487: on or above the A-line; at 50 % the A-line lies at 21.9 %."""
    assert fine_symbol(0.50, plasticity_index=0.219) == "CH"
    assert fine_symbol(0.50, plasticity_index=0.2189) == "MH"


@pytest.mark.parametrize(
    ("passing", "limits", "group"),
    [  # AASHTO M 145, columns from the left
        ((0.45, 0.28, 0.12), (0.20, 0.04), "A-1-a"),
        ((0.70, 0.45, 0.20), (0.20, 0.04), "A-1-b"),
        ((1.00, 0.80, 0.08), (0.0, 0.0), "A-3"),
        ((0.90, 0.70, 0.30), (0.45, 0.05), "A-2-5"),
        ((0.90, 0.70, 0.30), (0.45, 0.20), "A-2-7"),
        ((1.00, 0.90, 0.60), (0.35, 0.15), "A-6"),
        ((1.00, 0.90, 0.60), (0.60, 0.30), "A-7-5"),
        ((1.00, 0.90, 0.60), (0.60, 0.301), "A-7-6"),
    ],
)
def test_road_groups(passing, limits, group) -> None:
    found = aashto_group(
        passing[2], liquid_limit=limits[0], plasticity_index=limits[1], passing_0_425=passing[1], passing_2=passing[0]
    )
    assert found.group == group


def test_the_group_index_by_hand_and_by_each_convention() -> None:
    """F 80, w_L 55, I_P 30: 45 (0.2 + 0.005 x 15) + 0.01 x 65 x 20 = 12.375 + 13 = 25.4, whole 25.

    Older form, terms capped at 40, 40, 20, 20: 0.2 x 40 + 0.005 x 40 x 15 + 0.01 x 40 x 20 = 8 + 3 + 8 = 19.
    """
    found = aashto_group(0.80, liquid_limit=0.55, plasticity_index=0.30, passing_0_425=0.95, passing_2=1.0)
    assert found.group == "A-7-6"
    assert found.group_index_raw == pytest.approx(25.375)
    assert (found.group_index, found.group_index_capped) == (25, 19)


def test_only_the_plasticity_term_counts_for_a_2_6_and_a_2_7() -> None:
    """F 30, I_P 20: 0.01 x 15 x 10 = 1.5, whole 2; the first term would be negative. A-2-4 is 0 always."""
    for liquid, group in ((0.38, "A-2-6"), (0.45, "A-2-7")):
        found = aashto_group(0.30, liquid_limit=liquid, plasticity_index=0.20, passing_0_425=0.80, passing_2=0.95)
        assert (found.group, found.group_index) == (group, 2)
        assert found.group_index_raw == pytest.approx(1.5)
    none = aashto_group(0.30, liquid_limit=0.30, plasticity_index=0.05, passing_0_425=0.80, passing_2=0.95)
    assert (none.group, none.group_index_raw) == ("A-2-4", 0.0)


def test_whole_per_cents_first_may_make_another_group() -> None:
    """35.4 % of fines lies above the 35 of A-2, yet is written 35: the table of M 145 is in whole per cents."""
    found = aashto_group(0.354, liquid_limit=0.30, plasticity_index=0.08, passing_0_425=0.80, passing_2=0.95)
    assert (found.group, found.group_of_whole) == ("A-4", "A-2-4")


def test_a_sieve_not_given_is_noted() -> None:
    found = aashto_group(0.20, liquid_limit=0.20, plasticity_index=0.04)
    assert (found.group, [note.code for note in found.notes]) == ("A-2-4", ["sieve_not_given"])
    stony = aashto_group(0.10, liquid_limit=0.20, plasticity_index=0.04, passing_0_425=0.28)
    assert (stony.group, [note.values["sieve"] for note in stony.notes]) == ("A-1-b", ["2 mm"])


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: texture(0.5, silt=0.1, clay=0.1), "texture_does_not_add_up"),
        (lambda: texture(1.2, silt=0.0, clay=0.0), "out_of_range"),
        (lambda: gravel_sand_fines(sand=0.5), "grading_not_enough"),
        (lambda: gravel_sand_fines(gravel=0.5, sand=0.5, fines=0.5), "grading_does_not_add_up"),
        (lambda: uscs_group(gravel_sand_fines(sand=0.9, fines=0.1), fines=Fines(0.3, 0.1)), "shape_needed"),
        (lambda: uscs_group(gravel_sand_fines(sand=0.8, fines=0.2), fines=Fines()), "limits_needed"),
        (lambda: uscs_group(gravel_sand_fines(sand=0.2, fines=0.8), fines=Fines()), "limits_needed"),
        (lambda: aashto_group(0.5, liquid_limit=0.3, plasticity_index=0.1, passing_0_425=0.4), "passing_falls"),
    ],
)
def test_figures_that_cannot_be_classed_are_said(do, code) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
