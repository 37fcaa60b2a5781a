"""Which test to make next: the one that would narrow the chance of being inside a wanted range most for its cost.

A small number of outcomes is simulated: worlds taken evenly from the draws, each with the reading the test would give there. For
each outcome all worlds are weighed by how well they explain it, and the chance of being inside is worked out anew. The
expected variance of inside-or-not, p (1 − p), is what the test would leave. [model-consistency]
"""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.belief import Belief
from loamwright.engine.soil.coming_tests import ComingTest, coming_tests
from loamwright.errors import InputError

Array = NDArray[np.float64]

WORLDS = 1000
OUTCOMES = 64


@dataclass(frozen=True, slots=True)
class NextTest:
    """What one test would tell of being inside a wanted range.

    Attributes
    ----------
    test, label : str
        Its key, and what to do in words.
    chance : float
        Chance of being inside, as believed now. [-]
    variance : float
        Variance of inside-or-not now, chance × (1 − chance). [-]
    variance_after : float
        What is expected to be left of it. [-]
    cost : float
        Rank of cost: effort, price, days of waiting. [-]
    hours : float
        Until its figure is there. [h]
    """

    test: str
    label: str
    chance: float
    variance: float
    variance_after: float
    cost: float
    hours: float

    @property
    def gain_per_cost(self) -> float:
        """Expected fall of the variance for one of cost. [-]"""
        return (self.variance - self.variance_after) / self.cost


def next_test(belief: Belief, *, property: str, least: float, most: float, done: Collection[str] = ()) -> tuple[NextTest, ...]:
    """Tests that may come next, the most telling for its cost first.

    Parameters
    ----------
    belief : Belief
        What is believed of a source.
    property : str
        Name of the property that is wanted inside a range.
    least, most : float
        The range, in the unit of the property.
    done : collection of str
        Tests already made, by key of data/next_tests.toml; a test is not offered twice, since it would err alike.

    Returns
    -------
    tuple of NextTest
        By falling gain for one of cost, ties in the order of the data file; empty where nothing of the soil is believed.

    Raises
    ------
    InputError
        "property_unknown" where nothing is believed of that property; "range_upside_down" where least is above most.

    Notes
    -----
    1,000 of the 4,000 worlds and 64 outcomes; errors are normal. A test of the soil's own kind is taken to err by itself: what
    it shares with tests already made is known only for a second jar, whose error is wide on that ground.

    References
    ----------
    [model-consistency]

    Examples
    --------
    >>> from loamwright.engine.soil.belief import believe
    >>> from loamwright.engine.soil.observations import Guess
    >>> belief = believe("pit", project="school", guesses=[Guess("e1", "loam")])
    >>> found = next_test(belief, property="clay", least=0.10, most=0.20, done=["guess"])
    >>> found[0].variance_after < found[0].variance
    True
    """
    if property not in belief:
        raise InputError("property_unknown", property=property, known=", ".join(belief.properties))
    if not least <= most:
        raise InputError("range_upside_down", least=least, most=most)
    values = belief[property].values[:: _stride(belief[property].values)]
    inside = ((values >= least) & (values <= most)).astype(np.float64)
    chance = float(inside.mean())
    variance = chance * (1.0 - chance)
    made = frozenset(done)
    found = [
        NextTest(test.key, test.label, chance, variance, _left(belief, test, inside), test.cost, test.hours)
        for test in coming_tests()
        if test.fits(belief.properties, made)
    ]
    return tuple(sorted(found, key=lambda each: -each.gain_per_cost))


def _stride(values: Array) -> int:
    return max(1, len(values) // WORLDS)


def _left(belief: Belief, test: ComingTest, inside: Array) -> float:
    """Expected variance of inside-or-not after a test."""
    misfit = np.zeros((OUTCOMES, len(inside)))
    for number, look in enumerate(test.looks_at):
        draws = look.of(belief.properties)
        shown = draws[:: _stride(draws)] / look.error
        places = np.arange(OUTCOMES) * len(shown) // OUTCOMES
        outcomes = shown[places] + _errors(number)
        misfit += (outcomes[:, None] - shown) ** 2
    weights = np.exp(-0.5 * (misfit - misfit.min(axis=1, keepdims=True)))
    chances = (weights @ inside) / weights.sum(axis=1)
    return float((chances * (1.0 - chances)).mean())


def _errors(number: int) -> Array:
    """Standard normal errors spread evenly over the outcomes, in another order for each property looked at."""
    from scipy.special import ndtri

    steps = (0.6180339887498949, 0.7548776662466927)  # golden ratio and its kin in two dimensions: even without a pattern
    even: Array = ndtri((np.arange(OUTCOMES) * steps[number] + 0.5) % 1.0)
    return even
