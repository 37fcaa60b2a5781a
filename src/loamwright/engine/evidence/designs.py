"""Optimal plans: which of many possible batches tell a model best, by exchange of points from a given seed."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loamwright.engine.evidence.plans import shuffled
from loamwright.engine.evidence.spread import Floats
from loamwright.errors import InputError, check_between

Criterion = Literal["D", "I"]
STARTS = 8
"""Beginnings tried, each from another draw of the seed; the best end is taken."""
RIDGE = 1e-9
"""Added to the information of a beginning that cannot tell the coefficients apart, so that the first exchanges can be judged."""
BETTER = 1e-9
"""An exchange must better the criterion by more than this share, so that the search ends."""


@dataclass(frozen=True, slots=True)
class Design:
    """A plan of batches.

    Attributes
    ----------
    points : tuple of int
        Rows of the candidates, one a batch, in rising order; a row may repeat.
    d_efficiency : float
        |X'X / n| to the power 1/k, with the columns as given: to compare plans of one model, not models. [-]
    mean_variance : float
        Mean variance of the fitted value over all candidates, in the variance of one batch. [-]
    """

    points: tuple[int, ...]
    d_efficiency: float
    mean_variance: float


def design(columns: ArrayLike, *, batches: int, seed: str, criterion: Criterion = "I", keep: tuple[int, ...] = ()) -> Design:
    """The plan of so many batches that tells a model best.

    Fedorov's exchange from several seeded beginnings: every batch in turn is exchanged for the candidate that betters the
    criterion most, until none does. "D" makes the volume of the coefficients' confidence region least, "I" the mean variance
    of the fitted value over the candidates.

    Parameters
    ----------
    columns : (m, k) array
        The model's columns of every candidate batch, such as `blending_terms`.
    batches : int
        Batches of the plan, at least as many as columns, at most 200. [-]
    seed : str
        Any text; the same text gives the same plan.
    criterion : {"D", "I"}
    keep : tuple of int, optional
        Candidates that must be in the plan, such as repeats of a centre for pure error.

    Returns
    -------
    Design
        See its fields.

    Raises
    ------
    InputError
        "too_few_batches" for fewer batches than columns or than those to keep, "out_of_range", "columns_alike" where no plan
        of the candidates tells the coefficients apart, "unknown_code".

    References
    ----------
    [fedorov-1972], [cook-nachtsheim-1980]

    Examples
    --------
    >>> import numpy as np
    >>> line = np.linspace(-1, 1, 21)
    >>> found = design(np.stack([np.ones(21), line], axis=1), batches=4, seed="a", criterion="D")
    >>> line[list(found.points)].tolist()
    [-1.0, -1.0, 1.0, 1.0]
    """
    x = np.asarray(columns, dtype=float)
    _check(x, batches, criterion, keep)
    moments = x.T @ x / len(x)
    best: tuple[float, tuple[int, ...]] | None = None
    for start in range(STARTS):
        points, worth = _exchanged(x, moments, _begin(len(x), batches, seed, start, keep), criterion, len(keep))
        if best is None or worth > best[0] + abs(best[0]) * BETTER:
            best = worth, tuple(sorted(points))
    assert best is not None
    return _told(x, moments, best[1])


def _check(x: Floats, batches: int, criterion: str, keep: tuple[int, ...]) -> None:
    if criterion not in ("D", "I"):
        raise InputError("unknown_code", quantity="criterion", value=criterion, known="D, I")
    need = max(x.shape[1], len(keep))
    if batches < need:
        raise InputError("too_few_batches", have=batches, need=need)
    check_between(1, 200, batches=batches)
    if np.linalg.matrix_rank(x) < x.shape[1]:
        raise InputError("columns_alike")


def _begin(candidates: int, batches: int, seed: str, start: int, keep: tuple[int, ...]) -> list[int]:
    """The kept points first, then candidates drawn by the seed; more batches than candidates go round again."""
    order = shuffled(range(candidates), seed=seed, stream=f"design {start}")
    return [*keep, *(order[place % candidates] for place in range(batches - len(keep)))]


def _exchanged(x: Floats, moments: Floats, points: list[int], criterion: str, kept: int) -> tuple[list[int], float]:
    """Exchange until nothing gets better; the criterion as something to be great."""
    information = x[points].T @ x[points]
    ridge = RIDGE * float(np.trace(moments)) * np.eye(x.shape[1])
    improved = True
    while improved:
        improved = False
        for place in range(kept, len(points)):
            without = information - np.outer(x[points[place]], x[points[place]])
            gains = _gains(x, np.linalg.inv(without + ridge), moments, criterion)
            best = int(np.argmax(gains))
            if gains[best] > gains[points[place]] + BETTER * max(1e-300, abs(float(gains[points[place]]))):
                points[place] = best
                information = without + np.outer(x[best], x[best])
                improved = True
    return points, _worth(information + ridge, moments, criterion)


def _gains(x: Floats, inverse: NDArray[np.floating], moments: Floats, criterion: str) -> Floats:
    """What each candidate would add to a plan whose inverse information this is: greater is better."""
    reach = x @ inverse
    own = (reach * x).sum(axis=1)
    if criterion == "D":
        return np.asarray(own)  # |M + xx'| = |M| (1 + x'M⁻¹x)
    # trace(W (M + xx')⁻¹) = trace(W M⁻¹) − x'M⁻¹WM⁻¹x / (1 + x'M⁻¹x)
    return np.asarray((reach @ moments * reach).sum(axis=1) / (1.0 + own))


def _worth(information: Floats, moments: Floats, criterion: str) -> float:
    if criterion == "D":
        return float(np.linalg.slogdet(information)[1])
    return -float(np.trace(np.linalg.solve(information, moments)))


def _told(x: Floats, moments: Floats, points: tuple[int, ...]) -> Design:
    information = x[list(points)].T @ x[list(points)]
    if np.linalg.matrix_rank(information) < x.shape[1]:
        raise InputError("columns_alike")
    log_volume = float(np.linalg.slogdet(information / len(points))[1])
    return Design(points, float(np.exp(log_volume / x.shape[1])), float(np.trace(np.linalg.solve(information, moments))))
