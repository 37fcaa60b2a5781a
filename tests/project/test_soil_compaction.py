"""Water against density of a soil: textbook and open data in, optimum with its forms out; points that cannot be."""

import pytest

from loamwright.engine.soil.compaction import efforts
from loamwright.formula import evaluate
from loamwright.notebook.kinds.soil_compaction_kinds import EFFORTS
from loamwright.project.finding import Finding, Withheld, working
from loamwright.project.soil_tests import SOIL_TESTS

# Open laboratory data (standard effort, 937.4 ml, empty mould 1484.5 g): filled mould, tin wet, tin dry, empty tin, in grams.
TINS = [
    (3325.0, 31.61, 29.712, 1.282),
    (3439.926, 21.557, 20.04, 1.54),
    (3541.0, 39.793, 36.261, 1.0),
    (3583.5, 41.866, 37.619, 0.282),
    (3534.5, 49.359, 43.626, 1.288),
]


@pytest.fixture
def soil(bench):
    return bench.write("source", name="Red clay")


def points(*rows):
    return {f"points-{i}-{name}": text for i, row in enumerate(rows) for name, text in row.items()}


def worked(bench, entry):
    return SOIL_TESTS.worked(bench.state, bench.state.find(entry))


def value(found, name):
    finding = found.finding(name)
    assert isinstance(finding, Finding), name
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-5)
    return finding.value


def codes(notes):
    return [each.code for each in notes]


def given(*pairs):
    return points(*({"water": f"{water} %", "dry_density": f"{density} kg_m3"} for water, density in pairs))


def test_the_efforts_offered_are_those_of_the_table():
    """One list a person taps, one table that is computed with: they may not drift apart."""
    assert {row.key: row["called"] for row in efforts()} == {
        key: label for key, label in EFFORTS.items() if key not in ("press", "other")
    }


def test_a_whole_test_from_masses(bench, soil):
    """Dry densities 1840.5, 1927.9, 1994.1, 2010.5, 1926.1; parabola 10.81 %, 2003.3 kg/m³; grains of 2710 kg/m³."""
    rows = [
        {"filled": f"{filled} g", "wet": f"{wet} g", "dry": f"{dry} g", "tare": f"{tare} g"} for filled, wet, dry, tare in TINS
    ]
    entry = bench.write(
        "compaction",
        source=soil,
        effort="standard_4in",
        mould_mass="1484.5 g",
        mould_volume="937.4 ml",
        grain_density="2710 kg_m3",
        **points(*rows),
    )
    found = worked(bench, entry)
    assert value(found, "optimum_water_content") == pytest.approx(0.1081, abs=0.0001)
    assert value(found, "most_dry_density") == pytest.approx(2003.28, rel=1e-4)
    assert [row[2] for row in found.tables[0].rows] == pytest.approx([1840.53, 1927.92, 1994.09, 2010.48, 1926.09], rel=1e-4)
    assert [row[0] for row in found.tables[1].rows] == [
        "parabola of least squares",
        "cubic of least squares",
        "the densest point itself",
    ]
    # 2.4948 kg x 9.80665 x 0.3048 m x 75 blows / 0.9374 l = 596.6 kJ/m³
    assert value(found, "compaction_effort") == pytest.approx(2.4948 * 9.80665 * 0.3048 * 75 / 937.4e-6 / 1000, rel=1e-4)
    band = found.finding("most_dry_density").band
    assert band.low < 2003 < band.high
    assert found.questions == () and codes(found.says) == ["rammer_curve_says"]


def test_voids_filled_at_the_top_by_hand(bench, soil):
    """Symmetric points: 2000 kg/m³ at 10 %. e = 2650/2000 − 1 = 0.325; 0.10 · 2.65 / 0.325 = 81.5 %."""
    entry = bench.write(
        "compaction", source=soil, effort="standard_4in", grain_density="2650 kg_m3", **given((8, 1900), (10, 2000), (12, 1900))
    )
    found = worked(bench, entry)
    assert value(found, "saturation") == pytest.approx(0.265 / 0.325)
    assert codes(found.finding("optimum_water_content").notes) == ["curve_by_parabola", "curve_few_points"]


def test_a_point_without_air_is_left_out_where_the_grains_were_weighed(bench, soil):
    """At 14 %, grains of 2650 leave 2650/1.371 = 1932.9 without air: 1950 cannot be."""
    rows = given((8, 1900), (10, 1990), (11, 1995), (12, 1940), (14, 1950))
    entry = bench.write("compaction", source=soil, effort="standard_4in", grain_density="2650 kg_m3", **rows)
    found = worked(bench, entry)
    (asked,) = found.questions
    assert (asked.code, asked.grade, asked.values) == ("point_without_air", "impossible", {"points": (5,)})
    assert found.finding("optimum_water_content").notes[0].values == {"points": 4}
    assert found.tables[0].rows[4][4] > 1.0  # the reading is still shown


