"""Cautious values: what nearly all blocks can be trusted to reach, from a few results, by a named rule."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from loamwright.engine.evidence.spread import Spread, spread
from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term

FRACTILE = 0.05
"""The share of blocks that may lie below a characteristic value (EN 1990, EN 14358)."""

N_LEAST = 3
"""Fewer values give no cautious value by any rule."""

KN_SCATTER_UNKNOWN = Formula(
    "fractile_factor",
    "k_n",
    "1",
    "t * sqrt(1 + 1 / n)",
    {"t": Term("t_quantile", "1"), "n": Term("number_of_blocks", "1")},
    "en-1990",
    "Annex D, Table D.1",
)
KN_SCATTER_KNOWN = Formula(
    "fractile_factor",
    "k_n",
    "1",
    "z * sqrt(1 + 1 / n)",
    {"z": Term("normal_quantile", "1"), "n": Term("number_of_blocks", "1")},
    "en-1990",
    "Annex D, Table D.1",
)
CAUTIOUS_VALUE = Formula(
    "cautious_value",
    "f_k",
    "MPa",
    "mean(f) - k * stdev(f)",
    {"f": Term("strength", "MPa"), "k": Term("fractile_factor", "1")},
    "en-1990",
    "Annex D, D7.2",
)
CAUTIOUS_VALUE_SCATTER_KNOWN = Formula(
    "cautious_value",
    "f_k",
    "MPa",
    "mean(f) * (1 - k * V)",
    {
        "f": Term("strength", "MPa"),
        "k": Term("fractile_factor", "1"),
        "V": Term("known_coefficient_of_variation", "1"),
    },
    "en-1990",
    "Annex D, D7.2",
)
SMALL_SAMPLE_VALUE = Formula(
    "cautious_value",
    "f_k",
    "MPa",
    "(1 - 1.5 * stdev(f) / mean(f)) * min(f)",
    {"f": Term("strength", "MPa")},
    "nzs-4298",
    "Appendix B",
)


def _check_n(n: int, least: int) -> None:
    if n < least:
        raise InputError("too_few_values", have=n, need=least)


def t_quantile(n: int, *, probability: float = 1 - FRACTILE) -> float:
    """Quantile of Student's t with n - 1 degrees of freedom.

    >>> round(t_quantile(5), 4)
    2.1318
    """
    from scipy.special import stdtrit

    return float(stdtrit(n - 1, probability))


def normal_quantile(probability: float) -> float:
    """Quantile of the standard normal distribution.

    >>> round(normal_quantile(0.95), 4)
    1.6449
    """
    from scipy.special import ndtri

    return float(ndtri(probability))


def kn_scatter_unknown(n: int) -> float:
    """Factor k_n of the 5 % characteristic value where the scatter is known from these n values alone.

    EN 1990, Annex D, Table D.1, row "V_X unknown".

    Parameters
    ----------
    n : int
        Number of blocks, at least 2. [-]

    Returns
    -------
    float
        k_n. [-]

    Raises
    ------
    InputError
        "too_few_values" for n below 2.

    Notes
    -----
    k_n = t(0.95, n - 1) √(1 + 1/n): the prediction form. At n = 20 it gives 1.772 where the table prints 1.76.

    References
    ----------
    [en-1990]

    Examples
    --------
    >>> [round(kn_scatter_unknown(n), 2) for n in (3, 5, 10)]
    [3.37, 2.34, 1.92]
    """
    _check_n(n, 2)
    return t_quantile(n) * math.sqrt(1 + 1 / n)


def kn_scatter_known(n: int) -> float:
    """Factor k_n of the 5 % characteristic value where the coefficient of variation is known beforehand.

    EN 1990, Annex D, Table D.1, row "V_X known".

    Parameters
    ----------
    n : int
        Number of blocks, at least 1. [-]

    Returns
    -------
    float
        k_n. [-]

    Raises
    ------
    InputError
        "too_few_values" for n below 1.

    Notes
    -----
    k_n = 1.645 √(1 + 1/n), with the 95 % quantile of the normal distribution.

    References
    ----------
    [en-1990]

    Examples
    --------
    >>> [round(kn_scatter_known(n), 2) for n in (1, 3, 10)]
    [2.33, 1.9, 1.73]
    """
    _check_n(n, 1)
    return normal_quantile(1 - FRACTILE) * math.sqrt(1 + 1 / n)


def tolerance_factor(n: int, *, content: float = 1 - FRACTILE, confidence: float = 0.75) -> float:
    """One-sided tolerance factor: mean - k s lies under `content` of all blocks with the given confidence.

    EN 14358 Table 1 (content 0.95, confidence 0.75); ISO 16269-6; NIST/SEMATECH e-Handbook 7.2.6.3.

    Parameters
    ----------
    n : int
        Number of blocks, at least 2. [-]
    content : float
        Share of all blocks above the limit. [-]
    confidence : float
        How sure the statement is. [-]

    Returns
    -------
    float
        k. [-]

    Raises
    ------
    InputError
        "too_few_values" for n below 2, "out_of_range" for a share outside 0.5 to 0.9999.

    Notes
    -----
    k = t'(confidence; n - 1, z √n) / √n with the noncentral t distribution: exact for normal values.
    Not the prediction form of `kn_scatter_unknown`: they answer different questions.

    References
    ----------
    [en-14358] [nist-handbook]

    Examples
    --------
    >>> round(tolerance_factor(5), 2), round(tolerance_factor(43, content=0.90, confidence=0.99), 3)
    (2.46, 1.874)
    """
    from scipy.special import nctdtrit

    _check_n(n, 2)
    check_between(0.5, 0.9999, content=content, confidence=confidence)
    root = math.sqrt(n)
    return float(nctdtrit(n - 1, normal_quantile(content) * root, confidence)) / root


TOLERANCE_FACTOR_APPROXIMATE = Formula(
    "tolerance_factor",
    "k",
    "1",
    "(z_p + sqrt(z_p**2 - (1 - z_c**2 / (2 * (n - 1))) * (z_p**2 - z_c**2 / n))) / (1 - z_c**2 / (2 * (n - 1)))",
    {
        "z_p": Term("normal_quantile", "1"),
        "z_c": Term("normal_quantile", "1"),
        "n": Term("number_of_blocks", "1"),
    },
    "nist-handbook",
    "7.2.6.3",
)


def tolerance_factor_approximate(n: int, *, content: float = 1 - FRACTILE, confidence: float = 0.75) -> float:
    """The handbook's approximation of `tolerance_factor`, for checking tables made with it.

    NIST/SEMATECH e-Handbook 7.2.6.3 (after Natrella 1963).

    Parameters
    ----------
    n : int
        Number of blocks, at least 2. [-]
    content, confidence : float
        As in `tolerance_factor`. [-]

    Returns
    -------
    float
        k. [-]

    Raises
    ------
    InputError
        "too_few_values"; "out_of_range" for a share; "approximation_does_not_hold" where n is too small for it.

    References
    ----------
    [nist-handbook]

    Examples
    --------
    >>> round(tolerance_factor_approximate(43, content=0.90, confidence=0.99), 4)
    1.8752
    """
    _check_n(n, 2)
    check_between(0.5, 0.9999, content=content, confidence=confidence)
    z_p, z_c = normal_quantile(content), normal_quantile(confidence)
    a = 1 - z_c**2 / (2 * (n - 1))
    inside = z_p**2 - a * (z_p**2 - z_c**2 / n)
    if a <= 0 or inside < 0:
        raise InputError("approximation_does_not_hold", n=n, confidence=confidence)
    return (z_p + math.sqrt(inside)) / a


def small_sample_value(values: Sequence[float]) -> float:
    """Characteristic value of a small sample: its lowest result, lowered by its scatter.

    NZS 4298:1998, Appendix B, Special Grade (from memory).

    Parameters
    ----------
    values : sequence of float
        One value a block, at least two. [MPa]

    Returns
    -------
    float
        f'. Below zero where the coefficient of variation is above 2/3. [MPa]

    Raises
    ------
    InputError
        "too_few_values", "negative", "no_scatter_share" where every value is zero.

    Notes
    -----
    f' = (1 - 1.5 s / mean) × least. The standard asks for five values or more; `cautious_value` holds to that.

    References
    ----------
    [nzs-4298]

    Examples
    --------
    >>> round(small_sample_value([2.9, 3.4, 3.1, 3.6, 2.7]), 2)
    2.23
    """
    return _small_sample(spread(values))


def _small_sample(found: Spread) -> float:
    _check_n(found.n, 2)
    if found.coefficient_of_variation is None:
        raise InputError("no_scatter_share", mean=found.mean)
    return (1 - 1.5 * found.coefficient_of_variation) * found.least


def _below_mean(factor: Callable[[int], float]) -> Callable[[Spread, float | None], tuple[float, float | None]]:
    def value(found: Spread, _known: float | None) -> tuple[float, float | None]:
        k = factor(found.n)
        return found.mean - k * (found.standard_deviation or 0.0), k

    return value


def _scatter_known(found: Spread, known: float | None) -> tuple[float, float | None]:
    if known is None:
        raise InputError("known_coefficient_of_variation_missing", rule="en1990_scatter_known")
    check_between(0, 1, known_coefficient_of_variation=known)
    k = kn_scatter_known(found.n)
    return found.mean * (1 - k * known), k


@dataclass(frozen=True, slots=True)
class CautiousRule:
    """A named way from a few values to one that nearly all blocks reach.

    Attributes
    ----------
    key : str
        Its name in `RULES`.
    value : callable
        From a `Spread` and a known coefficient of variation to the value and its factor.
    n_least : int
        Fewest values it takes.
    formula : Formula
        What a person would write by hand.
    """

    key: str
    value: Callable[[Spread, float | None], tuple[float, float | None]]
    n_least: int
    formula: Formula


EN1990_UNKNOWN = "en1990_scatter_unknown"
_ALL = (
    CautiousRule(EN1990_UNKNOWN, _below_mean(kn_scatter_unknown), N_LEAST, CAUTIOUS_VALUE),
    CautiousRule("en1990_scatter_known", _scatter_known, N_LEAST, CAUTIOUS_VALUE_SCATTER_KNOWN),
    CautiousRule("en14358_tolerance", _below_mean(tolerance_factor), N_LEAST, CAUTIOUS_VALUE),
    CautiousRule("nzs4298_small_sample", lambda found, _known: (_small_sample(found), None), 5, SMALL_SAMPLE_VALUE),
)
RULES: Mapping[str, CautiousRule] = {each.key: each for each in _ALL}
"""Every rule by its name: `en1990_scatter_unknown` is the product's own choice where no building rule names another."""


