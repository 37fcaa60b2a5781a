"""Ranking of the mixes that passed: cost, stabiliser, scarce soil, trips, spoiled share; and which strengths are not apart."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, inf
from typing import Literal

from loamwright.engine.choice.gates import Gate
from loamwright.errors import InputError, Note, check_not_negative, check_positive, check_share
from loamwright.formula import Formula, Term

# Loads that are whole by arithmetic are not rounded up for a last binary digit.
WHOLE_MISS = 1e-9

COST_PER_BLOCK = Formula(
    "cost_per_block",
    "c",
    "money",
    "(m_b * ((1 - p) * c_soil + p * c_s) + c_other) / (1 - q)",
    {
        "m_b": Term("dry_block_mass", "kg"),
        "p": Term("stabiliser_of_total", "1"),
        "c_soil": Term("soil_cost", "money/kg"),
        "c_s": Term("stabiliser_cost", "money/kg"),
        "c_other": Term("other_cost", "money"),
        "q": Term("spoiled_share", "1"),
    },
    "derivation-cost",
)
SOIL_COST = Formula(
    "soil_cost",
    "c_soil",
    "money/kg",
    "f_1 * c_1 + f_2 * c_2",
    {
        f"{s}_{i}": Term(name, unit)
        for i in (1, 2)
        for s, name, unit in (("f", "mass_share", "1"), ("c", "source_cost", "money/kg"))
    },
    "derivation-cost",
)
LOADS = Formula("loads", "n", "1", "m / m_load", {"m": Term("mass", "kg"), "m_load": Term("load_mass", "kg")}, "derivation-cost")


@dataclass(frozen=True, slots=True)
class Trips:
    """Loads of a mass and the trips they take.

    Attributes
    ----------
    loads : float
        Mass over load. [-]
    trips : int
        Loads rounded up. [-]
    """

    loads: float
    trips: int


@dataclass(frozen=True, slots=True)
class MixFigures:
    """What the ranking weighs of one mix.

    Attributes
    ----------
    mix : str
        The mix.
    cost_per_block : float or None
        Money per good block; None without prices.
    stabiliser_per_block : float
        Stabiliser in one block. [kg]
    scarce_soil_per_block : float
        Dry mass of the scarce soil in one block; 0 where no soil is scarce. [kg]
    trips : int or None
        Trips for the scarce soil of the whole job; None if not known. [-]
    spoiled_share : float
        Share of blocks lost. [-]
    """

    mix: str
    cost_per_block: float | None
    stabiliser_per_block: float
    scarce_soil_per_block: float
    trips: int | None
    spoiled_share: float

    def __post_init__(self) -> None:
        """Refuse negative figures and a spoiled share of one."""
        if self.cost_per_block is not None:
            check_not_negative(cost_per_block=self.cost_per_block)
        if self.trips is not None:
            check_not_negative(trips=self.trips)
        check_not_negative(stabiliser_per_block=self.stabiliser_per_block, scarce_soil_per_block=self.scarce_soil_per_block)
        check_share(spoiled_share=self.spoiled_share)


@dataclass(frozen=True, slots=True)
class PairVerdict:
    """What the evidence says of the strength of two mixes.

    Attributes
    ----------
    first, second : str
        The two mixes, in any order.
    verdict : "apart", "not_apart" or "one_batch_each"
        "one_batch_each": fewer than two batches of either, so nothing can be said.
    """

    first: str
    second: str
    verdict: Literal["apart", "not_apart", "one_batch_each"]


@dataclass(frozen=True, slots=True)
class RankedMix:
    """One place of the ranking.

    Attributes
    ----------
    place : int
        1 is best; mixes equal in every figure share a place.
    figures : MixFigures
        What it was ranked by.
    decided_by : str or None
        The figure that puts it behind the mix before it; None for the first and for equals.
    not_apart_from : tuple of str
        Other passing mixes whose strength the data cannot tell from this one's.
    """

    place: int
    figures: MixFigures
    decided_by: str | None
    not_apart_from: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ranking:
    """The mixes that may be chosen, best first, and those that may not.

    Attributes
    ----------
    ranked : tuple of RankedMix
        Mixes whose gate passes.
    set_aside : tuple of Gate
        Gates that do not pass, by name of the mix.
    notes : tuple of Note
        "nothing_passes" (climb the ladder of remedies), "cost_not_known", "trips_not_known" (that figure was left out for
        all, because some mix lacks it), "pair_not_compared" for ranked pairs without a verdict.
    """

    ranked: tuple[RankedMix, ...]
    set_aside: tuple[Gate, ...]
    notes: tuple[Note, ...]


def soil_cost(mass_shares: Mapping[str, float], *, source_cost: Mapping[str, float]) -> float:
    """Cost of a kilogram of blended dry soil.

    Parameters
    ----------
    mass_shares : mapping of source to float
        Share of each source in the dry soil; sum one. [-]
    source_cost : mapping of source to float
        Money per kilogram of dry soil, delivered; any one currency. [money/kg]

    Returns
    -------
    float
        Money per kilogram of dry blend. [money/kg]

    Raises
    ------
    InputError
        "source_missing", "negative", "shares_do_not_sum_to_one".

    Notes
    -----
    c = Σ f_i·c_i.

    References
    ----------
    [derivation-cost]

    Examples
    --------
    >>> soil_cost({"sandy": 0.75, "clay": 0.25}, source_cost={"sandy": 0.0, "clay": 28.0})
    7.0
    """
    missing = sorted(set(mass_shares) - set(source_cost))
    if missing:
        raise InputError("source_missing", quantity="source_cost", missing=", ".join(missing))
    for source in mass_shares:
        check_not_negative(mass_shares=mass_shares[source], source_cost=source_cost[source])
    total = sum(mass_shares[source] for source in sorted(mass_shares))
    if not abs(total - 1.0) <= 1e-6:
        raise InputError("shares_do_not_sum_to_one", total=total)
    return sum(mass_shares[source] * source_cost[source] for source in sorted(mass_shares))


def cost_per_block(
    dry_block_mass: float,
    *,
    stabiliser_of_total: float,
    soil_cost: float,
    stabiliser_cost: float,
    other_cost: float = 0.0,
    spoiled_share: float = 0.0,
) -> float:
    """Cost of one good block.

    Parameters
    ----------
    dry_block_mass : float
        Dry mass of one block, stabiliser included. [kg]
    stabiliser_of_total : float
        Dose of the total dry mix. [-]
    soil_cost, stabiliser_cost : float
        Money per kilogram of dry blend and of stabiliser. [money/kg]
    other_cost : float
        Labour, machine, water and cure of one block pressed. [money]
    spoiled_share : float
        Share of pressed blocks lost. [-]

    Returns
    -------
    float
        Money per good block. [money]

    Raises
    ------
    InputError
        "not_positive", "negative", "not_a_share".

    Notes
    -----
    c = (m·[(1 − p)·Σ f_i·c_i + p·c_s] + labour + machine + water + cure) / (1 − reject).

    References
    ----------
    [derivation-cost]

    Examples
    --------
    >>> round(cost_per_block(6.99, stabiliser_of_total=0.06, soil_cost=0.0, stabiliser_cost=340.0), 1)
    142.6
    """
    check_positive(dry_block_mass=dry_block_mass)
    check_share(stabiliser_of_total=stabiliser_of_total, spoiled_share=spoiled_share)
    check_not_negative(soil_cost=soil_cost, stabiliser_cost=stabiliser_cost, other_cost=other_cost)
    material = dry_block_mass * ((1.0 - stabiliser_of_total) * soil_cost + stabiliser_of_total * stabiliser_cost)
    return (material + other_cost) / (1.0 - spoiled_share)


def trips(mass: float, *, load_mass: float) -> Trips:
    """Trips for a mass: loads rounded up.

    Parameters
    ----------
    mass : float
        Mass to haul. [kg]
    load_mass : float
        Mass of one load, on the same moisture. [kg]

    Returns
    -------
    Trips

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [derivation-cost]

    Examples
    --------
    >>> trips(9770.0, load_mass=3360.0).trips
    3
    """
    check_not_negative(mass=mass)
    check_positive(load_mass=load_mass)
    loads = mass / load_mass
    return Trips(loads, ceil(loads - WHOLE_MISS))


def ranking(figures: Sequence[MixFigures], *, gates: Sequence[Gate], pairs: Sequence[PairVerdict] = ()) -> Ranking:
    """Rank the mixes whose gate passes; strength has no say once a mix has passed.

    Parameters
    ----------
    figures : sequence of MixFigures
        One for every mix that has a gate that passes.
    gates : sequence of Gate
        One for every mix.
    pairs : sequence of PairVerdict
        Verdicts on strength between mixes.

    Returns
    -------
    Ranking
        Least cost per block first; then least stabiliser, scarce soil, trips and spoiled share.

    Raises
    ------
    InputError
        "mix_repeats", "mix_without_figures".

    Notes
    -----
    Where some passing mix lacks its cost (or its trips), that figure is left out for all, and noted: a missing price is not
    a price of zero.

    References
    ----------
    [judgement-choice]

    Examples
    --------
    >>> from loamwright.engine.choice.gates import gate
    >>> gates = [gate(mix, outcomes={"mean": "met"}, stop_questions={}) for mix in ("5:2@6", "7:2@8")]
    >>> found = ranking([MixFigures("5:2@6", 143.0, 0.42, 1.58, 3, 0.05), MixFigures("7:2@8", 190.0, 0.56, 1.18, 3, 0.05)],
    ...                 gates=gates, pairs=[PairVerdict("7:2@8", "5:2@6", "not_apart")])
    >>> [place.figures.mix for place in found.ranked], found.ranked[0].not_apart_from, found.ranked[1].decided_by
    (['5:2@6', '7:2@8'], ('7:2@8',), 'cost_per_block')
    """
    _check_mixes(figures, gates)
    passing = {gate.mix for gate in gates if gate.state == "passes"}
    entered = [each for each in figures if each.mix in passing]
    keys, notes = _keys(entered)
    ordered = sorted(entered, key=lambda each: (*_values(each, keys), each.mix))
    set_aside = tuple(sorted((gate for gate in gates if gate.state != "passes"), key=lambda gate: gate.mix))
    if not ordered:
        notes.append(Note("nothing_passes", {"mixes": len(gates)}))
    notes.extend(_not_compared([each.mix for each in ordered], pairs))
    return Ranking(_places(ordered, keys, pairs), set_aside, tuple(notes))


def _check_mixes(figures: Sequence[MixFigures], gates: Sequence[Gate]) -> None:
    for quantity, names in (("figures", [each.mix for each in figures]), ("gates", [gate.mix for gate in gates])):
        repeated = sorted({name for name in names if names.count(name) > 1})
        if repeated:
            raise InputError("mix_repeats", quantity=quantity, mixes=", ".join(repeated))
    missing = sorted({gate.mix for gate in gates if gate.state == "passes"} - {each.mix for each in figures})
    if missing:
        raise InputError("mix_without_figures", mixes=", ".join(missing))


def _keys(entered: Sequence[MixFigures]) -> tuple[list[str], list[Note]]:
    """The figures that every mix has, in ranking order, and a note for each left out."""
    keys = ["cost_per_block", "stabiliser_per_block", "scarce_soil_per_block", "trips", "spoiled_share"]
    notes = []
    for key, code in (("cost_per_block", "cost_not_known"), ("trips", "trips_not_known")):
        lacking = sorted(each.mix for each in entered if getattr(each, key) is None)
        if lacking:
            keys.remove(key)
            notes.append(Note(code, {"mixes": ", ".join(lacking)}))
    return keys, notes


def _values(figures: MixFigures, keys: Sequence[str]) -> tuple[float, ...]:
    return tuple(float(getattr(figures, key)) for key in keys)


def _places(ordered: Sequence[MixFigures], keys: Sequence[str], pairs: Sequence[PairVerdict]) -> tuple[RankedMix, ...]:
    places: list[RankedMix] = []
    before: tuple[float, ...] = (-inf,) * len(keys)
    names = {each.mix for each in ordered}
    for index, figures in enumerate(ordered):
        values = _values(figures, keys)
        differing = next((key for key, old, new in zip(keys, before, values, strict=True) if old != new), None)
        place = index + 1 if differing or not places else places[-1].place
        places.append(RankedMix(place, figures, differing if places else None, _not_apart(figures.mix, names, pairs)))
        before = values
    return tuple(places)


def _not_apart(mix: str, names: set[str], pairs: Sequence[PairVerdict]) -> tuple[str, ...]:
    others = {
        pair.second if pair.first == mix else pair.first
        for pair in pairs
        if mix in (pair.first, pair.second) and pair.verdict != "apart"
    }
    return tuple(sorted(others & names))


def _not_compared(mixes: Sequence[str], pairs: Sequence[PairVerdict]) -> list[Note]:
    known = {frozenset((pair.first, pair.second)) for pair in pairs}
    return [
        Note("pair_not_compared", {"first": first, "second": second})
        for index, first in enumerate(mixes)
        for second in mixes[index + 1 :]
        if frozenset((first, second)) not in known
    ]
