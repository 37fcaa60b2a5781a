"""One table of bad values for every public function of the bench: the code and the values are read."""

import inspect
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from loamwright.engine.bench import bending, density, dose, hold, marks, moisture, phases, pressing, strength, weigh_out
from loamwright.engine.bench.dose import Dose
from loamwright.engine.bench.weigh_out import SourcePart
from loamwright.errors import InputError

MODULES = (bending, density, dose, hold, marks, moisture, phases, pressing, strength, weigh_out)
NEVER_RAISES = {marks.check_mark}

NAN = float("nan")
START = datetime(2026, 5, 1, 14, 15, tzinfo=UTC)
DENSITIES = {"stabiliser_loose_density": 1440.0, "soil_loose_density": 1250.0}
WATER = {"target_water_content": 0.1, "dry_soil_mass": 9.0, "soil_water_content": 0.04}
MIX = {"total_dry_mass": 10.0, "dry_soil_mass": 9.0, "soil_water_content": 0.04}
MOULD = {"mould_length": 295.0, "mould_width": 140.0}
FACE = {"block_length": 295.0, "block_width": 140.0}
BEAM = {"span": 250.0, "block_width": 140.0, "thickness": 90.0}
LEVER = {"load_arm": 1200.0, "block_arm": 200.0, "lever_mass": 2.8, "lever_centre": 600.0}
BATCH = {
    "soil_water_content": 0.04,
    "stabiliser_of_total": 0.06,
    "target_water_content": 0.1,
    "soil_scale_step": 0.05,
    "scale_step": 0.005,
}
PART = SourcePart("sandy", 5, 28.4, 0.03)


def of(quantity: str, value: object, *limits: float) -> dict[str, object]:
    return {"quantity": quantity, "value": value, **dict(zip(("least", "most"), limits, strict=False))}


