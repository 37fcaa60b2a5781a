"""Sieve analysis by hand: shares, loss, washing, stones taken off, masses added up; and what is no sieving."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright import tables
from loamwright.engine.soil import sieving
from loamwright.errors import InputError
from loamwright.formula import evaluate


def test_shares_and_loss_by_hand():
    """On 2 mm 100 g, on 0.5 mm 150 g, pan 248 g of 500 g: 400/500 and 250/500 pass; 498 g come off, 2/500 = 0.4 % is lost."""
    found = sieving.sieve_analysis([0.100, 0.150], sieve_sizes=[2.0, 0.5], pan_mass=0.248, start_mass=0.500)
    assert found.passing == pytest.approx([0.8, 0.5])
    assert found.loss == pytest.approx(0.004)
    assert found.total_mass == 0.500
    assert found.notes == ()


def test_what_the_wash_took_counts_as_finest():
    """500 g, 320 g after washing: 180 g of 500, 36 %, is gone with the water. Sieves hold 300 g, the pan 19 g, 1 g of 320 is lost.

    (500 - 300) / 500 = 40 % passes the finest sieve: wash, pan and loss together.
    """
    found = sieving.sieve_analysis([0.100, 0.200], sieve_sizes=[2.0, 0.075], pan_mass=0.019, start_mass=0.500, washed_mass=0.320)
    assert found.washed_out == pytest.approx(0.36)
    assert found.loss == pytest.approx(1 / 320)
    assert found.passing[-1] == pytest.approx(0.40)


def test_sieves_in_any_order_are_one_stack():
    one = sieving.sieve_analysis([0.1, 0.3], sieve_sizes=[2.0, 0.5], pan_mass=0.6)
    other = sieving.sieve_analysis([0.3, 0.1], sieve_sizes=[0.5, 2.0], pan_mass=0.6)
    assert one.passing.tolist() == other.passing.tolist() and one.sizes.tolist() == other.sizes.tolist() == [2.0, 0.5]


def test_without_start_or_pan_it_is_said_that_no_loss_is_known():
    assert sieving.sieve_analysis([0.5], sieve_sizes=[1.0], pan_mass=0.5).notes[0].code == "loss_not_known_no_start"
    without_pan = sieving.sieve_analysis([0.5], sieve_sizes=[1.0], start_mass=1.0)
    assert (without_pan.loss, without_pan.notes[0].code) == (None, "loss_not_known_no_pan")


def test_masses_added_up_by_hand():
    assert sieving.retained_on_each([0.0, 0.0898, 0.4495]).tolist() == pytest.approx([0.0, 0.0898, 0.3597])


def test_stones_by_hand():
    """10 kg with 1 kg of stones: of the rest 50 % is 45 % of the whole. The job: clay of screened soil is clay of whole / (1 - R)."""
    share = sieving.coarse_share(1.0, rest_mass=9.0)
    assert share == pytest.approx(0.10)
    assert sieving.passing_of_whole(0.5, coarse_share=share) == pytest.approx(0.45)
    assert sieving.passing_of_screened(0.18, passing_screen=0.90) == pytest.approx(0.20)


@given(st.lists(st.floats(0.0, 5.0), min_size=2, max_size=9), st.floats(0.01, 5.0))
def test_mass_is_conserved_and_no_curve_rises_to_the_fine_side(masses, pan):
    sizes = [2.0**-place for place in range(len(masses))]
    found = sieving.sieve_analysis(masses, sieve_sizes=sizes, pan_mass=pan)
    assert (np.diff(found.passing) <= 1e-12).all() and (found.passing >= 0).all()
    assert found.passing[-1] == pytest.approx(pan / (sum(masses) + pan), abs=1e-9)


def test_arrays_pass_through_the_plain_kernels():
    stones = np.array([0.0, 0.1, 0.2])
    whole = sieving.passing_of_whole(np.array([0.5, 0.5, 0.5]), coarse_share=stones)
    assert whole == pytest.approx([0.5, 0.45, 0.4])
    assert sieving.passing_of_screened(whole, passing_screen=1.0 - stones) == pytest.approx([0.5] * 3)
    assert sieving.sieving_loss(np.array([1.0, 2.0]), found_mass=np.array([0.99, 2.0])) == pytest.approx([0.01, 0.0])
    assert sieving.coarse_share(np.array([0.0, 1.0]), rest_mass=np.array([1.0, 1.0])) == pytest.approx([0.0, 0.5])


def test_the_loss_the_standard_allows_and_its_sample_masses():
    """ASTM D6913-17 (memory): at most 0.5 %; 75 g for 4.75 mm, 1.3 kg for 19 mm, 70 kg for 76.2 mm by method A."""
    assert tables.figure("grading", "sieving-loss-most") == 0.005
    least = {row["largest_size"]: row["least_mass"] for row in tables.load("sieve_samples")}
    assert (least[4.75], least[19.0], least[76.2], len(least)) == (0.075, 1.3, 70.0, 9)


def test_formulas_say_what_the_kernels_do():
    line = sieving.PASSING.put_in({"m_i": [0.1, 0.15], "m_t": 0.5})
    assert evaluate(line) == pytest.approx(0.5)
    assert evaluate(sieving.SIEVING_LOSS.put_in({"m_on": 0.62, "m_found": 0.617})) == pytest.approx(3 / 620)
    assert evaluate(sieving.WASHED_OUT.put_in({"m_start": 0.5, "m_washed": 0.32})) == pytest.approx(0.36)
    assert evaluate(sieving.COARSE_SHARE.put_in({"m_c": 1.0, "m_r": 9.0})) == pytest.approx(0.1)
    assert evaluate(sieving.PASSING_OF_WHOLE.put_in({"P": 0.376, "R": 0.42})) == pytest.approx(0.21808)
    assert evaluate(sieving.PASSING_OF_SCREENED.put_in({"P": 0.18, "P_screen": 0.9})) == pytest.approx(0.2)
    assert evaluate(sieving.RETAINED_AT_CUT.put_in({"P_cut": 0.58})) == pytest.approx(0.42)
    assert evaluate(sieving.RETAINED_TOTAL.put_in({"m_i": [0.1, 0.15], "m_pan": 0.25})) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("no_values", lambda: sieving.sieve_analysis([], sieve_sizes=[], pan_mass=0.1)),
        ("negative", lambda: sieving.sieve_analysis([-0.1], sieve_sizes=[1.0], pan_mass=0.1)),
        ("negative", lambda: sieving.sieve_analysis([0.1], sieve_sizes=[1.0], pan_mass=-0.1)),
        ("not_positive", lambda: sieving.sieve_analysis([0.1], sieve_sizes=[0.0], pan_mass=0.1)),
        ("not_positive", lambda: sieving.sieve_analysis([0.0], sieve_sizes=[1.0], pan_mass=0.0)),
        ("lengths_of_sieves", lambda: sieving.sieve_analysis([0.1], sieve_sizes=[1.0, 2.0], pan_mass=0.1)),
        ("sieve_twice", lambda: sieving.sieve_analysis([0.1, 0.1], sieve_sizes=[1.0, 1.0], pan_mass=0.1)),
        ("start_mass_missing", lambda: sieving.sieve_analysis([0.1], sieve_sizes=[1.0])),
        ("start_mass_missing", lambda: sieving.sieve_analysis([0.1], sieve_sizes=[1.0], pan_mass=0.1, washed_mass=0.2)),
        (
            "washed_above_start",
            lambda: sieving.sieve_analysis([0.1], sieve_sizes=[1.0], pan_mass=0.1, start_mass=0.2, washed_mass=0.3),
        ),
        ("retained_above_start", lambda: sieving.sieve_analysis([0.3], sieve_sizes=[1.0], start_mass=0.2)),
        ("cumulative_falls", lambda: sieving.retained_on_each([0.2, 0.1])),
        ("not_one_whole", lambda: sieving.passing_from_retained_shares([0.5, 0.4], pan_share=0.2, tolerance=0.01)),
        ("finer_above_screen", lambda: sieving.passing_of_screened(0.95, passing_screen=0.9)),
        ("not_a_share", lambda: sieving.passing_of_whole(0.5, coarse_share=1.0)),
        ("out_of_range", lambda: sieving.passing_of_whole(1.2, coarse_share=0.1)),
        ("not_positive", lambda: sieving.coarse_share(0.1, rest_mass=0.0)),
        ("not_positive", lambda: sieving.sieving_loss(0.0, found_mass=0.1)),
    ],
)
def test_what_is_no_sieving(code, call):
    with pytest.raises(InputError) as raised:
        call()
    assert raised.value.code == code


def test_rounded_shares_are_of_one_whole_and_their_rounding_is_shared_out():
    """33 + 33 + 33 % printed: 99 % within 1 %; a third each."""
    assert sieving.passing_from_retained_shares([0.33, 0.33], pan_share=0.33, tolerance=0.01) == pytest.approx([2 / 3, 1 / 3])
