"""One byte form for every body and envelope: JSON by RFC 8785, so that a hash means the same thing everywhere."""

import hashlib
import json
from typing import Any

import rfc8785

from loamwright.errors import InputError


def canonical(value: Any) -> str:
    """The RFC 8785 text of a JSON value.

    Raises
    ------
    InputError
        "not_json" for a number that is not finite, a whole number beyond 2**53, a type JSON does not have, half a
        surrogate pair in a text, or lists nested deeper than can be walked.

    Examples
    --------
    >>> canonical({"b": 1.50, "a": "ä"})
    '{"a":"ä","b":1.5}'
    """
    try:
        return rfc8785.dumps(value).decode("utf-8")
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError) as fault:
        raise InputError("not_json", reason=str(fault)) from fault


def parsed(text: str) -> Any:
    """The value of a JSON text, so that writing it again gives the same canonical text.

    Whole numbers from 2**53 up are doubles, as RFC 8785 has them; one that no double writes so is refused.

    Raises
    ------
    ValueError
        If the text is not JSON, or holds such a number.
    RecursionError
        If it is nested deeper than can be walked.

    Examples
    --------
    >>> canonical(parsed(canonical(1e20))), parsed("7")
    ('100000000000000000000', 7)
    """
    return json.loads(text, parse_int=_whole)


def _whole(text: str) -> int | float:
    if len(text) < 16:
        return int(text)
    value = float(text)
    if abs(value) < 2**53:
        return int(text)
    if value in (float("inf"), float("-inf")) or canonical(value) != text:
        raise ValueError(f"{text} is no number a double holds")
    return value


def digest(text: str | bytes) -> str:
    """SHA-256 of a text (as UTF-8) or of bytes, in hexadecimal."""
    return hashlib.sha256(text.encode("utf-8") if isinstance(text, str) else text).hexdigest()
