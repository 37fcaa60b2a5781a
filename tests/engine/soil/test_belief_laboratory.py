"""Laboratory, limits, shrinkage and hands in the belief: what each tells, how wide, and that order is of no matter."""

import math
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loamwright.engine.soil.belief import believe, centre_of, interval
from loamwright.engine.soil.fit import fit
from loamwright.engine.soil.jar import BedHeight, JarReading
from loamwright.engine.soil.links import consistency
from loamwright.engine.soil.log_ratios import log_ratios, shares_of
from loamwright.engine.soil.observations import FeelFound, GradingFound, Guess, LimitsFound, ShrinkageFound
from loamwright.engine.soil.priors import feel_grades, setting, spread
from loamwright.errors import InputError

READ = tuple(BedHeight(*each) for each in ((1.0, 25.0), (2.0, 27.0), (30.0, 34.0), (1440.0, 52.0)))
JAR = JarReading("jar", 50.0, 1200.0, 150.0, 20.0, READ, added="dispersant")
GRADING = GradingFound("lab", sand=0.55, silt=0.25, clay=0.20)
LIMITS = LimitsFound("limits", 0.38, 0.20)
ALL = {
    "jars": [JAR],
    "guesses": [Guess("guess", "loam")],
    "gradings": [GRADING, GradingFound("wash", fines=0.43, method="wash")],
    "limits": [LIMITS, LimitsFound("limits-2", 0.37)],
    "shrinkages": [ShrinkageFound("bar", 0.07), ShrinkageFound("box", 0.08)],
    "feels": [FeelFound("roll", "thread", "to_3mm"), FeelFound("push", "ribbon", "middle")],
}


def belief_of(**observations):
    return believe("pit", project="school", **observations)


def ends(belief, name):
    return interval(belief[name].values, 0.90)


def width(belief, name):
    found = ends(belief, name)
    return found.high - found.low


def codes(belief, name):
    return [note.code for note in belief[name].notes]


def test_links_by_hand():
    # Activity 0.8: 25 % clay gives I_p 20 %. A-line: w_L = 0.20 + 0.20/0.73 = 47.4 %. Shrinkage 0.20/2.13 = 9.4 %.
    found = consistency(np.array([0.25]), links=np.zeros((1, 3)))
    assert found.plasticity_index[0] == pytest.approx(0.20)
    assert found.liquid_limit[0] == pytest.approx(0.20 + 0.20 / 0.73)
    assert found.linear_shrinkage[0] == pytest.approx(0.20 / 2.13)


@given(st.floats(0.01, 0.95), st.tuples(*[st.floats(-3.0, 3.0)] * 3))
def test_plastic_limit_is_above_zero_and_below_the_liquid_limit(clay, links):
    found = consistency(np.array([clay]), links=np.array([links]))
    assert 0.0 < found.plastic_limit[0] < found.liquid_limit[0]


def test_a_laboratory_beats_a_guess():
    belief = belief_of(guesses=[Guess("guess", "clay")], gradings=[GRADING])
    assert ends(belief, "clay").middle == pytest.approx(0.20, abs=0.02)
    assert ends(belief, "sand").middle == pytest.approx(
        0.55 / (1 - 0.039), abs=0.02
    )  # 3.9 % of sand passes the laboratory's sieve
    assert width(belief, "clay") < 0.3 * width(belief_of(guesses=[Guess("guess", "clay")]), "clay")


def test_a_grading_is_as_wide_as_its_errors_by_hand():
    # Clay 20 %: √(1.5² + (0.06 × 20)²) = 1.92 points. Sampling 0.10 of each log-ratio: ∂clay/∂ratio is clay (−√(1/6) − Σ p b), see
    # below, 2.1 points together. So 90 % are 2 × 1.645 × √(1.92² + 2.1²) = 9.4 points, a little less by the prior.
    basis = np.array([[math.sqrt(2 / 3), 0.0], [-math.sqrt(1 / 6), math.sqrt(0.5)], [-math.sqrt(1 / 6), -math.sqrt(0.5)]])
    shares = np.array([0.57, 0.23, 0.20])
    slope = shares[2] * (basis[2] - shares @ basis)
    expected = 2 * 1.645 * math.hypot(math.hypot(0.015, 0.06 * 0.20), 0.10 * float(np.linalg.norm(slope)))
    assert width(belief_of(gradings=[GRADING]), "clay") == pytest.approx(expected, rel=0.08)


def test_a_washed_sample_tells_sand_but_not_clay():
    wash = GradingFound("wash", fines=0.45, method="wash")
    washed, both = belief_of(gradings=[wash]), belief_of(gradings=[wash], jars=[JAR])
    # Error √(3² + (1.44 × 0.55)²) = 3.1 points, sampling 0.10 × 0.57 × 0.43 × √1.5 = 3.0
    # points: 14.2 points wide at 90 %, less by the jar; nearly twice that without one (see fit.py).
    assert width(both, "sand") < 0.148 < width(washed, "sand") < 0.28
    assert width(washed, "clay") > 0.25
    assert codes(washed, "sand") == codes(washed, "fines") == []
    assert codes(washed, "clay") == ["property_implied"]