@dataclass(frozen=True, slots=True)
class CautiousValue:
    """A cautious value and what made it.

    Attributes
    ----------
    value : float
        The strength that nearly all blocks reach. [MPa]
    rule : str
        Key in `RULES`.
    factor : float or None
        The factor on the scatter; None where the rule has none. [-]
    spread : Spread
        The values' summary. [MPa]
    notes : tuple of Note
        "batch_mates_share_errors" always; "cautious_value_not_positive" where the scatter swallowed it.
    """

    value: float
    rule: str
    factor: float | None
    spread: Spread
    notes: tuple[Note, ...]


def cautious_value(
    values: Sequence[float], *, rule: str = EN1990_UNKNOWN, known_coefficient_of_variation: float | None = None
) -> CautiousValue:
    """The cautious (characteristic) value of a few block results by a named rule.

    EN 1990 Annex D (V unknown) unless another rule is named.

    Parameters
    ----------
    values : sequence of float
        One value a block, at least three (five for NZS 4298). [MPa]
    rule : str
        Key in `RULES`.
    known_coefficient_of_variation : float, optional
        Only for `en1990_scatter_known`: known from many earlier lots, not from these values. [-]

    Returns
    -------
    CautiousValue
        See its fields; a value below zero is returned as it is, with a note.

    Raises
    ------
    InputError
        "unknown_rule"; "too_few_values"; "known_coefficient_of_variation_missing"; "negative".

    Notes
    -----
    Every rule takes the values as independent. Blocks of one batch share its errors, so the result is
    not cautious enough for a single batch: the note says so.

    References
    ----------
    [en-1990] [en-14358] [nzs-4298]

    Examples
    --------
    >>> round(cautious_value([2.9, 3.4, 3.1, 3.6, 2.7]).value, 2)
    2.29
    """
    if rule not in RULES:
        raise InputError("unknown_rule", rule=rule, known=", ".join(RULES))
    chosen = RULES[rule]
    found = spread(values)
    _check_n(found.n, chosen.n_least)
    value, factor = chosen.value(found, known_coefficient_of_variation)
    notes = [Note("batch_mates_share_errors", {"n": found.n})]
    if value <= 0:
        notes.append(Note("cautious_value_not_positive", {"value": value}))
    return CautiousValue(value, rule, factor, found, tuple(notes))
