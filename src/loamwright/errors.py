"""Words for what went wrong: codes and values for programs; the sentences people read are made in `words`."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Note:
    """Something a reader of a number must know: outside the tested range, a stand-in was used, an assumption holds."""

    code: str
    values: Mapping[str, object] = field(default_factory=dict)


class InputError(ValueError):
    """A value that cannot be computed with; `code` and `values` are for programs, the text is for developers."""

    def __init__(self, code: str, **values: object) -> None:
        self.code = code
        self.values = values
        super().__init__(f"{code}: " + ", ".join(f"{name}={value!r}" for name, value in values.items()))


def holds(condition: Any) -> bool:
    """Whether a comparison holds for a float, or for every element of an array."""
    return bool(condition.all()) if hasattr(condition, "all") else bool(condition)


def check_positive(**named: Any) -> None:
    """Raise `InputError` ("not_positive") for the first value that is not above zero."""
    for name, value in named.items():
        if not holds(value > 0):
            raise InputError("not_positive", quantity=name, value=value)


def check_not_negative(**named: Any) -> None:
    """Raise `InputError` ("negative") for the first value below zero (or not a number)."""
    for name, value in named.items():
        if not holds(value >= 0):
            raise InputError("negative", quantity=name, value=value)


def check_share(**named: Any) -> None:
    """Raise `InputError` ("not_a_share") for the first value outside 0 <= value < 1."""
    for name, value in named.items():
        if not (holds(value >= 0) and holds(value < 1)):
            raise InputError("not_a_share", quantity=name, value=value, least=0, below=1)


def check_between(least: float, most: float, **named: Any) -> None:
    """Raise `InputError` ("out_of_range") for the first value outside least..most, both ends allowed."""
    for name, value in named.items():
        if not (holds(value >= least) and holds(value <= most)):
            raise InputError("out_of_range", quantity=name, value=value, least=least, most=most)
