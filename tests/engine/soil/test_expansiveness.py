"""Every criterion against its printed ranges, typed anew from the tables; and that they are never averaged."""

import pytest

from loamwright.engine.soil.expansiveness import GRADES, criteria, expansiveness
from loamwright.errors import InputError

L, M, H, V = "low", "medium", "high", "very_high"


def grades(measure, value, criterion):
    (found,) = [each for each in expansiveness({measure: value}).verdicts if each.criterion == criterion]
    return found.grades


# Values in per cent (expansion index as it is); sources and standing as in data/expansiveness.toml.
@pytest.mark.parametrize(
    ("criterion", "measure", "value", "expected"),
    [
        # IS 1498:1970 Table 8: 50, 100, 200
        ("is_1498_free_swell", "free_swell_index", 49, (L,)),
        ("is_1498_free_swell", "free_swell_index", 50, (M,)),
        ("is_1498_free_swell", "free_swell_index", 150, (H,)),
        ("is_1498_free_swell", "free_swell_index", 201, (V,)),
        ("is_1498_free_swell", "free_swell_index", -10, (L,)),
        # a teaching page: under 50 low, over 100 very high, nothing between
        ("free_swell_short", "free_swell_index", 150, (V,)),
        ("free_swell_short", "free_swell_index", 70, ()),
        # roads: 20, 35, 50
        ("roads_free_swell", "free_swell_index", 34, (M,)),
        ("roads_free_swell", "free_swell_index", 60, (V,)),
        # IS 1498 by liquid limit: 20-35, 35-50, 50-70, 70-90
        ("is_1498_liquid_limit", "liquid_limit", 34, (L,)),
        ("is_1498_liquid_limit", "liquid_limit", 90, (V,)),
        ("is_1498_liquid_limit", "liquid_limit", 95, ()),
        ("is_1498_liquid_limit", "liquid_limit", 15, ()),
        # IS 1498 by index: 12, 23, 32
        ("is_1498_index", "plasticity_index", 11.9, (L,)),
        ("is_1498_index", "plasticity_index", 23, (H,)),
        ("is_1498_index", "plasticity_index", 33, (V,)),
        # Holtz and Gibbs: < 18, 15-28, 25-41, > 35
        ("holtz_gibbs_index", "plasticity_index", 14, (L,)),
        ("holtz_gibbs_index", "plasticity_index", 16, (L, M)),
        ("holtz_gibbs_index", "plasticity_index", 27, (M, H)),
        ("holtz_gibbs_index", "plasticity_index", 38, (H, V)),
        # shrinkage limit: > 15, 10-16, 7-12, < 11
        ("holtz_gibbs_shrinkage_limit", "shrinkage_limit", 20, (L,)),
        ("holtz_gibbs_shrinkage_limit", "shrinkage_limit", 15.5, (L, M)),
        ("holtz_gibbs_shrinkage_limit", "shrinkage_limit", 10.5, (M, H, V)),
        ("holtz_gibbs_shrinkage_limit", "shrinkage_limit", 5, (V,)),
        # colloids: < 15, 13-23, 20-31, > 28
        ("holtz_gibbs_colloids", "colloids", 14, (L, M)),
        ("holtz_gibbs_colloids", "colloids", 40, (V,)),
        # volume change: 10, 20, 30
        ("holtz_gibbs_volume", "volume_change", 25, (H,)),
        # Chen: 0-15, 10-35, 20-55, 35 and over
        ("chen_index", "plasticity_index", 12, (L, M)),
        ("chen_index", "plasticity_index", 25, (M, H)),
        ("chen_index", "plasticity_index", 60, (V,)),
        # the variant: 10-15, 15-28, 28-41, over 41
        ("chen_index_variant", "plasticity_index", 12, (L,)),
        ("chen_index_variant", "plasticity_index", 8, ()),
        ("chen_index_variant", "plasticity_index", 45, (V,)),
        # UK: 10-20, 20-40, over 40
        ("uk_house_index", "plasticity_index", 30, (M,)),
        ("uk_house_index", "plasticity_index", 45, (H,)),
        # Seed: 1.5, 5, 25
        ("seed_swell", "swell_potential", 1.6, (M,)),
        ("seed_swell", "swell_potential", 26, (V,)),
    ],
)
def test_a_criterion_by_its_table(criterion, measure, value, expected):
    assert grades(measure, value / 100, criterion) == expected


@pytest.mark.parametrize(
    ("index", "grade"), [(0, "very_low"), (20.4, "very_low"), (20.5, L), (50, L), (51, M), (90, M), (91, H), (130, H), (131, V)]
)
def test_expansion_index_is_rounded_to_a_whole_number_first(index, grade):
    """ASTM D4829 Table 1: 0-20, 21-50, 51-90, 91-130, over 130."""
    assert grades("expansion_index", float(index), "d4829_index") == (grade,)


def test_one_value_two_answers_are_both_shown_and_not_averaged():
    """Free swell of 150 %: high by IS 1498, very high by the teaching page and by roads practice."""
    found = expansiveness({"free_swell_index": 1.5})
    assert [each.grades for each in found.verdicts] == [("high",), ("very_high",), ("very_high",)]
    assert (found.lowest, found.highest, found.disagree) == ("high", "very_high", True)


def test_overlapping_ranges_that_share_a_grade_do_not_disagree():
    """Colloids 25 %: high; volume change 25 %: high."""
    found = expansiveness({"colloids": 0.25, "volume_change": 0.25})
    assert (found.lowest, found.highest, found.disagree) == ("high", "high", False)


def test_what_no_table_holds_says_nothing():
    found = expansiveness({"liquid_limit": 0.15, "water_content": 0.2})
    assert found.verdicts[0].grades == () and (found.lowest, found.highest, found.disagree) == ("", "", False)
    assert expansiveness({}).verdicts == ()


def test_a_value_at_an_edge_is_not_moved_by_a_billionth():
    assert grades("plasticity_index", 0.48 - 0.25, "is_1498_index") == ("high",)  # 0.22999999999999998 is 23 %


def test_rows_are_whole():
    """Every grade is known, every range runs upwards, every row tells how it is known."""
    for row in criteria():
        for each in row["classes"]:
            assert each["grade"] in GRADES and each["from"] < each["to"], row.key
        assert row.standing in ("document", "second-hand", "memory"), row.key


def test_a_number_that_is_none_is_refused():
    with pytest.raises(InputError) as fault:
        expansiveness({"plasticity_index": float("nan")})
    assert fault.value.code == "not_finite"
