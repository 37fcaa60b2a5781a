"""Job reference, calculation: figures worked out by arithmetic in the job's reference, beside the arithmetic itself.

None of them is a measurement. The masses, strengths and clay contents that go in are invented or usual values; what is checked is
that the engine reckons as a person does with a pencil. Figures already checked beside their kernel are not repeated here.
"""

from statistics import NormalDist

import pytest

from loamwright import units
from loamwright.engine.bench.dose import per_dry_soil_from_of_total, stabiliser_mass, total_dry_mass
from loamwright.engine.bench.moisture import mix_water_content
from loamwright.engine.bench.pressing import block_volume, fill_mass
from loamwright.engine.bench.weigh_out import overdose_remedy
from loamwright.engine.blend.parts import blend_property, mass_shares
from loamwright.engine.choice.ranking import trips
from loamwright.engine.evidence.power import ln_difference_shown
from loamwright.engine.evidence.spread import spread
from loamwright.engine.yard.bags import bags_needed, blocks_per_bag

# --- blending: f_i = v_i d_i / sum(v d), clay = sum(f_i clay_i); loose dry densities in kg/l stand for the mass of a pail ---

BLENDS = [
    # 5·1.42 = 7.10, 2·1.12 = 2.24: 76:24; (7.10·9 + 2.24·38) / 9.34 = 15.95 %
    ("sandy 5 : clay 2", {"sandy": (5, 1.42, 9.0), "clay": (2, 1.12, 38.0)}, 16.0),
    # (9.94·9 + 2.24·38) / 12.18 = 14.33; (4.26·9 + 2.24·38) / 6.50 = 18.99
    ("sandy 7 : clay 2", {"sandy": (7, 1.42, 9.0), "clay": (2, 1.12, 38.0)}, 14.3),
    ("sandy 3 : clay 2", {"sandy": (3, 1.42, 9.0), "clay": (2, 1.12, 38.0)}, 19.0),
    # Bulked by a quarter, 1.50 kg/l of sand becomes 1.20: (7.50·8 + 2.20·45) / 9.70 = 16.39; (6.00·8 + 2.20·45) / 8.20 = 17.93
    ("sand as it is", {"sandy": (5, 1.50, 8.0), "clay": (2, 1.10, 45.0)}, 16.4),
    ("sand bulked by 25 %", {"sandy": (5, 1.50 / 1.25, 8.0), "clay": (2, 1.10, 45.0)}, 17.9),
    # In lb/ft3: (3·92·7 + 2·70·41) / 416 = 18.44; (5·92·7 + 2·70·41) / 600 = 14.93
    ("pounds, 3 : 2", {"sandy": (3, 92.0, 7.0), "clay": (2, 70.0, 41.0)}, 18.4),
    ("pounds, 5 : 2", {"sandy": (5, 92.0, 7.0), "clay": (2, 70.0, 41.0)}, 14.9),
    # (2.96·6 + 1.06·42) / 4.02 = 15.49; (1.48·6 + 1.06·42) / 2.54 = 21.02
    ("sandy 2 : marl 1", {"sandy": (2, 1.48, 6.0), "marl": (1, 1.06, 42.0)}, 15.5),
    ("sandy 1 : marl 1", {"sandy": (1, 1.48, 6.0), "marl": (1, 1.06, 42.0)}, 21.0),
    # Three sources, red latosol : river sand : quarry fines. 3:2:1: (3.15·46 + 2.90·3 + 1.60·6) / 7.65 = 21.33
    ("three sources 3:2:1", {"red": (3, 1.05, 46.0), "sand": (2, 1.45, 3.0), "fines": (1, 1.60, 6.0)}, 21.3),
    # 2:2:1: (2.10·46 + 2.90·3 + 1.60·6) / 6.60 = 17.41; 1:1:1: (1.05·46 + 1.45·3 + 1.60·6) / 4.10 = 15.18
    ("three sources 2:2:1", {"red": (2, 1.05, 46.0), "sand": (2, 1.45, 3.0), "fines": (1, 1.60, 6.0)}, 17.4),
    ("three sources 1:1:1", {"red": (1, 1.05, 46.0), "sand": (1, 1.45, 3.0), "fines": (1, 1.60, 6.0)}, 15.2),
    # (8.10·5 + 2.20·44) / 10.30 = 13.33 and (11.34·5 + 2.20·44) / 13.54 = 11.34 for the whole screenings; what passes the screen
    # holds 5 / 0.89 = 5.618 % (2.20 kg of 20.0 kg stay on it): 13.82 and 11.85
    ("screenings 5 : clay 2, whole", {"fines": (5, 1.62, 5.0), "clay": (2, 1.10, 44.0)}, 13.3),
    ("screenings 7 : clay 2, whole", {"fines": (7, 1.62, 5.0), "clay": (2, 1.10, 44.0)}, 11.3),
    ("screenings 5 : clay 2, passing", {"fines": (5, 1.62, 5.0 / (1 - 2.20 / 20.0)), "clay": (2, 1.10, 44.0)}, 13.8),
    ("screenings 7 : clay 2, passing", {"fines": (7, 1.62, 5.0 / (1 - 2.20 / 20.0)), "clay": (2, 1.10, 44.0)}, 11.9),
]


