"""Extracts, gypsum's ceiling, furnace, lime series and limits, by hand and against the sources; figures that cannot be."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.soil import chemistry, salt_gates
from loamwright.engine.soil.lime_demand import falls, lime_demand, ph_at_25
from loamwright.errors import InputError

# Standard atomic masses as every table of elements prints them (memory): S, O, Ca, H.
SULFUR, OXYGEN, CALCIUM, HYDROGEN = 32.06, 15.999, 40.078, 1.008
SULFATE = SULFUR + 4 * OXYGEN


def test_salt_of_soil_by_hand() -> None:
    """480 mg/l at 10:1: 0.48 g in a litre, ten litres to a kilogram: 4.8 g/kg = 4,800 mg/kg. 1,300 mg/l at 1:1: 1,300 mg/kg."""
    assert chemistry.salt_of_soil(0.48, water_per_soil=10.0) == pytest.approx(4800e-6)
    assert chemistry.salt_of_soil(1.30, water_per_soil=1.0) == pytest.approx(1300e-6)
    many = chemistry.salt_of_soil(np.array([0.0, 0.48]), water_per_soil=10.0)
    assert many == pytest.approx([0.0, 0.0048])


def test_gypsum_is_the_ceiling_of_a_weak_extract() -> None:
    """Gypsum dissolves to 2.0 to 2.6 g/l: 1:1 shows 1,100 to 1,450 mg/kg at most, below the limits of 3,000 and 8,000."""
    gypsum = CALCIUM + SULFATE + 2 * (2 * HYDROGEN + OXYGEN)
    for solubility, printed in ((2.0, 1100), (2.6, 1450)):
        found = chemistry.gypsum_ceiling(1.0, gypsum_solubility=solubility)
        assert found == pytest.approx(solubility * SULFATE / gypsum / 1000, rel=1e-3)
        assert found * 1e6 == pytest.approx(printed, abs=20)
        assert found < salt_gates.gate("nla-sulfate-low").value
    assert chemistry.gypsum_ceiling(10.0, gypsum_solubility=2.0) > salt_gates.gate("nla-sulfate-high").value


def test_the_forms_of_sulfate_by_molar_mass() -> None:
    trioxide = SULFUR + 3 * OXYGEN
    assert chemistry.sulfate_from_trioxide(0.01) == pytest.approx(0.01 * SULFATE / trioxide, rel=1e-4)
    assert chemistry.total_potential_sulfate(0.01) == pytest.approx(0.01 * SULFATE / SULFUR, rel=1e-4)
    assert chemistry.oxidisable_sulfate(0.006, acid_sulfate=0.002) == pytest.approx(0.004)


def test_loss_on_ignition_by_hand() -> None:
    """20 g dish, 70 g with dry soil, 68.5 g after: 1.5 of 50 g is 3 %."""
    assert chemistry.loss_on_ignition(0.070, ignited_mass=0.0685, tare_mass=0.020) == pytest.approx(0.03)


# --- limits ---


def test_limits_stand_as_their_sources_print_them() -> None:
    """UFC 3-250-11 (2020), 2-1.2 (second-hand); lime practice of 2000 (memory): 3,000, 5,000, 8,000 mg/kg at 10:1."""
    printed = {
        row.key: (row["value"], row["unit"]) for about in ("sulfate", "organic", "soil_ph") for row in salt_gates.rows(about)
    }
    assert printed["ufc-sulfate"] == (0.1, "pct")
    assert printed["ufc-organic"] == (2.0, "pct")
    assert printed["ufc-ph"] == (5.3, "1")
    for key, mg_kg in (("nla-sulfate-low", 3000), ("nla-sulfate-moderate", 5000), ("nla-sulfate-high", 8000)):
        assert salt_gates.gate(key).value * 1e6 == pytest.approx(mg_kg)
    assert [gate.value for gate in salt_gates.gates("soil_cement_ph")] == [12.0, 12.1]


def test_a_value_on_a_limit_is_inside_and_the_strictest_comes_first() -> None:
    found = chemistry.held_against(0.003, gates=salt_gates.gates("sulfate"))
    assert [gate.key for gate in found.failed] == ["ufc-sulfate"]
    assert found.passed[0].key == "nla-sulfate-low"
    least = chemistry.held_against(5.3, gates=salt_gates.gates("soil_ph"))
    assert least.failed == ()


@given(value=st.floats(0.0, 0.9), ratio=st.floats(0.5, 9.99))
def test_a_weak_extract_never_clears_a_soil(value: float, ratio: float) -> None:
    """More may be left than a little water took up: it can fail a soil, and pass it by no limit that belongs to an extract."""
    for row in salt_gates.rows("sulfate"):
        found = salt_gates.stands_against(value, row=row, extract="water", water_per_soil=ratio)
        assert found == ("failed" if value > salt_gates.gate(row.key).value + 1e-12 else found)
        assert found != "passed"


def test_what_each_extract_can_show() -> None:
    total = next(row for row in salt_gates.rows("sulfate") if row["extract"] == "acid")
    low = next(row for row in salt_gates.rows("sulfate") if row["extract"] == "water_10")
    assert salt_gates.stands_against(0.002, row=low, extract="water", water_per_soil=10.0) == "passed"
    assert salt_gates.stands_against(0.002, row=low, extract="water", water_per_soil=10.0, all_dissolved=False) == "not_shown"
    assert salt_gates.stands_against(0.002, row=low, extract="acid") == "passed"
    assert salt_gates.stands_against(0.002, row=total, extract="water", water_per_soil=10.0) == "not_shown"
    assert salt_gates.stands_against(0.002, row=total, extract="acid") == "passed"
    assert salt_gates.stands_against(0.020, row=total, extract="water", water_per_soil=1.0) == "failed"


# --- lime ---


def test_the_least_lime_that_reaches_12_4() -> None:
    """UFC 3-250-11 (2020), 3-2.4, after ASTM D6276: 11.6, 12.2, 12.4, 12.45 at 2, 4, 6, 8 % give 6 %."""
    found = lime_demand([0.08, 0.02, 0.06, 0.04], phs=[12.45, 11.6, 12.4, 12.2])
    assert (found.lime_of_soil, found.enough, found.notes) == (0.06, (0.06, 0.08), ())


def test_two_in_a_row_at_12_3() -> None:
    """D6276 (memory): where the top is 12.3 at two successive limes, the lower of them."""
    found = lime_demand([0.02, 0.04, 0.06, 0.08], phs=[11.9, 12.3, 12.3, 12.3])
    assert found.lime_of_soil == 0.04
    assert [note.code for note in found.notes] == ["lime_by_two_at_12_3"]
    with pytest.raises(InputError, match="lime_not_reached"):
        lime_demand([0.02, 0.04, 0.06], phs=[11.9, 12.2, 12.3])


def test_one_bottle_alone_is_to_be_confirmed() -> None:
    found = lime_demand([0.02, 0.04, 0.06], phs=[11.9, 12.2, 12.4])
    assert [note.code for note in found.notes] == ["lime_confirm"]
    early = lime_demand([0.02, 0.04], phs=[12.4, 12.5])
    assert [note.code for note in early.notes] == ["lime_first_enough"]


def test_ph_is_brought_to_25_degrees() -> None:
    """D6276 (memory): pH25 = pH + 0.03 (t - 25). 12.55 at 20 °C is 12.40, 12.25 at 30 °C as well."""
    assert ph_at_25(12.55, temperature=20.0) == pytest.approx(12.40)
    assert ph_at_25(12.25, temperature=30.0) == pytest.approx(12.40)
    assert lime_demand([0.04], phs=[ph_at_25(12.25, temperature=30.0)]).lime_of_soil == 0.04
    assert ph_at_25(12.4, temperature=25.0) == 12.4


def test_a_bottle_that_falls_back_is_found() -> None:
    assert falls([0.02, 0.04, 0.06], phs=[11.8, 12.4, 12.0], tolerance=0.1) == (0.06,)
    assert falls([0.02, 0.04, 0.06], phs=[11.8, 12.4, 12.35], tolerance=0.1) == ()


@pytest.mark.parametrize(
    ("do", "code"),
    [
        (lambda: chemistry.salt_of_soil(-0.1, water_per_soil=1.0), "negative"),
        (lambda: chemistry.salt_of_soil(math.nan, water_per_soil=1.0), "negative"),
        (lambda: chemistry.salt_of_soil(0.1, water_per_soil=0.0), "not_positive"),
        (lambda: chemistry.salt_of_soil(1300.0, water_per_soil=1.0), "more_salt_than_soil"),
        (lambda: chemistry.gypsum_ceiling(0.0, gypsum_solubility=2.0), "not_positive"),
        (lambda: chemistry.sulfate_from_trioxide(1.5), "out_of_range"),
        (lambda: chemistry.total_potential_sulfate(0.5), "out_of_range"),
        (lambda: chemistry.oxidisable_sulfate(0.002, acid_sulfate=0.006), "sulfate_above_sulfur"),
        (lambda: chemistry.loss_on_ignition(0.070, ignited_mass=0.071, tare_mass=0.020), "ignited_heavier"),
        (lambda: chemistry.loss_on_ignition(0.070, ignited_mass=0.020, tare_mass=0.020), "nothing_in_dish"),
        (lambda: chemistry.held_against(-1.0, gates=salt_gates.gates("soil_ph")), "negative"),
        (lambda: lime_demand([], phs=[]), "too_few_values"),
        (lambda: lime_demand([0.02], phs=[12.0, 12.4]), "lengths_of_bottles"),
        (lambda: lime_demand([0.02, 0.02], phs=[12.0, 12.4]), "lime_twice"),
        (lambda: lime_demand([6.0], phs=[12.4]), "out_of_range"),
        (lambda: lime_demand([0.06], phs=[124.0]), "out_of_range"),
        (lambda: ph_at_25(12.4, temperature=77.0), "out_of_range"),
    ],
)
def test_what_cannot_be_is_said(do, code: str) -> None:
    with pytest.raises(InputError) as caught:
        do()
    assert caught.value.code == code
