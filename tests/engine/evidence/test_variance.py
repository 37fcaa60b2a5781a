"""Analysis of variance against certified results and against a statistics library."""

import numpy as np
import pytest
import statsmodels.api as sm
from statsmodels.formula.api import ols

from loamwright.engine.evidence.variance import nested, one_way
from loamwright.errors import InputError

# NIST Statistical Reference Datasets, SiRstv: resistivity of silicon by five instruments; certified values
SIRSTV = [
    [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
    [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
    [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
    [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
    [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
]
UNEQUAL = {
    "lean": [[1.9, 2.1, 2.0], [2.4, 2.2], [2.0, 2.3, 2.1, 2.2]],
    "rich": [[3.0, 2.8], [3.3, 3.4, 3.1]],
    "lime": [[2.2, 2.5, 2.4], [2.9], [2.6, 2.7]],
}


def test_certified_values_of_nist() -> None:
    found = one_way(SIRSTV)
    assert (found.df_between, found.df_within) == (4, 20)
    assert found.ss_between == pytest.approx(5.11462616000000e-02, rel=1e-8)
    assert found.ss_within == pytest.approx(2.16636560000000e-01, rel=1e-8)
    assert found.f == pytest.approx(1.18046237440255, rel=1e-8)
    assert found.r2 == pytest.approx(1.90999039051129e-01, rel=1e-8)
    assert found.residual_sd == pytest.approx(1.04076068334656e-01, rel=1e-8)


def _frame(mixes):
    import pandas as pd

    return pd.DataFrame(
        [(mix, f"{mix} {n}", value) for mix, batches in mixes.items() for n, batch in enumerate(batches) for value in batch],
        columns=["mix", "batch", "y"],
    )


def test_sums_of_squares_as_a_statistics_library_has_them() -> None:
    """statsmodels, sequential sums of squares of mixes, then of batches within them, with unequal numbers."""
    data = _frame(UNEQUAL)
    mixes = ols("y ~ C(mix)", data).fit()
    batches = ols("y ~ C(batch)", data).fit()
    found = nested(UNEQUAL)
    assert found.ms_mixes == pytest.approx(mixes.ess / 2, rel=1e-10)
    assert found.ms_batches == pytest.approx((mixes.ssr - batches.ssr) / 5, rel=1e-10)
    assert found.ms_blocks == pytest.approx(batches.ssr / found.df_blocks, rel=1e-10)
    table = sm.stats.anova_lm(mixes)
    assert found.p_blind == pytest.approx(float(table["PR(>F)"].iloc[0]), rel=1e-8)


def test_components_of_a_balanced_table_by_hand() -> None:
    """Two mixes, two batches each, two blocks each: with n blocks and b batches E(MS) = s², s² + 2 sb², s² + 2 sb² + 4 sm²."""
    found = nested({"a": [[2.0, 2.2], [2.6, 2.4]], "b": [[3.0, 3.2], [3.4, 3.6]]})
    assert found.ms_blocks == pytest.approx(0.02)
    assert found.ms_batches == pytest.approx(0.16)  # each batch mean 0.2 off its mix's: 2 · 4 · 0.04 / 2
    assert found.ms_mixes == pytest.approx(2.0)  # mix means 2.3 and 3.3, 4 blocks each: 8 · 0.25
    assert found.batch_variance == pytest.approx((0.16 - 0.02) / 2)
    assert found.mix_variance == pytest.approx((2.0 - 0.16) / 4)
    assert found.df_below == pytest.approx(2.0)


def test_components_are_those_of_restricted_likelihood_where_the_table_is_balanced() -> None:
    """For balanced data the estimates by mean squares and by restricted likelihood are one (Searle, from memory)."""
    random = np.random.default_rng(4)
    one = random.normal(0, 0.2, 6)[:, None] + random.normal(0, 0.1, (6, 4))
    mixes = {"a": one.tolist(), "b": (one[::-1] + random.normal(0, 0.05, (6, 4))).tolist()}
    data = _frame(mixes)
    fit = sm.MixedLM(data["y"], sm.add_constant((data["mix"] == "b").astype(float)), groups=data["batch"]).fit(reml=True)
    found = nested(mixes)
    assert found.block_variance == pytest.approx(fit.scale, rel=1e-4)
    assert found.batch_variance == pytest.approx(float(fit.cov_re.iloc[0, 0]), rel=1e-3)


def test_batches_that_agree_leave_no_component_below_zero() -> None:
    found = nested({"a": [[2.0, 2.4], [2.1, 2.3]], "b": [[2.0, 2.4], [2.1, 2.3]]})
    assert found.batch_variance == 0.0
    assert found.mix_variance == 0.0


@pytest.mark.parametrize(
    ("mixes", "code"),
    [
        ({"a": [[1.0, 2.0], [1.0]]}, "too_few_groups"),
        ({"a": [[1.0, 2.0]], "b": [[1.0, 2.0]]}, "too_few_batches"),
        ({"a": [[1.0], [2.0]], "b": [[1.0], [2.0]]}, "too_few_values"),
        ({"a": [[1.0, float("nan")], [2.0]], "b": [[1.0], [2.0]]}, "not_finite"),
        ({"a": [], "b": [[1.0], [2.0]]}, "no_batches"),
    ],
)
def test_what_cannot_be_analysed_is_said(mixes, code) -> None:
    with pytest.raises(InputError) as caught:
        nested(mixes)
    assert caught.value.code == code
