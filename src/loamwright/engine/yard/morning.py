"""Morning check: the scale against water, one pail of each source, and today's moisture."""

from collections.abc import Mapping
from dataclasses import dataclass

from loamwright.engine.soil.settling import water_density
from loamwright.engine.yard.bags import yard_value
from loamwright.engine.yard.batch import Recipe, Yard, batch_water
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

SCALE_ERROR = Formula(
    "scale_error",
    "e",
    "1",
    "R / (V * rho_w) - 1",
    {"R": Term("reading", "kg"), "V": Term("water_volume", "m3"), "rho_w": Term("water_density", "kg/m3")},
    "derivation-phases",
)
PAIL_ERROR = Formula(
    "pail_error",
    "e",
    "1",
    "R / (m * (1 + w)) - 1",
    {"R": Term("reading", "kg"), "m": Term("pail_dry_mass", "kg"), "w": Term("water_content", "1")},
    "derivation-phases",
)


@dataclass(frozen=True, slots=True)
class Check:
    """One reading against what it should be.

    Attributes
    ----------
    reading, expected : float
        Mass read and mass expected. [kg]
    error : float
        Reading over expected, less one. [-]
    tolerance : float
        Largest error of either sign that passes. [-]
    """

    reading: float
    expected: float
    error: float
    tolerance: float

    @property
    def within(self) -> bool:
        """Whether the reading passes."""
        return abs(self.error) <= self.tolerance


@dataclass(frozen=True, slots=True)
class MorningCheck:
    """What the morning's readings say about today's batches.

    Attributes
    ----------
    scale : Check
        Scale against water.
    pails : mapping of source to Check
        One struck pail of each source against the recipe.
    water_to_add : float
        Water to add to the recipe's batch today; below zero where the stock is too wet. [kg]
    notes : tuple of Note
        "scale_off" (no pail or dose can be trusted), "pail_off" per source, "soil_too_wet".
    """

    scale: Check
    pails: Mapping[str, Check]
    water_to_add: float
    notes: tuple[Note, ...]


def scale_check(reading: float, *, water_volume: float, water_temperature: float = 20.0, tolerance: float | None = None) -> Check:
    """A scale against a measured volume of water.

    Parameters
    ----------
    reading : float
        Mass of the water by the scale, vessel tared. [kg]
    water_volume : float
        Volume of the water, such as 0.010 for ten litres. [m³]
    water_temperature : float
        Temperature of the water. [°C]
    tolerance : float, optional
        Largest error that passes; the data file's 1 % (judgement) otherwise. [-]

    Returns
    -------
    Check

    Raises
    ------
    InputError
        "not_positive", "negative", and what `water_density` refuses.

    Notes
    -----
    Between 10 and 30 °C the density of water changes by 0.4 %: the temperature hardly matters here.

    References
    ----------
    [derivation-phases], [judgement-yard]

    Examples
    --------
    >>> scale_check(9.95, water_volume=0.010).within, scale_check(9.6, water_volume=0.010).within
    (True, False)
    """
    check_positive(reading=reading, water_volume=water_volume)
    allowed = yard_value("scale-tolerance") if tolerance is None else tolerance
    check_not_negative(tolerance=allowed)
    expected = water_volume * float(water_density(water_temperature))
    return Check(reading, expected, reading / expected - 1.0, allowed)