def test_limits_are_believed_within_their_errors_and_clay_is_only_implied():
    belief = belief_of(limits=[LIMITS])
    # 2 × 1.645 × 2 % = 6.6 points where the prior is far wider.
    assert ends(belief, "liquid_limit").middle == pytest.approx(0.38, abs=0.01)
    assert width(belief, "liquid_limit") == pytest.approx(2 * 1.645 * 0.02, rel=0.1)
    assert ends(belief, "plasticity_index").middle == pytest.approx(0.18, abs=0.015)
    assert codes(belief, "liquid_limit") == codes(belief, "plasticity_index") == []
    for name in ("sand", "silt", "clay", "fines", "linear_shrinkage"):
        assert codes(belief, name) == ["property_implied"]
    # Clay by index over activity: the factor is wide, e^(±1.645 × 0.5) on either side.
    assert ends(belief, "clay").high / ends(belief, "clay").low > math.exp(1.645 * 0.5)


def test_what_is_implied_follows_what_implies_it():
    lean, fat = (belief_of(gradings=[GradingFound("lab", sand=1.0 - 2 * clay, clay=clay)]) for clay in (0.05, 0.40))
    for name in ("plasticity_index", "liquid_limit", "linear_shrinkage"):
        assert ends(lean, name).middle < ends(fat, name).middle
        assert codes(fat, name) == ["property_implied"]


def test_shrinkage_and_limits_agreeing_narrow():
    alone = belief_of(shrinkages=[ShrinkageFound("bar", 0.085)])
    both = belief_of(shrinkages=[ShrinkageFound("bar", 0.085)], limits=[LIMITS])
    assert width(both, "plasticity_index") < width(alone, "plasticity_index")
    assert width(both, "clay") < width(alone, "clay")


def test_two_agreeing_gradings_are_narrower_than_one():
    again = GradingFound("lab-2", sand=0.55, silt=0.25, clay=0.20)
    assert width(belief_of(gradings=[GRADING, again]), "clay") < width(belief_of(gradings=[GRADING]), "clay")


@pytest.mark.parametrize("test", sorted({test for test, _ in feel_grades()}))
def test_grades_rise_with_the_clay_and_stay_broad(test):
    grades = [grade for name, grade in feel_grades() if name == test]
    beliefs = [belief_of(feels=[FeelFound("roll", test, grade)]) for grade in grades]
    middles = [ends(belief, "plasticity_index").middle for belief in beliefs]
    assert middles == sorted(middles) and len(set(middles)) == len(grades) >= 3
    for belief in beliefs:
        found = ends(belief, "clay")
        assert found.high / found.low > 4.0  # ten to one at the ends is no rarity by hand


def test_joint_draws_hang_together():
    belief = belief_of(jars=[JAR])
    assert np.corrcoef(belief["clay"].values, belief["plasticity_index"].values)[0, 1] > 0.3
    assert np.all(belief["liquid_limit"].values > belief["plasticity_index"].values)
    with pytest.raises(ValueError, match="read-only"):
        belief["liquid_limit"].values[0] = 0.5


@pytest.mark.parametrize("name", list(ALL))
def test_order_is_of_no_matter(name):
    straight, turned = belief_of(**ALL), belief_of(**{**ALL, name: ALL[name][::-1]})
    for each in straight.properties:
        assert np.array_equal(straight[each].values, turned[each].values)
        assert straight[each].notes == turned[each].notes


def test_provenance_names_all_entries():
    keys = {each.key for records in ALL.values() for each in records}
    assert set(belief_of(**ALL)["clay"].provenance) == keys


def test_sand_and_fines_say_the_same():
    by_sand, by_fines = (
        belief_of(gradings=[GradingFound("lab", method="sieve", **each)]) for each in ({"sand": 0.6}, {"fines": 0.4})
    )
    assert np.allclose(by_sand["sand"].values, by_fines["sand"].values, rtol=0, atol=1e-12)


def test_a_thread_alone_by_hand():
    # At the mode the pull of the thread on ln I_p equals the pull of the link to clay: (ln I_p − ln(0.8 clay)) / 0.5² + off / error² = 0.
    found = fit(consistencies=[FeelFound("roll", "thread", "to_3mm")])
    clay, index = shares_of(found.centre[:2])[2], found.centre[2]
    grade = feel_grades()["thread", "to_3mm"]
    pulls = (
        (index - math.log(setting("activity") * clay)) / spread("activity") ** 2,
        (index - math.log(0.12)) / grade.log_spread**2,
    )
    assert sum(pulls) == pytest.approx(0.0, abs=0.01) and abs(pulls[0]) > 0.05


