"""Swelling of wet soil: free swell, jar, expansion index, methylene blue, swell by plasticity."""

from dataclasses import dataclass

from loamwright import tables
from loamwright.errors import InputError, Note, check_between, check_not_negative, check_positive
from loamwright.formula import Formula, Term

SEED_FACTOR, SEED_EXPONENT = 2.16e-5, 2.44
"""Of swell against plasticity index, both as shares, the index in per cent under the power. [-] [seed-1962]"""
HALF_SATURATED = 0.50
"""Saturation to which an expansion index is brought. [-] [astm-d4829]"""
_SATURATION_LEAST, _SATURATION_MOST = 0.40, 0.60

FREE_SWELL_INDEX = Formula(
    "free_swell_index",
    "F_S",
    "1",
    "(V_d - V_k) / V_k",
    {"V_d": Term("volume_in_water", "m3"), "V_k": Term("volume_in_kerosene", "m3")},
    "is-2720-40",
)
FREE_SWELL = Formula(
    "free_swell",
    "S_f",
    "1",
    "(V - V_0) / V_0",
    {"V": Term("volume_in_water", "m3"), "V_0": Term("poured_volume", "m3")},
    "holtz-gibbs-1956",
)
JAR_SWELL = Formula(
    "jar_swell",
    "S_j",
    "1",
    "(h - h_0) / h_0",
    {"h": Term("height", "mm"), "h_0": Term("fill_height", "mm")},
    "jar-practice",
)
EXPANSION_INDEX = Formula(
    "expansion_index",
    "E",
    "1",
    "1000 * d / h_0",
    {"d": Term("rise", "mm"), "h_0": Term("specimen_height", "mm")},
    "astm-d4829",
)
EXPANSION_INDEX_50 = Formula(
    "expansion_index_at_half",
    "E_50",
    "1",
    "E - (50 - 100 * S_r) * (65 + E) / (220 - 100 * S_r)",
    {"E": Term("expansion_index", "1"), "S_r": Term("saturation", "1")},
    "astm-d4829",
)
BLUE_VALUE = Formula(
    "methylene_blue_value",
    "V_B",
    "1",
    "c * V / m_dry",
    {"c": Term("blue_concentration", "kg/m3"), "V": Term("blue_volume", "m3"), "m_dry": Term("dry_mass", "kg")},
    "nf-p94-068",
)
SWELL_BY_PLASTICITY = Formula(
    "swell_potential",
    "S",
    "1",
    f"{SEED_FACTOR} * (100 * I_p) ** {SEED_EXPONENT}",
    {"I_p": Term("plasticity_index", "1")},
    "seed-1962",
)


def free_swell_index(volume_in_water: float, *, volume_in_kerosene: float) -> float:
    """Free swell index: the same mass of soil settled in water and in kerosene, which does not make clay swell.

    IS 2720-40:1977: two times 10 g, below 0.425 mm, 24 h.

    Parameters
    ----------
    volume_in_water, volume_in_kerosene : float
        Of the settled soil. [m³]

    Returns
    -------
    float
        What it takes more in water, over its volume in kerosene; below zero for kaolin, which settles closer in water. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [is-2720-40]

    Examples
    --------
    >>> round(free_swell_index(18e-6, volume_in_kerosene=12e-6), 6)
    0.5
    """
    check_positive(volume_in_water=volume_in_water, volume_in_kerosene=volume_in_kerosene)
    return (volume_in_water - volume_in_kerosene) / volume_in_kerosene


def free_swell(volume_in_water: float, *, poured_volume: float) -> float:
    """Free swell: 10 ml of dry powder poured slowly into 100 ml of water.

    Holtz and Gibbs (1956).

    Parameters
    ----------
    volume_in_water : float
        Of the settled soil after 24 h. [m³]
    poured_volume : float
        Of the loose dry powder. [m³]

    Returns
    -------
    float
        Rise over the poured volume. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [holtz-gibbs-1956]

    Examples
    --------
    >>> round(free_swell(15e-6, poured_volume=10e-6), 6)
    0.5
    """
    check_positive(volume_in_water=volume_in_water, poured_volume=poured_volume)
    return (volume_in_water - poured_volume) / poured_volume


@dataclass(frozen=True, slots=True)
class JarSwell:
    """How far soil stands above its dry mark in a jar: share of the dry height [-], and a note where pouring explains it."""

    jar_swell: float
    notes: tuple[Note, ...]


def jar_swell(height: float, *, fill_height: float) -> JarSwell:
    """Swell in a jar: settled bed above the dry mark.

    Parameters
    ----------
    height : float
        Of the settled bed, a day or more after shaking. [mm]
    fill_height : float
        Of the loose dry soil before water. [mm]

    Returns
    -------
    JarSwell
        With the note "jar_swell_loose" where it moved by no more than loose soil does without swelling.

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [jar-practice]

    Examples
    --------
    >>> found = jar_swell(66.0, fill_height=60.0)
    >>> round(found.jar_swell, 4), [note.code for note in found.notes]
    (0.1, ['jar_swell_loose'])
    """
    check_positive(height=height, fill_height=fill_height)
    swell = (height - fill_height) / fill_height
    loose = tables.figure("soil_swelling", "loose-soil-moves", required=("unit", "note"))
    notes = (Note("jar_swell_loose", {"swell": float(swell), "loose": loose}),) if abs(swell) <= loose else ()
    return JarSwell(swell, notes)


