"""Shrinkage: bars of the standard, the long box with its two tables as typed from the job's figures, a textbook pat."""

import pytest

from loamwright.engine.soil.shrinkage import (
    box_shrinkage,
    cement_steps,
    curved_bar_length,
    linear_shrinkage,
    pieces_length,
    plasticity_from_shrinkage,
    shrinkage_limit,
)
from loamwright.errors import InputError


def parts(gap):
    return [step.soil_parts for step in cement_steps(gap)]


@pytest.mark.parametrize(("dry", "share"), [(140.0, 0.0), (133.0, 0.05), (128.8, 0.08), (119.0, 0.15)])
def test_bars_of_140_mm(dry, share):
    """BS 1377-2, 6.5: 1 − L_D / L_0."""
    assert linear_shrinkage(dry, wet_length=140.0) == pytest.approx(share)


def test_any_mould():
    """Tex-107-E: 5 in (127 mm); 114.3 mm is nine tenths of it."""
    assert linear_shrinkage(114.3, wet_length=127.0) == pytest.approx(0.10)


def test_a_curved_and_a_broken_bar():
    assert curved_bar_length(124.0, bottom_length=132.0) == pytest.approx(128.0)
    assert pieces_length([60.0, 40.5, 28.3]) == pytest.approx(128.8)


@pytest.mark.parametrize(("gap", "share"), [(12, 0.02), (15, 0.025), (24, 0.04), (30, 0.05), (45, 0.075), (60, 0.10)])
def test_gap_to_per_cent_of_the_long_box(gap, share):
    """The job: gap over 6 is per cent in a box of 600 mm."""
    assert box_shrinkage(gap, wet_length=600.0) == pytest.approx(share)


def test_cracks_count_with_the_gap():
    assert box_shrinkage(18.0, crack_widths=[4.0, 2.0], wet_length=600.0) == pytest.approx(0.04)


# The hand-press manuals (below 15, 15-30, 30-45, 45-60) and East African practice (below 12, 12-24, 25-39, 40-50), typed anew.
@pytest.mark.parametrize(
    ("gap", "manuals", "practice"),
    [
        (0.0, 18, 18),
        (11.9, 18, 18),
        (13.0, 18, 16),  # the two disagree
        (20.0, 16, 16),
        (24.0, 16, 16),
        (24.5, 16, None),  # a hole
        (25.0, 16, 14),
        (39.5, 14, None),  # a hole
        (44.9, 14, 12),
        (45.0, 12, 12),
        (55.0, 12, None),  # the practice stops at 50
        (61.0, None, None),
    ],
)
def test_both_tables_and_their_silence(gap, manuals, practice):
    assert parts(gap) == [manuals, practice]


def test_cement_by_volume_and_standing():
    """1:16 is 6.25 % of the loose soil; neither table was seen as a document."""
    (manuals, practice) = cement_steps(20.0)
    assert manuals.per_loose_soil == practice.per_loose_soil == pytest.approx(0.0625)
    assert (manuals.standing, practice.standing) == ("memory", "common practice")
    assert (practice.gap_from, practice.gap_to) == (12.0, 24.0)
    assert not cement_steps(61.0)[0].below_most and cement_steps(39.5)[1].below_most


def test_a_textbook_pat():
    """Das and Sobhan, 9th ed., problem 4.10: shrinkage limit 20.35 %; ratio 28/16 = 1.75."""
    found = shrinkage_limit(0.037, dry_mass=0.028, wet_volume=19.3e-6, dry_volume=16.0e-6)
    assert found.shrinkage_limit == pytest.approx(0.2035, abs=0.0001)
    assert found.shrinkage_ratio == pytest.approx(1.75)
    # R (w − w_S) is the same volume change: 1.75 · (0.32143 − 0.20357)
    assert found.volumetric_shrinkage == pytest.approx(1.75 * (9 / 28 - found.shrinkage_limit), rel=1e-12)


def test_index_from_shrinkage():
    """2.13 times (practice after BS 1377): 8 % gives 17 %."""
    assert plasticity_from_shrinkage(0.08) == pytest.approx(0.1704)


@pytest.mark.parametrize(
    ("compute", "code"),
    [
        (lambda: linear_shrinkage(141.0, wet_length=140.0), "bar_longer_than_mould"),
        (lambda: linear_shrinkage(0.0, wet_length=140.0), "not_positive"),
        (lambda: curved_bar_length(-1.0, bottom_length=130.0), "not_positive"),
        (lambda: pieces_length([]), "too_few_values"),
        (lambda: pieces_length([10.0, 0.0]), "not_positive"),
        (lambda: box_shrinkage(-1.0, wet_length=600.0), "negative"),
        (lambda: box_shrinkage(500.0, crack_widths=[100.0], wet_length=600.0), "gap_longer_than_box"),
        (lambda: box_shrinkage(10.0, crack_widths=[-1.0], wet_length=600.0), "negative"),
        (lambda: cement_steps(-1.0), "negative"),
        (lambda: plasticity_from_shrinkage(float("nan")), "negative"),
        (lambda: shrinkage_limit(0.028, dry_mass=0.037, wet_volume=19e-6, dry_volume=16e-6), "wet_below_dry"),
        (lambda: shrinkage_limit(0.037, dry_mass=0.028, wet_volume=16e-6, dry_volume=19e-6), "pat_grew"),
        (lambda: shrinkage_limit(0.030, dry_mass=0.028, wet_volume=25e-6, dry_volume=16e-6), "shrank_more_than_water"),
        (lambda: shrinkage_limit(0.030, dry_mass=0.0, wet_volume=25e-6, dry_volume=16e-6), "not_positive"),
    ],
)
def test_what_cannot_be_is_refused(compute, code):
    with pytest.raises(InputError) as fault:
        compute()
    assert fault.value.code == code
