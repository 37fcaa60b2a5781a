"""Gradings of blends on any sieves, against published blending sums; limits and shrinkage, each with how it mixes."""

import numpy as np
import pytest

from loamwright.engine.blend.composition import SourceCurve, blend_curve, blend_held, common_sizes
from loamwright.engine.blend.search import Ground
from loamwright.engine.soil.grading_curve import passing_at_size
from loamwright.errors import InputError

# A blending exercise of a highway text (open upload, case blend-01): coarse, fine and filler in 66, 28 and 6 %.
SIZES = [19, 12.5, 4.75, 2.36, 0.3, 0.15, 0.075]
THREE = {
    "A": [100, 63, 19, 8, 5, 3, 0],
    "B": [100, 100, 100, 93, 55, 36, 3],
    "C": [100, 100, 100, 100, 100, 97, 88],
}
BLEND = [100.0, 75.58, 46.54, 37.32, 24.7, 17.88, 6.12]


def test_a_published_blend_of_three() -> None:
    """Equal pails, 33 : 14 : 3 parts, as in the exercise."""
    curves = {name: SourceCurve.of(SIZES, np.array(points) / 100) for name, points in THREE.items()}
    found = blend_curve({"A": 33, "B": 14, "C": 3}, pail_dry_mass=dict.fromkeys("ABC", 20.0), curves=curves)
    assert found.sizes == tuple(sorted(SIZES))
    assert [100 * each.median for each in found.passing] == pytest.approx(BLEND[::-1], abs=0.01)


def test_five_sources_with_quarry_fines() -> None:
    """By hand, on one sieve: (3·0.9 + 10·0.1 + 50·0.03 + 37·0 + 10·0.2) / 110 of the first four as in the army's course."""
    passing = {"dust": 0.9, "river": 0.1, "fine": 0.03, "coarse": 0.0, "quarry": 0.2}
    curves = {name: SourceCurve.of([0.075], [share]) for name, share in passing.items()}
    parts = {"dust": 3, "river": 10, "fine": 50, "coarse": 37, "quarry": 10}
    found = blend_curve(parts, pail_dry_mass=dict.fromkeys(passing, 25.0), curves=curves)
    assert found.passing[0].median == pytest.approx((2.7 + 1.0 + 1.5 + 0.0 + 2.0) / 110)


def test_sieves_of_their_own() -> None:
    """Only sizes every curve reaches; between two sieves as `passing_at_size`, which has tests of its own."""
    curves = {"a": SourceCurve.of([2.0, 0.6, 0.075], [1.0, 0.7, 0.2]), "b": SourceCurve.of([4.75, 0.3, 0.06], [0.95, 0.5, 0.1])}
    assert common_sizes(curves) == (0.075, 0.3, 0.6, 2.0, 4.75)
    found = blend_curve({"a": 1, "b": 3}, pail_dry_mass={"a": 20.0, "b": 20.0}, curves=curves, sizes=[0.5])
    mine = passing_at_size(0.5, sizes=[2.0, 0.6, 0.075], passing=[1.0, 0.7, 0.2])
    other = passing_at_size(0.5, sizes=[4.75, 0.3, 0.06], passing=[0.95, 0.5, 0.1])
    assert found.passing[0].median == pytest.approx(0.25 * mine + 0.75 * other)
    assert not curves["b"].reaches(10.0)  # 5 % is coarser, how coarse nobody knows
    assert curves["a"].reaches(10.0)


def test_spread_is_that_of_the_draws() -> None:
    """Two sources of equal mass, one certain at 10 %, one spread evenly from 20 to 40 %: evenly 15 to 25 %."""
    draws = np.linspace(0.20, 0.40, 2001)
    curves = {"sure": SourceCurve.of([0.075], [0.10]), "guess": SourceCurve.of([0.075], draws[None])}
    found = blend_curve({"sure": 1, "guess": 1}, pail_dry_mass={"sure": 5.0, "guess": 5.0}, curves=curves)
    (spread,) = found.passing
    assert (spread.low, spread.median, spread.high) == (pytest.approx(0.155), pytest.approx(0.20), pytest.approx(0.245))


def test_how_each_property_mixes_is_said() -> None:
    """By hand: masses 60 and 20, fines 9 + 16 of 80; the index is carried by the fines: 16·0.24 / 25."""
    ground = Ground.of(
        {"dust": 30.0, "clay": 20.0},
        {
            "fines": {"dust": 0.15, "clay": 0.80},
            "plasticity_index": {"dust": 0.0, "clay": 0.24},
            "linear_shrinkage": {"dust": 0.0, "clay": 0.12},
            "passing_2": {"dust": 0.7, "clay": 1.0},
        },
    )
    found = blend_held({"dust": 2, "clay": 1}, ground=ground)
    assert found["fines"].spread.median == pytest.approx(25 / 80)
    assert found["plasticity_index"].spread.median == pytest.approx(16 * 0.24 / 25)
    assert found["linear_shrinkage"].spread.median == pytest.approx(0.12 * 20 / 80)
    assert found["passing_2"].spread.median == pytest.approx(62 / 80)
    assert {name: each.rule for name, each in found.items()} == {
        "fines": "linear",
        "plasticity_index": "by the tested part",
        "linear_shrinkage": "roughly linear",
        "passing_2": "linear",
    }
    assert [note.code for note in found["linear_shrinkage"].notes] == ["roughly_linear"]
    assert found["plasticity_index"].notes[0].values == {"property": "plasticity_index", "carrier": "fines"}


@pytest.mark.parametrize(
    ("sizes", "passing", "code"),
    [
        ([], [], "no_values"),
        ([2.0, 0.6], [1.0], "lengths_of_sieves"),
        ([2.0, 0.0], [1.0, 0.5], "not_positive"),
        ([2.0, 2.0], [1.0, 0.5], "sieve_twice"),
        ([2.0, 0.6], [1.2, 0.5], "out_of_range"),
        ([2.0, 0.6], [0.4, 0.5], "passing_rises"),
    ],
)
def test_what_is_no_curve_is_said(sizes, passing, code) -> None:
    with pytest.raises(InputError) as caught:
        SourceCurve.of(sizes, passing)
    assert caught.value.code == code


def test_what_cannot_be_blended_is_said() -> None:
    near, far = SourceCurve.of([0.002, 0.06], [0.2, 0.5]), SourceCurve.of([2.0, 4.75], [0.5, 0.9])
    pails = {"a": 20.0, "b": 20.0}
    with pytest.raises(InputError, match="no_common_sieve"):
        blend_curve({"a": 1, "b": 1}, pail_dry_mass=pails, curves={"a": near, "b": far})
    with pytest.raises(InputError, match="source_missing"):
        blend_curve({"a": 1, "b": 1}, pail_dry_mass=pails, curves={"a": near})
    with pytest.raises(InputError, match="size_off_curve"):
        blend_curve({"a": 1}, pail_dry_mass=pails, curves={"a": near}, sizes=[2.0])
    draws = {"a": SourceCurve.of([0.06], np.full((1, 3), 0.4))}
    with pytest.raises(InputError, match="draws_differ"):
        blend_curve({"a": 1}, pail_dry_mass={"a": np.full(2, 20.0)}, curves=draws)
    with pytest.raises(InputError, match="not_linear"):
        blend_held({"a": 1}, ground=Ground.of({"a": 1.0}, {"strength": {"a": 0.2}}))
