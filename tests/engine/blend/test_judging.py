"""Several windows, bands and areas at once, against counting world by world with plain Python."""

import numpy as np
import pytest

from loamwright.engine.blend.criteria import carrier_of, conditions, passing_name
from loamwright.engine.blend.envelopes import chance_in_area, chance_in_envelope, grading_envelopes, plasticity_areas
from loamwright.engine.blend.judging import joint, joint_pail_change
from loamwright.engine.blend.offers import pail_change
from loamwright.engine.blend.search import Ground, blended, search
from loamwright.engine.blend.windows import Window, stabiliser_window, window_chances
from loamwright.errors import InputError

CLAY = stabiliser_window("cement")
SAND = Window("sand", "sand", 0.50, 0.75, "judgement-windows", "judgement")
BAND = grading_envelopes()[0]
AREA = plasticity_areas()[0]
PARTS = {"a": 1, "b": 2, "c": 1}


@pytest.fixture
def ground() -> Ground:
    """Three invented soils in 600 worlds; limits rise with the clay, as they do."""
    random = np.random.default_rng(11)
    middles = {"a": 0.38, "b": 0.07, "c": 0.20}
    clay = {s: np.clip(m * np.exp(0.25 * random.normal(size=600)), 0.01, 0.9) for s, m in middles.items()}
    fines = {s: np.clip(1.6 * clay[s] + 0.05, 0, 1) for s in clay}
    held = {
        "clay": clay,
        "fines": fines,
        "sand": {s: 1.0 - fines[s] for s in clay},
        "liquid_limit": {s: 0.20 + 0.5 * clay[s] for s in clay},
        "plasticity_index": {s: 0.02 + 0.45 * clay[s] for s in clay},
        passing_name(0.002): clay,
        passing_name(0.06): fines,
    }
    return Ground.of({s: 25.0 * np.exp(0.05 * random.normal(size=600)) for s in clay}, held)


def _value(ground: Ground, name: str) -> np.ndarray:
    return blended(np.array([[1.0, 2.0, 1.0]]), ground, name)[0]


def test_all_at_once_is_counted_in_the_same_world(ground) -> None:
    """Counted one world after another, with nothing but comparisons."""
    found = joint(PARTS, ground=ground, windows=[CLAY, SAND])
    clay, sand = _value(ground, "clay"), _value(ground, "sand")
    counted = {"lean": 0, "usable": 0, "fat": 0, "torn": 0}
    for c, s in zip(clay, sand, strict=True):
        lean, fat = c < 0.10 or s > 0.75, c > 0.20 or s < 0.50
        counted["torn" if lean and fat else "lean" if lean else "fat" if fat else "usable"] += 1
    for name, count in counted.items():
        assert getattr(found, name) == pytest.approx(count / 600)
    assert found.lean + found.usable + found.fat + found.torn == pytest.approx(1.0)
    assert found.error == pytest.approx((found.usable * (1 - found.usable) / 600) ** 0.5)
    assert 0.02 < found.usable < 0.98  # otherwise nothing was tested


def test_each_alone_is_the_chance_of_the_kernels(ground) -> None:
    """Windows by `window_chances`, bands and areas by their own functions: other code, with tests of its own."""
    found = joint(PARTS, ground=ground, windows=[CLAY, BAND, AREA])
    clay, fines = _value(ground, "clay"), _value(ground, "fines")
    assert found.each["cement"].inside == window_chances(clay, window=CLAY).inside
    assert found.each["cement"].below == window_chances(clay, window=CLAY).below
    assert found.each[BAND.key].inside == chance_in_envelope({0.002: clay, 0.06: fines}, envelope=BAND)
    limits = {"plasticity_index": _value(ground, "plasticity_index"), "area": AREA}
    assert found.each[AREA.key].inside == chance_in_area(_value(ground, "liquid_limit"), **limits)
    assert found.usable <= min(each.inside for each in found.each.values())
    for each in found.each.values():
        assert each.below + each.inside + each.above == pytest.approx(1.0)


def test_the_search_takes_bands_and_areas_too(ground) -> None:
    wanted = [CLAY, BAND, AREA]
    for each in search(ground, windows=wanted, most_parts=4).ranked[:10]:
        alone = joint(each.parts, ground=ground, windows=wanted)
        assert each.chance == pytest.approx(alone.usable, abs=1e-12)
        assert each.inside == {key: pytest.approx(chances.inside, abs=1e-12) for key, chances in alone.each.items()}


def test_sand_points_the_other_way() -> None:
    """Too much sand is lean, too little fat."""
    sure = Ground.of({"s": 1.0}, {"sand": {"s": 0.90}})
    assert joint({"s": 1}, ground=sure, windows=[SAND]).answer == "lean"
    sure = Ground.of({"s": 1.0}, {"sand": {"s": 0.30}})
    assert joint({"s": 1}, ground=sure, windows=[SAND]).answer == "fat"


