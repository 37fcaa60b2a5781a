"""Brushing after cycles of wetting and drying, or of freezing and thawing: loss of the dry mass, change of volume."""

from dataclasses import dataclass

from loamwright import tables
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

CYCLES = 12
"""Cycles of the method. [astm-d559]"""

CORRECTED_DRY_MASS = Formula(
    "corrected_dry_mass",
    "m_c",
    "kg",
    "m_f / (1 + r)",
    {"m_f": Term("oven_dry_mass", "kg"), "r": Term("bound_water", "1")},
    "astm-d559",
    "water of hydration",
)
BRUSHING_LOSS = Formula(
    "brushing_loss",
    "L",
    "1",
    "(m_0 - m_c) / m_0",
    {"m_0": Term("original_dry_mass", "kg"), "m_c": Term("corrected_dry_mass", "kg")},
    "astm-d559",
    "soil-cement loss",
)
CYCLE_VOLUME_CHANGE = Formula(
    "cycle_volume_change",
    "c_V",
    "1",
    "(V_1 - V_0) / V_0",
    {"V_0": Term("volume_before", "m3"), "V_1": Term("volume_after", "m3")},
    "astm-d559",
    "volume change",
)
WEIGHED_LOSS = Formula(
    "weighed_loss",
    "L",
    "1",
    "(m_0 - m_1) / m_0",
    {"m_0": Term("block_mass_before", "kg"), "m_1": Term("block_mass_after", "kg")},
    "derivation-phases",
)


@dataclass(frozen=True, slots=True)
class LossLimit:
    """What one document allows a soil of a group to lose.

    Attributes
    ----------
    key : str
        Key of the row.
    document : str
        Name of the document, as papers print it.
    soils : str
        Which soils the limit is for.
    most : float
        Largest loss allowed. [-]
    passes : bool
        Whether the loss found stays within it.
    source, standing : str
        Reference key, and how the figure is known.
    """

    key: str
    document: str
    soils: str
    most: float
    passes: bool
    source: str
    standing: str


def soil_groups() -> tuple[str, ...]:
    """Keys of the groups of soils that bind different amounts of water.

    >>> soil_groups()
    ('A-1', 'A-2', 'A-3', 'A-4', 'A-5', 'A-6', 'A-7')
    """
    return tuple(row.key for row in _bound())


def _bound() -> tables.Table:
    return tables.load("bound_water", required=("bound_water",))


def bound_water(soil_group: str) -> float:
    """Water that hardened cement keeps in an oven at 110 °C, over the dry mass, by road group of the soil.

    ASTM D559 and D560 (from memory).

    Parameters
    ----------
    soil_group : str
        "A-1" to "A-7".

    Returns
    -------
    float
        Share. [-]

    Raises
    ------
    InputError
        "unknown_soil_group".

    References
    ----------
    [astm-d559]

    Examples
    --------
    >>> bound_water("A-2"), bound_water("A-4"), bound_water("A-7")
    (0.015, 0.025, 0.03)
    """
    try:
        return float(_bound()[soil_group]["bound_water"])
    except KeyError:
        raise InputError("unknown_soil_group", soil_group=soil_group, known=", ".join(soil_groups())) from None


def corrected_dry_mass(oven_dry_mass: float, *, bound_water: float) -> float:
    """Dry mass after the last cycle, without the water that the cement bound.

    ASTM D559 (from memory).

    Parameters
    ----------
    oven_dry_mass : float or (n,) array
        After the last cycle, dried at 110 °C. [kg]
    bound_water : float or (n,) array
        From `bound_water`; 0 for a block without stabiliser. [-]

    Returns
    -------
    float or (n,) array
        Mass. [kg]

    Raises
    ------
    InputError
        "not_positive", "negative".

    References
    ----------
    [astm-d559]

    Examples
    --------
    >>> round(corrected_dry_mass(1.890, bound_water=0.015), 4)
    1.8621
    """
    check_positive(oven_dry_mass=oven_dry_mass)
    check_not_negative(bound_water=bound_water)
    return oven_dry_mass / (1.0 + bound_water)


