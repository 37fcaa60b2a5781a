"""Soils and blends: one belief, the whole search for four sources, a million rows of texture."""

from collections.abc import Callable

import numpy as np

from loamwright.engine.blend.offers import whole_ratios
from loamwright.engine.blend.parts import blend_property
from loamwright.engine.blend.search import Ground, search
from loamwright.engine.blend.windows import Window
from loamwright.engine.soil.belief import believe
from loamwright.engine.soil.jar import BedHeight, JarReading
from loamwright.engine.soil.observations import Guess
from loamwright.engine.soil.usda import texture_codes

DRAWS, PARTS, ROWS = 4000, 12, 1_000_000
MIDDLES = {"clay": (0.40, 0.72), "sand": (0.06, 0.15), "fines": (0.18, 0.45), "silt": (0.02, 0.10)}
WINDOWS = (
    Window("clay", "clay", 0.10, 0.20, "judgement-windows", "judgement"),
    Window("fines", "fines", 0.10, 0.40, "judgement-windows", "judgement"),
    Window("sand", "sand", 0.50, 0.85, "judgement-windows", "judgement"),
    Window("shrinkage", "linear_shrinkage", None, 0.06, "judgement-windows", "judgement"),
)


def ground() -> tuple[dict[str, np.ndarray], dict[str, dict[str, np.ndarray]]]:
    """Masses and properties of four invented sources."""
    random = np.random.default_rng(1)
    masses = {name: 25.0 * np.exp(0.03 * random.normal(size=DRAWS)) for name in MIDDLES}
    clay = {name: np.clip(middle * np.exp(0.15 * random.normal(size=DRAWS)), 0, 1) for name, (middle, _) in MIDDLES.items()}
    fines = {name: np.clip(clay[name] + most - middle, 0, 1) for name, (middle, most) in MIDDLES.items()}
    sand = {name: 1.0 - fines[name] for name in MIDDLES}
    return masses, {"clay": clay, "fines": fines, "sand": sand, "linear_shrinkage": {name: 0.25 * clay[name] for name in clay}}


def searched() -> Callable[[], object]:
    """The whole search: 1,537 ratios screened by 500 draws, the best hundred on all 4,000, four windows at once."""
    whole = Ground.of(*ground())
    return lambda: search(whole, windows=WINDOWS, most_parts=PARTS, scarce_source="sand")


def one_by_one(draws: int) -> Callable[[], object]:
    """The same chances ratio by ratio with numpy, as one would write it first."""
    masses, held = ground()
    few = {name: each[:draws] for name, each in masses.items()}
    small = {name: {source: each[:draws] for source, each in of.items()} for name, of in held.items()}

    def chance(parts: dict[str, int]) -> float:
        inside = np.ones(draws, dtype=bool)
        for window in WINDOWS:
            value = blend_property(parts, pail_dry_mass=few, source_property=small[window.property_name])
            low, most = window.least or 0.0, 1.0 if window.most is None else window.most
            inside &= np.asarray((value >= low) & (value <= most))
        return float(inside.mean())

    ratios = whole_ratios(tuple(MIDDLES), most_parts=PARTS, every_source=False)
    return lambda: sorted((chance(dict(each)) for each in ratios), reverse=True)


def believed() -> Callable[[], object]:
    """One soil from a jar read seven times and a guess."""
    times = (0.5, 1.0, 2.0, 5.0, 30.0, 120.0, 1440.0)
    heights = (18.0, 21.0, 24.0, 27.0, 31.0, 34.0, 33.0)
    readings = tuple(BedHeight(minutes, height) for minutes, height in zip(times, heights, strict=True))
    jar = JarReading("j", 50.0, None, 150.0, 20.0, readings, None, "dispersant")
    return lambda: believe("pit", project="bench", jars=[jar], guesses=[Guess("g", "clay_loam")])


def classified() -> Callable[[], object]:
    """A million rows of sand, silt and clay."""
    rows = np.random.default_rng(2).dirichlet([1.0, 1.0, 1.0], ROWS)
    return lambda: texture_codes(rows[:, 0], silt=rows[:, 1], clay=rows[:, 2])
