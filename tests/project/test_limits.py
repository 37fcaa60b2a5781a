"""Limits of the fines: the index by hand, the newest counts, two limits that cannot both be right are asked about."""

import pytest

from loamwright.formula import evaluate
from loamwright.project import limits, today
from loamwright.project.finding import working


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Red clay")


def test_the_index_by_hand_with_its_working(bench, soil):
    """48 % less 21 % is 27 %."""
    bench.write("limits", source=soil, liquid_limit="48 %", plastic_limit="21 %")
    (found,) = limits.limits(bench.state)
    assert (found.source, found.liquid_limit) == (soil, pytest.approx(0.48))
    assert found.plasticity_index.value == pytest.approx(0.27)
    *_, line = working(found.plasticity_index)
    assert evaluate(line.put_in) == pytest.approx(0.27)


def test_the_newest_counts_and_sources_keep_their_order(bench, soil):
    other = bench.write("source", name="Bank sand")
    bench.write("limits", source=other, liquid_limit="22 %", plastic_limit="17 %")
    bench.write("limits", source=soil, liquid_limit="40 %", plastic_limit="20 %")
    bench.write("limits", source=soil, liquid_limit="50 %", plastic_limit="20 %")
    assert [(each.source, round(each.plasticity_index.value, 4)) for each in limits.limits(bench.state)] == [
        (soil, 0.30),
        (other, 0.05),
    ]


def test_fines_without_a_plastic_limit_are_no_point(bench, soil):
    bench.write("limits", source=soil, liquid_limit="22 %")
    assert limits.limits(bench.state) == () and limits.questions(bench.state) == ()


def test_a_plastic_limit_above_the_liquid_one_is_asked_about_and_left_out(bench, soil):
    entry = bench.write("limits", source=soil, liquid_limit="21 %", plastic_limit="48 %")
    assert limits.limits(bench.state) == ()
    (asked,) = [each for each in today.questions(bench.state) if each.code == "limits_swapped"]
    assert (asked.about, asked.grade, asked.values) == ((entry,), "impossible", {"liquid": 0.21, "plastic": 0.48})


def test_cup_and_threads_stand_in_the_chart_too(bench, soil):
    """Flow curve by hand: 42, 40.8 and 39.1 % at 15, 20 and 28 blows give 39.67 % (least squares in log blows); threads at 20 %."""
    points = enumerate(((15, 42.0), (20, 40.8), (28, 39.1)))
    trials = {f"trials-{i}-{name}": text for i, (n, w) in points for name, text in (("blows", str(n)), ("water", f"{w} %"))}
    bench.write("cup_limit", source=soil, **trials)
    bench.write("plastic_threads", source=soil, **{"threads-0-water": "20 %", "threads-1-water": "20 %"})
    (found,) = limits.limits(bench.state)
    assert found.liquid_limit == pytest.approx(0.3967, abs=1e-4)
    assert found.plasticity_index.value == pytest.approx(0.1967, abs=1e-4)
