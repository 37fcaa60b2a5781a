"""An acceptance rule as a value: what counts, what is missing, what decides."""

import dataclasses
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.evidence.acceptance import BlockValue, Criterion, Measured, evaluate
from loamwright.errors import InputError

STRENGTH = "compressive_strength"


def wet(*values: float, soak: float | None = 24, age: float | None = 28, **more: Any) -> list[BlockValue]:
    return [BlockValue(STRENGTH, value, "wet", soak, age, **more) for value in values]


def rule(statistic: Any = "mean", limit: float = 2.4, **more: Any) -> Criterion:
    settings: dict[str, Any] = {"comparator": ">=", "soak_hours_least": 24, "age_days": 28, "n": 5, **more}
    return Criterion("k", STRENGTH, statistic, limit=limit, condition="wet", **settings)


@pytest.mark.parametrize(
    ("statistic", "limit", "state", "figure"),
    [
        # Values 2.9 3.4 3.1 3.6 2.7: mean 3.14; least 2.7; EN 1990 3.14 - 2.3353 × 0.3647 = 2.288; NZS 4298 form 2.23.
        ("mean", 3.14, "met", 3.14),
        ("mean", 3.15, "not_met", 3.14),
        ("individual", 2.7, "met", 2.7),
        ("individual", 2.8, "not_met", 2.7),
        ("least_of_n", 2.7, "met", 2.7),
        ("fractile_5", 2.28, "met", 2.288),
        ("fractile_5", 2.30, "not_met", 2.288),
    ],
)
def test_each_statistic_is_the_rules_own(statistic: str, limit: float, state: str, figure: float) -> None:
    found = evaluate(rule(statistic, limit), wet(2.9, 3.4, 3.1, 3.6, 2.7))
    assert found.state == state
    assert found.statistic_value == pytest.approx(figure, abs=0.001)
    assert found.used == (2.7, 2.9, 3.1, 3.4, 3.6)


def test_characteristic_by_a_named_rule() -> None:
    found = evaluate(rule("characteristic", 2.2, cautious_rule="nzs4298_small_sample"), wet(2.9, 3.4, 3.1, 3.6, 2.7))
    assert (found.state, found.doubts) == ("met", ())
    assert found.statistic_value == pytest.approx(2.23, abs=0.005)


def test_characteristic_without_a_named_rule_carries_a_doubt() -> None:
    found = evaluate(rule("fractile_5", 2.2), wet(2.9, 3.4, 3.1, 3.6, 2.7))
    assert [note.code for note in found.doubts] == ["cautious_rule_assumed"]


def test_too_few_blocks() -> None:
    found = evaluate(rule(), wet(3.0, 3.1, 3.2))
    assert found.state == "not_shown_yet"
    assert found.statistic_value == pytest.approx(3.1)
    assert [(note.code, note.values["have"], note.values["need"]) for note in found.missing] == [("blocks_missing", 3, 5)]


def test_a_fractile_is_not_taken_of_two() -> None:
    found = evaluate(rule("fractile_5", n=None), wet(3.0, 3.1))
    assert (found.state, found.statistic_value) == ("not_shown_yet", None)
    assert found.missing[0].values["need"] == 3


def test_one_bad_block_decides_at_once_but_a_low_mean_does_not() -> None:
    assert evaluate(rule("individual", 2.0), wet(1.9, 2.5)).state == "not_met"
    assert evaluate(rule("mean", 2.0), wet(1.5, 1.6)).state == "not_shown_yet"


def test_a_block_that_fell_apart_counts_as_zero() -> None:
    assert evaluate(rule("individual", 2.0), wet(0.0, 2.5, 2.5, 2.5, 2.5)).state == "not_met"


@pytest.mark.parametrize(
    ("extra", "reason"),
    [
        ([BlockValue(STRENGTH, 9.0, "dry", None, 28)] * 2, "other_condition"),
        (wet(9.0, 9.0, soak=4), "soak_too_short"),
        (wet(9.0, 9.0, soak=None), "soak_too_short"),
        (wet(9.0, 9.0, age=7), "too_young"),
        (wet(9.0, 9.0, age=None), "age_unknown"),
        (wet(9.0, 9.0, screening=True), "screening_only"),
        (wet(9.0, 9.0, value_form="normalised"), "other_value_form"),
        (wet(9.0, 9.0, soak=48), "other_soak"),
    ],
)
def test_what_does_not_count_is_said(extra: list[BlockValue], reason: str) -> None:
    found = evaluate(rule(), wet(2.5, 2.5, 2.5) + extra)
    assert (found.state, found.used) == ("not_shown_yet", (2.5, 2.5, 2.5))
    assert {note.code: note.values.get("blocks") for note in found.missing} == {"blocks_missing": None, reason: 2}


