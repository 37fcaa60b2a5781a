"""The optimum where the answer is known: two soils by exact ordering of all worlds, limits by hand, what forbids by name."""

from math import ceil

import numpy as np
import pytest

from loamwright.engine.blend.envelopes import plasticity_areas
from loamwright.engine.blend.judging import joint
from loamwright.engine.blend.optimum import optimum
from loamwright.engine.blend.search import Ground
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError

CLAY = Window("clay", "clay", 0.10, 0.20, "judgement-windows", "judgement")
LEAST = Window("least", "clay", 0.10, None, "judgement-windows", "judgement")


def _two(draws: int, *, seed: int = 8) -> Ground:
    random = np.random.default_rng(seed)
    clay = {"fat": np.clip(0.40 * np.exp(0.2 * random.normal(size=draws)), 0, 1), "lean": np.full(draws, 0.04)}
    return Ground.of({"fat": 22.0, "lean": 28.0}, {"clay": clay})


@pytest.mark.parametrize("chance", [0.5, 0.8, 0.95])
def test_two_soils_by_ordering_all_worlds(chance) -> None:
    """A world is met from the share f = (0.10 − 0.04) / (c − 0.04) on: the least share is the k-th smallest of these. Exact."""
    ground = _two(200)
    needed = np.sort(0.06 / (ground.held["clay"][ground.sources.index("fat")] - 0.04))
    found = optimum(ground, windows=[LEAST], chance=chance, weights={"fat": 1.0})
    assert found.objective == pytest.approx(needed[ceil(chance * 200) - 1], abs=2e-6)
    assert found.chance >= chance


def test_all_draws_are_kept_to_and_little_is_given_away() -> None:
    """The same with 4,000 worlds, of which 200 are written out: the line search ends at the exact answer for one unknown."""
    ground = _two(4000)
    needed = np.sort(0.06 / (ground.held["clay"][ground.sources.index("fat")] - 0.04))
    for chance in (0.6, 0.8, 0.9):
        found = optimum(ground, windows=[LEAST], chance=chance, weights={"fat": 1.0})
        assert found.chance >= chance
        assert found.objective == pytest.approx(needed[ceil(chance * 4000) - 1], abs=2e-6)
        assert found.error == pytest.approx((found.chance * (1 - found.chance) / 4000) ** 0.5)
        assert found.notes == ()


def test_shares_by_volume_and_mass_agree() -> None:
    """Volume share times loose mass, over their sum, is the mass share."""
    found = optimum(_two(200), windows=[CLAY], chance=0.7, weights={"fat": 1.0})
    mass = {"fat": 22.0 * found.volume_shares["fat"], "lean": 28.0 * found.volume_shares["lean"]}
    assert mass["fat"] / sum(mass.values()) == pytest.approx(found.mass_shares["fat"])
    assert sum(found.volume_shares.values()) == pytest.approx(1.0)


def test_a_plasticity_area_is_asked_as_well() -> None:
    """The whole-part judgement of the optimum's shares, thousandths of a volume, gives the same chance."""
    random = np.random.default_rng(4)
    clay = {"fat": np.clip(0.40 * np.exp(0.1 * random.normal(size=150)), 0, 1), "lean": np.full(150, 0.05)}
    held = {
        "clay": clay,
        "fines": {"fat": np.full(150, 0.7), "lean": np.full(150, 0.15)},
        "liquid_limit": {"fat": 0.2 + 0.5 * clay["fat"], "lean": np.full(150, 0.18)},
        "plasticity_index": {"fat": 0.5 * clay["fat"], "lean": np.full(150, 0.02)},
    }
    ground, wanted = Ground.of({"fat": 22.0, "lean": 28.0}, held), [LEAST, plasticity_areas()[0]]
    found = optimum(ground, windows=wanted, chance=0.8, weights={"fat": 1.0})
    assert found.objective is not None
    parts = {source: round(1e6 * share) for source, share in found.volume_shares.items()}
    assert joint(parts, ground=ground, windows=wanted).usable >= 0.8 - 1.5 / 150  # two worlds may lie on the very edge
    grid = [
        share
        for share in np.linspace(0.001, 1.0, 1000)
        if joint(
            {"fat": round(1e6 * share / 22), "lean": round(1e6 * (1 - share) / 28) or 1}, ground=ground, windows=wanted
        ).usable
        >= 0.8
    ]
    assert found.objective <= min(grid) + 1e-6
    assert found.objective >= min(grid) - 0.0015


def test_a_limit_that_forbids_is_named() -> None:
    """10 % clay needs (0.10 − 0.05) / (0.40 − 0.05) = 14.3 % of the fat soil; at most 12 % of it is allowed."""
    sure = Ground.of({"fat": 20.0, "lean": 20.0}, {"clay": {"fat": 0.40, "lean": 0.05}})
    found = optimum(sure, windows=[CLAY], chance=0.8, weights={"fat": 1.0}, most={"fat": 0.12, "lean": 0.95})
    assert found.objective is None
    assert (found.forbids, found.forbidding_limits) == (("clay",), ("fat",))
    allowed = optimum(sure, windows=[CLAY], chance=0.8, weights={"fat": 1.0}, most={"fat": 0.15})
    assert allowed.objective == pytest.approx(0.05 / 0.35)


def test_the_best_chance_is_told_where_the_wanted_one_cannot_be_reached() -> None:
    """Half the worlds hold 5 % clay in every soil, half 15 %: no blend does better than one half."""
    clay = np.where(np.arange(100) % 2 == 0, 0.05, 0.15)
    found = optimum(Ground.of({"a": 1.0, "b": 1.0}, {"clay": {"a": clay, "b": clay}}), windows=[CLAY], chance=0.8, weights={})
    assert (found.objective, found.chance, found.forbids) == (None, 0.5, ("clay",))


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"weights": {"fat": -1.0}}, "negative"),
        ({"weights": {}, "most": {"fat": 1.5}}, "out_of_range"),
        ({"weights": {}, "most": {"z": 0.5}}, "source_missing"),
        ({"weights": {}, "windows": [Window("x", "silt", 0.1, 0.2, "s", "judgement")]}, "not_known_of_every_source"),
        ({"weights": {}, "windows": []}, "no_windows"),
    ],
)
def test_what_cannot_be_asked_is_said(more, code) -> None:
    with pytest.raises(InputError) as caught:
        optimum(_two(20), **{"windows": [CLAY], "chance": 0.8, **more})
    assert caught.value.code == code
