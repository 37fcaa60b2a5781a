"""Rigs held against known loads: factor of a jack or load reading, ratio and own weight of a lever, mass or gauge for a load."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt

from loamwright.engine.bench.phases import STANDARD_GRAVITY
from loamwright.engine.bench.strength import LEAST_JACK_FACTOR, MOST_JACK_FACTOR
from loamwright.engine.soil.lines import line_at
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

USUAL_POINTS = 3
"""Known loads that show whether a factor holds over the range. [common practice]"""
MOST_SCATTER = 0.05
"""Scatter of single factors about their mean from which a jack is called unsteady. [judgement-block-tests]"""

_RATIO = {"r": Term("lever_ratio", "1"), "c": Term("lever_own", "kg")}

JACK_FACTOR = Formula(
    "jack_factor",
    "k",
    "1",
    "dot(F_t, F_r) / dot(F_r, F_r)",
    {"F_t": Term("true_forces", "kN"), "F_r": Term("read_forces", "kN")},
    "derivation-rig",
    "least squares through zero",
)
WEIGHT_OF_MASS = Formula(
    "force",
    "F",
    "kN",
    f"{STANDARD_GRAVITY} / 1000 * m",
    {"m": Term("mass", "kg")},
    "derivation-rig",
)
LEVER_RATIO = Formula(
    "lever_ratio", "r", "1", "a / b", {"a": Term("load_arm", "mm"), "b": Term("block_arm", "mm")}, "derivation-strength"
)
LEVER_OWN = Formula(
    "lever_own",
    "c",
    "kg",
    "m * x / b",
    {"m": Term("lever_mass", "kg"), "x": Term("lever_centre", "mm"), "b": Term("block_arm", "mm")},
    "derivation-strength",
)
FITTED_RATIO = Formula(
    "lever_ratio",
    "r",
    "1",
    "dot(u, v) / dot(u, u)",
    {"u": Term("hung_mass_deviations", "kg"), "v": Term("scale_deviations", "kg")},
    "derivation-least-squares",
)
FITTED_OWN = Formula(
    "lever_own",
    "c",
    "kg",
    "mean(s) - r * mean(W)",
    {"s": Term("scale_masses", "kg"), "W": Term("hung_masses", "kg"), "r": Term("lever_ratio", "1")},
    "derivation-least-squares",
)
MASS_TO_HANG = Formula(
    "hung_mass",
    "W",
    "kg",
    f"(1000 * F / {STANDARD_GRAVITY} - c) / r",
    {"F": Term("force", "kN"), **_RATIO},
    "derivation-strength",
)
GAUGE_FOR_FORCE = Formula(
    "gauge_pressure",
    "p_g",
    "MPa",
    "1000 * F / (A_r * k)",
    {"F": Term("force", "kN"), "A_r": Term("ram_area", "mm2"), "k": Term("jack_factor", "1")},
    "practice-jack",
)
SPLITTING_LOAD = Formula(
    "force",
    "F",
    "kN",
    "f_t * pi * L * D / 2 / 1000",
    {"f_t": Term("splitting_strength", "MPa"), "L": Term("split_length", "mm"), "D": Term("split_depth", "mm")},
    "astm-c496",
)


@dataclass(frozen=True, slots=True)
class Factor:
    """Force that arrives over force read, from known loads.

    Attributes
    ----------
    jack_factor : float
        Multiply what the rig shows by this. [-]
    scatter : float or None
        Standard deviation of single factors about it, over it; None for one load. [-]
    notes : tuple of Note
        "few_known_loads", "factor_unsteady".
    """

    jack_factor: float
    scatter: float | None
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Lever:
    """Ratio and own weight of a lever, from a scale under its block end.

    Attributes
    ----------
    lever_ratio : float
        Rise of the scale for each kilogram hung. [-]
    lever_own : float
        What the bare lever presses with. [kg]
    residual : float or None
        Scatter of the scale about the line; None for two readings. [kg]
    hung_mass_deviations, scale_deviations : tuple of float
        What the ratio is made of. [kg]
    notes : tuple of Note
        "few_known_loads".
    """

    lever_ratio: float
    lever_own: float
    residual: float | None
    hung_mass_deviations: tuple[float, ...]
    scale_deviations: tuple[float, ...]
    notes: tuple[Note, ...] = ()


def jack_factor(true_forces: Sequence[float], *, read_forces: Sequence[float]) -> Factor:
    """Factor of a jack or of a load display, from known loads.

    Parameters
    ----------
    true_forces : (n,) sequence
        Known loads: weights lifted, a checked machine, a proving ring. [kN]
    read_forces : (n,) sequence
        What the rig showed: its display, or gauge times ram area. [kN]

    Returns
    -------
    Factor
        Factor, scatter, notes.

    Raises
    ------
    InputError
        "no_values", "lengths_of_loads", "not_positive"; "out_of_range" for a factor no jack has.

    Notes
    -----
    Least squares through zero, so that large loads, read more surely, count for more.

    References
    ----------
    [derivation-rig], [practice-jack]

    Examples
    --------
    >>> round(jack_factor([9.0, 18.0, 45.0], read_forces=[10.0, 20.0, 50.0]).jack_factor, 6)
    0.9
    """
    if not true_forces:
        raise InputError("no_values", quantity="true_forces")
    if len(true_forces) != len(read_forces):
        raise InputError("lengths_of_loads", known=len(true_forces), read=len(read_forces))
    for true, read in zip(true_forces, read_forces, strict=True):
        check_positive(true_forces=true, read_forces=read)
    pairs = list(zip(true_forces, read_forces, strict=True))
    factor = sum(true * read for true, read in pairs) / sum(read * read for _, read in pairs)
    check_between(LEAST_JACK_FACTOR, MOST_JACK_FACTOR, jack_factor=factor)
    scatter = _scatter([true / read for true, read in pairs], factor)
    notes = _few(len(pairs))
    if scatter is not None and scatter > MOST_SCATTER:
        notes = (*notes, Note("factor_unsteady", {"scatter": scatter, "most": MOST_SCATTER}))
    return Factor(factor, scatter, notes)


def _scatter(factors: list[float], factor: float) -> float | None:
    if len(factors) < 2:
        return None
    return sqrt(sum((each - factor) ** 2 for each in factors) / (len(factors) - 1)) / factor


def _few(count: int) -> tuple[Note, ...]:
    return (Note("few_known_loads", {"count": count, "wanted": USUAL_POINTS}),) if count < USUAL_POINTS else ()


def lever_ratio(load_arm: float, *, block_arm: float) -> float:
    """Ratio of a lever by its arms.

    Parameters
    ----------
    load_arm, block_arm : float or (n,) array
        Level distances from the hinge to bucket and block. [mm]

    Returns
    -------
    float or (n,) array
        Ratio. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> lever_ratio(1600.0, block_arm=200.0)
    8.0
    """
    check_positive(load_arm=load_arm, block_arm=block_arm)
    return load_arm / block_arm


def lever_own(lever_mass: float, *, lever_centre: float, block_arm: float) -> float:
    """Mass on the block that the bare lever stands for.

    Parameters
    ----------
    lever_mass : float or (n,) array
        Bare lever. [kg]
    lever_centre : float or (n,) array
        Hinge to its point of balance. [mm]
    block_arm : float or (n,) array
        Hinge to the block. [mm]

    Returns
    -------
    float or (n,) array
        Mass. [kg]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(lever_own(2.8, lever_centre=600.0, block_arm=200.0), 6)
    8.4
    """
    check_not_negative(lever_mass=lever_mass, lever_centre=lever_centre)
    check_positive(block_arm=block_arm)
    return lever_mass * lever_centre / block_arm


def lever_by_scale(hung_masses: Sequence[float], *, scale_masses: Sequence[float]) -> Lever:
    """Ratio and own weight of a lever from a scale where the block would be, at two or more hung masses.

    Parameters
    ----------
    hung_masses : (n,) sequence
        Bucket and all in it; 0 for the bare lever. [kg]
    scale_masses : (n,) sequence
        What the scale showed. [kg]

    Returns
    -------
    Lever
        Ratio, own weight, scatter, notes.

    Raises
    ------
    InputError
        "negative"; "lever_turns_back" where the scale falls as more is hung; what the line raises ("lengths_differ",
        "too_few_values", "columns_alike").

    References
    ----------
    [derivation-least-squares]

    Examples
    --------
    >>> found = lever_by_scale([0.0, 5.0, 10.0], scale_masses=[8.4, 38.4, 68.4])
    >>> round(found.lever_ratio, 6), round(found.lever_own, 6)
    (6.0, 8.4)
    """
    for hung, shown in zip(hung_masses, scale_masses, strict=False):
        check_not_negative(hung_masses=hung, scale_masses=shown)
    line = line_at(scale_masses, places=hung_masses, at=0.0)
    if line.slope <= 0:
        raise InputError("lever_turns_back")
    hung_mean, scale_mean = sum(hung_masses) / len(hung_masses), sum(scale_masses) / len(scale_masses)
    return Lever(
        line.slope,
        scale_mean - line.slope * hung_mean,
        line.residual_sd,
        tuple(each - hung_mean for each in hung_masses),
        tuple(each - scale_mean for each in scale_masses),
        _few(len(hung_masses)),
    )


def mass_to_hang(force: float, *, lever_ratio: float, lever_own: float) -> float:
    """Mass to hang on a lever of known ratio for a wanted force on the block.

    Parameters
    ----------
    force : float or (n,) array
        Wanted force. [kN]
    lever_ratio : float or (n,) array
        Long arm over short arm. [-]
    lever_own : float or (n,) array
        Mass on the block that the bare lever stands for. [kg]

    Returns
    -------
    float or (n,) array
        Bucket and all in it; below zero where the bare lever alone is more than wanted. [kg]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(mass_to_hang(1.512, lever_ratio=8.0, lever_own=0.0), 1)
    19.3
    """
    check_not_negative(force=force, lever_own=lever_own)
    check_positive(lever_ratio=lever_ratio)
    return (1000.0 * force / STANDARD_GRAVITY - lever_own) / lever_ratio


def gauge_for_force(force: float, *, ram_area: float, jack_factor: float) -> float:
    """Gauge reading at which a jack gives a wanted force.

    Parameters
    ----------
    force : float or (n,) array
        Wanted force. [kN]
    ram_area : float or (n,) array
        Area the oil pushes. [mm²]
    jack_factor : float or (n,) array
        Force that arrives over gauge times area. [-]

    Returns
    -------
    float or (n,) array
        Oil pressure. [MPa]

    Raises
    ------
    InputError
        "negative", "not_positive", "out_of_range".

    References
    ----------
    [practice-jack]

    Examples
    --------
    >>> round(gauge_for_force(114.6, ram_area=10258.0, jack_factor=0.9), 2)
    12.41
    """
    check_not_negative(force=force)
    check_positive(ram_area=ram_area)
    check_between(LEAST_JACK_FACTOR, MOST_JACK_FACTOR, jack_factor=jack_factor)
    return 1000.0 * force / (ram_area * jack_factor)


def load_to_split(splitting_strength: float, *, split_length: float, split_depth: float) -> float:
    """Load that splits a block of a given splitting strength.

    Parameters
    ----------
    splitting_strength : float or (n,) array
        Tensile strength. [MPa]
    split_length, split_depth : float or (n,) array
        As in `splitting.splitting_strength`. [mm]

    Returns
    -------
    float or (n,) array
        Load. [kN]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [astm-c496]

    Examples
    --------
    >>> round(load_to_split(0.505, split_length=140.0, split_depth=90.0), 2)
    9.99
    """
    check_not_negative(splitting_strength=splitting_strength)
    check_positive(split_length=split_length, split_depth=split_depth)
    return splitting_strength * pi * split_length * split_depth / 2.0 / 1000.0
