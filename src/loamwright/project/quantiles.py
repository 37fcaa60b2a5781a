"""Figures out of draws, with a working that a person can check: which ordered draws, how many in all, which quantile."""

import numpy as np
from numpy.typing import NDArray

from loamwright.errors import Note, check_between, check_positive
from loamwright.formula import Formula, Term
from loamwright.project.finding import Band, Finding, Given

Array = NDArray[np.float64]
LOW, MIDDLE, HIGH = 0.05, 0.50, 0.95


def middle_of(
    draws: Array, *, name: str, unit: str = "1", entries: tuple[str, ...] = (), notes: tuple[Note, ...] = ()
) -> Finding:
    """The median of draws with the range that holds 90 % of them.

    The quantile is linear between two ordered draws, so the printed line gives the value again.

    >>> found = middle_of(np.array([0.1, 0.2, 0.3, 0.4]), name="clay")
    >>> round(found.value, 6), found.formula.expression
    (0.25, 'x_2 + 0.5 * (x_3 - x_2)')
    """
    low, high = (float(each) for each in np.quantile(draws, (LOW, HIGH)))
    found = quantile_of(draws, MIDDLE, name=name, unit=unit, entries=entries)
    stated = Note("of_draws", {"draws": len(draws), "readings": len(entries)})
    return Finding(found.formula, found.value, found.inputs, (stated, *notes), Band(low, high))


def quantile_of(draws: Array, probability: float, *, name: str, unit: str = "1", entries: tuple[str, ...] = ()) -> Finding:
    """One quantile of draws, as a step between two draws of the ordered list (the first is number 1).

    Raises
    ------
    InputError
        If there are no draws, or the probability is not from 0 to 1.
    """
    count = len(draws)
    check_positive(draws=count)
    check_between(0.0, 1.0, probability=probability)
    place = (count - 1) * probability
    below = min(int(place), count - 1)
    above = min(below + 1, count - 1)
    ordered = np.partition(draws, (below, above))
    step = place - below
    lower, upper = f"x_{below + 1}", f"x_{above + 1}"
    inputs = {lower: Given(float(ordered[below]), entries)}
    terms = {lower: Term(f"draw_{below + 1}_of_{count}", unit)}
    expression = lower
    if above != below:
        inputs[upper] = Given(float(ordered[above]), entries)
        terms[upper] = Term(f"draw_{above + 1}_of_{count}", unit)
        expression = f"{lower} + {step:.6g} * ({upper} - {lower})"
    percent = f"{100 * probability:.6g}"
    formula = Formula(
        f"{name}_quantile_{percent}_of_{count}_draws",
        f"{name}_{percent}",
        unit,
        expression,
        terms,
        "derivation-quantiles",
        f"{percent} % of {count} draws in order of size",
    )
    value = float(ordered[below] + step * (ordered[above] - ordered[below]))
    return Finding(formula, value, inputs)
