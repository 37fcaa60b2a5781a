"""A small sample of the jar study: the belief holds the truth about as often as it says."""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binom
from studies.jar import run, simulator

SOILS = 40
# With a true coverage of 87 %, the low end of the aim, fewer than 27 of 40 happen in less than one sample of 1,000.
LEAST = binom.ppf(0.001, SOILS, 0.87) / SOILS


@pytest.mark.parametrize("name", ["jar", "two-jars", "jar-and-guess", "jar-and-laboratory"])
def test_intervals_hold_the_truth(name):
    case = next(each for each in run.CASES if each.name == name)
    for found in run.coverage(case, SOILS, seed=7).values():
        assert found.coverage >= LEAST
        # The prior alone, ilr sd 1.32 and 1.0, is over 60 points wide; a jar that told nothing would stay there.
        assert found.width < (0.20 if case.laboratory else 0.45)


def test_the_written_study_holds_what_is_asked_of_it():
    """87 to 93 % in the judged cases, within two binomial standard errors; each of at least 1,000 soils."""
    with (Path(run.__file__).parent / "coverage.csv").open(encoding="utf-8") as file:
        rows = {row["case"]: row for row in csv.DictReader(file)}
    assert set(rows) == {case.name for case in run.CASES}
    for case in run.CASES:
        for kind in run.KINDS if case.judged else ():
            share, error = (float(rows[case.name][f"{kind}_{name}"]) for name in ("coverage", "error"))
            assert int(rows[case.name]["soils"]) >= 1000 and error < 0.025
            assert 0.87 - error <= share <= 0.93 + error


def test_simulated_laboratories_and_minerals():
    random = np.random.default_rng(2)
    soils = simulator.make_soils(400, random)
    liquid, plastic = simulator.limits_of(soils, random)
    # Casagrande's chart: natural soils lie under the U-line, I_p = 0.9 (w_L - 0.08), and plastic limits are about 12 to 45 %.
    assert np.mean(liquid - plastic <= 0.9 * (liquid - 0.08)) > 0.98
    assert plastic.min() > 0.10 and plastic.max() < 0.60
    found = simulator.hydrometer_found(soils, random)
    assert found.sum(axis=1) == pytest.approx(np.ones(400))
    # A sample of 10 % in each ratio and errors of 6 % and a point: half of all clays within 2.5 points, none off by 20.
    off = np.abs(found[:, 2] - soils.shares[:, 2])
    assert np.median(off) < 0.025 and off.max() < 0.20


def test_simulated_soils_are_of_every_class():
    shares = simulator.make_soils(600, np.random.default_rng(3)).shares
    named = [simulator.texture(*each) for each in 100 * shares]
    # 50 of each are expected; a binomial count of 600 at 1/12 lies within 50 ± 4 × 6.8.
    assert set(named) == set(simulator.CLASSES) and all(22 < named.count(name) < 78 for name in simulator.CLASSES)
    assert shares.min() >= 0.02


def test_bound_is_a_bound():
    assert 0.6 < LEAST < 0.87


def test_simulated_grains_fall_by_the_handbook_table():
    # A 0.02 mm grain falls 100 mm in 278 s at 20 °C (ISO 11277 table, memory); for small grains Rubey's law is Stokes' law.
    speed = simulator.rubey(np.array([0.02]), simulator.water_viscosity(np.array([20.0])), np.array([2650.0]))
    assert 100.0 / speed[0] == pytest.approx(278, rel=0.01)


def test_simulated_mass_lands_and_textures_follow_the_manual():
    random = np.random.default_rng(1)
    soils = simulator.make_soils(5, random)
    jars = simulator.settle(soils, soils.shares, random, clay_median=np.full(5, 0.006))
    assert jars.landed[-1] == pytest.approx(np.ones((5, 3)), abs=0.12)  # after two days all but the finest clay
    assert np.all(np.diff(jars.landed, axis=0) >= -1e-9)
    # Soil Survey Manual: 60/20/20 is sandy clay loam; 40/40/20 loam; 20/20/60 clay; 92/5/3 sand.
    named = [simulator.texture(*each) for each in ((60, 20, 20), (40, 40, 20), (20, 20, 60), (92, 5, 3))]
    assert named == ["sandy_clay_loam", "loam", "clay", "sand"]
