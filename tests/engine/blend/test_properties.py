"""Which properties mix by mass."""

import pytest

from loamwright.engine.blend.parts import blend_property
from loamwright.engine.blend.properties import (
    PLASTICITY_INDEX_OF_TWO,
    blend_plasticity_index,
    blend_properties,
    mixing_rule,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

PARTS = {"sandy": 5, "clay": 2}
PAILS = {"sandy": 28.4, "clay": 22.4}


def test_linear_properties_together():
    # A blend's gravel, sand, silt and clay sum to one when each source's do: they are masses in one dry mass.
    sources = {
        "gravel": {"sandy": 0.05, "clay": 0.0},
        "sand": {"sandy": 0.70, "clay": 0.22},
        "silt": {"sandy": 0.16, "clay": 0.40},
        "clay": {"sandy": 0.09, "clay": 0.38},
    }
    found = blend_properties(PARTS, pail_dry_mass=PAILS, source_properties=sources)
    assert sum(found.values.values()) == pytest.approx(1.0, abs=1e-12)
    assert found.values["clay"] == blend_property(PARTS, pail_dry_mass=PAILS, source_property=sources["clay"])
    assert found.notes == ()


def test_shrinkage_is_noted():
    found = blend_properties(PARTS, pail_dry_mass=PAILS, source_properties={"linear_shrinkage": {"sandy": 0.01, "clay": 0.12}})
    assert [note.code for note in found.notes] == ["roughly_linear"]


@pytest.mark.parametrize("name", ["strength", "plasticity_index", "liquid_limit", "dry_density"])
def test_what_does_not_mix_is_refused(name):
    with pytest.raises(InputError) as refusal:
        blend_properties(PARTS, pail_dry_mass=PAILS, source_properties={name: {"sandy": 1.0, "clay": 2.0}})
    assert refusal.value.code == "not_linear"


def test_unknown_property_refused():
    with pytest.raises(InputError) as refusal:
        mixing_rule("colour")
    assert refusal.value.code == "unknown_property"


def test_plasticity_index_of_two_soils():
    # Definition case blend-07: (0.5*80*25 + 0.5*30*4) / (0.5*80 + 0.5*30) = 1060/55 = 19.27; the plain mean is 14.5.
    found = blend_plasticity_index(
        {"a": 0.5, "b": 0.5}, passing_no40={"a": 0.80, "b": 0.30}, plasticity_index={"a": 0.25, "b": 0.04}
    )
    assert found == pytest.approx(0.1927, abs=0.0001)
    numbers = {"f_1": 0.5, "P_1": 0.8, "I_1": 0.25, "f_2": 0.5, "P_2": 0.3, "I_2": 0.04}
    assert evaluate(PLASTICITY_INDEX_OF_TWO.put_in(numbers)) == pytest.approx(found, abs=1e-9)


@pytest.mark.parametrize(
    ("shares", "passing", "code"),
    [
        ({}, {"a": 0.8}, "no_parts"),
        ({"a": 1.0}, {"b": 0.8}, "source_missing"),
        ({"a": 1.0}, {"a": -0.8}, "negative"),
        ({"a": 1.0}, {"a": 0.0}, "not_positive"),
    ],
)
def test_plasticity_refusals(shares, passing, code):
    with pytest.raises(InputError) as refusal:
        blend_plasticity_index(shares, passing_no40=passing, plasticity_index={"a": 0.2})
    assert refusal.value.code == code
