"""The jar's water column: the bed heights that a soil would show by time (the forward model).

All grains of a jar share one hindered clock: τ(t) = ∫ (1 − φ)^3.65 dt, where φ is the volume share of solids still
floating above the bed. A grain of free velocity w slips w τ through the water, while the water itself is pushed up by R as
solids go down; with grains of one size this is the Richardson–Zaki factor (1 − φ)^4.65. The bed h rises to meet the grains. So
the landed share of a size is F = min(1, (w τ + h − R) / H), with h the landed mass of each kind of grain over the density of its
layer and, from the balance of volumes above the bed, dR = (dS − φ dh) / (1 − φ), S being the landed solids themselves. A thick
suspension, silt caught in the sand layer and clay not yet settled need no further rule. [model-jar]

Narrow for now: φ is the mean over the water above the bed. Soils of many sizes agree with grains followed one by one to about
3 % in bed height; grains of a single size keep a sharp front in nature, and the bed here stands up to 13 % too high half-way.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loamwright.engine.soil.jar import JarReading
from loamwright.engine.soil.priors import setting
from loamwright.engine.soil.settling import free_velocity

Array = NDArray[np.float64]

SAND_NODES, SILT_NODES, CLAY_NODES = 8, 12, 10
CLOCK_STEPS = 72


@dataclass(frozen=True, slots=True)
class Soils:
    """A batch of B soils as the forward model sees them in one jar.

    Attributes
    ----------
    shares : (B, 3) array
        Sand, silt, clay by mass, summing to 1. [-]
    layer_densities : (B, 3) array
        Settled dry densities of sand, silt, clay. [kg/m³]
    silt_tilt : (B,) array
        Slope of silt mass over log size. [-]
    clay_diameter : (B,) array
        Median falling size of clay. [mm]
    loose_dry_density : (B,) array
        Dry mass over loose volume in the jar. [kg/m³]
    """

    shares: Array
    layer_densities: Array
    silt_tilt: Array
    clay_diameter: Array
    loose_dry_density: Array


@dataclass(frozen=True, slots=True)
class Settled:
    """What the forward model says of B soils.

    Attributes
    ----------
    heights : (B, R) array
        Bed height at each asked time. [mm]
    boundaries : (B, 2) array
        Bed height when the last sand grain and the last silt grain land. [mm]
    afloat : (B, R) array
        Share of all solids still floating at each asked time. [-]
    caught : (B, R) array
        Share of the silt already landed at each asked time. [-]
    """

    heights: Array
    boundaries: Array
    afloat: Array
    caught: Array


@dataclass(frozen=True, slots=True)
class Column:
    """The water column of one jar, with everything that does not depend on the soil."""

    water_height: float
    fill_height: float
    temperature: float
    grain_density: float
    fixed_velocities: Array
    limit_velocities: Array
    silt_positions: Array
    clay_factors: Array
    clock: Array

    @staticmethod
    def of(jar: JarReading) -> "Column":
        """The column of a jar."""
        from scipy.special import ndtri

        top = jar.screen_size if jar.screen_size is not None else setting("sand_top")
        limits = np.array([setting("sand_limit"), setting("clay_limit")])
        sand = _middles(limits[0], max(top, 2.0 * limits[0]), SAND_NODES)
        silt = _middles(limits[1], limits[0], SILT_NODES)
        density = setting("grain_density")
        fixed: Any = free_velocity(np.concatenate([sand, silt]), temperature=jar.temperature, grain_density=density)
        ends: Any = free_velocity(limits, temperature=jar.temperature, grain_density=density)
        return Column(
            jar.water_height,
            jar.fill_height,
            jar.temperature,
            density,
            fixed,
            ends,
            (np.arange(SILT_NODES) + 0.5) / SILT_NODES * 2.0 - 1.0,
            np.exp(setting("clay_size_spread") * ndtri((np.arange(CLAY_NODES) + 0.5) / CLAY_NODES)),
            np.geomspace(0.05, 3e7, CLOCK_STEPS),
        )

    def settle(self, soils: Soils, *, minutes: Array) -> Settled:
        """Bed heights, boundaries and what still floats, for B soils at R times.

        Parameters
        ----------
        soils : Soils
            B soils.
        minutes : (R,) array
            Times since the jar was set down. [min]

        Returns
        -------
        Settled
            Heights, boundaries, floating share.

        References
        ----------
        [model-jar], [ferguson-church-2004], [richardson-zaki-1954]
        """
        mass, velocity = self._masses(soils), self._velocities(soils)
        volume = mass / np.repeat(soils.layer_densities, (SAND_NODES, SILT_NODES, CLAY_NODES), axis=1) * 1000.0
        lift, times = self._history(mass, volume, velocity)
        landed = self._landed(velocity, *self._at(np.log(minutes * 60.0), times, lift))
        limits = self._landed(velocity, *self._limits(lift))
        silt = slice(SAND_NODES, SAND_NODES + SILT_NODES)
        return Settled(
            _summed(volume, landed),
            _summed(volume, limits),
            1.0 - _summed(mass, landed) / mass.sum(axis=1)[:, None],
            _summed(mass[:, silt], landed[:, silt]) / mass[:, silt].sum(axis=1)[:, None],
        )

    def _masses(self, soils: Soils) -> Array:
        """Dry mass per area of jar in each size, kg/m²."""
        per_area = (self.fill_height / 1000.0 * soils.loose_dry_density)[:, None]
        tilted = np.exp(soils.silt_tilt[:, None] * self.silt_positions)
        sand, silt, clay = (per_area * soils.shares[:, [kind]] for kind in range(3))
        return np.concatenate(
            [
                np.repeat(sand / SAND_NODES, SAND_NODES, axis=1),
                silt * tilted / tilted.sum(axis=1, keepdims=True),
                np.repeat(clay / CLAY_NODES, CLAY_NODES, axis=1),
            ],
            axis=1,
        )

    def _velocities(self, soils: Soils) -> Array:
        sizes = soils.clay_diameter[:, None] * self.clay_factors
        clay: Any = free_velocity(sizes, temperature=self.temperature, grain_density=self.grain_density)
        fixed = np.broadcast_to(self.fixed_velocities, (len(clay), SAND_NODES + SILT_NODES))
        return np.concatenate([fixed, clay], axis=1)

    def _landed(self, velocity: Array, clock: Array, lift: Array) -> Array:
        """Landed share of each size: it slips for a time τ while the bed gains `lift` on the water."""
        landed: Array = velocity[:, :, None] * (clock[:, None, :] / self.water_height)
        landed += (lift / self.water_height)[:, None, :]
        return np.minimum(landed, 1.0, out=landed)

    def _history(self, mass: Array, volume: Array, velocity: Array) -> tuple[Array, Array]:
        """By τ of the grid: how far the bed has gained on the rising water, mm, and the logarithm of the time, s."""
        clock = np.broadcast_to(self.clock, (len(mass), CLOCK_STEPS))
        start = np.zeros(clock.shape)
        # Two rounds give the ratio of the series that the gain adds up to; the third starts from its sum.
        first, _ = self._gain(self._landed(velocity, clock, start), mass, volume)
        second, _ = self._gain(self._landed(velocity, clock, first), mass, volume)
        ratio = np.clip(second / first - 1.0, 0.0, 0.9)
        lift, solid = self._gain(self._landed(velocity, clock, first / (1.0 - ratio)), mass, volume)
        slowness = (1.0 - solid) ** -3.65
        steps = 0.5 * (slowness[:, 1:] + slowness[:, :-1]) * np.diff(self.clock)
        before = slowness[:, :1] * self.clock[0]
        return lift, np.log(np.concatenate([before, before + np.cumsum(steps, axis=1)], axis=1))

    def _gain(self, landed: Array, mass: Array, volume: Array) -> tuple[Array, Array]:
        """h − R and φ, from landed shares."""
        down, bed = _summed(mass, landed), _summed(volume, landed)
        room = np.maximum(self.water_height - bed, 0.02 * self.water_height)
        solid = np.minimum((mass.sum(axis=1)[:, None] - down) / self.grain_density * 1000.0 / room, 0.6)
        middle = solid.copy()
        middle[:, 1:] = 0.5 * (solid[:, 1:] + solid[:, :-1])
        solids = down / self.grain_density * 1000.0
        rise = (np.diff(solids, axis=1, prepend=0.0) - middle * np.diff(bed, axis=1, prepend=0.0)) / (1.0 - middle)
        return bed - np.cumsum(rise, axis=1), solid

    def _at(self, log_seconds: Array, times: Array, lift: Array) -> tuple[Array, Array]:
        """τ and gain at each asked time."""
        grid = np.log(self.clock)
        clocks = [np.interp(log_seconds, row, grid) for row in times]
        lifts = [np.interp(clock, grid, row) for clock, row in zip(clocks, lift, strict=True)]
        return np.exp(np.array(clocks)), np.array(lifts)

    def _limits(self, lift: Array) -> tuple[Array, Array]:
        """τ and gain when the last grain of each limit size, from right under the surface, meets the bed."""
        grid = np.log(self.clock)
        fallen = np.log(self.limit_velocities[:, None, None] * self.clock + np.maximum(lift, 0.0))
        clocks = np.array([[np.interp(np.log(self.water_height), row, grid) for row in rows] for rows in fallen]).T
        lifts = [np.interp(clock, grid, row) for clock, row in zip(clocks, lift, strict=True)]
        return np.exp(clocks), np.array(lifts)


def _summed(weights: Array, landed: Array) -> Array:
    """Sum over sizes: (B, K) and (B, K, R) to (B, R)."""
    total: Array = np.matmul(weights[:, None, :], landed)[:, 0]
    return total


def _middles(low: float, high: float, count: int) -> Array:
    """Middles of equal steps of log size."""
    edges: Array = np.geomspace(low, high, count + 1)
    middles: Array = np.sqrt(edges[1:] * edges[:-1])
    return middles