def brushing_loss(original_dry_mass: float, *, corrected_dry_mass: float) -> float:
    """Share of the dry mass lost to cycles and brush.

    ASTM D559 and D560 (from memory).

    Parameters
    ----------
    original_dry_mass : float or (n,) array
        From the mass as pressed and the moisture of the mix. [kg]
    corrected_dry_mass : float or (n,) array
        After the last cycle, from `corrected_dry_mass`; 0 where nothing was left. [kg]

    Returns
    -------
    float or (n,) array
        Loss. [-]

    Raises
    ------
    InputError
        "not_positive", "negative"; "heavier_after_wear" where it would have gained.

    References
    ----------
    [astm-d559]

    Examples
    --------
    >>> round(brushing_loss(2.000, corrected_dry_mass=1.8621), 3)
    0.069
    """
    check_positive(original_dry_mass=original_dry_mass)
    check_not_negative(corrected_dry_mass=corrected_dry_mass)
    _check_lost(original_dry_mass, corrected_dry_mass)
    return (original_dry_mass - corrected_dry_mass) / original_dry_mass


def _check_lost(before: float, after: float) -> None:
    if after > before:
        raise InputError("heavier_after_wear", mass_before=before, mass_after=after)


def weighed_loss(block_mass_before: float, *, block_mass_after: float) -> float:
    """Share of its mass that a block lost, weighed in one condition before and after.

    Parameters
    ----------
    block_mass_before, block_mass_after : float
        Block in the same condition, before and after. [kg]

    Returns
    -------
    float
        Loss. [-]

    Raises
    ------
    InputError
        "not_positive", "negative", "heavier_after_wear".

    References
    ----------
    [derivation-phases]

    Examples
    --------
    >>> round(weighed_loss(7.00, block_mass_after=6.65), 4)
    0.05
    """
    check_positive(block_mass_before=block_mass_before)
    check_not_negative(block_mass_after=block_mass_after)
    _check_lost(block_mass_before, block_mass_after)
    return (block_mass_before - block_mass_after) / block_mass_before


def cycle_volume_change(volume_before: float, *, volume_after: float) -> float:
    """Change of volume through the cycles; soil-cement is asked to stay within 2 %.

    ASTM D559, PCA criteria (from memory).

    Parameters
    ----------
    volume_before, volume_after : float or (n,) array
        Unbrushed block before, and at its largest (or smallest) after. [m³]

    Returns
    -------
    float or (n,) array
        Above zero where it grew. [-]

    Raises
    ------
    InputError
        "not_positive".

    References
    ----------
    [astm-d559], [pca-eb052]

    Examples
    --------
    >>> round(cycle_volume_change(0.003717, volume_after=0.003791), 4)
    0.0199
    """
    check_positive(volume_before=volume_before, volume_after=volume_after)
    return (volume_after - volume_before) / volume_before


def cycle_notes(cycles: int) -> tuple[Note, ...]:
    """What to know of a loss after another number of cycles than the method's.

    >>> cycle_notes(12), cycle_notes(6)[0].code
    ((), 'cycles_other')
    """
    return () if cycles == CYCLES else (Note("cycles_other", {"cycles": cycles, "wanted": CYCLES}),)


def loss_limits(loss: float, *, group: str) -> tuple[LossLimit, ...]:
    """The loss held against every limit for a soil of one road group, document by document.

    Parameters
    ----------
    loss : float
        From `brushing_loss`. [-]
    group : str
        Road group and subgroup, "A-1" to "A-7" or "A-2-4" to "A-2-7"; a plain "A-2" is held against the stricter subgroup.

    Returns
    -------
    tuple of LossLimit
        In the order of the data file; documents that do not ask for a road group come for every soil.

    Raises
    ------
    InputError
        "unknown_soil_group".

    References
    ----------
    [pca-eb052]

    Examples
    --------
    >>> [(each.most, each.passes) for each in loss_limits(0.11, group="A-2-4") if each.document.startswith("PCA")]
    [(0.14, True)]
    >>> [(each.most, each.passes) for each in loss_limits(0.11, group="A-4") if each.document.startswith("PCA")]
    [(0.1, False)]
    """
    bound_water(group[:3])
    rows = [row for row in tables.load("brushing_limits", required=("document", "soils", "most")) if _is_for(row, group)]
    return tuple(
        LossLimit(row.key, row["document"], row["soils"], row["most"], loss <= row["most"], row.source, row.standing)
        for row in rows
    )


def _is_for(row: tables.Row, group: str) -> bool:
    groups = row.get("groups")
    return groups is None or group in groups
