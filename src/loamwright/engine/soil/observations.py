"""What people observe of a source beside the jar; each is checked when made, so that a bad one cannot spoil the others."""

from dataclasses import dataclass
from typing import Literal

from loamwright.engine.soil.plasticity import MOST
from loamwright.engine.soil.priors import feel_grades, setting
from loamwright.errors import InputError, check_between, check_not_negative, check_positive

HEAVIEST = 5000.0  # kg; more than this was never one pail, pan or screen load


@dataclass(frozen=True, slots=True)
class Guess:
    """A named class of soil that somebody guessed by look and feel.

    Attributes
    ----------
    key : str
        The entry it came from.
    soil_class : str
        Key of a row of data/soil_guess_classes.toml, such as "sandy_loam".
    """

    key: str
    soil_class: str


@dataclass(frozen=True, slots=True)
class PailWeighings:
    """Struck pails of one source, all in the same pail.

    Attributes
    ----------
    key : str
        The entry they came from.
    net_masses : tuple of float
        Moist soil in the struck pail, pail taken off, one figure a weighing; three are usual. [kg]
    pail_volume : float or None
        Struck volume of the pail; None where it was never measured. [m³]
    """

    key: str
    net_masses: tuple[float, ...]
    pail_volume: float | None = None

    def __post_init__(self) -> None:
        if not self.net_masses:
            raise InputError("pail_without_weighings", key=self.key)
        for mass in self.net_masses:
            check_positive(net_mass=mass)
            check_between(0.0, HEAVIEST, net_mass=mass)
        if self.pail_volume is not None:
            check_positive(pail_volume=self.pail_volume)
            check_between(0.0, HEAVIEST / 1000.0, pail_volume=self.pail_volume)


@dataclass(frozen=True, slots=True)
class PanTest:
    """A moisture test by drying in a pan.

    Attributes
    ----------
    key : str
        The entry it came from.
    wet_mass : float
        Soil before drying, pan taken off. [kg]
    dry_mass : float
        Soil after drying, pan taken off. [kg]
    scale_step : float
        Smallest step the scale shows. [kg]
    """

    key: str
    wet_mass: float
    dry_mass: float
    scale_step: float

    def __post_init__(self) -> None:
        check_positive(wet_mass=self.wet_mass, dry_mass=self.dry_mass, scale_step=self.scale_step)
        check_between(0.0, HEAVIEST, wet_mass=self.wet_mass, scale_step=self.scale_step)
        if not self.wet_mass >= self.dry_mass:
            raise InputError("wet_below_dry", key=self.key, wet_mass=self.wet_mass, dry_mass=self.dry_mass)


@dataclass(frozen=True, slots=True)
class OversizeReading:
    """What stayed on the screen.

    Attributes
    ----------
    key : str
        The entry it came from.
    retained_mass : float
        Stones kept by the screen. [kg]
    total_mass : float
        Everything put on the screen. [kg]
    """

    key: str
    retained_mass: float
    total_mass: float

    def __post_init__(self) -> None:
        check_positive(total_mass=self.total_mass)
        check_between(0.0, HEAVIEST, total_mass=self.total_mass)
        check_not_negative(retained_mass=self.retained_mass)
        if self.retained_mass > self.total_mass:
            raise InputError("retained_above_total", key=self.key, retained_mass=self.retained_mass)


Method = Literal["sieve", "wash", "hydrometer", "pipette"]
BY_SIEVE = ("sieve", "wash")