def pail_check(reading: float, *, pail_dry_mass: float, water_content: float, tolerance: float | None = None) -> Check:
    """One struck pail against the mass its recipe was made with, at today's moisture.

    Parameters
    ----------
    reading : float
        Mass of the soil in the pail as it is. [kg]
    pail_dry_mass : float
        Dry mass of a pail in the recipe. [kg]
    water_content : float
        Today's moisture on dry mass. [-]
    tolerance : float, optional
        Largest error that passes; the data file's 3 % (judgement) otherwise. [-]

    Returns
    -------
    Check

    Raises
    ------
    InputError
        "not_positive", "negative".

    References
    ----------
    [derivation-phases], [judgement-yard]

    Examples
    --------
    >>> check = pail_check(29.12, pail_dry_mass=28.0, water_content=0.04)
    >>> round(check.expected, 2), check.within
    (29.12, True)
    """
    check_positive(reading=reading, pail_dry_mass=pail_dry_mass)
    check_not_negative(water_content=water_content)
    allowed = yard_value("pail-tolerance") if tolerance is None else tolerance
    check_not_negative(tolerance=allowed)
    expected = pail_dry_mass * (1.0 + water_content)
    return Check(reading, expected, reading / expected - 1.0, allowed)


def morning_check(
    batch: Recipe,
    *,
    yard: Yard,
    water_reading: float,
    water_volume: float,
    pail_readings: Mapping[str, float],
    water_content: Mapping[str, float],
    target_water_content: float,
) -> MorningCheck:
    """The morning's readings together: scale, one pail of each source, and the water to add today.

    Parameters
    ----------
    batch : Recipe
        The recipe in force.
    yard : Yard
        Its pails and bags.
    water_reading : float
        Mass of the measured water by the scale. [kg]
    water_volume : float
        Volume of that water. [m³]
    pail_readings : mapping of source to float
        One struck pail of each source as it is. [kg]
    water_content : mapping of source to float
        Today's pan test of each source, on dry mass. [-]
    target_water_content : float
        Water wanted over total dry mix. [-]

    Returns
    -------
    MorningCheck

    Raises
    ------
    InputError
        "source_missing", "not_positive", "negative", "not_a_share".

    Notes
    -----
    A pail outside its tolerance changes the blend, the dose and the water: calibrate it again before the first batch.

    References
    ----------
    [derivation-phases], [judgement-yard]

    Examples
    --------
    >>> from loamwright.engine.yard.batch import recipe
    >>> yard = Yard({"soil": 28.0}, pail_volume=0.02, bag_mass=50.0, mixer_volume=0.6, press_rate=2.0,
    ...             hold_limit_minutes=60.0, dry_block_mass=7.0)
    >>> batch = recipe({"soil": 1}, sets=20, bags=1, yard=yard, stabiliser_of_total=0.08, target_water_content=0.10,
    ...                water_content={"soil": 0.04})
    >>> found = morning_check(batch, yard=yard, water_reading=9.98, water_volume=0.010, pail_readings={"soil": 29.68},
    ...                       water_content={"soil": 0.06}, target_water_content=0.10)
    >>> round(found.water_to_add, 1), found.notes
    (27.4, ())
    """
    missing = sorted(set(batch.pails) - set(pail_readings) | set(batch.pails) - set(water_content))
    if missing:
        raise InputError("source_missing", quantity="pail_readings", missing=", ".join(missing))
    scale = scale_check(water_reading, water_volume=water_volume)
    pails = {
        source: pail_check(
            pail_readings[source],
            pail_dry_mass=yard.pail_dry_mass[source],
            water_content=water_content[source],
        )
        for source in batch.pails
    }
    water = batch_water(
        batch.pails,
        pail_dry_mass=yard.pail_dry_mass,
        water_content=water_content,
        stabiliser_mass=batch.stabiliser_mass,
        target_water_content=target_water_content,
    )
    return MorningCheck(scale, pails, water, _morning_notes(scale, pails, water))


def _morning_notes(scale: Check, pails: Mapping[str, Check], water: float) -> tuple[Note, ...]:
    notes = [] if scale.within else [Note("scale_off", {"error": scale.error, "tolerance": scale.tolerance})]
    for source, check in pails.items():
        if not check.within:
            notes.append(Note("pail_off", {"source": source, "error": check.error, "tolerance": check.tolerance}))
    if water < 0:
        notes.append(Note("soil_too_wet", {"water_to_add": water}))
    return tuple(notes)
