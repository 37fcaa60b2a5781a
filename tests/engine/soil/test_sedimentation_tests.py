"""Hydrometer and pipette against every row of the tables of ASTM D422 (from memory), and by hand."""

import numpy as np
import pytest

from loamwright.engine.soil import hydrometer
from loamwright.engine.soil import sedimentation_tests as tests
from loamwright.engine.soil.settling import GRAVITY, hydrometer_effective_depth, water_density, water_viscosity
from loamwright.errors import InputError
from loamwright.formula import evaluate

GRAVITIES = (2.45, 2.50, 2.55, 2.60, 2.65, 2.70, 2.75, 2.80, 2.85)
# ASTM D422 table 3 (memory), K in units of 1e-5, two entries corrected: 16 °C, 2.45 is printed 0.0151, which breaks the column
# by far more than a digit, and 28 °C, 2.70 in some printings 0.01255, above its left neighbour's column; physics has 1529, 1225.
K_TABLE = {
    16: (1529, 1505, 1481, 1457, 1435, 1414, 1394, 1374, 1356),
    17: (1511, 1486, 1462, 1439, 1417, 1396, 1376, 1356, 1338),
    18: (1492, 1467, 1443, 1421, 1399, 1378, 1359, 1339, 1321),
    19: (1474, 1449, 1425, 1403, 1382, 1361, 1342, 1323, 1305),
    20: (1456, 1431, 1408, 1386, 1365, 1344, 1325, 1307, 1289),
    21: (1438, 1414, 1391, 1369, 1348, 1328, 1309, 1291, 1273),
    22: (1421, 1397, 1374, 1353, 1332, 1312, 1294, 1276, 1258),
    23: (1404, 1381, 1358, 1337, 1317, 1297, 1279, 1261, 1243),
    24: (1388, 1365, 1342, 1321, 1301, 1282, 1264, 1246, 1229),
    25: (1372, 1349, 1327, 1306, 1286, 1267, 1249, 1232, 1215),
    26: (1357, 1334, 1312, 1291, 1272, 1253, 1235, 1218, 1201),
    27: (1342, 1319, 1297, 1277, 1258, 1239, 1221, 1204, 1188),
    28: (1327, 1304, 1283, 1264, 1244, 1225, 1208, 1191, 1175),
    29: (1312, 1290, 1269, 1249, 1230, 1212, 1195, 1178, 1162),
    30: (1298, 1276, 1256, 1236, 1217, 1199, 1182, 1165, 1149),
}
# The standard's K has 980 cm/s² in it, and the viscosity of older handbooks (1.005 mPa s at 20 °C where today's tables have 1.002).
STANDARD_GRAVITY = 9.80
OLD_VISCOSITY = 1.005
MISPRINTED = (16, 2.45)


@pytest.mark.parametrize("celsius", sorted(K_TABLE))
def test_every_k_of_the_table_against_the_water_of_today(celsius):
    """With the standard's 980 cm/s² every entry lies 0 to 0.28 % above K of today's water, as a recomputation of all 135 found."""
    found = hydrometer.diameter_factor(float(celsius), grain_density=1000.0 * np.array(GRAVITIES))
    above = np.array(K_TABLE[celsius]) * 1e-5 / (found * np.sqrt(GRAVITY / STANDARD_GRAVITY)) - 1.0
    assert above.min() >= 0.0 - 5e-5 and above.max() <= 0.0028


@pytest.mark.parametrize("celsius", sorted(K_TABLE))
def test_every_k_of_a_row_to_its_rounding_with_one_viscosity(celsius):
    """K = sqrt(30 η / (980 (G - G1))), η in poise: the one viscosity that the entry of G 2.65 stands for, known to half a digit of
    it, must give the other eight entries to half a digit of their own."""
    row, water = K_TABLE[celsius], float(water_density(float(celsius))) / 1000.0
    ends = [(row[4] + half) ** 2 * (2.65 - water) for half in (-0.5, 0.5)]
    for gravity, printed in zip(GRAVITIES, row, strict=True):
        low, high = (float(np.sqrt(end / (gravity - water))) for end in ends)
        assert (celsius, gravity) == MISPRINTED or low - 0.5 <= printed <= high + 0.5, gravity


