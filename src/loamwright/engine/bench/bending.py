"""Bending strength of blocks with improvised gear: three bars and a lever."""

from loamwright.engine.bench.phases import STANDARD_GRAVITY
from loamwright.errors import Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

LEAST_SPAN_TO_THICKNESS = 3.0  # simple beam theory errs below it [practice-bending-ratio]

_F = Term("force", "kN")
_BEAM = {"L": Term("span", "mm"), "b": Term("block_width", "mm"), "t": Term("thickness", "mm")}
_LEVER = {
    "a": Term("load_arm", "mm"),
    "b": Term("block_arm", "mm"),
    "m": Term("lever_mass", "kg"),
    "c": Term("lever_centre", "mm"),
}

BENDING_STRENGTH = Formula(
    "bending_strength", "f_b", "MPa", "3 * 1000 * F * L / (2 * b * t ** 2)", {"F": _F, **_BEAM}, "derivation-strength"
)
LOAD_TO_BEND = Formula(
    "force",
    "F",
    "kN",
    "2 * f_b * b * t ** 2 / (3 * L) / 1000",
    {"f_b": Term("bending_strength", "MPa"), **_BEAM},
    "derivation-strength",
)
OWN_WEIGHT_LOAD = Formula(
    "own_weight_load",
    "F_own",
    "kN",
    f"{STANDARD_GRAVITY} / 1000 * m * (1 - l / (2 * L))",
    {"m": Term("block_mass", "kg"), "l": Term("block_length", "mm"), "L": Term("span", "mm")},
    "derivation-strength",
)
LEVER_FORCE = Formula(
    "force",
    "F",
    "kN",
    f"{STANDARD_GRAVITY} / 1000 * (W * a / b + m * c / b)",
    {"W": Term("hung_mass", "kg"), **_LEVER},
    "derivation-strength",
)
MASS_TO_HANG = Formula(
    "hung_mass",
    "W",
    "kg",
    f"(1000 * F / {STANDARD_GRAVITY} - m * c / b) * b / a",
    {"F": _F, **_LEVER},
    "derivation-strength",
)


def bending_strength(force: float, *, span: float, block_width: float, thickness: float) -> float:
    """Three-point bending strength by simple beam theory; the block's own weight is not in it.

    Parameters
    ----------
    force : float or (n,) array
        Load at the middle at failure. [kN]
    span : float or (n,) array
        Between the two supports. [mm]
    block_width : float or (n,) array
        Across the span. [mm]
    thickness : float or (n,) array
        In the direction of the load. [mm]

    Returns
    -------
    float or (n,) array
        Bending strength. [MPa]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    Notes
    -----
    3 F L / (2 b t²). `bending_notes` tells where the span is too short for it; `own_weight_load` what was left out.

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(bending_strength(2.6, span=240.0, block_width=140.0, thickness=90.0), 3)
    0.825
    """
    check_not_negative(force=force)
    check_positive(span=span, block_width=block_width, thickness=thickness)
    return 3.0 * 1000.0 * force * span / (2.0 * block_width * thickness**2)


def load_to_bend(bending_strength: float, *, span: float, block_width: float, thickness: float) -> float:
    """Load at the middle that breaks a block of a given bending strength.

    Parameters
    ----------
    bending_strength : float or (n,) array
        Bending strength. [MPa]
    span, block_width, thickness : float or (n,) array
        As in `bending_strength`. [mm]

    Returns
    -------
    float or (n,) array
        Load. [kN]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(load_to_bend(0.5, span=250.0, block_width=140.0, thickness=90.0), 3)
    1.512
    """
    check_not_negative(bending_strength=bending_strength)
    check_positive(span=span, block_width=block_width, thickness=thickness)
    return 2.0 * bending_strength * block_width * thickness**2 / (3.0 * span) / 1000.0


