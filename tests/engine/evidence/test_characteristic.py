"""Cautious values and their factors, against printed tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import nct, t

from loamwright.engine.evidence.characteristic import (
    CAUTIOUS_VALUE,
    CAUTIOUS_VALUE_SCATTER_KNOWN,
    KN_SCATTER_KNOWN,
    KN_SCATTER_UNKNOWN,
    RULES,
    SMALL_SAMPLE_VALUE,
    TOLERANCE_FACTOR_APPROXIMATE,
    cautious_value,
    kn_scatter_known,
    kn_scatter_unknown,
    normal_quantile,
    small_sample_value,
    t_quantile,
    tolerance_factor,
    tolerance_factor_approximate,
)
from loamwright.errors import InputError
from loamwright.formula import evaluate

FIVE = [2.9, 3.4, 3.1, 3.6, 2.7]

# EN 1990:2002, Table D.1 (from memory, two decimals printed). The stated tolerance of 0.015 is for n = 20, where the
# table prints 1.76 and the formula gives 1.772; all others agree to 0.01.
N_TABLE = [3, 4, 5, 6, 8, 10, 20, 30]
KN_UNKNOWN = [3.37, 2.63, 2.33, 2.18, 2.00, 1.92, 1.76, 1.73]
KN_KNOWN = [1.89, 1.83, 1.80, 1.77, 1.74, 1.72, 1.68, 1.67]


@pytest.mark.parametrize(("n", "printed"), list(zip(N_TABLE, KN_UNKNOWN, strict=True)))
def test_en1990_table_scatter_unknown(n: int, printed: float) -> None:
    assert kn_scatter_unknown(n) == pytest.approx(printed, abs=0.015)


@pytest.mark.parametrize(("n", "printed"), list(zip([1, 2, *N_TABLE], [2.31, 2.01, *KN_KNOWN], strict=True)))
def test_en1990_table_scatter_known(n: int, printed: float) -> None:
    # The table was made with 1.64, so its figures lie 0.3 % under the quantile 1.645: 0.016 at n = 1.
    assert kn_scatter_known(n) == pytest.approx(printed, abs=0.017 if n == 1 else 0.015)


# EN 14358 Table 1 (from memory; also ISO 12491): 5 % fractile at 75 % confidence.
@pytest.mark.parametrize(
    ("n", "printed"),
    [(3, 3.15), (5, 2.46), (10, 2.10), (15, 1.99), (20, 1.93), (30, 1.87), (50, 1.81), (100, 1.76)],
)
def test_en14358_table(n: int, printed: float) -> None:
    assert tolerance_factor(n) == pytest.approx(printed, abs=0.006)


def test_nist_handbook_tolerance_factor() -> None:
    # NIST/SEMATECH e-Handbook 7.2.6.3 (from memory): n 43, 90 % content, 99 % confidence.
    assert tolerance_factor_approximate(43, content=0.90, confidence=0.99) == pytest.approx(1.8752, abs=5e-5)
    assert tolerance_factor(43, content=0.90, confidence=0.99) == pytest.approx(1.874, abs=5e-4)


def test_nzs4298_small_sample() -> None:
    # NZS 4298:1998 Appendix B form (recalled): mean 3.14, s 0.3647, (1 - 1.5 × 0.3647/3.14) × 2.7 = 2.23.
    assert small_sample_value(FIVE) == pytest.approx(2.23, abs=0.005)
    assert cautious_value(FIVE, rule="nzs4298_small_sample").value == small_sample_value(FIVE)


@given(st.integers(2, 200), st.floats(0.6, 0.99), st.floats(0.55, 0.99))
def test_tolerance_factor_is_the_noncentral_t(n: int, content: float, confidence: float) -> None:
    # Oracle: put k back into scipy.stats.nct; the chance that it covers the content must be the confidence.
    k = tolerance_factor(n, content=content, confidence=confidence)
    assert nct.cdf(k * n**0.5, n - 1, normal_quantile(content) * n**0.5) == pytest.approx(confidence, abs=1e-6)


def test_quantile_agrees_with_the_reference_library() -> None:
    assert t_quantile(7) == pytest.approx(t.ppf(0.95, 6), rel=1e-12)


def test_default_rule_by_hand() -> None:
    # mean 3.14 - 2.3353 × 0.36469 = 2.288; t(0.95, 4) = 2.1318 (printed t tables), × √1.2 = 2.3353.
    found = cautious_value(FIVE)
    assert found.value == pytest.approx(3.14 - 2.3353 * 0.36469, abs=1e-3)
    assert found.rule == "en1990_scatter_unknown"
    assert [note.code for note in found.notes] == ["batch_mates_share_errors"]


def test_known_scatter_needs_its_figure() -> None:
    with pytest.raises(InputError) as caught:
        cautious_value(FIVE, rule="en1990_scatter_known")
    assert caught.value.code == "known_coefficient_of_variation_missing"
    found = cautious_value(FIVE, rule="en1990_scatter_known", known_coefficient_of_variation=0.12)
    # 3.14 (1 - 1.645 × √1.2 × 0.12) = 2.461
    assert found.value == pytest.approx(2.461, abs=0.001)


@pytest.mark.parametrize(("rule", "need"), [("en1990_scatter_unknown", 3), ("en14358_tolerance", 3), ("nzs4298_small_sample", 5)])
def test_too_few(rule: str, need: int) -> None:
    with pytest.raises(InputError) as caught:
        cautious_value(FIVE[: need - 1], rule=rule)
    assert caught.value.code == "too_few_values"
    assert caught.value.values["need"] == need
    assert cautious_value(FIVE[:need], rule=rule).rule == rule


def test_unknown_rule() -> None:
    with pytest.raises(InputError) as caught:
        cautious_value(FIVE, rule="by guess")
    assert caught.value.code == "unknown_rule"


def test_a_value_below_zero_is_returned_with_a_note() -> None:
    found = cautious_value([0.2, 2.0, 4.0])
    assert found.value < 0
    assert "cautious_value_not_positive" in [note.code for note in found.notes]


VALUES = st.lists(st.floats(0.05, 30.0), min_size=5, max_size=12)


@given(VALUES, st.floats(0.1, 10.0), st.sampled_from(sorted(RULES)), st.randoms())
def test_scaled_and_shuffled(values: list[float], factor: float, rule: str, rng: object) -> None:
    before = cautious_value(values, rule=rule, known_coefficient_of_variation=0.1)
    shuffled = list(values)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    assert cautious_value(shuffled, rule=rule, known_coefficient_of_variation=0.1) == before
    after = cautious_value([factor * value for value in values], rule=rule, known_coefficient_of_variation=0.1)
    assert after.value == pytest.approx(factor * before.value, rel=1e-6, abs=1e-6)


def test_printed_lines_give_the_results() -> None:
    k = kn_scatter_unknown(5)
    assert evaluate(KN_SCATTER_UNKNOWN.put_in({"t": t_quantile(5), "n": 5})) == pytest.approx(k, rel=1e-5)
    z = normal_quantile(0.95)
    assert evaluate(KN_SCATTER_KNOWN.put_in({"z": z, "n": 5})) == pytest.approx(kn_scatter_known(5), rel=1e-5)
    assert evaluate(CAUTIOUS_VALUE.put_in({"f": FIVE, "k": k})) == pytest.approx(cautious_value(FIVE).value, rel=1e-5)
    assert evaluate(SMALL_SAMPLE_VALUE.put_in({"f": FIVE})) == pytest.approx(small_sample_value(FIVE))
    line = CAUTIOUS_VALUE_SCATTER_KNOWN.put_in({"f": FIVE, "k": kn_scatter_known(5), "V": 0.12})
    known = cautious_value(FIVE, rule="en1990_scatter_known", known_coefficient_of_variation=0.12)
    assert evaluate(line) == pytest.approx(known.value, rel=1e-5)
    terms = {"z_p": normal_quantile(0.90), "z_c": normal_quantile(0.99), "n": 43}
    assert evaluate(TOLERANCE_FACTOR_APPROXIMATE.put_in(terms)) == pytest.approx(
        tolerance_factor_approximate(43, content=0.90, confidence=0.99), rel=1e-5
    )