def expansion_index(rise: float, *, specimen_height: float) -> float:
    """Expansion index of a compacted ring under 1 psi in water, as read.

    ASTM D4829: 24 h, or until it rises by less than 0.005 mm/h.

    Parameters
    ----------
    rise : float
        Of the specimen; below zero where it settled. [mm]
    specimen_height : float
        Before water. [mm]

    Returns
    -------
    float
        Thousandths of the height. [-]

    Raises
    ------
    InputError
        "not_positive" for the height.

    References
    ----------
    [astm-d4829]

    Examples
    --------
    >>> round(expansion_index(1.524, specimen_height=25.4), 6)
    60.0
    """
    check_positive(specimen_height=specimen_height)
    return 1000.0 * rise / specimen_height


def expansion_index_at_half(expansion_index: float, *, saturation: float) -> float:
    """Expansion index brought to 50 % saturation before wetting.

    ASTM D4829; the formula is recalled.

    Parameters
    ----------
    expansion_index : float
        As read, 0 or above. [-]
    saturation : float
        Before wetting; the method holds for 0.40 to 0.60. [-]

    Returns
    -------
    float
        At half saturation. [-]

    Raises
    ------
    InputError
        "negative"; "out_of_range" outside 0.40 to 0.60: the specimen is made again.

    References
    ----------
    [astm-d4829]

    Examples
    --------
    >>> round(expansion_index_at_half(60.0, saturation=0.45), 1)
    56.4
    """
    check_not_negative(expansion_index=expansion_index)
    check_between(_SATURATION_LEAST, _SATURATION_MOST, saturation=saturation)
    return expansion_index - (50.0 - 100.0 * saturation) * (65.0 + expansion_index) / (220.0 - 100.0 * saturation)


def methylene_blue_value(blue_volume: float, *, blue_concentration: float = 10.0, dry_mass: float) -> float:
    """Methylene blue that soil takes up before the spot on filter paper shows a lasting light ring.

    NF P94-068 (spot test).

    Parameters
    ----------
    blue_volume : float
        Solution added in all. [m³]
    blue_concentration : float
        Of the solution; 10 g/l by the method. [kg/m³]
    dry_mass : float
        Of the soil under test. [kg]

    Returns
    -------
    float
        Mass of blue over dry mass of soil; a report says it in grams to 100 g, so 0.015 is its 1.5. [-]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [nf-p94-068]

    Examples
    --------
    >>> round(methylene_blue_value(90e-6, dry_mass=0.060), 4)
    0.015
    """
    check_not_negative(blue_volume=blue_volume)
    check_positive(blue_concentration=blue_concentration, dry_mass=dry_mass)
    return blue_concentration * blue_volume / dry_mass


def blue_of_whole(blue_value: float, *, share_tested: float) -> float:
    """Blue value of the whole soil from that of the part that passed the screen for the test.

    NF P94-068: tested below 5 mm, stated for 0 to 50 mm.

    Parameters
    ----------
    blue_value : float
        Of the part tested. [-]
    share_tested : float
        That part over the whole, by dry mass, above 0 and at most 1. [-]

    Returns
    -------
    float
        Of the whole. [-]

    Raises
    ------
    InputError
        "negative"; "not_positive", "out_of_range" for the share.

    References
    ----------
    [nf-p94-068]

    Examples
    --------
    >>> blue_of_whole(0.02, share_tested=0.75)
    0.015
    """
    check_not_negative(blue_value=blue_value)
    check_positive(share_tested=share_tested)
    check_between(0.0, 1.0, share_tested=share_tested)
    return blue_value * share_tested


def swell_potential(plasticity_index: float) -> float:
    """Swell of a compacted soil under 1 psi, guessed from its plasticity index.

    Seed, Woodward and Lundgren (1962).

    Parameters
    ----------
    plasticity_index : float
        Of dry mass. [-]

    Returns
    -------
    float
        Rise over height. [-]

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [seed-1962]

    Examples
    --------
    >>> [round(swell_potential(index), 4) for index in (0.15, 0.20, 0.25, 0.35)]
    [0.016, 0.0323, 0.0556, 0.1265]
    """
    check_not_negative(plasticity_index=plasticity_index)
    return SEED_FACTOR * float((100.0 * plasticity_index) ** SEED_EXPONENT)


BLUE_OF_WHOLE = Formula(
    "methylene_blue_value",
    "V_BS",
    "1",
    "V_B * C",
    {"V_B": Term("blue_value", "1"), "C": Term("share_tested", "1")},
    "nf-p94-068",
)


def blue_class(blue_value: float) -> str:
    """Kind of soil by the blue value of the whole, from "insensitive" to "very_clayey".

    NF P11-300.

    Parameters
    ----------
    blue_value : float
        Of the whole soil. [-]

    Returns
    -------
    str
        A key of data/methylene_blue.toml.

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [nf-p11-300]

    Examples
    --------
    >>> blue_class(0.001), blue_class(0.02), blue_class(0.09)
    ('insensitive', 'silty', 'very_clayey')
    """
    check_not_negative(blue_value=blue_value)
    rows = tables.load("methylene_blue", required=("below", "says"))
    for row in rows:
        if blue_value < row["below"]:
            return row.key
    raise InputError("out_of_range", quantity="blue_value", value=blue_value, least=0, most=rows.rows[-1]["below"])
