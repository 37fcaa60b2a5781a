"""Beliefs: what is there, where it came from, how wide it is, and that order is of no matter."""

import itertools
import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loamwright.engine.soil.belief import believe, centre_of, guess_classes, interval
from loamwright.engine.soil.fit import fit
from loamwright.engine.soil.jar import BedHeight, JarReading, LayerBoundaries
from loamwright.engine.soil.log_ratios import log_ratios, shares_of
from loamwright.engine.soil.observations import Guess, OversizeReading, PailWeighings, PanTest
from loamwright.engine.soil.priors import setting, spread
from loamwright.errors import InputError

USUAL = ((1.0, 25.0), (2.0, 27.0), (30.0, 34.0), (1440.0, 52.0))


def jar(key="jar-1", readings=USUAL, **changes):
    given = {"loose_dry_density": 1200.0, "added": "dispersant", **changes}
    heights = tuple(BedHeight(*each) for each in readings)
    return JarReading(key=key, fill_height=50.0, water_height=150.0, temperature=20.0, readings=heights, **given)


def belief_of(**observations):
    return believe("pit", project="school", **observations)


def width(belief, name):
    found = interval(belief[name].values, 0.90)
    return found.high - found.low


def measured(belief):
    """Properties somebody observed, without those that only follow from them."""
    return {name for name, each in belief.properties.items() if "property_implied" not in [note.code for note in each.notes]}


EVERYTHING = {
    "jars": [jar("a"), jar("b", ((1.0, 26.0), (1440.0, 53.0)))],
    "guesses": [Guess("c", "sandy_loam"), Guess("d", "loam")],
    "pails": [PailWeighings("e", (20.1, 20.4, 20.0), 0.0165), PailWeighings("f", (20.3, 19.9, 20.2), 0.0165)],
    "pan_tests": [PanTest("g", 0.312, 0.300, 0.001), PanTest("h", 0.260, 0.251, 0.001)],
    "oversize": [OversizeReading("i", 0.8, 10.0), OversizeReading("j", 1.1, 12.0)],
}


def test_nothing_observed_is_nothing_believed():
    assert dict(belief_of().properties) == {}


def test_only_what_was_observed_is_there():
    assert measured(belief_of(jars=[jar()])) == {"sand", "silt", "clay", "fines"}
    assert set(belief_of(pan_tests=EVERYTHING["pan_tests"]).properties) == {"moisture"}
    assert set(belief_of(pails=[PailWeighings("e", (20.0,))]).properties) == {"pail_dry_mass"}
    assert measured(belief_of(**EVERYTHING)) == {
        *("sand", "silt", "clay", "fines"),
        *("loose_dry_density", "pail_dry_mass", "moisture", "oversize"),
    }


def test_a_jar_with_no_height_under_water_is_no_observation():
    assert dict(belief_of(jars=[jar(readings=((60.0, 151.0),))]).properties) == {}


def test_provenance_names_the_entries():
    belief = belief_of(**EVERYTHING)
    assert belief["clay"].provenance == ("a", "b", "c", "d")
    assert belief["pail_dry_mass"].provenance == ("e", "f", "g", "h")
    assert belief["moisture"].provenance == ("g", "h")
    assert belief["oversize"].provenance == ("i", "j")
    unweighed = belief_of(**{**EVERYTHING, "jars": [jar("a", loose_dry_density=None)]})
    assert unweighed["sand"].provenance == ("a", "c", "d", "e", "f", "g", "h")  # its loose density came from pails and pans


@pytest.mark.parametrize("name", list(EVERYTHING))
def test_order_is_of_no_matter(name):
    straight = belief_of(**EVERYTHING)
    turned = belief_of(**{**EVERYTHING, name: EVERYTHING[name][::-1]})
    for each in straight.properties:
        assert np.array_equal(straight[each].values, turned[each].values)
        assert straight[each].notes == turned[each].notes


def test_draws_are_joint_and_read_only():
    belief = belief_of(**EVERYTHING)
    assert all(each.values.shape == (4000,) for each in belief.properties.values())
    assert np.allclose(belief["fines"].values, belief["silt"].values + belief["clay"].values, rtol=0, atol=1e-15)
    assert np.allclose(belief["pail_dry_mass"].values / 0.0165, belief["loose_dry_density"].values, rtol=1e-14)
    with pytest.raises(ValueError, match="read-only"):
        belief["sand"].values[0] = 0.5


def test_two_agreeing_jars_are_narrower_than_one():
    one, two = belief_of(jars=[jar("a")]), belief_of(jars=[jar("a"), jar("b")])
    for name in ("sand", "silt", "clay"):
        assert width(two, name) < width(one, name)
    # The soil's own nuisances (layer densities above all) are shared: two jars do not narrow as two independent ones would.
    assert width(two, "clay") > width(one, "clay") / math.sqrt(2)


def test_an_agreeing_guess_narrows():
    assert width(belief_of(jars=[jar()], guesses=[Guess("g", "sandy_loam")]), "silt") < width(belief_of(jars=[jar()]), "silt")


