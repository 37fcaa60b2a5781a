"""Soils, jars and people, made up independently of `loamwright.engine.soil`.

What differs on purpose: grains are followed one by one as they fall (Lagrangian steps in time, local concentration,
a bed that rises to meet them), another law of free velocity (Rubey), another viscosity formula, another population of
soils, continuous sizes of other shapes, densities and exponents that vary, fines that fill pores, clay that
consolidates, and people who round, tilt the jar, look late and feel a class rather than know it.
"""

from dataclasses import dataclass

import numpy as np

SAND, SILT, CLAY = range(3)
SIZES = 16  # a kind of grain
GRAINS = 40  # followed for each size
CELLS = 12
STEPS = 420
MINUTES_END = 2880.0


@dataclass(frozen=True)
class Soils:
    """n made-up soils: what is true of each."""

    shares: np.ndarray  # (n, 3) sand, silt, clay by mass
    medians: np.ndarray  # (n, 3) place of the middle of each kind, 0 fine end to 1 coarse end of its log range
    layer: np.ndarray  # (n, 3) settled dry density, kg/m³
    consolidation: np.ndarray  # (n,) gain of clay density per tenfold time
    filling: np.ndarray  # (n,) share of caught fines that vanish in the pores of coarser grains
    loose: np.ndarray  # (n,) loose dry density, kg/m³
    solid: np.ndarray  # (n,) density of grains, kg/m³
    exponent: np.ndarray  # (n,) of hindering
    shape: np.ndarray  # (n,) free velocity against that of a round grain


@dataclass(frozen=True)
class Jars:
    """n jars as they were filled, and the bed as it grew."""

    fill: np.ndarray
    water: np.ndarray
    temperature: np.ndarray
    minutes: np.ndarray  # (steps,)
    bed: np.ndarray  # (steps, n) mm
    landed: np.ndarray  # (steps, n, 3) share of each kind landed


CLASSES = (
    *("sand", "loamy_sand", "sandy_loam", "loam", "silt_loam", "silt", "sandy_clay_loam", "clay_loam", "silty_clay_loam"),
    *("sandy_clay", "silty_clay", "clay"),
)


def any_class(n: int, random: np.random.Generator) -> np.ndarray:
    """Shares of n soils of all twelve classes of the Soil Survey Manual alike, any point of a class as likely, none under 2 %."""
    points = 0.02 + 0.94 * random.dirichlet((1.0, 1.0, 1.0), max(20_000, 5 * n))
    named = np.array([texture(*(100 * each)) for each in points])
    places = [random.choice(np.flatnonzero(named == name)) for name in random.choice(CLASSES, n)]
    found: np.ndarray = points[places]
    return found


def middling(n: int, random: np.random.Generator) -> np.ndarray:
    """Shares of n soils as builders dig them: few pure sands, silts or clays among them."""
    sand = 0.05 + 0.88 * random.beta(1.4, 1.2, n)
    clay = (1.0 - sand) * (0.08 + 0.86 * random.beta(1.5, 1.9, n))
    found: np.ndarray = np.stack([sand, 1.0 - sand - clay, clay], axis=1)
    return found


def make_soils(n: int, random: np.random.Generator, *, shares: np.ndarray | None = None) -> Soils:
    """n soils with these shares, by default of any class."""
    return Soils(
        shares=any_class(n, random) if shares is None else shares,
        medians=random.uniform(0.25, 0.75, (n, 3)),
        layer=np.stack(
            [random.uniform(1380, 1620, n), random.uniform(1020, 1400, n), np.exp(random.uniform(np.log(350), np.log(900), n))],
            axis=1,
        ),
        consolidation=random.uniform(0.03, 0.12, n),
        filling=random.uniform(0.0, 0.3, n),
        loose=random.uniform(1020, 1480, n),
        solid=random.uniform(2600, 2740, n),
        exponent=random.uniform(4.3, 5.0, n),
        shape=random.lognormal(-0.05, 0.10, n),
    )


