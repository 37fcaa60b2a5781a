"""Lean, usable or fat: the chance that a blend lies below, inside or above a window of composition."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from loamwright import tables
from loamwright.engine.blend.parts import Numbers
from loamwright.errors import InputError, check_between
from loamwright.formula import Formula, Term

Answer = Literal["lean", "usable", "fat"]

CHANCE = Formula(
    "chance",
    "P",
    "1",
    "inside / draws",
    {"inside": Term("draws_inside", "1"), "draws": Term("draws", "1")},
    "derivation-chance",
)


@dataclass(frozen=True, slots=True)
class Window:
    """A range of one property of the soil, with where it comes from.

    Attributes
    ----------
    key : str
        Row key in the data file.
    property_name : str
        "gravel", "sand", "silt", "clay" or "fines", as a share of the dry soil.
    least, most : float or None
        Both ends belong to the window; None where the source gives no bound. [-]
    source, standing : str
        Reference key, and how the figure is known.
    stabiliser : str or None
        The stabiliser whose lean / usable / fat window this is.
    document : str
        Name of a published document, with edition.
    step : float or None
        Least difference of the median between two blends worth trying side by side. [-]
    """

    key: str
    property_name: str
    least: float | None
    most: float | None
    source: str
    standing: str
    stabiliser: str | None = None
    document: str = ""
    step: float | None = None

    @property
    def centre(self) -> float:
        """Middle of the window; with one bound only, that bound. [-]"""
        bounds = [bound for bound in (self.least, self.most) if bound is not None]
        return sum(bounds) / len(bounds)


def all_windows() -> tuple[Window, ...]:
    """Every window of the data file, in file order.

    >>> all_windows()[0].key
    'cement'
    """
    return tuple(
        Window(
            row.key,
            row["property"],
            row.get("least"),
            row.get("most"),
            row.source,
            row.standing,
            row.get("stabiliser"),
            row.get("document", ""),
            row.get("step"),
        )
        for row in tables.load("windows", required=("property",))
    )


def stabiliser_window(stabiliser: str) -> Window:
    """The lean / usable / fat window of a stabiliser; "unknown_stabiliser" where the data file has none.

    >>> window = stabiliser_window("lime")
    >>> window.least, window.most, window.standing
    (0.15, 0.3, 'judgement')
    """
    known = {window.stabiliser: window for window in all_windows() if window.stabiliser}
    if stabiliser not in known:
        raise InputError("unknown_stabiliser", stabiliser=stabiliser, known=", ".join(str(name) for name in known))
    return known[stabiliser]


def published_windows(property_name: str | None = None) -> tuple[Window, ...]:
    """Published windows, of one property or of all; never a proof of compliance while standing is not "document".

    >>> [window.key for window in published_windows("gravel")]
    ['ars680-gravel']
    """
    return tuple(
        window
        for window in all_windows()
        if window.stabiliser is None and (property_name is None or window.property_name == property_name)
    )


@dataclass(frozen=True, slots=True)
class Chances:
    """Shares of the draws on each side of a window; they sum to one.

    Attributes
    ----------
    below, inside, above : float
        Chance of lying below, inside (both ends counted) and above the window. [-]
    """

    below: float
    inside: float
    above: float

    @property
    def answer(self) -> Answer:
        """See `first_answer`."""
        return first_answer(self)


def window_chances(draws: Numbers, *, window: Window) -> Chances:
    """Chance of a property lying below, inside and above a window, by counting draws.

    Parameters
    ----------
    draws : float or (n,) array
        Draws of the property as a share of dry soil; a single number counts as certain. [-]
    window : Window
        The window; a side without a bound cannot be missed.

    Returns
    -------
    Chances

    Raises
    ------
    InputError
        "no_draws" for an empty array, "out_of_range" for a draw outside 0 to 1.

    References
    ----------
    [derivation-chance]

    Examples
    --------
    >>> window_chances(np.array([0.08, 0.12, 0.15, 0.22]), window=stabiliser_window("cement"))
    Chances(below=0.25, inside=0.5, above=0.25)
    """
    values = np.atleast_1d(np.asarray(draws, dtype=np.float64))
    if values.size == 0:
        raise InputError("no_draws")
    check_between(0.0, 1.0, draws=values)
    below = 0 if window.least is None else int((values < window.least).sum())
    above = 0 if window.most is None else int((values > window.most).sum())
    return Chances(below / values.size, (values.size - below - above) / values.size, above / values.size)


def first_answer(chances: Chances) -> Answer:
    """The largest of the three chances in one word: "lean", "usable" or "fat".

    A tie goes to "usable", and between lean and fat to "lean": adding a little clay soil is the smaller change to undo.

    >>> first_answer(Chances(below=0.2, inside=0.3, above=0.5))
    'fat'
    """
    order: tuple[tuple[Answer, float], ...] = (
        ("usable", chances.inside),
        ("lean", chances.below),
        ("fat", chances.above),
    )
    return max(order, key=lambda pair: pair[1])[0]
