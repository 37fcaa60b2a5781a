"""Trial plans: which batch on which day in which order, and what becomes of each of its blocks, from a given seed."""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from loamwright.errors import InputError, check_not_negative, check_positive
from loamwright.formula import Formula, Term

SCHEME = "plan-1"
"""Name of the way bits become an order; a new way gets a new name, so that an old seed keeps its old plan."""

T = TypeVar("T")
_WORDS = 64


def total_formula(count: int) -> Formula:
    """What a plan takes of one thing, from so many kinds of batches: batches of each times what one takes.

    >>> total_formula(2).expression
    'b_1 * x_1 + b_2 * x_2'
    """
    numbers = range(1, count + 1)
    terms = {f"{symbol}_{i}": Term(name, "kg" if symbol == "x" else "1") for i in numbers for symbol, name in _TOTAL_TERMS}
    return Formula("mass", "x", "kg", " + ".join(f"b_{i} * x_{i}" for i in numbers), terms, "derivation-plan")


_TOTAL_TERMS = (("b", "number_of_batches"), ("x", "mass"))
BATCH_DRY_MASS = Formula(
    "total_dry_mass",
    "T",
    "kg",
    "n * m_b * (1 + a)",
    {"n": Term("blocks", "1"), "m_b": Term("dry_block_mass", "kg"), "a": Term("left_in_mixer", "1")},
    "derivation-plan",
)
PRESS_MINUTES = Formula(
    "press_minutes", "t", "min", "n / q", {"n": Term("blocks", "1"), "q": Term("press_rate", "1/min")}, "derivation-yard"
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Blocks of one fate in a batch.

    Attributes
    ----------
    fate : str
        What becomes of them, such as "soaked", "dry" or "spare".
    age : int or None
        Days since pressing at which they are tested; None for a spare. [d]
    count : int
        How many. [-]
    """

    fate: str
    age: int | None
    count: int


@dataclass(frozen=True, slots=True)
class BlockFate:
    """What becomes of one block: its fate, and the age at which it is tested (None for a spare). [d]"""

    fate: str
    age: int | None


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One batch of a plan, made whole by one mixing.

    Attributes
    ----------
    row : int
        Its place in the plan, from 1.
    day : int
        Day of the plan, from 1.
    mix : str
        Which mix, or which open place, it is of.
    fates : tuple of BlockFate
        What becomes of its blocks, in the order they are pressed.
    """

    row: int
    day: int
    mix: str
    fates: tuple[BlockFate, ...]


def _bits(stream: str, seed: str) -> Iterator[int]:
    """Raw 64-bit words of PCG64 seeded with SHA-256 of "scheme|seed|stream"; raw bits are the same in every version."""
    start = int.from_bytes(hashlib.sha256(f"{SCHEME}|{seed}|{stream}".encode()).digest(), "big")
    generator = np.random.PCG64(start)
    while True:
        yield from (int(word) for word in generator.random_raw(_WORDS))


def _below(bits: Iterator[int], count: int) -> int:
    """A whole number from 0 up to below `count`, each as likely: words beyond the last full round are passed over."""
    last = 2**64 - 2**64 % count
    return next(word % count for word in bits if word < last)


def shuffled(items: Sequence[T], *, seed: str, stream: str) -> tuple[T, ...]:
    """The items in an order that seed and stream fix for ever; every order is as likely.

    Fisher and Yates' shuffle on raw bits; no standard needed.

    Parameters
    ----------
    items : sequence
        What is put in order.
    seed : str
        Seed of the plan, any text.
    stream : str
        What is being put in order: each stream is independent of the others.

    Returns
    -------
    tuple
        The same items.

    Raises
    ------
    InputError
        "seed_missing" for an empty seed.

    Notes
    -----
    From the last place down, place i changes with a place drawn from 0 to i.

    References
    ----------
    [pcg-2014], [derivation-plan]

    Examples
    --------
    >>> shuffled("abc", seed="7", stream="day 1") == shuffled("abc", seed="7", stream="day 1")
    True
    >>> sorted(shuffled("abc", seed="7", stream="day 1"))
    ['a', 'b', 'c']
    """
    if not seed.strip():
        raise InputError("seed_missing", seed=seed)
    order = list(items)
    bits = _bits(stream, seed)
    for place in range(len(order) - 1, 0, -1):
        other = _below(bits, place + 1)
        order[place], order[other] = order[other], order[place]
    return tuple(order)


def trial_plan(days: Sequence[Sequence[str]], *, blocks: Mapping[str, Sequence[Wanted]], seed: str) -> tuple[PlanRow, ...]:
    """The batches of every day in random order, and the fate of each block in random order within its batch.

    The batch is the unit: a batch is of one mix, all its blocks are pressed before the next batch is begun.

    Parameters
    ----------
    days : sequence of sequence of str
        Mixes (or open places) made on each day; one batch each time a mix is named.
    blocks : mapping of str to sequence of Wanted
        What a batch of each mix is made for.
    seed : str
        Seed of the plan: the same seed, days and blocks give the same plan for ever.

    Returns
    -------
    tuple of PlanRow
        In the order the batches are made.

    Raises
    ------
    InputError
        "seed_missing"; "source_missing" where a mix has no blocks; "negative" counts; "not_positive" for a batch without blocks.

    Notes
    -----
    The order of a day depends on the seed, the day and its mixes; the fates of a batch on the seed, the day, the mix and its
    number that day. A mix added to a day leaves the fates of the other batches as they are.

    References
    ----------
    [pcg-2014], [derivation-plan]

    Examples
    --------
    >>> wanted = (Wanted("soaked", 28, 3), Wanted("dry", 28, 2), Wanted("spare", None, 1))
    >>> plan = trial_plan([("A", "B"), ("A", "B")], blocks={"A": wanted, "B": wanted}, seed="4 March")
    >>> [row.day for row in plan], sorted(fate.fate for fate in plan[0].fates)
    ([1, 1, 2, 2], ['dry', 'dry', 'soaked', 'soaked', 'soaked', 'spare'])
    """
    rows: list[PlanRow] = []
    for day, mixes in enumerate(days, 1):
        numbered = [(mix, list(mixes)[:place].count(mix)) for place, mix in enumerate(mixes)]
        for mix, number in shuffled(sorted(numbered), seed=seed, stream=f"day {day}"):
            fates = shuffled(_blocks(mix, blocks), seed=seed, stream=f"day {day}|{mix}|{number}")
            rows.append(PlanRow(len(rows) + 1, day, mix, fates))
    return tuple(rows)


def _blocks(mix: str, blocks: Mapping[str, Sequence[Wanted]]) -> list[BlockFate]:
    if mix not in blocks:
        raise InputError("source_missing", quantity="blocks", missing=mix)
    for wanted in blocks[mix]:
        check_not_negative(count=wanted.count)
    fates = [BlockFate(wanted.fate, wanted.age) for wanted in blocks[mix] for _ in range(wanted.count)]
    check_positive(blocks_per_batch=len(fates))
    return fates


def batch_dry_mass(blocks: int, *, dry_block_mass: float, left_in_mixer: float) -> float:
    """Total dry mix for one batch of a plan: its blocks, and what is left in the mixer and on the tools.

    Parameters
    ----------
    blocks : int
        Blocks of the batch, spares included. [-]
    dry_block_mass : float
        Dry mass of one block, stabiliser included. [kg]
    left_in_mixer : float
        What does not become a block, over what does. [-]

    Returns
    -------
    float
        Dry soil and stabiliser together. [kg]

    Raises
    ------
    InputError
        "not_positive", "negative".

    References
    ----------
    [derivation-plan]

    Examples
    --------
    >>> round(batch_dry_mass(54, dry_block_mass=6.87, left_in_mixer=0.0))
    371
    """
    check_positive(blocks=blocks, dry_block_mass=dry_block_mass)
    check_not_negative(left_in_mixer=left_in_mixer)
    return blocks * dry_block_mass * (1 + left_in_mixer)
