"""Splitting strength of cylinders and blocks, penetrometer on fresh blocks, rate of loading."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi
from statistics import fmean

from loamwright import tables
from loamwright.errors import InputError, Note, check_not_negative, check_positive
from loamwright.formula import Formula, Term

_F = Term("force", "kN")
LEAST_RATE_SHARE, MOST_RATE_SHARE = 0.5, 2.0
"""Slower than half or faster than twice a rule's rate is said. [judgement-block-tests]"""

SPLITTING_STRENGTH = Formula(
    "splitting_strength",
    "f_t",
    "MPa",
    "2 * 1000 * F / (pi * L * D)",
    {"F": _F, "L": Term("split_length", "mm"), "D": Term("split_depth", "mm")},
    "astm-c496",
    "cylinder; ASTM C1006 for a block",
)
PENETRATION_RESISTANCE = Formula(
    "penetration_resistance",
    "q_p",
    "MPa",
    "1000 * F / (pi / 4 * d ** 2)",
    {"F": _F, "d": Term("piston_diameter", "mm")},
    "practice-penetrometer",
)
MEAN_PENETRATION = Formula(
    "penetration_resistance",
    "q_p",
    "MPa",
    "mean(q_i)",
    {"q_i": Term("penetration_resistances", "MPa")},
    "practice-penetrometer",
)
FORCE_RATE = Formula(
    "force_rate",
    "v_F",
    "kN/min",
    "F / t",
    {"F": _F, "t": Term("loading_minutes", "min")},
    "derivation-strength",
)
STRESS_RATE = Formula(
    "stress_rate",
    "v",
    "MPa/min",
    "f / t",
    {"f": Term("strength", "MPa"), "t": Term("loading_minutes", "min")},
    "derivation-strength",
)


@dataclass(frozen=True, slots=True)
class RuleRate:
    """The rate of loading one rule asks for, against the rate a block was loaded at.

    Attributes
    ----------
    key : str
        Key of the row.
    document : str
        Name of the document.
    wanted : float
        Rate the rule asks for. [MPa/min or kN/min]
    per : str
        "stress" in MPa/min, or "force" in kN/min.
    over_rule : float
        Rate as loaded over the rule's. [-]
    source, standing : str
        Reference key, and how the figure is known.
    notes : tuple of Note
        "rate_slow" or "rate_fast" beyond half and twice.
    """

    key: str
    document: str
    wanted: float
    per: str
    over_rule: float
    source: str
    standing: str
    notes: tuple[Note, ...] = ()


def splitting_strength(force: float, *, split_length: float, split_depth: float) -> float:
    """Tensile strength by splitting between two strips.

    ASTM C496 for cylinders, ASTM C1006 for blocks (from memory).

    Parameters
    ----------
    force : float or (n,) array
        Load at which it split. [kN]
    split_length : float or (n,) array
        Length of the strip on it: length of a cylinder, the face a block splits along. [mm]
    split_depth : float or (n,) array
        From strip to strip: diameter of a cylinder, depth of a block. [mm]

    Returns
    -------
    float or (n,) array
        2 F / (π L D). [MPa]

    Raises
    ------
    InputError
        "negative", "not_positive".

    Notes
    -----
    Elastic theory of a disc; for a square cut the same formula is the first term, within about a tenth.

    References
    ----------
    [astm-c496], [astm-c1006]

    Examples
    --------
    >>> round(splitting_strength(10.0, split_length=140.0, split_depth=90.0), 3)
    0.505
    """
    check_not_negative(force=force)
    check_positive(split_length=split_length, split_depth=split_depth)
    return 2.0 * 1000.0 * force / (pi * split_length * split_depth)


def penetration_resistance(force: float, *, piston_diameter: float) -> float:
    """Resistance of a fresh block to a blunt piston pressed in to its mark.

    Parameters
    ----------
    force : float or (n,) array
        Push of the piston. [kN]
    piston_diameter : float or (n,) array
        Of its end. [mm]

    Returns
    -------
    float or (n,) array
        Force over the end of the piston. [MPa]

    Raises
    ------
    InputError
        "negative", "not_positive".

    Notes
    -----
    Compare blocks of one press and one piston only: the number is not a strength of the block.

    References
    ----------
    [practice-penetrometer]

    Examples
    --------
    >>> round(penetration_resistance(0.1, piston_diameter=6.35), 2)
    3.16
    """
    check_not_negative(force=force)
    check_positive(piston_diameter=piston_diameter)
    return 1000.0 * force / (pi / 4.0 * piston_diameter**2)