def test_the_viscosity_in_the_table_is_that_of_older_handbooks():
    """K at 20 °C, 2.65: η = K² · 980 (G - G1)/30 = 0.01365² · 980 · 1.6518/30 poise = 1.005 mPa s; today 1.002 (both memory)."""
    eta = 0.01365**2 * 980 * (2.65 - float(water_density(20.0)) / 1000.0) / 30 * 100
    assert eta == pytest.approx(OLD_VISCOSITY, abs=0.001)
    assert float(water_viscosity(20.0)) * 1000 == pytest.approx(1.002, abs=0.0006)


def test_the_printed_misprint_is_far_from_physics():
    """16 °C, G 2.45 printed 0.0151: 1.1 % below; the table is nowhere else more than 0.28 % off."""
    assert hydrometer.diameter_factor(16.0, grain_density=2450.0) > 0.0151 * 1.01


@pytest.mark.parametrize(
    ("gravity", "printed"),
    [
        (2.45, 1.05), (2.55, 1.02), (2.60, 1.01), (2.65, 1.00), (2.70, 0.99),
        (2.75, 0.98), (2.80, 0.97), (2.85, 0.96), (2.90, 0.95), (2.95, 0.94),
    ],
)  # fmt: skip
def test_every_factor_a_of_the_table(gravity, printed):
    # ASTM D422 table 1 (memory), two decimals
    assert hydrometer.hydrometer_correction_factor(1000.0 * gravity) == pytest.approx(printed, abs=0.00501)


def test_the_one_factor_a_that_the_table_has_wrong():
    """G 2.50: 2.50 · 1.65 / (1.50 · 2.65) = 1.0377, which rounds to 1.04; the table prints 1.03."""
    found = hydrometer.hydrometer_correction_factor(2500.0)
    assert found == pytest.approx(2.50 * 1.65 / (1.50 * 2.65), rel=1e-12)
    assert round(found, 2) == 1.04 != 1.03


@pytest.mark.parametrize(
    ("reading", "printed"),
    [(0, 16.3), (5, 15.5), (10, 14.7), (15, 13.8), (20, 13.0), (25, 12.2), (30, 11.4), (35, 10.6), (40, 9.7), (45, 8.9),
     (50, 8.1), (55, 7.3), (60, 6.5)],
)  # fmt: skip
def test_every_depth_of_the_table_of_a_152h(reading, printed):
    # ASTM D422 table 2 (memory), one decimal; at 25 and 35 the straight line gives 12.20 and 10.56
    assert hydrometer.effective_depth_152h(float(reading)) / 10 == pytest.approx(printed, abs=0.0501)


@pytest.mark.parametrize(("reading", "stem_cm"), [(1.000, 10.5), (1.031, 2.3)])
def test_depths_of_a_151h(reading, stem_cm):
    """ASTM D422 table 2 (memory): L1 10.5 cm at 1.000, 2.3 cm at 1.031; L = L1 + 0.5 (14.0 - 67.0/27.8), 5.795 cm more."""
    printed = stem_cm + 0.5 * (14.0 - 67.0 / 27.8)
    assert hydrometer.effective_depth_151h(reading) / 10 == pytest.approx(printed, abs=0.001)


def test_both_straight_lines_follow_from_bulb_and_cylinder():
    """L1 of a 152H: 10.5 cm at 0 g/l and 2.3 cm at 50 g/l."""
    bulb = {"bulb_length": 140.0, "bulb_volume": 67_000.0, "cylinder_area": 2780.0}
    stems = np.array([105.0, 23.0])
    assert hydrometer.effective_depth_of_bulb(stems, **bulb) == pytest.approx(
        hydrometer_effective_depth(np.array([0.0, 50.0])), abs=0.1
    )
    assert hydrometer.effective_depth_of_bulb(stems, **bulb) == pytest.approx(
        hydrometer.effective_depth_151h(np.array([1.0, 1.031])), abs=0.01
    )


def test_the_meniscus_lifts_the_depth():
    assert hydrometer.effective_depth_152h(29.0, meniscus=1.0) == hydrometer.effective_depth_152h(30.0)
    assert hydrometer.effective_depth_151h(1.0195, meniscus=0.0005) == pytest.approx(hydrometer.effective_depth_151h(1.020))


