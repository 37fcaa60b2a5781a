"""Observations of one soil that do not go together: named in pairs, with likely reasons and the test that would settle it.

All jars are one voice; every grading, pair of limits, shrinkage, guess and test by hand is one. The stronger voice of a pair is
fitted alone and foretells what the other should have said; where honest observations lie so far apart in less than one case of
ten, the pair is told. Nothing is thrown away: the belief goes on using both. [model-consistency]
"""

import itertools
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from loamwright import tables
from loamwright.engine.soil.belief import centre_of, guess_classes
from loamwright.engine.soil.coming_tests import ComingTest, Look, coming_tests
from loamwright.engine.soil.fit import SoilFit, fit, squared_distance
from loamwright.engine.soil.jar import JarReading
from loamwright.engine.soil.links import states_of
from loamwright.engine.soil.log_ratios import shares_of
from loamwright.engine.soil.observations import FeelFound, GradingFound, Guess, LimitsFound, ShrinkageFound
from loamwright.engine.soil.priors import feel_grades, setting
from loamwright.errors import Note

Array = NDArray[np.float64]
Family = Literal["jar", "laboratory", "hands"]
Other = GradingFound | LimitsFound | ShrinkageFound | Guess | FeelFound

_ORDER = (GradingFound, LimitsFound, ShrinkageFound, Guess, FeelFound)


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two observations that do not go together.

    Attributes
    ----------
    note : Note
        "jar_against_thread" and its like, "jar_against_jar", "laboratory_against_laboratory", "laboratory_against_hands",
        "hands_against_hands"; values: `clay` and `other_clay` (what either voice alone would say), `index` and `other_index`
        (plasticity index likewise), `says` (what the second one said, in words), `chance` (of honest observations lying so
        far apart).
    keys : tuple of str
        The entries of both voices, sorted.
    reasons : tuple of Note
        Likely reasons, the likeliest first: "reason_glued_clay" and its like.
    settles : str or None
        The cheapest test of data/next_tests.toml expected to tell which is right; None where none would.
    """

    note: Note
    keys: tuple[str, ...]
    reasons: tuple[Note, ...]
    settles: str | None


@dataclass(frozen=True, slots=True)
class _Voice:
    """Observations that speak together: what kind they are, what they say, and the soil they would speak of alone."""

    kind: str
    family: Family
    keys: tuple[str, ...]
    says: str
    found: SoilFit
    given: dict[str, Any] = field(hash=False)
    added: frozenset[str] = frozenset()

    def is_one_of(self, names: Collection[str]) -> bool:
        return self.kind in names or self.family in names

    @property
    def clay(self) -> float:
        return float(shares_of(self.found.centre[:2])[2])

    @property
    def index(self) -> float:
        return float(_states(self.found.centre[None])["plasticity_index"][0])


def contradictions(
    *,
    jars: Sequence[JarReading] = (),
    guesses: Sequence[Guess] = (),
    gradings: Sequence[GradingFound] = (),
    limits: Sequence[LimitsFound] = (),
    shrinkages: Sequence[ShrinkageFound] = (),
    feels: Sequence[FeelFound] = (),
) -> tuple[Contradiction, ...]:
    """Pairs of observations of one soil that contradict, jars first.

    Parameters
    ----------
    jars, guesses, gradings, limits, shrinkages, feels
        Observations as for `believe`; their order is of no matter.

    Returns
    -------
    tuple of Contradiction
        Each pair with reasons and the test that would settle it; empty where all go together.

    Notes
    -----
    A jar whose loose density was not weighed takes the usual one with its wide spread; that of the pails is left out here.

    References
    ----------
    [model-consistency], [jar-practice]

    Examples
    --------
    >>> washed, felt = GradingFound("e1", sand=0.9, clay=0.02), FeelFound("e2", "thread", "to_2mm")
    >>> [each.note.code for each in contradictions(gradings=[washed], feels=[felt])]
    ['laboratory_against_hands']
    """
    usable = sorted((jar for jar in jars if jar.usable), key=lambda jar: jar.key)
    apart = [_jar_voice([jar]) for jar in usable] if len(usable) > 1 else []
    voices = [_jar_voice(usable)] if usable else []
    others: tuple[Other, ...] = (*gradings, *limits, *shrinkages, *guesses, *feels)
    voices += [_voice(each) for each in sorted(others, key=lambda each: (_ORDER.index(type(each)), each.key))]
    pairs = (*itertools.combinations(apart, 2), *itertools.combinations(voices, 2))
    made = frozenset(voice.kind for voice in voices)
    return tuple(told for first, second in pairs if (told := _told(first, second, made)) is not None)


def _jar_voice(jars: Sequence[JarReading]) -> _Voice:
    added = frozenset(jar.added for jar in jars)
    return _Voice("jar", "jar", tuple(jar.key for jar in jars), "", fit(jars), {"jars": tuple(jars)}, added)


def _voice(each: Other) -> _Voice:
    match each:
        case GradingFound():
            kind = "wash" if each.method in ("wash", "sieve") else "hydrometer"
            return _make(kind, "laboratory", each.key, "", gradings=(each,))
        case LimitsFound():
            return _make("limits", "laboratory", each.key, "", consistencies=(each,))
        case ShrinkageFound():
            return _make("shrinkage", "laboratory", each.key, "", consistencies=(each,))
        case Guess():
            return _make("guess", "hands", each.key, guess_classes()[each.soil_class], guesses=(centre_of(each),))
        case FeelFound():
            label = feel_grades()[each.test, each.grade].label
            return _make(each.test, "hands", each.key, label, consistencies=(each,))


def _make(kind: str, family: Family, key: str, says: str, **given: Any) -> _Voice:
    return _Voice(kind, family, (key,), says, fit(**given), given)


def _told(first: _Voice, second: _Voice, made: frozenset[str]) -> Contradiction | None:
    from scipy.special import chdtrc

    distance, figures = squared_distance(first.found, **second.given)
    chance = float(chdtrc(figures, distance))
    if chance > setting("contradiction_chance"):
        return None
    values = {
        "clay": first.clay,
        "other_clay": second.clay,
        "index": first.index,
        "other_index": second.index,
        "says": second.says,
        "chance": chance,
    }
    note = Note(_code(first, second), values)
    keys = tuple(sorted({*first.keys, *second.keys}))
    return Contradiction(note, keys, _reasons(first, second), _settles(first, second, made))


def _code(first: _Voice, second: _Voice) -> str:
    if first.family == "jar":
        return f"jar_against_{second.kind}"
    return f"{first.family}_against_{second.family}"


def _reasons(first: _Voice, second: _Voice) -> tuple[Note, ...]:
    way = "less" if first.clay < second.clay else "more"
    fitting = []
    for row in tables.load("contradictions", required=("first", "second", "way")):
        voices = first.is_one_of(row["first"]) and second.is_one_of(row["second"])
        filled = not first.added or first.added & set(row.get("added", tuple(first.added)))
        if voices and filled and row["way"] in (way, "any"):
            fitting.append(Note(f"reason_{row.key}"))
    return tuple(fitting)


def _settles(first: _Voice, second: _Voice, made: frozenset[str]) -> str | None:
    """The cheapest test, by neither voice nor by hand, that would see the two soils they speak of clearly apart."""
    fitting = [
        test
        for test in coming_tests()
        if test.key not in made
        and not test.by_hand
        and (test.after is None or test.after in made)
        and (test.instead_of is None or test.instead_of not in made)
        and _separation(test, first, second) >= setting("settles_from")
    ]
    return min(fitting, key=lambda test: test.cost).key if fitting else None


def _separation(test: ComingTest, first: _Voice, second: _Voice) -> float:
    """How many spreads of the test lie between what it would show of either voice's soil."""
    both = _states(np.stack([first.found.centre, second.found.centre]))
    return float(np.sqrt(sum(_apart(look, both) ** 2 for look in test.looks_at)))


def _apart(look: Look, both: dict[str, Array]) -> float:
    values = both[look.property]
    one, other = np.log(values) if look.log else values
    return float(one - other) / look.error


def _states(points: Array) -> dict[str, Array]:
    """What a test may look at, of soils given by their log-ratios and logarithms of consistency."""
    shares = shares_of(points[:, :2])
    states = states_of(points[:, 2:])
    return {
        "sand": shares[:, 0],
        "clay": shares[:, 2],
        "plasticity_index": states.plasticity_index,
        "liquid_limit": states.liquid_limit,
        "linear_shrinkage": states.linear_shrinkage,
    }
