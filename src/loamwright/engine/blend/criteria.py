"""Windows, bands and areas as one kind of thing: linear conditions on the properties of a blend, so that several hold at once."""

from collections.abc import Collection
from dataclasses import dataclass
from itertools import pairwise

from loamwright.engine.blend.envelopes import GradingEnvelope, PlasticityArea
from loamwright.engine.blend.windows import Window
from loamwright.errors import InputError

Criterion = Window | GradingEnvelope | PlasticityArea
"""What a blend can be asked to lie in."""

TESTED_PART = "passing_0.425"
"""What plasticity is tested on: the part finer than the No. 40 sieve."""
OF_THE_FINES = ("liquid_limit", "plastic_limit", "plasticity_index")
LEAN_WHEN_GREAT = ("gravel", "sand")
"""Properties of the coarse grains: too much of them is lean. Of all others too little is."""


@dataclass(frozen=True, slots=True)
class Condition:
    """A sum of properties that must lie between two ends, both allowed.

    Attributes
    ----------
    key : str
        Of the window, band or area it belongs to.
    terms : tuple of (str, float)
        Each property with the factor it counts by; all of them mix by the same carrier.
    least, most : float or None
        None where there is no such end.
    lean_below : bool
        Whether a blend below is lean and one above fat, or the other way round.
    """

    key: str
    terms: tuple[tuple[str, float], ...]
    least: float | None
    most: float | None
    lean_below: bool = True


def passing_name(diameter: float) -> str:
    """Name of the share passing a size as a property. [mm]

    >>> passing_name(0.075), passing_name(2.0)
    ('passing_0.075', 'passing_2')
    """
    return f"passing_{diameter:g}"


def carrier_of(name: str, *, known: Collection[str]) -> str | None:
    """The property by which another one is weighed in a blend; None for one that goes with the whole dry mass.

    Liquid limit and plasticity index are tested on what passes 0.425 mm, so each source counts by what it brings of that;
    where that share is not known of every source, by its silt and clay.

    Parameters
    ----------
    name : str
        Property.
    known : collection of str
        Properties known of every source.

    Returns
    -------
    str or None

    Raises
    ------
    InputError
        "not_known_of_every_source" where neither carrier is known.

    References
    ----------
    [fm-5-410], [astm-d4318]

    Examples
    --------
    >>> carrier_of("plasticity_index", known=["clay", "fines"]), carrier_of("clay", known=["clay"])
    ('fines', None)
    """
    if name not in OF_THE_FINES:
        return None
    for carrier in (TESTED_PART, "fines"):
        if carrier in known:
            return carrier
    raise InputError("not_known_of_every_source", property="fines")


def conditions(criterion: Criterion, *, known: Collection[str]) -> tuple[Condition, ...]:
    """What lying in a window, band or area asks of the properties of a blend.

    Parameters
    ----------
    criterion : Window, GradingEnvelope or PlasticityArea
    known : collection of str
        Properties known of every source; a band is asked at those of its sizes that are known.

    Returns
    -------
    tuple of Condition

    Raises
    ------
    InputError
        "not_known_of_every_source" naming the first property that is missing.

    Notes
    -----
    An area that bulges outwards everywhere is where every side is on the same hand: one condition a side.

    References
    ----------
    [derivation-blend]

    Examples
    --------
    >>> from loamwright.engine.blend.windows import stabiliser_window
    >>> [(each.terms, each.least, each.most) for each in conditions(stabiliser_window("cement"), known=["clay"])]
    [((('clay', 1.0),), 0.1, 0.2)]
    """
    if isinstance(criterion, Window):
        found: tuple[Condition, ...] = (_of_window(criterion),)
        wanted: tuple[str, ...] = (criterion.property_name,)
    elif isinstance(criterion, PlasticityArea):
        found, wanted = _of_area(criterion), ("liquid_limit", "plasticity_index")
    else:
        found = _of_envelope(criterion, known)
        wanted = () if found else (passing_name(criterion.sizes[0]),)
    for name in wanted:
        if name not in known:
            raise InputError("not_known_of_every_source", property=name)
    return found


def _of_window(window: Window) -> Condition:
    name = window.property_name
    return Condition(window.key, ((name, 1.0),), window.least, window.most, name not in LEAN_WHEN_GREAT)


def _of_envelope(band: GradingEnvelope, known: Collection[str]) -> tuple[Condition, ...]:
    sizes = sorted(size for size in _sizes(known) if band.holds(size))
    return tuple(Condition(band.key, ((passing_name(size), 1.0),), *band.at(size)) for size in sizes)


def _sizes(known: Collection[str]) -> list[float]:
    return [float(name.removeprefix("passing_")) for name in known if name.startswith("passing_")]


def _of_area(area: PlasticityArea) -> tuple[Condition, ...]:
    """One a side, written so that its value rises towards more plasticity: below it is lean, above it fat."""
    ring = (*area.corners, area.corners[0])
    turn = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(ring))
    found = []
    for (x0, y0), (x1, y1) in pairwise(ring):
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        liquid, index = -(y1 - y0) / length, (x1 - x0) / length
        edge, inner = liquid * x0 + index * y0, 1.0 if turn > 0 else -1.0
        rising = 1.0 if index > 0 or (index == 0.0 and liquid > 0) else -1.0
        terms = (("liquid_limit", rising * liquid), ("plasticity_index", rising * index))
        bound = rising * edge
        found.append(Condition(area.key, terms, bound, None) if inner * rising > 0 else Condition(area.key, terms, None, bound))
    return tuple(found)
