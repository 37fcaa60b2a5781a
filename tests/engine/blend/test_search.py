"""The search against exact enumeration, the optimum against a fine grid and a second solver, the upsets by hand."""

from fractions import Fraction
from itertools import product
from math import gcd

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from loamwright.engine.blend.optimum import optimum
from loamwright.engine.blend.parts import blend_property
from loamwright.engine.blend.properties import blend_plasticity_index
from loamwright.engine.blend.search import Ground, blended, search
from loamwright.engine.blend.upset import Change, bulked, heaped, upset
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError

CLAY = Window("clay", "clay", 0.10, 0.20, "judgement-windows", "judgement")
FINES = Window("fines", "fines", 0.15, 0.40, "judgement-windows", "judgement")
INDEX = Window("index", "plasticity_index", None, 0.18, "judgement-windows", "judgement")


def _ground(draws: int, *, sources: str = "abc", seed: int = 3) -> Ground:
    random = np.random.default_rng(seed)
    middles = {"a": (0.40, 0.72), "b": (0.06, 0.15), "c": (0.18, 0.45), "d": (0.02, 0.10)}
    clay = {s: np.clip(middles[s][0] * np.exp(0.15 * random.normal(size=draws)), 0, 1) for s in sources}
    fines = {s: np.clip(clay[s] + middles[s][1] - middles[s][0] + 0.02 * random.normal(size=draws), 0, 1) for s in sources}
    masses = {s: 25.0 * np.exp(0.05 * random.normal(size=draws)) for s in sources}
    held = {"clay": clay, "fines": fines, "plasticity_index": {s: np.clip(0.7 * clay[s], 0, 1) for s in sources}}
    return Ground.of(masses, held)


def test_1537_ratios_of_four_sources_up_to_twelve_parts() -> None:
    """Counted by brute force over all numbers of parts: tuples of 0 to 12 whose sum is 1 to 12 and that share no divisor."""
    counted = sum(1 for each in product(range(13), repeat=4) if 1 <= sum(each) <= 12 and gcd(*each) == 1)
    assert counted == 1537
    assert search(_ground(50, sources="abcd"), windows=[CLAY], most_parts=12).ratios == counted


def test_the_best_is_the_best_of_all_by_exact_fractions() -> None:
    """Sources known for sure: the window holds or not by exact arithmetic, and the kept ones are exactly those inside."""
    masses, clay = {"a": 20, "b": 30, "c": 25}, {"a": Fraction(2, 5), "b": Fraction(1, 20), "c": Fraction(1, 4)}
    ground = Ground.of({k: float(v) for k, v in masses.items()}, {"clay": {k: float(v) for k, v in clay.items()}})
    found = search(ground, windows=[CLAY], most_parts=6, scarce_source="b")
    inside = set()
    for each in product(range(7), repeat=3):
        if 1 <= sum(each) <= 6 and gcd(*each) == 1:
            weight = {k: n * masses[k] for k, n in zip("abc", each, strict=True)}
            value = sum(weight[k] * clay[k] for k in "abc") / sum(weight.values())
            if Fraction(1, 10) <= value <= Fraction(1, 5):
                inside.add(each)
    kept = {tuple(r.parts.get(k, 0) for k in "abc") for r in found.ranked if r.chance == 1.0}
    assert found.ratios <= 100  # all of them were kept, so the two sets must be the same
    assert kept == inside
    assert found.ranked[0].scarce_share == min(r.scarce_share for r in found.ranked if r.chance == 1.0)


def test_chances_are_those_of_one_blend_at_a_time() -> None:
    """The kernels of single blends, which have tests of their own, world by world."""
    ground = _ground(400)
    held = {name: {s: each[k] for k, s in enumerate(ground.sources)} for name, each in ground.held.items()}
    masses = {s: ground.masses[k] for k, s in enumerate(ground.sources)}
    found = search(ground, windows=[CLAY, FINES, INDEX], most_parts=5)
    for each in found.ranked[:20]:
        weight = {s: n * masses[s] for s, n in each.parts.items()}
        shares = {s: w / sum(weight.values()) for s, w in weight.items()}
        clay = blend_property(each.parts, pail_dry_mass=masses, source_property=held["clay"])
        fines = blend_property(each.parts, pail_dry_mass=masses, source_property=held["fines"])
        index = blend_plasticity_index(
            shares,
            passing_no40={s: held["fines"][s] for s in each.parts},
            plasticity_index={s: held["plasticity_index"][s] for s in each.parts},
        )
        inside = (clay >= 0.10) & (clay <= 0.20) & (fines >= 0.15) & (fines <= 0.40) & (index <= 0.18)
        assert each.chance == pytest.approx(float(np.mean(inside)))
        assert each.error == pytest.approx(float(np.sqrt(each.chance * (1 - each.chance) / 400)))


def _reached(volume, ground, windows) -> float:
    parts = np.array([[volume.get(s, 0.0) for s in ground.sources]])
    inside = np.ones(ground.draws, dtype=bool)
    for window in windows:
        values = blended(parts, ground, window.property_name)[0]
        inside &= (values >= (window.least or 0.0) - 1e-7) & (values <= (1.0 if window.most is None else window.most) + 1e-7)
    return float(inside.mean())


