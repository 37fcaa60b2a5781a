"""A blend held against several windows, bands and areas at once: lean, usable, fat or torn, and which pail to change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.blend.criteria import Condition, Criterion, conditions
from loamwright.engine.blend.offers import pail_changes
from loamwright.engine.blend.parts import check_parts
from loamwright.engine.blend.search import Array, Ground, monte_carlo_error, values_of_conditions, within
from loamwright.engine.blend.windows import Chances
from loamwright.errors import InputError

JointAnswer = Literal["lean", "usable", "fat", "torn"]


@dataclass(frozen=True, slots=True)
class Joint:
    """A blend held against several things at once.

    Attributes
    ----------
    each : mapping of key to Chances
        For each window, band or area alone: lean, inside, fat. A curve or a point that is lean at one end and fat at another is
        counted where it misses by more.
    lean, usable, fat, torn : float
        Of all together: usable inside every one; lean or fat where every miss is on that side; torn where one asks for more
        clay and another for less. They sum to one. [-]
    error : float
        Monte Carlo standard error of `usable`. [-]
    """

    each: Mapping[str, Chances]
    lean: float
    usable: float
    fat: float
    torn: float
    error: float

    @property
    def answer(self) -> JointAnswer:
        """The largest of the four; a tie goes to usable, then to lean, the smaller change to undo."""
        order: tuple[tuple[JointAnswer, float], ...] = (
            ("usable", self.usable),
            ("lean", self.lean),
            ("fat", self.fat),
            ("torn", self.torn),
        )
        return max(order, key=lambda pair: pair[1])[0]


@dataclass(frozen=True, slots=True)
class JointChange:
    """One pail more or less of one source.

    Attributes
    ----------
    action : "add" or "take"
    source : str
    parts : mapping of source to int
        Parts after the change. [-]
    chance : float
        Chance of lying in everything after it. [-]
    gain : float
        Rise of that chance. [-]
    """

    action: Literal["add", "take"]
    source: str
    parts: Mapping[str, int]
    chance: float
    gain: float


def joint(parts: Mapping[str, int], *, ground: Ground, windows: Sequence[Criterion]) -> Joint:
    """Chances of a blend in each of several windows, bands and areas, and in all of them in the same world.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume. [-]
    ground : Ground
    windows : sequence of Window, GradingEnvelope or PlasticityArea

    Returns
    -------
    Joint

    Raises
    ------
    InputError
        "no_windows", "no_parts", "not_whole", "not_positive", "source_missing", "not_known_of_every_source".

    Notes
    -----
    Chances are counted world by world, so what goes together (much clay, much plasticity) is kept together. A product of the
    single chances would be wrong.

    References
    ----------
    [derivation-chance], [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> ground = Ground.of({"clay": 22.4, "sandy": 28.4}, {"clay": {"clay": 0.38, "sandy": 0.09}})
    >>> both = [stabiliser_window("cement"), stabiliser_window("lime")]
    >>> found = joint({"sandy": 6, "clay": 1}, ground=ground, windows=both)
    >>> found.answer, found.each["cement"].inside, found.each["lime"].below
    ('lean', 1.0, 1.0)
    """
    sides = _sides(parts, ground, windows)
    lean, fat = (np.logical_or.reduce([each[side] for each in sides.values()]) for side in (0, 1))
    usable = float((~lean & ~fat).mean())
    return Joint(
        {key: _alone(*each) for key, each in sides.items()},
        float((lean & ~fat).mean()),
        usable,
        float((fat & ~lean).mean()),
        float((lean & fat).mean()),
        float(monte_carlo_error(usable, draws=ground.draws)),
    )


Missed = tuple[NDArray[np.bool_], NDArray[np.bool_], Array]
"""In every world: lean somewhere, fat somewhere, and by how much more lean than fat."""


def _sides(parts: Mapping[str, int], ground: Ground, windows: Sequence[Criterion]) -> dict[str, Missed]:
    row = row_of(parts, ground)
    wanted = wanted_of(windows, ground)
    found: dict[str, Missed] = {}
    nowhere = np.zeros(ground.draws, dtype=bool)
    for condition, values in values_of_conditions(row, ground, wanted):
        lean, fat, more = found.get(condition.key, (nowhere, nowhere, np.zeros(ground.draws)))
        below, above = misses(values[0], condition)
        outside = ~within(values[0], condition)
        leaner, fatter = (below, above) if condition.lean_below else (above, below)
        lean, fat = lean | (outside & (leaner > 0)), fat | (outside & (fatter > 0))
        found[condition.key] = lean, fat, more + leaner - fatter
    return found


def row_of(parts: Mapping[str, int], ground: Ground) -> Array:
    """Parts as one row in the order of the ground's sources; "source_missing" for one the ground does not know."""
    check_parts(parts)
    missing = sorted(set(parts) - set(ground.sources))
    if missing:
        raise InputError("source_missing", quantity="pail_dry_mass", missing=", ".join(missing))
    return np.array([[float(parts.get(source, 0)) for source in ground.sources]])


def wanted_of(windows: Sequence[Criterion], ground: Ground) -> list[Condition]:
    """All that is asked, as conditions; "no_windows" where nothing is."""
    if not windows:
        raise InputError("no_windows")
    return [each for window in windows for each in conditions(window, known=ground.held)]


def misses(values: Array, condition: Condition) -> tuple[Array, Array]:
    """By how much values lie below, and above, what a condition allows; zero where they do not."""
    below = np.zeros_like(values) if condition.least is None else np.maximum(condition.least - values, 0.0)
    above = np.zeros_like(values) if condition.most is None else np.maximum(values - condition.most, 0.0)
    return below, above


def _alone(lean: NDArray[np.bool_], fat: NDArray[np.bool_], more: Array) -> Chances:
    outside = lean | fat
    below = outside & np.where(lean & fat, more >= 0, lean)
    return Chances(float(below.mean()), float((~outside).mean()), float((outside & ~below).mean()))


def joint_pail_change(parts: Mapping[str, int], *, ground: Ground, windows: Sequence[Criterion]) -> JointChange | None:
    """Which single pail, added or taken, brings a blend nearest to lying in everything at once.

    Parameters
    ----------
    parts : mapping of source to int
        Whole parts by volume of the blend as it is; a pail of a source that is not in it yet may be added too. [-]
    ground : Ground
    windows : sequence of Window, GradingEnvelope or PlasticityArea

    Returns
    -------
    JointChange or None
        The change with the highest chance in all of them; where none has any, the one whose middle misses least in sum. None
        where no single pail makes it better. A source's last pail is never taken.

    Raises
    ------
    InputError
        As `joint`.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> ground = Ground.of({"clay": 22.4, "sandy": 28.4}, {"clay": {"clay": 0.38, "sandy": 0.09}})
    >>> change = joint_pail_change({"sandy": 1, "clay": 1}, ground=ground, windows=[stabiliser_window("cement")])
    >>> change.action, change.source, change.chance
    ('add', 'sandy', 1.0)
    """
    wanted = wanted_of(windows, ground)
    row_of(parts, ground)
    as_it_is = reached = _score(parts, ground, wanted)
    best: JointChange | None = None
    for action, source, changed in (*pail_changes(parts), *_new_pails(parts, ground)):
        score = _score(changed, ground, wanted)
        if score > reached:
            reached = score
            best = JointChange(action, source, changed, score[0], score[0] - as_it_is[0])
    return best


def _new_pails(parts: Mapping[str, int], ground: Ground) -> list[tuple[Literal["add"], str, dict[str, int]]]:
    return [("add", source, {**parts, source: 1}) for source in ground.sources if source not in parts]


def _score(parts: Mapping[str, int], ground: Ground, wanted: Sequence[Condition]) -> tuple[float, float]:
    """Chance in everything, then how little the middle misses."""
    inside, missed = np.ones(ground.draws, dtype=bool), 0.0
    for condition, values in values_of_conditions(row_of(parts, ground), ground, wanted):
        inside &= within(values[0], condition)
        missed += sum(float(each[0]) for each in misses(np.median(values, axis=1), condition))
    return float(inside.mean()), -missed