@pytest.mark.parametrize("celsius", [15.0, 18.0, 25.0, 30.0])
def test_temperature_correction_is_that_of_d7928(celsius):
    """ASTM D7928 (memory): r_d = B - 0.01248 T - 0.00795 T² for a 152H, A - 7.784e-6 T - 4.959e-6 T² for a 151H."""
    by_152h = 0.01248 * (celsius - 20.0) + 0.00795 * (celsius**2 - 400.0)
    by_151h = 7.784e-6 * (celsius - 20.0) + 4.959e-6 * (celsius**2 - 400.0)
    found = hydrometer.temperature_correction(
        celsius, reference_temperature=20.0, density_per_unit=hydrometer.DENSITY_PER_UNIT_152H
    )
    assert found == pytest.approx(by_152h, rel=1e-3)
    found = hydrometer.temperature_correction(celsius, reference_temperature=20.0, density_per_unit=float(water_density(20.0)))
    assert found == pytest.approx(by_151h, rel=1e-3)


def test_a_152h_by_hand():
    """R 30 in a blank of 5, 50 g of grains of 2.70: a = 2.70 · 1.65/(1.70 · 2.65) = 0.98890; 0.98890 · 25/50 = 49.4 %."""
    corrected = hydrometer.corrected_reading(30.0, blank_reading=5.0)
    assert tests.finer_by_152h(corrected, grain_density=2700.0, dry_mass=0.050) == pytest.approx(0.49445, abs=5e-6)


def test_a_151h_agrees_with_the_standard_but_for_its_water_of_1000():
    """D422 14.3: P = (100000/W) · G/(G - G1) · (R - G1) in per cent: 2000 · 2.70/(2.70 - 0.9982) · 0.015 = 47.6 %; 0.18 % less here."""
    printed = 100_000 / 50 * 2.70 / (2.70 - 0.99820) * 0.015 / 100
    found = tests.finer_by_151h(0.015, temperature=20.0, grain_density=2700.0, dry_mass=0.050)
    assert found == pytest.approx(printed * 0.9982, rel=2e-5)


def test_both_hydrometers_say_the_same_of_one_suspension():
    """25 g/l of grains of 2.65 raise the density by 25 · 1.65/2.65 = 15.57 kg/m³: 25 on a 152H, 0.015594 on a 151H. The scale of
    a 152H takes water as 1000 kg/m³, so the two differ by (2650 - 1000)/(2650 - 998.2), 0.1 %."""
    rise = 25.0 * 1650.0 / 2650.0
    by_152h = tests.finer_by_152h(25.0, grain_density=2650.0, dry_mass=0.050)
    by_151h = tests.finer_by_151h(rise / float(water_density(20.0)), temperature=20.0, grain_density=2650.0, dry_mass=0.050)
    assert by_152h == pytest.approx(0.5)
    assert by_151h == pytest.approx(0.5, rel=0.0012)


def test_a_pipette_by_hand():
    """0.25 g residue with 0.02 g of dispersant in 20 ml of 500 ml: 0.23 · 25 = 5.75 g of 20 g is 28.75 %."""
    found = tests.finer_by_pipette(0.00025, agent_mass=0.00002, pipette_volume=2e-5, dry_mass=0.020, suspension_volume=5e-4)
    assert found == pytest.approx(0.2875)


def test_suspension_and_fluid_by_hand():
    """(1.026 + 0.0005) · 998.3 = 1024.75; 997.77 + 2.0 = 999.77 kg/m³."""
    assert tests.suspension_density(1.026, meniscus=0.0005, calibration_density=998.3) == pytest.approx(1024.755, abs=1e-3)
    assert tests.fluid_density(997.77, agent_density=2.0) == pytest.approx(999.77)


