"""Bags of stabiliser for a job, and the single figures of the yard's data file."""

from dataclasses import dataclass
from math import ceil

from loamwright import tables
from loamwright.engine.yard.batch import WHOLE_MISS
from loamwright.errors import Note, check_not_negative, check_positive, check_share
from loamwright.formula import Formula, Term

BAGS_NEEDED = Formula(
    "bags_needed",
    "N",
    "1",
    "n * m_b * p / B",
    {
        "n": Term("blocks", "1"),
        "m_b": Term("dry_block_mass", "kg"),
        "p": Term("stabiliser_of_total", "1"),
        "B": Term("bag_mass", "kg"),
    },
    "derivation-yard",
)
BLOCKS_PER_BAG = Formula(
    "blocks_per_bag",
    "n",
    "1",
    "B / (m_b * p)",
    {"B": Term("bag_mass", "kg"), "m_b": Term("dry_block_mass", "kg"), "p": Term("stabiliser_of_total", "1")},
    "derivation-yard",
)


def yard_value(key: str) -> float:
    """One figure of the yard's data file, in engine units.

    >>> yard_value("pail-tolerance")
    0.03
    """
    return tables.figure("yard", key, required=("unit",))


@dataclass(frozen=True, slots=True)
class BagCount:
    """Bags for a number of blocks.

    Attributes
    ----------
    exact : float
        Bags by division. [-]
    bags : int
        Whole bags, rounded up last. [-]
    notes : tuple of Note
        "bag_count_on_edge" (fewer, more) where a hair in the block mass gives another count.
    """

    exact: float
    bags: int
    notes: tuple[Note, ...]


def bags_needed(blocks: int, *, dry_block_mass: float, stabiliser_of_total: float, bag_mass: float) -> BagCount:
    """Whole bags of stabiliser for a number of blocks.

    Mass balance; no standard needed.

    Parameters
    ----------
    blocks : int
        Blocks to make, spares included. [-]
    dry_block_mass : float
        Dry mass of one block, stabiliser included. [kg]
    stabiliser_of_total : float
        Dose of the total dry mix. [-]
    bag_mass : float
        Stabiliser in one bag. [kg]

    Returns
    -------
    BagCount

    Raises
    ------
    InputError
        "negative", "not_positive", "not_a_share".

    Notes
    -----
    N = n·m·p / B, rounded up once, at the end. On the edge if N changes its whole number within 0.1 % (judgement).

    References
    ----------
    [derivation-yard], [judgement-yard]

    Examples
    --------
    >>> count = bags_needed(6200, dry_block_mass=6.99, stabiliser_of_total=0.06, bag_mass=50.0)
    >>> round(count.exact, 2), count.bags, count.notes[0].code
    (52.01, 53, 'bag_count_on_edge')
    """
    check_not_negative(blocks=blocks)
    check_positive(dry_block_mass=dry_block_mass, bag_mass=bag_mass)
    check_share(stabiliser_of_total=stabiliser_of_total)
    exact = blocks * dry_block_mass * stabiliser_of_total / bag_mass
    edge = yard_value("bag-edge")
    fewer, bags, more = (ceil(exact * share - WHOLE_MISS) for share in (1.0 - edge, 1.0, 1.0 + edge))
    on_edge = (Note("bag_count_on_edge", {"exact": exact, "fewer": fewer, "more": more}),) if fewer != more else ()
    return BagCount(exact, bags, on_edge)


def blocks_per_bag(bag_mass: float, *, dry_block_mass: float, stabiliser_of_total: float) -> float:
    """Blocks that one bag of stabiliser serves.

    Parameters
    ----------
    bag_mass : float
        Stabiliser in one bag. [kg]
    dry_block_mass : float
        Dry mass of one block, stabiliser included. [kg]
    stabiliser_of_total : float
        Dose of the total dry mix; above zero. [-]

    Returns
    -------
    float
        Blocks per bag, not rounded. [-]

    Raises
    ------
    InputError
        "not_positive", "not_a_share".

    Notes
    -----
    n = B / (m·p); with r of dry soil, p = r / (1 + r).

    References
    ----------
    [derivation-yard]

    Examples
    --------
    >>> round(blocks_per_bag(50.0, dry_block_mass=8.0, stabiliser_of_total=0.05 / 1.05), 1)
    131.2
    """
    check_positive(bag_mass=bag_mass, dry_block_mass=dry_block_mass, stabiliser_of_total=stabiliser_of_total)
    check_share(stabiliser_of_total=stabiliser_of_total)
    return bag_mass / (dry_block_mass * stabiliser_of_total)
