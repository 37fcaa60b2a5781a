"""Tables of road building: which stabiliser, how much to try first, what a layer must reach; cement brought to the whole soil."""

import pytest

from loamwright.engine.soil import stabiliser_choice as choice
from loamwright.errors import InputError


def test_both_printed_limits_of_the_index_and_the_stricter_decides() -> None:
    """25 % fines: 20 + 50 - 25 = 45 in the copy of 2020, 20 + 25/4 = 26.25 in older editions. An index of 30 lies between."""
    assert choice.cement_index_limit(0.25) == pytest.approx(0.45)
    assert choice.cement_index_limit_older(0.25) == pytest.approx(0.2625)
    between = choice.suitable("SC", fines=0.25, plasticity_index=0.30, liquid_limit=0.50, passing_4_75=0.93)
    assert not between.cement and between.cement_index_limit == pytest.approx(0.2625)
    assert choice.suitable("SC", fines=0.25, plasticity_index=0.26, liquid_limit=0.50, passing_4_75=0.93).cement


@pytest.mark.parametrize(
    ("symbol", "fines", "index", "liquid", "area", "cement", "lime"),
    [  # table 2-3: areas seen for SC (second-hand), the rest memory
        ("SC", 0.25, 0.09, 0.20, "1C", True, False),
        ("SC", 0.30, 0.15, 0.35, "1C", True, True),
        ("SC", 0.20, 0.15, 0.35, "1C", True, False),  # lime wants 25 % fines
        ("SW", 0.03, 0.00, 0.00, "1A", True, False),
        ("CL", 0.70, 0.15, 0.35, "3", True, True),
        ("CL", 0.70, 0.20, 0.39, "3", False, True),  # index below 20
        ("CL", 0.70, 0.15, 0.40, "3", False, True),  # liquid limit below 40
        ("CH", 0.90, 0.40, 0.65, "3", False, True),
    ],
)
def test_what_the_table_allows(symbol, fines, index, liquid, area, cement, lime) -> None:
    found = choice.suitable(symbol, fines=fines, plasticity_index=index, liquid_limit=liquid, passing_4_75=0.95)
    assert (found.area, found.cement, found.lime) == (area, cement, lime)


def test_a_gravel_with_little_below_4_75_mm_takes_no_cement() -> None:
    coarse = {"fines": 0.03, "plasticity_index": 0.0, "liquid_limit": 0.0}
    assert not choice.suitable("GW", passing_4_75=0.40, **coarse).cement
    assert choice.suitable("GW", passing_4_75=0.45, **coarse).cement


def test_a_fraction_brought_to_the_whole_and_back() -> None:
    """8 % on 60 % of the soil is 4.8 % of the whole (UFC 3-250-11, 3-1.4.1)."""
    assert choice.cement_of_whole(0.08, passing_0_425=0.6) == pytest.approx(0.048)
    assert choice.cement_of_whole(0.08, passing_0_425=1.0) == 0.08


def test_groups_of_roads_with_their_subgroups() -> None:
    assert choice.cement_range("A-2-6") == choice.cement_range("A-2")
    assert choice.cement_range("A-1-a").most == 0.05


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: choice.first_trial_cement("XX"), "group_not_known"),
        (lambda: choice.cement_range("A-9"), "group_not_known"),
        (lambda: choice.pavement_strength("roof"), "layer_not_known"),
        (lambda: choice.cement_index_limit(0.6), "out_of_range"),
        (lambda: choice.cement_index_limit_older(-0.1), "out_of_range"),
        (lambda: choice.cement_of_whole(8.0, passing_0_425=0.6), "out_of_range"),
        (lambda: choice.suitable("SC", fines=25, plasticity_index=0.1, liquid_limit=0.2, passing_4_75=0.9), "out_of_range"),
        (lambda: choice.suitable("Pt", fines=0.5, plasticity_index=0.1, liquid_limit=0.2, passing_4_75=0.9), "group_not_known"),
    ],
)
def test_what_cannot_be_is_said(do, code: str) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
