"""Crushing strength with press or jack, whether to believe it, and whether the rig can break the block."""

from dataclasses import dataclass

from loamwright.errors import Note, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

UNCALIBRATED_JACK_FACTOR = 0.9  # friction of the seal takes about a tenth [practice-jack]
LEAST_JACK_FACTOR, MOST_JACK_FACTOR = 0.3, 1.2
RIG_MARGIN = 2.0  # a rig must reach twice the load the brief asks for [judgement-rig-margin]
# Published 1/6 to 1/3; block series met in the field go down to 1/7: only beyond these is a question worth asking.
LEAST_BENDING_RATIO, MOST_BENDING_RATIO = 0.10, 0.40

_F = Term("force", "kN")
_FACE = {"l": Term("block_length", "mm"), "b": Term("block_width", "mm")}

COMPRESSIVE_STRENGTH = Formula(
    "compressive_strength", "f_c", "MPa", "1000 * F / (l * b)", {"F": _F, **_FACE}, "derivation-strength"
)
LOAD_TO_CRUSH = Formula(
    "force", "F", "kN", "f_c * l * b / 1000", {"f_c": Term("compressive_strength", "MPa"), **_FACE}, "derivation-strength"
)
JACK_FORCE = Formula(
    "force",
    "F",
    "kN",
    "p_g * A_r * k / 1000",
    {"p_g": Term("gauge_pressure", "MPa"), "A_r": Term("ram_area", "mm2"), "k": Term("jack_factor", "1")},
    "practice-jack",
)
MEAN_OF_HALVES = Formula(
    "compressive_strength",
    "f",
    "MPa",
    "(f_1 + f_2) / 2",
    {"f_1": Term("first_half", "MPa"), "f_2": Term("second_half", "MPa")},
    "derivation-strength",
)
BENDING_TO_CRUSHING = Formula(
    "bending_to_crushing",
    "R",
    "1",
    "f_b / f_c",
    {"f_b": Term("bending_strength", "MPa"), "f_c": Term("compressive_strength", "MPa")},
    "practice-bending-ratio",
)
HEIGHT_TO_THICKNESS = Formula(
    "height_to_thickness",
    "h/t",
    "1",
    "h / t",
    {"h": Term("block_height", "mm"), "t": Term("thickness", "mm")},
    "derivation-strength",
)


@dataclass(frozen=True, slots=True)
class JackReading:
    """Force of a jack and how far it can be trusted.

    Attributes
    ----------
    force : float
        Force on the block. [kN]
    jack_factor : float
        Factor that was used. [-]
    notes : tuple of Note
        "jack_not_calibrated": for screening only, cannot meet a brief.
    """

    force: float
    jack_factor: float
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class RatioCheck:
    """Bending over crushing strength of one mix, and whether to believe it.

    Attributes
    ----------
    ratio : float
        Bending strength over compressive strength. [-]
    notes : tuple of Note
        "bending_ratio_unusual" outside 0.10 to 0.40: look at the raw loads, units and areas again.
    """

    ratio: float
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class RigCheck:
    """Whether a rig can break a block of a wanted strength.

    Attributes
    ----------
    load_at_brief : float
        Load at which a block of just that strength breaks. [kN]
    load_needed : float
        The same times the margin. [kN]
    enough : bool
        True when the rig reaches `load_needed`.
    notes : tuple of Note
        "rig_too_weak", or "rig_near_its_limit" when it reaches the brief but not the margin.
    """

    load_at_brief: float
    load_needed: float
    enough: bool
    notes: tuple[Note, ...] = ()


def compressive_strength(force: float, *, block_length: float, block_width: float) -> float:
    """Crushing strength as tested, on gross area.

    Parameters
    ----------
    force : float or (n,) array
        Load at failure. [kN]
    block_length, block_width : float or (n,) array
        Loaded face, measured outside. [mm]

    Returns
    -------
    float or (n,) array
        Strength without any shape factor. [MPa]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(compressive_strength(123.9, block_length=295.0, block_width=140.0), 2)
    3.0
    """
    check_not_negative(force=force)
    check_positive(block_length=block_length, block_width=block_width)
    return 1000.0 * force / (block_length * block_width)


def load_to_crush(compressive_strength: float, *, block_length: float, block_width: float) -> float:
    """Load that crushes a block of a given strength.

    Parameters
    ----------
    compressive_strength : float or (n,) array
        Strength on gross area. [MPa]
    block_length, block_width : float or (n,) array
        Loaded face. [mm]

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
    >>> round(load_to_crush(3.0, block_length=295.0, block_width=140.0))
    124
    """
    check_not_negative(compressive_strength=compressive_strength)
    check_positive(block_length=block_length, block_width=block_width)
    return compressive_strength * block_length * block_width / 1000.0


def jack_force(gauge_pressure: float, *, ram_area: float, jack_factor: float) -> float:
    """Force of a jack: its gauge reads the oil, not the block.

    Parameters
    ----------
    gauge_pressure : float or (n,) array
        Oil pressure. [MPa]
    ram_area : float or (n,) array
        Area of the ram the oil pushes. [mm²]
    jack_factor : float or (n,) array
        Force that arrives over gauge times area, 0.3 to 1.2. [-]

    Returns
    -------
    float or (n,) array
        Force on the block. [kN]

    Raises
    ------
    InputError
        "negative", "not_positive" or "out_of_range".

    References
    ----------
    [practice-jack]

    Examples
    --------
    >>> round(jack_force(12.41, ram_area=10258.0, jack_factor=0.9), 1)
    114.6
    """
    check_not_negative(gauge_pressure=gauge_pressure)
    check_positive(ram_area=ram_area)
    check_between(LEAST_JACK_FACTOR, MOST_JACK_FACTOR, jack_factor=jack_factor)
    return gauge_pressure * ram_area * jack_factor / 1000.0