def test_a_half_read_jar_is_wider_and_says_so():
    half, full = belief_of(jars=[jar(readings=USUAL[::2])]), belief_of(jars=[jar()])
    assert width(half, "clay") > width(full, "clay")
    assert "clay_still_floating" in [note.code for note in half["clay"].notes]
    assert "clay_still_floating" not in [note.code for note in full["clay"].notes]


def test_layers_by_eye_are_believed_at_least_as_wide_as_their_clay_density():
    # 30/10/12 mm: clean layers at clay 350 to 900 kg/m³ give 4.2/61.2 = 7 % to 10.8/67.8 = 16 % clay by the density alone.
    by_eye = LayerBoundaries(1440.0, 30.0, 40.0, 52.0)
    belief = belief_of(jars=[jar(readings=(), boundaries=by_eye)])
    assert width(belief, "clay") > 0.16 - 0.07
    assert width(belief, "sand") < width(
        belief_of(jars=[jar(readings=USUAL[-1:])]), "sand"
    )  # more than the bed's top alone tells


def test_clear_water_tells_that_the_clay_is_down():
    early = USUAL[:3]
    clear, cloudy = (belief_of(jars=[jar(readings=early, water_above=water)]) for water in ("clear", "cloudy"))
    assert interval(clear["clay"].values, 0.9).high < interval(cloudy["clay"].values, 0.9).high


def test_a_guess_alone_by_hand():
    # Mode of two normals: weights 1 / spread², the guess's spread √(0.6² + within the class²); sandy loam 0.33 and 0.79 within.
    guess = centre_of(Guess("g", "sandy_loam"))
    assert guess.spreads == pytest.approx([math.hypot(0.6, 0.33), math.hypot(0.6, 0.79)])
    found = fit([], guesses=[guess])
    prior = np.array([setting("ilr_sand"), setting("ilr_silt")]), np.array([spread("ilr_sand"), spread("ilr_silt")])
    weights = prior[1] ** -2.0, guess.spreads**-2.0
    expected = (prior[0] * weights[0] + guess.log_ratios * weights[1]) / (weights[0] + weights[1])
    assert found.centre[:2] == pytest.approx(expected, abs=1e-6)
    assert np.diag(found.covariance)[:2] == pytest.approx(1 / (weights[0] + weights[1]), rel=1e-6)


def test_a_guess_far_from_the_jar_is_told():
    lean = ((1.0, 40.0), (2.0, 40.5), (30.0, 42.0), (1440.0, 43.0))
    jars = [jar("a", lean), jar("b", lean)]
    assert "guess_disagrees" in [note.code for note in belief_of(jars=jars, guesses=[Guess("g", "clay_loam")])["clay"].notes]
    agreeing = belief_of(jars=jars, guesses=[Guess("g", "sandy_loam")])["clay"].notes
    assert "guess_disagrees" not in [note.code for note in agreeing]


def test_swelling_is_told_on_the_grading():
    swollen = jar(readings=((1.0, 20.0), (1440.0, 69.0)))
    assert "swelling_questioned" in [note.code for note in belief_of(jars=[swollen])["clay"].notes]


def test_pan_tests_by_hand():
    # (312 − 300)/300 = 4.00 %, sd √((1/300)² + 0.005²) = 0.60 %.
    found = interval(belief_of(pan_tests=[PanTest("g", 0.312, 0.300, 0.001)])["moisture"].values, 0.90)
    spread = math.hypot(1 / 300, 0.005) * NormalDist().inv_cdf(0.95)
    # 4,000 draws: the standard error of a 5 % quantile is √(0.05 × 0.95/4000)/0.103 = 0.033 spreads; three are allowed.
    assert found.low == pytest.approx(0.04 - spread, abs=0.1 * 0.006)
    assert found.high == pytest.approx(0.04 + spread, abs=0.1 * 0.006)
    dry = belief_of(pan_tests=[PanTest("g", 0.3005, 0.300, 0.001)])["moisture"].values
    assert dry.min() > 0.0


def test_pail_mass_by_hand():
    # Moist 20.0, 20.6, 19.4: mean 20.0, s 0.6, t(2, 95 %) = 2.920: ± 1.0115 kg, over the floor of 1.5 % (± 0.49 kg).
    pail = PailWeighings("p", (20.0, 20.6, 19.4))
    pan = [PanTest(f"g{number}", 1.04, 1.00, 0.0001) for number in range(400)]  # so many that moisture is as good as known
    found = interval(belief_of(pails=[pail], pan_tests=pan)["pail_dry_mass"].values, 0.90)
    low, high = (20.0 * math.exp(sign * 1.0115 / 20.0) / 1.04 for sign in (-1, 1))
    assert found.low == pytest.approx(low, abs=0.06) and found.high == pytest.approx(high, abs=0.06)  # 0.1 spread of 0.6 kg
    steady = interval(belief_of(pails=[PailWeighings("p", (20.0, 20.0, 20.0))], pan_tests=pan)["pail_dry_mass"].values, 0.90)
    assert steady.high - steady.low == pytest.approx(2 * 1.645 * 0.015 * 20.0 / 1.04, rel=0.05)


