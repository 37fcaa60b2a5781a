"""A strip of dots, one a block: where each lies on paper, so that neither dots nor the taps on them cover each other."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

WIDTH = 320
EDGE = 14
TAP = 24
ROW = 26
LABEL = 22
FOOT = 26


@dataclass(frozen=True, slots=True)
class Scale:
    """From a value to its place across the strip; one scale for all strips of a page."""

    low: float
    high: float

    def x(self, value: float) -> float:
        """Place across, in the drawing's own units."""
        return round(EDGE + (WIDTH - 2 * EDGE) * (value - self.low) / (self.high - self.low), 1)


def scale_of(values: Sequence[float]) -> Scale:
    """A scale that holds all values with a little room; one value alone gets a tenth to either side.

    >>> scale = scale_of([2.0, 3.0])
    >>> scale.x(2.5)
    160.0
    """
    low, high = min(values), max(values)
    room = (high - low) * 0.05 or abs(high) * 0.1 or 1.0
    return Scale(low - room, high + room)


@dataclass(frozen=True, slots=True)
class Dot:
    """One dot: its place, its value in words, and where a tap leads."""

    x: float
    y: float
    words: str
    href: str


@dataclass(frozen=True, slots=True)
class Band:
    """The dots of one batch, under its name where there are several."""

    name: str
    name_y: float
    dots: tuple[Dot, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """A line across the strip with its words below."""

    x: float
    words: str
    words_y: float
    anchor: str


@dataclass(frozen=True, slots=True)
class Strip:
    """A whole strip: batches one below the other, the mean, and what is asked."""

    height: float
    base: float
    bands: tuple[Band, ...]
    mean: float
    asked: tuple[Mark, ...]
    ends: tuple[Mark, Mark]


Point = tuple[float, str, str]


def strip(
    batches: Mapping[str, Sequence[Point]], *, scale: Scale, mean: float, asked: Mapping[str, float], ends: tuple[str, str]
) -> Strip:
    """Lay out the blocks of a mix.

    Parameters
    ----------
    batches : mapping of name to points
        For every batch its blocks as (value, words, address).
    scale : Scale
        Shared by all strips of a page.
    mean : float
        Mean of the mix.
    asked : mapping of words to value
        Limits of the brief.
    ends : tuple of two texts
        Words at both ends of the scale.
    """
    bands: list[Band] = []
    y = 4.0
    for name, points in batches.items():
        name_y = y + 16
        if len(batches) > 1:
            y += LABEL
        dots, rows = _dots(points, scale, y)
        bands.append(Band(name if len(batches) > 1 else "", name_y, dots))
        y += rows * ROW
    marks = tuple(
        Mark(scale.x(value), words, y + FOOT * (place + 2) - 6, _anchor(scale.x(value)))
        for place, (words, value) in enumerate(asked.items())
    )
    left = Mark(float(EDGE), ends[0], y + FOOT - 6, "start")
    right = Mark(float(WIDTH - EDGE), ends[1], y + FOOT - 6, "end")
    return Strip(y + FOOT * (1 + len(marks)) + 2, y, tuple(bands), scale.x(mean), marks, (left, right))


def _anchor(x: float) -> str:
    return "start" if x < WIDTH / 3 else "end" if x > 2 * WIDTH / 3 else "middle"


def _dots(points: Sequence[Point], scale: Scale, top: float) -> tuple[tuple[Dot, ...], int]:
    """Each dot in the first row where its tap lies on no other's."""
    ends: list[float] = []
    dots: list[Dot] = []
    for value, words, href in sorted(points):
        x = scale.x(value)
        row = next((index for index, end in enumerate(ends) if x - end >= TAP), len(ends))
        ends[row : row + 1] = [x]
        dots.append(Dot(x, top + ROW * row + ROW / 2, words, href))
    return tuple(dots), max(1, len(ends))