@pytest.mark.parametrize(("blend", "per_cent"), [pytest.param(each, clay, id=name) for name, each, clay in BLENDS])
def test_clay_of_blends(blend: dict[str, tuple[int, float, float]], per_cent: float) -> None:
    """Job reference, calculation, stage "blending" and scenarios 1, 2, 4, 5, 6: printed to one decimal."""
    found = blend_property(
        {source: parts for source, (parts, _, _) in blend.items()},
        pail_dry_mass={source: mass for source, (_, mass, _) in blend.items()},
        source_property={source: clay / 100 for source, (_, _, clay) in blend.items()},
    )
    assert 100 * float(found) == pytest.approx(per_cent, abs=0.0501)


def test_mass_shares_of_five_to_two() -> None:
    """Job reference, calculation: 5 sandy : 2 clay at 1.42 and 1.12 kg/l is 76:24 by mass (7.10 and 2.24 of 9.34)."""
    found = mass_shares({"sandy": 5, "clay": 2}, pail_dry_mass={"sandy": 1.42, "clay": 1.12})
    assert [round(100 * float(found[source])) for source in ("sandy", "clay")] == [76, 24]


@pytest.mark.parametrize(("sand", "points"), [(1.2, -0.9), (0.8, 1.2)], ids=["a fifth over", "a fifth short"])
def test_a_fifth_of_the_sand_moves_the_clay(sand: float, points: float) -> None:
    """Job reference, calculation: (8.52·9 + 2.24·38) / 10.76 = 15.04, (5.68·9 + 2.24·38) / 7.92 = 17.20, against 15.95 %."""

    def clay(sand_mass: float) -> float:
        parts, masses = {"sandy": 5, "clay": 2}, {"sandy": sand_mass, "clay": 1.12}
        return float(blend_property(parts, pail_dry_mass=masses, source_property={"sandy": 0.09, "clay": 0.38}))

    assert 100 * (clay(1.42 * sand) - clay(1.42)) == pytest.approx(points, abs=0.0501)


# --- dose ---


def test_two_people_who_both_say_eight_per_cent() -> None:
    """Job reference, calculation: of 100 kg of dry soil 8 % are 8.00 kg; 8 % of the total are 100 · 0.08 / 0.92 = 8.70 kg."""
    assert stabiliser_mass(100.0, stabiliser_of_total=0.08 / 1.08) == pytest.approx(8.00, abs=0.005)
    assert stabiliser_mass(100.0, stabiliser_of_total=0.08) == pytest.approx(8.70, abs=0.005)


@pytest.mark.parametrize(("per_cent", "error"), [(6, 6), (10, 11)])
def test_mixing_the_conventions_is_an_error_of_r_itself(per_cent: float, error: float) -> None:
    """Job reference, calculation: r / p − 1 = r: 6.38 and 11.1 %, printed 6 and 11."""
    share = per_cent / 100
    assert round(100 * (per_dry_soil_from_of_total(share) / share - 1)) == error