def test_untested_moisture_is_assumed_and_said():
    belief = belief_of(pails=[PailWeighings("p", (20.0, 20.1, 19.9), 0.0165)])
    assert "moisture" not in belief
    assert [note.code for note in belief["pail_dry_mass"].notes] == ["moisture_assumed"]
    assert interval(belief["pail_dry_mass"].values, 0.9).middle == pytest.approx(20.0 / 1.03, rel=0.005)


def test_oversize_is_a_binomial_share():
    # 1.2 of 12 kg at 100 stones a kilogram: 120 of 1,200; binomial sd √(0.1 × 0.9/1200) = 0.87 %.
    values = belief_of(oversize=[OversizeReading("o", 1.2, 12.0)])["oversize"].values
    assert values.mean() == pytest.approx(0.10, abs=0.001)
    assert values.std() == pytest.approx(0.00866, rel=0.05)
    assert belief_of(oversize=[OversizeReading("o", 0.0, 12.0)])["oversize"].values.max() < 0.01


parts = st.tuples(*[st.floats(0.01, 1.0)] * 3)


@given(parts)
def test_log_ratios_convert_there_and_back(three):
    total = sum(three)
    assert shares_of(log_ratios(three)) == pytest.approx([part / total for part in three], rel=1e-9)


heights = st.lists(st.floats(3.0, 120.0), min_size=1, max_size=4)


@settings(max_examples=25, deadline=None)
@given(heights, st.sampled_from(["nothing", "salt", "dispersant"]), st.sampled_from(["clear", "cloudy", None]))
def test_shares_sum_to_one_whatever_was_read(read, added, water):
    readings = tuple(zip((1.0, 30.0, 600.0, 3000.0), read, strict=False))
    belief = belief_of(jars=[jar(readings=readings, added=added, water_above=water)])
    total = sum(belief[name].values for name in ("sand", "silt", "clay"))
    assert np.allclose(total, 1.0, rtol=0, atol=1e-12)
    assert all(np.isfinite(each.values).all() and each.values.min() > 0.0 for each in belief.properties.values())


def test_the_same_observations_give_the_same_draws_and_other_sources_others():
    first = belief_of(jars=[jar()])["clay"].values
    assert np.array_equal(first, belief_of(jars=[jar()])["clay"].values)
    assert not np.array_equal(first, believe("pile", project="school", jars=[jar()])["clay"].values)


def test_draw_i_is_the_same_world_before_and_after_a_reading():
    # The worlds keep their rank: a draw high in sand stays high in sand when another jar comes in.
    before, after = belief_of(jars=[jar("a")])["sand"].values, belief_of(jars=[jar("a"), jar("b")])["sand"].values
    assert np.corrcoef(before, after)[0, 1] > 0.95


def test_classes_are_the_twelve_and_their_centres_are_shares():
    assert len(guess_classes()) == 12
    for key, other in itertools.pairwise(guess_classes()):
        assert key != other
        assert interval(belief_of(guesses=[Guess("g", key)])["clay"].values, 0.9).low > 0.0


@pytest.mark.parametrize(
    ("observations", "code"),
    [
        ({"jars": [jar("a")], "guesses": [Guess("a", "loam")]}, "key_twice"),
        ({"guesses": [Guess("a", "mud")]}, "unknown_class"),
        ({"pails": [PailWeighings("a", (20.0,), 0.0165), PailWeighings("b", (20.0,))]}, "pails_differ"),
    ],
)
def test_what_cannot_be_combined_is_refused(observations, code):
    with pytest.raises(InputError) as refused:
        belief_of(**observations)
    assert refused.value.code == code


@pytest.mark.parametrize(
    "make",
    [
        lambda: PailWeighings("p", ()),
        lambda: PailWeighings("p", (20.0, 0.0)),
        lambda: PailWeighings("p", (math.inf,)),
        lambda: PailWeighings("p", (20.0,), 0.0),
        lambda: PanTest("p", 0.30, 0.31, 0.001),
        lambda: PanTest("p", 0.31, 0.30, 0.0),
        lambda: PanTest("p", math.nan, 0.30, 0.001),
        lambda: OversizeReading("p", 11.0, 10.0),
        lambda: OversizeReading("p", -1.0, 10.0),
        lambda: OversizeReading("p", 0.0, 0.0),
        lambda: interval(np.array([]), 0.9),
        lambda: interval(np.ones(3), 1.0),
        lambda: log_ratios((0.5, 0.5, 0.0)),
        lambda: believe("a|b", project="x", guesses=[Guess("g", "loam")]),
    ],
)
def test_impossible_observations_are_refused(make):
    with pytest.raises(InputError):
        make()
