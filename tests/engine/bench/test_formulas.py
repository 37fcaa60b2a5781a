"""Every Formula of the bench, evaluated from its printed line, against its kernel."""

import inspect
import random
from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from loamwright.engine.bench import bending, density, dose, hold, moisture, phases, pressing, strength, weigh_out
from loamwright.formula import Formula, evaluate

MODULES = (bending, density, dose, hold, moisture, phases, pressing, strength, weigh_out)
RANGES: dict[str, tuple[float, float]] = {
    "bending_strength": (0.05, 2),
    "block_arm": (50, 400),
    "block_height": (60, 99),
    "block_length": (100, 400),
    "block_mass": (1, 20),
    "block_volume": (0.001, 0.02),
    "block_width": (50, 300),
    "bore": (41, 150),
    "bulk_density": (1200, 2400),
    "compressive_strength": (0.5, 10),
    "density": (800, 2400),
    "dry_density": (1000, 1490),
    "dry_mass": (0.2, 0.4),
    "dry_mix_volume": (0.01, 2),
    "dry_soil_mass": (5, 11),
    "fill_mass": (1, 10),
    "filled_mass": (20, 30),
    "first_half": (0.5, 5),
    "force": (0.5, 200),
    "gauge_pressure": (1, 40),
    "green_mass": (1, 12),
    "hold_limit_minutes": (30, 60),
    "hung_mass": (1, 60),
    "jack_factor": (0.5, 1.1),
    "lever_centre": (100, 900),
    "lever_mass": (0, 8),
    "load_arm": (500, 2000),
    "loose_height": (100, 200),
    "loose_moist_density": (900, 1700),
    "mass": (-5, 20),
    "minutes_held": (0, 90),
    "moist_mass": (1, 40),
    "moist_unit_weight": (12, 22),
    "mould_length": (80, 400),
    "mould_width": (80, 300),
    "pail_volume": (0.015, 0.025),
    "ram_area": (500, 12000),
    "rod_diameter": (0, 40),
    "scale_step": (0.001, 0.1),
    "second_half": (0.5, 5),
    "soil_loose_density": (900, 1700),
    "soil_pressure": (0.5, 10),
    "soil_volumes_per_stabiliser": (4, 20),
    "soil_water_content": (0, 0.3),
    "span": (100, 400),
    "specific_gravity": (1.6, 5),
    "stabiliser_loose_density": (400, 1500),
    "stabiliser_mass": (5, 9),
    "stabiliser_of_total": (0.01, 0.3),
    "stabiliser_per_dry_soil": (0.01, 0.4),
    "tare_mass": (0, 0.1),
    "target_water_content": (0.05, 0.2),
    "thickness": (50, 150),
    "total_dry_mass": (20, 30),
    "unit_weight": (10, 24),
    "void_ratio": (0.2, 1.5),
    "volume": (0.001, 1),
    "water_content": (0, 0.3),
    "water_mass": (0, 3),
    "water_per_mix_volume": (0.05, 0.2),
    "wet_mass": (0.5, 0.9),
}
# One order or one remedy at a time: these two branch on their answer.
ONE_AT_A_TIME = {weigh_out.to_scale_step, weigh_out.dry_soil_to_add}


def formulas_of(module: ModuleType) -> list[tuple[str, Formula]]:
    return [(name, value) for name, value in vars(module).items() if isinstance(value, Formula)]


def kernel_of(module: ModuleType, name: str) -> Callable[..., Any]:
    # A Formula constant stands beside the kernel of the same name.
    kernel: Callable[..., Any] = getattr(module, name.lower())
    return kernel


PAIRS = [
    pytest.param(formula, kernel_of(module, name), id=f"{module.__name__.rsplit('.', 1)[-1]}.{name}")
    for module in MODULES
    for name, formula in formulas_of(module)
]


def drawn(formula: Formula, randomly: random.Random) -> dict[str, float]:
    """Inputs by symbol, to five digits so that the printed line holds them exactly."""
    return {
        symbol: float(randomly.randint(1, 4))
        if term.name == "cylinders"
        else float(f"{randomly.uniform(*RANGES[term.name]):.5g}")
        for symbol, term in formula.terms.items()
    }


def called(kernel: Callable[..., Any], named: dict[str, Any]) -> Any:
    first, *rest = inspect.signature(kernel).parameters
    assert set(named) <= {first, *rest}, f"{kernel.__name__} has other names than its formula"
    return kernel(named.pop(first), **named)


@pytest.mark.parametrize(("formula", "kernel"), PAIRS)
def test_formula_says_what_the_kernel_does(formula: Formula, kernel: Callable[..., Any]) -> None:
    randomly = random.Random(7064)
    for _ in range(50):
        values = drawn(formula, randomly)
        computed = called(kernel, {term.name: values[symbol] for symbol, term in formula.terms.items()})
        assert evaluate(formula.put_in(values)) == pytest.approx(computed, rel=1e-11, abs=1e-12)


@pytest.mark.parametrize(("formula", "kernel"), [pair for pair in PAIRS if pair.values[1] not in ONE_AT_A_TIME])
def test_arrays_pass_through(formula: Formula, kernel: Callable[..., Any]) -> None:
    randomly = random.Random(11)
    rows = [drawn(formula, randomly) for _ in range(5)]
    cylinders = rows[0].get("N")
    for row in rows:
        if cylinders is not None:
            row["N"] = cylinders
    arrays = {
        term.name: cylinders if term.name == "cylinders" else np.array([row[symbol] for row in rows])
        for symbol, term in formula.terms.items()
    }
    one_by_one = [called(kernel, {term.name: row[symbol] for symbol, term in formula.terms.items()}) for row in rows]
    np.testing.assert_allclose(called(kernel, arrays), one_by_one, rtol=1e-14)


def test_every_kernel_has_its_formula() -> None:
    """Public functions that return one float and have no Formula are listed here, with the reason."""
    without = {
        f"{module.__name__.rsplit('.', 1)[-1]}.{name}"
        for module in MODULES
        for name, function in vars(module).items()
        if inspect.isfunction(function)
        and function.__module__ == module.__name__
        and not name.startswith("_")
        and function.__annotations__["return"] is float
        and not isinstance(getattr(module, name.upper(), None), Formula)
    }
    # of_total picks between two formulas; a difference of two clock times and a choice of two limits are no formulas.
    assert without == {"dose.of_total", "hold.minutes_held", "hold.hold_limit_minutes"}
