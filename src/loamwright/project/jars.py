"""Jars: when to read one, what its readings say as the engine wants them, and which of them cannot be meant."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import inf, sqrt
from typing import Any

from loamwright import tables
from loamwright.engine.soil import settling
from loamwright.engine.soil.jar import LONGEST, BedHeight, JarReading, LayerBoundaries
from loamwright.engine.soil.priors import setting
from loamwright.errors import InputError, Note, check_between, check_positive
from loamwright.formula import Formula, Term
from loamwright.project import dig
from loamwright.project.finding import Finding, Given, given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

RANK = {"sand_top": 0, "silt_top": 1, "clay_top": 2, "bed": 2}

CONCENTRATION = Formula(
    "solids_concentration",
    "c",
    "kg/m3",
    "s * h * rho / H",
    {
        "s": Term("afloat", "1"),
        "h": Term("fill_height", "mm"),
        "rho": Term("loose_dry_density", "kg/m3"),
        "H": Term("water_height", "mm"),
    },
    "model-jar",
)
FALL = Formula(
    "depth", "z", "mm", "H - h", {"H": Term("water_height", "mm"), "h": Term("fill_height", "mm")}, "derivation-settling-time"
)
SLOWED = Formula(
    "velocity",
    "v",
    "mm/s",
    "v_free * k",
    {"v_free": Term("velocity", "mm/s"), "k": Term("hindered_factor", "1")},
    "richardson-zaki-1954",
)


@dataclass(frozen=True, slots=True)
class Height:
    """One reading of a jar.

    Attributes
    ----------
    fact : Fact
        The entry.
    minutes : float
        Since the jar was set down. [min]
    layer : str
        Key of `LAYERS`.
    height : float
        Above the floor of the jar. [mm]
    """

    fact: Fact
    minutes: float
    layer: str
    height: float


@dataclass(frozen=True, slots=True)
class JarTime:
    """One time to read a jar.

    Attributes
    ----------
    key, says, also : str
        Row of data/jar_times.toml, what has settled by then, what else to look at.
    minutes : float
        Since the jar was set down. [min]
    at : datetime
        On the clock.
    until : float
        From here on the next reading serves better. [min]
    done : bool
        Whether a reading near that time is there.
    fall : Finding or None
        How the time came about; None for a time of common practice.
    """

    key: str
    says: str
    also: str
    minutes: float
    at: datetime
    until: float
    done: bool
    fall: Finding | None


@dataclass(frozen=True, slots=True)
class JarView:
    """A jar as it stands.

    Attributes
    ----------
    fact : Fact
        The jar.
    heights : tuple of Height
        All its readings by time.
    unusable : tuple of (Height, InputError)
        Readings that cannot be meant; left out, asked about.
    reading : JarReading or None
        The jar as the engine takes it.
    fault : InputError or None
        Why there is none, or why its layers by eye were left out.
    notes : tuple of Note
        What was assumed.
    set_down : datetime
        When it stood still, as far as is known.
    stands : Fact or None
        The tap that said so.
    """

    fact: Fact
    heights: tuple[Height, ...]
    unusable: tuple[tuple[Height, InputError], ...]
    reading: JarReading | None
    fault: InputError | None
    notes: tuple[Note, ...]
    set_down: datetime
    stands: Fact | None

    def entries(self) -> tuple[str, ...]:
        """Ids of the jar's entry and of its readings that were used."""
        return (self.fact.head, *(height.fact.head for height in self.usable))

    @property
    def usable(self) -> tuple[Height, ...]:
        """The readings that can be meant, by time."""
        left_out = {height.fact.id for height, _ in self.unusable}
        return tuple(height for height in self.heights if height.fact.id not in left_out)


def jar_view(state: State, jar_id: str) -> JarView:
    """Everything about one jar; `InputError` ("not_found", "not_understood") where there is no such jar."""
    return state.memo(("jar", state.versions.entity(jar_id)), lambda: _jar_view(state, state.fact(jar_id, "jar")))


def _jar_view(state: State, fact: Fact) -> JarView:
    heights = _heights(state, fact.id)
    unusable = tuple((height, fault) for height in heights if (fault := _cannot_be(height, fact)) is not None)
    bad = {height.fact.id for height, _ in unusable}
    reading, fault, notes = _as_engine(fact, [height for height in heights if height.fact.id not in bad])
    taps = state.where("jar_stands", "jar", fact.id)
    return JarView(fact, heights, unusable, reading, fault, notes, _set_down(state, fact, taps), taps[-1] if taps else None)


