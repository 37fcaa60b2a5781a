"""What people observe of a source beside the jar; each is checked when made, so that a bad one cannot spoil the others."""

from dataclasses import dataclass

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