def test_soaks_of_different_hours_are_never_pooled() -> None:
    found = evaluate(rule(), wet(2.5, 2.5, 2.5, soak=24) + wet(2.5, 2.5, soak=48))
    assert (found.state, len(found.used)) == ("not_shown_yet", 3)
    found = evaluate(rule(), wet(*[2.5] * 5, soak=48) + wet(2.0, 2.0, soak=24))
    assert (found.state, found.soak_hours) == ("met", 48)
    found = evaluate(rule(), wet(*[2.5] * 5, soak=48) + wet(*[2.0] * 5, soak=24))
    assert (found.state, found.soak_hours) == ("not_met", 24)


def test_other_properties_are_left_aside_in_silence() -> None:
    found = evaluate(rule(), [*wet(2.5, 2.5), BlockValue("water_absorption", 0.12, "wet", 24)])
    assert [note.code for note in found.missing] == ["blocks_missing"]


def test_absorption_has_its_limit_above() -> None:
    values = [BlockValue("water_absorption", share, "wet", 24) for share in (0.12, 0.14, 0.16)]
    each = Criterion("a", "water_absorption", "individual", "<=", 0.15, "wet", soak_hours_least=24, n=3)
    assert (evaluate(each, values).state, evaluate(each, values).statistic_value) == ("not_met", 0.16)
    assert evaluate(dataclasses.replace(each, statistic="mean"), values).state == "met"


def test_doubts() -> None:
    vague = rule(soak_hours_least=None, n=None, age_days=28)
    codes = [note.code for note in evaluate(vague, wet(2.5, age=40)).doubts]
    assert codes == ["rule_soak_unknown", "rule_n_unknown", "older_than_rule"]
    assert evaluate(rule(), wet(*[2.5] * 5, age=29)).doubts == ()


def test_nothing_at_all() -> None:
    found = evaluate(rule(), [])
    assert (found.state, found.statistic_value, found.soak_hours) == ("not_shown_yet", None, None)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"statistic": "median"}, "unknown_statistic"),
        ({"comparator": "=="}, "unknown_comparator"),
        ({"limit": 0.0}, "not_positive"),
        ({"n": 0}, "not_positive"),
        ({"comparator": "between"}, "range_without_end"),
        ({"comparator": "between", "limit_most": 2.4}, "range_without_end"),
        ({"comparator": "between", "limit": -1.0, "limit_most": 2.4}, "negative"),
        ({"statistic": "mean_and_floor"}, "floor_and_statistic"),
        ({"floor": 2.0}, "floor_and_statistic"),
    ],
)
def test_a_criterion_refuses(changes: dict[str, Any], code: str) -> None:
    with pytest.raises(InputError) as caught:
        rule(**changes)
    assert caught.value.code == code


def test_a_negative_strength_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        evaluate(rule(), wet(-1.0, 2.0))
    assert caught.value.code == "negative"


VALUES = st.lists(st.floats(0.5, 8.0), min_size=5, max_size=9)


@given(VALUES, st.floats(0.1, 10), st.sampled_from(["mean", "individual", "fractile_5"]), st.randoms())
def test_order_and_scale(values: list[float], factor: float, statistic: str, rng: object) -> None:
    shuffled = list(values)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    found = evaluate(rule(statistic), wet(*values))
    assert evaluate(rule(statistic), wet(*shuffled)) == found
    scaled = evaluate(rule(statistic, 2.4 * factor), wet(*(factor * value for value in values)))
    assert scaled.statistic_value == pytest.approx(factor * (found.statistic_value or 0.0), rel=1e-6, abs=1e-6)