def _heights(state: State, jar_id: str) -> tuple[Height, ...]:
    facts = state.where("jar_reading", "jar", jar_id)
    found = [Height(fact, fact.needed("after"), fact["layer"], fact.needed("height")) for fact in facts]
    return tuple(sorted(found, key=lambda each: (each.minutes, RANK[each.layer], each.fact.id)))


def _cannot_be(height: Height, jar: Fact) -> InputError | None:
    try:
        check_positive(minutes=height.minutes, height=height.height)
        check_between(0.0, LONGEST, minutes=height.minutes)
        water = jar.needed("water")
        if height.height >= water:
            raise InputError("layer_above_water", height=height.height, water_height=water)
    except InputError as fault:
        return fault
    return None


def _set_down(state: State, fact: Fact, taps: list[Fact]) -> datetime:
    """The tap, else the time typed, else the moment the jar was written down."""
    written = state.moment(fact)
    if taps:
        return state.moment(taps[-1])
    return datetime.fromisoformat(fact["set_down"]).replace(tzinfo=written.tzinfo) if "set_down" in fact.values else written


def _as_engine(fact: Fact, heights: list[Height]) -> tuple[JarReading | None, InputError | None, tuple[Note, ...]]:
    temperature = fact.number("temperature")
    notes = () if temperature is not None else (Note("jar_temperature_assumed", {"temperature": judged("water-temperature")}),)
    beds, layers, told = _told_apart(fact, heights)
    notes = (*notes, *told)
    try:
        return _engine_jar(fact, beds, layers, heights), None, notes
    except InputError as fault:
        if fault.code != "boundaries_out_of_order" or not beds:
            return None, fault, notes
        return _engine_jar(fact, beds, None, heights), fault, notes


def _engine_jar(fact: Fact, beds: tuple[BedHeight, ...], layers: LayerBoundaries | None, heights: list[Height]) -> JarReading:
    temperature = fact.number("temperature")
    above = [height.fact["water_above"] for height in heights if "water_above" in height.fact.values]
    return JarReading(
        key=fact.id,
        fill_height=fact.needed("fill"),
        loose_dry_density=None,
        water_height=fact.needed("water"),
        temperature=judged("water-temperature") if temperature is None else temperature,
        readings=beds,
        boundaries=layers,
        added=fact["added"],
        water_above=above[-1] if above else None,
        screen_size=fact.number("screen"),
    )


def _told_apart(fact: Fact, heights: list[Height]) -> tuple[tuple[BedHeight, ...], LayerBoundaries | None, tuple[Note, ...]]:
    """Tops of all that had settled, and layers told apart by eye under a top that had been read.

    While sand falls, the top of the sand is the top of all: a layer counts as seen by eye only once a higher one has been read,
    or long after the next layer must have begun.
    """
    seen = [height for height in heights if _by_eye(fact, height, heights)]
    tops = [height for height in heights if height not in seen]
    beds = tuple(dict.fromkeys(BedHeight(height.minutes, height.height) for height in tops))
    sand = next((height for height in reversed(seen) if height.layer == "sand_top"), None)
    silt = next((height for height in reversed(seen) if height.layer == "silt_top"), None)
    top = next((height for height in reversed(tops) if RANK[height.layer] == RANK["bed"]), None)
    if not seen:
        return beds, None, ()
    if sand is None or top is None:
        return beds, None, (Note("layers_without_top" if top is None else "silt_without_sand"),)
    return beds, LayerBoundaries(top.minutes, sand.height, None if silt is None else silt.height, top.height), ()


def _by_eye(fact: Fact, height: Height, heights: list[Height]) -> bool:
    rank = RANK[height.layer]
    if rank == RANK["bed"]:
        return False
    by_then = [each for each in heights if each.minutes <= height.minutes * judged("same-sitting")]
    return any(RANK[each.layer] > rank for each in by_then) or height.minutes > _lone_until(fact, height.layer)


def _lone_until(fact: Fact, layer: str) -> float:
    """Until when a layer's top read alone is the top of all; afterwards the next layer lies on it. [min]"""
    key = "half_silt" if layer == "sand_top" else "next_day"
    try:
        return _plain_minutes(fact, key)
    except InputError:
        return inf


# --- when to read it ---


def jar_times(state: State, view: JarView) -> tuple[JarTime, ...]:
    """The times to read a jar, for its height and temperature.

    Raises
    ------
    InputError
        "fill_above_water", "out_of_range" and the like, where the jar as written down cannot be.
    """
    rows = [row for row in tables.load("jar_times", required=("says",)) if not row.get("only_if_cloudy") or _cloudy(view)]
    falls = [_fall(state, view.fact, row) for row in rows]
    minutes = [row["minutes"] if fall is None else fall.value for row, fall in zip(rows, falls, strict=True)]
    starts = [0.0, *(sqrt(before * after) for before, after in pairwise(minutes)), inf]
    read = [height.minutes for height in view.usable]
    return tuple(
        JarTime(
            row.key,
            row["says"],
            row.get("also", ""),
            minutes[place],
            view.set_down + timedelta(minutes=minutes[place]),
            starts[place + 1],
            any(starts[place] <= each < starts[place + 1] for each in read),
            falls[place],
        )
        for place, row in enumerate(rows)
    )


