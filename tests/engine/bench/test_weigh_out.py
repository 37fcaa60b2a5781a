"""Weigh-out: the worked batch, misses on both sides of their limits, remedies that come out right."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import dose, weigh_out
from loamwright.engine.bench.weigh_out import SourcePart

SANDY = SourcePart("sandy", 5, 28.4, 0.03)
CLAY = SourcePart("clay", 2, 22.4, 0.08)


def batch(moist: float = 10.0, water: float = 0.04, step: float = 0.005) -> weigh_out.Targets:
    return weigh_out.targets_from_moist_soil(
        moist,
        soil_water_content=water,
        stabiliser_of_total=0.06,
        target_water_content=0.10,
        soil_scale_step=0.05,
        scale_step=step,
    )


def test_the_worked_batch() -> None:
    # Hand, as in the trade: S 9.615, C 0.614, T 10.229, water 0.638; on a 5 g scale 0.615 and 0.640.
    wanted = batch()
    assert wanted.dry_soil_mass == pytest.approx(9.615, abs=0.0005)
    assert wanted.stabiliser_mass == pytest.approx(0.614, abs=0.0005)
    assert wanted.total_dry_mass == pytest.approx(10.229, abs=0.0005)
    assert wanted.water_mass == pytest.approx(0.638, abs=0.0005)
    assert (wanted.moist_soil_order, wanted.stabiliser_order, wanted.water_order) == (10.0, 0.615, 0.64)
    assert wanted.notes == ()


def test_dry_soil_asked_for() -> None:
    # Hand: 9.6 kg dry at 4 % is 9.984 kg moist, 10.00 on a 50 g scale.
    wanted = weigh_out.targets_from_dry_soil(
        9.6,
        soil_water_content=0.04,
        stabiliser_of_total=0.06,
        target_water_content=0.10,
        soil_scale_step=0.05,
        scale_step=0.005,
    )
    assert wanted.moist_soil_mass == pytest.approx(9.984, abs=1e-9)
    assert wanted.moist_soil_order == 10.0
    assert wanted.dry_soil_mass == pytest.approx(9.6, rel=1e-12)


def test_no_order_of_water_for_soil_that_is_too_wet() -> None:
    wanted = batch(water=0.13)
    assert wanted.water_order is None
    assert wanted.water_mass < 0
    assert [note.code for note in wanted.notes] == ["soil_holds_more_than_wanted"]


def test_scale_too_coarse_for_the_dose() -> None:
    # Hand: 5 % of 0.614 kg is 0.031 kg, less than one step of 0.05.
    assert [note.code for note in batch(step=0.05).notes] == ["scale_too_coarse"]
    assert batch(step=0.03).notes == ()


@pytest.mark.parametrize(
    ("mass", "step", "shown"),
    [(0.61374, 0.005, 0.615), (0.6125, 0.005, 0.615), (0.5701, 0.01, 0.57), (-0.013, 0.005, -0.015), (7.3, 0.5, 7.5)],
)
def test_to_scale_step(mass: float, step: float, shown: float) -> None:
    assert weigh_out.to_scale_step(mass, scale_step=step) == shown


# Hand, 9.4 kg dry soil wanted at 6 %: 0.600 kg. 5 % of the dose is 6.3 % of total: 9.4 x 0.063 / 0.937 = 0.63202 kg;
# below, 5.7 % of total: 9.4 x 0.057 / 0.943 = 0.56819 kg.
@pytest.mark.parametrize(
    ("mass", "kind"),
    [
        (0.600, "as_near_as_the_scale"),
        (0.605, "as_near_as_the_scale"),
        (0.595, "as_near_as_the_scale"),
        (0.606, "counts_as_the_mix"),
        (0.632, "counts_as_the_mix"),
        (0.633, "its_own_mix"),
        (0.5682, "counts_as_the_mix"),
        (0.5681, "its_own_mix"),
        (0.0, "its_own_mix"),
    ],
)
def test_whether_a_miss_matters(mass: float, kind: str) -> None:
    miss = weigh_out.dose_miss(mass, dry_soil_mass=9.4, stabiliser_of_total=0.06, scale_step=0.005)
    assert miss.kind == kind
    assert miss.excess_mass == pytest.approx(mass - 0.6, abs=1e-9)
    assert miss.achieved_of_total == pytest.approx(mass / (9.4 + mass), rel=1e-12)
    assert miss.relative == pytest.approx((mass / (9.4 + mass) - 0.06) / 0.06, abs=1e-12)


def test_cement_in_a_mix_without_any() -> None:
    miss = weigh_out.dose_miss(0.2, dry_soil_mass=9.4, stabiliser_of_total=0.0, scale_step=0.005)
    assert (miss.kind, miss.relative) == ("its_own_mix", None)
    none = weigh_out.dose_miss(0.0, dry_soil_mass=9.4, stabiliser_of_total=0.0, scale_step=0.005)
    assert none.kind == "as_near_as_the_scale"


def test_a_coarse_scale_is_said() -> None:
    miss = weigh_out.dose_miss(0.65, dry_soil_mass=9.4, stabiliser_of_total=0.06, scale_step=0.05)
    assert miss.kind == "as_near_as_the_scale"
    assert [note.code for note in miss.notes] == ["scale_too_coarse"]


def test_remedy_by_hand() -> None:
    # Hand: 0.70 x 0.94 / 0.06 = 10.9667; less 9.6154 is 1.3513 dry, x 1.04 = 1.4053 moist; total 10.9667 + 0.70.
    remedy = weigh_out.overdose_remedy(0.70, dry_soil_mass=9.6154, stabiliser_of_total=0.06, soil_water_content=0.04)
    assert remedy.dry_soil_mass == pytest.approx(1.3513, abs=0.00005)
    assert remedy.moist_soil_mass == pytest.approx(1.4053, abs=0.00005)
    assert remedy.new_dry_soil_mass == pytest.approx(10.9667, abs=0.00005)
    assert remedy.new_total_dry_mass == pytest.approx(11.6667, abs=0.00005)


def test_split_by_parts() -> None:
    # Hand: 5 x 28.4 = 142.0 and 2 x 22.4 = 44.8 of 186.8: 76:24 by mass. 1.868 kg: 1.42 and 0.448 dry,
    # 1.4626 and 0.48384 moist, 0.05 and 0.02 pails.
    sandy, clay = weigh_out.split_by_parts(1.868, parts=[SANDY, CLAY])
    assert (sandy.source, clay.source) == ("sandy", "clay")
    assert (round(100 * sandy.share), round(100 * clay.share)) == (76, 24)
    assert (sandy.dry_mass, clay.dry_mass) == pytest.approx((1.42, 0.448), rel=1e-12)
    assert (sandy.moist_mass, clay.moist_mass) == pytest.approx((1.4626, 0.48384), rel=1e-12)
    assert (sandy.pails, clay.pails) == pytest.approx((0.05, 0.02), rel=1e-12)


@given(soil=st.floats(0.1, 1000.0), share=st.floats(0.01, 0.4), over=st.floats(1.0, 3.0))
def test_remedy_brings_the_dose_back(soil: float, share: float, over: float) -> None:
    cement = over * dose.stabiliser_mass(soil, stabiliser_of_total=share)
    remedy = weigh_out.overdose_remedy(cement, dry_soil_mass=soil, stabiliser_of_total=share, soil_water_content=0.05)
    assert dose.stabiliser_of_total(cement, dry_soil_mass=remedy.new_dry_soil_mass) == pytest.approx(share, rel=1e-9)
    assert remedy.new_total_dry_mass == pytest.approx(soil + remedy.dry_soil_mass + cement, rel=1e-12)


@given(
    dry=st.floats(0.01, 500.0),
    parts=st.lists(st.tuples(st.floats(0.5, 8.0), st.floats(1.0, 60.0), st.floats(0.0, 0.3)), min_size=1, max_size=4),
)
def test_split_adds_up_in_any_order(dry: float, parts: list[tuple[float, float, float]]) -> None:
    sources = [SourcePart(f"source {place}", *part) for place, part in enumerate(parts)]
    split = weigh_out.split_by_parts(dry, parts=sources)
    assert sum(each.dry_mass for each in split) == pytest.approx(dry, rel=1e-9)
    assert sum(each.share for each in split) == pytest.approx(1.0, rel=1e-9)
    turned = weigh_out.split_by_parts(dry, parts=sources[::-1])
    assert {each.source: each.share for each in split} == {each.source: each.share for each in turned}
    sets = [each.pails / source.parts for each, source in zip(split, sources, strict=True)]
    assert sets == pytest.approx([sets[0]] * len(sets), rel=1e-9)


@given(mass=st.floats(-50.0, 500.0), step=st.sampled_from([0.001, 0.002, 0.005, 0.01, 0.05, 0.1, 0.5, 1.0]))
def test_an_order_is_within_half_a_step(mass: float, step: float) -> None:
    shown = weigh_out.to_scale_step(mass, scale_step=step)
    assert abs(shown - mass) <= step / 2 * (1 + 1e-9) + 1e-12
    assert shown / step == pytest.approx(round(shown / step), abs=1e-6)
