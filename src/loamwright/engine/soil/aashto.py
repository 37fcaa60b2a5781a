"""Groups of AASHTO M 145 with the group index, in the present form and in the capped form of older texts."""

from dataclasses import dataclass
from math import floor

from loamwright.errors import InputError, Note, check_between
from loamwright.formula import Formula, Term

GROUP_INDEX = Formula(
    "group_index",
    "GI",
    "1",
    "(F - 35) * (0.2 + 0.005 * (w_L - 40)) + 0.01 * (F - 15) * (I_P - 10)",
    {"F": Term("fines_pct", "1"), "w_L": Term("liquid_limit_pct", "1"), "I_P": Term("plasticity_index_pct", "1")},
    "aashto-m145",
)
PLASTICITY_TERM = Formula(
    "group_index",
    "GI",
    "1",
    "0.01 * (F - 15) * (I_P - 10)",
    {"F": Term("fines_pct", "1"), "I_P": Term("plasticity_index_pct", "1")},
    "aashto-m145",
)
ALWAYS_ZERO = ("A-1-a", "A-1-b", "A-3", "A-2-4", "A-2-5")
PLASTICITY_ONLY = ("A-2-6", "A-2-7")


@dataclass(frozen=True, slots=True)
class AashtoGroup:
    """A group and its index.

    Attributes
    ----------
    group : str
        Such as "A-2-4" or "A-7-6".
    group_index : int
        Present form: whole, not below 0, no upper cap. [-]
    group_index_raw : float
        The same before it is rounded and cut off at 0. [-]
    group_index_capped : int
        Form used before 1973 and in some texts still: terms capped, at most 20. [-]
    group_of_whole, group_index_of_whole : str, int
        The same where every per cent is rounded to a whole one first, as the table of the standard is written.
    notes : tuple of Note
        "sieve_not_given" where a group further left might fit if a sieve had been given.
    """

    group: str
    group_index: int
    group_index_raw: float
    group_index_capped: int
    group_of_whole: str
    group_index_of_whole: int
    notes: tuple[Note, ...] = ()


def aashto_group(
    passing_0_075: float,
    *,
    liquid_limit: float,
    plasticity_index: float,
    passing_0_425: float | None = None,
    passing_2: float | None = None,
) -> AashtoGroup:
    """Group by the first column from the left that fits, A-3 before A-2.

    Parameters
    ----------
    passing_0_075, passing_0_425, passing_2 : float
        Shares of the whole passing 0.075, 0.425 and 2 mm; the last two None where not sieved. [-]
    liquid_limit, plasticity_index : float
        Of what passes 0.425 mm; 0 and 0 where it is not plastic. [-]

    Returns
    -------
    AashtoGroup
        See its fields.

    Raises
    ------
    InputError
        "out_of_range"; "passing_falls" where more passes a finer sieve.

    Notes
    -----
    The standard's limits are whole per cents ("35 max", "36 min"); here a value between them belongs to the upper group.

    References
    ----------
    [aashto-m145]

    Examples
    --------
    >>> found = aashto_group(0.58, liquid_limit=0.30, plasticity_index=0.10, passing_0_425=0.80, passing_2=1.0)
    >>> found.group, found.group_index
    ('A-4', 3)
    """
    check_between(0.0, 1.0, passing_0_075=passing_0_075)
    check_between(0.0, 10.0, liquid_limit=liquid_limit, plasticity_index=plasticity_index)
    _check_rising(passing_0_075, passing_0_425, passing_2)
    fines, liquid, index = (_per_cent(each) for each in (passing_0_075, liquid_limit, plasticity_index))
    middle, coarse = (None if each is None else _per_cent(each) for each in (passing_0_425, passing_2))
    group, notes = _group(fines, liquid, index, middle, coarse)
    raw = _raw(group, fines, liquid, index)
    whole = _of_whole(fines, liquid, index, middle, coarse)
    return AashtoGroup(group, max(0, _nearest(raw)), raw, max(0, _nearest(_capped(group, fines, liquid, index))), *whole, notes)


def _per_cent(share: float) -> float:
    return round(100.0 * share, 9)


def _of_whole(fines: float, liquid: float, index: float, middle: float | None, coarse: float | None) -> tuple[str, int]:
    """Group and index where every figure is rounded to a whole per cent first, as the table of the standard is written."""
    f, w, p = (float(_nearest(each)) for each in (fines, liquid, index))
    group, _ = _group(f, w, p, *(None if each is None else float(_nearest(each)) for each in (middle, coarse)))
    return group, max(0, _nearest(_raw(group, f, w, p)))


def _check_rising(*passing: float | None) -> None:
    known = [each for each in passing if each is not None]
    check_between(0.0, 1.0, **{f"passing_{place}": each for place, each in enumerate(known)})
    if known != sorted(known):
        raise InputError("passing_falls", passing=known)


def _group(fines: float, liquid: float, index: float, middle: float | None, coarse: float | None) -> tuple[str, tuple[Note, ...]]:
    notes: tuple[Note, ...] = ()
    if index <= 6 and fines <= 25:
        found, unknown = _stones(fines, middle, coarse)
        notes = (Note("sieve_not_given", {"sieve": unknown}),) if unknown else ()
        if found:
            return found, notes
    if fines <= 10 and index <= 0 and middle is not None and middle > 50:
        return "A-3", ()
    return _by_limits(fines, liquid, index), notes


def _stones(fines: float, middle: float | None, coarse: float | None) -> tuple[str, str]:
    """A-1-a or A-1-b where they fit, else nothing; and the sieve that would be needed to know of a coarser one."""
    if middle is None:
        return "", "0.425 mm"
    if fines <= 15 and middle <= 30:
        if coarse is None:
            return "A-1-b", "2 mm"
        if coarse <= 50:
            return "A-1-a", ""
    return ("A-1-b", "") if middle <= 50 else ("", "")


def _by_limits(fines: float, liquid: float, index: float) -> str:
    high_liquid, high_index = liquid > 40, index > 10
    if fines <= 35:
        return {(False, False): "A-2-4", (True, False): "A-2-5", (False, True): "A-2-6"}.get((high_liquid, high_index), "A-2-7")
    if not high_index:
        return "A-5" if high_liquid else "A-4"
    if not high_liquid:
        return "A-6"
    return "A-7-5" if index <= liquid - 30 else "A-7-6"


def _raw(group: str, fines: float, liquid: float, index: float) -> float:
    if group in ALWAYS_ZERO:
        return 0.0
    plasticity = 0.01 * (fines - 15) * (index - 10)
    if group in PLASTICITY_ONLY:
        return plasticity
    return (fines - 35) * (0.2 + 0.005 * (liquid - 40)) + plasticity


def _capped(group: str, fines: float, liquid: float, index: float) -> float:
    if group in ALWAYS_ZERO:
        return 0.0
    a, b = min(max(fines - 35, 0), 40), min(max(fines - 15, 0), 40)
    c, d = min(max(liquid - 40, 0), 20), min(max(index - 10, 0), 20)
    plasticity = 0.01 * b * d
    return plasticity if group in PLASTICITY_ONLY else 0.2 * a + 0.005 * a * c + plasticity


def _nearest(value: float) -> int:
    """Nearest whole number, a half upwards."""
    return floor(round(value, 9) + 0.5)