def _cloudy(view: JarView) -> bool:
    said = [height for height in view.usable if "water_above" in height.fact.values]
    return bool(said) and said[-1].fact["water_above"] == "cloudy" and said[-1].minutes > 720.0


def next_time(times: tuple[JarTime, ...], elapsed: float) -> JarTime | None:
    """The reading to make next: the first not made whose time has not slipped by; None where the last is made."""
    if times and times[-1].done:
        return None
    made = max((place for place, each in enumerate(times) if each.done), default=-1)
    return next((each for place, each in enumerate(times) if place > made and elapsed < each.until), None)


def _fall(state: State, fact: Fact, row: tables.Row) -> Finding | None:
    """How long the last grain of a size falls, as a working; None for a row with a fixed time."""
    if "size" not in row.columns:
        return None
    water, fill = given(fact, "water"), given(fact, "fill")
    temperature = _temperature(fact)
    speed = _speed(temperature, row, (fact.head,) if "temperature" in fact.values else ())
    thick = Finding(
        CONCENTRATION,
        _concentration(fact, row["afloat"], (loose := _loose(state, fact)).value),
        {"s": Given(row["afloat"], source=row.source), "h": fill, "rho": loose, "H": water},
    )
    grains = Given(setting("grain_density"), source="jar-practice")
    factor = settling.hindered_factor(thick.value, grain_density=setting("grain_density"))
    slower = Finding(settling.HINDERED_FACTOR, float(factor), {"c": thick, "rho_s": grains})
    velocity = Finding(SLOWED, speed.value * slower.value, {"v_free": speed, "k": slower})
    depth = Finding(FALL, _depth(fact), {"H": water, "h": fill})
    value = float(settling.settling_minutes(depth.value, velocity=velocity.value))
    return Finding(settling.SETTLING_MINUTES, value, {"z": depth, "v": velocity})


def _speed(temperature: float, row: tables.Row, entries: tuple[str, ...]) -> Finding:
    grains = setting("grain_density")
    value = settling.stokes_velocity(row["size"], temperature=temperature, grain_density=grains)
    inputs: dict[str, Any] = {
        "rho_s": Given(grains, source="jar-practice"),
        "rho_w": Given(float(settling.water_density(temperature)), entries, source="astm-d7928"),
        "g": Given(settling.GRAVITY, source="si-brochure"),
        "d": Given(row["size"], source=row.source),
        "mu": Given(float(settling.water_viscosity(temperature)), entries, source="iapws-sr6"),
    }
    return Finding(settling.STOKES_VELOCITY, float(value), inputs)


def _loose(state: State, fact: Fact) -> Finding | Given:
    weighed = dig.loose_density(state, fact["source"])
    return weighed if isinstance(weighed, Finding) else Given(setting("loose_density_unknown"), source="jar-practice")


def _temperature(fact: Fact) -> float:
    measured = fact.number("temperature")
    return judged("water-temperature") if measured is None else measured


def _depth(fact: Fact) -> float:
    fill, water = fact.needed("fill"), fact.needed("water")
    check_positive(fill_height=fill, water_height=water)
    if fill >= water:
        raise InputError("fill_above_water", fill_height=fill, water_height=water)
    return water - fill


def _concentration(fact: Fact, afloat: float, loose_dry_density: Any) -> float:
    _depth(fact)
    return float(afloat * fact.needed("fill") * loose_dry_density / fact.needed("water"))


def _plain_minutes(fact: Fact, key: str) -> float:
    """A time of the list without its working, at the usual loose density: near enough to tell layers apart."""
    row = tables.load("jar_times", required=("says",))[key]
    if "minutes" in row.columns:
        return float(row["minutes"])
    grains = setting("grain_density")
    thick = _concentration(fact, row["afloat"], setting("loose_density_unknown"))
    velocity = settling.stokes_velocity(row["size"], temperature=_temperature(fact), grain_density=grains)
    velocity = velocity * settling.hindered_factor(thick, grain_density=grains)
    return float(settling.settling_minutes(_depth(fact), velocity=velocity))


def grain_down(fact: Fact, key: str) -> float | None:
    """Minutes until the grains of a row are down, or None where the jar as written cannot be. [min]"""
    try:
        return _plain_minutes(fact, key)
    except InputError:
        return None
