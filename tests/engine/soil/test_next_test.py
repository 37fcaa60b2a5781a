"""Next test: what it promises, against a hand calculation, and that it is quick."""

import math
import time
from statistics import NormalDist
from types import MappingProxyType

import numpy as np
import pytest

from loamwright.engine.soil.belief import Belief, believe
from loamwright.engine.soil.coming_tests import coming_tests
from loamwright.engine.soil.next_test import next_test
from loamwright.engine.soil.observations import GradingFound, Guess
from loamwright.engine.soil.properties import property_of
from loamwright.errors import InputError

GUESSED = believe("pit", project="school", guesses=[Guess("guess", "loam")])


def by_key(found):
    return {each.test: each for each in found}


def test_a_normal_property_by_hand():
    # Clay normal about 20 % with spread 5 %, wanted under 20 %: chance ½, variance ¼. A hydrometer of spread e = 1.5 % and a seen
    # figure y leave the chance Φ(√k (20 − y')/…): with r² = s²/(s² + e²), E[p(1−p)] = ¼ − asin(r²)/(2π) (orthant of two normals).
    draws = 0.20 + 0.05 * np.array([NormalDist().inv_cdf((place + 0.5) / 4000) for place in range(4000)])
    mixed = np.random.default_rng(1).permutation(draws)
    silent = np.full(4000, 0.5)
    properties = {"clay": property_of(mixed, "1", ["a"]), "sand": property_of(silent, "1", ["a"])}
    found = by_key(next_test(Belief("pit", MappingProxyType(properties)), property="clay", least=0.0, most=0.20))
    assert found["hydrometer"].variance == pytest.approx(0.25, abs=0.002)
    share = 0.05**2 / (0.05**2 + 0.015**2)
    expected = 0.25 - math.asin(share) / (2 * math.pi)
    # 64 outcomes of a figure that spreads from 0 to 0.25 by about 0.09: a standard error of 0.011; three are allowed.
    assert found["hydrometer"].variance_after == pytest.approx(expected, abs=0.033)
    assert "thread" not in found and "limits" not in found  # nothing is believed of what they look at


def test_nothing_is_expected_to_widen():
    for each in next_test(GUESSED, property="clay", least=0.10, most=0.20):
        assert each.variance_after < each.variance * 1.02
        assert each.cost > 0


def test_a_better_test_of_the_same_leaves_less():
    found = by_key(next_test(GUESSED, property="clay", least=0.10, most=0.20))
    assert found["hydrometer"].variance_after < found["jar"].variance_after < found["ribbon"].variance_after
    assert found["limits"].variance_after < found["shine"].variance_after


def test_a_sieve_tells_sand_rather_than_clay():
    sand = by_key(next_test(GUESSED, property="sand", least=0.4, most=0.6))
    clay = by_key(next_test(GUESSED, property="clay", least=0.1, most=0.2))
    gone = [1 - found["wash"].variance_after / found["wash"].variance for found in (sand, clay)]
    assert gone[0] > 0.6 > gone[1]


def test_the_first_tells_most_for_its_cost():
    found = next_test(GUESSED, property="clay", least=0.10, most=0.20)
    assert [each.gain_per_cost for each in found] == sorted((each.gain_per_cost for each in found), reverse=True)


def test_what_was_made_is_not_offered_again():
    keys = {each.test for each in next_test(GUESSED, property="clay", least=0.1, most=0.2, done=["guess", "jar"])}
    assert "guess" not in keys and "jar" not in keys and "second_jar" in keys
    assert "second_jar" not in {each.test for each in next_test(GUESSED, property="clay", least=0.1, most=0.2)}


def test_a_soil_far_outside_has_nothing_to_gain():
    known = believe("pit", project="school", gradings=[GradingFound("lab", sand=0.1, clay=0.7)])
    assert all(each.variance == each.variance_after == 0.0 for each in next_test(known, property="clay", least=0.0, most=0.1))


def test_it_takes_less_than_a_tenth_of_a_second():
    next_test(GUESSED, property="clay", least=0.1, most=0.2)
    times = []
    for _ in range(5):
        started = time.perf_counter()
        next_test(GUESSED, property="clay", least=0.1, most=0.2)
        times.append(time.perf_counter() - started)
    assert sorted(times)[2] < 0.100


def test_costs_add_effort_price_and_days():
    tests = {each.key: each for each in coming_tests()}
    assert tests["hydrometer"].cost == pytest.approx(2 + 4 + 168 / 24)
    assert tests["thread"].cost == pytest.approx(1 + 0.5 / 24)


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"property": "oversize", "least": 0.0, "most": 0.1}, "property_unknown"),
        ({"property": "clay", "least": 0.2, "most": 0.1}, "range_upside_down"),
        ({"property": "clay", "least": math.nan, "most": 0.1}, "range_upside_down"),
    ],
)
def test_what_cannot_be_wanted_is_refused(given, code):
    with pytest.raises(InputError) as refused:
        next_test(GUESSED, **given)
    assert refused.value.code == code
