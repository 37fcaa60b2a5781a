"""Marks scratched into green blocks: at most five digits, the last one a check digit."""

from dataclasses import dataclass
from typing import Literal

from loamwright.errors import InputError, check_between

LONGEST_MARK = 5
SHORTEST_MARK = 2
LAST_COUNTER = 10 ** (LONGEST_MARK - 1) - 1

Fault = Literal["empty", "not_digits", "too_short", "too_long", "leading_zero", "wrong_digit"]


@dataclass(frozen=True, slots=True)
class MarkCheck:
    """What a mark read from a block says.

    Attributes
    ----------
    text : str
        As read, without spaces at the ends.
    counter : int or None
        Number the mark was made from; None when the mark is faulty.
    fault : Fault or None
        "empty", "not_digits", "too_short", "too_long", "leading_zero" (no mark begins with 0),
        "wrong_digit" (one digit misread, or two swapped); None when it reads well.
    """

    text: str
    counter: int | None
    fault: Fault | None


def check_digit(digits: str) -> str:
    """Check digit of a string of digits, by the hybrid system MOD 11,10 of ISO 7064.

    Parameters
    ----------
    digits : str
        One or more of 0 to 9, without the check digit.

    Returns
    -------
    str
        One digit.

    Raises
    ------
    InputError
        "not_digits", also for nothing at all.

    Notes
    -----
    Catches every single wrong digit and nearly every swap of neighbours.

    References
    ----------
    [iso-7064]

    Examples
    --------
    >>> check_digit("79462")
    '3'
    """
    if not (digits.isascii() and digits.isdigit()):
        raise InputError("not_digits", value=digits)
    product = 10
    for digit in digits:
        product = 2 * ((product + int(digit)) % 10 or 10) % 11
    return str((11 - product) % 10)


def make_mark(counter: int) -> str:
    """The mark of block number `counter`: the number and its check digit.

    Parameters
    ----------
    counter : int
        1 to 9999; from a plan, or from a range leased to a device. [-]

    Returns
    -------
    str
        Two to five digits.

    Raises
    ------
    InputError
        "out_of_range".

    Notes
    -----
    A mark is a label, not a key: two blocks may carry the same one, and then somebody is asked.

    References
    ----------
    [iso-7064]

    Examples
    --------
    >>> make_mark(147)
    '1476'
    """
    check_between(1, LAST_COUNTER, counter=counter)
    return f"{int(counter)}{check_digit(str(int(counter)))}"


def check_mark(text: str) -> MarkCheck:
    """Whether a mark reads well, and if not, what is wrong with it.

    Parameters
    ----------
    text : str
        As read from the block.

    Returns
    -------
    MarkCheck
        Counter or fault; nothing is corrected.

    References
    ----------
    [iso-7064]

    Examples
    --------
    >>> check_mark("1476").counter, check_mark("1746").fault, check_mark("147b").fault
    (147, 'wrong_digit', 'not_digits')
    """
    read = text.strip()
    fault = _fault(read)
    return MarkCheck(read, int(read[:-1]) if fault is None else None, fault)


def _fault(read: str) -> Fault | None:
    if not read:
        return "empty"
    if not (read.isascii() and read.isdigit()):
        return "not_digits"
    if len(read) < SHORTEST_MARK:
        return "too_short"
    if len(read) > LONGEST_MARK:
        return "too_long"
    if read.startswith("0"):
        return "leading_zero"
    return None if check_digit(read[:-1]) == read[-1] else "wrong_digit"