def test_what_a_bag_serves() -> None:
    """Job reference, calculation: at 6 % a 50 kg bag serves 50 / 0.06 = 833 kg in all, 783 kg of soil: too big for most mixers."""
    assert total_dry_mass(783.33, stabiliser_of_total=0.06) == pytest.approx(833, abs=0.5)
    assert stabiliser_mass(783.33, stabiliser_of_total=0.06) == pytest.approx(50.0, abs=0.005)


def test_an_overdose_before_water_is_mended_with_soil() -> None:
    """C (1 − p) / p − S by hand: 0.70 kg in 9.615 kg at 6 % wants 0.70 · 0.94 / 0.06 − 9.615 = 1.352 kg; at 4 % 1.406 kg damp."""
    found = overdose_remedy(0.70, dry_soil_mass=9.615, stabiliser_of_total=0.06, soil_water_content=0.04)
    assert (found.dry_soil_mass, found.moist_soil_mass) == pytest.approx((1.3517, 1.4057), abs=0.0001)


# --- bags, blocks, trips ---


@pytest.mark.parametrize(
    ("bag", "block", "share", "blocks"),
    [
        pytest.param(94.0, 21.0, 0.10, 44, id="94 lb are 10 % of 940 lb, 21 lb a block: 44.8"),
        pytest.param(50.0, 8.0, 1 / 8, 50, id="1:7 and 8 kg are 1 kg a block"),
    ],
)
def test_whole_blocks_of_a_bag(bag: float, block: float, share: float, blocks: int) -> None:
    """Job reference, calculation, stage "scaling": a maker's 100 blocks a bag were 44."""
    assert int(blocks_per_bag(bag, dry_block_mass=block, stabiliser_of_total=share)) == blocks


@pytest.mark.parametrize(
    ("blocks", "block", "share", "bag", "bags"),
    [
        # 2,880 · 21 · 0.10 / 94 = 64.3; 3,000 · 6.62 · 0.08 / 25 = 63.6; 6,200 · 6.99 · 0.08 / 50 = 69.34
        pytest.param(2880, 21.0, 0.10, 94.0, 65, id="2,880 blocks of 21 lb"),
        pytest.param(3000, 6.62, 0.08, 25.0, 64, id="lime, 25 kg bags"),
        pytest.param(6200, 6.99, 0.08, 50.0, 70, id="6,200 blocks at 8 %"),
    ],
)
def test_bags_for_a_wall(blocks: int, block: float, share: float, bag: float, bags: int) -> None:
    """Job reference, calculation, stage "scaling" and scenarios 1 and 4: rounded up last."""
    assert bags_needed(blocks, dry_block_mass=block, stabiliser_of_total=share, bag_mass=bag).bags == bags


@pytest.mark.parametrize(("tonnes", "loads", "whole"), [(7.32, 2.18, 3), (9.77, 2.91, 3), (14.04, 4.18, 5)])
def test_trips_of_three_cubic_metres(tonnes: float, loads: float, whole: int) -> None:
    """Job reference, calculation, scenario 1: 3 m³ at 1.12 kg/l are 3.36 t; 7.3, 9.8 and 14.0 t are 3, 3 and 5 trips."""
    found = trips(1000 * tonnes, load_mass=3 * 1120.0)
    assert found.loads == pytest.approx(loads, abs=0.005)
    assert found.trips == whole


def test_a_point_of_stabiliser_and_a_day_of_blocks() -> None:
    """Job reference, calculation: 6,200 · 6.99 · 0.01 = 433 kg; 600 · 6.99 · 0.06 = 252 kg, told as about 430 and about 250."""
    point = bags_needed(6200, dry_block_mass=6.99, stabiliser_of_total=0.01, bag_mass=1.0)
    day = bags_needed(600, dry_block_mass=6.99, stabiliser_of_total=0.06, bag_mass=1.0)
    assert (point.exact, day.exact) == pytest.approx((433.4, 251.6), abs=0.05)


# --- blocks and trials ---


