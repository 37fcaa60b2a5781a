"""Wear of blocks: brushing with bound water, spray, drip, abrasion, drop; tables from memory of their documents."""

import pytest

from loamwright.engine.block import brushing, erosion
from loamwright.errors import InputError


def test_brushing_by_the_handbook_figures() -> None:
    """Original 2000 g, final oven-dry 1890 g, an A-2 soil: corrected 1890/1.015 = 1862.1 g, loss 6.9 %."""
    corrected = brushing.corrected_dry_mass(1.890, bound_water=brushing.bound_water("A-2"))
    assert corrected == pytest.approx(1.8621, abs=5e-5)
    assert brushing.brushing_loss(2.000, corrected_dry_mass=corrected) == pytest.approx(0.069, abs=5e-4)


def test_bound_water_by_road_group() -> None:
    """1.5 % for A-1 to A-3, 2.5 % for A-4 and A-5, 3.0 % for A-6 and A-7 (ASTM D559, memory)."""
    assert [brushing.bound_water(f"A-{n}") for n in range(1, 8)] == [0.015] * 3 + [0.025] * 2 + [0.03] * 2


@pytest.mark.parametrize(
    ("group", "most"),
    [
        *((group, 0.14) for group in ("A-1", "A-2-4", "A-2-5", "A-3")),
        *((group, 0.10) for group in ("A-2", "A-2-6", "A-2-7", "A-4", "A-5")),
        *((group, 0.07) for group in ("A-6", "A-7")),
    ],
)
def test_limits_of_the_soil_cement_handbook(group, most) -> None:
    """14, 10 and 7 % (PCA EB052, memory); a plain A-2 is held against the stricter subgroup."""
    (at_limit,) = [each for each in brushing.loss_limits(most, group=group) if each.source == "pca-eb052"]
    (above,) = [each for each in brushing.loss_limits(most + 0.001, group=group) if each.source == "pca-eb052"]
    assert (at_limit.most, at_limit.passes, above.passes) == (most, True, False)


def test_limits_that_ask_for_no_group_come_for_every_soil() -> None:
    """UN manual 5 and 10 %, IS 1725 5 % (1982) and 3 % (2013), all memory."""
    found = {each.key: each.most for each in brushing.loss_limits(0.04, group="A-7") if each.source != "pca-eb052"}
    assert found == {"un-1958-wet": 0.05, "un-1958-dry": 0.10, "is-1725-1982": 0.05, "is-1725-2013": 0.03}


def test_a_block_brushed_to_nothing_lost_all_of_it() -> None:
    assert brushing.brushing_loss(2.0, corrected_dry_mass=0.0) == 1.0


def test_change_of_volume() -> None:
    """2 % of 0.003717 m³ is 0.00007434 m³."""
    assert brushing.cycle_volume_change(0.003717, volume_after=0.00379134) == pytest.approx(0.02)


def test_spray_index_holds_at_its_bounds() -> None:
    """0-20, 20-50, 50-90, 90-120, 120 and over fails; lower bound in, upper out (NZS 4298:1998, Appendix D, memory)."""
    rates = (0.0, 19.99, 20.0, 49.99, 50.0, 89.99, 90.0, 119.99, 120.0, 500.0)
    found = [erosion.erodibility_index(rate) for rate in rates]
    assert [each.index for each in found] == [1, 1, 2, 2, 3, 3, 4, 4, 5, 5]
    assert [each.fails for each in found] == [False] * 8 + [True] * 2


def test_a_block_worn_through_in_a_quarter_of_an_hour() -> None:
    """30 mm in 15 min is 120 mm/h: depth x 60/minutes."""
    rate = erosion.erosion_rate(30.0, spray_minutes=15.0)
    assert rate == pytest.approx(120.0) and erosion.erodibility_index(rate).fails


def test_research_sprays_at_high_pressure_are_told_apart() -> None:
    """Soil-cement wore 0.5 mm in an hour at 2.07 MPa (Sustainability 2010, 2, 3639): index 1, and the table is for 50 kPa."""
    found = erosion.erodibility_index(erosion.erosion_rate(0.5, spray_minutes=60.0), spray_pressure=2.07)
    assert found.index == 1 and [note.code for note in found.notes] == ["spray_pressure_other"]


def test_drip_index_holds_at_its_bounds() -> None:
    """0-5, 5-10, 10-15 mm for 2 to 4, from 15 mm it fails (NZS 4298:1998, Appendix E, memory)."""
    found = [erosion.drip_index(depth) for depth in (0.0, 4.9, 5.0, 9.9, 10.0, 14.9, 15.0)]
    assert [each.index for each in found] == [2, 2, 3, 3, 4, 4, 5] and found[-1].fails


def test_abrasion_by_the_formula_of_the_french_rule() -> None:
    """Ca = S/(m0 - m1): 29.5 cm by 2.5 cm is 73.75 cm²; 14.75 g off is 5.0 cm²/g, class BTC 40 (memory)."""
    found = erosion.abrasion_coefficient(7375.0, block_mass_before=7.0, block_mass_after=6.98525)
    assert found == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("unknown_soil_group", lambda: brushing.bound_water("A-8")),
        ("unknown_soil_group", lambda: brushing.loss_limits(0.1, group="sand")),
        ("heavier_after_wear", lambda: brushing.brushing_loss(2.0, corrected_dry_mass=2.1)),
        ("negative", lambda: brushing.corrected_dry_mass(2.0, bound_water=-0.01)),
        ("not_positive", lambda: brushing.weighed_loss(0.0, block_mass_after=0.0)),
        ("not_positive", lambda: erosion.erosion_rate(1.0, spray_minutes=0.0)),
        ("out_of_range", lambda: erosion.erosion_rate(5000.0, spray_minutes=1.0)),
        ("negative", lambda: erosion.drip_index(-1.0)),
        ("nothing_brushed_off", lambda: erosion.abrasion_coefficient(7375.0, block_mass_before=7.0, block_mass_after=7.0)),
        ("heavier_after_wear", lambda: erosion.abrasion_coefficient(7375.0, block_mass_before=7.0, block_mass_after=7.1)),
        ("heavier_after_wear", lambda: erosion.kept_share(7.1, block_mass=7.0)),
    ],
)
def test_bad_values_are_refused_by_name(code, call) -> None:
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == code