def test_torn_between_two_windows() -> None:
    """9 % clay is lean for cement; with a plasticity index of 30 % it is fat for a window of at most 18 %."""
    index = Window("index", "plasticity_index", None, 0.18, "nbr-10833", "memory")
    sure = Ground.of({"s": 1.0}, {"clay": {"s": 0.09}, "fines": {"s": 0.30}, "plasticity_index": {"s": 0.30}})
    found = joint({"s": 1}, ground=sure, windows=[CLAY, index])
    assert (found.answer, found.torn) == ("torn", 1.0)


def test_with_one_window_the_pail_is_that_of_the_single_window(ground) -> None:
    held = {s: ground.held["clay"][k] for k, s in enumerate(ground.sources)}
    masses = {s: ground.masses[k] for k, s in enumerate(ground.sources)}
    for parts in ({"a": 3, "b": 1, "c": 1}, {"a": 1, "b": 6, "c": 1}, {"a": 2, "b": 2, "c": 2}):
        alone = pail_change(parts, pail_dry_mass=masses, clay=held, window=CLAY)
        both = joint_pail_change(parts, ground=ground, windows=[CLAY])
        assert alone is not None
        assert both is not None
        assert (both.action, both.source, both.chance) == (alone.action, alone.source, pytest.approx(alone.chances.inside))
        assert both.gain == pytest.approx(both.chance - joint(parts, ground=ground, windows=[CLAY]).usable)


def test_a_pail_of_a_source_that_is_not_in_yet_may_help() -> None:
    """40 % clay alone: no pail of itself helps; one of a sand at 2 % halves it to 21 %, nearest to the window."""
    sure = Ground.of({"clay": 20.0, "sand": 20.0}, {"clay": {"clay": 0.40, "sand": 0.02}})
    change = joint_pail_change({"clay": 1}, ground=sure, windows=[CLAY])
    assert change is not None
    assert (change.action, change.source, change.parts) == ("add", "sand", {"clay": 1, "sand": 1})
    assert joint_pail_change({"clay": 1, "sand": 2}, ground=sure, windows=[CLAY]) is None


def test_plasticity_is_carried_by_what_passes_the_no_40_sieve_where_it_is_known() -> None:
    """Case blend-07, a definition: (0.5·80·25 + 0.5·30·4) / (0.5·80 + 0.5·30) = 19.27 %."""
    held = {
        "fines": {"a": 0.60, "b": 0.10},
        passing_name(0.425): {"a": 0.80, "b": 0.30},
        "plasticity_index": {"a": 0.25, "b": 0.04},
    }
    assert carrier_of("plasticity_index", known=held) == "passing_0.425"
    found = blended(np.array([[1.0, 1.0]]), Ground.of({"a": 1.0, "b": 1.0}, held), "plasticity_index")
    assert float(found[0, 0]) == pytest.approx(0.1927, abs=0.00005)


def test_conditions_of_an_area_are_its_sides() -> None:
    """A point is inside where all four hold: every corner lies on two sides, the middle inside all."""
    sides = conditions(AREA, known=["liquid_limit", "plasticity_index"])
    assert len(sides) == len(AREA.corners)

    def room(x: float, y: float) -> list[float]:
        values = [dict(each.terms)["liquid_limit"] * x + dict(each.terms)["plasticity_index"] * y for each in sides]
        return [
            value - each.least if each.least is not None else each.most - value for each, value in zip(sides, values, strict=True)
        ]

    for corner in AREA.corners:
        assert sum(abs(each) < 1e-12 for each in room(*corner)) == 2
    assert min(room(*np.mean(AREA.corners, axis=0))) > 0.005


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda g: joint(PARTS, ground=g, windows=[]), "no_windows"),
        (lambda g: joint({}, ground=g, windows=[CLAY]), "no_parts"),
        (lambda g: joint({"z": 1}, ground=g, windows=[CLAY]), "source_missing"),
        (lambda g: joint({"a": 1.5}, ground=g, windows=[CLAY]), "not_whole"),
        (lambda g: conditions(AREA, known=["liquid_limit"]), "not_known_of_every_source"),
        (lambda g: conditions(BAND, known=["clay"]), "not_known_of_every_source"),
        (lambda g: carrier_of("liquid_limit", known=["liquid_limit"]), "not_known_of_every_source"),
        (lambda g: blended(np.array([[0.0, 0.0, 0.0]]), g, "clay"), "no_parts"),
    ],
)
def test_what_cannot_be_judged_is_said(do, code, ground) -> None:
    with pytest.raises(InputError) as caught:
        do(ground)
    assert caught.value.code == code