def bending_notes(span: float, *, thickness: float) -> tuple[Note, ...]:
    """What to know of a bending test on so short a beam.

    Parameters
    ----------
    span : float
        Between the two supports. [mm]
    thickness : float
        In the direction of the load. [mm]

    Returns
    -------
    tuple of Note
        "beam_is_stubby" where span over thickness is under 3, else empty.

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [practice-bending-ratio]

    Examples
    --------
    >>> bending_notes(250.0, thickness=90.0)[0].code
    'beam_is_stubby'
    """
    check_positive(span=span, thickness=thickness)
    ratio = span / thickness
    if ratio >= LEAST_SPAN_TO_THICKNESS:
        return ()
    return (Note("beam_is_stubby", {"span_to_thickness": ratio, "least": LEAST_SPAN_TO_THICKNESS}),)


def own_weight_load(block_mass: float, *, block_length: float, span: float) -> float:
    """Load at the middle that would bend the block as much as its own weight does.

    Parameters
    ----------
    block_mass : float or (n,) array
        Block on the supports. [kg]
    block_length : float or (n,) array
        Along the span, ends hanging over included. [mm]
    span : float or (n,) array
        Between the two supports. [mm]

    Returns
    -------
    float or (n,) array
        Equal load at the middle; negative when long overhangs lift it. [kN]

    Raises
    ------
    InputError
        "not_positive".

    Notes
    -----
    Moment at the middle m g (L/4 - l/8) over L/4: m g (1 - l / (2 L)).

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(own_weight_load(10.0, block_length=300.0, span=250.0), 4)
    0.0392
    """
    check_positive(block_mass=block_mass, block_length=block_length, span=span)
    return STANDARD_GRAVITY / 1000.0 * block_mass * (1.0 - block_length / (2.0 * span))


def lever_force(hung_mass: float, *, load_arm: float, block_arm: float, lever_mass: float, lever_centre: float) -> float:
    """Force of a lever rig on the block.

    Parameters
    ----------
    hung_mass : float or (n,) array
        Bucket and all in it, at the end. [kg]
    load_arm : float or (n,) array
        Hinge to the bucket. [mm]
    block_arm : float or (n,) array
        Hinge to the block. [mm]
    lever_mass : float or (n,) array
        The bare lever. [kg]
    lever_centre : float or (n,) array
        Hinge to the lever's point of balance. [mm]

    Returns
    -------
    float or (n,) array
        Force on the block. [kN]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    Notes
    -----
    Arms are level distances; a lever that has dropped far pulls with shorter ones.

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(lever_force(20.1, load_arm=1200.0, block_arm=200.0, lever_mass=2.8, lever_centre=600.0), 3)
    1.265
    """
    check_not_negative(hung_mass=hung_mass, lever_mass=lever_mass, lever_centre=lever_centre)
    check_positive(load_arm=load_arm, block_arm=block_arm)
    lifted = hung_mass * load_arm / block_arm + lever_mass * lever_centre / block_arm
    return STANDARD_GRAVITY / 1000.0 * lifted


def mass_to_hang(force: float, *, load_arm: float, block_arm: float, lever_mass: float, lever_centre: float) -> float:
    """Mass to hang on a lever rig for a wanted force.

    Parameters
    ----------
    force : float or (n,) array
        Wanted force on the block. [kN]
    load_arm, block_arm, lever_centre : float or (n,) array
        As in `lever_force`. [mm]
    lever_mass : float or (n,) array
        The bare lever. [kg]

    Returns
    -------
    float or (n,) array
        Bucket and all in it; negative when the bare lever alone is more than wanted. [kg]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(mass_to_hang(1.512, load_arm=1600.0, block_arm=200.0, lever_mass=0.0, lever_centre=0.0), 1)
    19.3
    """
    check_not_negative(force=force, lever_mass=lever_mass, lever_centre=lever_centre)
    check_positive(load_arm=load_arm, block_arm=block_arm)
    return (1000.0 * force / STANDARD_GRAVITY - lever_mass * lever_centre / block_arm) * block_arm / load_arm
