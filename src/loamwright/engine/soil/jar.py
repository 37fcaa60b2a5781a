"""The jar: how it was filled, what was read and when, and what is odd about it."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from loamwright.engine.soil.priors import setting
from loamwright.errors import InputError, Note, check_between, check_positive

Added = Literal["nothing", "salt", "dispersant"]
Water = Literal["clear", "cloudy"]

LONGEST = 1e6  # minutes, about two years


@dataclass(frozen=True, slots=True)
class BedHeight:
    """Height of everything that has settled, at one time.

    Attributes
    ----------
    minutes : float
        Since the jar was set down. [min]
    height : float
        Top of the settled bed above the floor of the jar. [mm]
    """

    minutes: float
    height: float


@dataclass(frozen=True, slots=True)
class LayerBoundaries:
    """Layers told apart by eye at the end, as heights above the floor of the jar.

    Attributes
    ----------
    minutes : float
        When they were read, since the jar was set down. [min]
    sand_top : float
        Where sand ends. [mm]
    silt_top : float or None
        Where silt ends; None where no boundary was seen above the sand. [mm]
    bed_top : float
        Top of the settled bed. [mm]
    """

    minutes: float
    sand_top: float
    silt_top: float | None
    bed_top: float


@dataclass(frozen=True, slots=True)
class JarReading:
    """One jar as a person filled and read it; checked when made.

    Attributes
    ----------
    key : str
        The entry it came from.
    fill_height : float
        Dry loose soil in the jar before water. [mm]
    loose_dry_density : float or None
        Dry mass over loose volume of that soil; None where nobody weighed it. [kg/m³]
    water_height : float
        Water surface above the floor of the jar. [mm]
    temperature : float
        Of the water. [°C]
    readings : tuple of BedHeight
        Bed heights by time, as written down.
    boundaries : LayerBoundaries or None
        Layers by eye.
    added : str
        "nothing", "salt" or "dispersant".
    water_above : str or None
        "clear" or "cloudy" at the last reading; None where not noted.
    screen_size : float or None
        Opening of the screen the soil passed; None where not screened or not noted. [mm]

    Raises
    ------
    InputError
        "jar_without_readings", "fill_above_water", "boundaries_out_of_order", "unknown_choice", or a figure not positive.
    """

    key: str
    fill_height: float
    loose_dry_density: float | None
    water_height: float
    temperature: float
    readings: tuple[BedHeight, ...] = ()
    boundaries: LayerBoundaries | None = None
    added: Added = "nothing"
    water_above: Water | None = None
    screen_size: float | None = None

    def __post_init__(self) -> None:
        check_positive(fill_height=self.fill_height, water_height=self.water_height)
        check_between(0.0, 2000.0, water_height=self.water_height)
        check_between(0.0, 50.0, temperature=self.temperature)
        if self.loose_dry_density is not None:
            check_between(300.0, 2300.0, loose_dry_density=self.loose_dry_density)
        if self.screen_size is not None:
            check_between(0.5, 100.0, screen_size=self.screen_size)
        if self.added not in ("nothing", "salt", "dispersant"):
            raise InputError("unknown_choice", quantity="added", value=self.added)
        if self.water_above not in ("clear", "cloudy", None):
            raise InputError("unknown_choice", quantity="water_above", value=self.water_above)
        if self.fill_height >= self.water_height:
            raise InputError("fill_above_water", fill_height=self.fill_height, water_height=self.water_height)
        for reading in self.readings:
            check_positive(minutes=reading.minutes, height=reading.height)
            check_between(0.0, LONGEST, minutes=reading.minutes)
        self._check_boundaries()

    def _check_boundaries(self) -> None:
        layers = self.boundaries
        if layers is None:
            if not self.readings:
                raise InputError("jar_without_readings", jar=self.key)
            return
        check_positive(minutes=layers.minutes, sand_top=layers.sand_top)
        check_between(0.0, LONGEST, minutes=layers.minutes)
        heights = [height for height in (layers.sand_top, layers.silt_top, layers.bed_top) if height is not None]
        if not all(low <= high for low, high in itertools.pairwise(heights)):
            raise InputError("boundaries_out_of_order", jar=self.key, heights=tuple(heights))

    @property
    def bed_heights(self) -> tuple[BedHeight, ...]:
        """Bed heights by time, the top of layers read by eye among them, those above the water left out."""
        top = () if self.boundaries is None else (BedHeight(self.boundaries.minutes, self.boundaries.bed_top),)
        return tuple(each for each in dict.fromkeys(self.readings + top) if each.height < self.water_height)

    @property
    def boundary_heights(self) -> tuple[float | None, float | None]:
        """Where sand and silt end, None where not seen or above the water."""
        if self.boundaries is None:
            return None, None
        sand, silt = (
            height if height is not None and height < self.water_height else None
            for height in (self.boundaries.sand_top, self.boundaries.silt_top)
        )
        return sand, silt

    @property
    def usable(self) -> bool:
        """Whether any height is left to learn from."""
        return bool(self.bed_heights) or any(height is not None for height in self.boundary_heights)

    @property
    def last_minutes(self) -> float:
        """The time of the last reading of any kind."""
        times = [each.minutes for each in self.readings]
        return max(times + ([self.boundaries.minutes] if self.boundaries else []))


def questions(jar: JarReading) -> tuple[Note, ...]:
    """What a person should be asked about a jar; falling heights are normal, a clay layer sinks for days.

    Parameters
    ----------
    jar : JarReading
        The jar.

    Returns
    -------
    tuple of Note
        "swelling_questioned" (rise), "bed_above_water" (height, water_height; left out of the fit),
        "times_not_increasing" (minutes), "salt_added" (the clay layer is fluffed).

    References
    ----------
    [jar-practice]

    Examples
    --------
    >>> jar = JarReading("e1", 40.0, 1200.0, 150.0, 20.0, (BedHeight(1440.0, 55.0),))
    >>> [note.code for note in questions(jar)]
    ['swelling_questioned']
    """
    notes: list[Note] = []
    top = () if jar.boundaries is None else (BedHeight(jar.boundaries.minutes, jar.boundaries.bed_top),)
    last = max(jar.readings + top, key=lambda each: each.minutes)
    rise = last.height / jar.fill_height - 1.0
    if rise > setting("swelling_question"):
        notes.append(Note("swelling_questioned", {"jar": jar.key, "rise": rise}))
    for each in jar.readings + top:
        if each.height >= jar.water_height:
            notes.append(Note("bed_above_water", {"jar": jar.key, "height": each.height, "water_height": jar.water_height}))
    times = [each.minutes for each in jar.readings]
    if any(later <= earlier for earlier, later in itertools.pairwise(times)):
        notes.append(Note("times_not_increasing", {"jar": jar.key, "minutes": tuple(times)}))
    if jar.added == "salt":
        notes.append(Note("salt_added", {"jar": jar.key}))
    return tuple(notes)


def layer_mass_shares(heights: Sequence[float], *, layer_densities: Sequence[float]) -> tuple[float, ...]:
    """Mass shares of clean layers whose densities are known; a bare ratio of heights is never a mass share.

    Parameters
    ----------
    heights : sequence of float
        Thickness of each layer. [mm]
    layer_densities : sequence of float
        Dry mass per volume of each settled layer. [kg/m³]

    Returns
    -------
    tuple of float
        Shares, summing to 1. [-]

    Raises
    ------
    InputError
        If a density is not positive, a height is negative, all heights are zero, or the lengths differ.

    Notes
    -----
    For the working shown to a person. Real layers hold one another's grains: the belief uses the settling model.

    References
    ----------
    [derivation-layers]

    Examples
    --------
    >>> [round(share, 2) for share in layer_mass_shares((60, 20, 20), layer_densities=(1500, 1200, 350))]
    [0.74, 0.2, 0.06]
    """
    if len(heights) != len(layer_densities):
        raise InputError("lengths_differ", heights=len(heights), layer_densities=len(layer_densities))
    for height, density in zip(heights, layer_densities, strict=True):
        if not height >= 0:
            raise InputError("negative", quantity="height", value=height)
        check_positive(layer_density=density)
    masses = [height * density for height, density in zip(heights, layer_densities, strict=True)]
    check_positive(total=sum(masses))
    return tuple(mass / sum(masses) for mass in masses)