Case = tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any], str, dict[str, object]]
CASES: list[Case] = [
    # Doses: a percentage typed as a fraction, a basis nobody knows, a volume without densities.
    (Dose, (6, "of_total_dry_mix"), {}, "out_of_range", of("stabiliser_of_total", 6, 0.0, 0.5)),
    (Dose, (0.51, "of_total_dry_mix"), {}, "out_of_range", of("stabiliser_of_total", 0.51, 0.0, 0.5)),
    (Dose, (8, "of_dry_soil"), {}, "out_of_range", of("stabiliser_per_dry_soil", 8, 0.0, 1.0)),
    (Dose, (0.1, "by_volume_one_to_n"), {}, "out_of_range", of("soil_volumes_per_stabiliser", 0.1, 2.0, 100.0)),
    (Dose, (0.06, "of_wet_mix"), {}, "unknown_basis", {"basis": "of_wet_mix", "known": ", ".join(dose.BASES)}),
    (dose.of_total_from_dry_soil, (8.0,), {}, "out_of_range", of("stabiliser_per_dry_soil", 8.0, 0.0, 1.0)),
    (dose.of_total_from_dry_soil, (-0.1,), {}, "out_of_range", of("stabiliser_per_dry_soil", -0.1, 0.0, 1.0)),
    (dose.per_dry_soil_from_of_total, (6.0,), {}, "out_of_range", of("stabiliser_of_total", 6.0, 0.0, 0.5)),
    (dose.of_total_from_volumes, (1.0,), DENSITIES, "out_of_range", of("soil_volumes_per_stabiliser", 1.0, 2.0, 100.0)),
    (dose.of_total_from_volumes, (10.0,), DENSITIES | {"soil_loose_density": 0.0}, "not_positive", of("soil_loose_density", 0.0)),
    (dose.volumes_from_of_total, (0.0,), DENSITIES, "not_positive", of("stabiliser_of_total", 0.0)),
    (dose.volumes_from_of_total, (6.0,), DENSITIES, "out_of_range", of("stabiliser_of_total", 6.0, 0.0, 0.5)),
    (dose.stabiliser_mass, (0.0,), {"stabiliser_of_total": 0.06}, "not_positive", of("dry_soil_mass", 0.0)),
    (dose.stabiliser_mass, (9.0,), {"stabiliser_of_total": 6.0}, "out_of_range", of("stabiliser_of_total", 6.0, 0.0, 0.5)),
    (dose.total_dry_mass, (9.0,), {"stabiliser_of_total": 6.0}, "out_of_range", of("stabiliser_of_total", 6.0, 0.0, 0.5)),
    (dose.dry_soil_mass, (-1.0,), {"stabiliser_of_total": 0.06}, "not_positive", of("total_dry_mass", -1.0)),
    (dose.dry_soil_mass, (9.0,), {"stabiliser_of_total": 6.0}, "out_of_range", of("stabiliser_of_total", 6.0, 0.0, 0.5)),
    (dose.stabiliser_of_total, (-0.1,), {"dry_soil_mass": 9.0}, "negative", of("stabiliser_mass", -0.1)),
    (dose.stabiliser_of_total, (0.6,), {"dry_soil_mass": 0.0}, "not_positive", of("dry_soil_mass", 0.0)),
    (dose.of_total, (Dose(10, "by_volume_one_to_n"),), {"soil_loose_density": 1250.0}, "densities_needed",
     {"stabiliser_loose_density": None, "soil_loose_density": 1250.0}),
    (dose.in_every_convention, (Dose(10, "by_volume_one_to_n"),), {}, "densities_needed",
     {"stabiliser_loose_density": None, "soil_loose_density": None}),
    (dose.in_every_convention, (Dose(0.06, "of_total_dry_mix"),), DENSITIES | {"soil_loose_density": 0.0}, "not_positive",
     of("soil_loose_density", 0.0)),
    (dose.achieved_dose, (-0.6,), {"dry_soil_mass": 9.0}, "negative", of("stabiliser_mass", -0.6)),
    # Water.
    (moisture.water_content, (0.31,), {"dry_mass": 0.3, "tare_mass": -0.1}, "negative", of("tare_mass", -0.1)),
    (moisture.water_content, (0.31,), {"dry_mass": 0.1, "tare_mass": 0.1}, "dry_not_above_tare",
     {"dry_mass": 0.1, "tare_mass": 0.1}),
    (moisture.water_content, (0.29,), {"dry_mass": 0.3}, "wet_below_dry", {"wet_mass": 0.29, "dry_mass": 0.3}),
    (moisture.dry_mass, (0.0,), {"water_content": 0.04}, "not_positive", of("moist_mass", 0.0)),
    (moisture.dry_mass, (10.0,), {"water_content": 4}, "out_of_range", of("water_content", 4, 0.0, 1.0)),
    (moisture.moist_mass, (10.0,), {"water_content": -0.04}, "out_of_range", of("water_content", -0.04, 0.0, 1.0)),
    (moisture.moist_mass, (-1.0,), {"water_content": 0.04}, "not_positive", of("dry_mass", -1.0)),
    (moisture.water_to_add, (10.0,), WATER | {"target_water_content": 10}, "out_of_range",
     of("target_water_content", 10, 0.0, 0.5)),
    (moisture.water_to_add, (10.0,), WATER | {"soil_water_content": 4}, "out_of_range", of("soil_water_content", 4, 0.0, 1.0)),
    (moisture.water_to_add, (8.0,), WATER, "soil_above_total", {"dry_soil_mass": 9.0, "total_dry_mass": 8.0}),
    (moisture.mix_water_content, (-1.0,), MIX, "negative", of("water_mass", -1.0)),
    (moisture.mix_water_content, (1.0,), MIX | {"dry_soil_mass": 0.0}, "not_positive", of("dry_soil_mass", 0.0)),
    (moisture.water_order, (0.0,), WATER, "not_positive", of("total_dry_mass", 0.0)),
    (moisture.water_volume_to_start, (20.0,), {"water_per_mix_volume": 10}, "out_of_range",
     of("water_per_mix_volume", 10, 0.0, 0.5)),
    (moisture.water_volume_to_start, (0.0,), {"water_per_mix_volume": 0.1}, "not_positive", of("dry_mix_volume", 0.0)),
    (moisture.constant_mass, ([0.3],), {"scale_step": 0.001}, "too_few", {"quantity": "weighings", "count": 1, "least": 2}),
    (moisture.constant_mass, ([0.3, 0.3],), {"scale_step": 0.0}, "not_positive", of("scale_step", 0.0)),
    (moisture.constant_mass, ([0.3, -0.3],), {"scale_step": 0.001}, "not_positive", of("weighings[1]", -0.3)),
    # Phases.
    (phases.dry_density, (0.0,), {"water_content": 0.1}, "not_positive", of("bulk_density", 0.0)),
    (phases.dry_density, (1900.0,), {"water_content": 10}, "out_of_range", of("water_content", 10, 0.0, 1.0)),
    (phases.dry_unit_weight, (-1.0,), {"water_content": 0.1}, "not_positive", of("moist_unit_weight", -1.0)),
    (phases.unit_weight, (0.0,), {}, "not_positive", of("density", 0.0)),
    (phases.density_from_unit_weight, (0.0,), {}, "not_positive", of("unit_weight", 0.0)),
    (phases.void_ratio, (1600.0,), {"specific_gravity": 2650}, "out_of_range", of("specific_gravity", 2650, 1.5, 6.0)),
    (phases.void_ratio, (2700.0,), {"specific_gravity": 2.65}, "denser_than_solids",
     {"dry_density": 2700.0, "solids_density": 2650.0}),
    (phases.porosity, (-0.1,), {}, "negative", of("void_ratio", -0.1)),
    (phases.saturation, (0.1,), {"specific_gravity": 2.65, "void_ratio": 0.0}, "not_positive", of("void_ratio", 0.0)),
    (phases.phases, (3000.0,), {"water_content": 0.0, "specific_gravity": 2.65}, "denser_than_solids",
     {"dry_density": 3000.0, "solids_density": 2650.0}),
    (phases.phase_volumes, (1.0,), {"void_ratio": 0.5, "saturation": 49.1}, "out_of_range", of("saturation", 49.1, 0.0, 1.0)),
    # Pails.
    (density.bulk_density, (1.0,), {"volume": 0.0}, "not_positive", of("volume", 0.0)),
    (density.pail_dry_mass, (0.7,), {"tare_mass": 0.7, "water_content": 0.0}, "filled_not_above_tare",
     {"filled_mass": 0.7, "tare_mass": 0.7}),
    (density.loose_dry_density, (28.0,), {"tare_mass": 0.0, "pail_volume": 20.0, "water_content": 0.0}, "out_of_range",
     of("loose_dry_density", 1.4, 50.0, 3000.0)),
    (density.loose_dry_density, (28.0,), {"tare_mass": 0.0, "pail_volume": 0.0, "water_content": 0.0}, "not_positive",
     of("pail_volume", 0.0)),
    (density.struck_pails, ([],), {"tare_mass": 0.7, "water_content": 0.0}, "too_few",
     {"quantity": "filled_masses", "count": 0, "least": 1}),
    (density.struck_pails, ([29.0],), {"tare_mass": 0.7, "water_content": 3}, "out_of_range", of("water_content", 3, 0.0, 1.0)),
    # Weigh-out.
    (weigh_out.to_scale_step, (1.0,), {"scale_step": 0.0}, "not_positive", of("scale_step", 0.0)),
    (weigh_out.targets_from_moist_soil, (10.0,), BATCH | {"stabiliser_of_total": 6}, "out_of_range",
     of("stabiliser_of_total", 6, 0.0, 0.5)),
    (weigh_out.targets_from_moist_soil, (10.0,), BATCH | {"scale_step": 0.0}, "not_positive", of("scale_step", 0.0)),
    (weigh_out.targets_from_dry_soil, (0.0,), BATCH, "not_positive", of("dry_mass", 0.0)),
    (weigh_out.dose_miss, (0.6,), {"dry_soil_mass": 9.4, "stabiliser_of_total": 0.06, "scale_step": 0.0}, "not_positive",
     of("scale_step", 0.0)),
    (weigh_out.dry_soil_to_add, (0.6,), {"dry_soil_mass": 9.4, "stabiliser_of_total": 0.0}, "not_positive",
     of("stabiliser_of_total", 0.0)),
    (weigh_out.dry_soil_to_add, (0.6,), {"dry_soil_mass": 11.4, "stabiliser_of_total": 0.06}, "not_overdosed",
     {"achieved_of_total": 0.05, "stabiliser_of_total": 0.06}),
    (weigh_out.overdose_remedy, (0.7,), {"dry_soil_mass": 9.4, "stabiliser_of_total": 0.06, "soil_water_content": 4},
     "out_of_range", of("soil_water_content", 4, 0.0, 1.0)),
    (weigh_out.split_by_parts, (1.0,), {"parts": []}, "too_few", {"quantity": "parts", "count": 0, "least": 1}),
    (weigh_out.split_by_parts, (1.0,), {"parts": [PART, PART]}, "same_source_twice", {"sources": "sandy, sandy"}),
    (weigh_out.split_by_parts, (0.0,), {"parts": [PART]}, "not_positive", of("dry_mass", 0.0)),
    # Pressing.
    (pressing.cylinder_area, (0.0,), {}, "not_positive", of("bore", 0.0)),
    (pressing.cylinder_area, (50.0,), {"cylinders": 0}, "not_positive", of("cylinders", 0)),
    (pressing.cylinder_area, (50.0,), {"cylinders": 1.5}, "not_whole", of("cylinders", 1.5)),
    (pressing.cylinder_area, (50.0,), {"rod_diameter": 50.0}, "rod_not_below_bore", {"rod_diameter": 50.0, "bore": 50.0}),
    (pressing.press_force, (-1.0,), {"bore": 50.0}, "negative", of("gauge_pressure", -1.0)),
    (pressing.soil_pressure, (1.0,), MOULD | {"mould_width": 0.0}, "not_positive", of("mould_width", 0.0)),
    (pressing.soil_pressure_from_gauge, (-1.0,), MOULD | {"bore": 50.0}, "negative", of("gauge_pressure", -1.0)),
    (pressing.gauge_for_soil_pressure, (-1.0,), MOULD | {"bore": 50.0}, "negative", of("soil_pressure", -1.0)),
    (pressing.block_volume, (295.0,), {"block_width": 140.0, "block_height": 0.0}, "not_positive", of("block_height", 0.0)),
    (pressing.fill_mass, (1850.0,), {"block_volume": 0.0, "water_content": 0.1}, "not_positive", of("block_volume", 0.0)),
    (pressing.fill_mass, (1850.0,), {"block_volume": 0.0037, "water_content": 10}, "out_of_range",
     of("water_content", 10, 0.0, 1.0)),
    (pressing.green_density, (0.0,), {"block_volume": 0.0037}, "not_positive", of("green_mass", 0.0)),
    (pressing.green_dry_density, (7.5,), {"block_volume": 0.0037, "water_content": 10}, "out_of_range",
     of("water_content", 10, 0.0, 1.0)),
    (pressing.loose_height, (7.5,), MOULD | {"loose_moist_density": 0.0}, "not_positive", of("loose_moist_density", 0.0)),
    (pressing.compression_ratio, (80.0,), {"block_height": 90.0}, "loose_below_pressed",
     {"loose_height": 80.0, "block_height": 90.0}),
    # Bending and strength.
    (bending.bending_strength, (-1.0,), BEAM, "negative", of("force", -1.0)),
    (bending.bending_strength, (1.0,), BEAM | {"thickness": 0.0}, "not_positive", of("thickness", 0.0)),
    (bending.load_to_bend, (0.5,), BEAM | {"span": 0.0}, "not_positive", of("span", 0.0)),
    (bending.bending_notes, (0.0,), {"thickness": 90.0}, "not_positive", of("span", 0.0)),
    (bending.own_weight_load, (0.0,), {"block_length": 300.0, "span": 250.0}, "not_positive", of("block_mass", 0.0)),
    (bending.lever_force, (-1.0,), LEVER, "negative", of("hung_mass", -1.0)),
    (bending.mass_to_hang, (1.0,), LEVER | {"block_arm": 0.0}, "not_positive", of("block_arm", 0.0)),
    (strength.compressive_strength, (NAN,), FACE, "negative", {"quantity": "force"}),
    (strength.compressive_strength, (100.0,), FACE | {"block_length": 0.0}, "not_positive", of("block_length", 0.0)),
    (strength.load_to_crush, (-3.0,), FACE, "negative", of("compressive_strength", -3.0)),
    (strength.jack_force, (10.0,), {"ram_area": 5000.0, "jack_factor": 90}, "out_of_range", of("jack_factor", 90, 0.3, 1.2)),
    (strength.jack_reading, (10.0,), {"ram_area": 0.0}, "not_positive", of("ram_area", 0.0)),
    (strength.mean_of_halves, (2.5,), {"second_half": -1.0}, "negative", of("second_half", -1.0)),
    (strength.bending_to_crushing, (0.5,), {"compressive_strength": 0.0}, "not_positive", of("compressive_strength", 0.0)),
    (strength.ratio_check, (-0.5,), {"compressive_strength": 2.5}, "negative", of("bending_strength", -0.5)),
    (strength.rig_check, (200.0,), {"load_at_brief": 124.0, "rig_margin": 0.5}, "out_of_range",
     of("rig_margin", 0.5, 1.0, 10.0)),
    (strength.rig_check, (0.0,), {"load_at_brief": 124.0}, "not_positive", of("rig_capacity", 0.0)),
    (strength.height_to_thickness, (90.0,), {"thickness": 0.0}, "not_positive", of("thickness", 0.0)),
    # Marks and hold clock.
    (marks.check_digit, ("",), {}, "not_digits", {"value": ""}),
    (marks.check_digit, ("14a",), {}, "not_digits", {"value": "14a"}),
    (marks.make_mark, (0,), {}, "out_of_range", of("counter", 0, 1, 9999)),
    (marks.make_mark, (10000,), {}, "out_of_range", of("counter", 10000, 1, 9999)),
    (hold.minutes_held, (START,), {"at": datetime(2026, 5, 1, 14, 0, tzinfo=UTC)}, "before_start",
     {"stabiliser_in": "2026-05-01T14:15:00+00:00", "at": "2026-05-01T14:00:00+00:00"}),
    (hold.minutes_held, (START,), {"at": datetime(2026, 5, 1, 15, 0)}, "no_offset", of("at", "2026-05-01T15:00:00")),
    (hold.hold_limit_minutes, (86,), {}, "out_of_range", of("air_temperature", 86, -40.0, 60.0)),
    (hold.minutes_left, (-1.0,), {"hold_limit_minutes": 60.0}, "negative", of("minutes_held", -1.0)),
    (hold.hold, (START,), {"at": START, "air_temperature": NAN}, "out_of_range", {"quantity": "air_temperature"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("function", "positional", "named", "code", "values"), CASES, ids=[f"{case[0].__name__}: {case[3]}" for case in CASES]
)
def test_bad_values_are_refused(
    function: Callable[..., Any], positional: tuple[Any, ...], named: dict[str, Any], code: str, values: dict[str, object]
) -> None:
    with pytest.raises(InputError) as caught:
        function(*positional, **named)
    assert caught.value.code == code
    for name, expected in values.items():
        found = caught.value.values[name]
        assert found == (pytest.approx(expected, rel=1e-12) if isinstance(expected, float) else expected), name


def test_one_bad_element_of_an_array_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        dose.stabiliser_mass(np.array([9.0, 9.0]), stabiliser_of_total=np.array([0.06, 6.0]))
    assert (caught.value.code, caught.value.values["quantity"]) == ("out_of_range", "stabiliser_of_total")


def test_every_public_function_is_in_the_table() -> None:
    public = {
        function
        for module in MODULES
        for name, function in vars(module).items()
        if inspect.isfunction(function) and function.__module__ == module.__name__ and not name.startswith("_")
    }
    assert public - {case[0] for case in CASES} == NEVER_RAISES