def mean_penetration(penetration_resistances: Sequence[float]) -> float:
    """Mean of several readings on one block.

    Parameters
    ----------
    penetration_resistances : (n,) sequence
        Readings. [MPa]

    Returns
    -------
    float
        Mean. [MPa]

    Raises
    ------
    InputError
        "no_values", "negative".

    References
    ----------
    [practice-penetrometer]

    Examples
    --------
    >>> mean_penetration([2.0, 2.5, 3.0])
    2.5
    """
    if not penetration_resistances:
        raise InputError("no_values", quantity="penetration_resistances")
    for each in penetration_resistances:
        check_not_negative(penetration_resistances=each)
    return fmean(penetration_resistances)


def force_rate(force: float, *, loading_minutes: float) -> float:
    """How fast a load was put on, over the whole time it took.

    Parameters
    ----------
    force : float or (n,) array
        Load at failure. [kN]
    loading_minutes : float or (n,) array
        From touching to failure. [min]

    Returns
    -------
    float or (n,) array
        Mean rate. [kN/min]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> force_rate(124.0, loading_minutes=2.0)
    62.0
    """
    check_not_negative(force=force)
    check_positive(loading_minutes=loading_minutes)
    return force / loading_minutes


def stress_rate(strength: float, *, loading_minutes: float) -> float:
    """How fast the stress rose, over the whole time it took.

    Parameters
    ----------
    strength : float or (n,) array
        Stress at failure. [MPa]
    loading_minutes : float or (n,) array
        From touching to failure. [min]

    Returns
    -------
    float or (n,) array
        Mean rate. [MPa/min]

    Raises
    ------
    InputError
        "negative", "not_positive".

    References
    ----------
    [derivation-strength]

    Examples
    --------
    >>> round(stress_rate(0.345, loading_minutes=0.1), 2)
    3.45
    """
    check_not_negative(strength=strength)
    check_positive(loading_minutes=loading_minutes)
    return strength / loading_minutes


def rule_rates(kind: str, *, stress_rate: float, force_rate: float) -> tuple[RuleRate, ...]:
    """The rate of a test against every rule for that kind of test.

    Parameters
    ----------
    kind : str
        "crush", "bend" or "split".
    stress_rate : float
        Mean rate of the stress. [MPa/min]
    force_rate : float
        Mean rate of the load. [kN/min]

    Returns
    -------
    tuple of RuleRate
        In the order of the data file.

    Raises
    ------
    InputError
        "negative".

    References
    ----------
    [nmac-14-7-4], [astm-d1633], [is-1725]

    Examples
    --------
    >>> rates = rule_rates("bend", stress_rate=0.345, force_rate=2.22)
    >>> [(each.per, round(each.over_rule, 2)) for each in rates]
    [('stress', 0.1), ('force', 1.0)]
    """
    check_not_negative(stress_rate=stress_rate, force_rate=force_rate)
    found = []
    for row in tables.load("loading_rates", required=("kind", "document", "rate", "per")):
        if row["kind"] == kind:
            ratio = (stress_rate if row["per"] == "stress" else force_rate) / row["rate"]
            found.append(
                RuleRate(
                    row.key, row["document"], row["rate"], row["per"], ratio, row.source, row.standing, _rate_notes(row, ratio)
                )
            )
    return tuple(found)


def _rate_notes(row: tables.Row, ratio: float) -> tuple[Note, ...]:
    if LEAST_RATE_SHARE <= ratio <= MOST_RATE_SHARE:
        return ()
    slow = ratio < 1.0
    values = {"document": row["document"], "times": 1.0 / ratio if slow and ratio > 0 else ratio}
    return (Note("rate_slow" if slow else "rate_fast", values),)