def test_soil_of_a_trial_with_small_blocks() -> None:
    """Job reference, calculation: 54 blocks of 100 × 100 × 60 mm at 1,850 kg/m³ are 54 · 1.11 = 59.9 kg, told as 60."""
    small = block_volume(100.0, block_width=100.0, block_height=60.0)
    assert 54 * fill_mass(1850.0, block_volume=small, water_content=0.0) == pytest.approx(60, abs=0.5)


def test_a_block_dry_and_green() -> None:
    """Job reference, calculation: 295 × 140 × 90 mm = 3.717 l; times 1.85 = 6.88 kg dry, 7.56 kg with 10 % of water."""
    volume = block_volume(295.0, block_width=140.0, block_height=90.0)
    assert 1000 * volume == pytest.approx(3.717, abs=0.0005)
    assert fill_mass(1850.0, block_volume=volume, water_content=0.0) == pytest.approx(6.88, abs=0.005)
    # 6.876 · 1.10 = 7.564
    assert fill_mass(1850.0, block_volume=volume, water_content=0.10) == pytest.approx(7.56, abs=0.005)


def test_blocks_of_one_mixing_share_its_errors() -> None:
    """Job reference, calculation: 8 % within, 8 % between, five blocks: √(2 (0.08² + 0.08²/5)) = 12.4 %, not √(2 · 0.08²/5) = 5.1 %.

    A plan of B batches divides the first by √B; the factor at 80 % is z(0.95) + z(0.80) = 2.486.
    """
    factor = NormalDist().inv_cdf(0.95) + NormalDist().inv_cdf(0.80)
    assert factor == pytest.approx(2.486, abs=0.0005)
    shared = ln_difference_shown(2, blocks_per_batch=5, batch_spread=0.08, block_spread=0.08) / factor * 2**0.5
    alone = ln_difference_shown(2, blocks_per_batch=5, batch_spread=0.0, block_spread=0.08) / factor * 2**0.5
    assert (100 * shared, 100 * alone) == pytest.approx((12.4, 5.1), abs=0.05)


def test_water_of_a_failed_lot() -> None:
    """Job reference, calculation, scenario 7: 37 and 39 l on 558 kg of soil at 4 % and a 42.5 kg bag, 600.5 kg in all.

    (37 + 22.3) / 600.5 = 9.9 %, (39 + 22.3) / 600.5 = 10.2 %.
    """
    found = [mix_water_content(kg, total_dry_mass=600.5, dry_soil_mass=558.0, soil_water_content=0.04) for kg in (37.0, 39.0)]
    assert [round(100 * each, 1) for each in found] == [9.9, 10.2]


@pytest.mark.parametrize(
    ("values", "mean", "variation"),
    [
        # scenario 1, 5:2 at 6 % and 7:2 at 8 %: deviations −0.3 −0.1 0 0.1 0.3 (s² = 0.20/4) and the same about 2.70
        ((2.5, 2.7, 2.8, 2.9, 3.1), 2.80, 8),
        ((2.4, 2.6, 2.7, 2.8, 3.0), 2.70, 8),
        # scenario 7, the failed lot: sum 8.7
        ((1.3, 1.6, 1.8, 1.9, 2.1), 1.74, None),
        # scenario 10: sum 6.5; squares of −0.4 −0.1 0 0.1 0.4 are 0.34, s = √(0.34/4) = 0.2915, 22.4 % of 1.3
        ((0.9, 1.2, 1.3, 1.4, 1.7), 1.30, 22),
        # scenario 6: 26.0 / 5, 754 psi
        ((4.7, 5.0, 5.2, 5.4, 5.7), 5.20, None),
    ],
)
def test_mean_and_scatter_of_lots(values: tuple[float, ...], mean: float, variation: int | None) -> None:
    """Job reference, calculation, scenarios 1, 6, 7 and 10."""
    found = spread(values)
    assert found.mean == pytest.approx(mean, abs=1e-9)
    if variation is not None:
        assert found.coefficient_of_variation is not None
        assert round(100 * found.coefficient_of_variation) == variation


def test_five_point_two_megapascals_in_psi() -> None:
    """Job reference, calculation, scenario 6: 5.2 MPa = 754 psi (1 psi = 6.894757 kPa)."""
    assert round(units.unit("psi").from_engine(5.2)) == 754