def test_best_four_of_six() -> None:
    # E.080: 1.2 1.1 1.0 0.9 0.5 0.4 → the best four are 1.2 1.1 1.0 0.9, mean 1.05; all six would give 0.85.
    six = wet(1.2, 1.1, 1.0, 0.9, 0.5, 0.4)
    assert evaluate(rule("mean_best_4_of_6", 1.05, n=6), six).state == "met"
    assert evaluate(rule("mean_best_4_of_6", 1.06, n=6), six).state == "not_met"
    five = evaluate(rule("mean_best_4_of_6", 0.5, n=6), six[:5])
    assert (five.state, five.statistic_value) == ("not_shown_yet", None)


def test_best_four_of_more_than_six_does_not_pick() -> None:
    # a seventh block of 9.9 is not among the six least: 1.2 1.1 1.0 0.9 count as before, and it is said
    found = evaluate(rule("mean_best_4_of_6", 1.05, n=6), wet(1.2, 1.1, 1.0, 0.9, 0.5, 0.4, 9.9))
    assert found.statistic_value == pytest.approx(1.05)
    assert [note.code for note in found.doubts] == ["more_than_six"]


def test_a_mean_with_a_floor_for_each() -> None:
    # NBR 8491: mean 2.0 and each 1.7: 2.3 2.0 1.7 has mean 2.0; 2.6 2.0 1.6 has mean 2.07 and one under the floor
    both = rule("mean_and_floor", 2.0, floor=1.7, n=3)
    assert evaluate(both, wet(2.3, 2.0, 1.7)).state == "met"
    assert evaluate(both, wet(2.6, 2.0, 1.6)).state == "not_met"
    assert evaluate(both, wet(1.9, 2.0, 1.8)).state == "not_met"
    assert evaluate(both, wet(1.6)).state == "not_met"  # one under the floor decides at once
    assert evaluate(both, wet(1.9)).state == "not_shown_yet"


def test_a_range_has_two_ends() -> None:
    clay = Criterion("clay", "clay_content", "limit", "between", 0.05, "", limit_most=0.18, subject="soil")

    def state(value: float, criterion: Criterion = clay) -> str:
        return evaluate(criterion, [Measured("clay_content", value, subject="soil")]).state

    assert [state(value) for value in (0.05, 0.12, 0.18, 0.049, 0.19)] == ["met"] * 3 + ["not_met"] * 2
    assert state(0.18, dataclasses.replace(clay, most_included=False)) == "not_met"


def test_the_worst_of_a_range_is_the_one_furthest_outside() -> None:
    clay = Criterion("clay", "clay_content", "individual", "between", 0.05, "", limit_most=0.18, subject="soil", n=2)
    found = evaluate(clay, [Measured("clay_content", value, subject="soil") for value in (0.12, 0.30)])
    assert (found.state, found.statistic_value) == ("not_met", 0.30)


def test_results_of_another_subject_are_left_aside() -> None:
    wall = Criterion("lap", "joint_lap", "limit", ">=", 0.25, "", subject="wall")
    found = evaluate(wall, [Measured("joint_lap", 0.4, subject="block")])
    assert [note.code for note in found.missing] == ["values_missing"]
    assert evaluate(wall, [Measured("joint_lap", 0.4, subject="wall")]).doubts == ()


def test_the_deepest_place_decides() -> None:
    pit = Criterion("pit", "drip_pit_depth", "maximum", "<", 5.0, "drip", n=2)
    found = evaluate(pit, [Measured("drip_pit_depth", value, "drip") for value in (1.0, 6.0)])
    assert (found.state, found.statistic_value) == ("not_met", 6.0)


def test_too_few_cycles_do_not_count() -> None:
    loss = Criterion("loss", "mass_loss_wet_dry", "mean", "<=", 0.05, "cycles", n=1, cycles_least=12)
    few = [Measured("mass_loss_wet_dry", 0.01, "cycles", cycles=6)]
    assert [note.code for note in evaluate(loss, few).missing] == ["blocks_missing", "too_few_cycles"]
    assert evaluate(loss, [Measured("mass_loss_wet_dry", 0.01, "cycles", cycles=12)]).state == "met"


def test_any_condition_counts_where_a_rule_names_none() -> None:
    dense = Criterion("density", "dry_density", "mean", ">=", 1750.0, "", n=2)
    found = evaluate(dense, [Measured("dry_density", 1800.0, "wet"), Measured("dry_density", 1760.0)])
    assert (found.state, found.statistic_value) == ("met", 1780.0)