def test_no_grid_point_spares_more_of_the_scarce_soil() -> None:
    """Every blend of three sources in steps of one per cent of the mass, judged by the same worlds."""
    ground, windows = _ground(150), [CLAY, FINES]
    found = optimum(ground, windows=windows, chance=0.8, weights={"b": 1.0})
    assert found.chance >= 0.8
    assert _reached(found.volume_shares, ground, windows) == pytest.approx(found.chance)
    medians = np.median(ground.masses, axis=1)
    best = min(
        b / 100
        for a in range(101)
        for b in range(101 - a)
        if _reached(dict(zip("abc", np.array([a, b, 100 - a - b]) / medians, strict=True)), ground, windows) >= 0.8
    )
    assert found.objective <= best + 1e-6
    assert found.objective >= best - 0.011  # the grid is one per cent wide


def test_a_second_solver_finds_nothing_cheaper() -> None:
    """Differential evolution on the cost with a penalty, from scipy: another way altogether."""
    ground, windows = _ground(150), [CLAY, INDEX]
    cost = {"a": 9.0, "b": 2.0, "c": 4.0}
    found = optimum(ground, windows=windows, chance=0.8, weights=cost)
    medians = np.median(ground.masses, axis=1)

    def priced(x):
        a, b = x[0], x[1] * (1 - x[0])
        shares = np.array([a, b, max(0.0, 1 - a - b)])
        reached = _reached(dict(zip("abc", shares / medians, strict=True)), ground, windows)
        return float(shares @ [9.0, 2.0, 4.0]) + 100 * max(0.0, 0.8 - reached)

    other = differential_evolution(priced, [(0, 1), (0, 1)], seed=1, popsize=20, maxiter=150, tol=1e-10)
    assert found.objective <= other.fun + 1e-4
    assert found.objective == pytest.approx(other.fun, abs=0.02)


def test_what_forbids_is_named() -> None:
    """A plasticity window no blend with enough clay can meet: with either of the two gone there would be one."""
    ground = _ground(100)
    low = Window("low", "plasticity_index", None, 0.05, "judgement-windows", "judgement")
    found = optimum(ground, windows=[CLAY, low], chance=0.8, weights={"b": 1.0})
    assert found.objective is None
    assert set(found.forbids) == {"clay", "low"}
    alone = optimum(ground, windows=[Window("x", "clay", 0.9, 1.0, "s", "judgement")], chance=0.9, weights={"b": 1.0})
    assert alone.forbids == ("x",)


def test_damp_sand_and_heaped_pails_by_hand() -> None:
    """One pail of 20 kg at 40 % clay, two of 30 kg at 5 %: 13.75 %. Sand bulked by 30 % gives 10.308 kg / 66.154 kg."""
    ground = Ground.of({"clay": 20.0, "sand": 30.0}, {"clay": {"clay": 0.40, "sand": 0.05}})
    wet = upset({"clay": 1, "sand": 2}, ground=ground, windows=[CLAY], change=bulked("sand", bulking=0.30))
    assert wet.before["clay"] == pytest.approx(11 / 80)
    assert wet.after["clay"] == pytest.approx((8 + 60 / 1.3 * 0.05) / (20 + 60 / 1.3))
    heap = upset({"clay": 1, "sand": 2}, ground=ground, windows=[CLAY], change=heaped("clay", heap=0.20))
    assert heap.after["clay"] == pytest.approx((24 * 0.4 + 3) / 84)
    pit = upset({"clay": 1, "sand": 2}, ground=ground, windows=[CLAY], change=Change("clay", 1.0, {"clay": 2.0}))
    assert pit.after["clay"] == pytest.approx((16 + 3) / 80)
    assert (pit.chance_before, pit.chance_after) == (1.0, 0.0)


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda g: search(g, windows=[]), "no_windows"),
        (lambda g: search(g, windows=[Window("s", "silt", 0.1, 0.2, "s", "judgement")]), "not_known_of_every_source"),
        (lambda g: search(g, windows=[CLAY], scarce_source="z"), "source_missing"),
        (lambda g: search(g, windows=[CLAY], most_parts=99), "out_of_range"),
        (lambda g: optimum(g, windows=[CLAY], chance=1.0, weights={}), "out_of_range"),
        (lambda g: optimum(g, windows=[CLAY], chance=0.9, weights={"z": 1.0}), "source_missing"),
        (lambda g: upset({"z": 1}, ground=g, windows=[CLAY], change=bulked("z", bulking=0.1)), "source_missing"),
        (lambda g: bulked("a", bulking=2.0), "out_of_range"),
        (lambda g: Ground.of({"a": np.ones(3)}, {"clay": {"a": np.ones(2)}}), "draws_differ"),
        (lambda g: Ground.of({"a": 1.0}, {"clay": {"b": 0.1}}), "source_missing"),
        (lambda g: Ground.of({}, {}), "no_parts"),
    ],
)
def test_what_cannot_be_searched_is_said(do, code) -> None:
    with pytest.raises(InputError) as caught:
        do(_ground(20))
    assert caught.value.code == code
