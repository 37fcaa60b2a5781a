"""Blends in whole parts: figures calculated by hand, mass balance, and what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.blend.parts import (
    BLEND_DRY_MASS,
    BLEND_PROPERTY,
    MASS_SHARE,
    SOURCE_DRY_MASS,
    blend_dry_mass,
    blend_property,
    blend_property_formula,
    mass_share_formula,
    mass_shares,
    reduced_parts,
    source_dry_mass,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

PAILS = {"sandy": 1.42, "clay": 1.12}  # loose dry density, kg/l; one litre pails
CLAY = {"sandy": 0.09, "clay": 0.38}

ratios = st.dictionaries(st.sampled_from(["a", "b", "c", "d"]), st.integers(1, 12), min_size=1, max_size=4)
pail_masses = st.fixed_dictionaries({name: st.floats(5.0, 60.0) for name in "abcd"})


@pytest.mark.parametrize(("sandy", "clay", "expected"), [(5, 2, 0.160), (7, 2, 0.143), (3, 2, 0.190)])
def test_clay_of_blend(sandy, clay, expected):
    # Handbook arithmetic: 5 sandy to 2 clay at 1.42 and 1.12 kg/l, 9 and 38 % clay; printed to 0.1 %.
    # By hand, 5:2: (5*1.42*9 + 2*1.12*38) / (5*1.42 + 2*1.12) = 149.02 / 9.34 = 15.96.
    found = blend_property({"sandy": sandy, "clay": clay}, pail_dry_mass=PAILS, source_property=CLAY)
    assert found == pytest.approx(expected, abs=0.0005)


def test_bulked_sand_makes_the_blend_fatter():
    # Sand bulked 25 % puts 1.50/1.25 kg dry in a litre: 5:2 then holds 17.9 instead of 16.4 % (1.50/1.10 kg/l, 8/45 %).
    clay = {"sandy": 0.08, "clay": 0.45}
    dry = blend_property({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 1.50, "clay": 1.10}, source_property=clay)
    damp = blend_property({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 1.20, "clay": 1.10}, source_property=clay)
    assert (dry, damp) == (pytest.approx(0.164, abs=0.0005), pytest.approx(0.179, abs=0.0005))


def test_mass_shares_of_five_to_two():
    # 7.10 : 2.24 of 9.34 is 76:24, printed as whole percents.
    shares = mass_shares({"sandy": 5, "clay": 2}, pail_dry_mass=PAILS)
    assert shares == {"sandy": pytest.approx(0.76, abs=0.005), "clay": pytest.approx(0.24, abs=0.005)}
    assert list(shares) == ["sandy", "clay"]


@pytest.mark.parametrize(
    ("parts", "expected"),
    [((3, 2, 1), 0.213), ((2, 2, 1), 0.174), ((1, 1, 1), 0.152)],
    ids=["3:2:1", "2:2:1", "1:1:1"],
)
def test_three_sources(parts, expected):
    # Red soil 46 % clay at 1.05, river sand 3 % at 1.45, quarry fines 6 % at 1.60 kg/l; by hand for 2:2:1:
    # (2*1.05*46 + 2*1.45*3 + 1.60*6) / (2.10 + 2.90 + 1.60) = 114.9 / 6.6 = 17.41.
    names = ("red", "sand", "fines")
    found = blend_property(
        dict(zip(names, parts, strict=True)),
        pail_dry_mass=dict(zip(names, (1.05, 1.45, 1.60), strict=True)),
        source_property=dict(zip(names, (0.46, 0.03, 0.06), strict=True)),
    )
    assert found == pytest.approx(expected, abs=0.0005)


def test_dry_mass_of_a_set():
    # 5 pails of 28 kg and 2 of 23 kg: 140 + 46 = 186 kg.
    assert blend_dry_mass({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 28.0, "clay": 23.0}) == 186.0


def test_source_dry_mass_of_a_job():
    # 6,200 blocks of 6.99 kg at 6 % of total hold 0.94 * 43,338 = 40,738 kg soil; 2.24/9.34 of it is 9,770 kg clay soil.
    found = source_dry_mass({"sandy": 5, "clay": 2}, pail_dry_mass=PAILS, source="clay", dry_soil_mass=40_737.72)
    assert found == pytest.approx(9770.2, abs=0.5)


def test_draws_pass_through():
    pails = {"sandy": np.array([1.42, 1.50]), "clay": 1.12}
    found = blend_property({"sandy": 5, "clay": 2}, pail_dry_mass=pails, source_property=CLAY)
    second = (5 * 1.50 * 0.09 + 2 * 1.12 * 0.38) / (5 * 1.50 + 2 * 1.12)
    assert found == pytest.approx([0.15955, second], abs=1e-5)


def test_reduced_parts_are_coprime_and_keep_order():
    assert list(reduced_parts({"b": 12, "a": 6, "c": 9}).items()) == [("b", 4), ("a", 2), ("c", 3)]


@given(ratios, pail_masses)
def test_shares_sum_to_one_and_mass_is_conserved(parts, pails):
    shares = mass_shares(parts, pail_dry_mass=pails)
    assert math.fsum(shares.values()) == pytest.approx(1.0, abs=1e-12)
    total = blend_dry_mass(parts, pail_dry_mass=pails)
    assert total == pytest.approx(math.fsum(parts[name] * pails[name] for name in parts), rel=1e-12)
    given_back = [source_dry_mass(parts, pail_dry_mass=pails, source=name, dry_soil_mass=total) for name in parts]
    assert math.fsum(given_back) == pytest.approx(total, rel=1e-12)


@given(ratios, pail_masses, st.integers(2, 9))
def test_scaling_parts_changes_nothing(parts, pails, factor):
    scaled = {name: factor * count for name, count in parts.items()}
    assert mass_shares(scaled, pail_dry_mass=pails) == mass_shares(parts, pail_dry_mass=pails)
    assert reduced_parts(scaled) == reduced_parts(parts)


@given(ratios, pail_masses, st.randoms())
def test_order_of_sources_is_irrelevant(parts, pails, random):
    names = list(parts)
    random.shuffle(names)
    shuffled = {name: parts[name] for name in names}
    clay = {"a": 0.05, "b": 0.15, "c": 0.3, "d": 0.61}
    one = blend_property(parts, pail_dry_mass=pails, source_property=clay)
    assert blend_property(shuffled, pail_dry_mass=pails, source_property=clay) == one
    assert min(clay.values()) - 1e-12 <= one <= max(clay.values()) + 1e-12


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        ({}, "no_parts"),
        ({"sandy": 0, "clay": 2}, "not_positive"),
        ({"sandy": -5, "clay": 2}, "not_positive"),
        ({"sandy": 2.5, "clay": 1}, "not_whole"),
        ({"sandy": 2.0, "clay": 1}, "not_whole"),
        ({"sandy": True, "clay": 1}, "not_whole"),
        ({"sandy": "5", "clay": 1}, "not_whole"),
        ({"sandy": 5, "silt": 2}, "source_missing"),
    ],
)
def test_parts_refused(parts, code):
    with pytest.raises(InputError) as refusal:
        mass_shares(parts, pail_dry_mass=PAILS)
    assert refusal.value.code == code


@pytest.mark.parametrize(
    ("pails", "clay", "code"),
    [
        ({"sandy": 0.0, "clay": 1.0}, CLAY, "not_positive"),
        ({"sandy": math.nan, "clay": 1.0}, CLAY, "not_positive"),
        ({"sandy": np.array([1.0, -1.0]), "clay": 1.0}, CLAY, "not_positive"),
        ({"sandy": np.ones(3), "clay": np.ones(4)}, CLAY, "draws_differ"),
        (PAILS, {"sandy": -0.1, "clay": 0.3}, "negative"),
        (PAILS, {"sandy": 0.1}, "source_missing"),
    ],
)
def test_values_refused(pails, clay, code):
    with pytest.raises(InputError) as refusal:
        blend_property({"sandy": 5, "clay": 2}, pail_dry_mass=pails, source_property=clay)
    assert refusal.value.code == code


def test_unknown_source_refused():
    with pytest.raises(InputError) as refusal:
        source_dry_mass({"sandy": 5}, pail_dry_mass=PAILS, source="clay", dry_soil_mass=1.0)
    assert refusal.value.code == "source_missing"


def test_formulas_give_the_kernels_numbers():
    numbers = {"v_1": 5, "m_1": 28.4, "x_1": 0.09, "v_2": 2, "m_2": 22.4, "x_2": 0.38}
    parts, pails, clay = {"s": 5, "c": 2}, {"s": 28.4, "c": 22.4}, {"s": 0.09, "c": 0.38}
    shares = mass_shares(parts, pail_dry_mass=pails)
    assert evaluate(BLEND_DRY_MASS.put_in(numbers)) == pytest.approx(blend_dry_mass(parts, pail_dry_mass=pails))
    assert evaluate(MASS_SHARE.put_in(numbers)) == pytest.approx(shares["s"])
    held = blend_property(parts, pail_dry_mass=pails, source_property=clay)
    assert evaluate(BLEND_PROPERTY.put_in(numbers)) == pytest.approx(held)
    used = source_dry_mass(parts, pail_dry_mass=pails, source="s", dry_soil_mass=500.0)
    assert evaluate(SOURCE_DRY_MASS.put_in({"f": shares["s"], "S": 500})) == pytest.approx(used, rel=1e-5)


def test_formulas_for_three_sources():
    numbers = {"v_1": 2, "m_1": 1.05, "x_1": 0.46, "v_2": 2, "m_2": 1.45, "x_2": 0.03, "v_3": 1, "m_3": 1.60, "x_3": 0.06}
    assert evaluate(blend_property_formula(3).put_in(numbers)) == pytest.approx(1.149 / 6.6)
    assert evaluate(mass_share_formula(3).put_in(numbers)) == pytest.approx(2.10 / 6.6)