def test_one_soil_is_believed_within_150_ms():
    believe("warm", project="school", **ALL)
    times = []
    for number in range(7):
        started = time.perf_counter()
        believe(f"pit-{number}", project="school", **ALL)
        times.append(time.perf_counter() - started)
    assert sorted(times)[3] < 0.150


shares = st.floats(0.02, 0.9)


@settings(max_examples=30, deadline=None)
@given(shares, shares, st.floats(0.15, 1.0), st.floats(0.0, 0.3))
def test_whatever_a_laboratory_says_the_draws_are_shares(sand, clay, liquid, shrinkage):
    total = sand + clay
    if total > 0.98:
        sand, clay = sand / total * 0.98, clay / total * 0.98
    belief = belief_of(
        gradings=[GradingFound("lab", sand=sand, clay=clay)],
        limits=[LimitsFound("limits", liquid)],
        shrinkages=[ShrinkageFound("bar", shrinkage)],
    )
    whole = sum(belief[name].values for name in ("sand", "silt", "clay"))
    assert np.allclose(whole, 1.0, rtol=0, atol=1e-12)
    assert all(np.isfinite(each.values).all() and each.values.min() > 0.0 for each in belief.properties.values())


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (lambda: GradingFound("k"), "grading_empty"),
        (lambda: GradingFound("k", sand=0.5, method="eye"), "unknown_choice"),
        (lambda: GradingFound("k", sand=55.0), "out_of_range"),
        (lambda: GradingFound("k", sand=math.nan), "out_of_range"),
        (lambda: GradingFound("k", clay=0.2, method="wash"), "grading_beyond_method"),
        (lambda: GradingFound("k", sand=0.5, silt=0.3, clay=0.3), "grading_not_whole"),
        (lambda: GradingFound("k", sand=0.5, fines=0.6), "grading_not_whole"),
        (lambda: GradingFound("k", fines=0.3, clay=0.4), "grading_above_fines"),
        (lambda: LimitsFound("k", 0.0), "not_positive"),
        (lambda: LimitsFound("k", 38.0), "out_of_range"),
        (lambda: LimitsFound("k", 0.30, 0.35), "out_of_range"),
        (lambda: ShrinkageFound("k", -0.01), "out_of_range"),
        (lambda: ShrinkageFound("k", 7.0), "out_of_range"),
        (lambda: FeelFound("k", "thread", "fat"), "unknown_feel"),
        (lambda: FeelFound("k", "tongue", "sticks"), "unknown_feel"),
        (lambda: belief_of(gradings=[GRADING], limits=[LimitsFound("lab", 0.3)]), "key_twice"),
    ],
)
def test_impossible_observations_are_refused(make, code):
    with pytest.raises(InputError) as refused:
        make()
    assert refused.value.code == code


def triangle():
    """Soils of whole per cents by class letter, from the stored look-up table of the Soil Survey Manual."""
    lines = Path(__file__).with_name("usda_triangle.txt").read_text("utf-8").splitlines()[3:]
    points: dict[str, list[tuple[int, int, int]]] = {}
    for sand, line in enumerate(lines):
        for silt, letter in enumerate(line):
            points.setdefault(letter, []).append((sand, silt, 100 - sand - silt))
    assert len(points) == 12
    return {letter: np.array(group, dtype=float) for letter, group in points.items()}


def test_the_prior_is_any_point_of_any_class():
    # Each class as likely, any point in it with no kind under 2 %: mean of the class means, variance within and between.
    ratios = [log_ratios(group[group.min(axis=1) >= 2.0]) for group in triangle().values()]
    means, variances = (np.array([getattr(each, moment)(axis=0) for each in ratios]) for moment in ("mean", "var"))
    assert means.mean(axis=0) == pytest.approx([setting("ilr_sand"), setting("ilr_silt")], abs=0.01)
    sizes = np.sqrt(variances.mean(axis=0) + means.var(axis=0))
    assert sizes == pytest.approx([spread("ilr_sand"), spread("ilr_silt")], abs=0.01)


@pytest.mark.parametrize(
    ("letter", "name"), [("l", "loam"), ("n", "sandy_loam"), ("s", "sand"), ("C", "clay"), ("c", "clay_loam")]
)
def test_a_guess_is_as_wide_as_its_class(letter, name):
    points = triangle()[letter]
    ratios = log_ratios(points[points.min(axis=1) >= 2.0])
    guess = centre_of(Guess("g", name))
    within = np.sqrt(((ratios - guess.log_ratios) ** 2).mean(axis=0))
    assert guess.spreads == pytest.approx(np.hypot(0.6, within), abs=0.01)
