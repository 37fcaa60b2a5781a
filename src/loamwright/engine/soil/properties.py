"""One property of a source: its draws, what they rest on, and what a reader must know."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.draws import PARAMETERS, scores
from loamwright.errors import Note

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Property:
    """One property of a source.

    Attributes
    ----------
    values : (4000,) array
        Joint draws, read-only: draw i of every property of every source is one world.
    unit : str
        "1" for shares, "kg", "kg/m3".
    provenance : tuple of str
        Keys of the observations it rests on, sorted.
    notes : tuple of Note
        What a reader must know.
    """

    values: Array
    unit: str
    provenance: tuple[str, ...]
    notes: tuple[Note, ...] = ()


def property_of(values: Array, unit: str, provenance: Sequence[str], notes: Sequence[Note] = ()) -> Property:
    """A property of these draws, which are made read-only."""
    values.flags.writeable = False
    return Property(values, unit, tuple(sorted(provenance)), tuple(notes))


def score_row(source: str, *, project: str, parameter: str) -> Array:
    """The normal scores of one parameter of a source.

    >>> score_row("pit", project="school", parameter="activity").shape
    (4000,)
    """
    row: Array = scores(source, project=project)[PARAMETERS.index(parameter)]
    return row
