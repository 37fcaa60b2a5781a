"""Plastic limit by threads, and where a water content stands between the limits: liquidity, consistency, toughness, activity."""

from collections.abc import Sequence
from dataclasses import dataclass

from loamwright import tables
from loamwright.errors import InputError, Note, check_not_negative, check_positive, check_share
from loamwright.formula import Formula, Term

_W = Term("water_content", "1")
_W_L = Term("liquid_limit", "1")
_W_P = Term("plastic_limit", "1")
_I_P = Term("plasticity_index", "1")

PLASTIC_LIMIT = Formula("plastic_limit", "w_P", "1", "mean(w)", {"w": Term("water_contents", "1")}, "astm-d4318", "plastic limit")
LIQUIDITY_INDEX = Formula(
    "liquidity_index", "I_L", "1", "(w - w_P) / I_p", {"w": _W, "w_P": _W_P, "I_p": _I_P}, "derivation-consistency"
)
CONSISTENCY_INDEX = Formula(
    "consistency_index", "I_C", "1", "(w_L - w) / I_p", {"w": _W, "w_L": _W_L, "I_p": _I_P}, "derivation-consistency"
)
TOUGHNESS_INDEX = Formula(
    "toughness_index", "I_T", "1", "I_p / F", {"I_p": _I_P, "F": Term("flow_index", "1")}, "derivation-consistency"
)
ACTIVITY = Formula("activity", "A", "1", "I_p / C", {"I_p": _I_P, "C": Term("clay", "1")}, "skempton-1953")


@dataclass(frozen=True, slots=True)
class Threads:
    """A plastic limit.

    Attributes
    ----------
    plastic_limit : float
        Mean of the threads. [-]
    apart : float
        Wettest less driest thread. [-]
    notes : tuple of Note
        "threads_apart" where they differ by more than a second laboratory would let pass, "threads_few" for a single one.
    """

    plastic_limit: float
    apart: float
    notes: tuple[Note, ...]


def plastic_limit_threads(water_contents: Sequence[float]) -> Threads:
    """Plastic limit: mean water content of threads that crumble at 3.2 mm, with how far they lie apart.

    ASTM D4318-17e1.

    Parameters
    ----------
    water_contents : (n,) sequence
        Of each thread, or each pair of threads; the method asks for two. [-]

    Returns
    -------
    Threads
        See its fields.

    Raises
    ------
    InputError
        "too_few_values" for none, "negative".

    References
    ----------
    [astm-d4318]

    Examples
    --------
    >>> found = plastic_limit_threads([0.165, 0.212, 0.226])
    >>> round(found.plastic_limit, 3), round(found.apart, 3), [note.code for note in found.notes]
    (0.201, 0.061, ['threads_apart'])
    """
    if not water_contents:
        raise InputError("too_few_values", have=0, need=1)
    for water in water_contents:
        check_not_negative(water_content=water)
    apart = max(water_contents) - min(water_contents)
    allowed = _figure("threads-apart")
    notes = []
    if len(water_contents) == 1:
        notes.append(Note("threads_few"))
    if apart > allowed:
        notes.append(Note("threads_apart", {"apart": float(apart), "allowed": allowed}))
    return Threads(sum(water_contents) / len(water_contents), apart, tuple(notes))


def liquidity_index(water_content: float, *, plastic_limit: float, plasticity_index: float) -> float:
    """Where a water content stands between the limits: 0 at the plastic limit, 1 at the liquid limit.

    Parameters
    ----------
    water_content, plastic_limit, plasticity_index : float
        Of dry mass. [-]

    Returns
    -------
    float
        Below 0 for soil drier than its plastic limit. [-]

    Raises
    ------
    InputError
        "negative"; "not_positive" for the plasticity index.

    References
    ----------
    [derivation-consistency]

    Examples
    --------
    >>> round(liquidity_index(0.20, plastic_limit=0.15, plasticity_index=0.10), 6)
    0.5
    """
    check_not_negative(water_content=water_content, plastic_limit=plastic_limit)
    check_positive(plasticity_index=plasticity_index)
    return (water_content - plastic_limit) / plasticity_index


def consistency_index(water_content: float, *, liquid_limit: float, plasticity_index: float) -> float:
    """How far a water content stands below the liquid limit: 0 there, 1 at the plastic limit.

    Parameters
    ----------
    water_content, liquid_limit, plasticity_index : float
        Of dry mass. [-]

    Returns
    -------
    float
        One less the liquidity index. [-]

    Raises
    ------
    InputError
        "negative"; "not_positive" for the plasticity index.

    References
    ----------
    [derivation-consistency]

    Examples
    --------
    >>> round(consistency_index(0.20, liquid_limit=0.25, plasticity_index=0.10), 6)
    0.5
    """
    check_not_negative(water_content=water_content, liquid_limit=liquid_limit)
    check_positive(plasticity_index=plasticity_index)
    return (liquid_limit - water_content) / plasticity_index


def toughness_index(plasticity_index: float, *, flow_index: float) -> float:
    """Plasticity index over flow index: how firm a thread is at the plastic limit.

    Parameters
    ----------
    plasticity_index, flow_index : float
        Of dry mass. [-]

    Returns
    -------
    float
        0 to 3 for most soils (common practice). [-]

    Raises
    ------
    InputError
        "negative"; "not_positive" for the flow index.

    References
    ----------
    [derivation-consistency]

    Examples
    --------
    >>> round(toughness_index(0.264, flow_index=0.368), 2)
    0.72
    """
    check_not_negative(plasticity_index=plasticity_index)
    check_positive(flow_index=flow_index)
    return plasticity_index / flow_index


def activity(plasticity_index: float, *, clay: float) -> float:
    """Plasticity index over the share of clay: how much each part of clay does.

    Parameters
    ----------
    plasticity_index : float
        Of dry mass. [-]
    clay : float
        Grains under 0.002 mm over dry mass of what the limits were made on, above 0 and below 1. [-]

    Returns
    -------
    float
        About 0.4 for kaolinite, 0.9 for illite, 1 and much more for smectite. [-]

    Raises
    ------
    InputError
        "negative", "not_positive", "not_a_share".

    Notes
    -----
    Both must belong to the same fraction of the soil, that finer than 0.425 mm.

    References
    ----------
    [skempton-1953]

    Examples
    --------
    >>> round(activity(0.21, clay=0.28), 4)
    0.75
    """
    check_not_negative(plasticity_index=plasticity_index)
    check_positive(clay=clay)
    check_share(clay=clay)
    return plasticity_index / clay


def activity_class(activity: float) -> str:
    """Name of an activity by Skempton's table: "inactive" below 0.75, "normal" to 1.25, "active" above.

    Parameters
    ----------
    activity : float
        Plasticity index over clay. [-]

    Returns
    -------
    str
        A key of data/activity.toml.

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [skempton-1953]

    Examples
    --------
    >>> activity_class(0.74), activity_class(0.75), activity_class(1.26)
    ('inactive', 'normal', 'active')
    """
    check_not_negative(activity=activity)
    rows = tables.load("activity", required=("up_to", "edge_included"))
    for row in rows:
        if activity < row["up_to"] or (row["edge_included"] and activity == row["up_to"]):
            return row.key
    return rows.rows[-1].key


def _figure(key: str) -> float:
    return tables.figure("soil_limits", key, required=("unit", "note"))
