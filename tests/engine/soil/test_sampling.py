"""Reserves, quartering and what is still to be brought, by hand."""

import pytest

from loamwright.engine.soil.sampling import layers_wrong, mass_before_quartering, reserve_volume, soil_still_needed
from loamwright.errors import InputError


def test_a_reserve_by_hand() -> None:
    """20 m by 10 m, 1.2 m thick, 0.7 for layers that thin out (common practice): 168 m³."""
    found = reserve_volume(20_000.0, field_width=10_000.0, layer_thickness=1_200.0, regular_share=0.7)
    assert found == pytest.approx(168.0)


@pytest.mark.parametrize(("times", "mass"), [(0, 2.5), (1, 5.0), (4, 40.0)])
def test_each_quartering_halves(times: int, mass: float) -> None:
    assert mass_before_quartering(2.5, quarterings=times) == mass


def test_what_is_still_to_be_brought() -> None:
    assert soil_still_needed(60.0, sample_masses=[25.0, 20.0]) == 15.0
    assert soil_still_needed(60.0, sample_masses=[]) == 60.0
    assert soil_still_needed(60.0, sample_masses=[45.0, 20.0]) == 0.0


def test_layers_follow_each_other_or_are_told() -> None:
    assert layers_wrong([0, 300, 900], bottoms=[300, 900, 1500]) is None
    assert layers_wrong([0, 400], bottoms=[300, 900]) == 2  # a hole
    assert layers_wrong([0, 200], bottoms=[300, 900]) == 2  # one over another


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: reserve_volume(0.0, field_width=1.0, layer_thickness=1.0, regular_share=0.7), "not_positive"),
        (lambda: reserve_volume(1.0, field_width=1.0, layer_thickness=1.0, regular_share=1.7), "out_of_range"),
        (lambda: mass_before_quartering(0.0, quarterings=1), "not_positive"),
        (lambda: mass_before_quartering(1.0, quarterings=-1), "out_of_range"),
        (lambda: mass_before_quartering(1.0, quarterings=40), "out_of_range"),
        (lambda: soil_still_needed(-1.0, sample_masses=[]), "negative"),
        (lambda: soil_still_needed(1.0, sample_masses=[-1.0]), "negative"),
        (lambda: layers_wrong([300.0], bottoms=[200.0]), "layer_upside_down"),
    ],
)
def test_what_cannot_be_is_said(do, code: str) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
