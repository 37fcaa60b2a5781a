"""Workings: every printed line gives its printed result, in the order they are computed, with its readings and stand-ins."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given as examples
from hypothesis import strategies as st

from loamwright.engine.bench import dose, moisture
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term, evaluate
from loamwright.project import today
from loamwright.project.desk import Desk, Hand
from loamwright.project.finding import Finding, Given, Withheld, attempt, given, working

SUM = Formula("mass", "m", "kg", "sum(m_each)", {"m_each": Term("mass", "kg")}, "derivation-dose")
DRY = Formula(
    "dry_soil_mass",
    "S",
    "kg",
    "m / (1 + w)",
    {"m": Term("moist_mass", "kg"), "w": Term("water_content", "1")},
    "derivation-phases",
)
NOTE = Note("moisture_not_tested", {"usual_pct": 3})


def moist(*masses: float) -> Finding:
    return Finding(SUM, math.fsum(masses), {"m_each": Given(masses, ("w1", "w2"), "6.1 + 6.4 kg")})


def dry(mass: Finding, water: float) -> Finding:
    return Finding(DRY, mass.value / (1 + water), {"m": mass, "w": Given(water, source="judgement-air-dry")}, (NOTE,))


def test_a_working_as_it_is_written_by_hand() -> None:
    # By hand: 6.1 + 6.4 = 12.5 kg moist; at 3 % that is 12.5 / 1.03 = 12.1359 kg dry.
    first, second = working(dry(moist(6.1, 6.4), 0.03))
    assert (first.name, first.put_in, first.result) == ("mass", "sum([6.1, 6.4])", "12.5")
    assert (second.symbol, second.expression, second.put_in, second.result, second.unit) == (
        "S",
        "m / (1 + w)",
        "12.5 / (1 + 0.03)",
        "12.14",
        "kg",
    )
    assert second.stand_ins == (("w", "judgement-air-dry"),) and first.stand_ins == ()
    assert (first.source, second.source) == ("derivation-dose", "derivation-phases")


def agrees(finding: Finding) -> None:
    for step, line in zip(finding.steps(), working(finding), strict=True):
        # Inputs are printed to six digits, results to four: the printed line must round to the printed result,
        # so that a person with a calculator finds what the page says. One unit of the fourth digit, for ties of rounding.
        ulp = 10.0 ** (math.floor(math.log10(abs(step.value))) - 3) if step.value else 1e-12
        assert abs(evaluate(line.put_in) - float(line.result)) <= 0.51 * ulp + 1e-5 * abs(step.value), line


@examples(st.lists(st.floats(0.01, 500), min_size=1, max_size=5), st.floats(0, 0.5), st.floats(0.01, 0.2))
def test_every_printed_line_gives_its_printed_result(masses: list[float], water: float, share: float) -> None:
    soil = dry(moist(*masses), water)
    stabiliser = dose.stabiliser_mass(soil.value, stabiliser_of_total=share)
    agrees(Finding(dose.STABILISER_MASS, stabiliser, {"S": soil, "p": Given(share)}))


@examples(st.floats(0.05, 5), st.floats(0.05, 0.4))
def test_a_difference_of_printed_masses_is_as_good_as_their_digits(dry_mass: float, water: float) -> None:
    values = {"m_wet": dry_mass * (1 + water), "m_dry": dry_mass, "m_tare": 0.0}
    inputs = {symbol: Given(values[symbol]) for symbol in moisture.WATER_CONTENT.terms}
    line = working(Finding(moisture.WATER_CONTENT, water, inputs))[0]
    # Six digits of each mass: half a unit of the sixth is at most 5e-6 of it, of two masses over the dry one.
    assert evaluate(line.put_in) == pytest.approx(water, abs=5e-6 * (2 + water) * (1 + water))


def test_steps_come_in_order_and_each_once() -> None:
    shared = moist(10.0, 2.0)
    left, right = dry(shared, 0.03), dry(shared, 0.05)
    total = Finding(
        Formula("mass", "T", "kg", "a + b", {"a": Term("mass", "kg"), "b": Term("mass", "kg")}, "derivation-dose"),
        left.value + right.value,
        {"a": left, "b": right},
    )
    assert list(total.steps()) == [shared, left, right, total]
    assert total.entries() == ("w1", "w2")
    assert total.all_notes() == (NOTE,), "one note of two steps is told once"


def test_a_deep_net_of_shared_steps_is_walked_once() -> None:
    double = Formula("mass", "m", "kg", "a + b", {"a": Term("mass", "kg"), "b": Term("mass", "kg")}, "derivation-dose")
    step = moist(1.0)
    for _ in range(60):  # 2**60 paths
        step = Finding(double, 2 * step.value, {"a": step, "b": step})
    assert len(list(step.steps())) == 61
    assert step.entries() == ("w1", "w2")


def test_a_missing_reading_is_withheld_with_what_is_in_the_way() -> None:
    def fails() -> Finding:
        raise InputError("needed", kind="container", field="volume", entry="x")

    result = attempt("loose_density", ("x",), fails)
    assert isinstance(result, Withheld)
    assert (result.name, result.fault.code, result.about) == ("loose_density", "needed", ("x",))
    fine = moist(1.0)
    assert attempt("mass", (), lambda: fine) is fine
    with pytest.raises(ZeroDivisionError):  # a fault of ours is never hidden as somebody's missing reading
        attempt("mass", (), lambda: Finding(SUM, 1 / 0, {}))


def test_a_reading_is_given_as_it_was_typed(desk: Desk, project: str, hand: Callable[[], Hand]) -> None:
    body = {"batch": project, "what": "soil", "mass": {"typed": "6 1/2", "number": 6.5, "unit": "lb"}}
    first = desk.entry("weighing", body, hand(), project=project)
    correction = desk.entry(
        "weighing", {**body, "mass": {"typed": "7,5", "number": 7.5, "unit": "lb"}}, hand(), project=project, replaces=(first.id,)
    )
    desk.keep([first, correction])
    fact = desk.state(project).fact(first.id, "weighing")
    found = given(fact, "mass")
    # The international pound, exactly 0.45359237 kg.
    assert found.value == pytest.approx(7.5 * 0.45359237, rel=1e-15)
    assert (found.entries, found.typed, found.source) == ((correction.id,), "7,5 lb", "")
    with pytest.raises(InputError) as caught:
        given(fact, "tare")
    assert (caught.value.code, caught.value.values["field"]) == ("needed", "tare")


def test_an_amount_in_pails_of_ones_own_is_said_as_typed_and_asked_about(desk, project, hand):
    pail = desk.entry(
        "container", {"name": "pail", "volume": {"typed": "10", "number": 10, "unit": "l"}}, hand(), project=project
    )
    none = {"typed": "0", "number": 0, "unit": f"container:{pail.id}"}
    source = desk.entry("source", {"name": "Dune sand", "amount": none}, hand(), project=project)
    desk.keep([pail, source])
    asked = [each for each in today.questions(desk.state(project)) if each.code == "figure_not_positive"]
    assert [(each.about, each.values["typed"]) for each in asked] == [((source.id,), "0")]