def scooped(soils: Soils, random: np.random.Generator) -> np.ndarray:
    """Shares in one jar: a scoop of the pile is not the pile (about 10 % of each ratio)."""
    parts = soils.shares * np.exp(random.normal(0.0, 0.10, soils.shares.shape))
    scooped_shares: np.ndarray = parts / parts.sum(axis=1, keepdims=True)
    return scooped_shares


def water_viscosity(celsius: np.ndarray) -> np.ndarray:
    """Vogel's form, Pa s; within 0.3 % of handbook values from 5 to 40 °C."""
    return 2.414e-5 * 10.0 ** (247.8 / (celsius + 133.15))


def rubey(size_mm: np.ndarray, viscosity: np.ndarray, solid: np.ndarray) -> np.ndarray:
    """Free velocity, mm/s: viscous and inertial drag of a round grain added (Rubey 1933)."""
    size, kinematic, weight = size_mm / 1000.0, viscosity / 998.0, (solid - 998.0) / 998.0 * 9.81
    viscous = 6.0 * kinematic / size
    return 1000.0 * (np.sqrt(2.0 / 3.0 * weight * size + viscous**2) - viscous)


def sizes_of(soils: Soils, clay_median: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Falling size (n, 3, SIZES) in mm and mass share within its kind: a hump on the log range of each kind."""
    place = (np.arange(SIZES) + 0.5) / SIZES
    hump = np.exp(-0.5 * ((place - soils.medians[:, :, None]) / 0.35) ** 2)
    ends = np.log(np.array([[0.06, 2.0], [0.002, 0.06], [0.0003, 0.002]]))
    size = np.exp(ends[:, :1] + (ends[:, 1:] - ends[:, :1]) * place) * np.ones_like(hump)
    weight = hump / hump.sum(axis=2, keepdims=True)
    own = np.exp((weight[:, CLAY] * np.log(size[:, CLAY])).sum(axis=1))
    size[:, CLAY] *= (clay_median / own)[:, None]  # in flocs the clay falls as larger grains do
    return size, weight


def settle(
    soils: Soils,
    shares: np.ndarray,
    random: np.random.Generator,
    *,
    clay_median: np.ndarray,
    glued: np.ndarray | None = None,
    fluffed: float = 1.0,
) -> Jars:
    """Fill n jars a quarter to a third with soil and let every grain fall for two days."""
    n = len(shares)
    water = random.uniform(115.0, 210.0, n)
    fill = water * random.uniform(0.25, 0.36, n)
    temperature = random.uniform(13.0, 31.0, n)
    size, weight = sizes_of(soils, clay_median)
    kind = np.repeat(np.arange(3), SIZES)
    viscosity = water_viscosity(temperature)[:, None, None]
    free = rubey(size, viscosity, soils.solid[:, None, None]).reshape(n, -1) * soils.shape[:, None]
    mass = (shares[:, :, None] * weight * (fill / 1000.0 * soils.loose)[:, None, None]).reshape(n, -1)
    density = soils.layer[:, kind].copy()
    density[:, kind == CLAY] *= fluffed
    if glued is not None:  # this share of the clay falls as grains of fine sand and packs as sand
        stuck = mass[:, kind == CLAY].sum(axis=1) * glued
        mass[:, kind == CLAY] *= (1.0 - glued)[:, None]
        mass[:, :SIZES] += stuck[:, None] / SIZES
    return Jars(fill, water, temperature, *_fall(free, mass, density, kind, water, soils))


def _fall(
    free: np.ndarray, mass: np.ndarray, density: np.ndarray, kind: np.ndarray, water: np.ndarray, soils: Soils
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Every grain slips through water that the others push up (Masliyah 1979); it lands when it meets the risen bed."""
    n, m = free.shape
    seconds = np.concatenate([[0.0], np.geomspace(0.25, MINUTES_END * 60.0, STEPS)])
    offset = (np.arange(m) * 0.6180339887 % 1.0)[:, None]  # so that grains of different sizes do not land in step
    height = (np.arange(GRAINS) + offset) / GRAINS * water[:, None, None] * np.ones((n, m, GRAINS))
    afloat = np.ones(height.shape, dtype=bool)
    grain_mass = (mass / GRAINS)[:, :, None]
    bed, trapped = np.zeros(n), np.zeros((n, m))
    rows = np.arange(n)[:, None, None] * CELLS
    beds, landed_rows = [], []
    of_kind = np.stack([mass[:, kind == k].sum(axis=1) for k in range(3)], axis=1)
    for now, step in zip(seconds[1:], np.diff(seconds), strict=True):
        room = water - bed
        cell = np.clip(((height - bed[:, None, None]) / room[:, None, None] * CELLS).astype(int), 0, CELLS - 1) + rows
        held = np.bincount(cell.ravel(), (afloat * grain_mass).ravel(), n * CELLS).reshape(n, CELLS)
        solid = np.clip(held / (room[:, None] / CELLS / 1000.0) / soils.solid[:, None], 0.0, 0.6)
        slow = ((1.0 - solid) ** (soils.exponent[:, None] - 1.0)).ravel()
        slip = free[:, :, None] * slow[cell]
        carried = np.bincount(cell.ravel(), (afloat * grain_mass * slip).ravel(), n * CELLS).reshape(n, CELLS)
        upward = (carried / (room[:, None] / CELLS / 1000.0) / soils.solid[:, None]).ravel()
        height = np.minimum(height - afloat * (slip - upward[cell]) * step, water[:, None, None])
        lands = afloat & (height <= bed[:, None, None])
        newly = lands.sum(axis=2) * mass / GRAINS
        coarse = (newly * (kind == SAND)).sum(axis=1) > 0.5 * newly.sum(axis=1)
        trapped += newly * ((kind != SAND) & coarse[:, None]) * soils.filling[:, None]
        afloat &= ~lands
        down = mass - afloat.sum(axis=2) * mass / GRAINS
        aged = 1.0 + soils.consolidation * np.log10(max(now, 60.0) / 86400.0)
        packed = np.where(kind == CLAY, density * aged[:, None], density)
        bed = np.clip(((down - trapped) / packed).sum(axis=1) * 1000.0, 0.0, 0.95 * water)  # a gel can fill the jar, no more
        beds.append(bed)
        landed_rows.append(np.stack([down[:, kind == k].sum(axis=1) for k in range(3)], axis=1) / of_kind)
    return seconds[1:] / 60.0, np.array(beds), np.array(landed_rows)


def read_bed(jars: Jars, minutes: float, random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Time written down and height read, in whole mm, by a person a few seconds late with the jar a little tilted."""
    late = minutes + np.abs(random.normal(0.0, 0.05 + 0.01 * minutes, len(jars.fill)))
    true = np.array([np.interp(t, jars.minutes, jars.bed[:, i]) for i, t in enumerate(late)])
    seen = true * (1.0 + random.normal(0.0, 0.02, len(true))) + random.normal(0.0, 1.2, len(true))
    return np.full(len(true), minutes), np.maximum(np.round(seen), 1.0)


def read_layers(jars: Jars, minutes: float, shares: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """(n, 3) heights where the eye sees sand end, silt end and the bed end: where what landed changes its chief kind."""
    n = len(jars.fill)
    heights = np.empty((n, 3))
    last = int(np.searchsorted(jars.minutes, minutes))
    for i in range(n):
        fresh = np.diff(jars.landed[:last, i], axis=0, prepend=0.0) * shares[i]
        chief = np.where(fresh.sum(axis=1) > 0, fresh.argmax(axis=1), -1)
        sand = _last(chief == SAND)
        silt = max(_last((chief == SILT) | (chief == SAND)), sand)
        heights[i] = jars.bed[sand, i], jars.bed[silt, i], jars.bed[last - 1, i]
    blurred = heights + random.normal(0.0, (2.0, 2.0, 1.2), (n, 3))
    return np.sort(np.maximum(np.round(blurred), 1.0), axis=1)


def _last(where: np.ndarray) -> int:
    return int(np.flatnonzero(where)[-1]) if where.any() else 0


def limits_of(soils: Soils, random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """True liquid and plastic limit: clay is a mix of three minerals, some of it idle, and limits are of what passes 0.425 mm.

    Activities 0.38 (kaolinite), 0.9 (illite), 1.5 (calcium smectite) after Skempton 1953, from memory.
    """
    n = len(soils.shares)
    activity = random.dirichlet((2.0, 2.0, 0.6), n) @ np.array([0.38, 0.9, 1.5])
    passing = 1.0 - soils.shares[:, SAND] * random.uniform(0.1, 0.5, n)
    index = activity * np.maximum(soils.shares[:, CLAY] / passing - 0.03, 0.003)
    plastic = random.uniform(0.13, 0.24, n) + 0.35 * index
    return plastic + index, plastic


def limits_found(soils: Soils, random: np.random.Generator) -> list[tuple[float, float] | None]:
    """Limits as a laboratory reports them, in whole per cent; None where no thread could be rolled."""
    liquid, plastic = limits_of(soils, random)
    n = len(liquid)
    liquid, plastic = (each * (1.0 + random.normal(0.0, 0.03, n)) + random.normal(0.0, 0.007, n) for each in (liquid, plastic))
    pairs = zip(np.round(liquid, 2), np.round(plastic, 2), strict=True)
    return [(float(high), float(low)) if high - low >= 0.02 else None for high, low in pairs]


def hydrometer_found(soils: Soils, random: np.random.Generator) -> np.ndarray:
    """(n, 3) sand, silt, clay as a laboratory reports them, in whole per cent: a sample of the pile, sand ending at 0.075 mm."""
    sample, n = scooped(soils, random), len(soils.shares)
    sand = sample[:, SAND] * (1.0 - random.uniform(0.01, 0.06, n)) + random.normal(0.0, 0.012, n)
    clay = sample[:, CLAY] * (1.0 + random.normal(0.0, 0.06, n)) + random.normal(0.0, 0.012, n)
    coarse = np.round(np.clip(sand, 0.0, 0.98), 2)
    fine = np.round(np.clip(clay, 0.01, 0.99 - coarse), 2)
    found: np.ndarray = np.stack([coarse, 1.0 - coarse - fine, fine], axis=1)
    return found


def felt_class(shares: np.ndarray, random: np.random.Generator) -> list[str]:
    """The texture class a person names whose fingers are 12 points of sand and 9 points of clay off."""
    names = []
    for sand, _, clay in shares:
        felt_sand = float(np.clip(sand + random.normal(0.0, 0.12), 0.0, 1.0))
        felt_clay = float(np.clip(clay + random.normal(0.0, 0.09), 0.0, 1.0 - felt_sand))
        names.append(texture(felt_sand * 100, (1 - felt_sand - felt_clay) * 100, felt_clay * 100))
    return names


def texture(sand: float, silt: float, clay: float) -> str:
    """USDA texture class from per cents, by the rules of the Soil Survey Manual."""
    if silt + 1.5 * clay < 15:
        return "sand"
    if silt + 2 * clay < 30:
        return "loamy_sand"
    if clay >= 40:
        return "sandy_clay" if sand > 45 else "silty_clay" if silt >= 40 else "clay"
    if clay >= 35 and sand > 45:
        return "sandy_clay"
    if clay >= 27:
        return "silty_clay_loam" if sand <= 20 else "clay_loam" if sand <= 45 else "sandy_clay_loam"
    if clay >= 20 and silt < 28 and sand > 45:
        return "sandy_clay_loam"
    if silt >= 80 and clay < 12:
        return "silt"
    if silt >= 50:
        return "silt_loam"
    return "sandy_loam" if (clay < 7 and silt < 50) or sand > 52 else "loam"
