"""Plans by exchange against classical designs that are known to be best."""

import numpy as np
import pytest

from loamwright.engine.evidence.blending_model import blending_names, blending_terms, crossed_terms
from loamwright.engine.evidence.candidates import crossed, whole_part_blends
from loamwright.engine.evidence.designs import design
from loamwright.errors import InputError


def test_six_batches_of_three_sources_are_the_simplex_lattice() -> None:
    """The D-optimal design of Scheffé's quadratic model puts equal weight on corners and middles of edges (Kiefer 1961)."""
    blends = whole_part_blends(3, parts=6)
    shares, _ = crossed(blends, {})
    found = design(blending_terms(shares), batches=6, seed="lattice", criterion="D")
    chosen = {blends[place] for place in found.points}
    assert chosen == {(6, 0, 0), (0, 6, 0), (0, 0, 6), (3, 3, 0), (3, 0, 3), (0, 3, 3)}


def test_a_straight_line_is_tried_at_its_ends_and_a_parabola_at_its_middle_too() -> None:
    """D-optimal: ends for a line; ends and middle in equal numbers for a parabola (Smith 1918; de la Garza 1954)."""
    line = np.linspace(-1, 1, 41)
    flat = design(np.stack([np.ones(41), line], axis=1), batches=6, seed="x", criterion="D")
    assert line[list(flat.points)].tolist() == [-1, -1, -1, 1, 1, 1]
    bowed = design(np.stack([np.ones(41), line, line**2], axis=1), batches=6, seed="x", criterion="D")
    assert line[list(bowed.points)].round(9).tolist() == [-1, -1, 0, 0, 1, 1]


def test_four_batches_of_two_factors_are_the_factorial() -> None:
    """Two factors, main effects: the 2² factorial is orthogonal, so its D-efficiency is 1."""
    grid = np.array([(a, b) for a in np.linspace(-1, 1, 5) for b in np.linspace(-1, 1, 5)])
    found = design(np.column_stack([np.ones(25), grid]), batches=4, seed="x", criterion="D")
    assert sorted(map(tuple, grid[list(found.points)])) == [(-1, -1), (-1, 1), (1, -1), (1, 1)]
    assert found.d_efficiency == pytest.approx(1.0)


def test_least_mean_variance_of_a_parabola_puts_half_in_the_middle() -> None:
    """I-optimal parabola on [-1, 1]: weights 1/4, 1/2, 1/4 (Studden 1977, from memory); four batches hit them exactly."""
    line = np.linspace(-1, 1, 201)
    columns = np.stack([np.ones(201), line, line**2], axis=1)
    found = design(columns, batches=4, seed="x", criterion="I")
    assert line[list(found.points)].round(9).tolist() == [-1, 0, 0, 1]
    # mean over the line of f(x)' M^-1 f(x) / n, with W = integral of f f' / 2: 0.6 n-fold... computed from the matrices by hand
    information = sum(np.outer(row, row) for row in ([1, -1, 1], [1, 0, 0], [1, 0, 0], [1, 1, 1]))
    moments = columns.T @ columns / 201
    assert found.mean_variance == pytest.approx(float(np.trace(np.linalg.inv(information) @ moments)))


def test_no_plan_of_all_the_small_ones_is_better() -> None:
    """Every multiset of 4 of 10 candidates, by brute force."""
    from itertools import combinations_with_replacement

    blends = whole_part_blends(2, parts=4)
    shares, process = crossed(blends, {"dose": [0.04, 0.08]})
    columns = crossed_terms(shares, process, degree="linear")[:, :3]
    best = max(np.linalg.det(columns[list(each)].T @ columns[list(each)]) for each in combinations_with_replacement(range(10), 4))
    found = design(columns, batches=4, seed="a", criterion="D")
    assert np.linalg.det(columns[list(found.points)].T @ columns[list(found.points)]) == pytest.approx(best)


def test_kept_batches_stay_and_the_seed_fixes_the_plan() -> None:
    shares, process = crossed(whole_part_blends(3, parts=4), {"dose": [0.04, 0.06, 0.08]})
    columns = crossed_terms(shares, process)
    plans = [design(columns, batches=16, seed="s", keep=(7, 7)) for _ in range(2)]
    assert plans[0] == plans[1]
    assert plans[0].points.count(7) >= 2


def test_whole_parts_as_counted() -> None:
    """Blends of q sources in t parts: (t + q - 1)! / (t! (q - 1)!), the size of the simplex lattice (Scheffé 1958)."""
    assert len(whole_part_blends(3, parts=6)) == 28
    assert len(whole_part_blends(4, parts=5)) == 56
    assert whole_part_blends(2, parts=7, least=(4, 1), most=(6, 3)) == ((4, 3), (5, 2), (6, 1))


def test_names_of_columns() -> None:
    assert blending_names(("x1", "x2", "x3")) == ("x1", "x2", "x3", "x1 x2", "x1 x3", "x2 x3")


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: design([[1.0, 0.0], [1.0, 1.0]], batches=1, seed=""), "too_few_batches"),
        (lambda: design([[1.0, 1.0], [2.0, 2.0]], batches=3, seed=""), "columns_alike"),
        (lambda: blending_terms([[0.5, 0.6]]), "shares_do_not_add_up"),
        (lambda: whole_part_blends(2, parts=3, least=(3, 3)), "no_blend_left"),
        (lambda: crossed([(1, 1)], {"dose": [0.06]}), "levels_alike"),
        (lambda: crossed([(1, 1)] * 201, {"dose": [0.1 * n for n in range(101)]}), "too_many_candidates"),
        (lambda: design([[1.0]], batches=2, seed="", criterion="G"), "unknown_code"),
    ],
)
def test_what_makes_no_plan_is_said(do, code) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