def jack_reading(gauge_pressure: float, *, ram_area: float, jack_factor: float | None = None) -> JackReading:
    """Force of a jack, with the usual factor and a note where it was never calibrated.

    Parameters
    ----------
    gauge_pressure : float
        Oil pressure. [MPa]
    ram_area : float
        Area of the ram the oil pushes. [mm²]
    jack_factor : float, optional
        From a calibration against a known load; 0.9 is used without one. [-]

    Returns
    -------
    JackReading
        Force, factor, notes.

    Raises
    ------
    InputError
        As `jack_force`.

    References
    ----------
    [practice-jack]

    Examples
    --------
    >>> jack_reading(12.41, ram_area=10258.0).notes[0].code
    'jack_not_calibrated'
    """
    factor = UNCALIBRATED_JACK_FACTOR if jack_factor is None else jack_factor
    notes = (Note("jack_not_calibrated", {"jack_factor": factor}),) if jack_factor is None else ()
    return JackReading(jack_force(gauge_pressure, ram_area=ram_area, jack_factor=factor), factor, notes)


def mean_of_halves(first_half: float, *, second_half: float) -> float:
    """Strength of one block from its two halves: they are one block, not two.

    Parameters
    ----------
    first_half, second_half : float or (n,) array
        Compressive strength of each half. [MPa]

    Returns
    -------
    float or (n,) array
        Strength of the block. [MPa]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> mean_of_halves(2.5, second_half=3.0)
    2.75
    """
    check_not_negative(first_half=first_half, second_half=second_half)
    return (first_half + second_half) / 2.0


def bending_to_crushing(bending_strength: float, *, compressive_strength: float) -> float:
    """Bending strength over compressive strength.

    Parameters
    ----------
    bending_strength, compressive_strength : float or (n,) array
        Of the same mix, age and condition. [MPa]

    Returns
    -------
    float or (n,) array
        Ratio. [-]

    Raises
    ------
    InputError
        "negative" or "not_positive".

    References
    ----------
    [practice-bending-ratio]

    Examples
    --------
    >>> round(bending_to_crushing(0.5, compressive_strength=2.5), 2)
    0.2
    """
    check_not_negative(bending_strength=bending_strength)
    check_positive(compressive_strength=compressive_strength)
    return bending_strength / compressive_strength


def ratio_check(bending_strength: float, *, compressive_strength: float) -> RatioCheck:
    """Whether bending and crushing strength of one mix can belong together.

    Parameters
    ----------
    bending_strength, compressive_strength : float
        Of the same mix, age and condition. [MPa]

    Returns
    -------
    RatioCheck
        Ratio and notes; an odd ratio is computed with, marked and asked about, never refused.

    Raises
    ------
    InputError
        As `bending_to_crushing`.

    References
    ----------
    [practice-bending-ratio]

    Examples
    --------
    >>> ratio_check(0.33, compressive_strength=0.34).notes[0].code
    'bending_ratio_unusual'
    """
    ratio = bending_to_crushing(bending_strength, compressive_strength=compressive_strength)
    if LEAST_BENDING_RATIO <= ratio <= MOST_BENDING_RATIO:
        return RatioCheck(ratio)
    values = {"ratio": ratio, "least": LEAST_BENDING_RATIO, "most": MOST_BENDING_RATIO}
    return RatioCheck(ratio, (Note("bending_ratio_unusual", values),))


def rig_check(rig_capacity: float, *, load_at_brief: float, rig_margin: float = RIG_MARGIN) -> RigCheck:
    """Whether a rig can break these blocks, good ones included.

    Parameters
    ----------
    rig_capacity : float
        Largest load the rig reaches safely. [kN]
    load_at_brief : float
        Load that breaks a block of just the wanted strength (`load_to_crush`, `load_to_bend`). [kN]
    rig_margin : float
        Good blocks break well above the brief; a test that stops early shows nothing. [-]

    Returns
    -------
    RigCheck
        Loads, answer, notes.

    Raises
    ------
    InputError
        "not_positive", "out_of_range" for a margin under 1.

    References
    ----------
    [judgement-rig-margin]

    Examples
    --------
    >>> rig_check(178.0, load_at_brief=124.0).notes[0].code
    'rig_near_its_limit'
    """
    check_positive(rig_capacity=rig_capacity, load_at_brief=load_at_brief)
    check_between(1.0, 10.0, rig_margin=rig_margin)
    needed = rig_margin * load_at_brief
    enough = rig_capacity >= needed
    code = "rig_too_weak" if rig_capacity < load_at_brief else "rig_near_its_limit"
    notes = () if enough else (Note(code, {"rig_capacity": rig_capacity, "load_needed": needed}),)
    return RigCheck(load_at_brief, needed, enough, notes)


def height_to_thickness(block_height: float, *, thickness: float) -> float:
    """Height in the direction of the load over the least size across it: printed beside every crushing strength.

    Parameters
    ----------
    block_height : float or (n,) array
        In the direction of the load. [mm]
    thickness : float or (n,) array
        Least size across the load. [mm]

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
    >>> round(height_to_thickness(90.0, thickness=140.0), 2)
    0.64
    """
    check_positive(block_height=block_height, thickness=thickness)
    return block_height / thickness