@dataclass(frozen=True, slots=True)
class GradingFound:
    """What a grading found of the part below 2 mm; the limit between sand and silt is the method's own, 0.06 to 0.075 mm.

    Attributes
    ----------
    key : str
        The entry it came from.
    sand, silt, clay, fines : float or None
        Mass shares, None where the report does not say; fines are silt and clay together. [-]
    method : str
        "sieve" (a nest of sieves, washed), "wash" (one fine sieve by hand), "hydrometer" or "pipette".

    Raises
    ------
    InputError
        "unknown_choice", "out_of_range", "grading_empty"; "grading_beyond_method" for silt or clay from sieves alone;
        "grading_not_whole" where shares that belong together do not sum to 1; "grading_above_fines" where silt and clay are
        more than the fines.
    """

    key: str
    sand: float | None = None
    silt: float | None = None
    clay: float | None = None
    fines: float | None = None
    method: Method = "hydrometer"

    def __post_init__(self) -> None:
        if self.method not in (*BY_SIEVE, "hydrometer", "pipette"):
            raise InputError("unknown_choice", quantity="method", value=self.method)
        named = {name: getattr(self, name) for name in ("sand", "silt", "clay", "fines") if getattr(self, name) is not None}
        if not named:
            raise InputError("grading_empty", key=self.key)
        check_between(0.0, 1.0, **named)
        if self.method in BY_SIEVE and (self.silt is not None or self.clay is not None):
            raise InputError("grading_beyond_method", key=self.key)
        self._check_sums()

    def _check_sums(self) -> None:
        for whole in ((self.sand, self.silt, self.clay), (self.sand, self.fines)):
            parts = [part for part in whole if part is not None]
            if len(parts) == len(whole) and abs(sum(parts) - 1.0) > setting("grading_whole"):
                raise InputError("grading_not_whole", key=self.key, total=sum(parts))
        if self.fines is not None and (self.silt or 0.0) + (self.clay or 0.0) > self.fines + setting("grading_whole"):
            raise InputError("grading_above_fines", key=self.key, fines=self.fines)

    @property
    def coarse(self) -> float | None:
        """The share of sand, said or what the fines leave."""
        if self.sand is not None:
            return self.sand
        return None if self.fines is None else 1.0 - self.fines


@dataclass(frozen=True, slots=True)
class LimitsFound:
    """Consistency limits of the fines, found by a laboratory or with its tools.

    Attributes
    ----------
    key : str
        The entry it came from.
    liquid_limit : float
        Water over dry mass. [-]
    plastic_limit : float or None
        Water over dry mass; None where it was not found. [-]

    Raises
    ------
    InputError
        "not_positive"; "out_of_range", also for a plastic limit above the liquid limit.
    """

    key: str
    liquid_limit: float
    plastic_limit: float | None = None

    def __post_init__(self) -> None:
        check_positive(liquid_limit=self.liquid_limit)
        check_between(0.0, MOST, liquid_limit=self.liquid_limit)
        if self.plastic_limit is not None:
            check_positive(plastic_limit=self.plastic_limit)
            check_between(0.0, self.liquid_limit, plastic_limit=self.plastic_limit)


@dataclass(frozen=True, slots=True)
class ShrinkageFound:
    """Linear shrinkage of a bar or a box of soil, wetted to its liquid limit.

    Attributes
    ----------
    key : str
        The entry it came from.
    linear_shrinkage : float
        Length lost over length when wet. [-]

    Raises
    ------
    InputError
        "out_of_range".
    """

    key: str
    linear_shrinkage: float

    def __post_init__(self) -> None:
        check_between(0.0, 0.9, linear_shrinkage=self.linear_shrinkage)


@dataclass(frozen=True, slots=True)
class FeelFound:
    """What one test by hand said.

    Attributes
    ----------
    key : str
        The entry it came from.
    test : str
        "thread", "ribbon", "dry_strength", "shaking" or "shine".
    grade : str
        One of the grades of that test in data/soil_observations.toml, such as "to_3mm"; see `priors.feel_grades`.

    Raises
    ------
    InputError
        "unknown_feel" where the data file has no such test or no such grade.
    """

    key: str
    test: str
    grade: str

    def __post_init__(self) -> None:
        grades = feel_grades()
        if (self.test, self.grade) not in grades:
            known = ", ".join(sorted({grade for test, grade in grades if test == self.test} or {test for test, _ in grades}))
            raise InputError("unknown_feel", test=self.test, grade=self.grade, known=known)
