"""Contradictions: named in pairs, with reasons and the cheapest test that would settle; agreement stays silent."""

import itertools

import pytest

from loamwright.engine.soil.coming_tests import coming_tests
from loamwright.engine.soil.contradictions import contradictions
from loamwright.engine.soil.fit import CentreOfClass, fit, squared_distance
from loamwright.engine.soil.jar import BedHeight, JarReading
from loamwright.engine.soil.log_ratios import log_ratios
from loamwright.engine.soil.observations import FeelFound, GradingFound, Guess, LimitsFound, ShrinkageFound

LEAN = ((1.0, 35.0), (2.0, 36.0), (30.0, 39.0), (1440.0, 42.0))
FAT = ((1.0, 8.0), (2.0, 9.0), (30.0, 16.0), (1440.0, 60.0))


def jar(readings=LEAN, key="jar", added="nothing"):
    heights = tuple(BedHeight(*each) for each in readings)
    return JarReading(key, 50.0, 1200.0, 150.0, 20.0, heights, added=added)


def codes(found):
    return [each.note.code for each in found]


def test_the_jar_says_little_clay_and_the_thread_rolls_thin():
    # "Jar says 8 % clay, thread rolls to 2 mm": glued clay or read too early; dispersant, 24 h or washing settles it (trade practice).
    (found,) = contradictions(jars=[jar()], feels=[FeelFound("roll", "thread", "to_2mm")])
    assert found.note.code == "jar_against_thread"
    assert found.note.values["clay"] < 0.09 and found.note.values["other_clay"] > 0.20
    assert found.note.values["says"] == "rolls to 2 mm or thinner"
    assert found.keys == ("jar", "roll")
    assert [reason.code for reason in found.reasons[:2]] == ["reason_glued_clay", "reason_read_early"]
    assert found.settles in ("second_jar", "wash", "hydrometer")


def test_with_dispersant_the_clay_is_not_glued():
    leanest = ((1.0, 40.0), (2.0, 40.5), (30.0, 42.0), (1440.0, 43.0))
    (found,) = contradictions(jars=[jar(leanest, added="dispersant")], feels=[FeelFound("roll", "thread", "to_2mm")])
    assert "reason_glued_clay" not in [reason.code for reason in found.reasons]


def test_what_goes_together_is_not_told():
    assert contradictions() == ()
    assert contradictions(jars=[jar()]) == ()
    agreeing = {
        "gradings": [GradingFound("lab", sand=0.82, clay=0.06)],
        "guesses": [Guess("guess", "loamy_sand")],
        "feels": [FeelFound("roll", "thread", "above_3mm"), FeelFound("push", "ribbon", "short")],
    }
    assert contradictions(jars=[jar()], **agreeing) == ()


def test_an_unlikely_laboratory_is_told_against_the_jar_and_by_hand():
    found = contradictions(
        jars=[jar()],
        gradings=[GradingFound("lab", sand=0.30, clay=0.45)],
        feels=[FeelFound("push", "ribbon", "short")],
    )
    assert codes(found) == ["jar_against_hydrometer", "laboratory_against_hands"]
    # A grading counts grains: how active the clay is cannot part it from a jar.
    assert "reason_active_clay" not in [reason.code for reason in found[0].reasons]


@pytest.mark.parametrize(
    ("observations", "code"),
    [
        ({"gradings": [GradingFound("wash", fines=0.8, method="wash")]}, "jar_against_wash"),
        ({"limits": [LimitsFound("limits", 0.80, 0.30)]}, "jar_against_limits"),
        ({"shrinkages": [ShrinkageFound("bar", 0.20)]}, "jar_against_shrinkage"),
        ({"guesses": [Guess("guess", "clay_loam")]}, "jar_against_guess"),
        ({"feels": [FeelFound("push", "ribbon", "long")]}, "jar_against_ribbon"),
    ],
)
def test_each_kind_may_contradict_a_lean_jar(observations, code):
    assert codes(contradictions(jars=[jar()], **observations)) == [code]


def test_two_jars_may_contradict_each_other():
    assert "jar_against_jar" in codes(contradictions(jars=[jar(key="a"), jar(FAT, key="b")]))
    assert contradictions(jars=[jar(key="a"), jar(key="b")]) == ()


def test_two_laboratories_may_contradict():
    found = contradictions(gradings=[GradingFound("a", sand=0.8, clay=0.05), GradingFound("b", sand=0.4, clay=0.30)])
    assert codes(found) == ["laboratory_against_laboratory"]


def test_order_is_of_no_matter():
    feels = [FeelFound("roll", "thread", "to_2mm"), FeelFound("push", "ribbon", "long"), FeelFound("cut", "shine", "dull")]
    said = {tuple(codes(contradictions(jars=[jar()], feels=order))) for order in itertools.permutations(feels)}
    assert len(said) == 1


def test_a_test_that_settles_is_none_of_those_made():
    made = {"gradings": [GradingFound("wash", fines=0.8, method="wash")], "limits": [LimitsFound("limits", 0.80, 0.30)]}
    found = contradictions(jars=[jar()], **made)
    assert found
    for each in found:
        assert each.settles not in ("wash", "limits", "jar")
        assert each.settles is None or each.settles in {test.key for test in coming_tests()}


def test_distance_by_hand():
    # A guess at the prior's own centre, spread 0.3 each, against one 1.2 away in the first log-ratio with spread 0.4, the fit of the
    # first having variance 1/(1/s² + 1/0.09): distance 1.2² / (0.16 + that).
    import numpy as np

    from loamwright.engine.soil.priors import setting, spread

    centre = np.array([setting("ilr_sand"), setting("ilr_silt")])
    first = fit(guesses=[CentreOfClass("a", centre, np.array([0.3, 0.3]))])
    other = CentreOfClass("b", centre + np.array([1.2, 0.0]), np.array([0.4, 0.4]))
    variance = 1.0 / (spread("ilr_sand") ** -2 + 0.3**-2)
    assert squared_distance(first, guesses=[other]) == (pytest.approx(1.2**2 / (0.16 + variance), rel=1e-6), 2)
    assert log_ratios((1, 1, 1)).tolist() == [0.0, 0.0]
