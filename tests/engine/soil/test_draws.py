"""Draws: the written recipe followed by hand with the standard library, and reproducible whatever comes before."""

import hashlib
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.soil import draws
from loamwright.errors import InputError

names = st.text(st.characters(codec="utf-8", exclude_characters="|"), min_size=1, max_size=20)


def test_seed_is_the_hash_of_the_three_names():
    assert draws.seed("pit", project="school", scheme="s") == int(hashlib.sha256(b"s|school|pit").hexdigest(), 16)


def test_scores_follow_the_recipe():
    # u = ((r >> 11) + 0.5) / 2^53 in whole numbers, then the inverse normal of the standard library.
    raw = [int(each) for each in np.random.PCG64(draws.seed("pit", project="school")).random_raw(5)]
    expected = [NormalDist().inv_cdf(((each >> 11) + 0.5) / 2**53) for each in raw]
    assert draws.scores("pit", project="school")[0, :5] == pytest.approx(expected, rel=1e-9)


def test_a_parameter_added_at_the_end_changes_no_earlier_score():
    # Each parameter has a whole block of 4,000 raw numbers: "moisture", the fourth, begins at number 12,000 whatever comes later.
    raw = np.random.PCG64(draws.seed("pit", project="school")).random_raw(5 * 4000)
    expected = [NormalDist().inv_cdf(((int(each) >> 11) + 0.5) / 2**53) for each in raw[12_000:12_005]]
    assert draws.PARAMETERS[:5] == ("ilr_sand", "ilr_silt", "pail_dry_mass", "moisture", "oversize")
    assert draws.scores("pit", project="school")[3, :5] == pytest.approx(expected, rel=1e-9)


@given(names, names)
def test_draws_are_reproducible(source, project):
    first = draws.uniforms(source, project=project, count=16)
    draws.uniforms("another", project=project, count=16)
    assert np.array_equal(first, draws.uniforms(source, project=project, count=16))
    assert first.min() > 0.0 and first.max() < 1.0


def test_scores_are_standard_normal_and_unrelated():
    scores = draws.scores("pit", project="school")
    assert scores.shape == (len(draws.PARAMETERS), 4000)
    # Standard errors at n = 4000: mean 0.016, sd 0.011, correlation 0.016; five of each are allowed.
    assert np.abs(scores.mean(axis=1)).max() < 0.08
    assert np.abs(scores.std(axis=1) - 1.0).max() < 0.056
    assert np.abs(np.corrcoef(scores) - np.eye(len(draws.PARAMETERS))).max() < 0.08


def test_other_names_give_other_draws():
    first = draws.scores("pit", project="school")
    assert not np.array_equal(first, draws.scores("pit", project="clinic"))
    assert not np.array_equal(first, draws.scores("sand", project="school"))
    with pytest.raises(ValueError, match="read-only"):
        first[0, 0] = 1.0


@pytest.mark.parametrize(("source", "project", "count"), [("", "a", 4), ("a|b", "a", 4), ("a", "", 4), ("a", "b", 0)])
def test_bad_names_are_refused(source, project, count):
    with pytest.raises(InputError):
        draws.uniforms(source, project=project, count=count)
