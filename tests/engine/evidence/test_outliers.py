"""Outlier tests against published critical values and worked cases."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.evidence.outliers import (
    GRUBBS_CRITICAL,
    GRUBBS_STATISTIC,
    generalised_esd,
    grubbs,
    grubbs_critical,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

# CMH-17-1G, critical values of the maximum normed residual, two-sided 5 % (facts as carried in open test data).
CMH17 = [
    *(1.154, 1.481, 1.715, 1.887, 2.02, 2.127, 2.215, 2.29, 2.355),
    *(2.412, 2.462, 2.507, 2.548, 2.586, 2.62, 2.652, 2.681, 2.708),
]

# Tietjen and Moore's mass-spectrometer data, NIST/SEMATECH e-Handbook 1.3.5.17.1.
URANIUM = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]

# ROSNER reference data of NIST Dataplot (public domain); Rosner, Technometrics 1983.
ROSNER = [
    *(-0.25, 0.68, 0.94, 1.15, 1.2, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.7),
    *(1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.1, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.4),
    *(2.47, 2.54, 2.62, 2.64, 2.9, 2.92, 2.92, 2.93, 3.21, 3.26, 3.3, 3.59, 3.68, 4.3, 4.64, 5.34, 5.42, 6.01),
]


@pytest.mark.parametrize(("n", "printed"), list(zip(range(3, 21), CMH17, strict=True)))
def test_cmh17_critical_values(n: int, printed: float) -> None:
    assert grubbs_critical(n) == pytest.approx(printed, abs=0.0011)


def test_uranium_data() -> None:
    found = grubbs(URANIUM, side="most")
    assert found.value == 245.57
    assert found.statistic == pytest.approx(2.4687, abs=0.001)
    assert found.critical == pytest.approx(2.032, abs=0.003)
    assert found.flagged


def test_the_other_end_of_the_uranium_data_is_not_suspected() -> None:
    found = grubbs(URANIUM, side="least")
    assert (found.value, found.flagged) == (199.31, False)


def test_rosner_data_hold_three_outliers() -> None:
    found = generalised_esd(ROSNER, most_outliers=10)
    printed_r = [3.119, 2.943, 3.179, 2.81, 2.816, 2.848, 2.279, 2.31, 2.102, 2.067]
    printed_limit = [3.159, 3.151, 3.144, 3.136, 3.128, 3.12, 3.112, 3.103, 3.094, 3.085]
    assert found.statistics == pytest.approx(printed_r, abs=0.002)
    assert found.criticals == pytest.approx(printed_limit, abs=0.002)
    assert found.flagged == (6.01, 5.42, 5.34)
    assert found.notes == ()


def test_few_values_carry_a_note() -> None:
    assert [note.code for note in generalised_esd(URANIUM, most_outliers=2).notes] == ["few_values_for_test"]


def test_equal_values_flag_nothing() -> None:
    assert not grubbs([2.3, 2.3, 2.3]).flagged
    assert generalised_esd([2.3, 2.3, 2.3, 2.3], most_outliers=2).flagged == ()


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: grubbs([1.0, 2.0]), "too_few_values"),
        (lambda: grubbs([1.0, 2.0, 3.0], alpha=0.0), "out_of_range"),
        (lambda: grubbs_critical(5, side="up"), "unknown_side"),  # type: ignore[arg-type]
        (lambda: generalised_esd([1.0, 2.0, 3.0], most_outliers=2), "too_few_values"),
        (lambda: generalised_esd([1.0, 2.0, 3.0], most_outliers=0), "out_of_range"),
    ],
)
def test_refuses(call: object, code: str) -> None:
    with pytest.raises(InputError) as caught:
        call()  # type: ignore[operator]
    assert caught.value.code == code


@given(st.lists(st.floats(0.1, 20.0), min_size=4, max_size=12, unique=True), st.floats(0.5, 4.0), st.randoms())
def test_scaled_and_shuffled(values: list[float], factor: float, rng: object) -> None:
    shuffled = list(values)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    assert grubbs(shuffled) == grubbs(values)
    scaled = grubbs([factor * value for value in values], side="most")
    assert scaled.statistic == pytest.approx(grubbs(values, side="most").statistic, rel=1e-6)


def test_printed_lines_give_the_results() -> None:
    from scipy.stats import t

    line = GRUBBS_CRITICAL.put_in({"n": 8, "t": float(t.ppf(1 - 0.05 / 8, 6))})
    assert evaluate(line) == pytest.approx(grubbs_critical(8, side="most"), rel=1e-5)
    line = GRUBBS_STATISTIC.put_in({"x": URANIUM, "x_suspect": 245.57})
    assert evaluate(line) == pytest.approx(grubbs(URANIUM).statistic, rel=1e-5)
