"""The lines of the plasticity chart, by ASTM D2487 (figures from memory of the standard, worked by hand here)."""

import pytest

from loamwright.engine.soil.plasticity import A_LINE, U_LINE, a_line, u_line
from loamwright.errors import InputError
from loamwright.formula import evaluate


@pytest.mark.parametrize(
    ("liquid_limit", "index"),
    [(0.10, 0.04), (0.25, 0.04), (0.50, 0.219), (1.00, 0.584)],  # 0.73 (50 - 20) = 21.9; 0.73 (100 - 20) = 58.4
)
def test_a_line(liquid_limit, index):
    assert a_line(liquid_limit) == pytest.approx(index, abs=1e-12)


@pytest.mark.parametrize(
    ("liquid_limit", "index"),
    [(0.50, 0.378), (1.00, 0.828)],  # 0.9 (50 - 8) = 37.8; 0.9 (100 - 8) = 82.8
)
def test_u_line(liquid_limit, index):
    assert u_line(liquid_limit) == pytest.approx(index, abs=1e-12)


def test_the_slope_of_the_a_line_meets_its_level_part_at_25_48():
    assert a_line(0.2548) == pytest.approx(0.04, abs=5e-5)
    assert a_line(0.2547) == 0.04


@pytest.mark.parametrize("liquid_limit", [0.18, 0.5, 1.2])
def test_formulas_say_what_the_functions_do(liquid_limit):
    assert evaluate(A_LINE.put_in({"w_L": liquid_limit})) == pytest.approx(a_line(liquid_limit), rel=1e-4)
    assert evaluate(U_LINE.put_in({"w_L": liquid_limit})) == pytest.approx(u_line(liquid_limit), rel=1e-4)


@pytest.mark.parametrize("bad", [-0.1, float("nan")])
def test_bad_values(bad):
    with pytest.raises(InputError):
        a_line(bad)


@pytest.mark.parametrize("bad", [0.15, 10.5, float("nan")])
def test_outside_the_u_line(bad):
    with pytest.raises(InputError):
        u_line(bad)