def test_formulas_say_what_the_kernels_do():
    water, viscosity = float(water_density(22.0)), float(water_viscosity(22.0))
    k = evaluate(hydrometer.DIAMETER_FACTOR.put_in({"mu": viscosity, "rho_s": 2700.0, "rho_w": water, "g": GRAVITY}))
    assert k == pytest.approx(float(hydrometer.diameter_factor(22.0, grain_density=2700.0)), rel=1e-5)
    assert evaluate(hydrometer.SETTLED_DIAMETER.put_in({"K": 0.01365, "z": 114.0, "t": 2.0})) == pytest.approx(0.03259, abs=1e-5)
    assert evaluate(hydrometer.CORRECTION_FACTOR.put_in({"rho_s": 2750.0})) == pytest.approx(0.97844, abs=1e-5)
    assert evaluate(hydrometer.DEPTH_152H.put_in({"R": 29.0, "c_m": 1.0})) == pytest.approx(hydrometer.effective_depth_152h(30.0))
    assert evaluate(hydrometer.DEPTH_151H.put_in({"R": 1.02, "c_m": 0.0})) == pytest.approx(hydrometer.effective_depth_151h(1.02))
    assert evaluate(hydrometer.CORRECTED_READING.put_in({"R": 51.0, "F_T": 2.15, "F_z": 7.0})) == pytest.approx(46.15)
    line = tests.FINER_152H.put_in({"a": 0.97844, "R_c": 46.15, "V": 0.001, "m_dry": 0.05})
    assert evaluate(line) == pytest.approx(0.9031, abs=1e-4)
    values = {"rho_20": water_density(20.0), "R_c": 0.015, "rho_s": 2700.0, "rho_w": water, "V": 0.001, "m_dry": 0.05}
    by_hand = tests.finer_by_151h(0.015, temperature=22.0, grain_density=2700.0, dry_mass=0.05)
    assert evaluate(tests.FINER_151H.put_in(values)) == pytest.approx(by_hand, rel=1e-5)
    values = {"m_r": 0.00025, "m_a": 0.00002, "v": 2e-5, "V": 5e-4, "m_dry": 0.02}
    assert evaluate(tests.FINER_BY_PIPETTE.put_in(values)) == pytest.approx(0.2875)
    values = {"rho_ref": water_density(20.0), "rho_T": water_density(25.0), "u": hydrometer.DENSITY_PER_UNIT_152H}
    found = hydrometer.temperature_correction(25.0, reference_temperature=20.0, density_per_unit=hydrometer.DENSITY_PER_UNIT_152H)
    assert evaluate(hydrometer.TEMPERATURE_CORRECTION.put_in(values)) == pytest.approx(
        found, abs=0.01
    )  # six digits of 998.205 - 997.052


def test_arrays_pass_through():
    readings = np.array([30.0, 20.0])
    corrected = hydrometer.corrected_reading(readings, blank_reading=5.0)
    assert tests.finer_by_152h(corrected, grain_density=2650.0, dry_mass=0.05) == pytest.approx([0.5, 0.3])
    assert tests.finer_by_151h(np.array([0.01, 0.02]), temperature=20.0, grain_density=2650.0, dry_mass=0.05).shape == (2,)
    residues = np.array([0.0002, 0.0001])
    pipette = {"agent_mass": 0.0, "pipette_volume": 2e-5, "dry_mass": 0.02, "suspension_volume": 5e-4}
    assert tests.finer_by_pipette(residues, **pipette) == pytest.approx([0.25, 0.125])


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("out_of_range", lambda: hydrometer.diameter_factor(60.0, grain_density=2650.0)),
        ("grain_does_not_sink", lambda: hydrometer.diameter_factor(20.0, grain_density=900.0)),
        ("grain_does_not_sink", lambda: hydrometer.hydrometer_correction_factor(2.65)),
        ("grain_does_not_sink", lambda: tests.finer_by_151h(0.01, temperature=20.0, grain_density=2.65, dry_mass=0.05)),
        ("out_of_range", lambda: hydrometer.effective_depth_151h(30.0)),
        ("out_of_range", lambda: hydrometer.effective_depth_152h(80.0)),
        ("negative", lambda: hydrometer.effective_depth_152h(30.0, meniscus=-1.0)),
        ("below_blank", lambda: hydrometer.corrected_reading(3.0, blank_reading=5.0)),
        ("more_than_whole", lambda: tests.finer_by_152h(60.0, grain_density=2650.0, dry_mass=0.05)),
        ("not_positive", lambda: tests.finer_by_152h(20.0, grain_density=2650.0, dry_mass=0.0)),
        ("negative", lambda: tests.finer_by_152h(-1.0, grain_density=2650.0, dry_mass=0.05)),
        (
            "residue_below_agent",
            lambda: tests.finer_by_pipette(1e-5, agent_mass=2e-5, pipette_volume=2e-5, dry_mass=0.02, suspension_volume=5e-4),
        ),
        ("not_positive", lambda: tests.suspension_density(0.0, meniscus=0.0, calibration_density=998.2)),
        ("negative", lambda: tests.fluid_density(998.2, agent_density=-1.0)),
        ("not_positive", lambda: hydrometer.temperature_correction(20.0, reference_temperature=20.0, density_per_unit=0.0)),
        (
            "not_positive",
            lambda: hydrometer.effective_depth_of_bulb(105.0, bulb_length=140.0, bulb_volume=67000.0, cylinder_area=0.0),
        ),
    ],
)
def test_what_cannot_be_a_reading(code, call):
    with pytest.raises(InputError) as raised:
        call()
    assert raised.value.code == code
