"""The search over a notebook: the same worlds as a kept blend, the scarce soil spared, and what upsets a blend."""

import numpy as np
import pytest

from loamwright.engine.blend.windows import stabiliser_window
from loamwright.errors import InputError
from loamwright.project import blend_search, blending


@pytest.fixture
def two(trial):
    return trial.two_guessed("Sandy soil", "Red clay")


def test_chances_are_those_of_the_blend_itself(trial, two):
    """The page of a blend counts the same draws one blend at a time."""
    state = trial.state
    found = blend_search.found(state, blend_search.usual(state)).search
    assert found.draws == 4000
    for each in found.ranked[:6]:
        assert each.chance == pytest.approx(blending.blend_view(state, each.parts).window.chances.inside, abs=1e-12)


def test_no_ratio_has_both_a_better_chance_and_less_of_the_scarce_soil(trial, two):
    state = trial.state
    wanted = blend_search.Wanted(two, (stabiliser_window("cement"),), 8, two[1])
    found = blend_search.found(state, wanted)
    edge = blend_search.frontier(found.search.ranked)
    for kept in edge:
        assert not [
            each for each in found.search.ranked if each.chance > kept.chance and each.scarce_share < kept.scarce_share - 1e-12
        ]
    shares = [each.scarce_share for each in edge]
    assert shares == sorted(shares)


def test_whole_parts_nearest_to_shares():
    """By hand: shares 0.71 and 0.29 are 5 : 2 within a hundredth; no smaller total is as near."""
    from loamwright.engine.blend.optimum import Optimum

    spared = Optimum({"a": 0.714, "b": 0.286}, {}, 0.3, 0.8, ())
    assert blend_search.nearest_parts(spared, most_parts=8) == {"a": 5, "b": 2}


def test_damp_sand_makes_a_blend_fatter(trial, two):
    """Mass balance: less sand in each pail, so more clay in the blend; a heaped pail of clay as well."""
    sandy, clay = two
    kept = trial.write("blend", {"parts": [{"source": sandy, "parts": 5}, {"source": clay, "parts": 2}]})
    state = trial.state
    found = {each.code: each for each in blend_search.upsets(state, state.fact(kept, "blend"))}
    assert found["upset_damp"].source == sandy
    assert found["upset_heaped"].source == clay
    ground = blend_search.ground(state, two)
    place = ground.sources.index(sandy)
    masses = np.array([5.0, 2.0] if place == 0 else [2.0, 5.0])[:, None] * ground.masses
    masses[place] /= 1.25  # judged bulking of 25 %, as its row says
    clay_share = (masses * ground.held["clay"]).sum(axis=0) / masses.sum(axis=0)
    assert found["upset_damp"].upset.after["clay"] == pytest.approx(float(np.median(clay_share)))
    for each in found.values():
        assert each.upset.after["clay"] > each.upset.before["clay"]


def test_one_bucket_cannot_be_searched(trial):
    source = trial.source("Only", "25")
    with pytest.raises(InputError, match="two_buckets"):
        blend_search.found(trial.state, blend_search.Wanted((source,), (stabiliser_window("cement"),), 8, None))