def test_with_usual_grains_it_is_asked_and_computed_with(bench, soil):
    rows = given((8, 1900), (10, 1990), (11, 1995), (12, 1940), (14, 1950))
    found = worked(bench, bench.write("compaction", source=soil, effort="standard_4in", **rows))
    (asked,) = found.questions
    assert (asked.code, asked.grade) == ("point_without_air_perhaps", "unlikely")
    assert found.finding("optimum_water_content").notes[0].values == {"points": 5}
    assert "grain_density_usual" in codes(found.notes)


def test_a_curve_that_does_not_turn_is_asked_about(bench, soil):
    found = worked(bench, bench.write("compaction", source=soil, effort="bs_light", **given((8, 1800), (10, 1900), (12, 1990))))
    assert [each.code for each in found.questions] == ["no_peak_within"]
    assert isinstance(found.results[0].result, Withheld)
    assert found.finding("compaction_effort") is not None


def test_points_that_cannot_be_spoil_no_other(bench, soil):
    rows = points(
        {"water": "10 %"},
        {"dry_density": "1900 kg_m3"},
        {"water": "10 %", "filled": "1 kg"},
        {"water": "8 %", "dry_density": "1900 kg_m3"},
        {"water": "10 %", "dry_density": "2000 kg_m3"},
        {"water": "12 %", "dry_density": "1900 kg_m3"},
    )
    found = worked(bench, bench.write("compaction", source=soil, effort="bs_light", mould_mass="1.5 kg", **rows))
    assert [(each.code, each.values["row"]) for each in found.questions] == [
        ("point_without_density", 1),
        ("row_without_water", 2),
        ("mould_not_filled", 3),
    ]
    assert value(found, "most_dry_density") == pytest.approx(2000.0)


def test_the_press_as_a_static_curve(bench, soil):
    """100 x 100 mm, 100 mm high, 2.2 kg at 10 %: 2000 kg/m³; 10 MPa on a bore of 100 mm is 78.5 kN, 7.85 MPa on the soil."""
    press = bench.press(bore="100 mm")
    heavy = [("8 %", "2.052 kg"), ("10 %", "2.2 kg"), ("12 %", "2.128 kg")]  # 1900, 2000, 1900 kg/m³ dry
    rows = points(*({"water": water, "filled": mass, "height": "100 mm"} for water, mass in heavy))
    found = worked(bench, bench.write("compaction", source=soil, effort="press", press=press, gauge="10 MPa", **rows))
    assert value(found, "optimum_water_content") == pytest.approx(0.10)
    assert value(found, "most_dry_density") == pytest.approx(2000.0)
    assert value(found, "soil_pressure") == pytest.approx(7.854, abs=0.001)
    assert codes(found.says) == ["press_curve_says"]
    blind = worked(bench, bench.write("compaction", source=soil, effort="press", press=press, **rows))
    assert "press_effort_unknown" in codes(blind.notes)


def test_another_rammer(bench, soil):
    """10 kg, 300 mm, 2 layers of 10 in 1 l: 10 · 9.80665 · 0.3 · 20 / 0.001 = 588.4 kJ/m³."""
    rows = given((8, 1900), (10, 2000), (12, 1900))
    rammer = {"rammer": "10 kg", "drop": "300 mm", "layers": "2", "blows": "10", "mould_volume": "1 l"}
    found = worked(bench, bench.write("compaction", source=soil, effort="other", **rammer, **rows))
    assert value(found, "compaction_effort") == pytest.approx(588.4, abs=0.05)
    unsaid = worked(bench, bench.write("compaction", source=soil, effort="other", **rows))
    assert [each.code for each in unsaid.questions] == ["needed"]
    assert value(unsaid, "most_dry_density") == pytest.approx(2000.0)


def test_stones_put_back(bench, soil):
    """20 % of stones at 2650 in soil of 2000: 1/(0.8/2000 + 0.2/2650) = 2103.2; water 0.8 · 10 + 0.2 · 2 = 8.4 %."""
    rows = given((8, 1900), (10, 2000), (12, 1900))
    entry = bench.write("compaction", source=soil, effort="bs_light", coarse="20 %", coarse_density="2650 kg_m3", **rows)
    found = worked(bench, entry)
    assert value(found, "corrected_density") == pytest.approx(1 / (0.8 / 2000 + 0.2 / 2650), rel=1e-6)
    assert value(found, "corrected_water") == pytest.approx(0.084)
    many = worked(bench, bench.write("compaction", source=soil, effort="bs_light", coarse="45 %", **rows))
    assert "stones_many" in codes(many.notes)


def test_a_report_alone(bench, soil):
    entry = bench.write("compaction", source=soil, effort="en_standard", reported_water="12 %", reported_density="1920 kg_m3")
    found = worked(bench, entry)
    assert value(found, "optimum_water_content") == pytest.approx(0.12)
    assert value(found, "most_dry_density") == pytest.approx(1920.0)
    absurd = worked(bench, bench.write("compaction", source=soil, effort="en_standard", reported_water="1200 %"))
    assert [each.code for each in absurd.questions] == ["out_of_range", "needed"]
