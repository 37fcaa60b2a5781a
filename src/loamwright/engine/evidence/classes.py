"""Classes of a rule, such as an erodibility index: the best one that results lie in."""

from collections.abc import Sequence
from dataclasses import dataclass

from loamwright.engine.evidence.acceptance import Criterion, Measured, Outcome, evaluate


@dataclass(frozen=True, slots=True)
class Reached:
    """The class that results lie in.

    Attributes
    ----------
    key : str or None
        Key of the best class that is met; None where none is, or where nothing is shown yet.
    outcomes : tuple of Outcome
        Of every class, in the order given.
    """

    key: str | None
    outcomes: tuple[Outcome, ...]


def class_reached(classes: Sequence[Criterion], values: Sequence[Measured]) -> Reached:
    """The best of several classes that results meet, each by its own limits.

    Parameters
    ----------
    classes : sequence of Criterion
        The best class first.
    values : sequence of Measured
        Everything at hand.

    Returns
    -------
    Reached
        See its fields.

    References
    ----------
    [rule-acceptance]

    Examples
    --------
    >>> first = Criterion("index 1", "erosion_rate", "maximum", "<", 20.0, "spray")
    >>> second = Criterion("index 2", "erosion_rate", "maximum", "between", 20.0, "spray", limit_most=50.0, most_included=False)
    >>> class_reached([first, second], [Measured("erosion_rate", 20.0, "spray")]).key
    'index 2'
    """
    outcomes = tuple(evaluate(each, values) for each in classes)
    return Reached(next((each.criterion.key for each in outcomes if each.state == "met"), None), outcomes)
