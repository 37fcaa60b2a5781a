"""Bending: simple-beam case, lever figures worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.engine.bench import bending

INCH, LBF = 25.4, 0.45359237 * 9.80665 / 1000  # mm, kN: exact by definition (NIST Handbook 44)
PSI = 1e3 * LBF / INCH**2
# A 6:1 lever whose own weight lifts 8.4 kg at the block: 2.8 kg x 600 / 200.
RIG = {"load_arm": 1200.0, "block_arm": 200.0, "lever_mass": 2.8, "lever_centre": 600.0}
sizes = st.floats(40.0, 400.0)


def test_simple_beam() -> None:
    # Simple-beam formula 1.5 F L / (b h2) with chosen numbers: 2600 N, 240, 140, 90 mm: 0.825 MPa.
    found = bending.bending_strength(2.6, span=240.0, block_width=140.0, thickness=90.0)
    assert found == pytest.approx(0.825, rel=0.001)


def test_load_that_bends_a_block() -> None:
    # Hand: 2 x 0.5 x 140 x 90^2 / (3 x 250) = 1512 N (154 kg); an 8:1 lever needs about 19 kg, its own effect included.
    force = bending.load_to_bend(0.5, span=250.0, block_width=140.0, thickness=90.0)
    assert 1000 * force == pytest.approx(1512, abs=0.5)
    assert 1000 * force / 9.80665 == pytest.approx(154, abs=0.5)
    hung = bending.mass_to_hang(force, load_arm=800.0, block_arm=100.0, lever_mass=0.0, lever_centre=0.0)
    assert hung == pytest.approx(19, abs=0.5)


def test_load_in_pounds() -> None:
    # Hand: 14 x 10 x 4 in on 10 in, 50 psi: 2 x 50 x 10 x 16 / 30 = 533 lb.
    found = bending.load_to_bend(50 * PSI, span=10 * INCH, block_width=10 * INCH, thickness=4 * INCH)
    assert found / LBF == pytest.approx(533, abs=0.5)


# Hand: 9.81 x (6 m + 8.4) on 300 x 150 x 100, span 250; 0.04 % apart from standard gravity, inside the printed digits.
@pytest.mark.parametrize(
    ("bucket_kg", "newtons", "mpa"),
    [(20.1, 1265, 0.316), (22.4, None, 0.350), (23.0, None, 0.359), (24.6, None, 0.383), (26.3, 1630, 0.408)],
)
def test_lever_rig(bucket_kg: float, newtons: float | None, mpa: float) -> None:
    force = bending.lever_force(bucket_kg, **RIG)
    if newtons is not None:
        assert 1000 * force == pytest.approx(newtons, abs=0.6)
    found = bending.bending_strength(force, span=250.0, block_width=150.0, thickness=100.0)
    assert found == pytest.approx(mpa, abs=0.0006)


def test_own_weight() -> None:
    # Hand: length 300 on span 250 adds 0.4 of the block's weight: 1 - 300 / 500.
    found = bending.own_weight_load(10.0, block_length=300.0, span=250.0)
    assert found == pytest.approx(0.4 * 10.0 * 9.80665 / 1000, rel=1e-12)
    # Textbook: without overhang a spread load bends half as much as the same load at the middle (w L^2/8 against W L/4).
    level = bending.own_weight_load(10.0, block_length=250.0, span=250.0)
    assert level == pytest.approx(0.5 * 10.0 * 9.80665 / 1000, rel=1e-12)


def test_a_stubby_beam_is_noted() -> None:
    assert [note.code for note in bending.bending_notes(250.0, thickness=90.0)] == ["beam_is_stubby"]
    assert bending.bending_notes(270.0, thickness=90.0) == ()


@given(strength=st.floats(0.01, 5.0), span=sizes, width=sizes, thickness=sizes)
def test_load_there_and_back(strength: float, span: float, width: float, thickness: float) -> None:
    beam = {"span": span, "block_width": width, "thickness": thickness}
    assert bending.bending_strength(bending.load_to_bend(strength, **beam), **beam) == pytest.approx(strength, rel=1e-12)


@given(hung=st.floats(0.0, 200.0))
def test_lever_there_and_back(hung: float) -> None:
    assert bending.mass_to_hang(bending.lever_force(hung, **RIG), **RIG) == pytest.approx(hung, rel=1e-9, abs=1e-9)


@given(force=st.floats(0.1, 20.0), span=sizes, width=sizes, thickness=sizes)
def test_against_moment_over_section_modulus(force: float, span: float, width: float, thickness: float) -> None:
    # Statics: M = F L / 4 over W = b t^2 / 6.
    expected = (1000 * force * span / 4) / (width * thickness**2 / 6)
    found = bending.bending_strength(force, span=span, block_width=width, thickness=thickness)
    assert found == pytest.approx(expected, rel=1e-12)
