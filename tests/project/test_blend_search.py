"""The search over a notebook: the same worlds as a kept blend, the scarce soil spared, and what upsets a blend."""

import numpy as np
import pytest
from tests.trials import quantity

from loamwright.engine.blend.envelopes import grading_envelopes
from loamwright.engine.blend.windows import published_windows, stabiliser_window
from loamwright.errors import InputError
from loamwright.formula import evaluate
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


def sieved(trial, source, passing):
    """A sieve analysis reported as shares passing, size in mm to per cent."""
    sieves = [{"size": quantity(size, "mm"), "passing": quantity(share, "pct")} for size, share in passing.items()]
    trial.write("sieve", {"source": source, "sieves": sieves})


SANDY = {"4.75": "100", "2": "90", "0.425": "55", "0.075": "15"}
RED = {"4.75": "100", "2": "98", "0.425": "85", "0.075": "60"}


def test_bands_are_asked_at_the_sizes_that_every_soil_is_known_at(trial, two):
    """Guessed soils are known at 0.002 and 0.06 mm alone, so limits at 0.075 and 4.75 mm cannot be asked; sieved ones can."""
    keys = [each.key for each in blend_search.bands_to_choose(trial.state, two)]
    assert "xp-p13-901-grading" in keys
    assert "nbr-10833-sieves" not in keys
    for source, passing in zip(two, (SANDY, RED), strict=True):
        sieved(trial, source, passing)
    keys = [each.key for each in blend_search.bands_to_choose(trial.state, two)]
    assert "nbr-10833-sieves" in keys
    held = blend_search.ground(trial.state, two).held
    assert ("xp-p13-901-plasticity" in keys) == ({"liquid_limit", "plasticity_index"} <= set(held))
    assert {"passing_0.075", "passing_0.425", "passing_4.75"} <= set(held)


def test_a_blend_of_sieved_soils_by_hand(trial, two):
    """5 pails of 28.4 kg and 2 of 22.4 kg: 142 and 44.8 kg; what passes 0.075 mm is (142·0.15 + 44.8·0.60) / 186.8."""
    sandy, red = two
    sieved(trial, sandy, SANDY)
    assert blend_search.blend_curve(trial.state, {sandy: 5, red: 2}) is None  # one of them was never sieved
    sieved(trial, red, RED)
    found = blend_search.blend_curve(trial.state, {sandy: 5, red: 2})
    by_size = dict(zip(found.sizes, found.passing, strict=True))
    assert by_size[0.075].median == pytest.approx((142 * 0.15 + 44.8 * 0.60) / 186.8, abs=0.001)
    assert by_size[0.075].low < by_size[0.075].median < by_size[0.075].high  # the pails have a spread
    assert by_size[4.75].median == pytest.approx(1.0)


def test_everything_at_once_is_no_likelier_than_any_alone(trial, two):
    state, parts = trial.state, dict(zip(two, (5, 2), strict=True))
    windows = [stabiliser_window("cement"), *published_windows("clay"), grading_envelopes()[0]]
    found = blend_search.joint(state, parts, windows)
    assert found.usable <= min(each.inside for each in found.each.values()) + 1e-12
    for view in blending.blend_view(state, parts).published:
        if view.window.property_name == "clay":
            assert found.each[view.window.key].inside == pytest.approx(view.chances.inside, abs=1e-12)
    change = blend_search.joint_change(state, parts, windows)
    if change is not None:
        assert change.chance == pytest.approx(blend_search.joint(state, change.parts, windows).usable)
        assert change.gain >= 0.0


def test_a_band_can_be_wanted_together_with_a_window(trial, two):
    """The chance in both is that of the blend held against both; alone each is at least as likely."""
    state, band = trial.state, grading_envelopes()[0]
    wanted = blend_search.Wanted(two, (stabiliser_window("cement"),), 6, None, (band,))
    for each in blend_search.found(state, wanted).search.ranked[:5]:
        assert each.chance == pytest.approx(blend_search.joint(state, each.parts, wanted.asked).usable, abs=1e-12)
        assert set(each.inside) == {"cement", band.key}


def test_a_chance_shows_its_working(trial, two):
    state = trial.state
    done = blend_search.found(state, blend_search.usual(state)).search
    found = blend_search.chance_finding(done.ranked[0], draws=done.draws)
    line = found.formula.put_in({name: each.value for name, each in found.inputs.items()})
    assert evaluate(line) == pytest.approx(done.ranked[0].chance)
    assert found.band.low <= found.value <= found.band.high


def test_properties_of_a_blend_add_up(trial, two):
    held = blend_search.held(trial.state, dict(zip(two, (5, 2), strict=True)))
    total = held["sand"].draws + held["silt"].draws + held["clay"].draws
    assert total == pytest.approx(np.ones(4000))
    assert held["clay"].rule == "linear"


def test_the_cheapest_blend_of_priced_soils(trial):
    """The dear clay soil is taken as little as the window lets: the same shares as where it is the one to spare."""
    sandy = trial.source("Sandy", "28.4", price="2", price_per="t")
    clay = trial.source("Clay", "22.4", price="20", price_per="t")
    state = trial.state
    wide = next(each for each in published_windows("clay") if each.key == "bru-b2-clay")
    wanted = blend_search.Wanted((sandy, clay), (wide,), 8, clay)
    with pytest.raises(InputError, match="no_belief"):
        blend_search.cheapest(state, wanted)
    trial.write("guess", {"source": sandy, "soil_class": "loamy_sand"})
    trial.write("guess", {"source": clay, "soil_class": "clay_loam"})
    found = blend_search.cheapest(trial.state, wanted)
    assert found.chance >= blend_search.wanted_chance()
    assert found.objective == pytest.approx(2 * found.mass_shares[sandy] + 20 * found.mass_shares[clay], rel=1e-6)
    spared = blend_search.found(trial.state, wanted).spared
    assert found.mass_shares[clay] == pytest.approx(spared.mass_shares[clay], abs=1e-3)
    narrow = blend_search.Wanted((sandy, clay), (stabiliser_window("cement"),), 8, clay)
    assert blend_search.cheapest(trial.state, narrow).forbids == ("cement",)  # guesses are too vague for four chances in five
