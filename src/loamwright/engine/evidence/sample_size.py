"""How many results are needed to see a difference of a wanted size with a wanted chance."""

from dataclasses import dataclass
from math import ceil

from loamwright.engine.evidence.characteristic import normal_quantile, t_quantile
from loamwright.errors import InputError, check_between, check_positive
from loamwright.formula import Formula, Term

ROUNDS_MOST = 50
RESULTS_NEEDED = Formula(
    "number_of_results",
    "n",
    "1",
    "((z_alpha + z_beta) / delta)**2",
    {
        "z_alpha": Term("normal_quantile", "1"),
        "z_beta": Term("normal_quantile", "1"),
        "delta": Term("difference_over_spread", "1"),
    },
    "nist-handbook",
    "7.2.2.2",
)


@dataclass(frozen=True, slots=True)
class Needed:
    """Results needed.

    Attributes
    ----------
    by_normal : float
        With the scatter known, before rounding up. [-]
    first_round : float
        The first round with the scatter estimated from the results, before rounding up. [-]
    results : int
        The number at which the rounds settle. [-]
    """

    by_normal: float
    first_round: float
    results: int


def results_needed(difference_over_spread: float, *, alpha: float = 0.05, power: float = 0.80, sides: int = 1) -> Needed:
    """Results needed to see that a mean differs from a fixed value.

    Parameters
    ----------
    difference_over_spread : float
        Difference to be seen over the standard deviation of single results, above 0. [-]
    alpha : float, optional
        Chance of seeing a difference that is not there, 0.0001 to 0.5. [-]
    power : float, optional
        Chance of seeing one that is there, 0.5 to 0.9999. [-]
    sides : int, optional
        1 where only one direction matters, else 2. [-]

    Returns
    -------
    Needed
        See its fields.

    Raises
    ------
    InputError
        "not_positive", "out_of_range", "unknown_code" for other sides.

    References
    ----------
    [nist-handbook] 7.2.2.2

    Examples
    --------
    >>> needed = results_needed(1.0, alpha=0.05, power=0.90)
    >>> round(needed.by_normal, 2), round(needed.first_round, 1), needed.results
    (8.56, 10.6, 11)
    """
    check_positive(difference_over_spread=difference_over_spread)
    check_between(0.0001, 0.5, alpha=alpha)
    check_between(0.5, 0.9999, power=power)
    if sides not in (1, 2):
        raise InputError("unknown_code", quantity="sides", value=str(sides), known="1, 2")
    tail = 1.0 - alpha / sides
    by_normal = ((normal_quantile(tail) + normal_quantile(power)) / difference_over_spread) ** 2
    rounds = [max(2, ceil(by_normal))]
    first = 0.0
    for _ in range(ROUNDS_MOST):
        n = rounds[-1]
        again = ((t_quantile(n, probability=tail) + t_quantile(n, probability=power)) / difference_over_spread) ** 2
        first = first or again
        following = max(2, ceil(again))
        if following in rounds:  # settled, or two numbers that lead to each other: the greater is enough
            return Needed(by_normal, first, max(following, n))
        rounds.append(following)
    return Needed(by_normal, first, max(rounds[-2:]))
